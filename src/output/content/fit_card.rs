//! The test-fit card: a few tape checks with what the geometry predicts, and room for what the tape
//! says.

use super::corners::Corners;
use super::layout::hung_by;
use super::section::{Check, Section, Table, TableRows, Topic};
use crate::check::head_contact;
use crate::geometry::{Point, inset_sharp};
use crate::job::{Job, Makes, Stringer};
use crate::pipeline::numbers::Value;
use crate::pipeline::workup::Workup;
use crate::stair::Flight;
use crate::stair::outline::{Outline, cleat_marks};
use crate::units::Length;

/// The checks on a piece held in place.
pub(super) fn fit_card(job: &Job, workup: &Workup) -> Section {
    let mut notes = vec![
        "Hold the first piece in place at every position and measure; cut the others only when all \
        of it agrees."
            .to_string(),
        "Predicted from the exact geometry of the finished stringer.".to_string(),
    ];
    let inset = inset(job);
    if inset > Length::ZERO {
        notes.push(format!(
            "The pattern is smaller by {} all round: use the second value on the pattern, the \
            first on what is cut with it. Measure to where two faces meet, not to a rounded \
            corner.",
            Value::Length(inset).exact()
        ));
    }
    let checks =
        workup.outline.as_ref().map_or(Vec::new(), |outline| match job.stringer.has_steps() {
            true => checks(job, outline, (&workup.flight, inset)),
            false => solid(job, &workup.flight, outline),
        });
    let table = |caption: &str, checks| Table {
        caption: caption.to_string(),
        rows: TableRows::Checks(checks),
    };
    let tables = vec![
        table("Predicted and measured", checks),
        table("As built: heights over the finished lower surface", built(&workup.flight)),
    ];
    Section { topic: Topic::FitCard, notes, tables }
}

fn inset(job: &Job) -> Length {
    match job.cut.makes {
        Makes::Pattern(follow) => follow.inset(),
        Makes::Stringers => Length::ZERO,
    }
}

fn checks(job: &Job, outline: &Outline, (flight, inset): (&Flight, Length)) -> Vec<Check> {
    let part = tape_measures(&Corners::of(outline.contour()));
    let smaller = (inset > Length::ZERO)
        .then(|| inset_sharp(outline.contour(), inset.as_mm()).ok())
        .flatten();
    let pattern = smaller.map(|contour| tape_measures(&Corners::of(&contour)));
    let mut checks: Vec<Check> = part
        .into_iter()
        .enumerate()
        .map(|(i, measure)| Check {
            label: measure.label,
            how: measure.how.to_string(),
            predicted: Length::mm(measure.mm),
            ends: Some(measure.ends),
            built: false,
            upper: false,
            on_pattern: pattern.as_ref().and_then(|p| p.get(i)).map(|m| Length::mm(m.mm)),
        })
        .collect();
    checks.push(at_the_rim(job, flight, outline));
    checks
}

/// The checks on a board without steps: with its cleats on, or with its pockets cut.
fn solid(job: &Job, flight: &Flight, outline: &Outline) -> Vec<Check> {
    let check = |label: String, how: &str, predicted: Length| Check {
        label,
        how: how.to_string(),
        predicted,
        on_pattern: None,
        ends: None,
        built: false,
        upper: false,
    };
    let (what, next, heights): (&str, &str, Vec<Length>) = match job.stringer {
        Stringer::Housed(_) => (
            "upper side of tread pocket",
            "nosing of a pocket to the next",
            (1..=flight.treads).map(|k| flight.tread_cut_y(k) + flight.tread_thickness).collect(),
        ),
        Stringer::Cut | Stringer::Cleated(_) => (
            "top of cleat",
            "line of a cleat to the next",
            cleat_marks(job, flight).into_iter().map(|mark| mark.top).collect(),
        ),
    };
    let last = heights.len().checked_sub(1).filter(|last| *last > 0);
    let mut checks: Vec<Check> = [Some(0), last]
        .into_iter()
        .flatten()
        .map(|i| check(format!("{what} {} above the seat", i + 1), "plumb", heights[i]))
        .collect();
    if last.is_some() {
        let how = "along the upper edge, any two neighbours alike";
        checks.push(check(next.to_string(), how, flight.pitch_length()));
    }
    if let Some(housed) = job.stringer.housed() {
        checks.push(check("depth of a pocket".to_string(), "square to the face", housed.depth));
    }
    checks.extend([
        check(
            "seat cut".to_string(),
            "along it, from the plumb cut to the heel",
            outline.seat_length(),
        ),
        check("top plumb cut".to_string(), "along it", outline.head_cut_length()),
        check(
            "plumb cut at the foot to plumb cut at the head".to_string(),
            "level",
            outline.level_length(),
        ),
    ]);
    checks.push(at_the_rim(job, flight, outline));
    checks
}

/// The heights that are measured once the treads are on.
fn built(flight: &Flight) -> Vec<Check> {
    let check = |label: String, predicted: Length, upper: bool| Check {
        label,
        how: "plumb, finish to finish".to_string(),
        predicted,
        on_pattern: None,
        ends: None,
        built: true,
        upper,
    };
    let tread = |k: usize| check(format!("top of tread {k}"), flight.unit_rise * k as f64, false);
    let mut checks: Vec<Check> = (1..=flight.treads.min(flight.risers - 1)).map(tread).collect();
    checks.push(check("upper finish".to_string(), flight.total_rise, true));
    checks
}

/// The contact at the head where what it meets is known, else the hang line.
fn at_the_rim(job: &Job, flight: &Flight, outline: &Outline) -> Check {
    let (label, how, predicted) = match head_contact(job, flight, outline) {
        Some(contact) => (
            "contact height at the head",
            format!("where stringer and {} touch, plumb", contact.on.name()),
            contact.height(),
        ),
        None => {
            let (what, hang) = hung_by(job, flight);
            ("hang line", format!("from the top of the framing to the {what}, plumb"), hang)
        }
    };
    Check {
        label: label.to_string(),
        how,
        predicted,
        on_pattern: None,
        ends: None,
        built: false,
        upper: false,
    }
}

struct TapeMeasure {
    label: String,
    how: &'static str,
    mm: f64,
    ends: [Point; 2],
}

fn tape(label: impl Into<String>, how: &'static str, mm: f64, ends: [Point; 2]) -> TapeMeasure {
    TapeMeasure { label: label.into(), how, mm, ends }
}

/// Straight from corner to corner.
fn straight(label: impl Into<String>, how: &'static str, from: Point, to: Point) -> TapeMeasure {
    tape(label, how, between(from, to), [from, to])
}

/// What a tape finds on a piece with these corners in the elevation frame; the same measures in the
/// same order for every piece of one flight.
fn tape_measures(c: &Corners) -> Vec<TapeMeasure> {
    let top = c.noses.len();
    let (first_nose, top_nose) = (c.noses[0], c.noses[top - 1]);
    let mut measures = vec![tape(
        "tread cut 1 above the seat",
        "plumb, at the nose",
        first_nose.y - c.seat_below_nose(),
        [Point::new(first_nose.x, c.seat_below_nose()), first_nose],
    )];
    if top > 1 {
        measures.push(tape(
            format!("tread cut {top} above the seat"),
            "plumb, from the level of the seat under the first nose",
            top_nose.y - c.seat_below_nose(),
            [Point::new(top_nose.x, c.seat_below_nose()), top_nose],
        ));
    }
    let seat = if c.has_toe() { "toe to heel" } else { "plate notch to heel" };
    measures.push(straight(seat, "along the seat", c.seat_start, c.heel));
    if top > 1 {
        let how = "tip to tip, any two neighbours alike";
        measures.push(straight("nose 1 to nose 2", how, first_nose, c.noses[1]));
    }
    measures.push(lower_diagonal(c));
    let how = "straight, the second diagonal";
    measures.push(straight(format!("heel to nose {top}"), how, c.heel, top_nose));
    measures.push(tape(
        "first riser cut to top plumb cut",
        "level, from a plumb line at the toe",
        c.head_top.x - first_nose.x,
        [Point::new(first_nose.x, c.head_top.y), c.head_top],
    ));
    measures.push(straight("top plumb cut", "along it", c.head_foot, c.head_top));
    let back = c.backs[top - 1];
    measures.push(tape(
        format!("tread cut {top}, back less front"),
        "level on it: the bubble in the middle, nothing under either end",
        back.y - top_nose.y,
        [top_nose, back],
    ));
    measures
}

/// From the toe to the top nose, or to the back of the only tread where there is but one; where a
/// notch takes the toe, from what is left of the first riser cut.
fn lower_diagonal(c: &Corners) -> TapeMeasure {
    let top = c.noses.len();
    let from = if c.has_toe() { "toe" } else { "lower end of the first riser cut" };
    let (to, end) = match top {
        1 => ("top of the plumb cut".to_string(), c.head_top),
        _ => (format!("nose {top}"), c.noses[top - 1]),
    };
    let how = "straight, the first diagonal";
    straight(format!("{from} to {to}"), how, c.first_riser_foot, end)
}

fn between(a: Point, b: Point) -> f64 {
    (b - a).norm()
}
