//! Sunrise, sunset and inversions, and the hours to prefer.
use super::Judge;
use super::measure::touched;
use crate::knowledge::form::lists::WeatherLimit;
use crate::knowledge::form::season::{Measure as M, Verdict};
use crate::season::hours::{Fitness, Reason};
use crate::season::sun::rise_and_set;
use crate::season::table::Row;
use crate::season::units::Quantity as Q;

impl Judge<'_> {
    /// Hours since sunrise and before sunset; `None` where place or offset are not known or the sun does not rise or set.
    pub(super) fn sun(&self, row: &Row) -> Option<(f64, f64)> {
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

    pub(super) fn inversion(&self, row: &Row, reasons: &mut Vec<Reason>) {
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

    /// Whether every preference of the knowledge is met; of morning and evening one is enough.
    pub(super) fn preferred(
        &self,
        row: &Row,
        temperature: Option<f64>,
        delta_t: Option<f64>,
    ) -> bool {
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
