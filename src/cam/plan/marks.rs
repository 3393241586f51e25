//! The marks of a pattern: shallow strokes of a pointed cutter in a program of their own, or scored
//! by a beam before it cuts; and the hanging hole, cut before the outline.

use super::alone::Cut;
use super::clamps::{self, kept_clear};
use super::hole::HANGING;
use super::program::{FeedKind, Program, Step, Task, loose, unclamped};
use super::rough::Roughing;
use super::{by_tool, shift};
use crate::cam::compensate::ToolPath;
use crate::cam::mark::{Hole, Marks};
use crate::diagnostics::{Count, Finding, Outcome, Warned, codes};
use crate::geometry::{Bounds, Point, Segment};
use crate::job::Job;
use crate::optimise::routing::{Effort, End, Problem, Stop, Way, tour};
use crate::profile::{Machine, MarkTool};
use crate::stair::outline::Outline;
use crate::units::{Length, trimmed};

/// The strokes that a program marks, in the stock frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Marking {
    /// The points of every stroke, in the order they are made.
    pub strokes: Vec<Vec<Point>>,
    /// Width of a stroke.
    pub width: Length,
    /// How deep a stroke goes below the material's top; 0 for a beam, which scores.
    pub depth: Length,
}

/// The programs of a part.
#[derive(Clone, Debug)]
pub struct Planned {
    /// Marks alone, before the cut: only where another tool makes them.
    pub marks: Option<Program>,
    /// What a roughing cutter takes before the cut, where the machine has one.
    pub rough: Option<Roughing>,
    /// The cut.
    pub cut: Program,
}

/// The deepest mark, as a share of the material.
pub(super) const DEEPEST: f64 = 0.5;

/// Plans the programs of a part with its marks, and what there is to say about them.
///
/// # Errors
/// The refusals, if the machine cannot make it.
pub fn plan_marked(
    job: &Job,
    outline: &Outline,
    path: &ToolPath,
    marks: &Marks,
) -> Outcome<Planned> {
    unclamped(job, outline, path)?.and_then(|Cut { rough, cut }| {
        let marked = with_marks(job, cut, marks, rough.is_some())?;
        marked.and_then(|(marks, cut)| {
            let clear = |program| kept_clear(program, &clamps::of_alone(job), &job.cut.machine);
            let marks = marks.map(clear).transpose()?;
            let rough = rough.map(|rough| rough.after(marks.is_some()));
            let Cut { rough, cut } = Cut { rough, cut }.kept_clear(job)?;
            let loose = loose(job, path, (&cut, rough.as_ref()));
            Ok(Warned::unless_refused(loose)?.map(|()| Planned { marks, rough, cut }))
        })
    })
}

/// A cut with the marks and the hanging hole of its pattern.
fn with_marks(
    job: &Job,
    cut: Program,
    marks: &Marks,
    is_roughed: bool,
) -> Outcome<(Option<Program>, Program)> {
    let in_stock = |hole: Hole| Hole { center: cut.placement() * hole.center, ..hole };
    let (hole, strokes) = (marks.hole.map(in_stock), in_order(marks, &cut));
    if strokes.is_empty() {
        let cut = holed(job, cut, hole, Vec::new());
        return Ok(Warned::plain((None, cut.within_length()?)));
    }
    if job.cut.machine.tool.scores() {
        let marking = Marking { strokes, width: marks.stroke_width, depth: Length::ZERO };
        let first = scored(&marking);
        let cut = holed(job, Program { marking: Some(marking), ..cut }, hole, first);
        return Ok(Warned::plain((None, cut.within_length()?)));
    }
    marked_alone(job, &cut, strokes, is_roughed)?.and_then(|marks| {
        // In several set-ups each says it of its own, and after roughing that is said.
        let is_second = marks.is_some() && cut.setups.len() == 1 && !is_roughed;
        let words = SECOND.iter().filter(|_| is_second);
        let cut = holed(job, cut, hole, words.map(|words| Step::Say(words.to_string())).collect());
        Ok(Warned::plain((marks, cut.within_length()?)))
    })
}

/// What the marks say at their top.
const FIRST: &str = "FIRST OF TWO PROGRAMS, MARKS ONLY";
const FIRST_OF_THREE: &str = "FIRST OF THREE PROGRAMS, MARKS ONLY";

/// What a cut says at its top where the marks are a program of their own.
pub(super) const SECOND: [&str; 2] =
    ["SECOND OF TWO PROGRAMS, THE MARKS COME FIRST", "SAME X0 Y0, Z0 SET ANEW FOR THIS CUTTER"];

/// The program of the pointed cutter, where there is one that can mark.
fn marked_alone(
    job: &Job,
    cut: &Program,
    strokes: Vec<Vec<Point>>,
    is_roughed: bool,
) -> Outcome<Option<Program>> {
    let thickness = job.cut.material.thickness;
    match job.cut.machine.tool.point() {
        None => Ok(Warned::new(None, vec![no_tool(&strokes)])),
        Some(tool) if tool.depth > thickness * DEEPEST => Err(too_deep(tool, thickness).into()),
        Some(tool) if cut.setups.len() > 1 => Ok(engraved_in_set_ups(job, cut, strokes, tool)),
        Some(tool) => {
            let words = if is_roughed { FIRST_OF_THREE } else { FIRST };
            Ok(Warned::plain(Some(engraved(job, cut, (strokes, words), tool))))
        }
    }
}

/// The clamps of a job with what holds them, on the table.
fn standing<'a>(job: &Job, cut: &'a Program) -> impl Iterator<Item = Bounds> + 'a {
    clamps::of_alone(job).into_iter().map(|clamp| clamp.standing(&cut.stock))
}

/// The program of the pointed cutter in the set-ups of a cut: each stroke in the first that reaches
/// all of it, before the cut there.
fn engraved_in_set_ups(
    job: &Job,
    cut: &Program,
    strokes: Vec<Vec<Point>>,
    tool: MarkTool,
) -> Warned<Option<Program>> {
    let machine = &job.cut.machine;
    let count = cut.setups.len();
    let mut each: Vec<Vec<Vec<Point>>> = vec![Vec::new(); count];
    let mut left: Vec<Vec<Point>> = Vec::new();
    for stroke in strokes {
        match shift::first_reaching(&stroke, &cut.setups, machine) {
            Some(setup) => each[setup].push(stroke),
            None => left.push(stroke),
        }
    }
    let said = if left.is_empty() { Vec::new() } else { vec![shifted(&left)] };
    let stops: Vec<&Step> = cut.steps.iter().filter(|step| matches!(step, Step::Stop(_))).collect();
    let (mut setups, mut steps, mut strokes) = (Vec::new(), Vec::new(), Vec::new());
    for (k, own) in each.into_iter().enumerate().filter(|(_, own)| !own.is_empty()) {
        if !setups.is_empty() {
            steps.push(stops[k - 1].clone());
        }
        setups.push(cut.setups[k]);
        let home = Point::origin() - cut.setups[k];
        // Clamps stand on the table.
        let by = cut.setups[k];
        let clamps: Vec<Bounds> = standing(job, cut)
            .map(|clamp| Bounds { min: clamp.min - by, max: clamp.max - by })
            .collect();
        let words = "MARKS ONLY, BEFORE THE CUT";
        let mut marked = engraving(words, &own, (tool, machine), &clamps);
        marked.pop();
        marked.push(Step::RapidXy(home));
        steps.extend(marked);
        strokes.extend(own);
    }
    if setups.is_empty() {
        return Warned::new(None, said);
    }
    let marking = Marking { strokes, width: tool.width, depth: tool.depth };
    let bare = Program::of_steps(Task::Mark, cut.stock, cut.pieces.clone(), Vec::new(), machine);
    let marks = Program { marking: Some(marking), setups, ..bare }.with_steps(steps, machine);
    Warned::new(Some(marks), said)
}

/// The program with these steps and the hanging hole first, in the set-up that reaches it.
fn holed(job: &Job, cut: Program, hole: Option<Hole>, mut first: Vec<Step>) -> Program {
    let (machine, thickness) = (&job.cut.machine, job.cut.material.thickness);
    first.extend(hole.iter().flat_map(|hole| by_tool::hole(*hole, HANGING, machine, thickness)));
    let setup = hole.map_or(0, |hole| shift::setup_of(hole, &cut, machine));
    // A hole lies in the throat band: no clamp may stand about it.
    let clamp_zone = cut.clamp_zone.filter(|_| hole.is_none());
    let holes = hole.into_iter().chain(cut.holes.iter().copied()).collect();
    begun_with(Program { holes, clamp_zone, ..cut }, first, setup, job)
}

pub(super) fn no_tool(strokes: &[Vec<Point>]) -> Finding {
    codes::MarkNoTool { strokes: Count::from(strokes.len()) }.at("machine")
}

fn shifted(strokes: &[Vec<Point>]) -> Finding {
    codes::MarkShifted { strokes: Count::from(strokes.len()) }.at("machine")
}

pub(super) fn too_deep(tool: MarkTool, thickness: Length) -> Finding {
    codes::MarkTooDeep { measured: tool.depth, limit: thickness * DEEPEST }.at("machine")
}

/// The strokes in the stock frame, in an order and from ends with little travel.
fn in_order(marks: &Marks, cut: &Program) -> Vec<Vec<Point>> {
    let placed =
        |points: &Vec<Point>| points.iter().map(|p| cut.placement() * p).collect::<Vec<Point>>();
    let strokes = marks.strokes.iter().map(|stroke| placed(&stroke.points));
    ordered(strokes.filter(|stroke| stroke.len() > 1).collect(), Point::origin())
}

/// Strokes in an order and from ends with little travel, begun at `home`.
pub(super) fn ordered(strokes: Vec<Vec<Point>>, home: Point) -> Vec<Vec<Point>> {
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
    // One descent: perturbing after it would win 1 % of the time at half of all that making takes.
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

fn along(stroke: &[Point], to_z: f64, feed: FeedKind) -> impl Iterator<Item = Step> + '_ {
    let line = |pair: &[Point]| Segment::Line { from: pair[0], to: pair[1] };
    stroke.windows(2).map(move |pair| Step::Cut { segment: line(pair), to_z, feed })
}

pub(super) fn scored(marking: &Marking) -> Vec<Step> {
    let mut steps = vec![Step::Say("MARKS, SCORED".to_string())];
    for stroke in &marking.strokes {
        steps.extend([Step::RapidXy(stroke[0]), Step::BeamScore]);
        steps.extend(along(stroke, 0.0, FeedKind::Cut));
        steps.push(Step::BeamDark);
    }
    steps
}

/// Too fine for sixteenths.
fn exact(length: Length) -> String {
    format!("{} IN, {} MM", trimmed(length.as_inches(), 4), trimmed(length.as_mm(), 3))
}

/// The longest way from stroke to stroke for which the cutter is lifted just clear of the top, in
/// mm (common practice, no source): on longer ones a sheet is not flat enough.
const HOP_MM: f64 = 50.0;
/// Ends of strokes this near are one point, in mm.
const JOINED_MM: f64 = 1e-6;

/// The steps of the pointed cutter: rapids at the safe height, from a stroke to a near one just
/// clear of the top where no clamp is in the way.
pub(super) fn engraving(
    words: &str,
    strokes: &[Vec<Point>],
    (tool, machine): (MarkTool, &Machine),
    clamps: &[Bounds],
) -> Vec<Step> {
    let (safe, depth) = (machine.safe_height.as_mm(), -tool.depth.as_mm());
    let lift = tool.lift.as_mm().min(safe);
    let mut steps = vec![
        Step::Say(words.to_string()),
        Step::Say(format!("POINTED CUTTER, STROKE {} WIDE", exact(tool.width))),
        Step::Say(format!("{} DEEP", exact(tool.depth))),
        Step::RapidZ(safe),
        Step::ToolOn,
    ];
    let reach = machine.tool_radius().as_mm() + clamps::FROM_CLAMP_MM;
    let is_low = |from: Point, to: Point| {
        let hop = Segment::Line { from, to };
        hop.length() <= HOP_MM
            && !clamps.iter().any(|clamp| clamp.grown(reach).touches(hop.bounds()))
    };
    let mut at: Option<Point> = None;
    for stroke in strokes {
        match at {
            Some(from) if (from - stroke[0]).norm() <= JOINED_MM => {}
            Some(from) if is_low(from, stroke[0]) => {
                steps.extend([Step::RapidZ(lift), Step::RapidXy(stroke[0]), Step::FeedZ(depth)]);
            }
            from => {
                steps.extend(from.map(|_| Step::RapidZ(safe)));
                steps.extend([Step::RapidXy(stroke[0]), Step::RapidZ(lift), Step::FeedZ(depth)]);
            }
        }
        steps.extend(along(stroke, depth, FeedKind::Mark));
        at = stroke.last().copied();
    }
    steps.extend([Step::RapidZ(safe), Step::ToolOff, Step::RapidXy(Point::origin())]);
    steps
}

/// The program of the pointed cutter.
fn engraved(
    job: &Job,
    cut: &Program,
    (strokes, words): (Vec<Vec<Point>>, &str),
    tool: MarkTool,
) -> Program {
    let machine = &job.cut.machine;
    let clamps: Vec<Bounds> = standing(job, cut).collect();
    let steps = engraving(words, &strokes, (tool, machine), &clamps);
    let marking = Marking { strokes, width: tool.width, depth: tool.depth };
    // No clamp zone: it marks the throat band.
    let pieces = cut.pieces.clone();
    let bare = Program::of_steps(Task::Mark, cut.stock, pieces, steps, machine);
    Program { marking: Some(marking), ..bare }
}

/// The program with steps put in where its tool has just been started in a set-up.
fn begun_with(mut program: Program, first: Vec<Step>, setup: usize, job: &Job) -> Program {
    let mut starts = program.steps.iter().enumerate().filter(|(_, step)| **step == Step::ToolOn);
    let started = starts.nth(setup).expect("the tool is started in every set-up").0 + 1;
    let mut steps = std::mem::take(&mut program.steps);
    steps.splice(started..started, first);
    program.with_steps(steps, &job.cut.machine)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::profile::embedded;

    #[test]
    fn from_stroke_to_stroke_the_cutter_stays_low_only_clear_of_clamps() {
        let source = embedded(Some("machine"), "router-table").unwrap();
        let machine = Machine::read("router-table", &source.file, &source.text).unwrap();
        let mm = Length::mm;
        let (width, depth, lift) = (mm(1.0), mm(0.5), mm(2.0));
        let tool = MarkTool { width, depth, feed_mm_min: 1000.0, lift };
        let stroke = |from: f64| vec![Point::new(from, 0.0), Point::new(from + 10.0, 0.0)];
        let reach = machine.tool_radius().as_mm() + clamps::FROM_CLAMP_MM;
        let goes_up = |apart: f64| {
            let min = Point::new(12.0, apart);
            let clamp = Bounds { min, max: Point::new(18.0, apart + 5.0) };
            let strokes = [stroke(0.0), stroke(20.0)];
            let steps = engraving("MARKS", &strokes, (tool, &machine), &[clamp]);
            let safe = Step::RapidZ(machine.safe_height.as_mm());
            // Before the first stroke, behind the last one, and between them.
            steps.iter().filter(|step| **step == safe).count() > 2
        };
        assert!(goes_up(reach - 0.1) && !goes_up(reach + 0.1));
        assert!(goes_up(-reach - 4.9) && !goes_up(-reach - 5.1));
    }
}
