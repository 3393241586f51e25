//! Where pieces lie: off each other, inside the material, off clamps and pin holes. Judged on the
//! expectation alone.

use std::collections::BTreeMap;

use super::boundary::{Boundary, Feature};
use super::boxes::BoxIndex;
use super::clamps::{distance_to_box, room_in};
use super::expectation::{Clamp, Expectation, Laid};
use super::farthest::TooTangled;
use super::findings::Findings;
use super::levels::last_digit_mm;
use super::limits::{GAP_MM, LAID_MM, MOST_PAIRS};
use super::pair::least_distance;
use super::proof::Target;
use super::shape::Shape;
use crate::diagnostics::{Count, Millimetres, codes};
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Bounds, Edge, Point, Segment};
use crate::profile::Form;
use crate::stair::outline::Role;

/// Looks at all copies, by their outlines with sharp corners.
pub(super) fn check(
    e: &Expectation<'_>,
    boundaries: &[Boundary],
    laid: &[Laid],
    findings: &mut Findings<'_>,
) -> Result<(), TooTangled> {
    let ring = |copy: &Laid| {
        let segments =
            boundaries[copy.piece].ring.iter().map(|segment| segment.placed(&copy.placement));
        Shape::new(segments.collect())
    };
    let labels = e.labels(laid).into_iter().zip(laid);
    let called = |(label, copy): (String, &Laid)| {
        if label.is_empty() { e.pieces[copy.piece].name.clone() } else { label }
    };
    let layout =
        Layout { rings: laid.iter().map(ring).collect(), labels: labels.map(called).collect() };
    layout.check_apart(e.spacing_mm, findings)?;
    layout.check_margin(e, findings);
    // On a board, and on what was shifted, a clamp may stand on the piece where the cutter does not
    // come.
    if e.form == Form::Sheet && e.setups.len() == 1 {
        layout.check_clamps(&e.clamps, findings);
    }
    layout.check_pins(e, findings);
    Ok(())
}

/// Whether the lower edge must be cut: of a board it is the board's own where the piece lies along
/// it.
pub(super) fn lower_needs_cut(e: &Expectation<'_>, target: &Target) -> bool {
    let (stock, slack) = (e.stock.bounds(), PROOF_MM + last_digit_mm(e.machine));
    let off = |p: Point| room_in(stock, Bounds { min: p, max: p }).abs();
    let mut lower = target.edges.iter().filter(|edge| edge.role == Feature::Edge(Role::LowerEdge));
    let is_own = |edge: &Edge<Feature>| {
        [edge.segment.from(), edge.segment.to()].iter().all(|&end| off(end) <= slack)
    };
    e.form == Form::Sheet || !lower.all(is_own)
}

/// The outline of every copy and what it is called.
struct Layout {
    rings: Vec<Shape>,
    labels: Vec<String>,
}

impl Layout {
    fn boxes(&self) -> impl Iterator<Item = Option<Bounds>> + '_ {
        self.rings.iter().map(Shape::bounds)
    }

    fn check_apart(&self, spacing_mm: f64, findings: &mut Findings<'_>) -> Result<(), TooTangled> {
        for ((a, b), distance) in self.nearer_than(spacing_mm)? {
            let place = format!("{} and {}", self.labels[a], self.labels[b]);
            if distance <= GAP_MM {
                findings.at(codes::PiecesOverlap {}, place);
            } else if distance < spacing_mm - LAID_MM {
                let (measured, limit) = (Millimetres(distance), Millimetres(spacing_mm));
                findings.at(codes::PiecesNear { measured, limit }, place);
            }
        }
        Ok(())
    }

    /// The least distance of every two copies that lie nearer than `reach`; 0 where one lies in the
    /// other.
    fn nearer_than(&self, reach: f64) -> Result<BTreeMap<(usize, usize), f64>, TooTangled> {
        let owned = self
            .rings
            .iter()
            .enumerate()
            .flat_map(|(i, ring)| ring.segments.iter().map(move |s| (i, *s)));
        let (owners, segments): (Vec<usize>, Vec<Segment>) = owned.unzip();
        let all = Shape::new(segments);
        let mut least: BTreeMap<(usize, usize), f64> = BTreeMap::new();
        let (mut near, mut pairs) = (Vec::new(), 0);
        for (segment, &owner) in all.segments.iter().zip(&owners) {
            all.near(segment.bounds().grown(reach + GAP_MM), &mut near);
            pairs += near.len();
            if pairs > MOST_PAIRS {
                return Err(TooTangled);
            }
            for &other in near.iter().filter(|&&other| owners[other] > owner) {
                let distance = least_distance(segment, &all.segments[other]).0;
                let known = least.entry((owner, owners[other])).or_insert(f64::INFINITY);
                *known = known.min(distance);
            }
        }
        for pair in self.contained(pairs)? {
            least.insert(pair, 0.0);
        }
        Ok(least)
    }

    /// Pairs of which one holds a corner of the other: with the crossings, all that overlap.
    fn contained(&self, mut pairs: usize) -> Result<Vec<(usize, usize)>, TooTangled> {
        let boxes: Vec<Bounds> = self.boxes().flatten().collect();
        let index = BoxIndex::new(&boxes);
        let (mut near, mut found) = (Vec::new(), Vec::new());
        for (i, ring) in self.rings.iter().enumerate() {
            let Some(corner) = ring.segments.first().map(Segment::from) else { continue };
            index.near(Bounds { min: corner, max: corner }, &mut near);
            pairs += near.len();
            if pairs > MOST_PAIRS {
                return Err(TooTangled);
            }
            let holding =
                near.iter().filter(|&&other| other != i && self.rings[other].holds(corner));
            found.extend(holding.map(|&other| (i.min(other), i.max(other))));
        }
        Ok(found)
    }

    fn check_margin(&self, e: &Expectation<'_>, findings: &mut Findings<'_>) {
        for (bounds, label) in self.boxes().zip(&self.labels) {
            let Some(room) = bounds.map(|bounds| room_in(e.stock.bounds(), bounds)) else {
                continue;
            };
            if room < -LAID_MM {
                findings.at(codes::PieceOffStock { measured: Millimetres(-room) }, label);
            } else if room < e.margin_mm - LAID_MM {
                let (measured, limit) = (Millimetres(room), Millimetres(e.margin_mm));
                findings.at(codes::OutsideMargin { measured, limit }, label);
            }
        }
    }

    fn check_clamps(&self, clamps: &[Clamp], findings: &mut Findings<'_>) {
        for (ring, label) in self.rings.iter().zip(&self.labels) {
            for (i, clamp) in clamps.iter().map(|clamp| clamp.place).enumerate() {
                let is_near = ring.bounds().is_some_and(|bounds| bounds.touches(clamp));
                let touches = || {
                    ring.segments.iter().any(|segment| distance_to_box(segment, clamp) <= GAP_MM)
                };
                if is_near && (ring.holds(clamp.min) || touches()) {
                    findings.at(codes::ClampOnPiece { clamp: Count::from(i + 1) }, label);
                }
            }
        }
    }

    fn check_pins(&self, e: &Expectation<'_>, findings: &mut Findings<'_>) {
        for (ring, label) in self.rings.iter().zip(&self.labels) {
            for (i, pin) in e.pins.iter().map(|pin| pin.hole).enumerate() {
                let Some((_, distance)) = ring.nearest(pin.center) else { continue };
                let depth = if ring.holds(pin.center) {
                    distance + pin.radius_mm
                } else {
                    pin.radius_mm - distance
                };
                if depth >= -GAP_MM {
                    let place = format!("pin hole {}", i + 1);
                    let measured = Millimetres(depth.max(0.0));
                    findings.at(codes::PinOnPiece { measured, piece: label.clone() }, place);
                }
            }
        }
    }
}
