//! Which board gets which blank: every board that was measured or has a name, blank by blank, in
//! words and as a table for spreadsheets and saws.

use super::content::{for_whom, in_feet, which_board};
use super::csv::{Table, text};
use crate::pipeline::set::{BlankToSaw, BoardToSaw, CutOf, Set};
use crate::units::{Length, on_tape, trimmed};

/// The lines of a board: what it is, then each blank that is sawn off it, in order.
pub(super) fn told_apart(set: &Set, board: &BoardToSaw) -> String {
    let left = match board.left > Length::ZERO {
        true => format!("; {} left", on_tape(board.left)),
        false => String::new(),
    };
    let mut lines = format!("  board {}: {}{left}\n", board.first, which_board(board));
    for blank in &board.blanks {
        lines.push_str(&format!("    {}\n", blank_words(set, board, blank)));
    }
    lines
}

fn blank_words(set: &Set, board: &BoardToSaw, blank: &BlankToSaw) -> String {
    let title = &set.members[blank.member].job().title;
    let whose = match for_whom(set, blank.member) {
        whose if whose.is_empty() => whose,
        whose => format!(", for {whose}"),
    };
    let rip = match blank.ripped_to {
        Some(width) => format!("; rip it to {}", on_tape(width)),
        None => String::new(),
    };
    format!("{}: {}, {title}{whose}{rip}", blank.numbers(board), on_tape(blank.length))
}

const COLUMNS: [&str; 17] = [
    "board",
    "name",
    "material",
    "length_mm",
    "width_mm",
    "length",
    "width",
    "piece",
    "blank_mm",
    "blank",
    "rip_to_mm",
    "rip_to",
    "job",
    "customer",
    "order",
    "due",
    "left_mm",
];

/// The boards as comma-separated values: a line for every blank of every single board, in the order
/// in which they are sawn.
pub fn to_csv(set: &Set) -> String {
    let mut table = Table::of(&COLUMNS);
    let given = |of: &Option<String>| text(of.as_deref().unwrap_or_default());
    let mm = |of: Option<Length>| of.map_or(String::new(), |of| trimmed(of.as_mm(), 2));
    let read = |of: Option<Length>| of.map_or(String::new(), |of| text(&on_tape(of)));
    for board in set.boards_to_saw().iter().flat_map(BoardToSaw::each) {
        for blank in &board.blanks {
            let line = set.line_of(blank.member);
            table.row([
                board.first.to_string(),
                given(&board.known.name),
                text(&board.material),
                mm(Some(board.length)),
                mm(board.known.width),
                text(&in_feet(board.length)),
                read(board.known.width),
                CutOf::Board.number(board.first, blank.place),
                mm(Some(blank.length)),
                read(Some(blank.length)),
                mm(blank.ripped_to),
                read(blank.ripped_to),
                text(&set.members[blank.member].job().title),
                given(&line.customer),
                given(&line.number),
                given(&line.due),
                mm(Some(board.left)),
            ]);
        }
    }
    table.text()
}
