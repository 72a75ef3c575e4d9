//! The judgement of one hour.
mod heat;
mod measure;
mod sky;
mod water;

pub use measure::unit_of;

use crate::knowledge::Knowledge;
use crate::knowledge::form::active::Active;
use crate::knowledge::form::lists::WeatherLimit;
use crate::knowledge::form::season::{Measure as M, Verdict};
use crate::season::air;
use crate::season::hours::{Ask, Fitness, Form, Hour, Reason};
use crate::season::table::Table;
use crate::season::units::Quantity as Q;
use measure::{inside, touched, words};

/// Everything that the hours of one forecast are judged with.
pub struct Judge<'a> {
    book: &'a Knowledge,
    table: &'a Table,
    ask: &'a Ask,
    limits: Vec<&'a WeatherLimit>,
}

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
}
