//! The hanging hole at the balance point.

use super::apart::inside;
use crate::diagnostics::{Warned, codes};
use crate::geometry::{Contour, Point, Vector, cross, distance_to_segment};
use crate::stair::outline::Role;
use crate::units::Length;

/// A round hole through the piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hole {
    /// Its middle.
    pub center: Point,
    /// Half its diameter.
    pub radius: Length,
}

/// A hole whose radius is this near to the tool's is as wide as the tool, in mm: below what the
/// proof allows.
const AS_WIDE_MM: f64 = 0.005;

impl Hole {
    /// What it takes of the face, in square mm.
    pub fn area_mm2(&self) -> f64 {
        std::f64::consts::PI * self.radius.as_mm() * self.radius.as_mm()
    }

    /// Whether it is just as wide as a tool of a radius: that one goes straight down and has no
    /// room to go round.
    pub fn is_as_wide_as(&self, tool_radius: Length) -> bool {
        (self.radius - tool_radius).as_mm().abs() <= AS_WIDE_MM
    }
}

/// The usual diameter of a hanging hole (common practice, no source).
const DIAMETER_IN: f64 = 0.5;
/// A hole is wider than the cutter by this at least, so that the cutter can go round in it.
const OVER_CUTTER_MM: f64 = 2.0;
/// The middle of the hole lies this far inside the cut line at least.
const INSIDE_MM: f64 = 15.0;
/// How finely a place is looked for.
const STEP_MM: f64 = 0.1;

/// The centroid of a straight-edged contour: sum of (a + b) (a x b) over three times the sum of (a
/// x b), the polygon formula, about its first vertex.
pub(super) fn centroid(contour: &Contour<Role>) -> Point {
    let points = contour.vertices();
    let home = points[0];
    let (mut moment, mut doubled) = (Vector::zeros(), 0.0);
    for (a, b) in points.iter().zip(points.iter().cycle().skip(1)) {
        let (a, b) = (a - home, b - home);
        let area = cross(a, b);
        moment += (a + b) * area;
        doubled += area;
    }
    home + moment / (3.0 * doubled)
}

/// The hole at the balance point of the outline, or as near to it straight across the board as the
/// piece allows; both contours in the board frame. `clear` is what marks keep from an edge, in mm;
/// `others` are holes that are there already.
pub(super) fn hanging_hole(
    outline: &Contour<Role>,
    piece: &Contour<Role>,
    cutter_radius: Length,
    clear: f64,
    others: &[Hole],
) -> Warned<Option<Hole>> {
    let radius =
        Length::inches(DIAMETER_IN / 2.0).max(cutter_radius + Length::mm(OVER_CUTTER_MM / 2.0));
    let needed = INSIDE_MM.max(radius.as_mm() + clear);
    let balance = centroid(outline);
    let ring = piece.vertices();
    let free = |p: &Point| {
        let to_edge = |e: &crate::geometry::Edge<Role>| distance_to_segment(*p, &e.segment);
        let off =
            |hole: &Hole| (hole.center - p).norm() >= (hole.radius + radius).as_mm() + INSIDE_MM;
        inside(*p, &ring)
            && piece.edges().iter().all(|edge| to_edge(edge) >= needed)
            && others.iter().all(off)
    };
    let steps = (piece.bounds().height() / STEP_MM).ceil() as i64;
    let offsets = (0..=steps).flat_map(|i| [i, -i]).map(|i| i as f64 * STEP_MM);
    let found = offsets.map(|dy| (dy, balance + Vector::new(0.0, dy))).find(|(_, p)| free(p));
    let limit = Length::mm(needed);
    match found {
        Some((dy, center)) if dy.abs() < STEP_MM / 2.0 => {
            Warned::plain(Some(Hole { center, radius }))
        }
        Some((dy, center)) => {
            let found = codes::HoleMoved { measured: Length::mm(dy.abs()), limit };
            Warned::new(Some(Hole { center, radius }), vec![found.at("hanging hole")])
        }
        None => Warned::new(None, vec![codes::HoleLeftOut { limit }.at("hanging hole")]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_centroid_of_an_l_is_that_of_its_two_rectangles() {
        let corners = [(0.0, 0.0), (4.0, 0.0), (4.0, 1.0), (1.0, 1.0), (1.0, 3.0), (0.0, 3.0)];
        let ell = Contour::polygon(&corners.map(|(x, y)| (Point::new(x + 9.0, y), Role::SeatCut)))
            .unwrap();
        // 4 x 1 about (2, 0.5) and 1 x 2 about (0.5, 2): (4 * 2 + 2 * 0.5) / 6 and (4 * 0.5 + 2 *
        // 2) / 6.
        assert!((centroid(&ell) - Point::new(9.0 + 1.5, 1.0)).norm() < 1e-12);
    }
}
