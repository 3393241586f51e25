//! What people read of the test squares: where the calipers go, what follows from what they find,
//! and what to type then.

mod page;
mod reading;
mod report;
mod words;

pub use page::page;
pub use reading::{ReadingReport, bad_measure, reading_report, told};
pub use report::{SquareReport, square_report};
pub use words::{compensated, key, reckoned, stamp, steps, typed};
