//! What the tool must not reach with its whole width: clamps, and the stock's edges where a margin
//! is asked for.

use super::expectation::{Clamp, Expectation, Laid};
use super::findings::Findings;
use super::levels::{Levels, last_digit_mm};
use super::limits::{BEYOND_REACH_MM, GAP_MM, LAID_MM, OVER_CLAMP_MM};
use super::moves::{Drive, Motion, Move};
use super::pair::least_distance;
use super::sections::Sections;
use super::stroke::{Stroke, Work};
use crate::diagnostics::codes::{self, Clears};
use crate::diagnostics::{Count, Millimetres};
use crate::geometry::{Bounds, Segment};

/// The distance from a segment to a box, 0 inside.
pub(super) fn distance_to_box(segment: &Segment, place: Bounds) -> f64 {
    let corners = place.corners();
    let sides = (0..4).map(|i| Segment::Line { from: corners[i], to: corners[(i + 1) % 4] });
    sides
        .map(|side| least_distance(segment, &side).0)
        .fold(place.distance(segment.from()), f64::min)
}

/// The least height of a tool over a clamp; none of one whose height nobody said.
fn clear_of(clamp: &Clamp, levels: &Levels) -> Option<f64> {
    clamp.height_mm.map(|height| levels.top + height + OVER_CLAMP_MM)
}

/// How near a move may come to a box. A rapid need not go straight: where each axis runs at its own
/// speed it may come anywhere in the rectangle between its ends.
fn nearest(drive: Drive, path: &Segment, place: Bounds) -> f64 {
    match drive {
        Drive::Feed => distance_to_box(path, place),
        Drive::Rapid => path.bounds().apart(place),
    }
}

/// Looks at every move, cutting or not, that comes anywhere too low over a clamp; over one of no
/// known height any move does. `motion` is in the machine frame.
pub(super) fn check_clamps(
    e: &Expectation<'_>,
    motion: &Motion,
    levels: &Levels,
    findings: &mut Findings<'_>,
) {
    // The pointed cutter that marks has the shank of the one that cuts.
    let radius = e.machine.tool_radius().as_mm();
    for (i, clamp) in e.clamps.iter().enumerate() {
        let around = clamp.place.grown(radius);
        let clear = clear_of(clamp, levels);
        let mut told = 0;
        for m in &motion.moves {
            let Some(path) = m.path.filter(|path| m.line != told && path.bounds().touches(around))
            else {
                continue;
            };
            // A height that nobody said may be any.
            let height = |z: Option<f64>| z.unwrap_or(levels.bottom);
            let (from_z, to_z) = (height(m.from_z), height(m.to_z));
            let whole = Stroke {
                path,
                from_z,
                to_z,
                line: m.line,
                work: Work::Dragging,
                off_mm: 0.0,
                energy: 1.0,
            };
            let low = match clear {
                Some(clear) => whole.cut_at(clear - levels.near),
                None => Some(whole),
            };
            let Some(low) = low else { continue };
            // Of a rapid nobody knows how low it is where.
            let low = if m.drive == Drive::Rapid { path } else { low.path };
            let distance = nearest(m.drive, &low, clamp.place);
            if distance < radius - GAP_MM {
                told = m.line;
                let safe = clear
                    .map_or(Clears::Unknown, |clear| Clears::Over(Millimetres(clear - levels.top)));
                let (measured, limit) = (Millimetres(distance), Millimetres(radius));
                findings.at_line(
                    codes::ClampHit { clamp: Count::from(i + 1), measured, limit, safe },
                    m.line,
                );
            }
        }
    }
}

/// Tells in each set-up the first move across that begins nobody knows where and is not above all
/// clamps; `motion` is in the machine frame.
pub(super) fn check_first(
    e: &Expectation<'_>,
    (motion, sections): (&Motion, &Sections),
    levels: &Levels,
    findings: &mut Findings<'_>,
) {
    let is_over = |m: &Move, clamp: &Clamp| {
        let clear = clear_of(clamp, levels);
        let z = m.from_z.zip(m.to_z).map(|(from, to)| from.min(to));
        z.zip(clear).is_some_and(|(z, clear)| z >= clear - levels.near)
    };
    let may_hit =
        |m: &Move| e.clamp_zone.is_some() || !e.clamps.iter().all(|clamp| is_over(m, clamp));
    let mut told = None;
    for m in motion.moves.iter().filter(|m| m.sideways && m.path.is_none()) {
        let setup = sections.setup_of(m.line);
        if told != Some(setup) && may_hit(m) {
            told = Some(setup);
            findings.at_line(codes::FirstWayUnsaid {}, m.line);
        }
    }
}

/// Looks at every move, at whatever height, that comes where a board is clamped on the piece
/// itself; `motion` is in the stock frame.
pub(super) fn check_zone(e: &Expectation<'_>, motion: &Motion, findings: &mut Findings<'_>) {
    if let Some(zone) = e.clamp_zone.filter(|_| e.zone_of.is_none()) {
        keep_off(zone, e, motion, findings);
    }
}

/// Looks at whether the tool stays where it was planned to go, rapids too: that is what was cleared
/// before it runs.
pub(super) fn check_reach(e: &Expectation<'_>, motion: &Motion, findings: &mut Findings<'_>) {
    let Some(reach) = e.reach else { return };
    let mut told = 0;
    for m in &motion.moves {
        let Some(goes) = m.path.map(|path| path.bounds()).filter(|_| m.line != told) else {
            continue;
        };
        let beyond = -room_in(reach, goes);
        if beyond > BEYOND_REACH_MM {
            told = m.line;
            let (measured, limit) = (Millimetres(beyond), Millimetres(BEYOND_REACH_MM));
            findings.at_line(codes::BeyondReach { measured, limit }, m.line);
        }
    }
}

/// The same where the piece may lie elsewhere, by where it does: the zone lies on it.
pub(super) fn check_zone_on(
    e: &Expectation<'_>,
    motion: &Motion,
    laid: &[Laid],
    findings: &mut Findings<'_>,
) {
    let (Some(zone), Some(of), [copy]) = (e.clamp_zone, e.zone_of, laid) else { return };
    keep_off(zone.placed(&(copy.placement * of.inverse())), e, motion, findings);
}

fn keep_off(zone: Bounds, e: &Expectation<'_>, motion: &Motion, findings: &mut Findings<'_>) {
    let radius = e.machine.tool_radius().as_mm();
    let slack = LAID_MM + last_digit_mm(e.machine);
    let around = zone.grown(radius);
    let mut told = 0;
    for m in &motion.moves {
        let Some(path) = m.path.filter(|path| m.line != told && path.bounds().touches(around))
        else {
            continue;
        };
        let distance = nearest(m.drive, &path, zone);
        if distance < radius - slack {
            told = m.line;
            let (measured, limit) = (Millimetres(distance), Millimetres(radius));
            findings.at_line(codes::ClampZoneHit { measured, limit }, m.line);
        }
    }
}

/// Looks at every cut with the tool's whole width.
pub(super) fn check_margin(
    e: &Expectation<'_>,
    strokes: &[Stroke],
    radius: f64,
    findings: &mut Findings<'_>,
) {
    if e.margin_mm <= 0.0 {
        return;
    }
    let slack = LAID_MM + last_digit_mm(e.machine);
    let mut told = 0;
    for stroke in strokes {
        let room = room_in(e.stock.bounds(), stroke.path.bounds()) - radius;
        if room < e.margin_mm - slack && told != stroke.line {
            told = stroke.line;
            let (measured, limit) = (Millimetres(room), Millimetres(e.margin_mm));
            findings.at_line(codes::CutOutsideMargin { measured, limit }, stroke.line);
        }
    }
}

/// How far a box stays inside another; below 0 where it comes out.
pub(super) fn room_in(outer: Bounds, inner: Bounds) -> f64 {
    let (low, high) = (inner.min - outer.min, outer.max - inner.max);
    low.x.min(low.y).min(high.x).min(high.y)
}
