//! Where the joint runs, and where its dowels stand.

use super::{DOWEL_CLEARANCE_IN, NoSplit, Splitting, strap};
use crate::geometry::{Contour, Corner, Point, Segment, corners, distance_to_segment};
use crate::stair::outline::Role;
use crate::units::Length;

/// The joint keeps this from every inside corner of the part, in inches.
const FROM_CORNER_IN: f64 = 1.5;
/// The dowels of one piece are so far apart where there is room, and no nearer than the second
/// figure, in inches.
const APART_IN: f64 = 20.0;
const LEAST_APART_IN: f64 = 8.0;
/// By how much a lap is shortened at a time, in inches.
const SHORTER_IN: f64 = 1.0;
/// The hook is this high at least, in inches, and this many cutters.
const HOOK_IN: f64 = 0.5;
const HOOK_CUTTERS: f64 = 1.25;
/// Between the middle of a hole and an edge, in diameters of the hole: a diameter of wood is left,
/// and a little for the gap.
pub(super) const FROM_EDGE: f64 = 1.55;
/// The usual dowels, in inches.
const DOWELS_IN: [f64; 5] = [0.25, 0.375, 0.5, 0.625, 0.75];
/// A hole is wider than the cutter by this at least, so that the cutter can go round in it, in mm.
const OVER_CUTTER_MM: f64 = 2.0;

/// The joint: from the middle of a tread straight down across the board, along the pitch, over the
/// hook, along the pitch, down to the lower edge. Board frame, mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Joint {
    /// Edge of the whole on which it begins: a tread.
    pub upper_edge: usize,
    /// Edge of the whole on which it ends: the lower edge.
    pub lower_edge: usize,
    /// Where it begins.
    pub upper: Point,
    /// Where it ends.
    pub lower: Point,
    /// Its level before the hook and after it.
    pub levels: [f64; 2],
    /// Level of the notches.
    pub notches: f64,
    /// Diameter of the dowel holes.
    pub hole: f64,
    /// Distance between the two dowels of a piece.
    pub apart: f64,
}

/// What every joint of a pattern shares.
struct Lap {
    lower_edge: usize,
    floor: f64,
    notches: f64,
    levels: [f64; 2],
    hole: f64,
}

impl Joint {
    /// The joint nearest to the middle of the pattern with the longest lap that finds room.
    pub(super) fn find(whole: &Contour<Role>, splitting: &Splitting) -> Result<Self, NoSplit> {
        let lap = Lap::new(whole, splitting)?;
        let bounds = whole.bounds();
        let middle = (bounds.min.x + bounds.max.x) / 2.0;
        let longest = splitting.longest.as_mm();
        let mut apart = inches(APART_IN);
        while apart >= inches(LEAST_APART_IN) - 1e-9 {
            let treads = (0..whole.edges().len())
                .filter(|i| matches!(whole.edges()[*i].role, Role::Tread(_)));
            let joints = treads.map(|tread| lap.at(whole, tread, apart));
            let fits = |joint: &Self| {
                let lengths = [
                    joint.lower.x - bounds.min.x,
                    bounds.max.x - joint.upper.x,
                    strap::length(joint),
                ];
                lengths.iter().all(|length| *length <= longest) && joint.is_clear(whole)
            };
            let off = |joint: &Self| ((joint.upper.x + joint.lower.x) / 2.0 - middle).abs();
            if let Some(best) = joints.filter(fits).min_by(|a, b| off(a).total_cmp(&off(b))) {
                return Ok(best);
            }
            apart -= inches(SHORTER_IN);
        }
        Err(NoSplit::NoPlace { whole: Length::mm(bounds.width()), longest: splitting.longest })
    }

    /// Its corners from the lower edge up.
    pub(super) fn points(&self) -> [Point; 6] {
        let hook = (self.upper.x + self.lower.x) / 2.0;
        let [low, high] = self.levels;
        [
            self.lower,
            Point::new(self.lower.x, high),
            Point::new(hook, high),
            Point::new(hook, low),
            Point::new(self.upper.x, low),
            self.upper,
        ]
    }

    fn dowels(&self, y: f64) -> [Point; 2] {
        let from = self.upper.x + FROM_EDGE * self.hole;
        [Point::new(from, y), Point::new(from + self.apart, y)]
    }

    /// Middles of the holes in the foot's tongue.
    pub(super) fn foot_dowels(&self) -> [Point; 2] {
        self.dowels((strap::floor(self) + self.levels[0]) / 2.0)
    }

    /// Middles of the holes in the head's tongue.
    pub(super) fn head_dowels(&self) -> [Point; 2] {
        self.dowels((self.levels[1] + strap::top(self)) / 2.0)
    }

    /// Whether it keeps its distance from inside corners and its strap lies on the pattern.
    fn is_clear(&self, whole: &Contour<Role>) -> bool {
        let points = self.points();
        let lines: Vec<Segment> =
            points.windows(2).map(|p| Segment::Line { from: p[0], to: p[1] }).collect();
        let far = |corner: &Corner<Role>| {
            lines
                .iter()
                .all(|line| distance_to_segment(corner.at, line) >= inches(FROM_CORNER_IN) - 1e-6)
        };
        corners(whole).iter().filter(|corner| corner.is_inside()).all(far)
            && strap::lies_on(self, whole)
    }
}

impl Lap {
    fn new(whole: &Contour<Role>, splitting: &Splitting) -> Result<Self, NoSplit> {
        let edges = whole.edges();
        let lower_edge =
            edges.iter().position(|edge| edge.role == Role::LowerEdge).ok_or(NoSplit::NoThroat)?;
        let floor = edges[lower_edge].segment.from().y;
        let of_steps = |corner: &Corner<Role>| {
            matches!((corner.before, corner.after), (Role::Tread(_), _) | (_, Role::Tread(_)))
        };
        let notches =
            corners(whole).into_iter().filter(|corner| corner.is_inside() && of_steps(corner));
        let notches =
            notches.map(|corner| corner.at.y).reduce(f64::min).ok_or(NoSplit::NoThroat)?;
        let cutter = splitting.cutter.as_mm();
        let dowel = DOWELS_IN.iter().map(|d| inches(*d)).find(|d| *d >= cutter + OVER_CUTTER_MM);
        let hole = dowel.unwrap_or(cutter + OVER_CUTTER_MM) + inches(DOWEL_CLEARANCE_IN);
        let hook = inches(HOOK_IN).max(HOOK_CUTTERS * cutter);
        let tongue = 2.0 * FROM_EDGE * hole + strap::FROM_EDGE_MM;
        let upper_tongue = tongue.max(inches(FROM_CORNER_IN));
        let needed = tongue + hook + upper_tongue;
        if notches - floor < needed {
            let throat = Length::mm(notches - floor);
            return Err(NoSplit::Narrow { throat, needed: Length::mm(needed) });
        }
        // Half of the wood to each side, but never less than the upper tongue takes.
        let low = ((floor + notches - hook) / 2.0).min(notches - upper_tongue - hook);
        Ok(Self { lower_edge, floor, notches, levels: [low, low + hook], hole })
    }

    /// The joint that begins in the middle of this tread.
    fn at(&self, whole: &Contour<Role>, tread: usize, apart: f64) -> Joint {
        let upper = whole.edges()[tread].segment.point_at(0.5);
        let length = apart + 2.0 * FROM_EDGE * self.hole;
        Joint {
            upper_edge: tread,
            lower_edge: self.lower_edge,
            upper,
            lower: Point::new(upper.x + length, self.floor),
            levels: self.levels,
            notches: self.notches,
            hole: self.hole,
            apart,
        }
    }
}

fn inches(inches: f64) -> f64 {
    Length::inches(inches).as_mm()
}
