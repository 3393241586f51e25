//! The marks of all pieces of a sheet.

use super::Sheet;
use super::Tooled;
use crate::cam::plan::marks::{Marking, engraving, ordered, scored as scored_steps};
use crate::cam::plan::program::{Placed, Program, Step, Task};
use crate::geometry::{Bounds, Point};
use crate::profile::MarkTool;
use crate::units::Length;

/// Above this many strokes the pieces are marked one after the other.
const MOST_TOGETHER: usize = 1500;

/// The strokes of every piece in the stock frame, in an order with little travel.
pub(super) fn placed(kinds: &[Tooled], pieces: &[Placed]) -> Vec<Vec<Point>> {
    let on = |piece: &Placed| -> Vec<Vec<Point>> {
        let strokes = kinds[piece.kind].strokes.iter().chain(&piece.strokes);
        let strokes = strokes.filter(|stroke| stroke.len() > 1);
        strokes.map(|stroke| stroke.iter().map(|p| piece.placement * p).collect()).collect()
    };
    let groups: Vec<Vec<Vec<Point>>> = pieces.iter().map(on).collect();
    let count: usize = groups.iter().map(Vec::len).sum();
    if count <= MOST_TOGETHER {
        return ordered(groups.into_iter().flatten().collect(), Point::origin());
    }
    let mut all: Vec<Vec<Point>> = Vec::with_capacity(count);
    for group in groups {
        let at = all.last().and_then(|stroke| stroke.last().copied()).unwrap_or_else(Point::origin);
        all.extend(ordered(group, at));
    }
    all
}

/// The steps of a tool that scores first; nothing for one that does not.
pub(super) fn scored(
    sheet: &Sheet<'_>,
    strokes: &[Vec<Point>],
    marking: &mut Option<Marking>,
) -> Vec<Step> {
    if strokes.is_empty() || !sheet.machine.tool.scores() {
        return Vec::new();
    }
    let scoring = Marking {
        strokes: strokes.to_vec(),
        width: sheet.machine.tool.stroke_width(),
        depth: Length::ZERO,
    };
    let steps = scored_steps(&scoring);
    *marking = Some(scoring);
    steps
}

/// The program of the pointed cutter.
pub(super) fn engraved(
    sheet: &Sheet<'_>,
    pieces: &[Placed],
    strokes: Vec<Vec<Point>>,
    tool: MarkTool,
) -> Program {
    let clamps: Vec<Bounds> =
        sheet.clamps.iter().map(|clamp| clamp.standing(&sheet.stock)).collect();
    let words = "MARKS ONLY, BEFORE THE CUT";
    let steps = engraving(words, &strokes, (tool, sheet.machine), &clamps);
    Program {
        marking: Some(Marking { strokes, width: tool.width, depth: tool.depth }),
        ..Program::of_steps(Task::Mark, sheet.stock, pieces.to_vec(), steps, sheet.machine)
    }
}
