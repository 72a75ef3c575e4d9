//! What a step of a plan costs, given what was done before.
use crate::knowledge::Knowledge;
use crate::knowledge::form::season::{CostKind, Risk};
use serde::Serialize;
use std::collections::BTreeMap;

/// One thing that was done, or not done, on an occasion.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Past {
    /// Year.
    pub year: i16,
    /// Month, 1 to 12.
    pub month: u8,
    /// Groups used, ascending; empty for an occasion without chemicals.
    pub groups: Vec<u16>,
    /// Chemical families used with their groups, ascending.
    pub families: Vec<(u16, String)>,
}

/// A charge with its points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Charge {
    /// What for.
    pub kind: CostKind,
    /// The group it is about; 0 where it is about none.
    pub group: u16,
    /// Points.
    pub points: u32,
}

/// The points of the knowledge, ready to look up.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Rules {
    points: BTreeMap<CostKind, u32>,
    risk: BTreeMap<u16, Risk>,
    /// Groups of which resistance stays inside the family, for every weed asked about.
    within_family: Vec<u16>,
}

impl Rules {
    /// The rules for some weeds. A group counts as "inside the family" only if that is on record for all of them.
    #[must_use]
    pub fn new(book: &Knowledge, weeds: &[String]) -> Self {
        let Some(own) = &book.resistance else {
            return Self::default();
        };
        let points = own
            .costs
            .iter()
            .map(|c| (c.kind, u32::from(c.points)))
            .collect();
        let risk = own
            .risks
            .iter()
            .flat_map(|r| r.groups.iter().map(|g| (*g, r.is)))
            .collect();
        let mut within_family: Vec<u16> = own.within_family.iter().map(|w| w.group).collect();
        within_family.retain(|group| {
            weeds.iter().all(|weed| {
                own.within_family
                    .iter()
                    .any(|w| w.group == *group && w.weeds.contains(weed))
            })
        });
        Self {
            points,
            risk,
            within_family,
        }
    }

    /// Rules from bare figures, for plans without a book.
    #[must_use]
    pub fn of(
        points: BTreeMap<CostKind, u32>,
        risk: BTreeMap<u16, Risk>,
        within_family: Vec<u16>,
    ) -> Self {
        Self {
            points,
            risk,
            within_family,
        }
    }

    /// Points of a kind; none where the knowledge does not charge it.
    #[must_use]
    pub fn points(&self, kind: CostKind) -> u32 {
        self.points.get(&kind).copied().unwrap_or(0)
    }

    fn risk(&self, group: u16) -> Risk {
        self.risk.get(&group).copied().unwrap_or(Risk::Unknown)
    }

    /// What it costs to do `now` after `before` (in order of time). Looks at the two occasions before, at everything in
    /// the same year, and at the same month of the year before.
    #[must_use]
    pub fn step(&self, before: &[Past], now: &Past) -> Vec<Charge> {
        let mut charges = Vec::new();
        let mut charge = |kind: CostKind, group: u16| {
            let points = self.points(kind);
            if points > 0 {
                charges.push(Charge {
                    kind,
                    group,
                    points,
                });
            }
        };
        if now.groups.is_empty() {
            charge(CostKind::Rest, 0);
            return charges;
        }
        let last = before.last();
        let second = before.len().checked_sub(2).and_then(|i| before.get(i));
        for &group in &now.groups {
            match self.risk(group) {
                Risk::High => charge(CostKind::HighRiskGroup, group),
                Risk::Moderate | Risk::Unknown => charge(CostKind::ModerateRiskGroup, group),
                Risk::Low => {}
            }
            let used = |past: Option<&Past>| past.is_some_and(|p| p.groups.contains(&group));
            if used(last) && used(second) {
                charge(CostKind::ThirdInARow, group);
            } else if used(last) {
                let same_family = last.is_some_and(|p| {
                    now.families
                        .iter()
                        .filter(|(g, _)| *g == group)
                        .any(|f| p.families.contains(f))
                });
                let apart = self.within_family.contains(&group) && !same_family;
                charge(
                    if apart {
                        CostKind::SameGroupOtherFamily
                    } else {
                        CostKind::SameGroupAgain
                    },
                    group,
                );
            }
            if self.risk(group) == Risk::High
                && before
                    .iter()
                    .any(|p| p.year == now.year && p.groups.contains(&group))
            {
                charge(CostKind::HighRiskTwiceAYear, group);
            }
        }
        if before
            .iter()
            .any(|p| p.year == now.year - 1 && p.month == now.month && p.groups == now.groups)
        {
            charge(CostKind::SameAsLastYear, 0);
        }
        charges
    }
}
