//! The pitch block: one step at full size on one page.

use super::grid::{Paper, PaperProblem, tape};
use super::words::{Runs, text};
use crate::export::Stamp;
use crate::export::paper::{Layer, Page, Pen, Run};
use crate::geometry::{Point, Vector};
use crate::solve::Flight;

/// Height of letters, in mm.
const LETTER_MM: f64 = 3.0;

/// One page with the triangle of a unit rise and a unit run, upright or across, whichever holds it.
///
/// # Errors
/// If neither holds it, or the title has a character without a letter.
pub(super) fn pitch_block(stamp: &Stamp, flight: &Flight, paper: Paper, edge: f64) -> Result<Page, PaperProblem> {
    let (rise, run) = (flight.unit_rise.as_mm(), flight.unit_run.as_mm());
    let across = Paper { width_mm: paper.height_mm, height_mm: paper.width_mm };
    let room = |paper: Paper| Vector::new(paper.width_mm - 2.0 * edge - 8.0, paper.height_mm - 2.0 * edge - 30.0);
    let holds = |paper: &Paper| room(*paper).x >= run && room(*paper).y >= rise;
    let paper =
        [paper, across].into_iter().find(holds).ok_or(PaperProblem::TooSmall(room(across).x, room(across).y))?;
    let corner = Point::new(edge + 4.0, edge + 26.0);
    let (foot, top) = (corner + Vector::new(run, 0.0), corner + Vector::new(run, rise));
    let mut runs = vec![Run { points: vec![corner, foot, top, corner], pen: Pen::Edge }];
    let lines = [
        format!("pitch block, full size: print at 100 percent  job {}", stamp.fingerprint),
        format!("level edge {}  plumb edge {}", tape(flight.unit_run), tape(flight.unit_rise)),
        stamp.title.clone(),
    ];
    for (i, words) in lines.iter().enumerate() {
        let fits = LETTER_MM.min(LETTER_MM * room(paper).x / crate::lettering::width(words, LETTER_MM));
        runs.extend(text(words, corner - Vector::new(0.0, 8.0 + 7.0 * i as f64), fits, Runs::Across)?);
    }
    Ok(Page { width_mm: paper.width_mm, height_mm: paper.height_mm, layers: vec![Layer { window: None, runs }] })
}
