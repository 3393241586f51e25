//! What a machine cannot do, with the numbers.

use crate::diagnostics::{Figure, Finding, Fine, codes};
use crate::job::Job;
use crate::profile::{Laser, Machine, Router, Treatment};
use crate::units::Length;

pub(super) fn of_router(job: &Job, router: &Router) -> Vec<Finding> {
    let machine = &job.cut.machine;
    let depth = job.cut.material.thickness + router.cut_through;
    let mut findings = Vec::new();
    if router.flute_length < depth {
        findings.push(
            codes::CutterTooShort { measured: depth, limit: router.flute_length }.at("cutter"),
        );
    }
    if router.speed_rpm > router.max_speed_rpm {
        let rpm = |value| Figure { value, unit: "rpm", digits: 1 };
        let (measured, limit) = (rpm(router.speed_rpm), rpm(router.max_speed_rpm));
        findings.push(codes::SpeedTooFast { measured, limit }.at("spindle"));
    }
    findings.extend(feed(router.feed_mm_min(), machine));
    findings.extend(slow_feed(router.feed_mm_min()));
    let lift = depth + machine.travel_height().max(machine.park_height());
    if lift > machine.travel[2] {
        findings
            .push(codes::TravelTooLow { measured: lift, limit: machine.travel[2] }.at("machine"));
    }
    findings
}

pub(super) fn of_laser(job: &Job, laser: &Laser) -> Vec<Finding> {
    let material = &job.cut.material;
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
    findings.extend(feed(laser.feed_mm_min.max(laser.pierce_feed_mm_min), &job.cut.machine));
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
