//! Droplet classes of spray nozzles, in the order of the ASABE S572 standard. The classes compare a
//! nozzle with reference nozzles; they are no scale of micrometres.

use super::fault::{Fault, FaultKind};
use serde::Serialize;
use std::fmt;
use std::str::FromStr;

/// A droplet class, finest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Droplet {
    /// XF
    ExtremelyFine,
    /// VF
    VeryFine,
    /// F
    Fine,
    /// M
    Medium,
    /// C
    Coarse,
    /// VC
    VeryCoarse,
    /// XC
    ExtremelyCoarse,
    /// UC
    UltraCoarse,
}

/// All classes, finest first, with code and name.
pub const CLASSES: [(Droplet, &str, &str); 8] = [
    (Droplet::ExtremelyFine, "XF", "extremely fine"),
    (Droplet::VeryFine, "VF", "very fine"),
    (Droplet::Fine, "F", "fine"),
    (Droplet::Medium, "M", "medium"),
    (Droplet::Coarse, "C", "coarse"),
    (Droplet::VeryCoarse, "VC", "very coarse"),
    (Droplet::ExtremelyCoarse, "XC", "extremely coarse"),
    (Droplet::UltraCoarse, "UC", "ultra coarse"),
];

/// How a nozzle's class stands to what a label asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fit {
    /// Finer than the label allows: more drift.
    TooFine,
    /// As the label asks.
    Fits,
    /// Coarser than the label allows: poorer cover.
    TooCoarse,
}

impl Droplet {
    /// Its code.
    #[must_use]
    pub fn code(self) -> &'static str {
        CLASSES[self as usize].1
    }

    /// Compares it with the finest and the coarsest class that a label allows.
    #[must_use]
    pub fn against(self, finest: Option<Droplet>, coarsest: Option<Droplet>) -> Fit {
        match (finest, coarsest) {
            (Some(finest), _) if self < finest => Fit::TooFine,
            (_, Some(coarsest)) if self > coarsest => Fit::TooCoarse,
            _ => Fit::Fits,
        }
    }
}

impl fmt::Display for Droplet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (_, code, name) = CLASSES[*self as usize];
        write!(f, "{name} ({code})")
    }
}

impl FromStr for Droplet {
    type Err = Fault;

    fn from_str(text: &str) -> Result<Self, Fault> {
        let wanted = text.trim().to_lowercase().replace('-', " ");
        CLASSES
            .iter()
            .find(|(_, code, name)| code.to_lowercase() == wanted || *name == wanted)
            .map(|(class, ..)| *class)
            .ok_or_else(|| {
                Fault::new(
                    FaultKind::UnitUnknown,
                    format!("`{text}` is no droplet class"),
                )
                .expected(
                    CLASSES
                        .map(|(_, code, name)| format!("{code} ({name})"))
                        .join(", "),
                )
            })
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        reason = "a test that cannot go on should stop where it is"
    )]
    use super::*;

    #[test]
    fn classes_stand_in_their_order() {
        for (place, (class, code, name)) in CLASSES.iter().enumerate() {
            assert_eq!(*class as usize, place);
            assert_eq!(code.parse(), Ok(*class));
            assert_eq!(name.parse(), Ok(*class));
        }
        assert!(CLASSES.is_sorted());
    }

    #[test]
    fn compares_with_the_label() {
        let label = (Some(Droplet::Coarse), Some(Droplet::VeryCoarse));
        assert_eq!(Droplet::Medium.against(label.0, label.1), Fit::TooFine);
        assert_eq!(Droplet::Coarse.against(label.0, label.1), Fit::Fits);
        assert_eq!(
            Droplet::UltraCoarse.against(label.0, label.1),
            Fit::TooCoarse
        );
        assert_eq!(Droplet::VeryFine.against(None, None), Fit::Fits);
    }
}
