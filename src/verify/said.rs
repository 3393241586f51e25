//! What a control is told beside the motions: which offset, which tool and its length, how the path
//! is followed, what else is switched on. Each is held against what the machine's profile says.

use super::block::Block;
use super::findings::Findings;
use super::modal::{Words, has};
use crate::diagnostics::Count;
use crate::diagnostics::codes::{self, Coolant, Moment, Told};
use crate::profile::{AirWord, ArcCentres, Machine, PathControl, ToolTable};

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
    /// The last line number.
    numbered: Option<f64>,
    /// Whether a line without a number was told.
    unnumbered: bool,
    path: bool,
    /// Whether a work offset was said.
    offset: bool,
    /// The number behind the last T, and the one that M6 changed to.
    called: Option<f64>,
    in_spindle: Option<f64>,
    length: bool,
    /// Whether the tool went up to the machine's top: nothing moves after it.
    topped: bool,
    moved: bool,
    told: bool,
    /// Whether what is switched on beside the tool is on, and whether that it is not was told.
    blows: bool,
    told_air: bool,
}

impl<'a> Said<'a> {
    pub(crate) fn new(machine: &'a Machine, errand: Errand) -> Self {
        Said {
            machine,
            errand,
            numbered: None,
            path: false,
            offset: false,
            called: None,
            in_spindle: None,
            length: false,
            topped: false,
            moved: false,
            unnumbered: false,
            told: false,
            blows: false,
            told_air: false,
        }
    }

    /// Looks at the words of a line; `turns`: whether the spindle or the beam is switched on after
    /// it, at whatever speed.
    pub(crate) fn line(
        &mut self,
        block: &Block,
        codes: &[(u8, i32)],
        turns: bool,
        findings: &mut Findings<'_>,
    ) {
        let words = Words { words: &block.words, line: block.line };
        let told = &self.machine.words;
        // Where the profile asks for no numbers, nobody looks for a line by its own.
        if let Some(found) = words.get(b'N').filter(|_| told.line_step.is_some())
            && let Some(before) = self.numbered.replace(found).filter(|&before| before >= found)
        {
            let (found, before) = (Count::from(found as usize), Count::from(before as usize));
            findings.at_line(codes::LineNumberAgain { found, before }, block.line);
        }
        if told.line_step.is_some() && words.get(b'N').is_none() && !self.unnumbered {
            self.unnumbered = true;
            findings.at_line(codes::LineUnnumbered {}, block.line);
        }
        let mut differs = |found: Told, when: Moment, named: Told| {
            findings.at_line(codes::WordDiffers { found, when, named }, block.line);
        };
        if let Some(number) = words.get(b'T') {
            self.called = Some(number);
            let wanted = self.wanted().map(|(wanted, _)| wanted);
            let when = if self.moved { Moment::Late } else { Moment::Any };
            if wanted != Some(number) || self.moved {
                differs(Told::Tool(number), when, wanted.map_or(Told::NoTools, Told::Tool));
            }
        }
        if words.get(b'H').is_some() && !has(codes, b'G', 430) {
            differs(Told::LooseLength, Moment::Any, Told::Length(None));
        }
        let centre = words.get(b'I').is_some() || words.get(b'J').is_some();
        match told.arc_centres {
            ArcCentres::Radius if centre => differs(Told::Centre, Moment::Any, Told::Radius),
            ArcCentres::FromStart | ArcCentres::Absolute if words.get(b'R').is_some() => {
                differs(Told::Radius, Moment::Any, Told::Centre);
            }
            _ => {}
        }
        for code in codes {
            let wrong = match code {
                (b'G', 540..=590) => self.offset(code.1),
                (b'G', 610 | 640) => self.path(code.1, &words),
                (b'G', 901 | 911) => self.centres(code.1),
                (b'G', 530) => self.top(&words, (codes, turns)),
                (b'G', 430) => self.takes_length(&words),
                (b'M', 60) => self.changes(turns),
                (b'M', 70 | 80) => self.air(code.1),
                (b'M', 90) => {
                    self.blows = false;
                    None
                }
                (b'G', 490) => {
                    self.length = false;
                    None
                }
                _ => None,
            };
            if let Some((found, when, named)) = wrong {
                differs(found, when, named);
            }
        }
        let switched = codes.iter().find(|code| matches!(code, (b'M', 70 | 80)));
        if let Some((_, code)) = switched
            && told.air.is_none()
            && self.machine.tool.cutter().is_some()
        {
            let word = if *code == 70 { Coolant::Mist } else { Coolant::Flood };
            findings.at_line(codes::CoolantOn { word }, block.line);
        }
    }

    fn offset(&mut self, code: i32) -> Wrong {
        self.offset = true;
        let named = self.machine.words.work_offset;
        let found = u8::try_from(code / 10).expect("the work offsets are 54 to 59");
        (found != named).then_some((Told::Offset(found), Moment::Any, Told::Offset(named)))
    }

    fn path(&mut self, code: i32, words: &Words<'_>) -> Wrong {
        let (found, within) = match (code, self.machine.words.path) {
            (610, named) => (Told::Exact, named == Some(PathControl::Exact)),
            (_, named) => {
                let (by, unit) = (words.get(b'P'), self.machine.units.in_mm());
                let most = match named {
                    Some(PathControl::Blend(most)) => most.as_mm() / unit + LAST_DIGIT,
                    _ => 0.0,
                };
                (Told::Blend(by), by.is_some_and(|by| by > 0.0 && by <= most))
            }
        };
        self.path = true;
        let when = if self.moved { Moment::Late } else { Moment::Any };
        (!within || self.moved).then_some((found, when, self.named_path()))
    }

    fn named_path(&self) -> Told {
        match self.machine.words.path {
            None => Told::NoPath,
            Some(PathControl::Exact) => Told::Exact,
            Some(PathControl::Blend(most)) => {
                Told::Blend(Some(most.as_mm() / self.machine.units.in_mm()))
            }
        }
    }

    fn centres(&self, code: i32) -> Wrong {
        let places = self.machine.words.arc_centres == ArcCentres::Absolute;
        match code {
            901 if !places => Some((Told::Places, Moment::Any, Told::FromStart)),
            911 if places => Some((Told::FromStart, Moment::Any, Told::Places)),
            _ => None,
        }
    }

    /// Straight up to the top of the machine's own Z, the tool off, and nothing after it.
    fn top(&mut self, words: &Words<'_>, (codes, turns): (&[(u8, i32)], bool)) -> Wrong {
        self.topped = true;
        let sideways = [b'X', b'Y'].iter().any(|letter| words.get(*letter).is_some());
        let is_up = has(codes, b'G', 0) && words.get(b'Z') == Some(0.0) && !sideways;
        if !self.machine.words.machine_top {
            Some((Told::Top, Moment::Any, Told::NoTop))
        } else if turns {
            Some((Told::Top, Moment::Running, Told::Top))
        } else {
            (!is_up).then_some((Told::OtherTop, Moment::Any, Told::Top))
        }
    }

    fn takes_length(&mut self, words: &Words<'_>) -> Wrong {
        let wanted = self.wanted().filter(|(_, tools)| tools.length).map(|(number, _)| number);
        let found = words.get(b'H');
        let is_it = wanted.is_some() && found == wanted && self.in_spindle == found;
        self.length = true;
        let when = if self.moved { Moment::Late } else { Moment::Any };
        let named = wanted.map_or(Told::NoLength, |number| Told::Length(Some(number)));
        (!is_it || self.moved).then_some((Told::Length(found), when, named))
    }

    fn changes(&mut self, turns: bool) -> Wrong {
        let wanted = self.wanted().map(|(number, _)| number);
        self.in_spindle = self.called;
        let when = match (self.moved, turns) {
            (true, _) => Moment::Late,
            (false, true) => Moment::Running,
            (false, false) => Moment::Any,
        };
        let is_it = wanted.is_some() && self.called == wanted && when == Moment::Any;
        let named = wanted.map_or(Told::NoTools, |number| Told::Change(Some(number)));
        (!is_it).then_some((Told::Change(self.called), when, named))
    }

    /// The number of the tool that this program is for.
    fn wanted(&self) -> Option<(f64, ToolTable)> {
        let tools = self.machine.words.tools?;
        tools.number(self.errand == Errand::Mark).map(|number| (f64::from(number), tools))
    }

    fn air(&mut self, code: i32) -> Wrong {
        self.blows = true;
        let found = if code == 70 { AirWord::M7 } else { AirWord::M8 };
        let named = self.machine.words.air.filter(|named| *named != found)?;
        Some((Told::Air(found.name()), Moment::Any, Told::Air(named.name())))
    }

    /// Looks at what must have been said before a motion, each told once; `turns`: whether the
    /// spindle or the beam is on in it.
    pub(crate) fn moves(&mut self, line: usize, turns: bool, findings: &mut Findings<'_>) {
        if self.topped {
            let (found, when, named) = (Told::AfterTop, Moment::Any, Told::Top);
            findings.at_line(codes::WordDiffers { found, when, named }, line);
        }
        self.moved = true;
        if let Some(air) = self.machine.words.air
            && turns
            && !self.blows
            && !self.told_air
        {
            self.told_air = true;
            findings.at_line(codes::WordMissing { named: Told::Air(air.name()) }, line);
        }
        if self.told {
            return;
        }
        let tool = self.wanted().filter(|(number, _)| self.in_spindle != Some(*number));
        let length = self.wanted().filter(|(_, tools)| tools.length && !self.length);
        let path = (self.machine.words.path.is_some() && !self.path).then(|| self.named_path());
        // A control begins in the first one by itself.
        let named = self.machine.words.work_offset;
        let offset = (named != FIRST_OFFSET && !self.offset).then_some(Told::Offset(named));
        let missing = [
            offset,
            tool.map(|(number, _)| Told::Change(Some(number))),
            length.map(|(number, _)| Told::Length(Some(number))),
            path,
        ];
        for named in missing.into_iter().flatten() {
            self.told = true;
            findings.at_line(codes::WordMissing { named }, line);
        }
    }
}

/// The work offset that a control begins in: ISO 6983-1 leaves it open, common practice, no source.
const FIRST_OFFSET: u8 = 54;

/// What is said, when, and what the profile names, where they differ.
type Wrong = Option<(Told, Moment, Told)>;

/// What a tolerance's last printed digit may add, in the program's unit.
const LAST_DIGIT: f64 = 1e-6;
