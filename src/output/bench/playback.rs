//! The program's steps as data for the player.

use std::ops::Range;

use serde::Serialize;

use super::Played;
use crate::cam::plan::{FeedKind, Step, Task, feed_mm_min};
use crate::geometry::{Point, Segment, Turn};
use crate::output::content::{is_pass, passes};
use crate::profile::{Machine, ProgramUnits};

/// Decimals of a millimetre in the data: a tenth of a micrometre, finer than any program's last
/// digit.
const SCALE: f64 = 1e4;

/// What the player is given.
#[derive(Serialize)]
pub(super) struct Playbacks {
    /// Which program is shown first.
    first: usize,
    programs: Vec<Playback>,
}

/// One program. Lengths in mm, feeds in mm/min, times in s.
#[derive(Serialize)]
struct Playback {
    /// The name of its file.
    file: String,
    /// What it takes in all: the estimate that is printed.
    time: f64,
    /// Whether its strokes are marks, thinner than what can be seen.
    marks: bool,
    /// The programs whose marks and cuts are on the stock already.
    after: Vec<usize>,
    /// `in` or `mm`: the unit of the program.
    unit: &'static str,
    /// Millimetres in one unit.
    unit_mm: f64,
    /// Decimals of the program's coordinates.
    decimals: usize,
    /// What the program adds to a height from the stock's top.
    z_shift: f64,
    /// Half the width of what the tool takes away; of a pointed cutter, of its stroke.
    radius: f64,
    /// Whether it is a beam.
    beam: bool,
    thickness: f64,
    passes: usize,
    /// Where the tool stands before the first step: X, Y, Z.
    home: [f64; 3],
    /// One row a step: kind, x, y, z, feed, seconds, pass, first line, last line; for an arc also
    /// centre x, y and turn.
    steps: Vec<Vec<f64>>,
    /// The lines of the program.
    lines: Vec<String>,
}

/// Kinds of a step in the data.
const STILL: f64 = 0.0;
const RAPID: f64 = 1.0;
const ENTRY: f64 = 2.0;
const CUT: f64 = 3.0;
const SCORE: f64 = 4.0;

/// How strong a beam is when it is lit.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Power {
    Full,
    Score,
}

/// The data of the programs of a set.
pub(super) fn playbacks(played: &[Played<'_>], first: usize) -> Playbacks {
    let after = |i: usize| (0..i).filter(|before| are_before(played, *before, i)).collect();
    let programs = played.iter().enumerate().map(|(i, of)| playback(of, after(i))).collect();
    Playbacks { first, programs }
}

/// Whether a program marks what the next one cuts, or roughs it, or works on the same stock in its
/// set-up or an earlier one.
fn are_before(played: &[Played<'_>], before: usize, i: usize) -> bool {
    // Marks, then roughing, then the line.
    let is_roughed = played[i - 1].run.program.roughs;
    let is_next = before + 1 == i || is_roughed && before + 2 == i;
    let (before, run) = (&played[before].run, &played[i].run);
    if let (Some(first), Some(own)) = (&before.program.set_up, &run.program.set_up) {
        return first.number > 0 && own.number > 0 && !before.is_frame && !run.is_frame;
    }
    let marks = before.program.task == Task::Mark || before.program.roughs && !run.program.roughs;
    let marks = marks && run.program.task == Task::Cut;
    is_next && marks && !before.is_frame && before.program.stock == run.program.stock
}

fn playback(played: &Played<'_>, after: Vec<usize>) -> Playback {
    let (machine, program) = (played.run.machine, played.run.program);
    let beam = machine.tool.beam().is_some();
    let home_z = machine.rapid_height().as_mm();
    // The player stays with the stock: X0 Y0 of the machine lies elsewhere on it after a shift.
    let home = program.setups.first().map_or_else(Point::origin, |by| Point::origin() - by);
    let mut walk =
        Walk { machine, at: home, z: home_z, pass: if beam { 1 } else { 0 }, power: Power::Full };
    let marking = program.marking.as_ref().filter(|_| program.task == Task::Mark);
    let radius = match marking {
        Some(marking) if !beam => marking.width.as_mm() / 2.0,
        _ => machine.tool_radius().as_mm(),
    };
    let times = program.step_times_s(machine);
    let rows = program.steps.iter().zip(&played.lines).zip(times);
    Playback {
        file: played.run.file.clone(),
        time: program.time_s,
        marks: marking.is_some(),
        after,
        unit: match machine.units {
            ProgramUnits::Inches => "in",
            ProgramUnits::Millimetres => "mm",
        },
        unit_mm: machine.units.in_mm(),
        decimals: machine.decimals,
        z_shift: program.z_shift_mm(machine.z_zero),
        radius,
        // A frame goes round with the beam off.
        beam: beam && !played.run.is_frame,
        thickness: program.stock.thickness.as_mm(),
        passes: passes(program),
        home: [home.x, home.y, home_z].map(rounded),
        steps: rows.map(|((step, lines), time)| walk.row(step, lines, time)).collect(),
        lines: played.text.lines().map(str::to_string).collect(),
    }
}

/// On the data's grid, never a negative zero.
fn rounded(mm: f64) -> f64 {
    (mm * SCALE).round() / SCALE + 0.0
}

struct Walk<'a> {
    machine: &'a Machine,
    at: Point,
    z: f64,
    pass: usize,
    power: Power,
}

impl Walk<'_> {
    fn row(&mut self, step: &Step, lines: &Range<usize>, seconds: f64) -> Vec<f64> {
        let (kind, feed, way) = self.moved(step);
        let numbers = [self.at.x, self.at.y, self.z, feed, seconds].map(rounded);
        let mut row = vec![kind];
        row.extend(numbers);
        // An empty range is a step that wrote no line of its own: 0 stands for none.
        let last = if lines.is_empty() { 0 } else { lines.end - 1 };
        let first = if lines.is_empty() { 0 } else { lines.start };
        row.extend([self.pass, first, last].map(|n| n as f64));
        if let Some(Segment::Arc { center, turn, .. }) = way {
            row.extend([
                rounded(center.x),
                rounded(center.y),
                if turn == Turn::Left { 1.0 } else { -1.0 },
            ]);
        }
        row
    }

    /// Takes the step: its kind, its feed, and its way if that is a segment.
    fn moved(&mut self, step: &Step) -> (f64, f64, Option<Segment>) {
        let rapid = self.machine.rapid_mm_min;
        match step {
            Step::Say(_) => {
                self.pass += usize::from(is_pass(step));
                (STILL, 0.0, None)
            }
            Step::BeamOn | Step::BeamScore => {
                self.power = if *step == Step::BeamScore { Power::Score } else { Power::Full };
                (STILL, 0.0, None)
            }
            Step::ToolOn | Step::ToolOff | Step::BeamDark | Step::Stop(_) => (STILL, 0.0, None),
            Step::RapidZ(z) => {
                self.z = *z;
                (RAPID, rapid, None)
            }
            Step::RapidXy(to) => {
                self.at = *to;
                (RAPID, rapid, None)
            }
            Step::FeedZ(z) => {
                self.z = *z;
                (ENTRY, feed_mm_min(self.machine, FeedKind::Plunge), None)
            }
            Step::Cut { segment, to_z, feed } => {
                (self.at, self.z) = (segment.to(), *to_z);
                let kind = match (self.power, feed) {
                    (Power::Score, _) => SCORE,
                    (Power::Full, FeedKind::Entry | FeedKind::Plunge) => ENTRY,
                    (
                        Power::Full,
                        FeedKind::Cut | FeedKind::LastPass | FeedKind::Finish | FeedKind::Mark,
                    ) => CUT,
                };
                (kind, feed_mm_min(self.machine, *feed), Some(*segment))
            }
        }
    }
}
