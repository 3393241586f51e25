//! The marks of all pieces of a sheet.

use super::Sheet;
use super::Tooled;
use crate::cam::plan::marks::{Marking, engraving, scored as scored_steps};
use crate::cam::plan::program::{Placed, Program, Step, Task};
use crate::geometry::Point;
use crate::optimise::routing::{Effort, End, Problem, Stop, Way, tour};
use crate::profile::MarkTool;
use crate::units::Length;

/// Above this many strokes the pieces are marked one after the other.
const MOST_TOGETHER: usize = 1500;

/// The strokes of every piece in the stock frame, in an order with little travel.
pub(super) fn placed(kinds: &[Tooled], pieces: &[Placed]) -> Vec<Vec<Point>> {
    let on = |piece: &Placed| -> Vec<Vec<Point>> {
        let strokes = kinds[piece.kind].strokes.iter().filter(|stroke| stroke.len() > 1);
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

fn ordered(strokes: Vec<Vec<Point>>, home: Point) -> Vec<Vec<Point>> {
    let ends = |stroke: &Vec<Point>| (stroke[0], stroke[stroke.len() - 1]);
    let ways = |stroke: &Vec<Point>| {
        let (first, last) = ends(stroke);
        vec![Way { enter: first, leave: last }, Way { enter: last, leave: first }]
    };
    let stops: Vec<Stop> = strokes
        .iter()
        .map(|stroke| Stop { ways: ways(stroke), after: Vec::new(), rank: 0 })
        .collect();
    let problem =
        Problem::new(&stops, home, End::Anywhere).expect("strokes have ways and need no order");
    let found = tour(&problem, Effort { level: 0, seed: 0 });
    let mut left: Vec<Option<Vec<Point>>> = strokes.into_iter().map(Some).collect();
    let taken = found.visits.iter().map(|visit| {
        let mut stroke = left[visit.stop].take().expect("a tour makes every stroke once");
        if visit.way == 1 {
            stroke.reverse();
        }
        stroke
    });
    taken.collect()
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
    let safe = sheet.machine.safe_height.as_mm();
    let steps = engraving("MARKS ONLY, BEFORE THE CUT", &strokes, tool, safe);
    Program {
        marking: Some(Marking { strokes, width: tool.width, depth: tool.depth }),
        ..Program::of_steps(Task::Mark, sheet.stock, pieces.to_vec(), steps, sheet.machine)
    }
}
