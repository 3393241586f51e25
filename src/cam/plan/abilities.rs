//! What a machine cannot do, with the numbers.

use crate::diagnostics::codes::{self, Unheld};
use crate::diagnostics::{Figure, Finding, Fine};
use crate::geometry::tolerance::PROOF_MM;
use crate::job::{Job, Makes, MarksAsked, Thickness};
use crate::profile::{Arcs, Hold, Laser, Machine, Material, Router, TabSizes, Treatment, ZZero};
use crate::units::Length;

pub(super) fn of_router(machine: &Machine, material: &Material, router: &Router) -> Vec<Finding> {
    let depth = material.thickness + router.below();
    let mut findings = holding(machine, material, router);
    findings.extend(of_cutter(machine, depth, router));
    findings.extend(coarse(machine));
    let roughing = machine.roughing();
    if let Some(cutter) = roughing.as_ref().and_then(|machine| machine.tool.cutter()) {
        for mut finding in of_cutter(machine, depth, cutter) {
            finding.place = "router.rough".into();
            findings.push(finding);
        }
    }
    let lift = depth + machine.travel_height().max(machine.park_height());
    if lift > machine.travel[2] {
        findings
            .push(codes::TravelTooLow { measured: lift, limit: machine.travel[2] }.at("machine"));
    }
    findings
}

/// What one cutter cannot do that goes down to a depth.
fn of_cutter(machine: &Machine, depth: Length, cutter: &Router) -> Vec<Finding> {
    let mut findings = Vec::new();
    if cutter.flute_length < depth {
        findings.push(
            codes::CutterTooShort { measured: depth, limit: cutter.flute_length }.at("cutter"),
        );
    }
    if cutter.speed_rpm > cutter.max_speed_rpm {
        let rpm = |value| Figure { value, unit: "rpm", digits: 1 };
        let (measured, limit) = (rpm(cutter.speed_rpm), rpm(cutter.max_speed_rpm));
        findings.push(codes::SpeedTooFast { measured, limit }.at("spindle"));
    }
    findings.extend(feed(cutter.feed_mm_min(), machine));
    findings.extend(slow_feed(cutter.feed_mm_min()));
    findings
}

/// A finishing allowance that chords may take away before the pass on the line: they stand off it
/// by their tolerance, and the proof tells no less than its own from none.
fn coarse(machine: &Machine) -> Option<Finding> {
    let (Some(finish), Arcs::Chords(tolerance)) = (machine.tool.finish(), machine.arcs) else {
        return None;
    };
    let (measured, limit) = (finish.allowance, tolerance * 2.0 + Length::mm(4.0 * PROOF_MM));
    let found = codes::FinishCoarse { measured, limit };
    (measured < limit).then(|| found.at("router.finish.allowance"))
}

/// Marks that would be cut from a height over the bed that nobody measured: a sheet that is thinner
/// than its profile says stays unmarked.
pub(super) fn unmeasured(job: &Job) -> Option<Finding> {
    let cut = &job.cut;
    let marks = match cut.makes {
        Makes::Pattern(_) => cut.marks != MarksAsked::None,
        Makes::Stringers => cut.marks == MarksAsked::Number,
    };
    let from_bed = cut.machine.z_zero == ZZero::Bed && cut.thickness == Thickness::OfProfile;
    let depth = cut.machine.tool.point().filter(|_| marks && from_bed)?.depth;
    let limit = cut.material.thickness;
    Some(codes::MarkUnmeasured { depth, limit }.at("cut.thickness"))
}

/// What a job asks to hold its pieces by, where that does not hold them.
fn holding(machine: &Machine, material: &Material, router: &Router) -> Vec<Finding> {
    let half = material.thickness * MOST_OF_STOCK;
    let vacuum = machine.vacuum;
    let found = match router.hold {
        Hold::Tabs(TabSizes { height: Some(measured), .. }) if measured > half => {
            Some(codes::TabTall { measured, limit: half }.at("cut.tabs.height"))
        }
        Hold::Vacuum if !vacuum => Some(codes::NothingHolds { how: Unheld::NoTabs }.at("cut.tabs")),
        Hold::Skin(_) if !vacuum => Some(codes::NothingHolds { how: Unheld::Skin }.at("cut.skin")),
        Hold::Skin(measured) if measured > half.min(router.pass_depth) => {
            let limit = half.min(router.pass_depth);
            Some(codes::SkinThick { measured, limit }.at("cut.skin"))
        }
        Hold::Tabs(_) | Hold::Vacuum | Hold::Skin(_) => None,
    };
    found.into_iter().collect()
}

/// What stays uncut is no more of the material than this.
const MOST_OF_STOCK: f64 = 0.5;

pub(super) fn of_laser(machine: &Machine, material: &Material, laser: &Laser) -> Vec<Finding> {
    let mut findings = Vec::new();
    if material.treatment != Treatment::Untreated {
        let treatment = if material.treatment == Treatment::Treated {
            "treated"
        } else {
            "of unknown treatment"
        };
        findings.push(
            codes::LaserOnTreated { material: material.name.clone(), treatment }.at("material"),
        );
    }
    if material.thickness > laser.max_thickness {
        let (measured, limit) = (material.thickness, laser.max_thickness);
        findings.push(codes::LaserTooThick { measured, limit }.at("material"));
    }
    findings.extend(feed(laser.feed_mm_min.max(laser.pierce_feed_mm_min), machine));
    if let Some(most) = laser.max_power.filter(|most| laser.full_power > *most) {
        let s_word = |value| Figure { value, unit: "", digits: 1 };
        let (measured, limit) = (s_word(laser.full_power), s_word(most));
        findings.push(codes::PowerTooHigh { measured, limit }.at("machine"));
    }
    findings
}

/// At this feed the one decimal of an F word is true to a twentieth: an inch a minute.
const SLOWEST_MM_MIN: f64 = crate::units::MM_PER_INCH;

fn slow_feed(mm_min: f64) -> Option<Finding> {
    (mm_min < SLOWEST_MM_MIN).then(|| {
        let (measured, limit) = (Fine(Length::mm(mm_min)), Fine(Length::mm(SLOWEST_MM_MIN)));
        codes::FeedTooSlow { measured, limit }.at("machine")
    })
}

fn feed(mm_min: f64, machine: &Machine) -> Option<Finding> {
    let (measured, limit) = (Length::mm(mm_min), Length::mm(machine.max_feed_mm_min));
    (mm_min > machine.max_feed_mm_min).then(|| codes::FeedTooFast { measured, limit }.at("machine"))
}
