//! Why something is not offered: the codes, and what stops in numbers.
use crate::knowledge::form::active::Timing;
use serde::Serialize;

/// Why something is not offered. The order is that of the list of exclusions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Reason {
    /// The grass is injured by it.
    TurfInjured,
    /// Labels do not name this grass.
    TurfNotRegistered,
    /// No statement proves it on this grass at this stage.
    TurfNotProven,
    /// The grass stands it in other months only.
    TurfSeason,
    /// The grass is too new.
    TurfTooYoung,
    /// Seed is to be sown before it is gone from the soil.
    SeedingPlanned,
    /// It was used here too short a time ago.
    IntervalTooShort,
    /// The most for a year is used up here, or cannot be checked.
    YearlyLimit,
    /// A weed is suspected to withstand it here.
    ResistantHere,
    /// Withdrawn, or not to be had for this use or user.
    NotAvailable,
    /// The place forbids it, or reads so.
    Place,
    /// Something about the site forbids it.
    Site,
    /// The air is too hot.
    TooHot,
    /// The air is too cold.
    TooCold,
    /// The weed has come too far: this works before it is up, or while it is young.
    PastEmergence,
    /// It is not the time of year for it, or the weed is not up.
    OutOfSeason,
    /// It does not control the weed well enough.
    WeedNotControlled,
    /// No statement says that it controls the weed.
    ControlNotProven,
    /// The partners must not share a tank.
    TankConflict,
    /// Others do the job with fewer actives.
    NotNeeded,
}

/// What stops an active. Numbers are places in the request's or the book's lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stop {
    /// No grass was named.
    NoTurf,
    /// Nothing proves it on this grass of the request.
    TurfNotProven(usize),
    /// It injures this grass of the request.
    TurfInjured(usize),
    /// Labels do not name this grass of the request.
    TurfNotRegistered(usize),
    /// That this grass of the request stands it holds in other months only.
    TurfMonth(usize),
    /// That this grass of the request stands it holds on cooler days only.
    TurfHot(usize),
    /// That this grass of the request stands it holds on warmer days only.
    TurfCold(usize),
    /// The grass has not been mown often enough.
    Mowings,
    /// The grass is not old enough.
    Weeks,
    /// The grass is new, and the active has an age limit that cannot be checked: the age was not said, or the limit has no
    /// figure.
    AgeUnknown,
    /// Seed is to be sown before the wait is over; nothing known of a wait counts as too long.
    Seeding,
    /// Something in the record of this lawn, by its reason code.
    Past(Reason),
    /// This restriction of the active.
    Restriction(usize),
    /// This limit of this place (counted from the innermost).
    Place(usize, usize),
    /// This caution of the book.
    Site(usize),
    /// Too hot.
    TooHot,
    /// Too cold.
    TooCold,
    /// This weed of the request is up, and the active works before.
    Up(usize),
    /// This weed of the request is grown, and the active works on young plants.
    Grown(usize),
    /// This weed of the request is not up, and the active works on plants that are.
    NotUp(usize),
    /// This weed of the request comes up later in the year.
    Later(usize),
    /// Too weak on this weed of the request at this timing.
    Weak(usize, Timing),
    /// Nothing says that it controls any weed of the request.
    ControlNotProven,
}

impl Stop {
    /// The reason code.
    #[must_use]
    pub fn reason(self) -> Reason {
        match self {
            Self::NoTurf | Self::TurfNotProven(_) => Reason::TurfNotProven,
            Self::TurfInjured(_) => Reason::TurfInjured,
            Self::TurfNotRegistered(_) => Reason::TurfNotRegistered,
            Self::TurfMonth(_) => Reason::TurfSeason,
            Self::Mowings | Self::Weeks | Self::AgeUnknown => Reason::TurfTooYoung,
            Self::Seeding => Reason::SeedingPlanned,
            Self::Past(reason) => reason,
            Self::Restriction(_) => Reason::NotAvailable,
            Self::Place(..) => Reason::Place,
            Self::Site(_) => Reason::Site,
            Self::TooHot | Self::TurfHot(_) => Reason::TooHot,
            Self::TooCold | Self::TurfCold(_) => Reason::TooCold,
            Self::Up(_) | Self::Grown(_) => Reason::PastEmergence,
            Self::NotUp(_) | Self::Later(_) => Reason::OutOfSeason,
            Self::Weak(..) => Reason::WeedNotControlled,
            Self::ControlNotProven => Reason::ControlNotProven,
        }
    }
}
