//! The tables of a bench sheet as rows of cells.

use super::super::sheet::{Check, Figure, Mark, Piece, TableRows};
use super::super::value::Value;

/// A column: its heading, and its width as a share of all of them.
#[derive(Clone, Copy)]
pub(super) struct Column {
    pub heading: &'static str,
    pub share: f64,
}

/// What is in a cell.
#[derive(Clone)]
pub(super) enum Cell {
    /// Words across this many columns.
    Words(String, usize),
    /// Room to write into.
    Empty,
}

/// Columns and rows.
pub(super) struct Grid {
    pub columns: Vec<Column>,
    pub rows: Vec<Vec<Cell>>,
}

/// The cells of the rows.
pub(super) fn grid(rows: &TableRows) -> Grid {
    match rows {
        TableRows::Figures(rows) => Grid {
            columns: columns(&[("What", 31.0), ("Tape", 17.0), ("mm", 15.0), ("Exact", 28.0), ("Note", 32.0)]),
            rows: rows.iter().map(figure).collect(),
        },
        TableRows::Marks(rows) => Grid {
            columns: columns(&[("Mark", 42.0), ("Tape", 18.0), ("mm", 18.0), ("Exact", 32.0), ("Off, in", 13.0)]),
            rows: rows.iter().map(mark).collect(),
        },
        TableRows::Pieces(rows) => Grid {
            columns: columns(&[
                ("Piece", 20.0),
                ("Count", 13.0),
                ("Length", 20.0),
                ("Width or height", 20.0),
                ("Thickness", 16.0),
                ("Note", 35.0),
            ]),
            rows: rows.iter().map(piece).collect(),
        },
        TableRows::Checks(rows) => checks(rows),
    }
}

fn columns(of: &[(&'static str, f64)]) -> Vec<Column> {
    of.iter().map(|&(heading, share)| Column { heading, share }).collect()
}

fn one(words: impl Into<String>) -> Cell {
    Cell::Words(words.into(), 1)
}

/// The three cells of a value; words take all three.
fn value(value: &Value) -> Vec<Cell> {
    match value {
        Value::Length(_) => vec![one(value.on_tape()), one(value.in_mm()), one(value.exact())],
        Value::Count(_) | Value::Words(_) => vec![Cell::Words(value.on_tape(), 3)],
    }
}

fn figure(figure: &Figure) -> Vec<Cell> {
    [vec![one(&figure.label)], value(&figure.value), vec![one(&figure.note)]].concat()
}

fn mark(mark: &Mark) -> Vec<Cell> {
    [vec![one(&mark.label)], value(&Value::Length(mark.at)), vec![one(mark.off())]].concat()
}

fn piece(piece: &Piece) -> Vec<Cell> {
    let size = |value: &Value| match value {
        Value::Length(_) => one(stacked(value)),
        Value::Count(_) | Value::Words(_) => one(value.on_tape()),
    };
    let sizes = [&piece.length, &piece.width, &piece.thickness].map(size).to_vec();
    [vec![one(&piece.what), one(&piece.count)], sizes, vec![one(&piece.note)]].concat()
}

fn checks(checks: &[Check]) -> Grid {
    let has_pattern = checks.iter().any(|check| check.on_pattern.is_some());
    let mut named = vec![("Check", 26.0), ("Stringer: tape", 17.0), ("mm", 14.0), ("Exact", 17.0)];
    if has_pattern {
        named.push(("Pattern", 17.0));
    }
    named.extend([("Measured", 22.0), ("How", 20.0)]);
    let pattern = |check: &Check| match (has_pattern, check.on_pattern) {
        (false, _) => Vec::new(),
        (true, None) => vec![one("not on the pattern")],
        (true, Some(length)) => vec![one(stacked(&Value::Length(length)))],
    };
    let row = |(i, check): (usize, &Check)| {
        let label = vec![one(format!("{}. {}", i + 1, check.label))];
        let exact = Value::Length(check.predicted);
        let predicted = vec![one(exact.on_tape()), one(exact.in_mm()), one(below(&exact))];
        [label, predicted, pattern(check), vec![Cell::Empty, one(&check.how)]].concat()
    };
    Grid { columns: columns(&named), rows: checks.iter().enumerate().map(row).collect() }
}

/// A length in a narrow column: the tape, and the exact figures below it.
fn stacked(value: &Value) -> String {
    format!("{}\n{}", value.on_tape(), below(value))
}

/// The exact figures, one below the other.
fn below(value: &Value) -> String {
    value.exact().replace(", ", "\n")
}
