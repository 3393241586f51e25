//! What the marks say.

use crate::job::{Fingerprint, Follow, Job, Makes, MarksAsked};
use crate::stair::Flight;
use crate::units::{Length, Tape, on_tape, sixteenths};

/// How much of a job's number is marked: its first eight digits tell it from any other job of a
/// shop.
const NUMBER_LONG: usize = 8;
/// A drop of less than this is none.
const NO_DROP_MM: f64 = 1e-6;

/// A line of a block.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Line {
    /// Must be there whole.
    Fixed(String),
    /// The user's own words: their end may be left off.
    Title(String),
}

impl Line {
    /// The words.
    pub(super) fn words(&self) -> &str {
        match self {
            Self::Fixed(words) | Self::Title(words) => words,
        }
    }
}

/// The blocks of text in the order of their weight.
pub(super) fn blocks(job: &Job, fingerprint: &Fingerprint, flight: &Flight) -> Vec<Vec<Line>> {
    let fixed = |words: String| Line::Fixed(words.to_uppercase());
    let number: String = fingerprint.to_string().chars().take(NUMBER_LONG).collect();
    let number = fixed(format!("job {number}"));
    if job.cut.marks == MarksAsked::Short {
        return vec![vec![number]];
    }
    vec![
        vec![Line::Title(job.title.trim().to_uppercase()), number],
        vec![
            fixed(format!("rise {}", tape(flight.unit_rise))),
            fixed(format!("run {}", tape(flight.unit_run))),
            fixed(drop(flight.drop())),
        ],
        follow(job.cut.makes).into_iter().map(fixed).collect(),
    ]
}

/// As the tape reads, and in no other unit: every letter is cut.
fn tape(length: Length) -> String {
    match Tape::in_hand() {
        Tape::Inches => sixteenths(length),
        Tape::Metric => on_tape(length),
    }
}

/// So that nobody takes it twice.
fn drop(drop: Length) -> String {
    if drop.as_mm().abs() <= NO_DROP_MM {
        "no drop".to_string()
    } else if drop > Length::ZERO {
        format!("drop taken {}", tape(drop))
    } else {
        format!("foot longer {}", tape(-drop))
    }
}

/// What it is followed with, and by how much it is smaller for that.
fn follow(makes: Makes) -> Vec<String> {
    let Makes::Pattern(follow) = makes else { return Vec::new() };
    let exact = |length: Length| Tape::in_hand().finely(length);
    let with = match follow {
        Follow::Edge => "follow edge".to_string(),
        Follow::BearingBit => "bearing bit".to_string(),
        Follow::Pencil { lead } => format!("pencil {}", exact(lead)),
        Follow::Bushing { outside, bit } => {
            format!("bushing {} bit {}", on_tape(outside), on_tape(bit))
        }
    };
    let smaller = if follow.inset() > Length::ZERO {
        format!("smaller {}", exact(follow.inset()))
    } else {
        "full size".to_string()
    };
    vec![with, smaller]
}

/// Lines broken between words so that none is longer than `most` characters, where its words allow.
pub(super) fn wrapped(lines: &[String], most: usize) -> Vec<String> {
    let mut broken = Vec::new();
    for line in lines {
        let mut row = String::new();
        for word in line.split_whitespace() {
            if !row.is_empty() && row.chars().count() + 1 + word.chars().count() > most {
                broken.push(std::mem::take(&mut row));
            }
            if !row.is_empty() {
                row.push(' ');
            }
            row.push_str(word);
        }
        broken.push(row);
    }
    broken
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_break_between_words_and_never_in_one() {
        let lines = ["SMALLER ALL ROUND 0.5 IN".to_string()];
        assert_eq!(wrapped(&lines, 12), ["SMALLER ALL", "ROUND 0.5 IN"]);
        assert_eq!(wrapped(&lines, 3), ["SMALLER", "ALL", "ROUND", "0.5", "IN"]);
        assert_eq!(wrapped(&lines, 99), lines);
    }

    #[test]
    fn a_drop_is_said_to_be_taken_and_none_is_said_to_be_none() {
        assert_eq!(drop(Length::inches(1.0)), "drop taken 1 in");
        assert_eq!(drop(Length::ZERO), "no drop");
        assert_eq!(drop(Length::inches(-0.5)), "foot longer 1/2 in");
    }
}
