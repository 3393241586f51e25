//! What can be said, once: the table of findings, how a step reports, and the error of what cannot
//! be read or written.
//!
//! - An [`Error`] stops: a file could not be read, means nothing, or could not be written. It has a
//!   place and says what to type.
//! - A [`Finding`] is said about a stair, a part or a program that was understood: advice, a
//!   warning, or a refusal. A step
//!   gives a [`Warned`] value or all its [`Refusals`].
//! - A broken promise inside this program (an index that must be there, a file made here that its
//!   own reader does not take) is a bug: it
//!   panics with its reason, or ends as [`ErrorKind::Internal`]; no default hides it.

mod code;
pub mod codes;

mod error;
mod finding;
mod place;
pub mod table;
mod value;
pub mod visible;
mod warned;

pub use code::{Code, Kind, Row, Waivable};
pub use error::{Error, ErrorKind, Position};
pub use finding::{Finding, GEOMETRY, PRACTICE, Severity, SiteItem, told};
pub use place::{Numbered, Place};
pub use value::{Count, Degrees, Exact, Feed, Figure, Fine, Millimetres, Slope, Value};
pub use warned::{Outcome, Refusals, Warned, gathered};
