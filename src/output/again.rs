//! What the top of a program says of going on after a break.

use std::ops::RangeInclusive;

use super::gcode::{LAST_NUMBER, LONGEST_COMMENT};
use crate::cam::plan::{Again, Program, Step};
use crate::geometry::Point;
use crate::profile::{Machine, TOOL_OVER, Words};

/// The lines that one sends first, and those that one goes on from.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Lines {
    /// Units, plane, offset, tool and length, the way up, the tool on: what every line needs.
    pub first: Option<RangeInclusive<usize>>,
    /// The line of each place to go on from.
    pub places: Vec<usize>,
}

/// How a program announces a place to go on from.
pub(super) fn word(number: usize, of: usize) -> String {
    format!("RESUME {number} OF {of}")
}

/// The comments at the top; a line is told by its number in the file, and by the one that stands on
/// it where lines are numbered.
pub(super) fn comments(
    program: &Program,
    machine: &Machine,
    lines: &Lines,
    numbers: impl Fn(usize) -> Option<u32>,
) -> Vec<String> {
    let places = program.again();
    // Marks and frames are begun anew.
    if places.is_empty() {
        return Vec::new();
    }
    let named = |line: usize| match numbers(line) {
        Some(number) => format!("N{number} in line {line}"),
        None => format!("line {line}"),
    };
    let first = lines.first.clone().unwrap_or(0..=0);
    let mut all = vec![
        format!("After a break send {} to {}", named(*first.start()), named(*first.end())),
        "Then go on from one of these lines".to_string(),
    ];
    if let Some(words) = by_hand(&machine.words) {
        all.push(words.to_string());
    }
    if program.begins_aside() {
        all.push(
            "Before it bring the tool over the X and Y of that line, clear of the clamps"
                .to_string(),
        );
    }
    let count = places.len();
    all.extend(places.iter().enumerate().map(|(i, Again { next, .. })| {
        let line = lines.places.get(i).copied().unwrap_or(0);
        let place = format!("{}, {}, {i} done, next ", word(i + 1, count), named(line));
        let room = LONGEST_COMMENT.saturating_sub(place.len());
        place + next.chars().take(room).collect::<String>().trim_end_matches([' ', ','])
    }));
    all
}

/// The place that the tool first goes to from a place to go on from.
pub(super) fn first_across(rest: &[Step]) -> Option<Point> {
    rest.iter().find_map(|step| match step {
        Step::RapidXy(to) => Some(*to),
        _ => None,
    })
}

/// Where the operator brings the tool who goes on from here, X and Y as they are printed.
pub(super) fn over(x: &str, y: &str) -> String {
    format!("{TOOL_OVER} X {x} Y {y}, IF BEGUN HERE")
}

/// The largest step in which so many lines have numbers of five digits; none where they are too
/// many.
pub(super) fn fitting_step(numbered: u32) -> Option<u32> {
    Some(LAST_NUMBER / numbered.max(1)).filter(|step| *step > 0)
}

/// What the operator minds where a changer is told which tool it has.
fn by_hand(words: &Words) -> Option<&'static str> {
    words.tools.map(|_| "The tool is called anew with them, its length too")
}
