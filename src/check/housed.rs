//! What is asked of a housed stringer beside the limits of the rule set.

use crate::diagnostics::{Code, Finding, GEOMETRY, PRACTICE, Severity, codes};
use crate::measure::{Housed, Job, Long, Makes};
use crate::outline::HousedProblem;
use crate::profile::{Form, Tool};
use crate::units::Length;

/// The deepest pocket, as a share of the board's thickness (common practice, no source).
const DEEPEST_SHARE: f64 = 0.5;
/// Pockets shallower than this hold a tread badly (common practice, no source).
const LEAST_DEPTH_IN: f64 = 0.25;

/// Everything a housed stringer gives to say; nothing for a cut one.
pub(super) fn housed(job: &Job) -> Vec<Finding> {
    let Some(housed) = &job.housed else { return Vec::new() };
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
    let mut findings = Vec::new();
    if housed.depth > most {
        let measured = format!("pockets {} deep", housed.depth);
        let limit = format!("at most {most}, half of the board's {thickness}");
        findings.push(refusal(codes::HousedTooDeep::CODE, "pockets", measured, limit).source(PRACTICE));
    }
    let least = Length::inches(LEAST_DEPTH_IN);
    if housed.depth < least {
        let finding = Finding::about(codes::HousedShallow::CODE, "pockets");
        findings.push(finding.figures(format!("pockets {} deep", housed.depth), format!("at least {least}")));
    }
    findings
}

fn wedge(housed: &Housed) -> Option<Finding> {
    let finding = Finding::about(codes::HousedNoWedge::CODE, "pockets");
    (housed.wedge <= Length::ZERO)
        .then(|| finding.figures("pockets with parallel sides", "treads and risers glued: no wedge presses them home"))
}

/// The pockets do not break out of the board.
fn ends(housed: &Housed) -> Finding {
    let words = format!("first riser and top tread are cut back by {} where they go in", housed.land);
    Finding::about(codes::HousedEnds::CODE, "pockets").figures(words, "pockets closed all round")
}

/// What of a housed stringer is not made here.
fn making(job: &Job) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut refuse = |code, place: &str, measured: String, limit: &str| {
        findings.push(refusal(code, place, measured, limit.to_string()));
    };
    if let Tool::Laser(_) = &job.cut.machine.tool {
        refuse(
            codes::HousedLaser::CODE,
            "machine",
            "a beam".to_string(),
            "a cutter: a beam makes no pocket of a depth",
        );
    }
    if job.cut.makes != Makes::Stringers {
        refuse(codes::HousedPattern::CODE, "cut.makes", "a pattern".to_string(), "\"stringers\": the part itself");
    }
    if job.cut.material.form == Form::Board {
        let words = "form = \"sheet\", cut out with waste all round";
        refuse(codes::HousedBoard::CODE, "cut.material", "form = \"board\"".to_string(), words);
    }
    if job.tie_plate.is_some() {
        refuse(
            codes::HousedPlate::CODE,
            "foot.tie_plate",
            "a plate notch".to_string(),
            "none: the pockets take its place",
        );
    }
    let sharing = &job.cut.sharing;
    if job.cut.pieces() > 1 || sharing.spacing.is_some() {
        let measured = format!("{} pieces, or spacing", job.cut.pieces());
        refuse(codes::HousedSeveral::CODE, "cut", measured, "one piece of one layer a program, alone on its sheet");
    }
    if job.cut.long != Long::Refuse {
        let measured = "cut in shifts or split".to_string();
        refuse(codes::HousedSeveral::CODE, "cut.long", measured, "in one set-up: leave cut.long out");
    }
    findings
}

/// The finding of a board on which the pockets do not fit.
pub(super) fn impossible(problem: &HousedProblem) -> Finding {
    match problem {
        HousedProblem::NoPocket => refusal(
            codes::HousedNoPocket::CODE,
            "pockets",
            "a pocket crosses itself".to_string(),
            "treads, risers and wedges that leave wood between them".to_string(),
        ),
        HousedProblem::Thin { place, left, land, width } => {
            let wider = width.map_or(String::new(), |width| format!(": a board of {width} would do"));
            let limit = format!("at least the land of {land}{wider}");
            refusal(codes::HousedThin::CODE, place, format!("{left} of wood"), limit)
        }
    }
}

fn refusal(code: Code, place: &str, measured: String, limit: String) -> Finding {
    Finding::about(code, place).weighing(Severity::Refusal).figures(measured, limit).source(GEOMETRY)
}
