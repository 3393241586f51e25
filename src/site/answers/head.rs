//! The joint at the head that a job asks for, beside the others in figures.

use crate::diagnostics::Error;
use crate::diagnostics::{Code, Finding, codes};
use crate::job::{Job, Joint};
use crate::profile::ON_THE_LIMIT;
use crate::site::{HeadJoint, JointSketch, flush_caution};
use crate::stair::Flight;
use crate::units::Length;

/// Thickness of a rim or header as it is drawn: a dressed 2x board, American Softwood Lumber
/// Standard PS 20.
const FRAMING_IN: f64 = 1.5;
/// Sizes of the joints that the job does not ask for, in inches: dressed 2x boards (common
/// practice, no source).
const USUAL_HANGER_BOARD_IN: f64 = 11.25;
const USUAL_LEDGER_IN: f64 = 3.5;
const USUAL_HEADER_IN: f64 = 9.25;
const USUAL_BEARING_IN: f64 = 3.5;

/// Where the sizes of a joint come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sizes {
    /// From the job.
    Asked,
    /// Usual ones, to compare with.
    Usual,
}

/// One joint of the comparison.
#[derive(Clone, Debug)]
pub struct JointRow {
    /// The joint in figures.
    pub joint: HeadJoint,
    /// Where its sizes come from.
    pub sizes: Sizes,
    /// Its pieces in words.
    pub pieces: String,
    /// What is found with it.
    pub codes: Vec<Code>,
}

/// The joint of the job first, then every other way.
#[derive(Clone, Debug)]
pub struct HeadComparison {
    /// All joints, that of the job first.
    pub rows: Vec<JointRow>,
    /// The joint of the job as a drawing takes it over.
    pub sketch: JointSketch,
    /// What is worth saying about the joint of the job.
    pub findings: Vec<Finding>,
}

pub(super) fn head(job: &Job, flight: &Flight) -> Result<Option<HeadComparison>, Error> {
    let Some(asked) = job.around.joint else { return Ok(None) };
    let chosen = HeadJoint::new(job, flight, asked)?;
    let mut findings = chosen.findings();
    findings.extend(flush_caution(job));
    let sketch = chosen.sketch(flight, Length::inches(FRAMING_IN));
    findings.extend(below_the_rim(&chosen, flight, &sketch));
    let mut rows = vec![row(chosen, Sizes::Asked)];
    for other in usual(flight) {
        if std::mem::discriminant(&other) != std::mem::discriminant(&rows[0].joint.kind) {
            rows.push(row(HeadJoint::new(job, flight, other)?, Sizes::Usual));
        }
    }
    Ok(Some(HeadComparison { rows, sketch, findings }))
}

/// Every joint at usual sizes: a header's top level with the top tread cut, or a bearing's height
/// below it.
fn usual(flight: &Flight) -> [Joint; 5] {
    let inches = Length::inches;
    let hang = flight.hang_line.max(Length::ZERO);
    [
        Joint::AgainstRim,
        Joint::HangerBoard { thickness: inches(FRAMING_IN), depth: inches(USUAL_HANGER_BOARD_IN) },
        Joint::LedgerNotch { width: inches(FRAMING_IN), height: inches(USUAL_LEDGER_IN) },
        Joint::DroppedHeader { below: hang, depth: inches(USUAL_HEADER_IN) },
        Joint::TopOver {
            below: hang + inches(USUAL_BEARING_IN),
            bearing: inches(USUAL_BEARING_IN),
        },
    ]
}

fn row(joint: HeadJoint, sizes: Sizes) -> JointRow {
    let pieces = match joint.kind {
        Joint::AgainstRim => String::new(),
        Joint::HangerBoard { thickness, depth } => format!("board {thickness} x {depth}"),
        Joint::LedgerNotch { width, height } => format!("ledger {width} x {height}"),
        Joint::DroppedHeader { below, depth } => format!("header {below} down, {depth} deep"),
        Joint::TopOver { below, bearing } => format!("header {below} down, bearing {bearing}"),
    };
    let codes = joint.findings().iter().map(|finding| finding.code).collect();
    JointRow { joint, sizes, pieces, codes }
}

/// A ledger that reaches lower than a rim of known depth.
fn below_the_rim(joint: &HeadJoint, flight: &Flight, sketch: &JointSketch) -> Option<Finding> {
    let is_ledger = matches!(joint.kind, Joint::LedgerNotch { .. }) && flight.rim_depth.is_some();
    let ledger = sketch.between.filter(|_| is_ledger)?;
    let measured = Length::mm(sketch.framing.min.y - ledger.min.y);
    (measured > Length::mm(ON_THE_LIMIT)).then(|| codes::LedgerBelowRim { measured }.at("head"))
}
