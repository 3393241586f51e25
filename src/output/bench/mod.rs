//! The bench sheet: what a person needs beside the boards and at the machine, as one page for a
//! browser that also plays the program ([`page`]), and on paper ([`printed`]). What it says is
//! [`content`](super::content).

mod page;
mod plan_picture;
mod playback;
mod printed;

pub use page::page;
pub use printed::{paper, printed, printed_pages};
