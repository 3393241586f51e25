//! The marks of a pattern: shallow strokes of a pointed cutter in a program of their own, or scored by a beam before it
//! cuts; and the hanging hole, cut before the outline.

use super::clamps::{self, kept_clear};
use super::program::{FeedKind, Process, Program, Step, Task, loose, unclamped};
use super::{hole, shift, time};
use crate::compensate::ToolPath;
use crate::diagnostics::{Count, Finding, codes};
use crate::geometry::{Point, Segment};
use crate::mark::{Hole, Marks};
use crate::measure::Job;
use crate::outline::Outline;
use crate::profile::{MarkTool, Tool};
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
) -> Result<(Planned, Vec<Finding>), Vec<Finding>> {
    let (cut, mut findings) = unclamped(job, outline, path)?;
    let in_stock = |hole: Hole| Hole { center: cut.placement() * hole.center, ..hole };
    let hole = marks.hole.map(in_stock);
    let strokes = in_order(marks, &cut);
    let planned = match &job.cut.machine.tool {
        Tool::Laser(beam) => {
            let marking = Marking { strokes, width: marks.stroke_width, depth: Length::ZERO };
            let mut first = scored(&marking);
            first.extend(hole.iter().flat_map(|hole| hole::burnt(*hole, hole::HANGING, &job.cut.machine, beam)));
            let cut = Program { marking: Some(marking), holes: hole.into_iter().collect(), ..cut };
            Planned { marks: None, cut: begun_with(cut, first, 0, job).within_length()? }
        }
        Tool::Router(router) => {
            let thickness = job.cut.material.thickness;
            let (marks, said) = match router.mark {
                _ if cut.setups.len() > 1 => (None, Some(shifted(&strokes))),
                None => (None, no_tool(&strokes)),
                Some(tool) if tool.depth > thickness * DEEPEST => return Err(vec![too_deep(tool, thickness)]),
                Some(tool) => (Some(engraved(job, &cut, strokes, tool)), None),
            };
            findings.extend(said);
            let depth = (thickness + router.cut_through).as_mm();
            let mut first: Vec<Step> = Vec::new();
            if marks.is_some() {
                first.push(Step::Say("SECOND OF TWO PROGRAMS, THE MARKS COME FIRST".to_string()));
                first.push(Step::Say("SAME X0 Y0, Z0 SET ANEW FOR THIS CUTTER".to_string()));
            }
            first.extend(
                hole.iter().flat_map(|hole| hole::routed(*hole, hole::HANGING, &job.cut.machine, router, depth)),
            );
            let setup = hole.map_or(0, |hole| shift::setup_of(hole, &cut, &job.cut.machine));
            // A hole lies in the throat band: no clamp may stand about it.
            let clamp_zone = cut.clamp_zone.filter(|_| hole.is_none());
            let cut = Program { holes: hole.into_iter().collect(), clamp_zone, ..cut };
            Planned { marks, cut: begun_with(cut, first, setup, job).within_length()? }
        }
    };
    let (clamps, machine) = (clamps::of_alone(job), &job.cut.machine);
    let clear = |program: Program| kept_clear(program, &clamps, machine);
    let planned = Planned { marks: planned.marks.map(clear).transpose()?, cut: clear(planned.cut)? };
    let loose = loose(job, path, &planned.cut);
    if loose.is_empty() { Ok((planned, findings)) } else { Err([findings, loose].concat()) }
}

pub(super) fn no_tool(strokes: &[Vec<Point>]) -> Option<Finding> {
    Some(codes::MarkNoTool { strokes: Count::from(strokes.len()) }.at("machine"))
}

fn shifted(strokes: &[Vec<Point>]) -> Finding {
    codes::MarkShifted { strokes: Count::from(strokes.len()) }.at("machine")
}

pub(super) fn too_deep(tool: MarkTool, thickness: Length) -> Finding {
    codes::MarkTooDeep { measured: tool.depth, limit: thickness * DEEPEST }.at("machine")
}

/// The strokes in the stock frame, each begun at the end that is nearest to where the tool is.
fn in_order(marks: &Marks, cut: &Program) -> Vec<Vec<Point>> {
    let placed = |points: &Vec<Point>| points.iter().map(|p| cut.placement() * p).collect::<Vec<Point>>();
    let mut left: Vec<Vec<Point>> = marks.strokes.iter().map(|stroke| placed(&stroke.points)).collect();
    left.retain(|stroke| stroke.len() > 1);
    let (mut at, mut ordered) = (Point::origin(), Vec::with_capacity(left.len()));
    while !left.is_empty() {
        let way = |stroke: &Vec<Point>| (stroke[0] - at).norm().min((stroke[stroke.len() - 1] - at).norm());
        let nearest = (0..left.len()).min_by(|a, b| way(&left[*a]).total_cmp(&way(&left[*b]))).unwrap_or(0);
        let mut stroke = left.swap_remove(nearest);
        if (stroke[stroke.len() - 1] - at).norm() < (stroke[0] - at).norm() {
            stroke.reverse();
        }
        at = stroke[stroke.len() - 1];
        ordered.push(stroke);
    }
    ordered
}

fn along(stroke: &[Point], to_z: f64) -> impl Iterator<Item = Step> + '_ {
    let line = |pair: &[Point]| Segment::Line { from: pair[0], to: pair[1] };
    stroke.windows(2).map(move |pair| Step::Cut { segment: line(pair), to_z, feed: FeedKind::Cut })
}

pub(super) fn scored(marking: &Marking) -> Vec<Step> {
    let mut steps = vec![Step::Say("MARKS, SCORED".to_string())];
    for stroke in &marking.strokes {
        steps.extend([Step::RapidXy(stroke[0]), Step::BeamScore]);
        steps.extend(along(stroke, 0.0));
        steps.push(Step::BeamDark);
    }
    steps
}

/// Too fine for sixteenths.
fn exact(length: Length) -> String {
    format!("{} IN, {} MM", trimmed(length.as_inches(), 4), trimmed(length.as_mm(), 3))
}

/// The steps of the pointed cutter, rapids at the safe height.
pub(super) fn engraving(words: &str, strokes: &[Vec<Point>], tool: MarkTool, safe: f64) -> Vec<Step> {
    let mut steps = vec![
        Step::Say(words.to_string()),
        Step::Say(format!("POINTED CUTTER, STROKE {} WIDE", exact(tool.width))),
        Step::Say(format!("{} DEEP", exact(tool.depth))),
        Step::RapidZ(safe),
        Step::ToolOn,
    ];
    for stroke in strokes {
        steps.extend([Step::RapidXy(stroke[0]), Step::FeedZ(-tool.depth.as_mm())]);
        steps.extend(along(stroke, -tool.depth.as_mm()));
        steps.push(Step::RapidZ(safe));
    }
    steps.extend([Step::ToolOff, Step::RapidXy(Point::origin())]);
    steps
}

/// The program of the pointed cutter.
fn engraved(job: &Job, cut: &Program, strokes: Vec<Vec<Point>>, tool: MarkTool) -> Program {
    let safe = job.cut.machine.safe_height.as_mm();
    let steps = engraving("FIRST OF TWO PROGRAMS, MARKS ONLY", &strokes, tool, safe);
    let marking = Marking { strokes, width: tool.width, depth: tool.depth };
    timed(
        Program {
            process: Process::Router,
            task: Task::Mark,
            marking: Some(marking),
            holes: Vec::new(),
            // It marks the throat band.
            clamp_zone: None,
            steps,
            tabs: Vec::new(),
            leads: Vec::new(),
            ways: Vec::new(),
            ..cut.clone()
        },
        job,
    )
}

/// The program with steps put in where its tool has just been started in a set-up.
fn begun_with(mut program: Program, first: Vec<Step>, setup: usize, job: &Job) -> Program {
    let mut starts = program.steps.iter().enumerate().filter(|(_, step)| **step == Step::ToolOn);
    let started = starts.nth(setup).map_or(0, |(place, _)| place + 1);
    program.steps.splice(started..started, first);
    timed(program, job)
}

fn timed(program: Program, job: &Job) -> Program {
    let estimate = time::estimate(&program.steps, &program.setups, &job.cut.machine);
    Program {
        cut_length_mm: estimate.cut_length_mm,
        rapid_length_mm: estimate.rapid_length_mm,
        time_s: estimate.time_s,
        ..program
    }
}
