//! What a program does: its words carried out in the order of RS-274/NGC (NISTIR 6556, table 8), as moves and dwells.

use std::collections::BTreeSet;

use super::arc::{end_error, halves};
use super::block::{Block, Word, blocks, unreadable};
use super::findings::Findings;
use super::form::Form;
use super::limits::{ARC_RADIUS_INCH_MM, ARC_RADIUS_MM, GAP_MM, LEAST_SWEEP_RAD, MOST_MOVES};
use super::moves::{Drive, End, Motion, Move, Spindle, Stand, Tooling, Turned};
use crate::diagnostics::codes;
use crate::error::Error;
use crate::geometry::{Point, Segment, Turn, Vector};
use crate::profile::{Arcs, DwellUnit, EndWord, Machine, ProgramUnits, Tool};

/// Reads a program and carries it out.
///
/// # Errors
/// If a line cannot be read, holds a command that is not known, or the program is too long.
pub(super) fn read_motion(
    text: &[u8],
    file: &str,
    machine: &Machine,
    findings: &mut Findings,
) -> Result<Motion, Error> {
    let mut reader = Reader::new(file, machine, findings);
    for block in blocks(text, file)? {
        reader.block(&block?)?;
    }
    reader.finish();
    Ok(reader.motion)
}

/// Modal groups of NISTIR 6556, table 4, in tenths of the code's number; G4 with them: nothing else goes on its line.
const GROUPS: &[(u8, &[i32])] = &[
    (b'G', &[0, 10, 20, 30, 800, 40]),
    (b'G', &[170]),
    (b'G', &[900]),
    (b'G', &[911]),
    (b'G', &[940]),
    (b'G', &[200, 210]),
    (b'G', &[400]),
    (b'G', &[490]),
    (b'G', &[540]),
    (b'M', &[0, 20, 300]),
    (b'M', &[30, 40, 50]),
    (b'M', &[70, 80, 90]),
];
const SAFE_MODES: [i32; 4] = [400, 490, 540, 800];
const NEEDED_MODES: [i32; 2] = [900, 940];

#[derive(Clone, Copy, PartialEq, Eq)]
enum Motions {
    Rapid,
    Line,
    Arc(Turn),
}

struct Reader<'a, 'f> {
    file: &'a str,
    machine: &'a Machine,
    findings: &'a mut Findings<'f>,
    motion: Motion,
    /// Millimetres in the program's unit.
    unit: Option<f64>,
    at: [Option<f64>; 3],
    mode: Option<Motions>,
    feed: Option<f64>,
    tool: Tooling,
    said: BTreeSet<i32>,
    moved: bool,
    arced: bool,
    form: Form,
}

impl<'a, 'f> Reader<'a, 'f> {
    fn new(file: &'a str, machine: &'a Machine, findings: &'a mut Findings<'f>) -> Reader<'a, 'f> {
        Reader {
            file,
            machine,
            findings,
            motion: Motion::default(),
            unit: None,
            at: [None; 3],
            mode: None,
            feed: None,
            tool: Tooling { spindle: Spindle::Off, speed: 0.0, stood_s: 0.0 },
            said: BTreeSet::new(),
            moved: false,
            arced: false,
            form: Form::default(),
        }
    }

    fn block(&mut self, block: &Block) -> Result<(), Error> {
        self.form.line(block, self.machine.comments, self.findings);
        if self.motion.end.is_some() && !block.percent && !block.is_blank() {
            let found = if block.words.is_empty() { "a comment" } else { "words" };
            self.findings.at_line(codes::AfterEnd::CODE, block.line, found, "nothing after M2 or M30 but a last %");
            return Ok(());
        }
        if block.words.is_empty() {
            return Ok(());
        }
        if self.motion.events() >= MOST_MOVES {
            let error = unreadable(self.file, block.line, 1, "the program has too many moves");
            return Err(error.allowed(MOST_MOVES.to_string()).hint("split the program"));
        }
        let codes = self.known_codes(block)?;
        self.check_groups(block.line, &codes);
        let words = Words { words: &block.words, line: block.line };
        self.check_letters(&words, &codes);
        self.set_feed_and_tool(&words, &codes);
        self.set_modes(block.line, &codes);
        if codes.contains(&(b'G', 40)) {
            self.dwell(&words);
        } else if words.moves() {
            self.travel(&words);
        }
        self.stop(block.line, &codes);
        Ok(())
    }

    /// The G and M codes of a line, in tenths.
    fn known_codes(&self, block: &Block) -> Result<Vec<(u8, i32)>, Error> {
        let mut codes = Vec::new();
        for word in block.words.iter().filter(|word| matches!(word.letter, b'G' | b'M')) {
            let tenths = (word.number * 10.0).round();
            let known =
                GROUPS.iter().any(|(l, codes)| *l == word.letter && codes.iter().any(|&c| f64::from(c) == tenths));
            if !known || (word.number * 10.0 - tenths).abs() > 1e-9 {
                let found = format!("{}{}", char::from(word.letter), word.number);
                return Err(unreadable(self.file, block.line, 1, "an unknown word")
                    .found(found)
                    .allowed("G0 G1 G2 G3 G4 G17 G20 G21 G40 G49 G54 G80 G90 G91.1 G94, M0 M2 M3 M4 M5 M7 M8 M9 M30"));
            }
            codes.push((word.letter, tenths as i32));
        }
        Ok(codes)
    }

    fn check_groups(&mut self, line: usize, codes: &[(u8, i32)]) {
        for (letter, group) in GROUPS {
            let count = codes.iter().filter(|(l, code)| l == letter && group.contains(code)).count();
            if count > 1 {
                self.findings.at_line(codes::ModalClash::CODE, line, format!("{count} words of one group"), "one");
            }
        }
    }

    fn check_letters(&mut self, words: &Words, codes: &[(u8, i32)]) {
        for letter in *b"XYZIJFSPN" {
            if words.words.iter().filter(|word| word.letter == letter).count() > 1 {
                let found = format!("{} twice", char::from(letter));
                self.findings.at_line(codes::WordTwice::CODE, words.line, found, "each letter once");
            }
        }
        let dwells = codes.contains(&(b'G', 40));
        if words.get(b'P').is_some() && !dwells {
            self.findings.at_line(codes::StrayWord::CODE, words.line, "P", "P with G4 only");
        }
        if words.get(b'Z').is_some() && matches!(self.machine.tool, Tool::Laser(_)) {
            let found = "Z: no height is planned for a beam, and its head travels low";
            self.findings.at_line(codes::BeamHeight::CODE, words.line, found, "X and Y only");
        }
        if dwells && words.moves() {
            self.findings.at_line(
                codes::StrayWord::CODE,
                words.line,
                "an axis word with G4",
                "G4 on a line of its own",
            );
        }
    }

    fn set_feed_and_tool(&mut self, words: &Words, codes: &[(u8, i32)]) {
        if let Some(feed) = words.get(b'F') {
            let unit = self.unit_or_finding(words.line, "F");
            self.feed = Some(feed * unit);
        }
        let was_on = self.tool.is_on();
        if let Some(speed) = words.get(b'S') {
            if speed < 0.0 {
                self.findings.at_line(codes::SpindleSpeed::CODE, words.line, format!("S{speed}"), "S of 0 or more");
            }
            let most = match &self.machine.tool {
                Tool::Router(router) => router.max_speed_rpm,
                Tool::Laser(laser) => laser.power,
            };
            if speed > most {
                self.findings.at_line(
                    codes::SpindleSpeed::CODE,
                    words.line,
                    format!("S{speed}"),
                    format!("S of at most {most}"),
                );
            }
            self.tool.speed = speed;
        }
        for (_, code) in codes.iter().filter(|(letter, _)| *letter == b'M') {
            let to = match code {
                30 => Spindle::Clockwise,
                40 => Spindle::CounterClockwise,
                50 => Spindle::Off,
                70 | 80 => {
                    if let Tool::Router(_) = self.machine.tool {
                        self.findings.at_line(codes::CoolantOn::CODE, words.line, "M7 or M8", "no coolant on wood");
                    }
                    continue;
                }
                _ => continue,
            };
            self.tool.spindle = to;
            self.motion.turned.push(Turned { line: words.line, at: self.place(), z: self.at[2], to });
        }
        if !was_on || !self.tool.is_on() {
            self.tool.stood_s = 0.0;
        }
    }

    fn unit_or_finding(&mut self, line: usize, what: &str) -> f64 {
        self.unit.unwrap_or_else(|| {
            self.findings.at_line(codes::UnitsMissing::CODE, line, what, "G20 or G21 before it");
            self.machine.units.in_mm()
        })
    }

    fn set_modes(&mut self, line: usize, codes: &[(u8, i32)]) {
        for (_, code) in codes.iter().filter(|(letter, _)| *letter == b'G') {
            self.said.insert(*code);
            match code {
                200 => self.set_unit(line, ProgramUnits::Inches),
                210 => self.set_unit(line, ProgramUnits::Millimetres),
                0 => self.mode = Some(Motions::Rapid),
                10 => self.mode = Some(Motions::Line),
                20 => self.mode = Some(Motions::Arc(Turn::Right)),
                30 => self.mode = Some(Motions::Arc(Turn::Left)),
                800 => self.mode = None,
                911 if !self.machine.says_incremental_centres => {
                    self.findings.at_line(codes::WordNotTaken::CODE, line, "G91.1", "no G91.1 on this machine");
                }
                _ => {}
            }
        }
    }

    fn set_unit(&mut self, line: usize, units: ProgramUnits) {
        let unit = units.in_mm();
        let changed = self.moved && self.unit != Some(unit);
        if changed || units != self.machine.units {
            let found = if changed { "another unit after motion" } else { "a unit that is not the machine's" };
            self.findings.at_line(codes::UnitsChanged::CODE, line, found, "the machine's unit, once");
        }
        self.unit = Some(unit);
    }

    fn dwell(&mut self, words: &Words) {
        let Some(time) = words.get(b'P').filter(|&time| time >= 0.0) else {
            self.findings.at_line(codes::DwellWithoutTime::CODE, words.line, "G4 without a P of 0 or more", "P");
            return;
        };
        let seconds = match self.machine.dwell {
            DwellUnit::Seconds => time,
            DwellUnit::Milliseconds => time / 1000.0,
        };
        self.stand(words.line, seconds);
        if self.tool.is_on() {
            self.tool.stood_s += seconds;
        }
    }

    fn stand(&mut self, line: usize, seconds: f64) {
        self.motion.stands.push(Stand { line, at: self.place(), z: self.at[2], seconds, tool: self.tool });
    }

    fn place(&self) -> Option<Point> {
        Some(Point::new(self.at[0]?, self.at[1]?))
    }

    fn travel(&mut self, words: &Words) {
        let unit = self.unit_or_finding(words.line, "a motion");
        self.check_modes(words.line);
        let (from, from_z) = (self.place(), self.at[2]);
        for (axis, letter) in b"XYZ".iter().enumerate() {
            if let Some(value) = words.get(*letter) {
                self.at[axis] = Some(value * unit);
            }
        }
        let Some(mode) = self.mode else {
            self.findings.at_line(codes::MotionMissing::CODE, words.line, "axis words", "G0, G1, G2 or G3 in force");
            return;
        };
        let drive = if mode == Motions::Rapid { Drive::Rapid } else { Drive::Feed };
        let sideways = words.get(b'X').is_some() || words.get(b'Y').is_some();
        let to = self.place();
        let line = from.zip(to).map(|(from, to)| Segment::Line { from, to });
        let (paths, off_mm) = match (mode, from, to) {
            (Motions::Arc(turn), Some(from), Some(to)) => {
                self.arc(words, unit, from, to, turn).unwrap_or_else(|| (line.into_iter().collect(), 0.0))
            }
            _ => {
                self.check_no_centre(words, mode);
                (line.into_iter().collect(), 0.0)
            }
        };
        self.push(
            Move {
                line: words.line,
                drive,
                path: None,
                from_z,
                to_z: self.at[2],
                feed: self.feed,
                tool: self.tool,
                sideways,
                off_mm,
            },
            &paths,
            unit,
        );
    }

    fn check_no_centre(&mut self, words: &Words, mode: Motions) {
        let centre = words.get(b'I').is_some() || words.get(b'J').is_some();
        if centre && !matches!(mode, Motions::Arc(_)) {
            self.findings.at_line(codes::StrayWord::CODE, words.line, "I or J", "I and J with G2 and G3 only");
        }
    }

    /// What must have been said before the first motion, and before the first arc.
    fn check_modes(&mut self, line: usize) {
        if !self.moved {
            self.moved = true;
            for (modes, code) in
                [(&NEEDED_MODES[..], codes::ModeNotSaid::CODE), (&SAFE_MODES[..], codes::StateNotSaid::CODE)]
            {
                let missing: Vec<String> =
                    modes.iter().filter(|m| !self.said.contains(m)).map(|m| format!("G{}", m / 10)).collect();
                if !missing.is_empty() {
                    self.findings.at_line(code, line, format!("no {}", missing.join(", ")), "before the first motion");
                }
            }
        }
        if matches!(self.mode, Some(Motions::Arc(_))) && !self.arced {
            self.arced = true;
            if !self.said.contains(&170) {
                self.findings.at_line(codes::ModeNotSaid::CODE, line, "no G17", "before the first arc");
            }
            if self.machine.says_incremental_centres && !self.said.contains(&911) {
                self.findings.at_line(codes::StateNotSaid::CODE, line, "no G91.1", "before the first arc");
            }
            if self.machine.arcs != Arcs::Taken {
                self.findings.at_line(codes::WordNotTaken::CODE, line, "an arc", "no G2 and G3 on this machine");
            }
        }
    }

    /// The pieces of an arc, none over half a turn, and how far its end is off its circle; `None` if it has no centre.
    fn arc(&mut self, words: &Words, unit: f64, from: Point, to: Point, turn: Turn) -> Option<(Vec<Segment>, f64)> {
        let (i, j) = (words.get(b'I'), words.get(b'J'));
        let out = Vector::new(i.unwrap_or(0.0), j.unwrap_or(0.0)) * unit;
        if out.norm() < GAP_MM {
            self.findings.at_line(
                codes::ArcCentreMissing::CODE,
                words.line,
                "no I and J, or 0",
                "a centre away from the start",
            );
            return None;
        }
        let center = from + out;
        let (start, end) = (out.norm(), (to - center).norm());
        let limit = if unit > 1.0 { ARC_RADIUS_INCH_MM } else { ARC_RADIUS_MM };
        if (start - end).abs() > limit + GAP_MM {
            let measured = format!("radii {start:.4} and {end:.4} mm");
            self.findings.at_line(codes::ArcRadius::CODE, words.line, measured, format!("within {limit:.4} mm"));
        }
        let pieces = halves(from, to, center, turn);
        let sweep: f64 = pieces.iter().map(|piece| piece.sweep().abs()).sum();
        if sweep < LEAST_SWEEP_RAD {
            let limit = format!("{LEAST_SWEEP_RAD} rad, or a line");
            self.findings.at_line(codes::ArcShort::CODE, words.line, format!("an arc of {sweep:.1e} rad"), limit);
        }
        Some((pieces, end_error(from, to, center).min(ARC_RADIUS_INCH_MM)))
    }

    /// A move along `paths`, its height changing evenly along them.
    fn push(&mut self, whole: Move, paths: &[Segment], unit: f64) {
        if whole.drive == Drive::Feed {
            self.check_feed(&whole, unit);
        }
        if paths.is_empty() {
            self.motion.moves.push(whole);
            return;
        }
        let lengths: Vec<f64> = paths.iter().map(Segment::length).collect();
        let total: f64 = lengths.iter().sum();
        let (mut done, mut from_z) = (0.0, whole.from_z);
        for (path, length) in paths.iter().zip(&lengths) {
            done += length;
            let share = if total > 0.0 { done / total } else { 1.0 };
            let to_z = whole.from_z.zip(whole.to_z).map(|(a, b)| a + (b - a) * share).or(whole.to_z);
            self.motion.moves.push(Move { path: Some(*path), from_z, to_z, ..whole });
            from_z = to_z;
        }
    }

    fn check_feed(&mut self, whole: &Move, unit: f64) {
        let most = self.machine.max_feed_mm_min;
        match whole.feed {
            None => self.findings.at_line(codes::FeedMissing::CODE, whole.line, "a feed move", "an F before it"),
            Some(feed) if feed <= 0.0 || feed > most * (1.0 + 1e-9) + 0.01 * unit => {
                let limit = format!("more than 0, at most {most:.1} mm/min");
                self.findings.at_line(codes::FeedRange::CODE, whole.line, format!("{feed:.1} mm/min"), limit);
            }
            Some(_) => {}
        }
    }

    fn stop(&mut self, line: usize, codes: &[(u8, i32)]) {
        for (_, code) in codes.iter().filter(|(letter, _)| *letter == b'M') {
            let word = match code {
                0 => {
                    self.stand(line, f64::INFINITY);
                    continue;
                }
                20 => EndWord::M2,
                300 => EndWord::M30,
                _ => continue,
            };
            self.motion.end = Some(End { line, z: self.at[2], tool: self.tool });
            if word != self.machine.end {
                self.findings.at_line(
                    codes::EndWord::CODE,
                    line,
                    format!("{word:?}"),
                    format!("{:?}", self.machine.end),
                );
            }
        }
    }

    fn finish(&mut self) {
        if self.motion.end.is_none() {
            self.findings.at_file(codes::EndMissing::CODE, "no M2 or M30", "the last line");
        }
        self.form.finish(self.machine.percent_lines, self.findings);
    }
}

/// The words of one line.
struct Words<'a> {
    words: &'a [Word],
    line: usize,
}

impl Words<'_> {
    fn get(&self, letter: u8) -> Option<f64> {
        self.words.iter().rfind(|word| word.letter == letter).map(|word| word.number)
    }

    fn moves(&self) -> bool {
        self.words.iter().any(|word| matches!(word.letter, b'X' | b'Y' | b'Z' | b'I' | b'J'))
    }
}
