//! What came of many jobs, as a table: RFC 4180, and the same rows as JSON.

use serde::Serialize;

use super::batch_row::BatchRow;
use super::csv::{Table as Records, text};
use super::file_report;
use super::report::{FileReport, UNSEALED, json};
use crate::units::{money, trimmed};

/// Name and version of the schema of many jobs.
pub const BATCH_SCHEMA: &str = "seatcut.batch/1";

/// Every way a job can end.
pub const OUTCOMES: [&str; 4] = ["made", "unchanged", "refused", "failed"];

#[derive(Serialize)]
struct Table<'a> {
    schema: &'static str,
    tool: &'static str,
    made: usize,
    unchanged: usize,
    refused: usize,
    failed: usize,
    jobs: &'a [BatchRow],
    total: Totals,
    files: Vec<FileReport>,
    digest: &'static str,
}

/// All rows together; none of them tells more of a job that was not made than why.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Totals {
    /// Of all jobs.
    pub warnings: usize,
    /// Files that machines run.
    pub programs: usize,
    /// Pieces cut.
    pub pieces: usize,
    /// Whole sheets taken.
    pub sheets: usize,
    /// Offcuts of sheets taken.
    pub offcuts: usize,
    /// Feet of board bought.
    pub board_ft: f64,
    /// Machine time in seconds.
    pub time_s: f64,
    /// What all cost together; none where something is cut whose cost is not known.
    pub cost: Option<f64>,
}

impl Totals {
    /// The totals of rows.
    pub fn of(rows: &[BatchRow]) -> Self {
        Self {
            warnings: rows.iter().map(|row| row.warnings).sum(),
            programs: rows.iter().map(|row| row.programs).sum(),
            pieces: rows.iter().map(|row| row.pieces).sum(),
            sheets: rows.iter().map(|row| row.sheets).sum(),
            offcuts: rows.iter().map(|row| row.offcuts).sum(),
            board_ft: rows.iter().map(|row| row.board_ft).fold(0.0, |a, b| a + b),
            time_s: rows.iter().map(|row| row.time_s).sum(),
            cost: rows
                .iter()
                .filter(|row| row.programs > 0)
                .try_fold(None, |sum: Option<f64>, row| Some(Some(sum.unwrap_or(0.0) + row.cost?)))
                .flatten(),
        }
    }
}

/// How many rows have an outcome.
pub fn count(rows: &[BatchRow], outcome: &str) -> usize {
    rows.iter().filter(|row| row.outcome == outcome).count()
}

/// How many of each outcome, in words.
pub fn counts(rows: &[BatchRow]) -> String {
    OUTCOMES.map(|outcome| format!("{} {outcome}", count(rows, outcome))).join(", ")
}

/// The rows as JSON, sealed, with the digest of the file that holds them as comma-separated values.
pub fn to_json(rows: &[BatchRow], csv_name: &str) -> String {
    let [made, unchanged, refused, failed] = OUTCOMES.map(|outcome| count(rows, outcome));
    json(&Table {
        schema: BATCH_SCHEMA,
        tool: super::Stamp::tool(),
        made,
        unchanged,
        refused,
        failed,
        jobs: rows,
        total: Totals::of(rows),
        files: vec![file_report(csv_name, to_csv(rows).as_bytes())],
        digest: UNSEALED,
    })
}

const COLUMNS: [&str; 23] = [
    "job",
    "folder",
    "outcome",
    "code",
    "reason",
    "title",
    "order",
    "customer",
    "due",
    "fingerprint",
    "material",
    "risers",
    "unit_rise_mm",
    "throat_mm",
    "warnings",
    "programs",
    "pieces",
    "sheets",
    "offcuts",
    "board_ft",
    "time_s",
    "cost",
    "gouge_mm",
];

/// The rows as comma-separated values, the totals below them.
pub fn to_csv(rows: &[BatchRow]) -> String {
    let mut table = Records::of(&COLUMNS);
    let mm = |value: Option<f64>| value.map(|mm| trimmed(mm, 4)).unwrap_or_default();
    let mm_each = |values: &[f64]| {
        let each: Vec<String> = values.iter().map(|value| trimmed(*value, 4)).collect();
        each.join("; ")
    };
    for row in rows {
        let fields = [
            text(&row.job),
            text(&row.folder),
            row.outcome.to_string(),
            row.code.clone(),
            text(&row.reason),
            text(&row.title),
            text(&row.order),
            text(&row.customer),
            text(&row.due),
            text(&row.fingerprint),
            text(&row.material),
            row.risers.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "),
            mm_each(&row.unit_rise_mm),
            mm_each(&row.throat_mm),
            row.warnings.to_string(),
            row.programs.to_string(),
            row.pieces.to_string(),
            row.sheets.to_string(),
            row.offcuts.to_string(),
            trimmed(row.board_ft, 2),
            trimmed(row.time_s, 1),
            row.cost.map(money).unwrap_or_default(),
            mm(row.gouge_mm),
        ];
        table.row(fields);
    }
    let all = Totals::of(rows);
    let gouge = rows.iter().filter_map(|row| row.gouge_mm).reduce(f64::max);
    let mut last = vec![format!("{} jobs in all", rows.len()), String::new(), counts(rows)];
    last.extend((3..14).map(|_| String::new()));
    last.extend(
        [all.warnings, all.programs, all.pieces, all.sheets, all.offcuts].map(|n| n.to_string()),
    );
    last.extend([trimmed(all.board_ft, 2), trimmed(all.time_s, 1)]);
    last.extend([all.cost.map(money).unwrap_or_default(), mm(gouge)]);
    table.row(last);
    table.text()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_line_adds_up_the_others_in_their_columns() {
        let row = |outcome, sheets, board_ft, time_s| BatchRow {
            outcome,
            sheets,
            board_ft,
            time_s,
            gouge_mm: Some(0.001 * sheets as f64),
            ..BatchRow::default()
        };
        let rows = [row("made", 2, 10.0, 60.5), row("unchanged", 1, 8.5, 30.0)];
        let table = to_csv(&rows);
        let lines: Vec<&str> = table.lines().collect();
        assert_eq!(lines.len(), 4);
        assert!(
            lines[3].starts_with("2 jobs in all,,\"1 made, 1 unchanged, 0 refused, 0 failed\","),
            "{table}"
        );
        assert!(lines[3].ends_with(",0,0,0,3,0,18.5,90.5,,0.002"), "{table}");
        // The texts of these rows hold no comma; the counts of the last line stand in quotes.
        assert_eq!(lines[1].split(',').count(), COLUMNS.len());
        assert_eq!(lines[3].split(',').count(), COLUMNS.len() + 3);
    }
}
