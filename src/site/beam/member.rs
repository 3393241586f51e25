//! One ply of one stringer under its share of the load, and what is checked on it.

use std::fmt;

use super::design::DesignValues;
use super::input::{
    BeamInput, DeflectionLimits, FootNotch, HeadEnd, HeadHeld, Loads, Sawn, Stringers,
};
use super::share::inner_share;
use super::simple_beam::{Response, Section, point_load, uniform_load};
use crate::job::Middle;
use crate::units::Length;

/// Square inches in a square foot, as inches a foot times inches a foot.
const SQUARE_INCHES_PER_SQUARE_FOOT: f64 = 144.0;
/// Shear beside the middle support of two equal continuous spans, as a share of w l (textbook
/// statics).
const CONTINUOUS_SHEAR: f64 = 5.0 / 8.0;

/// Which stringer of the stair.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line {
    /// One of the outer two, which carries half a bay and the strip beyond it.
    Outer,
    /// One between them, which carries a whole bay or more: treads run on over it.
    Inner,
}

impl fmt::Display for Line {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Outer => "outer",
            Self::Inner => "inner",
        })
    }
}

/// What stands on the stair.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LoadCase {
    /// Live and dead load, spread.
    Spread,
    /// The live load on one spot, with the dead load.
    Point,
}

impl LoadCase {
    /// As it is said.
    pub fn words(self) -> &'static str {
        match self {
            Self::Spread => "the spread load",
            Self::Point => "the point load",
        }
    }
}

impl fmt::Display for LoadCase {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}

/// What is compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// Bending stress, psi.
    Bending,
    /// Shear stress, psi.
    Shear,
    /// Deflection of the level beam under live load, in.
    LiveDeflection,
    /// Deflection of the level beam under all load, in.
    TotalDeflection,
    /// Deflection across the sloping member under live load, in, against its length along the
    /// slope.
    SlopeDeflection,
    /// Shear beside the notch at the foot, lb.
    NotchShear,
    /// Shear in what carries of the plumb cut at the head, lb.
    HeadShear,
    /// Pressure on the seat, psi.
    Bearing,
}

impl Quantity {
    /// The unit of its figures.
    pub fn unit(self) -> &'static str {
        match self {
            Self::Bending | Self::Shear | Self::Bearing => "psi",
            Self::NotchShear | Self::HeadShear => "lb",
            _ => "in",
        }
    }

    /// As it is said.
    pub fn words(self) -> &'static str {
        match self {
            Self::Bending => "bending",
            Self::Shear => "shear",
            Self::LiveDeflection => "deflection under live load",
            Self::TotalDeflection => "deflection under all load",
            Self::SlopeDeflection => "deflection across the slope under live load",
            Self::NotchShear => "shear at the notch of the foot",
            Self::HeadShear => "shear in what holds the head",
            Self::Bearing => "pressure on the seat",
        }
    }

    /// The formula of the demand and, behind a semicolon, of the capacity.
    pub fn formula(self) -> &'static str {
        match self {
            Self::Bending => "M / (b d^2 / 6); F'b",
            Self::Shear => "3 V / (2 b d); F'v",
            Self::LiveDeflection | Self::TotalDeflection => {
                "5 w L^4 / (384 E' I) or P L^3 / (48 E' I); L / ratio"
            }
            Self::SlopeDeflection => "level deflection / cos^2(pitch); L / cos(pitch) / ratio",
            Self::NotchShear | Self::HeadShear => "V; 2/3 F'v b dn (dn / d)^2",
            Self::Bearing => "V / (b seat); F'c across the grain",
        }
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}

/// A demand beside what may be asked.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// What is compared.
    pub quantity: Quantity,
    /// Under which load.
    pub case: LoadCase,
    /// What the load asks, in the quantity's unit.
    pub demand: f64,
    /// What may be asked, in the quantity's unit.
    pub capacity: f64,
    /// Where the capacity stands.
    pub source: String,
}

impl Check {
    /// Demand over capacity: more than 1 where the capacity is exceeded.
    pub fn utilisation(&self) -> f64 {
        self.demand / self.capacity
    }
}

/// One ply with its share of the load.
#[derive(Clone, Debug)]
pub(super) struct Member {
    pub line: Line,
    pub section: Section,
    pub bay_in: f64,
    pub load_width_in: f64,
    plies: f64,
    pitch_cos: f64,
    shear_share: f64,
    bending: (f64, String),
    shear: f64,
    modulus: f64,
    bearing: f64,
    loads: Loads,
    limits: DeflectionLimits,
    notch: Option<FootNotch>,
    head: Option<HeadEnd>,
    seat: Option<Length>,
}

/// What a joist is besides its design values: a level member with no notch.
pub(super) struct Level<'a> {
    pub section: Section,
    pub span_in: f64,
    pub load_width_in: f64,
    pub loads: &'a Loads,
    pub limits: &'a DeflectionLimits,
}

impl Member {
    pub(super) fn of(input: &BeamInput, design: &DesignValues, line: Line) -> Self {
        let Stringers { count, spacing, edge, inner_plies, outer_plies } = input.stringers;
        let (width, plies) = match line {
            Line::Outer => (spacing / 2.0 + edge, outer_plies),
            // Treads that end at both its faces bring it half a bay from each side.
            Line::Inner if input.sawn == Sawn::Solid => (spacing, inner_plies),
            Line::Inner => (spacing * inner_share(count - 1), inner_plies),
        };
        let bay_in = input.middle.bay(input.span).as_inches();
        let shear_share = match input.middle {
            Middle::Free => 0.5,
            Middle::Supported => CONTINUOUS_SHEAR,
        };
        let level = Level {
            section: Section {
                breadth_in: input.thickness.as_inches(),
                depth_in: input.throat.as_inches(),
            },
            span_in: bay_in,
            load_width_in: width.as_inches() / plies as f64,
            loads: &input.loads,
            limits: &input.limits,
        };
        Self {
            line,
            plies: plies as f64,
            pitch_cos: input.pitch_rad.cos(),
            shear_share,
            notch: input.foot_notch,
            head: input.head,
            seat: input.seat,
            ..Self::level(&level, design)
        }
    }

    pub(super) fn level(level: &Level<'_>, design: &DesignValues) -> Self {
        Self {
            line: Line::Inner,
            section: level.section,
            bay_in: level.span_in,
            load_width_in: level.load_width_in,
            plies: 1.0,
            pitch_cos: 1.0,
            shear_share: 0.5,
            bending: (design.bending.value(), design.bending.source.clone()),
            shear: design.shear.value(),
            modulus: design.modulus.value(),
            bearing: design.bearing.value(),
            loads: level.loads.clone(),
            limits: level.limits.clone(),
            notch: None,
            head: None,
            seat: None,
        }
    }

    /// Every check under every load case that is asked of a stringer.
    pub(super) fn checks(&self) -> Vec<Check> {
        let point = self.loads.point_on_stringer().into_iter().flat_map(|lb| self.under_point(lb));
        self.under_spread().into_iter().chain(point).collect()
    }

    /// What a load on one spot that is asked of a tread alone makes of the stringer.
    pub(super) fn beside(&self) -> Vec<Check> {
        let of_tread = self.loads.point_lb.filter(|_| self.loads.point_on_stringer().is_none());
        of_tread.into_iter().flat_map(|pounds| self.under_point(pounds)).collect()
    }

    fn under_spread(&self) -> Vec<Check> {
        let Loads { live_psf, times, .. } = self.loads;
        let borne = self.spread(live_psf * times);
        let mut checks = self.strength(LoadCase::Spread, borne, self.end(live_psf * times));
        checks.extend(self.bends(LoadCase::Spread, self.spread(live_psf)));
        checks
    }

    /// How far it bends under a load that is a multiple of what is expected is nobody's question.
    fn under_point(&self, pounds: f64) -> Vec<Check> {
        let on_ply = pounds / self.plies;
        let live = point_load(on_ply, self.bay_in, self.modulus * self.section.inertia());
        let mut checks = self.strength(LoadCase::Point, live, on_ply);
        if self.loads.times <= 1.0 {
            checks.extend(self.bends(LoadCase::Point, live));
        }
        checks
    }

    /// Under so many pounds a square foot.
    fn spread(&self, psf: f64) -> Response {
        let load = self.line_load(psf);
        let response = uniform_load(load, self.bay_in, self.modulus * self.section.inertia());
        Response { shear: load * self.bay_in * self.shear_share, ..response }
    }

    /// Pounds an inch.
    fn line_load(&self, psf: f64) -> f64 {
        psf * self.load_width_in / SQUARE_INCHES_PER_SQUARE_FOOT
    }

    /// What foot and head bear, pounds: half of a bay, which two bays that hang together do not
    /// reach there.
    fn end(&self, psf: f64) -> f64 {
        self.line_load(psf) * self.bay_in / 2.0
    }

    /// What may break, under a live load with its part on an end of the stringer.
    fn strength(&self, case: LoadCase, live: Response, live_end: f64) -> Vec<Check> {
        let total = live + self.spread(self.loads.dead_psf);
        let end = live_end + self.end(self.loads.dead_psf);
        let check = |quantity, demand, capacity, source: &str| Check {
            quantity,
            case,
            demand,
            capacity,
            source: source.to_string(),
        };
        let values = &self.bending.1;
        let mut checks = vec![
            check(Quantity::Bending, self.section.bending(total.moment), self.bending.0, values),
            check(Quantity::Shear, self.section.shear(total.shear), self.shear, values),
        ];
        checks.extend(self.notch.map(|notch| {
            let left = notch.depth - notch.height;
            let capacity = self.reduced_capacity(notch.depth, left);
            check(Quantity::NotchShear, end, capacity, HeadHeld::Notch.source())
        }));
        checks.extend(self.head.map(|head| {
            let capacity = self.reduced_capacity(head.depth, head.held);
            check(Quantity::HeadShear, end, capacity, head.how.source())
        }));
        checks.extend(self.seat.map(|seat| {
            let pressure = end / (self.section.breadth_in * seat.as_inches());
            check(Quantity::Bearing, pressure, self.bearing, values)
        }));
        checks
    }

    /// How far it bends, under a live load.
    fn bends(&self, case: LoadCase, live: Response) -> Vec<Check> {
        let total = live + self.spread(self.loads.dead_psf);
        let check = |quantity, demand, capacity| Check {
            quantity,
            case,
            demand,
            capacity,
            source: self.limits.source.clone(),
        };
        let allowed = self.bay_in / self.limits.live;
        let mut checks = vec![check(Quantity::LiveDeflection, live.deflection, allowed)];
        checks.extend(
            self.limits.total.map(|ratio| {
                check(Quantity::TotalDeflection, total.deflection, self.bay_in / ratio)
            }),
        );
        if self.pitch_cos < 1.0 {
            let across = live.deflection / self.pitch_cos.powi(2);
            checks.push(check(Quantity::SlopeDeflection, across, allowed / self.pitch_cos));
        }
        checks
    }

    /// V'r = 2/3 F'v b dn (dn / d)^2, pounds: NDS 2018 3.4.3.2 and 3.4.3.3 (from memory).
    fn reduced_capacity(&self, depth: Length, left: Length) -> f64 {
        let (depth, left) = (depth.as_inches(), left.as_inches());
        2.0 / 3.0 * self.shear * self.section.breadth_in * left * (left / depth).powi(2)
    }
}
