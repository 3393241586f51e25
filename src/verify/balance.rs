//! Whether the tabs of a piece hold it round its centre of area. Tabs on one side of it, or all on
//! one line, are a hinge.
//!
//! From the cut alone, and of files of others: tabs that were declared are held against what was
//! declared, place by place, and whoever planned them has said where they hold on one side only.

use super::expectation::{Expectation, Tabs};
use super::farthest::TooTangled;
use super::findings::Findings;
use super::proof::Target;
use super::stroke::Stroke;
use super::tabs::Sorted;
use crate::diagnostics::codes::{self, OutOfHull};
use crate::diagnostics::{Count, Millimetres};
use crate::geometry::hanging::{Anchor, held_parts};
use crate::geometry::remains::{Parts, Remains};
use crate::geometry::tolerance::LEAST_WEB_MM;
use crate::geometry::{Bounds, Point, Segment, cross, distance_to_segment, sides};

/// How far out of the hull of its tabs a centre of area may lie, in mm: figures.
const OUT_MM: f64 = 0.1;
/// How far beyond the kerf wood is looked for that a tab ends in, in mm.
const BEYOND_MM: f64 = 1.0;

/// Tells every piece whose tabs end in wood that hangs on one side of it only, or on one line.
pub(super) fn check(
    e: &Expectation<'_>,
    rings: &[Vec<Segment>],
    target: &Target,
    (sorted, parting): (&Sorted, &[Stroke]),
    findings: &mut Findings<'_>,
) -> Result<(), TooTangled> {
    if !matches!(e.tabs, Tabs::ByRule) || sorted.tabs.is_empty() {
        return Ok(());
    }
    let radius = e.machine.tool_radius().as_mm();
    let around = Around::new(e, rings, parting, radius)?;
    for (part, ring) in rings.iter().enumerate() {
        let own: Vec<_> =
            sorted.tabs.iter().zip(&sorted.parts).filter(|(_, of)| **of == part).collect();
        let ending_well = own.iter().filter(|(tab, _)| around.holds(&tab.along, radius));
        let ends = ending_well.flat_map(|(tab, _)| [tab.along.from(), tab.along.to()]);
        let Some(center) = center_of(ring).filter(|_| !own.is_empty()) else { continue };
        let inside = depth_in_hull(ends.chain(around.clamped(ring)).collect(), center);
        if inside < -OUT_MM {
            let measured = if inside.is_finite() {
                OutOfHull::By(Millimetres(-inside))
            } else {
                OutOfHull::Wholly
            };
            let found = codes::TabsOffCentre { measured, tabs: Count::from(own.len()) };
            findings.at(found, target.label(part));
        }
    }
    Ok(())
}

/// The wood round the pieces, and what of it is held if no piece hands on what holds it.
struct Around<'a> {
    rings: &'a [Vec<Segment>],
    clamps: Vec<Bounds>,
    wood: Parts,
    held: Vec<bool>,
}

impl<'a> Around<'a> {
    fn new(
        e: &Expectation<'_>,
        rings: &'a [Vec<Segment>],
        parting: &[Stroke],
        radius: f64,
    ) -> Result<Self, TooTangled> {
        let by = e.setups[e.setups.len() - 1];
        let clamps: Vec<Bounds> = e
            .clamps
            .iter()
            .map(|clamp| Bounds { min: clamp.pad.min - by, max: clamp.pad.max - by })
            .collect();
        // Sawn along the edge of every piece as well: a frame that hangs on the piece alone does
        // not hold it.
        let cuts = parting.iter().map(|stroke| stroke.path);
        let ways: Vec<Segment> = cuts.chain(rings.iter().flatten().copied()).collect();
        let half = LEAST_WEB_MM / 2.0;
        let plate = e.stock.bounds().grown(-half);
        let wood = Remains::of(plate, &ways, radius + half).ok_or(TooTangled)?.parts();
        let anchor = if clamps.is_empty() { Anchor::Edge } else { Anchor::Under(&clamps) };
        let held = held_parts(&wood, anchor, LEAST_WEB_MM);
        Ok(Around { rings, clamps, wood, held })
    }

    /// Whether a tab ends in wood that is held, or in another piece.
    fn holds(&self, along: &Segment, radius: f64) -> bool {
        let ahead = along.direction_at(0.0);
        let out = crate::geometry::Vector::new(ahead.y, -ahead.x)
            * (radius + LEAST_WEB_MM / 2.0 + BEYOND_MM);
        [0.0, 0.5, 1.0].into_iter().any(|share| {
            let p = along.point_at(share) + out;
            self.wood.at(p).is_some_and(|part| self.held[part])
                || self.rings.iter().any(|ring| is_in(ring, p))
        })
    }

    /// Points of a piece that lie under clamps, round all that does.
    fn clamped(&self, ring: &[Segment]) -> Vec<Point> {
        let inside = |pad: &Bounds, p: Point| pad.distance(p) <= 0.0;
        let on_edge = |pad: &'_ Bounds| {
            let pad = *pad;
            let each = ring.iter().flat_map(|side| {
                let count = side.length().ceil().max(1.0) as usize;
                (0..=count).map(move |i| side.point_at(i as f64 / count as f64))
            });
            each.filter(move |p| inside(&pad, *p)).collect::<Vec<Point>>()
        };
        let corners = |pad: &Bounds| {
            let (a, c) = (pad.min, pad.max);
            [a, Point::new(c.x, a.y), c, Point::new(a.x, c.y)]
                .into_iter()
                .filter(|p| is_in(ring, *p))
                .collect::<Vec<_>>()
        };
        self.clamps.iter().flat_map(|pad| [on_edge(pad), corners(pad)].concat()).collect()
    }
}

fn is_in(ring: &[Segment], p: Point) -> bool {
    crate::geometry::is_inside(p, ring.iter().map(|side| (side.from(), side.to())))
}

/// The centre of area of a ring of straight sides; none of one without area.
fn center_of(ring: &[Segment]) -> Option<Point> {
    let first = ring.first()?.from();
    let (mut area, mut moment) = (0.0, crate::geometry::Vector::zeros());
    for side in ring {
        let (u, v) = (side.from() - first, side.to() - first);
        area += cross(u, v);
        moment += (u + v) * cross(u, v);
    }
    (area.abs() > 0.0).then(|| first + moment / (3.0 * area))
}

/// How far inside the hull of points a point lies, in mm; below 0 outside; no less than infinitely
/// far where they span nothing.
fn depth_in_hull(mut points: Vec<Point>, p: Point) -> f64 {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let half = |points: &mut dyn Iterator<Item = &Point>| {
        let mut side: Vec<Point> = Vec::new();
        for &next in points {
            while let [.., a, b] = side[..] {
                if cross(b - a, next - a) > 0.0 {
                    break;
                }
                side.pop();
            }
            side.push(next);
        }
        side.pop();
        side
    };
    let ring = [half(&mut points.iter()), half(&mut points.iter().rev())].concat();
    if ring.len() < 3 {
        return f64::NEG_INFINITY;
    }
    let away = sides(&ring).map(|(from, to)| distance_to_segment(p, &Segment::Line { from, to }));
    let away = away.fold(f64::INFINITY, f64::min);
    if sides(&ring).all(|(a, b)| cross(b - a, p - a) >= 0.0) { away } else { -away }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_tabs_on_a_line_hold_nothing_and_one_off_it_does() {
        let on_line = || vec![Point::new(0.0, 0.0), Point::new(500.0, 0.0), Point::new(900.0, 0.0)];
        let center = Point::new(450.0, 60.0);
        assert_eq!(depth_in_hull(on_line(), center), f64::NEG_INFINITY);
        assert_eq!(depth_in_hull(Vec::new(), center), f64::NEG_INFINITY);
        let with =
            |x: f64, y: f64| depth_in_hull([on_line(), vec![Point::new(x, y)]].concat(), center);
        assert!((with(450.0, 300.0) - 60.0).abs() < 1e-9);
        assert!(with(450.0, 59.0) < 0.0 && with(450.0, -300.0) < 0.0);
    }
}
