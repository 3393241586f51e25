//! The boards at hand: measured or not, narrow, crowned.

use crate::diagnostics::{Finding, PRACTICE, codes};
use crate::measure::{Job, Makes, Narrow};
use crate::profile::{Form, Measure};
use crate::solve::Flight;
use crate::units::Length;

/// A bow of more than this along a board is seen in the throat (common practice, no source).
const MOST_CROWN_IN: f64 = 0.25;
/// A board this much narrower is as wide: half of the finest mark on a tape.
const SAME_WIDTH_IN: f64 = 1.0 / 64.0;

/// Everything the boards at hand give to say.
pub(super) fn boards(job: &Job, flight: &Flight) -> Vec<Finding> {
    let least = least_throat(job);
    let (boards, asked) = (&job.boards, job.board.width);
    if job.cut.makes != Makes::Stringers || job.cut.material.form != Form::Board {
        return Vec::new();
    }
    if boards.measured.is_empty() {
        let finding = Finding::about(codes::BoardsNotMeasured::CODE, "boards");
        return vec![finding.figures("no board was measured", "width and crown of each").source(PRACTICE)];
    }
    let mut findings = Vec::new();
    for (i, board) in boards.measured.iter().enumerate() {
        let place = format!("board {}", i + 1);
        if boards.narrow == Narrow::Refuse && board.width < asked - Length::inches(SAME_WIDTH_IN) {
            let finding = Finding::about(codes::BoardNarrow::CODE, place.clone());
            findings
                .push(finding.figures(board.width.to_string(), format!("at least the job's {asked}")).source(PRACTICE));
        }
        if board.width > asked + Length::inches(SAME_WIDTH_IN) {
            let finding = Finding::about(codes::BoardWide::CODE, place.clone());
            let limit = format!("rip it down to {asked}: its edge is the nose line");
            findings.push(finding.figures(board.width.to_string(), limit).source(PRACTICE));
        }
        let throat = flight.throat() - board.crown;
        if board.crown > Length::ZERO && throat < least {
            let finding = Finding::about(codes::BoardCrown::CODE, place);
            let measured = format!("crown of {}: the throat may be as small as {throat}", board.crown);
            findings.push(finding.figures(measured, format!("at least {least}")).source(PRACTICE));
        } else if board.crown > Length::inches(MOST_CROWN_IN) {
            let finding = Finding::about(codes::BoardCrown::CODE, place);
            let limit = format!("at most {}", Length::inches(MOST_CROWN_IN));
            findings.push(finding.figures(format!("crown of {}", board.crown), limit).source(PRACTICE));
        }
    }
    findings
}

/// The least throat that the rule set asks for.
fn least_throat(job: &Job) -> Length {
    let throats = job.rules.limits.iter().filter(|limit| limit.measure == Measure::Throat);
    throats.filter_map(|limit| limit.at_least).map(Length::mm).reduce(Length::max).unwrap_or(Length::ZERO)
}

/// Stringers thinner than this are said to be thin, in mm: National Building Code of Canada 9.8.9.4 asks for 38 mm, for 25 mm
/// where they are supported along their length.
const THIN_MM: f64 = 25.0;

/// Stringers that are thin for what they carry.
pub(super) fn thin(job: &Job) -> Option<Finding> {
    let cut = &job.cut;
    let thickness = match cut.material.form {
        Form::Board => job.board.thickness,
        Form::Sheet => cut.material.thickness * f64::from(cut.sharing.layers),
    };
    let finding = Finding::about(codes::StringerThin::CODE, "board");
    let limit = format!("{} where supported along its length, 38 mm otherwise", Length::mm(THIN_MM));
    let source = "National Building Code of Canada 9.8.9.4, for comparison";
    let is_thin = cut.makes == Makes::Stringers && thickness < Length::mm(THIN_MM);
    is_thin.then(|| finding.figures(format!("{thickness} of {}", cut.material.name), limit).source(source))
}
