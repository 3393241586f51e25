//! The bench sheet: what a person needs beside the boards and at the machine, as one page for a
//! browser that also plays the programs ([`page`]), and on paper ([`printed`]). What it says is
//! [`content`](super::content).

mod card;
mod page;
mod plan_picture;
mod playback;
mod printed;

use std::ops::Range;

pub use page::{page, set_page};
pub use printed::{paper, printed, printed_pages};

use crate::geometry::Contour;
use crate::output::content::RunOf;
use crate::stair::outline::Role;

/// A program that the page plays.
#[derive(Clone, Debug)]
pub struct Played<'a> {
    /// The program among the others.
    pub run: RunOf<'a>,
    /// Its text.
    pub text: String,
    /// The lines of it that each step wrote.
    pub lines: Vec<Range<usize>>,
    /// The pieces as they lie on its stock.
    pub pieces: Vec<Contour<Role>>,
}
