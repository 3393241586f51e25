//! The pitch block: one step at full size on one page.

use super::grid::{Paper, PaperProblem, tape};
use super::words::{Runs, text};
use crate::export::Stamp;
use crate::export::paper::{Layer, Page, Pen, Run};
use crate::geometry::{Point, Vector};
use crate::solve::Flight;

/// Height of letters, in mm.
const LETTER_MM: f64 = 3.0;
/// What the words under the block take, in mm.
const WORDS_MM: f64 = 26.0;

/// One page with the triangle of a unit rise and a unit run, upright or across, whichever holds it; of half a step where
/// the page does not hold a whole one.
///
/// # Errors
/// If it does not even hold half, or the title has a character without a letter.
pub(super) fn pitch_block(stamp: &Stamp, flight: &Flight, paper: Paper, edge: f64) -> Result<Page, PaperProblem> {
    let across = Paper { width_mm: paper.height_mm, height_mm: paper.width_mm };
    let room = |paper: Paper| Vector::new(paper.width_mm - 2.0 * edge, paper.height_mm - 2.0 * edge - WORDS_MM);
    let step = Vector::new(flight.unit_run.as_mm(), flight.unit_rise.as_mm());
    let candidates = [(1.0, paper), (1.0, across), (0.5, paper), (0.5, across)];
    let holds = |(share, paper): &(f64, Paper)| room(*paper).x >= step.x * share && room(*paper).y >= step.y * share;
    let Some((share, paper)) = candidates.into_iter().find(holds) else {
        return Err(PaperProblem::TooSmall(room(across).x, room(across).y));
    };
    let corner = Point::new(edge, edge + WORDS_MM - 4.0);
    let (foot, top) = (corner + Vector::new(step.x * share, 0.0), corner + step * share);
    let mut runs = vec![Run { points: vec![corner, foot, top, corner], pen: Pen::Edge }];
    let size = if share < 1.0 { "half a step" } else { "one step" };
    let lines = [
        format!("pitch block of {size}, full size: print at 100 percent  job {}", stamp.fingerprint),
        format!("level edge {}  plumb edge {}", tape(flight.unit_run * share), tape(flight.unit_rise * share)),
        stamp.title.clone(),
    ];
    for (i, words) in lines.iter().enumerate() {
        let fits = LETTER_MM.min(LETTER_MM * room(paper).x / crate::lettering::width(words, LETTER_MM));
        runs.extend(text(words, corner - Vector::new(0.0, 7.0 + 7.0 * i as f64), fits, Runs::Across)?);
    }
    Ok(Page {
        width_mm: paper.width_mm,
        height_mm: paper.height_mm,
        layers: vec![Layer { window: None, runs, words: Vec::new() }],
    })
}
