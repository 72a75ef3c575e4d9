//! Text such as `1.3 oz/1000 sq ft` to exact quantities; areas; what a sprayer or spreader puts out.
//! Pure: nothing is read, printed or looked up here.

pub mod area;
pub mod droplet;
mod exact;
mod fault;
mod kind;
mod lex;
mod limit;
pub mod nozzle;
mod number;
mod quantity;
mod read;
mod refused;
mod span;
pub mod sprayer;
pub mod spreader;
mod strength;
mod table;
mod unit;
mod worked;

pub use exact::Exact;
pub use fault::{Fault, FaultKind, Parts as FaultParts};
pub use kind::{Base, Kind, Of};
pub use limit::{Each, Limit, limit};
pub use quantity::{Quantity, State, short};
pub use read::{quantity, quantity_of, span, unit};
pub use span::Span;
pub use strength::{Strength, state_of_code, strength};
pub use table::{UNITS, UnitRow};
pub use unit::Unit;
pub use worked::{Answer, Figure, Figures, Worked};
