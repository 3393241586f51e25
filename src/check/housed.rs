//! What is asked of a housed stringer beside the limits of the rule set.

use crate::diagnostics::codes::{self, Together};
use crate::diagnostics::{Count, Finding};
use crate::job::{Housed, Job, Long, Makes};
use crate::profile::Form;
use crate::stair::outline::HousedProblem;
use crate::units::Length;

/// The deepest pocket, as a share of the board's thickness (common practice, no source).
const DEEPEST_SHARE: f64 = 0.5;
/// Pockets shallower than this hold a tread badly (common practice, no source).
const LEAST_DEPTH_IN: f64 = 0.25;

/// Everything a housed stringer gives to say; nothing for a cut one.
pub(super) fn housed(job: &Job) -> Vec<Finding> {
    let Some(housed) = job.stringer.housed() else { return Vec::new() };
    let mut findings = depth(job, housed);
    findings.extend(wedge(housed));
    findings.push(ends(housed));
    findings.extend(making(job));
    findings
}

fn depth(job: &Job, housed: &Housed) -> Vec<Finding> {
    // What lies on the machine decides, and the board that was measured.
    let thickness = job.board.thickness.min(job.cut.material.thickness);
    let most = thickness * DEEPEST_SHARE;
    let least = Length::inches(LEAST_DEPTH_IN);
    let measured = housed.depth;
    let deep = (measured > most)
        .then(|| codes::HousedTooDeep { measured, limit: most, thickness }.at("pockets"));
    let shallow =
        (measured < least).then(|| codes::HousedShallow { measured, limit: least }.at("pockets"));
    [deep, shallow].into_iter().flatten().collect()
}

fn wedge(housed: &Housed) -> Option<Finding> {
    (housed.wedge <= Length::ZERO).then(|| codes::HousedNoWedge {}.at("pockets"))
}

/// The pockets do not break out of the board.
fn ends(housed: &Housed) -> Finding {
    codes::HousedEnds { land: housed.land }.at("pockets")
}

/// What of a housed stringer is not made here.
fn making(job: &Job) -> Vec<Finding> {
    let cut = &job.cut;
    let mut findings = Vec::new();
    if !cut.machine.tool.lifts() {
        findings.push(codes::HousedLaser {}.at("machine"));
    }
    if cut.makes != Makes::Stringers {
        findings.push(codes::HousedPattern {}.at("cut.makes"));
    }
    if cut.material.form == Form::Board {
        findings.push(codes::HousedBoard {}.at("cut.material"));
    }
    if job.foot.plate_asked().is_some() {
        findings.push(codes::HousedPlate {}.at("foot.tie_plate"));
    }
    findings.extend(together(job));
    findings
}

/// What a job wants of a housed stringer beside making it alone.
fn together(job: &Job) -> Vec<Finding> {
    let cut = &job.cut;
    let pieces = Count::from(cut.pieces());
    let asked = [
        (cut.pieces() > 1, Together::Pieces, "cut.quantity"),
        (cut.sharing.spacing.is_some(), Together::Spacing, "cut.spacing"),
        (cut.long != Long::Refuse, Together::Long, "cut.long"),
    ];
    let is_asked = asked.into_iter().filter(|(is_asked, ..)| *is_asked);
    is_asked.map(|(_, asked, key)| codes::HousedSeveral { asked, pieces }.at(key)).collect()
}

/// The finding of a board on which the pockets do not fit.
pub(super) fn impossible(problem: &HousedProblem) -> Finding {
    match problem {
        HousedProblem::NoPocket => codes::HousedNoPocket {}.at("pockets"),
        HousedProblem::Thin { place, left, land, width: None } => {
            codes::HousedThin { measured: *left, limit: *land }.at(place)
        }
        HousedProblem::Thin { place, left, land, width: Some(wider) } => {
            codes::HousedNarrow { measured: *left, limit: *land, wider: *wider }.at(place)
        }
    }
}
