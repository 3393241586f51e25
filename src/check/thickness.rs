//! What lies on the machine against its profile and against the stringer: the cut is as deep as
//! what was measured.

use crate::diagnostics::{Figure, Finding, codes};
use crate::job::{Job, Makes, Thickness};
use crate::profile::ZZero;
use crate::units::Length;

/// A profile that is off by more than this share is told: feeds and passes were chosen for another
/// thickness (common practice, no source).
const TOLD_SHARE: f64 = 0.05;
/// A profile that is off by more than this share is the profile of something else (common practice,
/// no source).
const OTHER_SHARE: f64 = 0.2;
/// Two readings of one thickness are no further apart than this: a tape shows sixteenths.
const SAME_IN: f64 = 1.0 / 16.0;

/// Everything the thickness gives to say.
pub(super) fn thickness(job: &Job) -> Vec<Finding> {
    let mut findings = Vec::new();
    // Laid out by hand, nothing lies on a machine: the profile is a stand-in that nobody named.
    if job.by_hand {
        return findings;
    }
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
    let material = job.cut.material.name.clone();
    if share > OTHER_SHARE {
        let (thickness, measured, limit) = (measured, percent(share), percent(OTHER_SHARE));
        return Some(
            codes::ThicknessFar { thickness, measured, limit, profile, material }
                .at("cut.material"),
        );
    }
    let off = percent(share);
    let differs = codes::ThicknessDiffers { measured, off, limit: profile, material };
    (share > TOLD_SHARE).then(|| differs.at("cut.material"))
}

fn percent(share: f64) -> Figure {
    Figure { value: share * 100.0, unit: "%", digits: 1 }
}

/// Where Z0 is the bed, marks lie at a height over it: on a thinner sheet they are not there.
fn unmeasured(job: &Job) -> Option<Finding> {
    let marks = job.cut.machine.tool.point().is_some();
    let material = &job.cut.material;
    let counted = codes::ThicknessNotMeasured {
        measured: material.thickness,
        material: material.name.clone(),
    };
    (marks && job.cut.machine.z_zero == ZZero::Bed).then(|| counted.at("cut.thickness"))
}

/// What lies on the machine is what the stringer is made of, where `cut.thickness` says another
/// figure than the board.
fn against_stringer(job: &Job) -> Option<Finding> {
    let (layers, ply) = (job.cut.sharing.layers, job.cut.material.thickness);
    let (measured, limit) = (job.board.thickness, ply * f64::from(layers));
    let same = measured.is_within(Length::inches(SAME_IN), limit);
    let differs = codes::StringerThickness { measured, layers: layers.into(), ply, limit };
    (job.cut.makes == Makes::Stringers && !same).then(|| differs.at("board"))
}
