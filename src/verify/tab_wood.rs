//! The wood of a tab, along the whole of it: no stroke anywhere in its kerf takes of it what was
//! declared to stand.
//!
//! A declared tab stands at its full height about its top and falls away evenly to its ends: a
//! trapezoid over the tool's path, z(s). Its wood lies between the part's edge and the far side of
//! the kerf, a tool's diameter across. Whatever the shape of a stroke, straight or round, flat,
//! slanting or straight down: where its middle is within a radius of the path and opposite the tab,
//! it takes that wood, and must not be lower than z(s). Lines change their height evenly and z(s)
//! is made of lines, so that ends and corners of z(s) tell all of a line; arcs are looked at in
//! steps.

use super::expectation::DeclaredTab;
use super::levels::Levels;
use super::limits::GAP_MM;
use super::stroke::Stroke;
use crate::geometry::{Point, Segment, Vector};

/// From place to place along an arc that is looked at, in mm: a tab's slope falls by less than the
/// tolerance on it, and an arc of a cutter's radius leaves its chord by less.
const STEP_MM: f64 = 0.05;

/// The wood of one tab, as places along its edge.
pub(super) struct TabWood {
    /// Where the edge begins and which way it goes.
    from: Point,
    along: Vector,
    /// Where it begins, stands at its full height, falls again and ends, in mm along the edge.
    corners: [f64; 4],
    /// The height of its top and of its foot, in the program's Z.
    top: f64,
    foot: f64,
    /// How far beside the edge its wood is taken, nearest and farthest.
    beside: (f64, f64),
}

impl TabWood {
    /// Of a declared tab on a straight edge, beside which the tool of a radius runs, its passes off
    /// the line by an allowance. `slack` is what places and heights may be off.
    pub(super) fn new(
        tab: &DeclaredTab,
        edge: &Segment,
        (radius, allowance): (f64, f64),
        levels: &Levels,
        slack: f64,
    ) -> Self {
        let (from, along) = (edge.from(), edge.direction_at(0.0));
        let at = |p: Point| (p - from).dot(&along);
        let half = tab.length_mm / 2.0;
        let (start, end) = (at(tab.at) - half + slack, at(tab.at) + half - slack);
        let flat = (tab.level_mm / 2.0 - slack).max(0.0);
        let (low, high) = (at(tab.top) - flat, at(tab.top) + flat);
        let slack_z = slack + levels.near;
        Self {
            from,
            along,
            corners: [start, low.max(start), high.min(end), end],
            top: levels.bottom + tab.height_mm - slack_z,
            // Its ends may be told by where the tool leaves its full depth.
            foot: levels.bottom.min(levels.floor) - slack_z,
            beside: (GAP_MM, radius + radius.max(allowance + slack)),
        }
    }

    /// The lowest that a stroke goes below the wood that is to stand, in mm; 0 where it takes none.
    pub(super) fn taken(&self, stroke: &Stroke) -> f64 {
        let path = &stroke.path;
        let length = path.length();
        if length <= GAP_MM {
            let at = path.from();
            return self.short_of(at, stroke.lowest());
        }
        let shares = match path {
            Segment::Line { .. } => self.shares_of_line(path),
            Segment::Arc { .. } => {
                let steps = (length / STEP_MM).ceil();
                (0..=steps as usize).map(|i| i as f64 / steps).collect()
            }
        };
        let short = |share: f64| self.short_of(path.point_at(share), stroke.z_at(share));
        shares.into_iter().map(short).fold(0.0, f64::max)
    }

    /// The shares of a line at which it can be lowest against the wood: its ends, and where it
    /// passes a corner of the tab or comes in at a side of its kerf.
    fn shares_of_line(&self, path: &Segment) -> Vec<f64> {
        let (a, b) = (self.place(path.from()), self.place(path.to()));
        let crossing = |from: f64, to: f64, at: f64| (at - from) / (to - from);
        let lengthwise = self.corners.map(|corner| crossing(a.0, b.0, corner));
        let sides = [self.beside.0, self.beside.1].map(|side| crossing(a.1, b.1, side));
        let inner = lengthwise.into_iter().chain(sides).filter(|s| (0.0..=1.0).contains(s));
        // A little inside as well: a corner itself belongs to either side of it.
        let near = |s: f64| [s - 1e-9, s, s + 1e-9].map(|s| s.clamp(0.0, 1.0));
        [0.0, 1.0].into_iter().chain(inner.flat_map(near)).collect()
    }

    /// Where a point is along and beside the edge, in mm.
    fn place(&self, p: Point) -> (f64, f64) {
        let out = p - self.from;
        (out.dot(&self.along), out.x * self.along.y - out.y * self.along.x)
    }

    /// How far below the wood that is to stand a tool at a place and height is.
    fn short_of(&self, p: Point, z: f64) -> f64 {
        let (along, beside) = self.place(p);
        if beside < self.beside.0 || beside > self.beside.1 {
            return 0.0;
        }
        (self.stands(along) - z).max(0.0)
    }

    /// The height that is to stand at a place along the edge; endlessly low where none is.
    fn stands(&self, along: f64) -> f64 {
        let [start, low, high, end] = self.corners;
        if along < start || along > end {
            return f64::NEG_INFINITY;
        }
        let share = if along < low {
            (along - start) / (low - start)
        } else if along > high {
            (end - along) / (end - high)
        } else {
            1.0
        };
        self.foot + (self.top - self.foot) * share
    }
}

#[cfg(test)]
mod tests {
    use super::super::stroke::Work;
    use super::*;
    use crate::geometry::Turn;

    const RADIUS: f64 = 3.0;
    const LEVELS: Levels = Levels { top: 0.0, bottom: -6.0, floor: -6.0, safe: 5.0, near: 0.01 };

    /// A tab 20 mm long and 2 mm high about x = 50 on an edge along X, level over 10 mm.
    fn wood() -> TabWood {
        let edge = Segment::Line { from: Point::new(0.0, 0.0), to: Point::new(100.0, 0.0) };
        let tab = DeclaredTab::even(Point::new(50.0, -RADIUS), 20.0, 2.0);
        TabWood::new(&tab, &edge, (RADIUS, 0.0), &LEVELS, 0.01)
    }

    fn stroke(path: Segment, from_z: f64, to_z: f64) -> Stroke {
        Stroke { path, from_z, to_z, line: 1, work: Work::Cutting, off_mm: 0.0, energy: 1.0 }
    }

    fn line(from: (f64, f64), to: (f64, f64)) -> Segment {
        Segment::Line { from: Point::new(from.0, from.1), to: Point::new(to.0, to.1) }
    }

    #[test]
    fn what_was_declared_may_be_gone_over() {
        let along = |from: (f64, f64), to: (f64, f64)| {
            wood().taken(&stroke(line((from.0, -RADIUS), (to.0, -RADIUS)), from.1, to.1))
        };
        assert_eq!(along((0.0, -6.5), (40.0, -6.5)), 0.0, "up to its foot");
        assert_eq!(along((40.0, -6.0), (45.0, -4.0)), 0.0, "up its slope");
        assert_eq!(along((45.0, -4.0), (55.0, -4.0)), 0.0, "over its top");
        assert_eq!(along((55.0, -4.0), (60.0, -6.0)), 0.0, "down again");
        let far = line((50.0, -3.0 * RADIUS), (60.0, -3.0 * RADIUS));
        assert_eq!(wood().taken(&stroke(far, -6.5, -6.5)), 0.0, "beyond its kerf");
    }

    #[test]
    fn no_shape_of_stroke_takes_it() {
        let deep = |path: Segment| wood().taken(&stroke(path, -6.0, -6.0));
        assert!(deep(line((50.0, -RADIUS), (50.0, -RADIUS))) > 1.9, "straight down");
        assert!(deep(line((0.0, -RADIUS), (100.0, -RADIUS))) > 1.9, "right along");
        assert!(deep(line((48.0, -RADIUS - 0.5), (52.0, -RADIUS - 0.5))) > 1.9, "beside the line");
        assert!(deep(line((50.0, 0.0), (50.0, -9.0))) > 1.9, "across");
        let (from, to) = (Point::new(40.0, -RADIUS), Point::new(60.0, -RADIUS));
        let center = Point::new(50.0, -RADIUS + 1000.0);
        let flat = Segment::Arc { from, to, center, turn: Turn::Left };
        assert!(deep(flat) > 1.9, "along a flat arc");
    }

    #[test]
    fn a_slope_is_held_as_well_as_the_top() {
        let dip = |at: f64, z: f64| {
            wood().taken(&stroke(line((at, -RADIUS), (at + 0.001, -RADIUS)), z, z))
        };
        assert!(dip(42.5, -5.5) > 0.4 && dip(42.5, -4.95) == 0.0);
        assert!(dip(57.5, -5.5) > 0.4 && dip(57.5, -4.95) == 0.0);
        assert!(dip(46.0, -4.1) > 0.05 && dip(46.0, -4.0) == 0.0, "near the end of its top");
    }
}
