//! What is written on a master pattern: what it is, how it lies, what was done to it, where it
//! hangs and how to tell that it wore out. Strokes and one hole in the board frame; nothing
//! mirrored.

mod apart;
mod cleats;
mod gauge;
mod hole;
mod layer;
mod layout;
mod level;
mod number;
mod shape;
mod sheet;
mod words;

pub use cleats::{cleat_holes, stringer_marks};
pub use hole::Hole;
pub use layer::{Bores, LayerMarks, layer_marks};
pub use layout::{MarkStroke, Marks, clearance, marks};
pub use number::{Numbering, number_marks};
