//! Days to keep, as an iCalendar file (RFC 5545): all-day events that any calendar program takes in.
//!
//! Every event has a name that stays the same when the file is made again, so that a second import moves what changed
//! instead of doubling it.
pub mod days;

use crate::knowledge::Knowledge;
use crate::records::{RecordError, from_note};
use jiff::civil::{Date, DateTime};
use std::fmt::Write as _;

/// An all-day event.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Event {
    /// Lasting name, unique in the world.
    pub uid: String,
    /// How often it was changed since it was first made.
    pub sequence: u32,
    /// First day.
    pub first: Date,
    /// Last day, included.
    pub last: Date,
    /// Title.
    pub title: String,
    /// More about it.
    pub text: String,
    /// Whether it no longer holds; a calendar program then takes it away.
    pub cancelled: bool,
}

/// The days of a treatment that a note plans, as a file. The names of the events stay the same when the note is made
/// again; the time of making is the day of the visit, which keeps the file repeatable.
///
/// # Errors
/// Text that is no note, or a note that says not to spray.
pub fn of_note(book: &Knowledge, note: &str, today: Date) -> Result<String, RecordError> {
    let treatment = from_note::application(note)?;
    let lawn = treatment.lawn.as_deref().unwrap_or("lawn");
    let key = format!("note-{today}-{}", crate::words::plain(lawn));
    let plan = days::Plan {
        key: &key,
        sequence: 0,
        cancelled: false,
        treatment: &treatment,
    };
    Ok(file(&days::events(book, &plan), today.at(0, 0, 0, 0)))
}

/// The file. `made` is the time of making, in UTC; the same events and time give the same bytes.
#[must_use]
pub fn file(events: &[Event], made: DateTime) -> String {
    let mut out = String::new();
    line(&mut out, "BEGIN:VCALENDAR");
    line(&mut out, "VERSION:2.0");
    line(&mut out, "PRODID:-//ligule//treatment days//EN");
    line(&mut out, "CALSCALE:GREGORIAN");
    for event in events {
        line(&mut out, "BEGIN:VEVENT");
        line(&mut out, &format!("UID:{}", escaped(&event.uid)));
        line(
            &mut out,
            &format!("DTSTAMP:{}Z", made.strftime("%Y%m%dT%H%M%S")),
        );
        line(&mut out, &format!("SEQUENCE:{}", event.sequence));
        line(
            &mut out,
            &format!("DTSTART;VALUE=DATE:{}", event.first.strftime("%Y%m%d")),
        );
        // The end of an all-day event is the day after its last day (RFC 5545, section 3.6.1). On the last day of the
        // calendar there is none; an event without an end lasts one day.
        if let Ok(end) = event.last.max(event.first).tomorrow() {
            line(
                &mut out,
                &format!("DTEND;VALUE=DATE:{}", end.strftime("%Y%m%d")),
            );
        }
        line(&mut out, &format!("SUMMARY:{}", escaped(&event.title)));
        if !event.text.is_empty() {
            line(&mut out, &format!("DESCRIPTION:{}", escaped(&event.text)));
        }
        // A day to treat does not make its owner unavailable.
        line(&mut out, "TRANSP:TRANSPARENT");
        if event.cancelled {
            line(&mut out, "STATUS:CANCELLED");
        }
        line(&mut out, "END:VEVENT");
    }
    line(&mut out, "END:VCALENDAR");
    out
}

/// Octets of a line without its end (RFC 5545, section 3.1).
const LONGEST_LINE: usize = 75;

/// Writes one content line, folded before it grows too long and never inside a character.
fn line(out: &mut String, content: &str) {
    let mut room = LONGEST_LINE;
    for c in content.chars() {
        if c.len_utf8() > room {
            out.push_str("\r\n ");
            // The space counts.
            room = LONGEST_LINE - 1;
        }
        room -= c.len_utf8();
        out.push(c);
    }
    out.push_str("\r\n");
}

/// Text as a value (RFC 5545, section 3.3.11). Control characters other than line ends cannot stand in a calendar.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.replace("\r\n", "\n").chars() {
        match c {
            '\\' | ';' | ',' => {
                let _ = write!(out, "\\{c}");
            }
            '\n' | '\r' => out.push_str("\\n"),
            '\t' => out.push(c),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::{date, datetime};
    use proptest::prelude::*;

    fn event(title: &str, text: &str) -> Event {
        Event {
            uid: "a-1@ligule".into(),
            sequence: 0,
            first: date(2028, 2, 28),
            last: date(2028, 2, 29),
            title: title.into(),
            text: text.into(),
            cancelled: false,
        }
    }

    fn made(event: &Event) -> String {
        file(
            std::slice::from_ref(event),
            datetime(2028, 2, 1, 12, 30, 0, 0),
        )
    }

    /// RFC 5545, section 3.1, undone: a line end and one white space are nothing.
    fn unfolded(text: &str) -> String {
        text.replace("\r\n ", "")
    }

    #[test]
    fn lines_are_folded_at_75_octets_and_end_as_the_standard_says() {
        let text = made(&event(&"é".repeat(100), "a\r\nb; c, d \\ e"));
        assert!(text.ends_with("END:VCALENDAR\r\n"));
        assert!(
            text.split("\r\n")
                .all(|l| l.len() <= 75 && !l.contains(['\r', '\n']))
        );
        // 75 octets would cut an é in two: SUMMARY: has 8, so 33 of them (66) make 74.
        assert!(text.contains(&format!("SUMMARY:{}\r\n é", "é".repeat(33))));
        assert!(unfolded(&text).contains("DESCRIPTION:a\\nb\\; c\\, d \\\\ e\r\n"));
        assert!(text.contains("DTSTAMP:20280201T123000Z\r\n"));
    }

    #[test]
    fn the_end_is_the_day_after_the_last_day_leap_years_and_all() {
        let text = made(&event("t", ""));
        assert!(text.contains("DTSTART;VALUE=DATE:20280228\r\nDTEND;VALUE=DATE:20280301\r\n"));
        let end_of_time = Event {
            first: Date::MAX,
            last: Date::MAX,
            ..event("t", "")
        };
        assert!(!made(&end_of_time).contains("DTEND"));
    }

    proptest! {
        /// An independent parser reads back what was written (the `icalendar` library).
        #[test]
        fn another_program_reads_back_what_is_written(title in "[ -~é€🌱]{1,120}", text in "([ -~é€🌱]|\n){0,300}") {
            use icalendar::{Calendar, CalendarComponent, Component, DatePerhapsTime};
            let ours = event(&title, &text);
            let read: Calendar = made(&ours).parse().expect("a calendar");
            let CalendarComponent::Event(found) = &read.components[0] else { panic!("an event") };
            prop_assert_eq!(read.components.len(), 1);
            prop_assert_eq!(found.get_uid(), Some("a-1@ligule"));
            prop_assert_eq!(found.get_summary(), Some(title.as_str()));
            prop_assert_eq!(found.get_description().unwrap_or_default(), text.as_str());
            let day = |d: Option<DatePerhapsTime>| match d { Some(DatePerhapsTime::Date(d)) => d.to_string(), other => panic!("{other:?}") };
            prop_assert_eq!(day(found.get_start()), "2028-02-28");
            prop_assert_eq!(day(found.get_end()), "2028-03-01");
            prop_assert!(made(&ours).split("\r\n").all(|l| l.len() <= 75));
        }
    }
}
