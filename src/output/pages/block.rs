//! The pitch block: one step at full size on one page.

use super::grid::{PaperProblem, page};
use super::marks::fitted;
use crate::geometry::{Point, Vector};
use crate::output::Stamp;
use crate::output::page::{Item, Layer, Line, Page, Size};
use crate::stair::Flight;

/// Height of letters, in mm.
const LETTER_MM: f64 = 3.0;
/// What the words under the block take, in mm.
const WORDS_MM: f64 = 26.0;

/// One page with the triangle of a unit rise and a unit run, upright or across, whichever holds it;
/// of half a step where the page does not hold a whole one.
///
/// # Errors
/// If it does not even hold half.
pub(super) fn pitch_block(
    stamp: &Stamp,
    flight: &Flight,
    paper: Size,
    edge: f64,
) -> Result<Page, PaperProblem> {
    let across = paper.turned();
    let room = |paper: Size| {
        Vector::new(paper.width_mm - 2.0 * edge, paper.height_mm - 2.0 * edge - WORDS_MM)
    };
    let step = Vector::new(flight.unit_run.as_mm(), flight.unit_rise.as_mm());
    let candidates = [(1.0, paper), (1.0, across), (0.5, paper), (0.5, across)];
    let holds = |(share, paper): &(f64, Size)| {
        room(*paper).x >= step.x * share && room(*paper).y >= step.y * share
    };
    let Some((share, paper)) = candidates.into_iter().find(holds) else {
        return Err(PaperProblem::TooSmall(room(across).x, room(across).y));
    };
    let corner = Point::new(edge, edge + WORDS_MM - 4.0);
    let (foot, top) = (corner + Vector::new(step.x * share, 0.0), corner + step * share);
    let size = if share < 1.0 { "half a step" } else { "one step" };
    let lines = [
        format!(
            "pitch block of {size}, full size: print at 100 percent  job {}",
            stamp.fingerprint
        ),
        format!("level edge {}  plumb edge {}", flight.unit_run * share, flight.unit_rise * share),
        stamp.title.clone(),
    ];
    let text = |(i, words): (usize, &String)| {
        fitted(words, corner - Vector::new(0.0, 7.0 + 7.0 * i as f64), LETTER_MM, room(paper).x)
    };
    let items = vec![Item::closed(vec![corner, foot, top], Line::VisibleEdge)];
    let layer = Layer { window: None, items, texts: lines.iter().enumerate().map(text).collect() };
    Ok(page(stamp, paper, size, vec![layer]))
}
