//! The number of a stringer on its sheet, so that whoever takes it off the table finds it on the
//! sheet's picture and in the cut list.

use super::hole::Hole;
use super::layout::{APART, FINEST_STEP_MM, clearance, heights};
use super::level::middle_at;
use super::shape::Shape;
use super::sheet::Sheet;
use super::words::wrapped;
use crate::geometry::stroke_font;
use crate::geometry::{Contour, Point};
use crate::stair::outline::Role;
use crate::units::Length;

/// What is written on a piece.
#[derive(Clone, Copy, Debug)]
pub struct Numbering<'a> {
    /// Its number on the sheet, from 1.
    pub number: usize,
    /// The job's title.
    pub title: &'a str,
}

/// A title is told as far as this, in characters, to the end of a word.
const SHORT_TITLE: usize = 20;

/// The strokes of a piece's number and, where both fit, of its title: in the board frame, clear of
/// the cut, of its holes and of what is marked on it already. None where not even the number fits.
pub fn number_marks(
    piece: &Contour<Role>,
    (holes, taken): (&[Hole], &[Vec<Point>]),
    numbering: Numbering<'_>,
    (tool_radius, stroke): (Length, Length),
) -> Vec<Vec<Point>> {
    let clear = clearance(tool_radius, stroke);
    let placed = |words: &[String], height: f64| {
        let gap = (height * APART).max(2.0 * stroke.as_mm());
        let mut sheet = Sheet::new(piece, clear, gap, (height / 2.0).max(FINEST_STEP_MM));
        for hole in holes {
            sheet.keep_off(vec![hole.center], hole.radius.as_mm() + clear);
        }
        taken.iter().for_each(|stroke| sheet.keep_off(stroke.clone(), gap));
        let bounds = sheet.bounds();
        let middle = middle_at(piece, (bounds.min.x + bounds.max.x) / 2.0);
        sheet.nearest(&Shape::text(words, height), middle, bounds.width())
    };
    let number = numbering.number.to_string();
    let both = short(numbering.title).map(|title| vec![number.clone(), title]);
    let found = both
        .into_iter()
        .chain([vec![number]])
        .find_map(|words| heights(stroke.as_mm()).find_map(|height| placed(&words, height)));
    found.map_or(Vec::new(), |shape| shape.strokes)
}

/// The beginning of a title, if it can be marked.
fn short(title: &str) -> Option<String> {
    let first = wrapped(&[title.to_string()], SHORT_TITLE).into_iter().next()?;
    let can_be_marked = !first.is_empty()
        && first.chars().count() <= SHORT_TITLE
        && stroke_font::check(&first).is_ok();
    can_be_marked.then_some(first)
}
