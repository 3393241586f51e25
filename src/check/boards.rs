//! The boards at hand: measured or not, narrow, crowned.

use crate::diagnostics::{Finding, Numbered, Place, codes};
use crate::job::{Board, Job, Makes, Narrow, SAME_WIDTH_IN};
use crate::profile::{Form, Measure};
use crate::stair::Flight;
use crate::units::{Dressed, Length};

/// A bow of more than this along a board is seen in the throat (common practice, no source).
const MOST_CROWN_IN: f64 = 0.25;

/// Sizes of the job's board that are in its name and not on the tape; a sheet has no such name.
pub(super) fn called_sizes(job: &Job) -> Vec<Finding> {
    if !job.cut.is_of_boards() {
        return Vec::new();
    }
    let of = |typed: Length, dressed: Option<Length>, key: &'static str| {
        dressed.map(|measures| codes::BoardNamedSize { typed, measures }.at(key))
    };
    let Board { width, thickness, .. } = job.board;
    let width = of(width, Dressed::of_named_width(width), "board.width");
    let thickness = of(thickness, Dressed::of_named_thickness(thickness), "board.thickness");
    width.into_iter().chain(thickness).collect()
}

/// Everything the boards at hand give to say.
pub(super) fn boards(job: &Job, flight: &Flight) -> Vec<Finding> {
    let (boards, asked) = (&job.boards, job.board.width);
    if job.cut.makes != Makes::Stringers || job.cut.material.form != Form::Board {
        return Vec::new();
    }
    if boards.measured.is_empty() {
        return vec![codes::BoardsNotMeasured {}.at("boards")];
    }
    let mut findings = Vec::new();
    for (i, board) in boards.measured.iter().enumerate() {
        let place = Place::Nth(Numbered::Board, i + 1);
        findings.extend(width(board.width, asked, boards.narrow, &place));
        findings.extend(crown(job, flight, board.crown, place));
    }
    findings
}

/// A board narrower or wider than the one the stringer is laid out on.
fn width(measured: Length, asked: Length, narrow: Narrow, place: &Place) -> Option<Finding> {
    let same = Length::inches(SAME_WIDTH_IN);
    if measured > asked + same {
        return Some(codes::BoardWide { measured, limit: asked }.at(place.clone()));
    }
    let refused = narrow == Narrow::Refuse && measured < asked - same;
    refused.then(|| codes::BoardNarrow { measured, limit: asked }.at(place.clone()))
}

/// A crown that takes the throat below the rule set's least, or one that is large in itself: a
/// solid board has no throat that it could take from.
fn crown(job: &Job, flight: &Flight, crown: Length, place: Place) -> Option<Finding> {
    let (measured, limit) = (crown, Length::inches(MOST_CROWN_IN));
    if !job.stringer.has_steps() {
        return (crown > limit).then(|| codes::SolidCrown { measured, limit }.at(place));
    }
    let (throat, least) = (flight.behind_notches() - crown, least_throat(job));
    if crown > Length::ZERO && throat < least {
        return Some(codes::CrownThroat { crown, measured: throat, limit: least }.at(place));
    }
    (crown > limit).then(|| codes::BoardCrown { measured, throat, limit }.at(place))
}

/// The least throat that the rule set asks for.
fn least_throat(job: &Job) -> Length {
    let throats = job.rules.limits.iter().filter(|limit| limit.measure == Measure::Throat);
    throats
        .filter_map(|limit| limit.at_least)
        .map(Length::mm)
        .reduce(Length::max)
        .unwrap_or(Length::ZERO)
}

/// Stringers thinner than this are said to be thin, in mm: what National Building Code of Canada
/// 9.8.9.4 asks for where they are supported along their length.
const THIN_MM: f64 = 25.0;
/// What the same clause asks for where they are not, in mm.
const FREE_MM: f64 = 38.0;

/// Stringers that are thin for what they carry.
pub(super) fn thin(job: &Job) -> Option<Finding> {
    let cut = &job.cut;
    let thickness = match cut.material.form {
        Form::Board => job.board.thickness,
        Form::Sheet => cut.material.thickness * f64::from(cut.sharing.layers),
    };
    let (limit, free) = (Length::mm(THIN_MM), Length::mm(FREE_MM));
    let is_thin = cut.makes == Makes::Stringers && thickness < limit;
    let material = cut.material.name.clone();
    is_thin.then(|| codes::StringerThin { measured: thickness, material, limit, free }.at("board"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_board_as_wide_as_asked_for_to_a_sixty_fourth_is_neither_narrow_nor_wide() {
        let place = Place::Nth(Numbered::Board, 1);
        let found = |over: f64, narrow| {
            let measured = Length::inches(11.25 + over * SAME_WIDTH_IN);
            width(measured, Length::inches(11.25), narrow, &place).map(|found| found.code.name())
        };
        for narrow in [Narrow::Refuse, Narrow::ReSolve] {
            for over in [-0.9, 0.0, 0.9] {
                assert_eq!(found(over, narrow), None);
            }
            assert_eq!(found(1.1, narrow), Some("board-wide"));
        }
        assert_eq!(found(-1.1, Narrow::Refuse), Some("board-narrow"));
        assert_eq!(found(-1.1, Narrow::ReSolve), None);
    }
}
