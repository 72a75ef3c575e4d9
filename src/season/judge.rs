//! The judgement of one hour.
use super::air;
use super::hours::{Ask, Fitness, Form, Hour, Reason};
use super::sun::rise_and_set;
use super::table::{Row, Table};
use super::units::{Quantity as Q, Unit};
use crate::knowledge::Knowledge;
use crate::knowledge::form::active::{Active, Timing};
use crate::knowledge::form::common::Sources;
use crate::knowledge::form::lists::WeatherLimit;
use crate::knowledge::form::season::{Measure as M, Verdict};
use jiff::civil::Date;

/// Everything that the hours of one forecast are judged with.
pub struct Judge<'a> {
    book: &'a Knowledge,
    table: &'a Table,
    ask: &'a Ask,
    limits: Vec<&'a WeatherLimit>,
}

/// What a limit is counted in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum In {
    /// A unit of weather.
    Of(Unit),
    /// Degrees between two temperatures: how many Celsius degrees one is.
    Degrees(f64),
    /// Hours.
    Hours,
    /// Days.
    Days,
}

/// The unit of a limit, if it fits what is measured.
pub fn unit_of(limit: &WeatherLimit) -> Option<In> {
    let of = |q: Q| {
        Unit::of(&limit.unit)
            .filter(|u| q.units().contains(u))
            .map(In::Of)
    };
    match limit.measure {
        M::Wind | M::Gust | M::InversionWind => of(Q::Wind),
        M::Temperature | M::TemperatureAhead => of(Q::Temperature),
        M::InversionCloud | M::RainChance => of(Q::Cloud),
        M::RainAmount => of(Q::Rain),
        M::DeltaT | M::DewSpread => match limit.unit.as_str() {
            "C" => Some(In::Degrees(1.0)),
            "F" => Some(In::Degrees(1.0 / 1.8)),
            _ => None,
        },
        M::BeforeSunset | M::AfterSunrise | M::BeforeRain | M::BeforeIrrigation | M::SinceWater => {
            (limit.unit == "h").then_some(In::Hours)
        }
        M::SinceMowing | M::BeforeMowing => (limit.unit == "d").then_some(In::Days),
    }
}

/// An end of a limit in the units used inside.
fn inside(limit: &WeatherLimit, end: f64) -> f64 {
    match unit_of(limit) {
        Some(In::Of(unit)) => unit.inside(end),
        Some(In::Degrees(size)) => end * size,
        _ => end,
    }
}

/// A value as the limit counts it, to read.
fn shown(limit: &WeatherLimit, value: f64) -> String {
    let value = match unit_of(limit) {
        Some(In::Of(unit)) => unit.outside(value),
        Some(In::Degrees(size)) => value / size,
        _ => value,
    };
    let round = (value * 10.0).round() / 10.0;
    // No minus sign before a zero.
    format!("{} {}", round + 0.0, limit.unit)
}

fn touched(limit: &WeatherLimit, value: f64) -> Option<String> {
    if let Some(end) = limit.above
        && value > inside(limit, end.0) + 1e-9
    {
        return Some(format!("{}, more than {}", shown(limit, value), end.0));
    }
    if let Some(end) = limit.below
        && value < inside(limit, end.0) - 1e-9
    {
        return Some(format!("{}, less than {}", shown(limit, value), end.0));
    }
    None
}

fn words(measure: M) -> &'static str {
    match measure {
        M::Wind | M::InversionWind => "wind",
        M::Gust => "gusts",
        M::Temperature => "air temperature",
        M::TemperatureAhead => "highest air temperature of the 24 hours ahead",
        M::DeltaT => "Delta T",
        M::BeforeSunset => "time before sunset",
        M::AfterSunrise => "time after sunrise",
        M::InversionCloud => "cloud",
        M::DewSpread => "air above dew point by",
        M::RainAmount => "rain",
        M::RainChance => "chance of rain",
        M::BeforeRain => "hours before rain",
        M::BeforeIrrigation => "hours before watering",
        M::SinceWater => "hours since rain or watering",
        M::SinceMowing => "days since mowing",
        M::BeforeMowing => "days before mowing",
    }
}

/// Hours to stay dry where nobody states them for an active.
const DRY_IF_UNKNOWN: f64 = 24.0;

impl<'a> Judge<'a> {
    pub fn new(
        book: &'a Knowledge,
        table: &'a Table,
        ask: &'a Ask,
        limits: Vec<&'a WeatherLimit>,
    ) -> Self {
        Self {
            book,
            table,
            ask,
            limits,
        }
    }

    fn actives(&self) -> impl Iterator<Item = (&'a String, &'a Active)> {
        self.ask
            .actives
            .iter()
            .filter_map(|id| self.book.actives.get_key_value(id))
    }

    /// What holds for all hours.
    pub fn notes(&self) -> Vec<String> {
        let mut notes =
            vec!["The label in hand decides; these hours only help to find a day.".to_owned()];
        let has = |q: Q| self.table.holds.contains(&q);
        if !has(Q::Gust) {
            notes.push("The forecast has no gusts; look at them before you start.".to_owned());
        }
        if !has(Q::Cloud) {
            notes.push("The forecast has no cloud cover; a clear sky in calm air is a sign of an inversion.".to_owned());
        }
        if self.ask.mowing.is_empty() {
            notes.push(
                "No mowing was told; keep the days without mowing that the label states."
                    .to_owned(),
            );
        }
        if self.ask.form == Form::Granule {
            notes.push("Granules against weeds that are up need wet leaves: strew on dew, or wet the lawn first.".to_owned());
        }
        for (_, active) in self.actives() {
            for turf in &self.ask.turf {
                // Limits that stand beside the tolerance of a grass are words, often about heat: they are told, not judged.
                let rows = active
                    .turf
                    .iter()
                    .filter(|r| r.turf == *turf && r.stage == self.ask.stage);
                for condition in rows.filter_map(|r| r.condition.as_ref()) {
                    let note = format!("{} on {turf}: {condition}.", active.name);
                    if !notes.contains(&note) {
                        notes.push(note);
                    }
                }
            }
            if let Some(water) = &active.water_in {
                let [low, high] = water.inches;
                notes.push(format!(
                    "{}: {} to {} inches of water within {} days.",
                    active.name, low.0, high.0, water.within_days.0
                ));
            }
        }
        notes
    }

    /// The verdict on a row.
    pub fn hour(&self, index: usize) -> Hour {
        let row = &self.table.rows[index];
        let get = |q: Q| row.values.get(&q).copied();
        let temperature = get(Q::Temperature);
        let humidity = get(Q::Humidity).or_else(|| {
            Some(air::humidity_from_dew_point(temperature?, get(Q::DewPoint)?).min(100.0))
        });
        let dew =
            get(Q::DewPoint).or_else(|| air::dew_point_c(air::vapour_kpa(temperature?, humidity?)));
        let delta_t = temperature.zip(humidity).map(|(t, h)| air::delta_t(t, h));
        let mut reasons = Vec::new();
        self.plain(M::Wind, get(Q::Wind), true, &mut reasons);
        self.plain(M::Gust, get(Q::Gust), false, &mut reasons);
        self.plain(M::Temperature, temperature, true, &mut reasons);
        self.heat_ahead(index, &mut reasons);
        self.active_temperatures(temperature, &mut reasons);
        if self.ask.form == Form::Spray {
            self.plain(M::DeltaT, delta_t, true, &mut reasons);
            self.plain(
                M::DewSpread,
                temperature.zip(dew).map(|(t, d)| t - d),
                false,
                &mut reasons,
            );
            self.inversion(row, &mut reasons);
        }
        self.rain(index, &mut reasons);
        self.water(index, &mut reasons);
        self.mowing(row.at.date(), &mut reasons);
        reasons.sort_by_key(|r| std::cmp::Reverse(r.fitness));
        let worst = reasons
            .iter()
            .map(|r| r.fitness)
            .max()
            .unwrap_or(Fitness::Fit);
        let fitness = if worst == Fitness::Fit && self.preferred(row, temperature, delta_t) {
            Fitness::Best
        } else {
            worst
        };
        Hour {
            at: row.at,
            fitness,
            reasons,
            temperature_c: temperature,
            wind_ms: get(Q::Wind),
            delta_t_c: delta_t,
            dew_point_c: dew,
        }
    }

    fn of(&self, measure: M) -> impl Iterator<Item = &'a WeatherLimit> {
        self.limits
            .iter()
            .copied()
            .filter(move |l| l.measure == measure && l.verdict != Verdict::Prefer)
    }

    fn reason(&self, limit: &WeatherLimit, fitness: Fitness, text: String) -> Reason {
        Reason {
            fitness,
            text,
            from: limit.id.clone(),
            evidence: Some(self.book.evidence(&limit.source)),
            sources: limit.source.to_vec(),
        }
    }

    fn label_reason(text: String) -> Reason {
        Reason {
            fitness: Fitness::Stop,
            text,
            from: "label".to_owned(),
            evidence: None,
            sources: Vec::new(),
        }
    }

    fn not_known(text: impl Into<String>) -> Reason {
        Reason {
            fitness: Fitness::NotKnown,
            text: text.into(),
            from: String::new(),
            evidence: None,
            sources: Vec::new(),
        }
    }

    /// Compares a value with the limits of its measure; of several that are touched the gravest is told, and of those the tightest.
    fn plain(&self, measure: M, value: Option<f64>, needed: bool, reasons: &mut Vec<Reason>) {
        let Some(value) = value else {
            if needed && self.of(measure).next().is_some() {
                reasons.push(Self::not_known(format!(
                    "the forecast does not tell the {} of this hour",
                    words(measure)
                )));
            }
            return;
        };
        if self.label_decides(measure, value, reasons) {
            // A label's highest figure takes the place of those of the book; too little stays a matter of the book.
            reasons.extend(self.gravest(self.of(measure).filter(|l| l.above.is_none()), value));
        } else {
            reasons.extend(self.gravest(self.of(measure), value));
        }
    }

    fn gravest(
        &self,
        limits: impl Iterator<Item = &'a WeatherLimit>,
        value: f64,
    ) -> Option<Reason> {
        limits
            .filter_map(|l| Some((l, touched(l, value)?)))
            .max_by(|(a, _), (b, _)| {
                let tight = |l: &WeatherLimit| {
                    l.above.map_or_else(
                        || l.below.map_or(0.0, |b| inside(l, b.0)),
                        |a| -inside(l, a.0),
                    )
                };
                a.verdict
                    .cmp(&b.verdict)
                    .then(tight(a).total_cmp(&tight(b)))
            })
            .map(|(limit, text)| {
                let fitness = if limit.verdict == Verdict::Stop {
                    Fitness::Stop
                } else {
                    Fitness::Care
                };
                self.reason(limit, fitness, format!("{} {text}", words(limit.measure)))
            })
    }

    /// Whether the label states this measure; adds the stop if it is passed.
    fn label_decides(&self, measure: M, value: f64, reasons: &mut Vec<Reason>) -> bool {
        let label = &self.ask.label;
        match measure {
            M::Wind => label.wind.is_some_and(|most| {
                if value > most + 1e-9 {
                    reasons.push(Self::label_reason(
                        "wind above the label's highest".to_owned(),
                    ));
                }
                true
            }),
            M::Temperature => {
                if label.hottest_c.is_some_and(|most| value > most + 1e-9) {
                    reasons.push(Self::label_reason(
                        "hotter than the label allows".to_owned(),
                    ));
                }
                if label.coldest_c.is_some_and(|least| value < least - 1e-9) {
                    reasons.push(Self::label_reason(
                        "colder than the label allows".to_owned(),
                    ));
                }
                label.hottest_c.is_some()
            }
            _ => false,
        }
    }

    /// The heat of the 24 hours that follow. Hours that the forecast does not tell are not taken for cool ones.
    fn heat_ahead(&self, index: usize, reasons: &mut Vec<Reason>) {
        let start = self.table.rows[index].seconds();
        let ahead: Vec<f64> = self.table.rows[index..]
            .iter()
            .take_while(|r| r.seconds() - start < 24 * 3600)
            .filter_map(|r| r.values.get(&Q::Temperature).copied())
            .collect();
        let before = reasons.len();
        self.plain(
            M::TemperatureAhead,
            ahead.iter().copied().reduce(f64::max),
            true,
            reasons,
        );
        if reasons.len() == before
            && ahead.len() < 24
            && self.of(M::TemperatureAhead).next().is_some()
        {
            reasons.push(Self::not_known(format!(
                "the forecast tells the temperature of {} of the 24 hours ahead",
                ahead.len()
            )));
        }
    }

    fn active_temperatures(&self, value: Option<f64>, reasons: &mut Vec<Reason>) {
        let Some(value) = value else { return };
        let label = &self.ask.label;
        for (id, active) in self.actives() {
            let own = |text: String, source: &Sources| Reason {
                fitness: Fitness::Stop,
                text,
                from: id.clone(),
                evidence: Some(self.book.evidence(source)),
                sources: source.to_vec(),
            };
            let Some(limits) = &active.air_temperature else {
                if label.hottest_c.is_none() {
                    reasons.push(Reason {
                        fitness: Fitness::Care,
                        ..Self::not_known(format!(
                            "no temperature limits are known for {}: see the label",
                            active.name
                        ))
                    });
                }
                continue;
            };
            let fahrenheit = Unit::Fahrenheit.outside(value);
            if let Some(most) = limits.below_f
                && label.hottest_c.is_none()
                && fahrenheit > most.0 + 1e-9
            {
                reasons.push(own(
                    format!(
                        "{fahrenheit:.0} F is too hot for {} (not above {} F)",
                        active.name, most.0
                    ),
                    &limits.source,
                ));
            }
            if let Some(least) = limits.above_f
                && label.coldest_c.is_none()
                && fahrenheit < least.0 - 1e-9
            {
                reasons.push(own(
                    format!(
                        "{fahrenheit:.0} F is too cold for {} (not below {} F)",
                        active.name, least.0
                    ),
                    &limits.source,
                ));
            }
        }
    }

    /// Hours since sunrise and before sunset; `None` where place or offset are not known or the sun does not rise or set.
    fn sun(&self, row: &Row) -> Option<(f64, f64)> {
        let spot = self.ask.spot?;
        let east = row
            .offset
            .map(|o| f64::from(o.seconds()) / 3600.0)
            .or(self.ask.offset_hours)?;
        let (rise, set) = rise_and_set(row.at.date(), spot)?;
        // The middle of the hour stands for it.
        let hour = f64::from(row.at.hour()) + 0.5 - east;
        Some((hour - rise, set - hour))
    }

    fn inversion(&self, row: &Row, reasons: &mut Vec<Reason>) {
        let get = |q: Q| row.values.get(&q).copied();
        let sign = |measure: M, value: Option<f64>| -> Option<bool> {
            let value = value?;
            Some(self.of(measure).any(|l| touched(l, value).is_some()))
        };
        let calm = sign(M::InversionWind, get(Q::Wind));
        let clear = sign(M::InversionCloud, get(Q::Cloud));
        let Some((after, before)) = self.sun(row) else {
            reasons.push(Self::not_known("an inversion cannot be ruled out: tell the latitude, longitude and offset of the lawn"));
            return;
        };
        let mut timed: Vec<Reason> = Vec::new();
        if after < 0.0 || before < 0.0 {
            if let Some(limit) = self
                .of(M::BeforeSunset)
                .find(|l| l.verdict == Verdict::Stop)
            {
                timed.push(self.reason(
                    limit,
                    Fitness::Stop,
                    "night, when an inversion has to be assumed".to_owned(),
                ));
            }
        } else {
            timed.extend(self.gravest(self.of(M::AfterSunrise), after));
            timed.extend(self.gravest(self.of(M::BeforeSunset), before));
            for reason in &mut timed {
                reason.text = format!("inversion to be expected: {}", reason.text);
            }
        }
        reasons.extend(timed);
        if calm == Some(true)
            && clear != Some(false)
            && let Some(limit) = self.of(M::InversionWind).next()
        {
            let sky = if clear == Some(true) {
                "clear sky"
            } else {
                "cloud not known"
            };
            reasons.push(self.reason(
                limit,
                Fitness::Care,
                format!(
                    "signs of an inversion: calm air, {sky}; look for hanging smoke, mist and dew"
                ),
            ));
        }
    }

    /// Whether it rains in a row; `None` where the row does not tell.
    fn rains(&self, row: &Row) -> Option<bool> {
        let over = |q: Q, measure: M| {
            let value = row.values.get(&q).copied()?;
            Some(self.of(measure).any(|l| touched(l, value).is_some()))
        };
        match (
            over(Q::Rain, M::RainAmount),
            over(Q::RainChance, M::RainChance),
        ) {
            (Some(true), _) | (_, Some(true)) => Some(true),
            (None, None) => None,
            _ => Some(false),
        }
    }

    /// Hours that must stay dry, with whose figure that is. None where everything chosen wants water.
    fn dry_hours(&self) -> Vec<(f64, String, Option<&'a Sources>)> {
        if let Some(hours) = self.ask.label.rain_free_hours {
            return vec![(hours, "label".to_owned(), None)];
        }
        let mut all = Vec::new();
        let mut leaf = self.ask.actives.is_empty();
        for (id, active) in self
            .actives()
            .filter(|(_, a)| a.timing.is.iter().any(|t| *t != Timing::Pre))
        {
            leaf = true;
            match &active.rain_free_hours {
                Some(figure) => all.push((figure.range[1].0, id.clone(), Some(&figure.source))),
                None => all.push((
                    DRY_IF_UNKNOWN,
                    format!("{id} (not known, a day is taken)"),
                    None,
                )),
            }
        }
        if leaf && self.ask.form == Form::Spray {
            all.extend(
                self.of(M::BeforeRain)
                    .filter_map(|l| Some((l.below?.0, l.id.clone(), Some(&l.source)))),
            );
        }
        all.sort_by(|a, b| b.0.total_cmp(&a.0));
        all
    }

    fn rain(&self, index: usize, reasons: &mut Vec<Reason>) {
        let start = self.table.rows[index].seconds();
        if self.rains(&self.table.rows[index]) == Some(true) {
            reasons.push(Reason {
                fitness: Fitness::Stop,
                ..Self::not_known("rain in this hour")
            });
            return;
        }
        let Some((hours, from, source)) = self.dry_hours().into_iter().next() else {
            return;
        };
        let mut told = start;
        for row in &self.table.rows[index..] {
            let ahead = row.seconds() - start;
            #[expect(clippy::cast_precision_loss, reason = "hours of a forecast")]
            let ahead_h = ahead as f64 / 3600.0;
            if ahead_h >= hours || row.seconds() > told {
                break;
            }
            match self.rains(row) {
                Some(true) => {
                    reasons.push(Reason {
                        fitness: Fitness::Stop,
                        text: format!("rain in {ahead_h} h; it must stay dry for {hours} h"),
                        from,
                        evidence: source.map(|s| self.book.evidence(s)),
                        sources: source.map_or(Vec::new(), |s| s.to_vec()),
                    });
                    return;
                }
                Some(false) => told = row.seconds() + 3600,
                None => break,
            }
        }
        #[expect(clippy::cast_precision_loss, reason = "hours of a forecast")]
        let told_h = (told - start) as f64 / 3600.0;
        if told_h < hours {
            reasons.push(Self::not_known(format!(
                "rain is told for {told_h} h ahead only; it must stay dry for {hours} h ({from})"
            )));
        }
    }

    fn water(&self, index: usize, reasons: &mut Vec<Reason>) {
        let row = &self.table.rows[index];
        let hours = |at: jiff::civil::DateTime| row.at.duration_until(at).as_secs_f64() / 3600.0;
        let leaf = self.ask.actives.is_empty()
            || self
                .actives()
                .any(|(_, a)| a.timing.is.iter().any(|t| *t != Timing::Pre));
        let ahead: Vec<f64> = self.ask.irrigation.iter().map(|at| hours(*at)).collect();
        if let Some(next) = ahead.iter().copied().filter(|h| *h >= 0.0).reduce(f64::min)
            && leaf
        {
            let label = self.ask.label.rain_free_hours;
            reasons.extend(self.gravest(self.of(M::BeforeIrrigation), next));
            if let Some((dry, from, _)) = self.dry_hours().into_iter().next()
                && next < dry
                && label.is_some()
            {
                reasons.push(Reason {
                    fitness: Fitness::Stop,
                    from,
                    ..Self::not_known(format!(
                        "watering in {next} h; it must stay dry for {dry} h"
                    ))
                });
            }
        }
        let start = row.seconds();
        let mut since = ahead
            .iter()
            .copied()
            .filter(|h| *h < 0.0)
            .map(f64::abs)
            .reduce(f64::min);
        let mut covered = start;
        for earlier in self.table.rows[..index].iter().rev() {
            if covered - earlier.seconds() > 3600 {
                break;
            }
            covered = earlier.seconds();
            match self.rains(earlier) {
                Some(true) => {
                    #[expect(clippy::cast_precision_loss, reason = "hours of a forecast")]
                    let h = (start - covered) as f64 / 3600.0;
                    since = Some(since.map_or(h, |s| s.min(h)));
                    break;
                }
                Some(false) => {}
                None => break,
            }
        }
        #[expect(clippy::cast_precision_loss, reason = "hours of a forecast")]
        let back = (start - covered) as f64 / 3600.0;
        // Without rain so far back as the file goes, at least that long has passed.
        if let Some(reason) = self.gravest(self.of(M::SinceWater), since.unwrap_or(back)) {
            reasons.push(reason);
        }
    }

    fn mowing(&self, date: Date, reasons: &mut Vec<Reason>) {
        for mown in &self.ask.mowing {
            let days = f64::from(date.since(*mown).map_or(0, |s| s.get_days()));
            let (measure, gap) = if days >= 0.0 {
                (M::SinceMowing, days)
            } else {
                (M::BeforeMowing, -days)
            };
            reasons.extend(self.gravest(self.of(measure), gap));
            for (id, active) in self.actives() {
                let Some(hold) = &active.mowing_hold else {
                    continue;
                };
                let needed = if days >= 0.0 {
                    hold.before_days.0
                } else {
                    hold.after_days.0
                };
                if gap < needed {
                    reasons.push(Reason {
                        fitness: Fitness::Stop,
                        text: format!(
                            "{} {gap}, and {} needs {needed}",
                            words(measure),
                            active.name
                        ),
                        from: id.clone(),
                        evidence: Some(self.book.evidence(&hold.source)),
                        sources: hold.source.to_vec(),
                    });
                }
            }
        }
    }

    /// Whether every preference of the knowledge is met; of morning and evening one is enough.
    fn preferred(&self, row: &Row, temperature: Option<f64>, delta_t: Option<f64>) -> bool {
        let sun = self.sun(row);
        let met =
            |l: &WeatherLimit, value: Option<f64>| value.is_some_and(|v| touched(l, v).is_none());
        let all = |measure: M, value: Option<f64>| {
            self.limits
                .iter()
                .filter(|l| l.verdict == Verdict::Prefer && l.measure == measure)
                .all(|l| met(l, value))
        };
        let mut edges = self
            .limits
            .iter()
            .filter(|l| {
                l.verdict == Verdict::Prefer
                    && matches!(l.measure, M::AfterSunrise | M::BeforeSunset)
            })
            .map(|l| {
                met(
                    l,
                    sun.map(|(after, before)| {
                        if l.measure == M::AfterSunrise {
                            after
                        } else {
                            before
                        }
                    }),
                )
            })
            .peekable();
        let edge = edges.peek().is_none() || edges.any(|m| m);
        all(M::Temperature, temperature) && all(M::DeltaT, delta_t) && edge
    }
}
