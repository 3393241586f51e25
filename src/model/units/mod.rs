//! Lengths with units: the type, the grammar that reads it, the printer that writes it.

mod dressed;
mod figure;
mod grammar;
mod length;
mod mend;
mod print;
mod rate;
mod tape;

pub use dressed::Dressed;
pub(crate) use figure::{POUND_KG, figure_and_unit, plain_number};
pub use figure::{pounds, weight};
pub use grammar::{Bare, LengthProblem, LengthWarning, Reading, read_length};
pub use length::{Length, MM_PER_INCH};
pub use print::{counted, decimal, is_on_sixteenth, minutes, money, sixteenths, trimmed};
pub use rate::{feed, feed_to, read_acceleration, read_rate};
pub use tape::{Tape, fully, on_tape};
