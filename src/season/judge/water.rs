//! Rain, watering and mowing before and after.
use super::Judge;
use super::measure::{touched, words};
use crate::knowledge::form::active::Timing;
use crate::knowledge::form::common::Sources;
use crate::knowledge::form::season::Measure as M;
use crate::season::hours::{Fitness, Form, Reason};
use crate::season::table::Row;
use crate::season::units::Quantity as Q;
use jiff::civil::Date;

/// Hours to stay dry where nobody states them for an active.
const DRY_IF_UNKNOWN: f64 = 24.0;

impl<'a> Judge<'a> {
    /// Whether it rains in a row; `None` where the row does not tell.
    pub(super) fn rains(&self, row: &Row) -> Option<bool> {
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
    pub(super) fn dry_hours(&self) -> Vec<(f64, String, Option<&'a Sources>)> {
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

    pub(super) fn rain(&self, index: usize, reasons: &mut Vec<Reason>) {
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

    pub(super) fn water(&self, index: usize, reasons: &mut Vec<Reason>) {
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
            self.watered(next, reasons);
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

    /// Watering that is to come: the label's hours, or those of the book and of each active.
    fn watered(&self, next: f64, reasons: &mut Vec<Reason>) {
        let text = |dry: f64| format!("watering in {next} h; it must stay dry for {dry} h");
        if let Some(dry) = self.ask.label.rain_free_hours {
            if next < dry {
                reasons.push(Self::label_reason(text(dry)));
            }
            return;
        }
        reasons.extend(self.gravest(self.of(M::BeforeIrrigation), next));
        for (id, active) in self.actives() {
            if let Some(figure) = &active.rain_free_hours
                && next < figure.range[1].0
            {
                reasons.push(Reason {
                    fitness: Fitness::Stop,
                    text: text(figure.range[1].0),
                    from: id.clone(),
                    evidence: Some(self.book.evidence(&figure.source)),
                    sources: figure.source.to_vec(),
                });
            }
        }
    }

    pub(super) fn mowing(&self, date: Date, reasons: &mut Vec<Reason>) {
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
}
