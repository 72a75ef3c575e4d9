//! One case of choice.
use super::{Choice, Chooser, Kind, Request, Sheet, parts};
use crate::choose::Decision;

/// What the choice does instead of what the case asks for.
pub fn run(sheet: &mut Sheet<'_>, chooser: &Chooser<'_>, case: &Choice) -> Vec<String> {
    let Some(request) = request(sheet, case) else {
        return Vec::new();
    };
    let decision = chooser.decide(&request);
    let options: Vec<Vec<&str>> = decision
        .options
        .iter()
        .map(|o| o.actives.iter().map(|&a| chooser.id(a)).collect())
        .collect();
    let mut instead = Vec::new();
    for wanted in case.offers.iter() {
        let actives = parts(wanted);
        let there = match actives.as_slice() {
            [one] => options.iter().any(|o| o.contains(one)),
            all => options
                .iter()
                .any(|o| o.len() == all.len() && all.iter().all(|a| o.contains(a))),
        };
        if !there {
            instead.push(format!(
                "{wanted} is not offered{}",
                stopped(chooser, &decision, &actives)
            ));
        }
    }
    for unwanted in case.never.iter() {
        let there: Vec<&Vec<&str>> = options
            .iter()
            .filter(|o| unwanted == "all" || parts(unwanted).iter().all(|a| o.contains(a)))
            .collect();
        if let Some(first) = there.first() {
            let more = there.len() - 1;
            let more = if more > 0 {
                format!(" (and {more} more options)")
            } else {
                String::new()
            };
            instead.push(format!("{} is offered{more}", first.join(" + ")));
        }
    }
    if let Some(wanted) = case.leave_it {
        let said = chooser.choose(&request).leave_it;
        if said.advised != wanted {
            instead.push(format!(
                "the advice is {}to leave the weeds alone ({})",
                if said.advised { "" } else { "not " },
                said.why
            ));
        }
    }
    instead
}

/// Why the actives are not offered: the codes of what stops them.
fn stopped(chooser: &Chooser<'_>, decision: &Decision, actives: &[&str]) -> String {
    let mut codes: Vec<String> = decision
        .excluded()
        .filter(|(set, _)| set.iter().any(|&a| actives.contains(&chooser.id(a))))
        .filter_map(|(_, reason)| {
            serde_json::to_value(reason)
                .ok()?
                .as_str()
                .map(str::to_owned)
        })
        .collect();
    codes.sort();
    codes.dedup();
    if codes.is_empty() {
        return String::new();
    }
    format!(": {}", codes.join(", "))
}

/// The request of a case; nothing where a name leads nowhere or two facts contradict each other.
fn request(sheet: &mut Sheet<'_>, case: &Choice) -> Option<Request> {
    let before = sheet.faults.len();
    let named = [
        ("weeds", Kind::Weed, &*case.weeds),
        ("turf", Kind::Turf, &*case.turf),
        ("near", Kind::Situation, &*case.near),
    ];
    for (key, kind, ids) in named {
        for id in ids {
            sheet.known(key, kind, id);
        }
    }
    for (key, kind, id) in [
        ("stage", Kind::Stage, &case.stage),
        ("place", Kind::Place, &case.place),
    ] {
        if let Some(id) = id {
            sheet.known(key, kind, id);
        }
    }
    for (key, words) in [("offers", &case.offers), ("never", &case.never)] {
        for id in words.iter().flat_map(|w| parts(w)) {
            if !(key == "never" && id == "all") {
                sheet.known(key, Kind::Active, id);
            }
        }
    }
    for (key, ids) in [("weeds", &case.weeds), ("turf", &case.turf)] {
        if ids.is_empty() {
            sheet.fault(
                key,
                "this case names none".to_owned(),
                "name at least one".to_owned(),
            );
        }
    }
    if case.offers.is_empty() && case.never.is_empty() && case.leave_it.is_none() {
        let help =
            "say what it `offers`, what it must `never` offer, or whether to `leave_it`".to_owned();
        sheet.fault("case", "this case asks for nothing".to_owned(), help);
    }
    let request = Request {
        weeds: case.weeds.to_vec(),
        turf: case.turf.to_vec(),
        stage: case.stage.clone().unwrap_or_default(),
        month: case.month,
        air_temp_f: case.air_f.map(|r| r[0].0),
        air_temp_high_f: case.air_f.map(|r| r[1].0),
        weed_stages: case
            .weed_stage
            .map(|stage| case.weeds.iter().map(|w| (w.clone(), stage)).collect())
            .unwrap_or_default(),
        weeks_since_seeding: case.weeks_since_seeding.map(f64::from),
        seeding_in_weeks: case.seeding_in_weeks.map(f64::from),
        near: case.near.to_vec(),
        place: case.place.clone(),
        applicator: case.applicator,
        ..Request::default()
    };
    if sheet.faults.len() > before {
        return None;
    }
    match request.check(sheet.book) {
        Ok(request) => Some(request),
        Err(error) => {
            sheet.fault(
                "case",
                error.to_string(),
                "change one of the two".to_owned(),
            );
            None
        }
    }
}
