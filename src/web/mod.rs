//! The face for the phone: pages made on the server that need no script.
//!
//! It holds no rule of the trade. Every page is a plain function from [`Site`] and [`ask::Ask`] to an answer; [`server`]
//! keeps slow and many clients from each other, [`guard`] refuses what did not come from these pages, [`keep`] is the only
//! part that touches files, and only below the lawn folder. What was answered is in the visit's file (its id is in the
//! address) or in the address itself, so nothing is lost with a battery and two phones do not disturb each other.
mod after;
mod amounts;
mod applied;
mod applied_read;
mod ask;
mod choice;
mod day;
mod door;
mod enter;
mod entry;
mod figures;
mod forecast;
mod gear;
mod grass;
mod guard;
mod home;
mod keep;
mod label;
mod label_read;
mod lawn;
mod lawn_asked;
mod mend;
mod named;
mod note;
mod plant;
mod plants;
mod question;
mod record;
mod record_line;
mod routes;
mod seats;
mod server;
mod shelf;
mod site;
mod sown;
mod trouble;
mod typed;
mod view;
mod work;

pub use server::{Patience, serve};
pub use site::{Chance, Clock, Options, Site, Teller};
pub use trouble::SiteError;
