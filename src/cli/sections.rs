//! Sections of sentences and tables as text for a terminal.

use super::table::told;
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
    let notes: String = section.notes.iter().map(|note| format!("{note}\n")).collect();
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
    format!("  {}\n{rows}", table.caption)
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
    rows.iter()
        .map(|row| format!("    {:<width$} {}{}\n", row.label, told(&row.value), note(row)))
        .collect()
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

/// A cell with more letters makes no column wider: its row goes on behind it.
const MOST: usize = 60;

/// Rows in columns as wide as their widest cell.
pub(super) fn columns(headings: &[String], rows: &[Vec<String>]) -> String {
    let all = || [headings].into_iter().chain(rows.iter().map(Vec::as_slice));
    let wide = |i: usize| {
        all()
            .filter_map(|row| row.get(i))
            .map(|cell| cell.chars().count())
            .filter(|n| *n <= MOST)
            .max()
            .unwrap_or(0)
    };
    let widths: Vec<usize> = (0..headings.len()).map(wide).collect();
    let row = |row: &[String]| {
        let cells: Vec<String> =
            row.iter().zip(&widths).map(|(cell, width)| format!("{cell:<width$}")).collect();
        format!("    {}\n", cells.join("  ").trim_end())
    };
    all().map(row).collect()
}
