//! The key: from what was seen on a plant to a belief about what it is, and to the question that helps most.
//!
//! Nothing here knows about lawns: a book is taxa, traits and states, whatever they are.
//! The mathematics is written out beside the code that does it:
//! [`observe`] for what an observer reports of a state, [`belief`] for Bayes' rule and the unknown plant,
//! [`question`] for expected information (`confirm.rs` where one taxon is left), [`doubt`] for the answer to look at again, [`graph`] for the printed key.
pub mod answers;
pub mod belief;
pub mod book;
mod compile;
mod confirm;
pub mod doubt;
pub mod graph;
pub mod observe;
pub mod question;
mod rows;
mod shown;
mod split;

pub use answers::{Answer, AnswerError, Answers};
pub use belief::{Belief, Circumstances};
pub use book::Book;
pub use split::MOST_ANSWERS;
