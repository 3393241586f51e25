//! What a control is told beside the motions: which offset, which tool and its length, how the path
//! is followed, what else is switched on. Each is held against what the machine's profile says.

use super::block::Block;
use super::findings::Findings;
use super::modal::Words;
use crate::diagnostics::codes::{self, Coolant};
use crate::profile::{AirWord, ArcCentres, Machine, PathControl, Tool, ToolTable};
use crate::units::trimmed;

/// Whether a program cuts or marks: which tool it calls.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Errand {
    Cut,
    Mark,
}

/// What was said so far.
pub(super) struct Said<'a> {
    machine: &'a Machine,
    errand: Errand,
    path: bool,
    /// The number behind T, once M6 has changed to it.
    in_spindle: Option<f64>,
    called: Option<f64>,
    length: bool,
    /// Whether the tool went up to the machine's top: nothing moves after it.
    topped: bool,
    moved: bool,
    told: bool,
}

impl<'a> Said<'a> {
    pub(crate) fn new(machine: &'a Machine, errand: Errand) -> Self {
        Said {
            machine,
            errand,
            path: false,
            in_spindle: None,
            called: None,
            length: false,
            topped: false,
            moved: false,
            told: false,
        }
    }

    /// Looks at the words of a line; `is_on`: whether the tool runs after it.
    pub(crate) fn line(
        &mut self,
        block: &Block,
        codes: &[(u8, i32)],
        is_on: bool,
        findings: &mut Findings<'_>,
    ) {
        let words = Words { words: &block.words, line: block.line };
        let has = |code: i32| codes.contains(&(b'G', code));
        for (letter, code) in codes {
            match (letter, code) {
                (b'G', 540..=590) => self.offset(*code, block.line, findings),
                (b'G', 610 | 640) => self.path(*code, &words, findings),
                (b'G', 901) if self.machine.words.arc_centres != ArcCentres::Absolute => {
                    differs("G90.1", "centres from the arc's start", block.line, findings);
                }
                (b'G', 911) if self.machine.words.arc_centres == ArcCentres::Absolute => {
                    differs("G91.1", "arc_centres = absolute", block.line, findings);
                }
                (b'G', 530) => self.top(&words, (codes, is_on), findings),
                (b'G', 430) => self.takes_length(&words, findings),
                (b'G', 490) => self.length = false,
                (b'M', 60) => self.changes(&words, is_on, findings),
                (b'M', 70 | 80) => self.air(*code, block.line, findings),
                _ => {}
            }
        }
        if let Some(number) = words.get(b'T') {
            self.called = Some(number);
            if self.machine.words.tools.is_none() {
                differs(&format!("T{number}"), "no tools", block.line, findings);
            }
            if codes.contains(&(b'M', 60)) {
                self.in_spindle = self.called;
            }
        }
        if words.get(b'H').is_some() && !has(430) {
            differs("an H word without G43", "G43 H", block.line, findings);
        }
        if words.get(b'R').is_some() && self.machine.words.arc_centres != ArcCentres::Radius {
            differs("an R word", "arcs by their centre", block.line, findings);
        }
    }

    fn offset(&self, code: i32, line: usize, findings: &mut Findings<'_>) {
        let named = self.machine.words.work_offset;
        if code != i32::from(named) * 10 {
            let found = format!("G{}", code / 10);
            differs(&found, &format!("work_offset = G{named}"), line, findings);
        }
    }

    fn path(&mut self, code: i32, words: &Words<'_>, findings: &mut Findings<'_>) {
        let unit = self.machine.units.in_mm();
        let (found, within) = match (code, self.machine.words.path) {
            (610, Some(PathControl::Exact)) => ("G61".to_string(), true),
            (610, _) => ("G61".to_string(), false),
            (_, Some(PathControl::Blend(most))) => match words.get(b'P') {
                Some(by) => (
                    format!("G64 P{}", trimmed(by, 6)),
                    by > 0.0 && by * unit <= most.as_mm() + LAST_DIGIT * unit,
                ),
                None => ("G64 without a tolerance".to_string(), false),
            },
            _ => ("G64".to_string(), false),
        };
        if !within || self.moved {
            let found = if within { format!("{found} after the first motion") } else { found };
            differs(&found, &self.named_path(), words.line, findings);
        }
        self.path = true;
    }

    fn named_path(&self) -> String {
        match self.machine.words.path {
            None => "no path control".to_string(),
            Some(PathControl::Exact) => "path = exact (G61)".to_string(),
            Some(PathControl::Blend(most)) => format!("path_blend = {most} at most (G64 P)"),
        }
    }

    /// Straight up to the top of the machine's own Z, the tool off, and nothing after it.
    fn top(
        &mut self,
        words: &Words<'_>,
        (codes, is_on): (&[(u8, i32)], bool),
        findings: &mut Findings<'_>,
    ) {
        let sideways = [b'X', b'Y'].iter().any(|letter| words.get(*letter).is_some());
        let is_up = codes.contains(&(b'G', 0)) && words.get(b'Z') == Some(0.0) && !sideways;
        if !self.machine.words.machine_top {
            differs("G53", "machine_top = false", words.line, findings);
        } else if !is_up || is_on {
            let found = if is_on { "G53 while the tool runs" } else { "another move in G53" };
            differs(found, "G53 G0 Z0 alone", words.line, findings);
        }
        self.topped = true;
    }

    fn takes_length(&mut self, words: &Words<'_>, findings: &mut Findings<'_>) {
        let wanted = self.wanted().filter(|(_, tools)| tools.length).map(|(number, _)| number);
        let found = words.get(b'H');
        let is_it = wanted.is_some() && found == wanted.map(f64::from) && self.in_spindle == found;
        if !is_it || self.moved {
            let h = found.map_or("no number".to_string(), |h| format!("H{h}"));
            let named = wanted.map_or("no tool length".to_string(), |n| format!("G43 H{n}"));
            let late = if self.moved { " after the first motion" } else { "" };
            differs(&format!("G43 with {h}{late}"), &named, words.line, findings);
        }
        self.length = true;
    }

    fn changes(&mut self, words: &Words<'_>, is_on: bool, findings: &mut Findings<'_>) {
        let found = words.get(b'T').or(self.called);
        let wanted = self.wanted().map(|(number, _)| number);
        if found.is_none() || found != wanted.map(f64::from) || self.moved || is_on {
            let t = found.map_or("no tool".to_string(), |t| format!("T{t}"));
            let late = if self.moved { " after the first motion" } else { "" };
            let on = if is_on { " while the tool runs" } else { "" };
            let named = wanted.map_or("no tools".to_string(), |n| format!("T{n} M6"));
            differs(&format!("M6 with {t}{late}{on}"), &named, words.line, findings);
        }
        self.in_spindle = found;
    }

    /// The number of the tool that this program is for.
    fn wanted(&self) -> Option<(u32, ToolTable)> {
        let tools = self.machine.words.tools?;
        let number = match self.errand {
            Errand::Cut => Some(tools.cutter),
            Errand::Mark => tools.pointed,
        };
        number.map(|number| (number, tools))
    }

    fn air(&self, code: i32, line: usize, findings: &mut Findings<'_>) {
        let word = if code == 70 { AirWord::M7 } else { AirWord::M8 };
        match self.machine.words.air {
            Some(named) if named != word => {
                differs(word.name(), &format!("air = {}", named.name()), line, findings);
            }
            None if matches!(self.machine.tool, Tool::Router(_)) => {
                let word = if code == 70 { Coolant::Mist } else { Coolant::Flood };
                findings.at_line(codes::CoolantOn { word }, line);
            }
            _ => {}
        }
    }

    /// Looks at what must have been said before a motion; told once.
    pub(crate) fn moves(&mut self, line: usize, findings: &mut Findings<'_>) {
        if self.topped {
            differs("a motion after G53 G0 Z0", "the tool at the top to the end", line, findings);
        }
        self.moved = true;
        if self.told {
            return;
        }
        let mut missing = Vec::new();
        if let Some((number, tools)) = self.wanted() {
            if self.in_spindle != Some(f64::from(number)) {
                missing.push(format!("T{number} M6"));
            }
            if tools.length && !self.length {
                missing.push(format!("G43 H{number}"));
            }
        }
        if self.machine.words.path.is_some() && !self.path {
            missing.push(self.named_path());
        }
        if !missing.is_empty() {
            self.told = true;
            differs("a motion without it", &missing.join(", "), line, findings);
        }
    }
}

/// What a tolerance's last printed digit may add, in the program's unit.
const LAST_DIGIT: f64 = 1e-4;

fn differs(found: &str, named: &str, line: usize, findings: &mut Findings<'_>) {
    let (found, named) = (found.to_string(), named.to_string());
    findings.at_line(codes::WordDiffers { found, named }, line);
}
