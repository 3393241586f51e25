//! The cut stringer as a beam: advice for a licensed designer, never an approval.
//!
//! A sawtooth is deeper notched than any notch rule lets a joist be, so the beam is what stays
//! whole behind the notches: a section of throat times thickness, the throat after the inside
//! corners as they will be cut.
//!
//! How a sloping member is treated (a simply supported beam, both reactions plumb, textbook
//! statics):
//! - w is the load a unit of *horizontal* projection, L the *horizontal* span. The greatest moment
//!   of the sloping member
//!   is then exactly w L^2 / 8, and P L / 4 under a load P at midspan.
//! - shear is taken as the whole plumb reaction, w L / 2 or P; across the member it is less by the
//!   cosine of the pitch.
//! - deflection is given twice: as the level beam of span L, which is how the trade states it, and
//!   across the sloping
//!   member of length L / cos(pitch) under the part of the load across it, which is larger by 1 /
//!   cos^2(pitch) against
//!   a limit larger by 1 / cos(pitch). Both are checked, so the stricter governs.
//! - a support in the middle makes two beams of half the span (a crack at a notch would), with the
//!   shear of the continuous one there, 5/8 w l, which is more; foot and head bear w l / 2.
//! - an inner line carries what treads that run on over all lines put on it; an outer one half a
//!   bay, which is more than such treads put there, and the strip beyond it.
//! - an end that carries over a part of its plumb depth d only, dn beside a notch or down to the
//!   lowest point that is held, bears 2/3 F'v b dn (dn / d)^2: at the head always, at the foot
//!   where the notch lies between what bears and the span. A plate let in at the toe leaves its
//!   bearing behind it: no shear crosses that notch.
//! - the thrust along the member, the weight of guards, and vibration are left out.
//!
//! A point load that is asked of the stair at any point stands at midspan for bending and beside a
//! support for shear; one stringer takes all of it. One that is asked of a tread alone is shown
//! beside the checks and held against nothing. The size factor is that of the board as graded, not
//! of the throat, which gets no credit for being small. Treads are taken to hold the upper edge
//! sideways, so the beam stability factor is 1.
//!
//! Inside, figures are inches, pounds and psi, as the design values are published.

mod adjusted;
mod design;
mod input;
mod job;
mod member;
mod published;
mod remedy;
mod share;
mod simple_beam;
mod span;
#[cfg(test)]
mod tests;

use crate::diagnostics::Error;
use crate::diagnostics::{Figure, Finding, Severity, codes};

pub use adjusted::{Adjusted, Factor};
pub use design::DesignValues;
pub use input::{
    BeamInput, DEAD_PSF, DeflectionLimits, FootNotch, HeadEnd, HeadHeld, Incising, Loads, Moisture,
    Sawn, Stringers,
};
pub use job::{Ask, Outdoors, of_job, taken_for_wet};
pub use member::{Check, Line, LoadCase, Quantity};
pub use published::{Bound, PublishedLimit};
pub use remedy::{Change, Remedy};
pub use simple_beam::{Response, Section, point_load, uniform_load};
pub use span::{Joist, MaxSpan, max_span};

use member::Member;

/// To be printed with every figure of this module.
pub const CAUTION: &str = "Advice, not an approval: the beam figures are a first look at one load \
    path. A licensed designer decides, under the code in force where the stair stands.";

/// What the stringer bears and what is asked of it.
#[derive(Clone, Debug)]
pub struct Strength {
    /// Design values with every factor on them.
    pub design: DesignValues,
    /// The section of one ply: throat by thickness.
    pub section: Section,
    /// The line of stringers that governs.
    pub line: Line,
    /// Horizontal clear span of one bay in inches: half of the whole where there is a support in
    /// the middle.
    pub bay_in: f64,
    /// Width of stair whose load one ply carries, in inches.
    pub load_width_in: f64,
    /// Everything that was checked, on the line that governs.
    pub checks: Vec<Check>,
    /// What a point load that is asked of a tread alone makes of it: shown, held against nothing.
    pub beside: Vec<Check>,
    /// Published prescriptive limits beside it, as a second opinion.
    pub published: Vec<PublishedLimit>,
    /// What would bring it within the figures, or would not.
    pub remedies: Vec<Remedy>,
    /// What to look at.
    pub findings: Vec<Finding>,
}

impl Strength {
    /// The check with the greatest utilisation.
    pub fn governing(&self) -> Option<&Check> {
        greatest(&self.checks)
    }

    /// The greatest utilisation: demand over capacity, more than 1 where the figures are exceeded.
    pub fn utilisation(&self) -> f64 {
        utilisation_of(&self.checks)
    }
}

/// The check with the greatest utilisation.
fn greatest(checks: &[Check]) -> Option<&Check> {
    checks.iter().max_by(|a, b| a.utilisation().total_cmp(&b.utilisation()))
}

fn utilisation_of(checks: &[Check]) -> f64 {
    checks.iter().map(Check::utilisation).fold(0.0, f64::max)
}

/// The beam check.
///
/// # Errors
/// If a figure means nothing or lies outside what the design values are published for.
pub fn check(input: &BeamInput) -> Result<Strength, Error> {
    counted!("beam check");
    input.validate()?;
    let (design, member, checks) = governing_line(input)?;
    let remedies = remedy::remedies(input)?;
    Ok(Strength {
        findings: findings(input, &checks, &remedies),
        published: published::beside(input),
        remedies,
        beside: member.beside(),
        section: member.section,
        line: member.line,
        bay_in: member.bay_in,
        load_width_in: member.load_width_in,
        design,
        checks,
    })
}

/// The line of stringers, inside or outside, with the greatest utilisation.
fn governing_line(input: &BeamInput) -> Result<(DesignValues, Member, Vec<Check>), Error> {
    let design = DesignValues::of(input)?;
    let worst = input
        .lines()
        .into_iter()
        .map(|line| {
            let member = Member::of(input, &design, line);
            let checks = member.checks();
            (member, checks)
        })
        .max_by(|(_, a), (_, b)| utilisation_of(a).total_cmp(&utilisation_of(b)));
    let (member, checks) = worst.ok_or_else(|| input::no_stringers(input.stringers.count))?;
    Ok((design, member, checks))
}

/// A computed utilisation may exceed 1 by this and still count as 1: rounding of doubles, nothing a
/// load could show.
pub(crate) const ON_CAPACITY: f64 = 1e-9;

/// More than this many times a capacity is refused and no mere warning (common practice, no
/// source).
const REFUSED_FROM: f64 = 1.5;

fn findings(input: &BeamInput, checks: &[Check], remedies: &[Remedy]) -> Vec<Finding> {
    let enough = enough(remedies);
    let exceeded = checks.iter().filter(|check| check.utilisation() > 1.0 + ON_CAPACITY);
    let mut found: Vec<Finding> = exceeded.map(|check| over(check, &enough)).collect();
    if let Some(notch) = input.foot_notch
        && notch.height > notch.depth / 4.0
    {
        let (measured, limit) = (notch.height, notch.depth / 4.0);
        found.push(codes::FootNotchDeep { measured, limit, depth: notch.depth }.at("foot"));
    }
    if let Some(HeadEnd { depth, held, how: HeadHeld::Notch }) = input.head
        && depth - held > depth / 4.0
    {
        let (measured, limit) = (depth - held, depth / 4.0);
        found.push(codes::HeadNotchDeep { measured, limit, depth }.at("head"));
    }
    found
}

/// The changes that bring every figure within its capacity, each by itself, in words.
fn enough(remedies: &[Remedy]) -> String {
    let these: Vec<&str> =
        remedies.iter().filter(|r| r.suffices()).map(|r| r.what.as_str()).collect();
    match these.as_slice() {
        [] => {
            "none of the changes that were tried is enough, so a licensed designer has to find one"
                .to_string()
        }
        these => format!("enough by these figures: {}", these.join("; or ")),
    }
}

fn over(check: &Check, enough: &str) -> Finding {
    let unit = check.quantity.unit();
    let figure = |value| Figure { value, unit, digits: if unit == "in" { 3 } else { 0 } };
    let (what, load) = (check.quantity.words(), check.case.words());
    let (measured, limit) = (figure(check.demand), figure(check.capacity));
    let times = Figure { value: check.utilisation(), unit: "", digits: 2 };
    let enough = enough.to_string();
    let finding = match check.quantity {
        Quantity::NotchShear => {
            codes::FootNotchShear { what, measured, limit, load, times, enough }.at("foot")
        }
        Quantity::HeadShear => {
            codes::HeadShear { what, measured, limit, load, times, enough }.at("head")
        }
        Quantity::Bearing => {
            codes::StringerBearingHigh { what, measured, limit, load, times, enough }.at("foot")
        }
        Quantity::LiveDeflection | Quantity::TotalDeflection | Quantity::SlopeDeflection => {
            codes::StringerDeflects { what, measured, limit, load, times, enough }.at("stringer")
        }
        Quantity::Bending | Quantity::Shear => {
            codes::StringerOverstressed { what, measured, limit, load, times, enough }
                .at("stringer")
        }
    };
    let far = check.utilisation() > REFUSED_FROM + ON_CAPACITY;
    let severity = if far { Severity::Refusal } else { Severity::Warning };
    finding.weighing(severity).source(check.source.clone())
}
