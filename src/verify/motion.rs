//! What a program does: its words carried out in the order of RS-274/NGC (NISTIR 6556, table 8), as
//! moves and dwells.

use super::arc::{end_error, halves, to_centre};
use super::block::{Block, blocks, unreadable};
use super::findings::Findings;
use super::form::Form;
use super::levels::last_digit_mm;
use super::limits::{ARC_RADIUS_INCH_MM, ARC_RADIUS_MM, GAP_MM, LEAST_SWEEP_RAD, MOST_MOVES};
use super::modal::{GROUPS, Modes, Words, has, name};
use super::moves::{Drive, End, Motion, Move, Spindle, Stand, Turned, spanned};
use super::said::{Errand, Said};
use super::switched::Switched;
use crate::diagnostics::Error;
use crate::diagnostics::codes::{self, AfterIt, NotTaken, OddUnit, Stray, Unitless};
use crate::diagnostics::{Count, Feed, Millimetres};
use crate::geometry::{Point, Segment, Turn};
use crate::profile::{ArcCentres, DwellUnit, EndWord, LineEnds, Machine, ProgramUnits};

/// Reads a program and carries it out.
///
/// # Errors
/// If a line cannot be read, holds a command that is not known, or the program is too long.
pub(super) fn read_motion(
    text: &[u8],
    file: &str,
    (machine, errand): (&Machine, Errand),
    findings: &mut Findings<'_>,
) -> Result<Motion, Error> {
    if machine.words.line_ends == LineEnds::CrLf {
        let bare = text
            .split_inclusive(|&b| b == b'\n')
            .position(|l| l.ends_with(b"\n") && !l.ends_with(b"\r\n"));
        bare.into_iter().for_each(|i| findings.at_line(codes::LineEndsDiffer {}, i + 1));
    }
    let mut reader = Reader::new(file, (machine, errand), findings);
    for block in blocks(text, file)? {
        reader.block(&block?)?;
    }
    reader.finish();
    Ok(reader.motion)
}

/// The most places to begin at that a program tells of; of more it is said that nobody knows which.
const MOST_TOLD: usize = 16;

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
    /// Where comments have the operator bring the tool first, in the program's unit: of several
    /// places any, for nobody knows which is read.
    told_over: Vec<[f64; 2]>,
    mode: Option<Motions>,
    feed: Option<f64>,
    tool: Switched,
    modes: Modes<'a>,
    told: Said<'a>,
    form: Form,
}

impl<'a, 'f> Reader<'a, 'f> {
    fn new(
        file: &'a str,
        (machine, errand): (&'a Machine, Errand),
        findings: &'a mut Findings<'f>,
    ) -> Self {
        Reader {
            file,
            machine,
            findings,
            motion: Motion::default(),
            unit: None,
            at: [None; 3],
            told_over: Vec::new(),
            mode: None,
            feed: None,
            tool: Switched::default(),
            modes: Modes::new(machine),
            told: Said::new(machine, errand),
            form: Form::default(),
        }
    }

    fn block(&mut self, block: &Block) -> Result<(), Error> {
        self.form.line(block, self.machine.comments, self.findings);
        if self.motion.end.is_some() && !block.percent && !block.is_blank() {
            let found = if block.words.is_empty() { AfterIt::Comment } else { AfterIt::Words };
            self.findings.at_line(codes::AfterEnd { found }, block.line);
            return Ok(());
        }
        self.told_over(block);
        if block.words.is_empty() {
            return Ok(());
        }
        if self.motion.events() >= MOST_MOVES {
            let error = unreadable(self.file, block.line, 1, "the program has too many moves");
            return Err(error.allowed(MOST_MOVES.to_string()).hint("split the program"));
        }
        let codes = self.known_codes(block)?;
        self.check_groups(block.line, &codes);
        let switches = codes.iter().filter(|(letter, _)| *letter == b'M').count();
        if switches > 1 {
            let measured = Count::from(switches);
            self.findings.at_line(codes::SeveralSwitches { measured }, block.line);
        }
        let words = Words { words: &block.words, line: block.line };
        self.check_letters(&words, &codes);
        self.set_feed_and_tool(&words, &codes);
        self.set_modes(block.line, &codes);
        if words.get(b'P').is_some() && has(&codes, b'G', 640) {
            self.unit_or_finding(block.line, Unitless::Blend);
        }
        let turns = self.tool.now.spindle != Spindle::Off;
        self.told.line(block, &codes, turns, self.findings);
        let travels = !has(&codes, b'G', 530) && !has(&codes, b'G', 40) && words.moves();
        if has(&codes, b'G', 40) {
            self.dwell(&words);
        } else if travels {
            self.travel(&words);
        } else if self.tool.now.is_on() && self.machine.tool.beam().is_some() {
            // Lit where the head stands, and burning there until it moves.
            self.stand(block.line, 0.0);
        }
        if !(travels && matches!(self.mode, Some(Motions::Arc(_)))) {
            self.check_no_arc(&words);
        }
        self.stop(block.line, &codes);
        Ok(())
    }

    /// Notes where a comment has the operator bring the tool, each place once.
    fn told_over(&mut self, block: &Block) {
        for place in &block.told_over {
            if !self.is_unplaced() || self.told_over.contains(place) {
                continue;
            }
            match self.told_over.len() {
                0..MOST_TOLD => self.told_over.push(*place),
                _ => self.findings.at_line(codes::FirstWayUnsaid {}, block.line),
            }
        }
    }

    /// The G and M codes of a line, in tenths.
    fn known_codes(&self, block: &Block) -> Result<Vec<(u8, i32)>, Error> {
        let mut codes = Vec::new();
        for word in block.words.iter().filter(|word| matches!(word.letter, b'G' | b'M')) {
            let tenths = (word.number * 10.0).round();
            let known = GROUPS.iter().any(|(l, codes)| {
                *l == word.letter && codes.iter().any(|&c| f64::from(c) == tenths)
            });
            if !known || (word.number * 10.0 - tenths).abs() > 1e-9 {
                let found = format!("{}{}", char::from(word.letter), word.number);
                return Err(unreadable(self.file, block.line, 1, "an unknown word")
                    .found(found)
                    .allowed(
                        "G0 to G4, G17 G20 G21 G40 G43 G49 G53 G54 to G59 G61 G64 G80 G90 G90.1 \
                        G91.1 G94, M0 M2 to M9 M30",
                    ));
            }
            codes.push((word.letter, tenths as i32));
        }
        Ok(codes)
    }

    fn check_groups(&mut self, line: usize, codes: &[(u8, i32)]) {
        for (letter, group) in GROUPS {
            let count =
                codes.iter().filter(|(l, code)| l == letter && group.contains(code)).count();
            if count > 1 {
                self.findings.at_line(codes::ModalClash { measured: Count::from(count) }, line);
            }
        }
    }

    fn check_letters(&mut self, words: &Words<'_>, codes: &[(u8, i32)]) {
        for letter in ["X", "Y", "Z", "I", "J", "R", "F", "S", "P", "T", "H", "N"] {
            if words.words.iter().filter(|word| letter.as_bytes() == [word.letter]).count() > 1 {
                self.findings.at_line(codes::WordTwice { letter }, words.line);
            }
        }
        let (dwells, blends) = (has(codes, b'G', 40), has(codes, b'G', 640));
        // Of a P that two words ask for nobody knows whose it is.
        if words.get(b'P').is_some() && dwells == blends {
            self.findings.at_line(codes::StrayWord { word: Stray::Dwell }, words.line);
        }
        if words.get(b'Z').is_some() && !self.machine.tool.lifts() {
            self.findings.at_line(codes::BeamHeight {}, words.line);
        }
        if dwells && words.moves() {
            self.findings.at_line(codes::StrayWord { word: Stray::AxisBesideDwell }, words.line);
        }
    }

    fn set_feed_and_tool(&mut self, words: &Words<'_>, codes: &[(u8, i32)]) {
        if let Some(feed) = words.get(b'F') {
            let unit = self.unit_or_finding(words.line, Unitless::Feed);
            self.feed = Some(feed * unit);
        }
        let was_on = self.tool.now.is_on();
        for to in self.tool.told(words, codes, &self.machine.tool, self.findings) {
            let (at, z) = (self.place(), self.at[2]);
            self.motion.turned.push(Turned { line: words.line, at, z, to, was_on });
        }
    }

    fn unit_or_finding(&mut self, line: usize, what: Unitless) -> f64 {
        self.unit.unwrap_or_else(|| {
            self.findings.at_line(codes::UnitsMissing { what }, line);
            self.machine.units.in_mm()
        })
    }

    fn set_modes(&mut self, line: usize, codes: &[(u8, i32)]) {
        for (_, code) in codes.iter().filter(|(letter, _)| *letter == b'G') {
            self.modes.say(*code, line, self.findings);
            match code {
                200 => self.set_unit(line, ProgramUnits::Inches),
                210 => self.set_unit(line, ProgramUnits::Millimetres),
                0 => self.mode = Some(Motions::Rapid),
                10 => self.mode = Some(Motions::Line),
                20 => self.mode = Some(Motions::Arc(Turn::Right)),
                30 => self.mode = Some(Motions::Arc(Turn::Left)),
                800 => self.mode = None,
                911 if self.machine.words.arc_centres == ArcCentres::FromStart
                    && !self.machine.says_incremental_centres =>
                {
                    self.findings
                        .at_line(codes::WordNotTaken { word: NotTaken::ArcCentreMode }, line);
                }
                _ => {}
            }
        }
    }

    fn set_unit(&mut self, line: usize, units: ProgramUnits) {
        let unit = units.in_mm();
        let changed = self.modes.has_moved() && self.unit != Some(unit);
        if changed || units != self.machine.units {
            let how = if changed { OddUnit::Changed } else { OddUnit::NotTheMachines };
            let unit = match self.machine.units {
                ProgramUnits::Inches => "inches",
                ProgramUnits::Millimetres => "millimetres",
            };
            self.findings.at_line(codes::UnitsChanged { how, unit }, line);
        }
        self.unit = Some(unit);
    }

    fn dwell(&mut self, words: &Words<'_>) {
        let Some(time) = words.get(b'P').filter(|&time| time >= 0.0) else {
            self.findings.at_line(codes::DwellWithoutTime {}, words.line);
            return;
        };
        let seconds = match self.machine.dwell {
            DwellUnit::Seconds => time,
            DwellUnit::Milliseconds => time / 1000.0,
        };
        self.stand(words.line, seconds);
        self.tool.stands(seconds);
    }

    fn stand(&mut self, line: usize, seconds: f64) {
        self.motion.stands.push(Stand {
            line,
            at: self.place(),
            z: self.at[2],
            seconds,
            tool: self.tool.now,
        });
    }

    /// Whether no line has said X or Y yet.
    fn is_unplaced(&self) -> bool {
        self.at[0].or(self.at[1]).is_none()
    }

    fn place(&self) -> Option<Point> {
        Some(Point::new(self.at[0]?, self.at[1]?))
    }

    fn travel(&mut self, words: &Words<'_>) {
        let unit = self.unit_or_finding(words.line, Unitless::Motion);
        self.told.moves(words.line, self.tool.now.spindle != Spindle::Off, self.findings);
        let is_arc = matches!(self.mode, Some(Motions::Arc(_)));
        self.modes.travel(words.line, is_arc, self.findings);
        if is_arc && words.get(b'X').is_none() && words.get(b'Y').is_none() {
            self.findings.at_line(codes::ArcEndMissing {}, words.line);
        }
        let (from, from_z) = (self.place(), self.at[2]);
        let sideways = words.get(b'X').is_some() || words.get(b'Y').is_some();
        let is_first = sideways && self.is_unplaced();
        if let (true, [[x, y]]) = (is_first, &self.told_over[..]) {
            // What the first line does not say stays where the operator was told to bring it.
            self.at = [Some(x * unit), Some(y * unit), self.at[2]];
        }
        for (axis, letter) in b"XYZ".iter().enumerate() {
            if let Some(value) = words.get(*letter) {
                let to = value * unit;
                self.at[axis] = Some(to);
                self.motion.reached[axis] = spanned(self.motion.reached[axis], Some((to, to)));
            }
        }
        let Some(mode) = self.mode else {
            self.findings.at_line(codes::MotionMissing {}, words.line);
            return;
        };
        let drive = if mode == Motions::Rapid { Drive::Rapid } else { Drive::Feed };
        let is_helix = is_arc && from_z != self.at[2];
        if is_helix && !self.machine.words.helices {
            self.findings.at_line(codes::WordNotTaken { word: NotTaken::Helix }, words.line);
        }
        let to = self.place();
        let line = from.zip(to).map(|(from, to)| Segment::Line { from, to });
        let (paths, off_mm) = match (mode, from, to) {
            (Motions::Arc(turn), Some(from), Some(to)) => self
                .arc(words, unit, from, to, turn)
                .unwrap_or_else(|| (line.into_iter().collect(), 0.0)),
            _ => (line.into_iter().collect(), 0.0),
        };
        let whole = Move {
            line: words.line,
            drive,
            path: None,
            from_z,
            to_z: self.at[2],
            feed: self.feed,
            tool: self.tool.now,
            sideways,
            told: false,
            off_mm,
        };
        match to.filter(|_| is_first && !self.told_over.is_empty()) {
            // Where nothing else has said it, it begins where the operator was told to bring it.
            Some(to) => self.told_over.clone().into_iter().for_each(|[x, y]| {
                let from = Point::new(x * unit, y * unit);
                self.push(Move { told: true, ..whole }, &[Segment::Line { from, to }], unit);
            }),
            None => self.push(whole, &paths, unit),
        }
    }

    /// Words of an arc on a line without one.
    fn check_no_arc(&mut self, words: &Words<'_>) {
        let centre = words.get(b'I').is_some() || words.get(b'J').is_some();
        let radius = words.get(b'R').is_some();
        let stray = [centre.then_some(Stray::Centre), radius.then_some(Stray::Radius)];
        for word in stray.into_iter().flatten() {
            self.findings.at_line(codes::StrayWord { word }, words.line);
        }
    }

    /// The pieces of an arc, none over half a turn, and how far its end is off its circle; `None`
    /// if it has no centre.
    fn arc(
        &mut self,
        words: &Words<'_>,
        unit: f64,
        from: Point,
        to: Point,
        turn: Turn,
    ) -> Option<(Vec<Segment>, f64)> {
        let out = to_centre(words, unit, self.machine.words.arc_centres, (from, to, turn));
        if out.norm() < GAP_MM {
            self.findings.at_line(codes::ArcCentreMissing {}, words.line);
            return None;
        }
        let center = from + out;
        let (start, end) = (out.norm(), (to - center).norm());
        let limit = if unit > 1.0 { ARC_RADIUS_INCH_MM } else { ARC_RADIUS_MM };
        if (start - end).abs() > limit + GAP_MM {
            let measured = Millimetres((start - end).abs());
            let (start, end, limit) = (Millimetres(start), Millimetres(end), Millimetres(limit));
            self.findings.at_line(codes::ArcRadius { start, end, measured, limit }, words.line);
        }
        let pieces = halves(from, to, center, turn);
        let sweep: f64 = pieces.iter().map(|piece| piece.sweep().abs()).sum();
        // Where both ends print as one point some controllers turn all the way round.
        let (length, digit) = (sweep * start, last_digit_mm(self.machine));
        if sweep < LEAST_SWEEP_RAD || length < digit {
            let least = digit.max(LEAST_SWEEP_RAD * start);
            let (measured, limit) = (Millimetres(length), Millimetres(least));
            self.findings.at_line(codes::ArcShort { measured, limit }, words.line);
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
            let to_z =
                whole.from_z.zip(whole.to_z).map(|(a, b)| a + (b - a) * share).or(whole.to_z);
            self.motion.moves.push(Move { path: Some(*path), from_z, to_z, ..whole });
            from_z = to_z;
        }
    }

    fn check_feed(&mut self, whole: &Move, unit: f64) {
        let most = self.machine.max_feed_mm_min;
        match whole.feed {
            None => self.findings.at_line(codes::FeedMissing {}, whole.line),
            Some(feed) if feed <= 0.0 || feed > most * (1.0 + 1e-9) + 0.01 * unit => {
                let (measured, limit) = (Feed(feed), Feed(most));
                self.findings.at_line(codes::FeedRange { measured, limit }, whole.line);
            }
            Some(_) => {}
        }
    }

    fn stop(&mut self, line: usize, codes: &[(u8, i32)]) {
        for (_, code) in codes.iter().filter(|(letter, _)| *letter == b'M') {
            let word = match code {
                0 => {
                    self.stand(line, f64::INFINITY);
                    if self.tool.now.is_on() {
                        self.findings.at_line(codes::StopTurning {}, line);
                    }
                    continue;
                }
                20 => EndWord::M2,
                300 => EndWord::M30,
                _ => continue,
            };
            self.motion.end =
                Some(End { line, at: self.place(), z: self.at[2], tool: self.tool.now });
            if word != self.machine.end {
                self.findings.at_line(
                    codes::EndWord { found: name(word), named: name(self.machine.end) },
                    line,
                );
            }
        }
    }

    fn finish(&mut self) {
        if self.motion.end.is_none() {
            self.findings.at_file(codes::EndMissing {});
        }
        self.form.finish(self.machine.percent_lines, self.findings);
    }
}
