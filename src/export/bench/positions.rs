//! Where the stringers stand: only what the job knows; what it does not, to be decided.

use super::sheet::{Figure, Section, Table, TableRows, Topic};
use crate::finding::Finding;
use crate::measure::{Job, Makes};
use crate::workup::Workup;

/// What a position needs that no job says.
const TO_DECIDE: [(&str, &str); 4] = [
    ("clear width of the stair", "decide on site"),
    ("number of stringers", "decide from width and spacing"),
    ("spacing, middle to middle", "decide by span, treads and rule"),
    ("outside stringers", "decide: single, doubled, with skirt"),
];

/// The positions of the stringers.
pub(super) fn positions(job: &Job, workup: &Workup) -> Section {
    let mut rows = vec![Figure::new("thickness of a stringer", job.board.thickness).note("as measured")];
    if job.cut.makes == Makes::Stringers {
        rows.push(Figure::new("stringers in this job", job.cut.quantity as usize).note("as asked for"));
    }
    rows.extend(TO_DECIDE.map(|(label, words)| Figure::new(label, "not given").note(words)));
    rows.extend(limits(&workup.findings));
    let notes = vec![
        "The job says nothing of the stair's width: nothing is worked out from it here.".to_string(),
        "Mark every position at head and foot from the same side, to the same side of the line; equal diagonals between \
         the outer marks show that it is square."
            .to_string(),
    ];
    let tables = vec![Table { caption: "Known and to decide".to_string(), rows: TableRows::Figures(rows) }];
    Section { topic: Topic::Positions, notes, tables }
}

/// What the rule set says about width and spacing without being able to look.
fn limits(findings: &[Finding]) -> Vec<Figure> {
    let about = |finding: &&Finding| {
        finding.code == "not-checked" && (finding.place.contains("spacing") || finding.place.contains("width"))
    };
    let row = |finding: &Finding| {
        Figure::new(format!("rule set: {}", finding.place), finding.limit.as_str()).note(finding.source.as_str())
    };
    findings.iter().filter(about).map(row).collect()
}
