//! Every board with its blanks as a table: on the work list of all jobs, and in the cut list of
//! one.

use super::cut_from::in_feet;
use super::section::{Section, Table, Topic};
use super::work_list::for_whom;
use crate::pipeline::numbers::Value;
use crate::pipeline::set::{BoardToSaw, Set};
use crate::units::on_tape;

const BOARDS: [(&str, f64); 7] = [
    ("Board", 14.0),
    ("Which", 34.0),
    ("Piece", 18.0),
    ("Saw off", 24.0),
    ("Then rip to", 20.0),
    ("Job", 34.0),
    ("For", 22.0),
];

/// The boards of all jobs.
pub(super) fn section(set: &Set) -> Option<Section> {
    let boards = set.boards_to_saw();
    let notes = vec![
        "The blanks of a board stand in the order in which they are sawn off it, after its end is \
        trimmed. A board with a name or a width is that one and no other."
            .to_string(),
    ];
    let tables = vec![table(set, &boards)];
    (!boards.is_empty()).then_some(Section { topic: Topic::Boards, notes, tables })
}

/// The boards that were measured or have a name and from which blanks of a job are sawn; none where
/// it does not matter which board is which.
pub fn boards_of(set: &Set, member: usize) -> Option<Table> {
    let is_own = |of: &BoardToSaw| {
        of.known.is_told_apart() && of.blanks.iter().any(|blank| blank.member == member)
    };
    let boards: Vec<BoardToSaw> = set.boards_to_saw().into_iter().filter(is_own).collect();
    (!boards.is_empty()).then(|| table(set, &boards))
}

fn table(set: &Set, boards: &[BoardToSaw]) -> Table {
    let rows = boards.iter().flat_map(|board| rows(set, board)).collect();
    Table::plain("Boards in the order they are sawn", &BOARDS, rows)
}

/// A row a blank; the board itself stands in the first.
fn rows(set: &Set, board: &BoardToSaw) -> Vec<Vec<Value>> {
    let mut rows: Vec<Vec<Value>> = Vec::new();
    for blank in &board.blanks {
        let of_board = match rows.is_empty() {
            true => [through(board).into(), which_board(board).into()],
            false => [Value::from(""), Value::from("")],
        };
        let rip = blank.ripped_to.map_or(String::new(), on_tape);
        let own: [Value; 5] = [
            blank.numbers(board).into(),
            on_tape(blank.length).into(),
            rip.into(),
            set.members[blank.member].job().title.as_str().into(),
            for_whom(set, blank.member).into(),
        ];
        rows.push(of_board.into_iter().chain(own).collect());
    }
    rows
}

fn through(board: &BoardToSaw) -> String {
    match board.times {
        1 => board.first.to_string(),
        _ => format!("{} to {}", board.first, board.last()),
    }
}

/// Which board of its material it is.
pub(in crate::output) fn which_board(board: &BoardToSaw) -> String {
    let name = board.known.name.as_ref().map(|name| format!("\"{name}\""));
    let width = board.known.width.map(|width| format!("{} wide", on_tape(width)));
    let words = [name, Some(in_feet(board.length)), width];
    words.into_iter().flatten().collect::<Vec<_>>().join(", ")
}
