//! The spindle or the beam: what M and S words make of it, line by line.

use super::findings::{Findings, bare, rpm};
use super::modal::Words;
use super::moves::{Spindle, Tooling};
use crate::diagnostics::Figure;
use crate::diagnostics::codes::{self, Bound};
use crate::profile::Tool;

/// S words that differ by no more are one speed: a printed digit.
const SAME_SPEED: f64 = 0.1;

/// The tool as it is now.
pub(super) struct Switched {
    pub now: Tooling,
    /// Whether the program has an S word so far.
    speed_said: bool,
}

impl Default for Switched {
    fn default() -> Self {
        let now = Tooling { spindle: Spindle::Off, speed: 0.0, stood_s: 0.0 };
        Self { now, speed_said: false }
    }
}

impl Switched {
    /// Takes the words of one line; what it was switched to, in their order.
    pub(crate) fn told(
        &mut self,
        words: &Words<'_>,
        codes: &[(u8, i32)],
        tool: &Tool,
        findings: &mut Findings<'_>,
    ) -> Vec<Spindle> {
        let before = self.now;
        if let Some(speed) = words.get(b'S') {
            check_speed(speed, tool, words.line, findings);
            self.now.speed = speed;
            self.speed_said = true;
        }
        let switch = |(letter, code): &(u8, i32)| match (letter, code) {
            (b'M', 30) => Some(Spindle::Clockwise),
            (b'M', 40) => Some(Spindle::CounterClockwise),
            (b'M', 50) => Some(Spindle::Off),
            _ => None,
        };
        let mut switches: Vec<Spindle> = codes.iter().filter_map(switch).collect();
        // S0 stops what turns, and another S starts it again, without an M word.
        let by_speed = before.spindle != Spindle::Off
            && tool.cutter().is_some()
            && (before.speed > 0.0) != (self.now.speed > 0.0);
        if switches.is_empty() && by_speed {
            switches.push(if self.now.speed > 0.0 { before.spindle } else { Spindle::Off });
            return self.went_on(before, switches);
        }
        for &to in &switches {
            self.now.spindle = to;
            if to != Spindle::Off && !self.speed_said {
                findings.at_line(codes::SpeedNotSaid {}, words.line);
            }
        }
        self.went_on(before, switches)
    }

    /// Another speed, or the other way round, takes its time again.
    fn went_on(&mut self, before: Tooling, switches: Vec<Spindle>) -> Vec<Spindle> {
        let goes_on = before.is_on()
            && self.now.spindle == before.spindle
            && (self.now.speed - before.speed).abs() <= SAME_SPEED;
        if !goes_on {
            self.now.stood_s = 0.0;
        }
        switches
    }

    /// The program stands still, in seconds.
    pub(crate) fn stands(&mut self, seconds: f64) {
        if self.now.is_on() {
            self.now.stood_s += seconds;
        }
    }
}

fn check_speed(speed: f64, tool: &Tool, line: usize, findings: &mut Findings<'_>) {
    let most = tool.most_s();
    let figure: fn(f64) -> Figure = if tool.cutter().is_some() { rpm } else { bare };
    let measured = figure(speed);
    if speed < 0.0 {
        let (bound, limit) = (Bound::AtLeast, figure(0.0));
        findings.at_line(codes::SpindleSpeed { measured, bound, limit }, line);
    } else if speed > most {
        let (bound, limit) = (Bound::AtMost, figure(most));
        findings.at_line(codes::SpindleSpeed { measured, bound, limit }, line);
    }
}
