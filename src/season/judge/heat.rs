//! Heat of the day ahead, and the temperatures of the actives.
use super::Judge;
use crate::knowledge::form::common::Sources;
use crate::knowledge::form::season::Measure as M;
use crate::season::hours::{Fitness, Reason};
use crate::season::units::{Quantity as Q, Unit};

impl Judge<'_> {
    /// The heat of the 24 hours that follow. Hours that the forecast does not tell are not taken for cool ones.
    pub(super) fn heat_ahead(&self, index: usize, reasons: &mut Vec<Reason>) {
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

    pub(super) fn active_temperatures(&self, value: Option<f64>, reasons: &mut Vec<Reason>) {
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
}
