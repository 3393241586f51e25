//! What a profile says and nobody means: figures that can be made, but are slips of the pen, or break a cutter. Each limit
//! is common practice, no source, unless it says otherwise.

use crate::diagnostics::{Code, Finding, Severity, codes};
use crate::measure::Job;
use crate::profile::{Laser, Machine, MarkTool, Router, Tool};
use crate::units::{Length, MM_PER_INCH, trimmed};

/// A pass of one cutter is usual; wood in one and a half still leaves, in more than three a cutter breaks.
const PASS_CUTTERS: (f64, f64) = (1.5, 3.0);
/// How far a cut goes below the material: a sixteenth of an inch marks the bed, a quarter cuts it up.
const THROUGH_IN: (f64, f64) = (1.0 / 16.0, 0.25);
/// Sheets are not flat, and tabs and chips stand up.
const SAFE_HEIGHT_IN: f64 = 0.125;
/// A thinner chip rubs and burns, a thicker one tears.
const CHIP_IN: (f64, f64) = (0.0005, 0.02);
/// Cutters with more edges are made for metal.
const MOST_FLUTES: u32 = 6;
/// A cutter longer than this bends away.
const SLENDER: f64 = 8.0;
/// A cutter that is let down steeper than this drills.
const STEEP_DEG: f64 = 10.0;
/// A point that is deeper than four of its widths is sharper than 15 degrees, and breaks.
const POINT: f64 = 4.0;
/// What a beam takes away from wood.
const WIDE_KERF_MM: f64 = 1.0;

/// A figure that is off by an inch in millimetres is taken for a slip if the other unit makes it a usual one.
struct Usual {
    key: &'static str,
    value: Length,
    /// From and to, in mm. Wide enough for what is on the market, narrower than 25.4 to one.
    usual: (f64, f64),
    severity: Severity,
}

/// Everything that is odd about the machine of a job, used on its material.
pub fn profile_sense(job: &Job) -> Vec<Finding> {
    let machine = &job.cut.machine;
    let mut findings: Vec<Finding> = usual(machine).into_iter().filter_map(|figure| figure.slip()).collect();
    match &machine.tool {
        Tool::Router(router) => findings.extend(of_router(job, router)),
        Tool::Laser(laser) => findings.extend(of_laser(laser)),
    }
    findings
}

fn warn(code: Code, key: &str, measured: String, limit: String) -> Finding {
    Finding::about(code, key).weighing(Severity::Warning).figures(measured, limit)
}

/// Too small for sixteenths.
fn exact(length: Length) -> String {
    format!("{} in = {} mm", trimmed(length.as_inches(), 5), trimmed(length.as_mm(), 4))
}

fn usual(machine: &Machine) -> Vec<Usual> {
    let refused = Severity::Refusal;
    let figure = |key, value, usual, severity| Usual { key, value, usual, severity };
    let warned = |key, value, usual| figure(key, value, usual, Severity::Warning);
    let mut all = vec![
        warned("travel.x", machine.travel[0], (200.0, 4_900.0)),
        warned("travel.y", machine.travel[1], (200.0, 4_900.0)),
    ];
    match &machine.tool {
        Tool::Router(router) => all.extend([
            // The part is made larger or smaller by it: a slip here spoils every piece.
            figure("router.cutter", router.cutter, (1.5, 30.0), refused),
            warned("router.flute_length", router.flute_length, (5.0, 110.0)),
            warned("router.pass_depth", router.pass_depth, (1.2, 26.0)),
            warned("router.chip_load", router.chip_load, (CHIP_IN.0 * MM_PER_INCH, 0.3)),
            warned("safe_height", machine.safe_height, (3.0, 75.0)),
        ]),
        Tool::Laser(laser) => all.push(figure("laser.kerf", laser.kerf, (0.05, 1.2), refused)),
    }
    all
}

impl Usual {
    fn is_usual(&self, mm: f64) -> bool {
        (self.usual.0..=self.usual.1).contains(&mm)
    }

    fn slip(&self) -> Option<Finding> {
        let mm = self.value.as_mm();
        let meant = [(mm * MM_PER_INCH, "inches typed as mm"), (mm / MM_PER_INCH, "mm typed as inches")];
        let meant = meant.into_iter().find(|(mm, _)| self.is_usual(*mm)).filter(|_| !self.is_usual(mm));
        meant.map(|(mm, how)| {
            Finding::about(codes::UnitSlip::CODE, self.key)
                .weighing(self.severity)
                .figures(exact(self.value), format!("{} would be usual: {how}?", exact(Length::mm(mm))))
        })
    }
}

fn of_router(job: &Job, router: &Router) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(deep_pass(job, router));
    findings.extend(deep_through(router));
    let safe = job.cut.machine.safe_height;
    if safe.as_inches() < SAFE_HEIGHT_IN - ROUNDING {
        let limit = format!("{} or more: rapids go across at it", exact(Length::inches(SAFE_HEIGHT_IN)));
        findings.push(warn(codes::SafeHeightLow::CODE, "safe_height", exact(safe), limit));
    }
    let chip = router.chip_load.as_inches();
    if chip < CHIP_IN.0 - ROUNDING || chip > CHIP_IN.1 + ROUNDING {
        let limit = format!("{} to {} in: less burns, more tears", CHIP_IN.0, CHIP_IN.1);
        findings.push(warn(codes::ChipLoadOdd::CODE, "router.chip_load", exact(router.chip_load), limit));
    }
    if router.flutes > MOST_FLUTES {
        let limit = format!("at most {MOST_FLUTES} in wood");
        findings.push(warn(codes::FlutesMany::CODE, "router.flutes", router.flutes.to_string(), limit));
    }
    let slender = router.flute_length.as_mm() / router.cutter.as_mm();
    if slender > SLENDER + ROUNDING {
        let measured = format!("{} diameters", trimmed(slender, 1));
        findings.push(warn(
            codes::CutterSlender::CODE,
            "router.flute_length",
            measured,
            format!("at most {SLENDER}: it bends"),
        ));
    }
    if router.ramp_deg > STEEP_DEG {
        let limit = format!("at most {STEEP_DEG} degrees: steeper it drills");
        findings.push(warn(codes::RampSteep::CODE, "router.ramp_deg", format!("{} degrees", router.ramp_deg), limit));
    }
    findings.extend(router.mark.and_then(sharp_point));
    findings
}

/// Passes are even: what counts is the pass that is really cut.
fn deep_pass(job: &Job, router: &Router) -> Option<Finding> {
    let depth = (job.cut.material.thickness + router.cut_through).as_mm();
    let pass = depth / (depth / router.pass_depth.as_mm() - ROUNDING).ceil().max(1.0);
    let cutters = pass / router.cutter.as_mm();
    let severity = if cutters > PASS_CUTTERS.1 + ROUNDING { Severity::Refusal } else { Severity::Warning };
    (cutters > PASS_CUTTERS.0 + ROUNDING).then(|| {
        Finding::about(codes::PassDeep::CODE, "router.pass_depth").weighing(severity).figures(
            format!("passes of {}, {} cutters", exact(Length::mm(pass)), trimmed(cutters, 1)),
            format!("at most {} cutters; refused above {}", PASS_CUTTERS.0, PASS_CUTTERS.1),
        )
    })
}

fn deep_through(router: &Router) -> Option<Finding> {
    let through = router.cut_through.as_inches();
    let severity = if through > THROUGH_IN.1 + ROUNDING { Severity::Refusal } else { Severity::Warning };
    let limit = format!(
        "at most {}; refused above {}",
        exact(Length::inches(THROUGH_IN.0)),
        exact(Length::inches(THROUGH_IN.1))
    );
    (through > THROUGH_IN.0 + ROUNDING).then(|| {
        Finding::about(codes::CutThroughDeep::CODE, "router.cut_through")
            .weighing(severity)
            .figures(format!("{} into the bed", exact(router.cut_through)), limit)
    })
}

fn sharp_point(mark: MarkTool) -> Option<Finding> {
    let ratio = mark.depth.as_mm() / mark.width.as_mm();
    (ratio > POINT + ROUNDING).then(|| {
        let measured = format!("{} wide, {} deep", exact(mark.width), exact(mark.depth));
        warn(
            codes::MarkShape::CODE,
            "router.mark",
            measured,
            format!("a point at most {POINT} times as deep as its stroke is wide"),
        )
    })
}

fn of_laser(laser: &Laser) -> Option<Finding> {
    (laser.kerf.as_mm() > WIDE_KERF_MM + ROUNDING).then(|| {
        let limit = format!("at most {WIDE_KERF_MM} mm: cut a test square and measure it");
        warn(codes::KerfWide::CODE, "laser.kerf", exact(laser.kerf), limit)
    })
}

/// A limit that is typed is kept.
const ROUNDING: f64 = 1e-9;
