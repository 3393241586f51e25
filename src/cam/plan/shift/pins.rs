//! Two pin holes for each shift, in the waste that both its set-ups reach, as far apart as they go.

use super::Shifts;
use crate::cam::compensate::ToolPath;
use crate::cam::mark::Hole;
use crate::check::StockBox;
use crate::geometry::{Placement, Point, Segment, Vector, distance_to_segment, is_inside, sides};
use crate::job::Job;
use crate::units::Length;

/// The usual pins, in inches.
const PINS_IN: [f64; 4] = [0.25, 0.375, 0.5, 0.75];
/// A hole is wider than the cutter by this at least, so that the cutter can go round in it, in mm.
const OVER_CUTTER_MM: f64 = 2.0;
/// How many places are looked at along the shared stretch and across the stock.
const PLACES: usize = 32;
/// The pins of a shift are no nearer than this: four inches.
const LEAST_APART_IN: f64 = 4.0;
/// In how many directions the outermost places are looked for.
const DIRECTIONS: usize = 48;

/// The pin holes of every shift.
#[derive(Clone, Debug)]
pub(super) struct Pins {
    /// Diameter of the pins.
    pub diameter: Length,
    /// How much wider than they their holes are.
    pub play: Length,
    /// Middles of the holes, two a shift, in the stock frame.
    pub pairs: Vec<[Point; 2]>,
}

impl Pins {
    /// The same two pins of the table for every shift if they find waste each time, else two for
    /// each.
    pub(super) fn find(
        path: &ToolPath,
        placement: &Placement,
        stock: &StockBox,
        job: &Job,
        shifts: &Shifts,
    ) -> Option<Self> {
        let cutter = 2.0 * job.cut.machine.tool_radius().as_mm();
        let usual = PINS_IN.iter().map(|pin| Length::inches(*pin));
        let diameter = usual.into_iter().find(|pin| pin.as_mm() >= cutter + OVER_CUTTER_MM)?;
        let play = job.cut.machine.pin_play();
        let hole = (diameter + play) / 2.0;
        let kept = (job.cut.material.margin, job.cut.machine.tool.allowance());
        let waste = Waste::new(path, placement, stock, (diameter, hole), kept);
        let places = |free: &dyn Fn(Point) -> bool| -> Option<[Point; 2]> {
            farthest(
                &table_places(shifts, &waste)
                    .into_iter()
                    .filter(|q| free(*q))
                    .collect::<Vec<Point>>(),
            )
        };
        let in_stock = |q: Point, k: usize| q + shifts.offset(k + 1);
        let count = shifts.count - 1;
        let common = places(&|q| (0..count).all(|k| waste.free(in_stock(q, k))));
        let of_shift = |k: usize| common.or_else(|| places(&|q| waste.free(in_stock(q, k))));
        let pair = |k: usize| of_shift(k).map(|pair| pair.map(|q| in_stock(q, k)));
        Some(Self { diameter, play, pairs: (0..count).map(pair).collect::<Option<_>>()? })
    }

    /// The holes of one shift, in the stock frame.
    pub(super) fn of_shift(&self, k: usize) -> [Hole; 2] {
        let radius = (self.diameter + self.play) / 2.0;
        self.pairs[k].map(|center| Hole { center, radius })
    }

    /// All holes, two a shift.
    pub(super) fn holes(&self) -> Vec<Hole> {
        (0..self.pairs.len()).flat_map(|k| self.of_shift(k)).collect()
    }

    /// Distance between the two pins of each shift, in mm.
    pub(super) fn apart(&self) -> Vec<f64> {
        self.pairs.iter().map(|[a, b]| (b - a).norm()).collect()
    }

    /// How far each shift may turn the stock: 2 c / b for clearance c of pins b apart (common
    /// practice, no source).
    pub(super) fn turns_rad(&self) -> Vec<f64> {
        self.apart().into_iter().map(|b| 2.0 * self.play.as_mm() / b).collect()
    }

    /// How far all shifts together may be off at a point that is cut last: each by the play itself,
    /// and by its turn over the way from its pins to there (common practice, no source). In mm.
    pub(super) fn error_at_mm(&self, head: Point) -> f64 {
        let from = |[a, b]: &[Point; 2]| (head - (a + (b - a) / 2.0)).norm();
        let ways = self.pairs.iter().map(from).zip(self.turns_rad());
        ways.map(|(way, turn)| self.play.as_mm() + turn * way).sum()
    }
}

/// What is left of the stock beside the part.
struct Waste {
    path: Vec<Segment>,
    ring: Vec<Point>,
    extent: Vector,
    /// From the middle of a hole to the stock's edge and to the machine's end.
    inside: f64,
    /// From the middle of a hole to the path of the cutter.
    beside: f64,
}

impl Waste {
    fn new(
        path: &ToolPath,
        placement: &Placement,
        stock: &StockBox,
        (pin, hole): (Length, Length),
        (margin, off_line): (Length, Length),
    ) -> Self {
        let placed = path.contour().placed(placement);
        let radius = hole.as_mm();
        Self {
            path: placed.edges().iter().map(|edge| edge.segment).collect(),
            ring: placed.vertices(),
            extent: Vector::new(stock.length.as_mm(), stock.width.as_mm()),
            inside: radius + pin.max(margin).as_mm(),
            beside: (path.radius() + off_line).as_mm() + radius + pin.as_mm(),
        }
    }

    /// Whether a hole has solid waste all round: a pin's diameter to every edge and to the kerf,
    /// and off the material's margin.
    fn free(&self, p: Point) -> bool {
        let on_stock = (0..2)
            .all(|i| p[i] >= self.inside - 1e-9 && p[i] <= self.extent[i] - self.inside + 1e-9);
        on_stock
            && self.path.iter().all(|segment| distance_to_segment(p, segment) >= self.beside)
            && !is_inside(p, sides(&self.ring))
    }
}

/// Places of the table that a hole of the stock can be at before and after a shift.
fn table_places(shifts: &Shifts, waste: &Waste) -> Vec<Point> {
    let across = 1 - shifts.axis.0;
    let (from, to) = (waste.inside, shifts.reach - shifts.by - waste.inside);
    let width = waste.extent[across];
    if to < from || width < 2.0 * waste.inside {
        return Vec::new();
    }
    let step = |low: f64, high: f64, i: usize| low + (high - low) * i as f64 / (PLACES - 1) as f64;
    let place = |i: usize, j: usize| {
        let mut p = Point::origin();
        p[shifts.axis.0] = step(from, to, i);
        p[across] = step(waste.inside, width - waste.inside, j);
        p
    };
    (0..PLACES).flat_map(|i| (0..PLACES).map(move |j| (i, j))).map(|(i, j)| place(i, j)).collect()
}

/// The two places that are farthest apart: both are outermost in some direction.
fn farthest(places: &[Point]) -> Option<[Point; 2]> {
    let directions = (0..DIRECTIONS).map(|i| std::f64::consts::TAU * i as f64 / DIRECTIONS as f64);
    let reach = |p: &Point, angle: f64| p.x * angle.cos() + p.y * angle.sin();
    let outermost: Vec<Point> = directions
        .filter_map(|angle| {
            places.iter().max_by(|a, b| reach(a, angle).total_cmp(&reach(b, angle)))
        })
        .copied()
        .collect();
    let pairs = outermost.iter().flat_map(|a| outermost.iter().map(move |b| [*a, *b]));
    let apart = |[a, b]: &[Point; 2]| (b - a).norm();
    pairs
        .max_by(|a, b| apart(a).total_cmp(&apart(b)))
        .filter(|pair| apart(pair) >= Length::inches(LEAST_APART_IN).as_mm())
}
