//! Where the part lies in a file that does not say: quarter turns whose box fits, the best of them
//! kept.

use std::collections::HashMap;

use super::limits::{EXTENT_MM, JOIN_MM};
use super::stroke::Stroke;
use crate::diagnostics::Millimetres;
use crate::diagnostics::codes::{self, AsWay, UnitHint};
use crate::geometry::{Bounds, Placement, Point, Vector};
use crate::units::MM_PER_INCH;

/// Which sides of the part's box the tool goes round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sides {
    /// All of them.
    All,
    /// All but the lower edge, in the board frame.
    NotTheLower,
}

/// Every placement by quarter turns that lays the box of `part`, grown by `margin`, on `drawn`.
/// `turned` gives the part's box after a turn.
pub(super) fn fitting(
    turned: impl Fn(&Placement) -> Option<Bounds>,
    margin: f64,
    drawn: Bounds,
    sides: Sides,
) -> Vec<Placement> {
    let mut found = Vec::new();
    for quarter in 0..4 {
        let turn = Placement::rotation(f64::from(quarter) * std::f64::consts::FRAC_PI_2);
        let Some(part) = turned(&turn).map(|bounds| bounds.grown(margin)) else { continue };
        let excess = [drawn.width() - part.width(), drawn.height() - part.height()];
        let across = if quarter % 2 == 0 { 1 } else { 0 };
        let fits = |axis: usize| {
            excess[axis].abs() <= EXTENT_MM || sides == Sides::NotTheLower && axis == across
        };
        if !(fits(0) && fits(1)) {
            continue;
        }
        let mut move_by = Vector::new(
            f64::midpoint(drawn.min.x, drawn.max.x) - f64::midpoint(part.min.x, part.max.x),
            f64::midpoint(drawn.min.y, drawn.max.y) - f64::midpoint(part.min.y, part.max.y),
        );
        if sides == Sides::NotTheLower {
            // The upper side in the board frame is cut: lay the boxes against each other there.
            match quarter {
                0 => move_by.y = drawn.max.y - part.max.y,
                1 => move_by.x = drawn.min.x - part.min.x,
                2 => move_by.y = drawn.min.y - part.min.y,
                _ => move_by.x = drawn.max.x - part.max.x,
            }
        }
        found.push(Placement::from_parts(move_by.into(), turn.rotation));
    }
    found
}

/// The longest a lead reaches beyond the tool's way round the part, in mm.
const LONGEST_LEAD_MM: f64 = 60.0;

/// Every placement by quarter turns that lays the box of `part`, grown by `margin`, into `drawn`,
/// side on side: for a path with leads, which reach beyond the part's box on some of its sides.
pub(super) fn fitting_with_leads(
    turned: impl Fn(&Placement) -> Option<Bounds>,
    margin: f64,
    drawn: Bounds,
) -> Vec<Placement> {
    let mut found = Vec::new();
    for quarter in 0..4 {
        let turn = Placement::rotation(f64::from(quarter) * std::f64::consts::FRAC_PI_2);
        let Some(part) = turned(&turn).map(|bounds| bounds.grown(margin)) else { continue };
        let sides = |low: f64, high: f64| {
            let fits = high - low >= -EXTENT_MM && high - low <= LONGEST_LEAD_MM;
            if fits { vec![low, high] } else { Vec::new() }
        };
        let along = sides(drawn.min.x - part.min.x, drawn.max.x - part.max.x);
        let across = sides(drawn.min.y - part.min.y, drawn.max.y - part.max.y);
        for x in along {
            found.extend(
                across
                    .iter()
                    .map(|y| Placement::from_parts(Vector::new(x, *y).into(), turn.rotation)),
            );
        }
    }
    found
}

/// The boxes that may be the part's in a program: of the longest closed walk in its through-going
/// path, without leads, and of all of it.
pub(super) fn candidate_boxes(through: &[Stroke]) -> Vec<Bounds> {
    let around =
        |strokes: &[Stroke]| strokes.iter().map(|s| s.path.bounds()).reduce(Bounds::joined);
    let cell = |p: Point| {
        ((p.x / (10.0 * JOIN_MM)).round() as i64, (p.y / (10.0 * JOIN_MM)).round() as i64)
    };
    let mut first_at: HashMap<(i64, i64), usize> = HashMap::new();
    let mut longest = 0..0;
    // By length, not by number of strokes: a small hole of many chords is not the part.
    let mut walked = vec![0.0];
    let mut length = 0.0;
    let mut end: Option<Point> = None;
    for (i, stroke) in through.iter().enumerate() {
        if end.is_none_or(|end| (end - stroke.path.from()).norm() > JOIN_MM) {
            first_at.clear();
        }
        first_at.entry(cell(stroke.path.from())).or_insert(i);
        walked.push(walked[i] + stroke.path.length());
        let start = first_at.get(&cell(stroke.path.to())).copied();
        if let Some(start) = start.filter(|&start| walked[i + 1] - walked[start] > length) {
            longest = start..i + 1;
            length = walked[i + 1] - walked[start];
        }
        end = Some(stroke.path.to());
    }
    [around(&through[longest]), around(through)].into_iter().flatten().collect()
}

/// What is said where no placement fits: both extents.
pub(super) fn misfit(drawn: Bounds, part: Bounds) -> codes::NotThisPart {
    let shorter = |b: Bounds| b.width().min(b.height());
    codes::NotThisPart {
        measured: Millimetres(longer(drawn)),
        width: Millimetres(shorter(drawn)),
        limit: Millimetres(longer(part)),
        limit_width: Millimetres(shorter(part)),
        as_way: AsWay::Same,
        hint: unit_hint(longer(drawn) / longer(part).max(f64::MIN_POSITIVE)),
    }
}

fn longer(b: Bounds) -> f64 {
    b.width().max(b.height())
}

/// What is said of the unit if a drawing is `ratio` times the part.
pub(super) fn unit_hint(ratio: f64) -> UnitHint {
    if (ratio * MM_PER_INCH - 1.0).abs() < 0.02 {
        UnitHint::Small
    } else if (ratio / MM_PER_INCH - 1.0).abs() < 0.02 {
        UnitHint::Large
    } else {
        UnitHint::None
    }
}
