//! What lies on the machine against its profile and against the stringer: the cut is as deep as what was measured.

use crate::diagnostics::{Finding, PRACTICE, codes};
use crate::measure::{Job, Makes, Thickness};
use crate::profile::{Tool, ZZero};
use crate::units::Length;

/// A profile that is off by more than this share is told: feeds and passes were chosen for another thickness (common
/// practice, no source).
const TOLD_SHARE: f64 = 0.05;
/// A profile that is off by more than this share is the profile of something else (common practice, no source).
const OTHER_SHARE: f64 = 0.2;
/// Two readings of one thickness are no further apart than this: a tape shows sixteenths.
const SAME_IN: f64 = 1.0 / 16.0;

/// Everything the thickness gives to say.
pub(super) fn thickness(job: &Job) -> Vec<Finding> {
    let mut findings = Vec::new();
    match job.cut.thickness {
        Thickness::Measured { profile } => findings.extend(against_profile(job, profile)),
        Thickness::OfProfile => findings.extend(unmeasured(job)),
    }
    findings.extend(against_stringer(job));
    findings
}

fn against_profile(job: &Job, profile: Length) -> Option<Finding> {
    let measured = job.cut.material.thickness;
    let share = (measured.as_mm() - profile.as_mm()).abs() / profile.as_mm();
    let name = &job.cut.material.name;
    let words = format!("{measured} as measured: {} % off the profile", (share * 100.0).round());
    if share > OTHER_SHARE {
        let finding = Finding::about(codes::ThicknessFar::CODE, "cut.material");
        let limit = format!("within {} % of the {profile} of {name}", OTHER_SHARE * 100.0);
        return Some(finding.figures(words, limit).source(PRACTICE));
    }
    let finding = Finding::about(codes::ThicknessDiffers::CODE, "cut.material");
    let limit = format!("{profile} in {name}; the cut is as deep as what was measured");
    (share > TOLD_SHARE).then(|| finding.figures(words, limit).source(PRACTICE))
}

/// Where Z0 is the bed, marks lie at a height over it: on a thinner sheet they are not there.
fn unmeasured(job: &Job) -> Option<Finding> {
    let marks = matches!(&job.cut.machine.tool, Tool::Router(router) if router.mark.is_some());
    let finding = Finding::about(codes::ThicknessNotMeasured::CODE, "cut.thickness");
    let material = &job.cut.material;
    let words = format!("marks count on {} of {} over the bed", material.thickness, material.name);
    (marks && job.cut.machine.z_zero == ZZero::Bed)
        .then(|| finding.figures(words, "cut.thickness as measured").source(PRACTICE))
}

/// What lies on the machine is what the stringer is made of, where `cut.thickness` says another figure than the board.
fn against_stringer(job: &Job) -> Option<Finding> {
    let layers = job.cut.sharing.layers;
    let (board, material) = (job.board.thickness, job.cut.material.thickness * f64::from(layers));
    let same = board.is_within(Length::inches(SAME_IN), material);
    let finding = Finding::about(codes::ThicknessDiffers::CODE, "board");
    (job.cut.makes == Makes::Stringers && !same)
        .then(|| finding.figures(format!("board.thickness {board}"), of_layers(layers, material)))
}

fn of_layers(layers: u32, thickness: Length) -> String {
    if layers == 1 {
        format!("the {thickness} that lies on the machine")
    } else {
        format!("{layers} layers of what lies on the machine: {thickness}")
    }
}
