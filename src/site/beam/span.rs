//! The longest span of a joist under the same checks.

use super::design::{DesignValues, Setting};
use super::input::{DeflectionLimits, Incising, Loads, Moisture};
use super::member::{Check, Level, Member, Quantity};
use super::simple_beam::Section;
use super::{greatest, utilisation_of};
use crate::diagnostics::{Error, ErrorKind};
use crate::profile::{TimberFactors, Wood};
use crate::units::Length;

/// A level joist of many, not notched.
#[derive(Clone, Debug)]
pub struct Joist {
    /// Reference design values.
    pub wood: Wood,
    /// The factors on them.
    pub factors: TimberFactors,
    /// Depth of the board.
    pub depth: Length,
    /// Its thickness.
    pub thickness: Length,
    /// Centre to centre.
    pub spacing: Length,
    /// What it carries.
    pub loads: Loads,
    /// How far it may bend.
    pub limits: DeflectionLimits,
}

/// The longest span, and what ends it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MaxSpan {
    /// Between the supports.
    pub span: Length,
    /// The check that reaches its capacity there.
    pub governs: Quantity,
}

/// Spans looked at, inches: from where nothing fails to where everything does.
const LEAST_SPAN_IN: f64 = 0.1;
const MOST_SPAN_IN: f64 = 4800.0;
/// Halvings of that range: beyond this many a double has no more digits.
const HALVINGS: usize = 100;
/// Many joists side by side: repetitive by count.
const MANY: usize = 100;

/// The longest span at which every check is within its capacity. Utilisation grows with the span,
/// so it is halved in on.
///
/// # Errors
/// If a size or spacing is not more than 0, the load is nothing, or the board is wider than the
/// table has values for.
pub fn max_span(joist: &Joist) -> Result<MaxSpan, Error> {
    let sizes = [joist.depth, joist.thickness, joist.spacing];
    if sizes.iter().any(|size| *size <= Length::ZERO) {
        let found = sizes.map(|size| size.to_string()).join(", ");
        return Err(Error::new(
            ErrorKind::Input,
            "a joist's depth, thickness and spacing must be something",
        )
        .found(found)
        .allowed("lengths of more than 0")
        .hint("look at depth, thickness and spacing again"));
    }
    let setting = Setting {
        factors: &joist.factors,
        depth: joist.depth,
        moisture: Moisture::Dry,
        incising: Incising::None,
        members: (MANY, joist.spacing),
    };
    let design = setting.values(&joist.wood)?;
    let (mut low, mut high) = (LEAST_SPAN_IN, MOST_SPAN_IN);
    if within(joist, &design, high) || !within(joist, &design, low) {
        return Err(Error::new(ErrorKind::Input, "no span ends with these loads")
            .found(format!("{} psf live, {} psf dead", joist.loads.live_psf, joist.loads.dead_psf))
            .allowed("loads that a joist can carry, not all 0")
            .hint("look at the loads again"));
    }
    for _ in 0..HALVINGS {
        let middle = (low + high) / 2.0;
        if within(joist, &design, middle) { low = middle } else { high = middle }
    }
    let last = checks(joist, &design, low);
    Ok(MaxSpan {
        span: Length::inches(low),
        governs: greatest(&last).expect("a joist has checks").quantity,
    })
}

fn checks(joist: &Joist, design: &DesignValues, span_in: f64) -> Vec<Check> {
    let level = Level {
        section: Section {
            breadth_in: joist.thickness.as_inches(),
            depth_in: joist.depth.as_inches(),
        },
        span_in,
        load_width_in: joist.spacing.as_inches(),
        loads: &joist.loads,
        limits: &joist.limits,
    };
    Member::level(&level, design).checks()
}

fn within(joist: &Joist, design: &DesignValues, span_in: f64) -> bool {
    utilisation_of(&checks(joist, design, span_in)) <= 1.0
}
