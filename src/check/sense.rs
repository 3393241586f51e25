//! What a profile says and nobody means: figures that can be made, but are slips of the pen, or
//! break a cutter. Each limit is common practice, no source, unless it says otherwise.

use crate::diagnostics::codes::{self, ChipBound};
use crate::diagnostics::{Degrees, Figure, Finding, Fine, Severity};
use crate::profile::{Laser, Machine, MarkTool, Material, Router};
use crate::units::{Length, MM_PER_INCH};

/// A pass of one cutter is usual; wood in one and a half still leaves, in more than three a cutter
/// breaks.
const PASS_CUTTERS: (f64, f64) = (1.5, 3.0);
/// How far a cut goes below the material: a sixteenth of an inch marks the bed, a quarter cuts it
/// up.
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

/// A figure that is off by an inch in millimetres is taken for a slip if the other unit makes it a
/// usual one.
struct Usual {
    key: String,
    value: Length,
    /// From and to, in mm. Wide enough for what is on the market, narrower than 25.4 to one.
    usual: (f64, f64),
    severity: Severity,
}

/// Everything that is odd about a machine, used on a material.
pub fn profile_sense(machine: &Machine, material: &Material) -> Vec<Finding> {
    let mut findings: Vec<Finding> =
        usual(machine).into_iter().filter_map(|figure| figure.slip()).collect();
    findings.extend(
        machine.tool.cutter().into_iter().flat_map(|cutter| of_router(machine, material, cutter)),
    );
    let roughing = machine.roughing();
    let rough = roughing.as_ref().and_then(|machine| machine.tool.cutter());
    findings.extend(rough.into_iter().flat_map(|cutter| of_cutter(material, cutter, ROUGH)));
    findings.extend(machine.tool.beam().and_then(of_laser));
    findings
}

/// A ratio, as it is printed.
fn ratio(value: f64) -> Figure {
    Figure { value, unit: "", digits: 1 }
}

fn inches(value: f64) -> Fine {
    Fine(Length::inches(value))
}

fn usual(machine: &Machine) -> Vec<Usual> {
    let refused = Severity::Refusal;
    let figure =
        |key: &str, value, usual, severity| Usual { key: key.to_string(), value, usual, severity };
    let warned = |key, value, usual| figure(key, value, usual, Severity::Warning);
    let mut all = vec![
        warned("travel.x", machine.travel[0], (200.0, 4_900.0)),
        warned("travel.y", machine.travel[1], (200.0, 4_900.0)),
    ];
    if let Some(router) = machine.tool.cutter() {
        all.extend(usual_cutter(router, ROUTER));
        all.push(warned("safe_height", machine.safe_height, (3.0, 75.0)));
    }
    if let Some(rough) = machine.roughing().as_ref().and_then(|machine| machine.tool.cutter()) {
        all.extend(usual_cutter(rough, ROUGH));
    }
    let kerf = |laser: &Laser| figure("laser.kerf", laser.kerf, (0.05, 1.2), refused);
    all.extend(machine.tool.beam().map(kerf));
    all
}

/// The tables of the two cutters.
const ROUTER: &str = "router";
const ROUGH: &str = "router.rough";

/// A cutter by the table that describes it.
fn usual_cutter(cutter: &Router, table: &str) -> [Usual; 4] {
    let figure = |key: &str, value, usual, severity| Usual {
        key: format!("{table}.{key}"),
        value,
        usual,
        severity,
    };
    let warned = |key, value, usual| figure(key, value, usual, Severity::Warning);
    [
        // The part is made larger or smaller by it: a slip here spoils every piece.
        figure("cutter", cutter.cutter, (1.5, 30.0), Severity::Refusal),
        warned("flute_length", cutter.flute_length, (5.0, 110.0)),
        warned("pass_depth", cutter.pass_depth, (1.2, 26.0)),
        warned("chip_load", cutter.chip_load, (CHIP_IN.0 * MM_PER_INCH, 0.3)),
    ]
}

impl Usual {
    fn is_usual(&self, mm: f64) -> bool {
        (self.usual.0..=self.usual.1).contains(&mm)
    }

    fn slip(&self) -> Option<Finding> {
        let mm = self.value.as_mm();
        let meant =
            [(mm * MM_PER_INCH, "inches typed as mm"), (mm / MM_PER_INCH, "mm typed as inches")];
        let meant =
            meant.into_iter().find(|(mm, _)| self.is_usual(*mm)).filter(|_| !self.is_usual(mm));
        meant.map(|(mm, how)| {
            let slip =
                codes::UnitSlip { measured: Fine(self.value), usual: Fine(Length::mm(mm)), how };
            slip.at(self.key.clone()).weighing(self.severity)
        })
    }
}

fn of_router(machine: &Machine, material: &Material, router: &Router) -> Vec<Finding> {
    let mut findings = of_cutter(material, router, ROUTER);
    findings.extend(deep_through(router));
    findings.extend(low_rapids(machine.safe_height));
    if router.ramp_deg > STEEP_DEG {
        let steep =
            codes::RampSteep { measured: Degrees(router.ramp_deg), limit: Degrees(STEEP_DEG) };
        findings.push(steep.at("router.ramp_deg"));
    }
    findings.extend(router.mark.and_then(sharp_point));
    findings
}

/// What is odd about one cutter, by the table that describes it.
fn of_cutter(material: &Material, router: &Router, table: &str) -> Vec<Finding> {
    let key = |key: &str| format!("{table}.{key}");
    let mut findings = Vec::new();
    findings.extend(deep_pass(material, router, key("pass_depth")));
    findings.extend(odd_chip(router.chip_load, key("chip_load")));
    if router.flutes > MOST_FLUTES {
        let many = codes::FlutesMany { measured: router.flutes.into(), limit: MOST_FLUTES.into() };
        findings.push(many.at(key("flutes")));
    }
    let slender = router.flute_length.as_mm() / router.cutter.as_mm();
    if slender > SLENDER + ROUNDING {
        let bends = codes::CutterSlender { measured: ratio(slender), limit: ratio(SLENDER) };
        findings.push(bends.at(key("flute_length")));
    }
    findings
}

fn low_rapids(safe: Length) -> Option<Finding> {
    let low = codes::SafeHeightLow { measured: Fine(safe), limit: inches(SAFE_HEIGHT_IN) };
    (safe.as_inches() < SAFE_HEIGHT_IN - ROUNDING).then(|| low.at("safe_height"))
}

fn odd_chip(chip: Length, key: String) -> Option<Finding> {
    let (limit, bound) = match chip.as_inches() {
        thin if thin < CHIP_IN.0 - ROUNDING => (CHIP_IN.0, ChipBound::Least),
        thick if thick > CHIP_IN.1 + ROUNDING => (CHIP_IN.1, ChipBound::Most),
        _ => return None,
    };
    Some(codes::ChipLoadOdd { measured: Fine(chip), limit: inches(limit), bound }.at(key))
}

/// Passes are even: what counts is the pass that is really cut.
fn deep_pass(material: &Material, router: &Router, key: String) -> Option<Finding> {
    let depth = (material.thickness + router.cut_through).as_mm();
    let pass = depth / (depth / router.pass_depth.as_mm() - ROUNDING).ceil().max(1.0);
    let cutters = pass / router.cutter.as_mm();
    let severity =
        if cutters > PASS_CUTTERS.1 + ROUNDING { Severity::Refusal } else { Severity::Warning };
    let deep = codes::PassDeep {
        pass: Fine(Length::mm(pass)),
        measured: ratio(cutters),
        limit: ratio(PASS_CUTTERS.0),
        refused: ratio(PASS_CUTTERS.1),
    };
    (cutters > PASS_CUTTERS.0 + ROUNDING).then(|| deep.at(key).weighing(severity))
}

fn deep_through(router: &Router) -> Option<Finding> {
    let through = router.cut_through.as_inches();
    let severity =
        if through > THROUGH_IN.1 + ROUNDING { Severity::Refusal } else { Severity::Warning };
    let deep = codes::CutThroughDeep {
        measured: Fine(router.cut_through),
        limit: inches(THROUGH_IN.0),
        refused: inches(THROUGH_IN.1),
    };
    (through > THROUGH_IN.0 + ROUNDING).then(|| deep.at("router.cut_through").weighing(severity))
}

fn sharp_point(mark: MarkTool) -> Option<Finding> {
    let sharp = codes::MarkShape {
        measured: Fine(mark.depth),
        width: Fine(mark.width),
        limit: ratio(POINT),
    };
    (mark.depth.as_mm() / mark.width.as_mm() > POINT + ROUNDING).then(|| sharp.at("router.mark"))
}

fn of_laser(laser: &Laser) -> Option<Finding> {
    let wide =
        codes::KerfWide { measured: Fine(laser.kerf), limit: Fine(Length::mm(WIDE_KERF_MM)) };
    (laser.kerf.as_mm() > WIDE_KERF_MM + ROUNDING).then(|| wide.at("laser.kerf"))
}

/// A limit that is typed is kept.
const ROUNDING: f64 = 1e-9;
