//! Sections of sentences and tables as text for a terminal.

use textwrap::{Options, WordSplitter, wrap};

use super::table::told;
use super::told::{WIDTH, hung};
use crate::output::content::{Cell, Figure, Section, Table, TableRows, grid, whole_stair};
use crate::pipeline::set::Set;

/// Labels are padded to the longest of their table, within these many letters.
const LABEL: (usize, usize) = (26, 44);

/// The stairs of several flights, each under its title.
pub(super) fn whole_stairs(set: &Set) -> String {
    let told = |of: &_| sections(&[whole_stair(of, &set.members)]);
    set.stairways.iter().map(|of| format!("{}\n{}\n", of.whole.job.title, told(of))).collect()
}

/// The sections, one below the other.
pub(super) fn sections(sections: &[Section]) -> String {
    sections.iter().map(section).collect()
}

fn section(section: &Section) -> String {
    let notes: String = section.notes.iter().map(|note| hung(note, "")).collect();
    let tables: String = section.tables.iter().map(table).collect();
    format!("\n{}\n{notes}{tables}", section.topic.heading())
}

fn table(table: &Table) -> String {
    let rows = match &table.rows {
        TableRows::Figures(rows) => figures(rows),
        rows => {
            let grid = grid(rows);
            let headings: Vec<String> =
                grid.columns.iter().map(|column| column.heading.to_string()).collect();
            columns(
                &headings,
                &grid.rows.iter().map(|row| row.iter().map(words).collect()).collect::<Vec<_>>(),
            )
        }
    };
    hung(&table.caption, "  ") + &rows
}

/// The rows of a table, its headings first where it has any.
pub(super) fn rows(table: &Table) -> Vec<Vec<String>> {
    if let TableRows::Figures(rows) = &table.rows {
        let row =
            |row: &Figure| vec![row.label.to_string(), told(&row.value), row.note.to_string()];
        return rows.iter().map(row).collect();
    }
    let grid = grid(&table.rows);
    let headings = grid.columns.iter().map(|column| column.heading.to_string()).collect();
    let rows = grid.rows.iter().map(|row| row.iter().map(words).collect());
    std::iter::once(headings).chain(rows).collect()
}

fn figures(rows: &[Figure]) -> String {
    let width =
        rows.iter().map(|row| row.label.chars().count()).max().unwrap_or(0).clamp(LABEL.0, LABEL.1);
    let note =
        |row: &Figure| if row.note.is_empty() { String::new() } else { format!("; {}", row.note) };
    let line = |row: &Figure| {
        hung(&format!("{}{}", told(&row.value), note(row)), &format!("    {:<width$} ", row.label))
    };
    rows.iter().map(line).collect()
}

fn words(cell: &Cell) -> String {
    match cell {
        Cell::Label(text)
        | Cell::Tape(text)
        | Cell::Number(text)
        | Cell::Exact(text)
        | Cell::Words(text, _) => text.clone(),
        Cell::Length(length) => length.to_string(),
        Cell::Empty(_) => String::new(),
    }
}

/// What stands before a row and between two of its cells.
const BEFORE: usize = 4;
const BETWEEN: usize = 2;
/// A column is made no narrower than this to let a table fit, unless all of it is.
const NARROWEST: usize = 12;

/// Rows in columns as wide as their widest cell; where a terminal is not as wide as all of them the
/// cells go on below themselves, and where even that does not do each row is told line by line.
fn columns(headings: &[String], rows: &[Vec<String>]) -> String {
    let all = || [headings].into_iter().chain(rows.iter().map(Vec::as_slice));
    let wide = |i: usize| all().filter_map(|row| row.get(i)).map(|cell| width_of(cell)).max();
    let natural: Vec<usize> = (0..headings.len()).map(|i| wide(i).unwrap_or(0)).collect();
    match narrowed(&natural) {
        Some(widths) => all().map(|row| wrapped_row(row, &widths)).collect(),
        None => rows.iter().map(|row| stacked_row(headings, row)).collect(),
    }
}

fn width_of(text: &str) -> usize {
    text.chars().count()
}

/// These widths, the widest made narrower until all fit; `None` where they would be too narrow to
/// read.
fn narrowed(natural: &[usize]) -> Option<Vec<usize>> {
    let room = WIDTH.checked_sub(BEFORE + BETWEEN * natural.len().saturating_sub(1))?;
    let mut widths = natural.to_vec();
    while widths.iter().sum::<usize>() > room {
        let widest = widths.iter_mut().max()?;
        *widest = widest.checked_sub(1).filter(|width| *width >= NARROWEST)?;
    }
    Some(widths)
}

/// A row whose cells go on below themselves.
fn wrapped_row(row: &[String], widths: &[usize]) -> String {
    let in_column = |(cell, width): (&String, &usize)| -> Vec<String> {
        let options = Options::new((*width).max(1)).word_splitter(WordSplitter::NoHyphenation);
        wrap(cell, options).into_iter().map(String::from).collect()
    };
    let cells: Vec<Vec<String>> = row.iter().zip(widths).map(in_column).collect();
    let lines = cells.iter().map(Vec::len).max().unwrap_or(0);
    let line = |i: usize| {
        let padded = |(cell, width): (&Vec<String>, &usize)| {
            format!("{:<width$}", cell.get(i).map_or("", String::as_str))
        };
        let cells: Vec<String> = cells.iter().zip(widths).map(padded).collect();
        format!("{}{}\n", " ".repeat(BEFORE), cells.join(&" ".repeat(BETWEEN)).trim_end())
    };
    (0..lines).map(line).collect()
}

/// A row as its first cell and below it the others, each behind its heading.
fn stacked_row(headings: &[String], row: &[String]) -> String {
    let first = row.first().map_or(String::new(), |label| hung(label, &" ".repeat(BEFORE)));
    let column = headings.iter().skip(1).map(|heading| width_of(heading)).max().unwrap_or(0);
    let rest = headings.iter().zip(row).skip(1).filter(|(_, cell)| !cell.is_empty());
    let line = |(heading, cell): (&String, &String)| {
        hung(cell, &format!("{}{heading:<column$}  ", " ".repeat(BEFORE + 2)))
    };
    first + &rest.map(line).collect::<String>()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(of: &[&str]) -> Vec<String> {
        of.iter().map(|text| text.to_string()).collect()
    }

    #[test]
    fn cells_that_are_too_long_go_on_below_themselves() {
        let long =
            "a cell of many words that no terminal has the room for in one line beside others";
        let text = columns(&texts(&["What", "Note"]), &[texts(&["board", long])]);
        let lines: Vec<&str> = text.lines().collect();
        assert!(lines.len() == 3 && lines.iter().all(|line| width_of(line) <= WIDTH), "{text}");
        let at = lines[1].find("a cell").unwrap();
        assert!(lines[2].starts_with(&" ".repeat(at)) && &lines[2][at..at + 1] != " ", "{text}");
    }

    #[test]
    fn rows_of_too_many_columns_are_told_line_by_line() {
        let headings: Vec<String> = (0..9).map(|i| format!("Heading {i}")).collect();
        let row: Vec<String> = (0..9).map(|i| format!("3 {i}/16 in (7{i}.2 mm)")).collect();
        let text = columns(&headings, std::slice::from_ref(&row));
        assert!(text.lines().all(|line| width_of(line) <= WIDTH), "{text}");
        assert!(
            headings[1..].iter().zip(&row[1..]).all(|(heading, cell)| {
                text.lines().any(|line| line.contains(heading) && line.contains(cell))
            }),
            "{text}"
        );
    }
}
