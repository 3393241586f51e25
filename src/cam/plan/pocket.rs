//! Pockets: each convex piece in rows at every level, then once round the sides at every level.
//! Begins and ends at the safe height; the cutter is let down by ramps inside the pocket.

use super::chords::chords_outside;
use super::program::{FeedKind, Step};
use super::ramp::ramp;
use super::router::{LONGEST_STROKE_MM, pass_floors};
use crate::cam::compensate::PocketPath;
use crate::geometry::{Edge, Follows, Placement, Point, Segment, left_of};
use crate::profile::{Arcs, Machine, Router};
use crate::stair::outline::Cell;

/// From row to row at most, as a share of the cutter's radius: rows a diameter apart would just
/// touch.
const ROW_STEP: f64 = 1.4;
/// A row shorter than this is left to the way round, in mm.
const SHORTEST_ROW_MM: f64 = 0.5;
/// Rows stay this far inside the border of their piece, in mm: on it a row may have no length.
const INSIDE_MM: f64 = 1e-6;
/// How far the way round goes on past its start, in mm (common practice, no source).
const OVERLAP_MM: f64 = 6.0;

/// The steps of all pockets of a piece.
pub(super) fn steps(
    pockets: &[PocketPath],
    machine: &Machine,
    router: &Router,
    placement: &Placement,
) -> Vec<Step> {
    let mut steps = Vec::new();
    for (number, pocket) in pockets.iter().enumerate() {
        let sinking = Sinking {
            floors: pass_floors(pocket.depth.as_mm(), router.pass_depth.as_mm()),
            ramp_tan: router.ramp_deg.to_radians().tan(),
            safe: machine.safe_height.as_mm(),
        };
        for cell in &pocket.cells {
            let rows = rows(cell, ROW_STEP * machine.tool_radius().as_mm());
            let rows: Vec<Segment> = rows.iter().map(|row| row.placed(placement)).collect();
            sinking.follow(&mut steps, &cell.name.to_uppercase(), &rows);
        }
        let name = format!("SIDES OF POCKET {} OF {}", number + 1, pockets.len());
        sinking.follow(&mut steps, &name, &round(pocket, machine.arcs, placement));
    }
    steps
}

/// How a way is followed level by level.
struct Sinking {
    floors: Vec<f64>,
    ramp_tan: f64,
    safe: f64,
}

impl Sinking {
    /// Down a ramp on the start of the way, which is straight, then all of it; at every level.
    fn follow(&self, steps: &mut Vec<Step>, name: &str, way: &[Segment]) {
        let Some(first) = way.first() else { return };
        steps.push(Step::Say(name.to_string()));
        let stroke = first.piece(0.0, (LONGEST_STROKE_MM / first.length()).min(1.0));
        let mut from = 0.0;
        for floor in &self.floors {
            steps.extend([Step::RapidXy(first.from()), Step::FeedZ(from)]);
            steps.extend(ramp(&stroke, from, *floor, self.ramp_tan));
            steps.extend(way.iter().map(|&segment| Step::Cut {
                segment,
                to_z: *floor,
                feed: FeedKind::Cut,
            }));
            steps.push(Step::RapidZ(self.safe));
            from = *floor;
        }
    }
}

/// Rows along a convex piece, to and fro, joined by straight lines that stay in it.
fn rows(cell: &Cell, step: f64) -> Vec<Segment> {
    let across = left_of(cell.along);
    let heights = cell.corners.iter().map(|p| across.dot(&p.coords));
    let (low, high) = heights
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), h| (low.min(h), high.max(h)));
    let (low, high) = (low + INSIDE_MM, high - INSIDE_MM);
    if high < low {
        return Vec::new();
    }
    let count = ((high - low) / step).ceil() as usize;
    let height =
        |i: usize| if count == 0 { low } else { high - (high - low) * i as f64 / count as f64 };
    let mut way: Vec<Segment> = Vec::new();
    for row in (0..=count)
        .filter_map(|i| row(cell, height(i)))
        .filter(|row| row.length() >= SHORTEST_ROW_MM)
    {
        let Some(at) = way.last().map(Segment::to) else {
            way.push(row);
            continue;
        };
        let nearer_end = (row.to() - at).norm() < (row.from() - at).norm();
        let row = if nearer_end { row.reversed() } else { row };
        way.extend([Segment::Line { from: at, to: row.from() }, row]);
    }
    way
}

/// The stretch of the line at one height that lies in a convex piece.
fn row(cell: &Cell, height: f64) -> Option<Segment> {
    let across = left_of(cell.along);
    let over = |p: &Point| across.dot(&p.coords) - height;
    let ends = cell.corners.iter().zip(cell.corners.iter().cycle().skip(1)).filter_map(|(a, b)| {
        let (from, to) = (over(a), over(b));
        ((from <= 0.0) != (to <= 0.0)).then(|| a + (b - a) * (from / (from - to)))
    });
    let mut ends: Vec<Point> = ends.collect();
    ends.sort_by(|a, b| cell.along.dot(&a.coords).total_cmp(&cell.along.dot(&b.coords)));
    Some(Segment::Line { from: *ends.first()?, to: *ends.last()? })
}

/// The way round, counter-clockwise: inside a pocket that is the climb direction of a clockwise
/// cutter. It starts in the middle of its longest straight side and goes on a little past its
/// start.
fn round(pocket: &PocketPath, arcs: Arcs, placement: &Placement) -> Vec<Segment> {
    let placed = pocket.contour.placed(placement);
    let mut edges: Vec<Edge<_>> = placed.edges().to_vec();
    let length = |edge: &Edge<_>| match edge.role {
        Follows::Along(_) => edge.segment.length(),
        Follows::Around(..) | Follows::Into(..) => 0.0,
    };
    let first = (0..edges.len()).max_by(|a, b| length(&edges[*a]).total_cmp(&length(&edges[*b])));
    let first = first.expect("a way round a pocket has edges");
    edges.rotate_left(first);
    let start = edges.remove(0).segment;
    let rest = edges.iter().flat_map(|edge| match arcs {
        Arcs::Taken => vec![edge.segment],
        Arcs::Chords(tolerance) => {
            chords_outside(edge, tolerance.as_mm()).iter().map(|e| e.segment).collect()
        }
    });
    let past = 0.5 + (OVERLAP_MM / start.length()).min(0.5);
    let mut way = vec![start.piece(0.5, 1.0)];
    way.extend(rest);
    way.extend([start.piece(0.0, 0.5), start.piece(0.5, past)]);
    way
}
