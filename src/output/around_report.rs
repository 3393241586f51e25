//! What a job asks beyond the stringer, as the report's optional keys: lengths in mm, stresses in
//! psi.

#![allow(missing_docs, reason = "the names are the report's own and carry their units")]

use serde::Serialize;

use crate::diagnostics::Code;
use crate::job::Seat;
use crate::site::answers::{Beam, GroundFit, JointRow, Movement, Sizes, Surroundings};
use crate::site::beam::{Adjusted, Bound, CAUTION, Check, PublishedLimit, Remedy};
use crate::site::{AcrossFit, Landing, StringerLayout};
use crate::units::{Length, MM_PER_INCH};

/// The optional keys; each there only where the job asks for it.
#[derive(Clone, Debug, Default, Serialize)]
pub struct AroundReport {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ground: Option<GroundReport>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub across: Option<AcrossReport>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub head_joints: Option<Vec<JointReport>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stringers: Option<StringersReport>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub strength: Option<StrengthReport>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moisture: Option<MoistureReport>,
}

/// Where the flight lands.
#[derive(Clone, Debug, Serialize)]
pub struct GroundReport {
    pub slope_deg: f64,
    pub landing: LandingReport,
    pub reason: String,
    pub counts: Vec<LandingReport>,
    pub seat: SeatReport,
}

/// One count and where it lands.
#[derive(Clone, Debug, Serialize)]
pub struct LandingReport {
    pub risers: usize,
    pub out_from_head_mm: f64,
    pub out_from_line_mm: f64,
    pub total_rise_mm: f64,
    pub rise_to_bare_mm: f64,
    pub unit_rise_mm: f64,
    pub allowed: bool,
}

/// How the seat lies: `length_mm` level, `along_mm` along it.
#[derive(Clone, Debug, Serialize)]
pub struct SeatReport {
    pub lies: &'static str,
    pub angle_deg: f64,
    pub length_mm: f64,
    pub along_mm: f64,
    pub at_toe_mm: f64,
    pub at_heel_mm: f64,
}

/// One pattern on a floor out of level.
#[derive(Clone, Debug, Serialize)]
pub struct AcrossReport {
    pub greatest_mm: f64,
    pub least_mm: f64,
    pub lower_by_mm: f64,
    pub trims: Vec<TrimReport>,
    pub bottom_risers: Vec<BottomReport>,
}

/// What comes off the bottom of one stringer.
#[derive(Clone, Debug, Serialize)]
pub struct TrimReport {
    pub position_mm: f64,
    pub trim_mm: f64,
    pub notch_top_mm: Option<f64>,
}

/// The bottom riser at one place.
#[derive(Clone, Debug, Serialize)]
pub struct BottomReport {
    pub offset_mm: f64,
    pub riser_mm: f64,
    pub spread_mm: f64,
}

/// One head joint in figures.
#[derive(Clone, Debug, Serialize)]
pub struct JointReport {
    pub kind: String,
    pub pieces: String,
    pub chosen: bool,
    pub contact_mm: Option<f64>,
    pub bearing_mm: f64,
    pub run_lost_mm: f64,
    pub height_lost_mm: f64,
    pub wood_above_mm: f64,
    pub findings: Vec<Code>,
}

/// Where the stringers stand, from the left side.
#[derive(Clone, Debug, Serialize)]
pub struct StringersReport {
    pub count: usize,
    pub spacing_mm: f64,
    pub centres_mm: Vec<f64>,
    pub left_edges_mm: Vec<f64>,
}

/// The beam check.
#[derive(Clone, Debug, Serialize)]
pub struct StrengthReport {
    pub caution: &'static str,
    pub species: String,
    pub grade: String,
    pub live_psf: f64,
    pub live_source: String,
    /// It has to be borne this many times.
    pub live_times: f64,
    pub point_lb: Option<f64>,
    /// Whether that is asked of a stringer, not of a tread alone.
    pub point_on_stringer: bool,
    pub dead_psf: f64,
    pub dead_source: &'static str,
    pub governing_line: String,
    pub bay_mm: f64,
    pub load_width_mm: f64,
    pub section_depth_mm: f64,
    pub section_breadth_mm: f64,
    pub utilisation: f64,
    pub checks: Vec<CheckReport>,
    /// The point load of a tread, held against nothing.
    pub beside: Vec<CheckReport>,
    pub design_values: Vec<DesignReport>,
    pub published: Vec<PublishedReport>,
    pub remedies: Vec<RemedyReport>,
}

/// One check, in the unit that it names.
#[derive(Clone, Debug, Serialize)]
pub struct CheckReport {
    pub quantity: String,
    pub under: String,
    pub unit: &'static str,
    pub demand: f64,
    pub capacity: f64,
    pub utilisation: f64,
    pub formula: &'static str,
    pub source: String,
}

/// One design value with every factor on it.
#[derive(Clone, Debug, Serialize)]
pub struct DesignReport {
    pub symbol: &'static str,
    pub reference_psi: f64,
    pub value_psi: f64,
    pub source: String,
    pub factors: Vec<FactorReport>,
}

/// One factor.
#[derive(Clone, Debug, Serialize)]
pub struct FactorReport {
    pub symbol: String,
    pub value: f64,
    pub name: String,
    pub source: String,
}

/// One published limit.
#[derive(Clone, Debug, Serialize)]
pub struct PublishedReport {
    pub what: &'static str,
    pub found_mm: f64,
    pub at_most_mm: Option<f64>,
    pub at_least_mm: Option<f64>,
    pub met: bool,
    pub source: &'static str,
}

/// One remedy that was tried.
#[derive(Clone, Debug, Serialize)]
pub struct RemedyReport {
    pub what: String,
    pub utilisation: Option<f64>,
    pub suffices: bool,
}

/// The stringer after its wood has moved.
#[derive(Clone, Debug, Serialize)]
pub struct MoistureReport {
    pub wood: String,
    pub change_percent: f64,
    pub width_mm: f64,
    pub throat_mm: f64,
    pub first_riser_cut_mm: f64,
    pub tread_tilt_deg: f64,
    pub riser_spread_mm: f64,
    pub sources: [String; 2],
}

impl AroundReport {
    /// The keys of what a job asks.
    pub fn of(around: &Surroundings) -> Self {
        Self {
            ground: around.ground.as_ref().map(ground),
            across: around.across.as_ref().map(across),
            head_joints: around.head.as_ref().map(|head| head.rows.iter().map(joint).collect()),
            stringers: around.stringers.as_ref().map(stringers),
            strength: around.beam.as_ref().map(strength),
            moisture: around.movement.as_ref().map(moisture),
        }
    }
}

/// In mm, a zero without its sign.
fn mm(length: Length) -> f64 {
    length.as_mm() + 0.0
}

fn ground(fit: &GroundFit) -> GroundReport {
    GroundReport {
        slope_deg: fit.ground.grade().degrees_from_level(),
        landing: landing(&fit.landed.landing),
        reason: fit.landed.reason.to_string(),
        counts: fit.landed.counts.iter().map(landing).collect(),
        seat: SeatReport {
            lies: match fit.seat.lies {
                Seat::Level => "level",
                Seat::Follow => "follow",
            },
            angle_deg: fit.seat.angle_deg,
            length_mm: mm(fit.seat.length),
            along_mm: mm(fit.seat.along()),
            at_toe_mm: mm(fit.seat.at_toe),
            at_heel_mm: mm(fit.seat.at_heel),
        },
    }
}

fn landing(landing: &Landing) -> LandingReport {
    LandingReport {
        risers: landing.risers,
        out_from_head_mm: mm(landing.out_from_head),
        out_from_line_mm: mm(landing.out_from_line),
        total_rise_mm: mm(landing.total_rise),
        rise_to_bare_mm: mm(landing.rise_to_bare),
        unit_rise_mm: mm(landing.unit_rise),
        allowed: landing.allowed,
    }
}

fn across(fit: &AcrossFit) -> AcrossReport {
    let trim = |trim: &crate::site::Trim| TrimReport {
        position_mm: mm(trim.position),
        trim_mm: mm(trim.trim),
        notch_top_mm: trim.notch_top.map(mm),
    };
    let bottom = |bottom: &crate::site::BottomRiser| BottomReport {
        offset_mm: mm(bottom.offset),
        riser_mm: mm(bottom.riser),
        spread_mm: mm(bottom.spread),
    };
    AcrossReport {
        greatest_mm: mm(fit.greatest),
        least_mm: mm(fit.least),
        lower_by_mm: mm(fit.lower_by),
        trims: fit.trims.iter().map(trim).collect(),
        bottom_risers: fit.bottoms.iter().map(bottom).collect(),
    }
}

fn joint(row: &JointRow) -> JointReport {
    let joint = &row.joint;
    JointReport {
        kind: joint.kind.to_string(),
        pieces: row.pieces.clone(),
        chosen: row.sizes == Sizes::Asked,
        contact_mm: joint.contact.map(mm),
        bearing_mm: mm(joint.bearing),
        run_lost_mm: mm(joint.run_lost),
        height_lost_mm: mm(joint.height_lost),
        wood_above_mm: mm(joint.wood_above),
        findings: row.codes.clone(),
    }
}

fn stringers(layout: &StringerLayout) -> StringersReport {
    StringersReport {
        count: layout.count(),
        spacing_mm: mm(layout.spacing),
        centres_mm: layout.centres.iter().copied().map(mm).collect(),
        left_edges_mm: layout.marks.iter().map(|mark| mm(mark.exact)).collect(),
    }
}

fn strength(beam: &Beam) -> StrengthReport {
    let (input, strength) = (&beam.input, &beam.strength);
    let design = &strength.design;
    StrengthReport {
        caution: CAUTION,
        species: input.wood.species.clone(),
        grade: input.wood.grade.clone(),
        live_psf: input.loads.live_psf,
        live_source: input.loads.source.clone(),
        live_times: input.loads.times,
        point_lb: input.loads.point_lb,
        point_on_stringer: input.loads.point_on_stringer().is_some(),
        dead_psf: input.loads.dead_psf,
        dead_source: beam.dead_source,
        governing_line: strength.line.to_string(),
        bay_mm: strength.bay_in * MM_PER_INCH,
        load_width_mm: strength.load_width_in * MM_PER_INCH,
        section_depth_mm: strength.section.depth_in * MM_PER_INCH,
        section_breadth_mm: strength.section.breadth_in * MM_PER_INCH,
        utilisation: strength.utilisation(),
        checks: strength.checks.iter().map(check).collect(),
        beside: strength.beside.iter().map(check).collect(),
        design_values: [&design.bending, &design.shear, &design.modulus, &design.bearing]
            .map(value)
            .into(),
        published: strength.published.iter().map(published).collect(),
        remedies: strength.remedies.iter().map(remedy).collect(),
    }
}

fn check(check: &Check) -> CheckReport {
    CheckReport {
        quantity: check.quantity.to_string(),
        under: check.case.to_string(),
        unit: check.quantity.unit(),
        demand: check.demand,
        capacity: check.capacity,
        utilisation: check.utilisation(),
        formula: check.quantity.formula(),
        source: check.source.clone(),
    }
}

fn value(adjusted: &Adjusted) -> DesignReport {
    let factor = |factor: &crate::site::beam::Factor| FactorReport {
        symbol: factor.symbol.clone(),
        value: factor.value,
        name: factor.name.clone(),
        source: factor.source.clone(),
    };
    DesignReport {
        symbol: adjusted.symbol,
        reference_psi: adjusted.reference,
        value_psi: adjusted.value(),
        source: adjusted.source.clone(),
        factors: adjusted.factors.iter().map(factor).collect(),
    }
}

fn published(limit: &PublishedLimit) -> PublishedReport {
    let when = |bound| (limit.bound == bound).then_some(mm(limit.limit));
    PublishedReport {
        what: limit.what,
        found_mm: mm(limit.found),
        at_most_mm: when(Bound::AtMost),
        at_least_mm: when(Bound::AtLeast),
        met: limit.is_met(),
        source: limit.source,
    }
}

fn remedy(remedy: &Remedy) -> RemedyReport {
    RemedyReport {
        what: remedy.what.clone(),
        utilisation: remedy.utilisation,
        suffices: remedy.suffices(),
    }
}

fn moisture(movement: &Movement) -> MoistureReport {
    let moved = &movement.moved;
    MoistureReport {
        wood: moved.wood.clone(),
        change_percent: moved.change.share * 100.0,
        width_mm: mm(moved.width),
        throat_mm: mm(moved.throat),
        first_riser_cut_mm: mm(moved.first_riser_cut),
        tread_tilt_deg: moved.tread_tilt_rad.to_degrees(),
        riser_spread_mm: mm(moved.riser_spread(&movement.before)),
        sources: [moved.change.method.source().to_string(), moved.source.clone()],
    }
}
