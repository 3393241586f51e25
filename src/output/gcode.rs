//! The program as plain G-code: RS-274/NGC as published in NISTIR 6556, words of ISO 6983-1.

use std::ops::Range;

use super::program_heading::heading;
use super::{Stamp, again, spelling};
use crate::cam::compensate::{Ledger, LedgerEntry};
use crate::cam::plan::{FeedKind, Program, Step, Task, feed_mm_min};
use crate::geometry::{Placement, Point, Segment, Turn};
use crate::profile::{
    ArcCentres, BeamWord, CommentStyle, DwellUnit, EndWord, LineEnds, Machine, PathControl,
    ProgramUnits,
};
use crate::units::{decimal, trimmed};

/// The longest line that every controller takes.
const LONGEST_LINE: usize = 70;
/// The longest comment that stands on one line.
pub(super) const LONGEST_COMMENT: usize = LONGEST_LINE - 2;

/// The text of a program.
pub fn gcode(stamp: &Stamp, machine: &Machine, ledger: &Ledger, program: &Program) -> String {
    gcode_and_lines(stamp, machine, ledger, program).0
}

/// The text of a program, and for every step of it the lines it became, counted from 1; an empty
/// range for a step that has no line of its own.
pub fn gcode_and_lines(
    stamp: &Stamp,
    machine: &Machine,
    ledger: &Ledger,
    program: &Program,
) -> (String, Vec<Range<usize>>) {
    gcode_compensated(stamp, machine, &ledger.entries(), program)
}

/// The same of what was compensated in this way.
pub fn gcode_compensated(
    stamp: &Stamp,
    machine: &Machine,
    compensated: &[&LedgerEntry],
    program: &Program,
) -> (String, Vec<Range<usize>>) {
    written(&heading(stamp, machine, compensated, program), machine, program)
}

/// The text of a program under these comments, and the lines of each step. Where its numbers would
/// run past the last in the steps that the profile asks for, they go in the largest that fit, so
/// that none stands twice.
pub(super) fn written(
    comments: &[String],
    machine: &Machine,
    program: &Program,
) -> (String, Vec<Range<usize>>) {
    let asked = machine.words.line_step;
    // The lines that the top names lie below it: they are known once it is as long as it will be.
    let mut lines = again::Lines::default();
    let mut numbers: Vec<Option<u32>> = Vec::new();
    let mut step = asked;
    for _ in 0..MOST_TURNS {
        let number = |line: usize| numbers.get(line).copied().flatten();
        let more = again::comments(program, machine, &lines, number);
        let writing = in_steps(&[comments, &more].concat(), (machine, step), program);
        let fits =
            asked.zip(again::fitting_step(writing.numbered)).map(|(asked, fits)| asked.min(fits));
        let is_told = writing.again == lines && writing.numbers == numbers;
        if is_told && (asked.is_none() || fits.is_none() || fits == step) {
            return (writing.text, writing.lines);
        }
        (lines, numbers) = (writing.again, writing.numbers);
        step = fits.or(asked);
    }
    unreachable!("the top of a program is as long whatever lines it names")
}

/// The top is written once to see how long it is, once for the step of line numbers, once to name
/// the lines, and once to see that they are so.
const MOST_TURNS: usize = 8;

/// A program as it was written once.
struct Writing {
    text: String,
    /// Of each step.
    lines: Vec<Range<usize>>,
    /// What its top names.
    again: again::Lines,
    /// The number that stands on each line, by the line; line 0 is none.
    numbers: Vec<Option<u32>>,
    /// How many lines have a number, or would have one.
    numbered: u32,
}

fn in_steps(
    comments: &[String],
    (machine, step): (&Machine, Option<u32>),
    program: &Program,
) -> Writing {
    let mut writer = Writer::new(machine, program);
    writer.step = step;
    if machine.percent_lines {
        writer.bare("%");
    }
    for text in comments {
        writer.comment(text);
    }
    let begun = writer.lines + 1;
    writer.preamble(program.task);
    let mut lines = Vec::with_capacity(program.steps.len());
    let places = program.again();
    let mut again = again::Lines::default();
    for (i, step) in program.steps.iter().enumerate() {
        let first = writer.lines + 1;
        if let Some(number) = places.iter().position(|place| place.step == i) {
            again.places.push(first);
            let rest = &program.steps[i..];
            let word = again::word(number + 1, places.len());
            writer.begin_anew(&word, rest, program.begins_aside());
        } else {
            writer.step(step);
        }
        lines.push(first..writer.lines + 1);
        if *step == Step::ToolOn && again.first.is_none() {
            again.first = Some(begun..=writer.lines);
        }
    }
    writer.ending();
    if machine.percent_lines {
        writer.bare("%");
    }
    if places.is_empty() {
        again = again::Lines::default();
    }
    let Writer { text, numbers, numbered, .. } = writer;
    let numbers = if step.is_some() && !places.is_empty() { numbers } else { Vec::new() };
    Writing { text, lines, again, numbers, numbered }
}

/// A number that is whole in its last printed digit stays so: what binary fractions are off by.
const ROUNDING: f64 = 1e-6;

/// A speed or power as it is printed, with one decimal, and never above what the profile says.
fn at_most(value: f64) -> f64 {
    (value * 10.0 + ROUNDING).floor() / 10.0
}

/// Decimals of a blend's tolerance: a micrometre in inches.
const BLEND_DECIMALS: usize = 6;

/// The greatest line number: five digits are what controls take.
pub const LAST_NUMBER: u32 = 99_999;

/// Characters of the longest line number, with the space behind it.
const NUMBER_LONG: usize = 7;

/// A coordinate as a whole number of the program's last digits.
type Grid = i64;

struct Writer<'a> {
    machine: &'a Machine,
    z_shift: f64,
    /// Where the stock lies on the machine.
    setup: Placement,
    scale: f64,
    text: String,
    lines: usize,
    /// The step of line numbers, where there are any.
    step: Option<u32>,
    /// How many lines have a number, or would have one.
    numbered: u32,
    /// The number of each line, by the line; line 0 is none.
    numbers: Vec<Option<u32>>,
    at: Option<(Grid, Grid)>,
    z: Option<Grid>,
    /// The F word in force.
    feed: Option<String>,
    beam: Option<f64>,
}

impl<'a> Writer<'a> {
    fn new(machine: &'a Machine, program: &'a Program) -> Self {
        let scale = 10_f64.powi(machine.decimals as i32) / machine.units.in_mm();
        let setup = program
            .setups
            .first()
            .map_or_else(Placement::identity, |setup| Placement::translation(setup.x, setup.y));
        Writer {
            machine,
            z_shift: program.z_shift_mm(machine.z_zero),
            setup,
            scale,
            text: String::new(),
            lines: 0,
            step: None,
            numbered: 0,
            numbers: vec![None],
            at: None,
            z: None,
            feed: None,
            beam: None,
        }
    }

    /// A line of words, with its number where the control wants one.
    fn line(&mut self, line: &str) {
        self.numbered += 1;
        // Past the last number there is none: such a program is refused, or has smaller steps.
        let number = self.step.and_then(|step| step.checked_mul(self.numbered));
        match number.filter(|number| *number <= LAST_NUMBER) {
            Some(number) => {
                self.bare(&format!("N{number} {line}"));
                self.numbers[self.lines] = Some(number);
            }
            None => self.bare(line),
        }
    }

    /// A line as it is.
    fn bare(&mut self, line: &str) {
        debug_assert!(line.len() <= LONGEST_LINE, "{line}");
        self.text.push_str(line);
        self.text.push_str(match self.machine.words.line_ends {
            LineEnds::Lf => "\n",
            LineEnds::CrLf => "\r\n",
        });
        self.lines += 1;
        self.numbers.push(None);
    }

    /// A place to go on from: its words, then the height and the feed anew, so that no line before
    /// it is needed but those that the top names. Where it first goes up, that height alone is
    /// said: any other would be a way down from where those lines leave the tool. `aside`: the
    /// operator brings the tool there first, clear of clamps.
    fn begin_anew(&mut self, word: &str, rest: &[Step], aside: bool) {
        self.comment(word);
        let first = again::first_across(rest).map(|to| self.grid_point(self.setup * to));
        if let Some((x, y)) = first.filter(|_| aside) {
            self.comment(&again::over(&self.printed(x), &self.printed(y)));
        }
        self.step(&rest[0]);
        self.feed = None;
        let rises = rest.iter().find(|step| !matches!(step, Step::Say(_)));
        if matches!(rises, Some(Step::RapidZ(_))) {
            self.z = None;
        } else if let Some(z) = self.z {
            let line = format!("G0 Z{}", self.printed(z));
            self.line(&line);
        }
    }

    /// A comment, over several lines if it is long, spelled so that every control passes over it.
    fn comment(&mut self, words: &str) {
        let words = spelling::comment(words);
        for row in spelling::rows(&words, LONGEST_COMMENT) {
            match self.machine.comments {
                CommentStyle::Parentheses => self.bare(&format!("({row})")),
                CommentStyle::Semicolon => self.bare(&format!("; {row}")),
            }
        }
    }

    /// Every state that a control may be left in by the program before is said.
    fn preamble(&mut self, task: Task) {
        let words = &self.machine.words;
        self.line(match self.machine.units {
            ProgramUnits::Inches => "G20",
            ProgramUnits::Millimetres => "G21",
        });
        let offset = format!("G{}", words.work_offset);
        for word in ["G17", "G40", "G49", &offset, "G80", "G90", "G94"] {
            self.line(word);
        }
        match words.arc_centres {
            ArcCentres::Absolute => self.line("G90.1"),
            ArcCentres::FromStart if self.machine.says_incremental_centres => self.line("G91.1"),
            ArcCentres::FromStart | ArcCentres::Radius => {}
        }
        match words.path {
            Some(PathControl::Exact) => self.line("G61"),
            Some(PathControl::Blend(most)) => {
                let most = trimmed(most.as_mm() / self.machine.units.in_mm(), BLEND_DECIMALS);
                self.line(&format!("G64 P{most}"));
            }
            None => {}
        }
        self.call_tool(task);
    }

    /// The tool out of the changer, and its length from the control's table.
    fn call_tool(&mut self, task: Task) {
        let Some(tools) = self.machine.words.tools else { return };
        let number = tools
            .number(task == Task::Mark)
            .expect("a profile with a pointed cutter in a changer has its number");
        self.line(&format!("T{number} M6"));
        if tools.length {
            self.line(&format!("G43 H{number}"));
        }
    }

    fn ending(&mut self) {
        let words = &self.machine.words;
        if words.machine_top {
            self.line("G53 G0 Z0");
        }
        if words.tools.is_some_and(|tools| tools.length) {
            self.line("G49");
        }
        self.line(match self.machine.end {
            EndWord::M2 => "M2",
            EndWord::M30 => "M30",
        });
    }

    fn step(&mut self, step: &Step) {
        match step {
            Step::Say(words) => self.comment(words),
            Step::Stop(_) => unreachable!("each set-up has a program of its own"),
            Step::ToolOn => self.tool_on(),
            Step::ToolOff => {
                self.line("M5");
                if self.machine.words.air.is_some() {
                    self.line("M9");
                }
            }
            Step::BeamOn => self.beam = self.cut_power(),
            Step::BeamScore => self.beam = self.score_power(),
            Step::BeamDark => self.line("S0"),
            Step::RapidZ(z) => self.upright("G0", *z, None),
            Step::FeedZ(z) => self.upright("G1", *z, Some(FeedKind::Plunge)),
            Step::RapidXy(to) => self.rapid(*to),
            Step::Cut { segment, to_z, feed } => self.cut(segment, *to_z, *feed),
        }
    }

    fn cut_power(&self) -> Option<f64> {
        self.machine.tool.beam().map(|beam| at_most(beam.cut_s()))
    }

    fn score_power(&self) -> Option<f64> {
        self.machine.tool.beam().map(|beam| beam.full_power * beam.mark_power)
    }

    fn tool_on(&mut self) {
        if let Some(air) = self.machine.words.air {
            self.line(air.name());
        }
        let tool = &self.machine.tool;
        if let Some(cutter) = tool.cutter() {
            self.line(&format!("M3 S{}", trimmed(at_most(cutter.speed_rpm), 1)));
        }
        if let Some(beam) = tool.beam() {
            self.line(match self.machine.beam_word(beam) {
                BeamWord::M3 => "M3 S0",
                BeamWord::M4 => "M4 S0",
            });
        }
        if tool.spin_up_s() > 0.0 {
            // Never shorter than asked.
            let dwell = match self.machine.dwell {
                DwellUnit::Seconds => {
                    decimal((tool.spin_up_s() * 10.0 - ROUNDING).ceil() / 10.0, 1)
                }
                DwellUnit::Milliseconds => {
                    trimmed((tool.spin_up_s() * 1000.0 - ROUNDING).ceil(), 0)
                }
            };
            self.line(&format!("G4 P{dwell}"));
        }
    }

    fn grid(&self, mm: f64) -> Grid {
        (mm * self.scale).round() as Grid
    }

    fn grid_point(&self, p: Point) -> (Grid, Grid) {
        (self.grid(p.x), self.grid(p.y))
    }

    /// A grid number in fixed point; a whole number divided by a power of ten has no negative zero.
    fn printed(&self, grid: Grid) -> String {
        decimal(grid as f64 / 10_f64.powi(self.machine.decimals as i32), self.machine.decimals)
    }

    fn upright(&mut self, word: &str, z: f64, feed: Option<FeedKind>) {
        let z = self.grid(z + self.z_shift);
        if self.z == Some(z) {
            return;
        }
        self.z = Some(z);
        let feed = feed.map_or(String::new(), |kind| self.feed_word(kind));
        let line = format!("{word} Z{}{feed}", self.printed(z));
        self.line(&line);
    }

    fn rapid(&mut self, to: Point) {
        let to = self.grid_point(self.setup * to);
        self.at = Some(to);
        let dark = if self.cut_power().is_some() { " S0" } else { "" };
        let line = format!("G0 X{} Y{}{dark}", self.printed(to.0), self.printed(to.1));
        self.line(&line);
    }

    /// The F word where the feed changes.
    fn feed_word(&mut self, kind: FeedKind) -> String {
        let feed = feed_mm_min(self.machine, kind);
        let word = format!(" F{}", decimal(feed / self.machine.units.in_mm(), 1));
        if self.feed.as_ref() == Some(&word) {
            return String::new();
        }
        self.feed = Some(word.clone());
        word
    }

    fn cut(&mut self, segment: &Segment, to_z: f64, feed: FeedKind) {
        let laser = self.cut_power().is_some();
        let end = (!laser).then(|| self.grid(to_z + self.z_shift)).filter(|z| self.z != Some(*z));
        let pieces = segment.placed(&self.setup).quartered();
        let (whole, begun) = (segment.length(), self.z);
        let mut done = 0.0;
        for piece in pieces {
            let to = self.grid_point(piece.to());
            done += piece.length();
            // Evenly down along all pieces, and to the very end with the last.
            let z = end.map(|end| match begun {
                Some(begun) if done < whole * (1.0 - 1e-9) => {
                    begun + ((end - begun) as f64 * done / whole).round() as Grid
                }
                _ => end,
            });
            let z = z.filter(|z| self.z != Some(*z));
            if self.at == Some(to) && z.is_none() {
                continue;
            }
            let motion = match self.arc_words(&piece, to) {
                Some(words) => words,
                None => format!("G1 X{} Y{}", self.printed(to.0), self.printed(to.1)),
            };
            let height = z.map_or(String::new(), |z| format!(" Z{}", self.printed(z)));
            let feed = self.feed_word(feed);
            let power =
                self.beam.take().map_or(String::new(), |power| format!(" S{}", trimmed(power, 1)));
            // Beside an arc that goes down a feed may not find room: it is said on a line before.
            let whole = format!("{motion}{height}{feed}{power}");
            if whole.len() + NUMBER_LONG > LONGEST_LINE && !feed.is_empty() {
                self.line(feed.trim_start());
                self.line(&format!("{motion}{height}{power}"));
            } else {
                self.line(&whole);
            }
            self.at = Some(to);
            self.z = z.or(self.z);
        }
    }

    /// The words of an arc with its centre chosen on the grid so that the printed radii agree;
    /// `None` for a line and for an arc that is straight, or nothing, to the last digit.
    fn arc_words(&self, piece: &Segment, to: (Grid, Grid)) -> Option<String> {
        let Segment::Arc { center, turn, .. } = *piece else { return None };
        let from = self.at?;
        let sagitta = piece.radius() * (1.0 - (piece.sweep() / 2.0).cos());
        if from == to || sagitta * self.scale < 0.5 {
            return None;
        }
        let centre = nearest_agreeing_centre(self.grid_point(center), from, to);
        let word = if turn == Turn::Left { "G3" } else { "G2" };
        let [x, y] = [to.0, to.1].map(|n| self.printed(n));
        let [i, j] = match self.machine.words.arc_centres {
            ArcCentres::FromStart => [centre.0 - from.0, centre.1 - from.1],
            ArcCentres::Absolute => [centre.0, centre.1],
            ArcCentres::Radius => {
                let radius = self.printed(self.grid(piece.radius()));
                return Some(format!("{word} X{x} Y{y} R{radius}"));
            }
        };
        Some(format!("{word} X{x} Y{y} I{} J{}", self.printed(i), self.printed(j)))
    }
}

/// Of the nine grid points at and around a centre the one whose distances to both ends agree best.
fn nearest_agreeing_centre(
    center: (Grid, Grid),
    from: (Grid, Grid),
    to: (Grid, Grid),
) -> (Grid, Grid) {
    let distance =
        |c: (Grid, Grid), p: (Grid, Grid)| ((c.0 - p.0) as f64).hypot((c.1 - p.1) as f64);
    let mismatch = |c: &(Grid, Grid)| (distance(*c, from) - distance(*c, to)).abs();
    let around = (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (center.0 + dx, center.1 + dy)));
    around.min_by(|a, b| mismatch(a).total_cmp(&mismatch(b))).expect("nine points were looked at")
}
