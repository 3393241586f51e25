//! A head that is notched: for a ledger, or over the framing.

use super::limits::most_asked;
use crate::diagnostics::codes::{self, HeadNotchFault};
use crate::diagnostics::{Finding, PRACTICE};
use crate::job::Job;
use crate::profile::Measure;
use crate::stair::Flight;
use crate::stair::outline::{HeadNotchProblem, Outline};
use crate::units::Length;

/// Less wood than this above a notch at the head splits off, where the rule set asks for no throat
/// (common practice, no source).
const LEAST_ABOVE_IN: f64 = 3.5;

/// What a notched head gives to say in place of its contact: it rests on the ledger or on the
/// framing. `None` where the head is not notched.
pub(super) fn head(job: &Job, flight: &Flight, outline: &Outline) -> Option<Vec<Finding>> {
    let notch = outline.head_notch()?;
    let measured = notch.wood_above;
    let (limit, source) = most_asked(job, flight, Measure::Throat)
        .map(|(least, limit)| (Length::mm(least), limit.source.as_str()))
        .unwrap_or((Length::inches(LEAST_ABOVE_IN), PRACTICE));
    let mut findings =
        vec![codes::HeadNotched { length: notch.length, height: notch.height }.at("head")];
    if measured < limit {
        findings.push(codes::HeadNotchThin { measured, limit }.at("head").source(source));
    }
    Some(findings)
}

/// The finding of a head that cannot be notched as its joint asks.
pub(super) fn impossible(problem: &HeadNotchProblem) -> Finding {
    let (why, by) = match *problem {
        HeadNotchProblem::NoWood(left) => (HeadNotchFault::NoWood, -left),
        HeadNotchProblem::ReachesSeat { from, seat } => (HeadNotchFault::ReachesSeat, seat - from),
        HeadNotchProblem::NotReached(by) => (HeadNotchFault::NotReached, by),
        HeadNotchProblem::OutsideBoard(by) => (HeadNotchFault::OutsideBoard, by),
    };
    codes::HeadNotchImpossible { why, by }.at("head")
}
