//! The tables of a section as rows of cells.

use super::section::{Check, Figure, Mark, Piece, TableRows};
use crate::pipeline::numbers::Value;
use crate::units::{Length, Tape, trimmed};

/// A column: its heading, and its width as a share of all of them.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    /// Its heading.
    pub heading: &'static str,
    /// Its share.
    pub share: f64,
}

/// What is in a cell.
#[derive(Clone, Debug)]
pub enum Cell {
    /// What the row is about.
    Label(String),
    /// A length as the tape reads.
    Tape(String),
    /// A number in a column of them.
    Number(String),
    /// A length to its last digit that is told, in both systems.
    Exact(String),
    /// A length with its exact figures in one cell.
    Length(Length),
    /// Words across this many columns.
    Words(String, usize),
    /// Room to write the measured figure of the row of this label into.
    Empty(String),
}

/// Columns and rows.
#[derive(Clone, Debug)]
pub struct Grid {
    /// The columns.
    pub columns: Vec<Column>,
    /// The rows; their cells fill all columns.
    pub rows: Vec<Vec<Cell>>,
}

/// The cells of the rows.
pub fn grid(rows: &TableRows) -> Grid {
    match rows {
        TableRows::Figures(rows) => {
            let named = of_a_value([("What", 31.0)], [17.0, 15.0, 28.0], [("Note", 32.0)]);
            Grid { columns: columns(&named), rows: rows.iter().map(figure).collect() }
        }
        TableRows::Marks(rows) => {
            let off = match Tape::in_hand() {
                Tape::Inches => "Off, in",
                Tape::Metric => "Off, mm",
            };
            let named = of_a_value([("Mark", 42.0)], [18.0, 18.0, 32.0], [(off, 13.0)]);
            Grid { columns: columns(&named), rows: rows.iter().map(mark).collect() }
        }
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
        TableRows::Plain { columns: named, rows } => {
            Grid { columns: columns(named), rows: rows.iter().map(|row| plain(row)).collect() }
        }
    }
}

fn columns(of: &[(&'static str, f64)]) -> Vec<Column> {
    of.iter().map(|&(heading, share)| Column { heading, share }).collect()
}

/// The columns of a value between others: a tape in inches takes one more for the millimetres.
fn of_a_value(
    before: [(&'static str, f64); 1],
    shares: [f64; 3],
    after: [(&'static str, f64); 1],
) -> Vec<(&'static str, f64)> {
    let [tape, mm, exact] = shares;
    let of_value = match Tape::in_hand() {
        Tape::Inches => vec![("Tape", tape), ("mm", mm), ("Exact", exact)],
        Tape::Metric => vec![("Tape", tape + mm / 2.0), ("Exact", exact + mm / 2.0)],
    };
    [before.to_vec(), of_value, after.to_vec()].concat()
}

/// How many columns a value takes.
fn cells_of_a_value() -> usize {
    match Tape::in_hand() {
        Tape::Inches => 3,
        Tape::Metric => 2,
    }
}

fn words(words: &str) -> Cell {
    Cell::Words(words.to_string(), 1)
}

/// The cells of a value; what is no length takes all of them.
fn value(value: &Value) -> Vec<Cell> {
    match (value, Tape::in_hand()) {
        (Value::Length(_), Tape::Inches) => vec![
            Cell::Tape(value.on_tape()),
            Cell::Number(value.in_mm()),
            Cell::Exact(value.exact()),
        ],
        (Value::Length(_), Tape::Metric) => {
            vec![Cell::Tape(value.on_tape()), Cell::Exact(value.exact())]
        }
        (Value::Count(_) | Value::Degrees(_) | Value::Words(_), _) => {
            vec![Cell::Words(value.on_tape(), cells_of_a_value())]
        }
    }
}

/// The one cell of a value.
fn cell(value: &Value) -> Cell {
    match value {
        Value::Length(length) => Cell::Length(*length),
        Value::Count(_) | Value::Degrees(_) | Value::Words(_) => words(&value.on_tape()),
    }
}

fn figure(figure: &Figure) -> Vec<Cell> {
    [vec![Cell::Label(figure.label.clone())], value(&figure.value), vec![words(&figure.note)]]
        .concat()
}

fn mark(mark: &Mark) -> Vec<Cell> {
    let mut at = value(&Value::Length(mark.at));
    if Tape::in_hand() == Tape::Metric {
        at[0] = Cell::Tape(format!("{} mm", trimmed(mark.on_tape().as_mm(), 0)));
    }
    [vec![Cell::Label(mark.label.clone())], at, vec![Cell::Number(mark.off())]].concat()
}

fn piece(piece: &Piece) -> Vec<Cell> {
    let sizes = [&piece.count, &piece.length, &piece.width, &piece.thickness].map(cell).to_vec();
    [vec![Cell::Label(piece.what.clone())], sizes, vec![words(&piece.note)]].concat()
}

fn plain(row: &[Value]) -> Vec<Cell> {
    let label = row.first().map(|label| Cell::Label(label.to_string()));
    label.into_iter().chain(row.iter().skip(1).map(cell)).collect()
}

fn checks(checks: &[Check]) -> Grid {
    let has_pattern = checks.iter().any(|check| check.on_pattern.is_some());
    let predicted = if has_pattern { "Stringer: tape" } else { "Predicted: tape" };
    let mut named = vec![("Check", 26.0), (predicted, 17.0)];
    if Tape::in_hand() == Tape::Inches {
        named.push(("mm", 14.0));
    }
    named.push(("Exact", 17.0));
    if has_pattern {
        named.push(("Pattern", 17.0));
    }
    named.extend([("Measured", 22.0), ("How", 20.0)]);
    let pattern = |check: &Check| match (has_pattern, check.on_pattern) {
        (false, _) => Vec::new(),
        (true, None) => vec![words("not on the pattern")],
        (true, Some(length)) => vec![Cell::Length(length)],
    };
    let row = |(i, check): (usize, &Check)| {
        let label = format!("{}. {}", i + 1, check.label);
        let predicted = value(&Value::Length(check.predicted));
        let measured = vec![Cell::Empty(label.clone()), words(&check.how)];
        [vec![Cell::Label(label)], predicted, pattern(check), measured].concat()
    };
    Grid { columns: columns(&named), rows: checks.iter().enumerate().map(row).collect() }
}
