//! What the marks say.

use crate::job::{Fingerprint, Follow, Job, Makes};
use crate::stair::Flight;
use crate::units::{Length, Tape, decimal, on_tape, sixteenths};

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
    vec![
        vec![
            fixed("pattern".to_string()),
            Line::Title(job.title.trim().to_uppercase()),
            fixed(format!("job {fingerprint}")),
        ],
        vec![
            fixed(format!("rise {}", both(flight.unit_rise))),
            fixed(format!("run {}", both(flight.unit_run))),
            fixed(drop(flight.drop())),
        ],
        follow(job.cut.makes).into_iter().map(fixed).collect(),
    ]
}

/// As the tape reads; from one in inches in mm too.
fn both(length: Length) -> String {
    match Tape::in_hand() {
        Tape::Inches => format!("{} {} mm", sixteenths(length), decimal(length.as_mm(), 1)),
        Tape::Metric => on_tape(length),
    }
}

/// So that nobody takes it twice.
fn drop(drop: Length) -> String {
    if drop.as_mm().abs() <= NO_DROP_MM {
        "no drop to take".to_string()
    } else if drop > Length::ZERO {
        format!("drop taken {}", both(drop))
    } else {
        format!("foot left longer {}", both(-drop))
    }
}

/// What it is followed with, and by how much it is smaller for that.
fn follow(makes: Makes) -> Vec<String> {
    let Makes::Pattern(follow) = makes else { return Vec::new() };
    let exact = |length: Length| {
        let mm = Tape::Metric.finely(length);
        match Tape::in_hand() {
            Tape::Inches => format!("{} {mm}", Tape::Inches.finely(length)),
            Tape::Metric => mm,
        }
    };
    let with = match follow {
        Follow::Edge => "follow its edge".to_string(),
        Follow::BearingBit => "follow with bearing bit".to_string(),
        Follow::Pencil { lead } => format!("follow with pencil line {}", exact(lead)),
        Follow::Bushing { outside, bit } => {
            format!("follow with bushing {} bit {}", on_tape(outside), on_tape(bit))
        }
    };
    let smaller = if follow.inset() > Length::ZERO {
        format!("smaller all round {}", exact(follow.inset()))
    } else {
        "full size, nothing taken off".to_string()
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
        assert_eq!(drop(Length::inches(1.0)), "drop taken 1 in 25.4 mm");
        assert_eq!(drop(Length::ZERO), "no drop to take");
        assert_eq!(drop(Length::inches(-0.5)), "foot left longer 1/2 in 12.7 mm");
    }
}
