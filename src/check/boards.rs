//! The boards at hand: measured or not, narrow, crowned.

use crate::finding::{Finding, PRACTICE, Severity};
use crate::measure::{Job, Makes, Narrow};
use crate::profile::Form;
use crate::units::Length;

/// A bow of more than this along a board is seen in the throat (common practice, no source).
const MOST_CROWN_IN: f64 = 0.25;
/// A board this much narrower is as wide: half of the finest mark on a tape.
const SAME_WIDTH_IN: f64 = 1.0 / 64.0;

/// Everything the boards at hand give to say.
pub(super) fn boards(job: &Job) -> Vec<Finding> {
    let (boards, asked) = (&job.boards, job.board.width);
    if job.cut.makes != Makes::Stringers || job.cut.material.form != Form::Board {
        return Vec::new();
    }
    if boards.measured.is_empty() {
        let finding = Finding::new("boards-not-measured", Severity::Advice, "boards");
        return vec![finding.figures("no board was measured", "width and crown of each").source(PRACTICE)];
    }
    let mut findings = Vec::new();
    for (i, board) in boards.measured.iter().enumerate() {
        let place = format!("board {}", i + 1);
        if boards.narrow == Narrow::Refuse && board.width < asked - Length::inches(SAME_WIDTH_IN) {
            let finding = Finding::new("board-narrow", Severity::Refusal, place.clone());
            findings
                .push(finding.figures(board.width.to_string(), format!("at least the job's {asked}")).source(PRACTICE));
        }
        if board.crown > Length::inches(MOST_CROWN_IN) {
            let finding = Finding::new("board-crown", Severity::Warning, place);
            let limit = format!("at most {}", Length::inches(MOST_CROWN_IN));
            findings.push(finding.figures(format!("crown of {}", board.crown), limit).source(PRACTICE));
        }
    }
    findings
}
