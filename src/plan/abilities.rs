//! What a machine cannot do, with the numbers.

use crate::diagnostics::{Code, Finding, GEOMETRY, Severity, codes};
use crate::measure::Job;
use crate::profile::{Laser, Machine, Router, Tool, Treatment};
use crate::units::{Length, trimmed};

fn refusal(code: Code, place: &str, measured: String, limit: String) -> Finding {
    Finding::about(code, place).weighing(Severity::Refusal).figures(measured, limit).source(GEOMETRY)
}

/// Every refusal that needs no path to be seen.
pub fn refusals(job: &Job) -> Vec<Finding> {
    match &job.cut.machine.tool {
        Tool::Router(router) => of_router(job, router),
        Tool::Laser(laser) => of_laser(job, laser),
    }
}

fn of_router(job: &Job, router: &Router) -> Vec<Finding> {
    let machine = &job.cut.machine;
    let depth = job.cut.material.thickness + router.cut_through;
    let mut findings = Vec::new();
    if router.flute_length < depth {
        let measured = format!("material and cut-through {depth}");
        findings.push(refusal(
            codes::CutterTooShort::CODE,
            "cutter",
            measured,
            format!("flutes of {}", router.flute_length),
        ));
    }
    if router.speed_rpm > router.max_speed_rpm {
        let measured = format!("{} rpm", trimmed(router.speed_rpm, 1));
        findings.push(refusal(
            codes::SpeedTooFast::CODE,
            "spindle",
            measured,
            format!("{} rpm", trimmed(router.max_speed_rpm, 1)),
        ));
    }
    findings.extend(feed(router.feed_mm_min(), machine));
    findings.extend(slow_feed(router.feed_mm_min()));
    let lift = depth + machine.safe_height;
    if lift > machine.travel[2] {
        let measured = format!("material, cut-through and safe height {lift}");
        findings.push(refusal(
            codes::TravelTooLow::CODE,
            "machine",
            measured,
            format!("Z travel of {}", machine.travel[2]),
        ));
    }
    findings
}

fn of_laser(job: &Job, laser: &Laser) -> Vec<Finding> {
    let material = &job.cut.material;
    let mut findings = Vec::new();
    if material.treatment != Treatment::Untreated {
        let named = if material.treatment == Treatment::Treated { "treated" } else { "of unknown treatment" };
        findings.push(
            refusal(
                codes::LaserOnTreated::CODE,
                "material",
                format!("{} is {named}: its smoke and ash are poisonous", material.name),
                "material known to be untreated".to_string(),
            )
            .source(
                "never burn treated wood: National Pesticide Information Center; US Environmental Protection Agency",
            ),
        );
    }
    if material.thickness > laser.max_thickness {
        let limit = format!("at most {}", laser.max_thickness);
        findings.push(refusal(codes::LaserTooThick::CODE, "material", material.thickness.to_string(), limit));
    }
    findings.extend(feed(laser.feed_mm_min.max(laser.pierce_feed_mm_min), &job.cut.machine));
    if let Some(most) = laser.max_power.filter(|most| laser.power > *most) {
        let measured = format!("laser.power = {}", trimmed(laser.power, 1));
        findings.push(refusal(
            codes::PowerTooHigh::CODE,
            "machine",
            measured,
            format!("max_power = {}", trimmed(most, 1)),
        ));
    }
    findings
}

/// At this feed the one decimal of an F word is true to a twentieth: an inch a minute.
const SLOWEST_MM_MIN: f64 = crate::units::MM_PER_INCH;

fn slow_feed(mm_min: f64) -> Option<Finding> {
    (mm_min < SLOWEST_MM_MIN).then(|| {
        let measured = format!("speed_rpm x flutes x chip_load = {} mm a minute", trimmed(mm_min, 2));
        refusal(
            codes::FeedTooSlow::CODE,
            "machine",
            measured,
            format!("at least {} mm a minute", trimmed(SLOWEST_MM_MIN, 1)),
        )
    })
}

fn feed(mm_min: f64, machine: &Machine) -> Option<Finding> {
    let a_minute = |mm: f64| format!("{} a minute", Length::mm(mm));
    (mm_min > machine.max_feed_mm_min).then(|| {
        refusal(
            codes::FeedTooFast::CODE,
            "machine",
            a_minute(mm_min),
            format!("at most {}", a_minute(machine.max_feed_mm_min)),
        )
    })
}
