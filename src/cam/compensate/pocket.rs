//! The line that the tool's centre follows round the inside of a pocket, and what is left to clear
//! within it.

use std::fmt::Display;

use super::ally;
use super::tool_path::interference;
use crate::diagnostics::codes::{self, Clash};
use crate::diagnostics::{Finding, Millimetres, Refusals};
use crate::geometry::tolerance::CUTTER_CLEARANCE_MM;
use crate::geometry::{
    Contour, Corner, Edge, Follows, Placement, Point, Segment, Turn, Vector, corners,
    distance_to_segment, left_of,
};
use crate::job::{Corners, Housed, Job};
use crate::stair::outline::{Cell, Outline, Pocket, PocketRole, Role};
use crate::units::Length;

/// What a piece of the way round a pocket does.
pub type PocketWay = Follows<PocketRole>;

/// What the clearing leaves at the sides for the way round, in mm (common practice, no source).
const FINISH_MM: f64 = 0.3;
/// Rounding of a distance that is exact on paper, in mm.
const ROUNDING_MM: f64 = 1e-7;

/// How the tool goes through one pocket, in the board frame.
#[derive(Clone, Debug)]
pub struct PocketPath {
    /// The closed way of the tool's centre along the sides, counter-clockwise; reliefs are walked
    /// out and back.
    pub contour: Contour<PocketWay>,
    /// Convex pieces in which the tool's centre may go anywhere, a finishing cut off the sides.
    pub cells: Vec<Cell>,
    /// Depth of the pocket.
    pub depth: Length,
}

/// The ways through the pockets of an outline.
///
/// # Errors
/// The refusals, if the tool does not fit.
pub(super) fn pockets(job: &Job, outline: &Outline) -> Result<Vec<PocketPath>, Refusals> {
    let Some(housed) = job.stringer.housed() else { return Ok(Vec::new()) };
    let narrow = narrow(job, housed);
    if !narrow.is_empty() {
        return Err(narrow.into());
    }
    let radius = job.cut.machine.tool_radius().as_mm();
    let maker = Maker { board: outline.contour(), choice: job.cut.corners, radius };
    outline.pockets().iter().map(|pocket| maker.path(pocket, &outline.to_board())).collect()
}

/// A pocket is wide enough by rule, never by what an offset returns.
fn narrow(job: &Job, housed: &Housed) -> Vec<Finding> {
    let needed = job.cut.machine.tool_radius() * 2.0 + Length::mm(CUTTER_CLEARANCE_MM);
    let pockets =
        [("tread pockets", job.tread.thickness), ("riser pockets", job.tread.riser_board)];
    let given = pockets.into_iter().filter(|(_, board)| *board > Length::ZERO);
    let widths = given.map(|(place, board)| (place, board + housed.clearance));
    let finding = |(place, width): (&str, Length)| {
        codes::PocketNarrow { measured: width, limit: needed }.at(place)
    };
    widths.filter(|(_, width)| *width < needed).map(finding).collect()
}

struct Maker<'a> {
    board: &'a Contour<Role>,
    choice: Corners,
    radius: f64,
}

impl Maker<'_> {
    fn path(&self, pocket: &Pocket, to_board: &Placement) -> Result<PocketPath, Refusals> {
        let (parallel, contour) = self.round(&pocket.contour)?;
        if let Some(clash) = ally::disagreement(&pocket.contour, &parallel, -self.radius) {
            return Err(interference("pocket", clash));
        }
        let overlaps =
            [self.overlaps(&pocket.contour), self.breakthroughs(&pocket.contour)].concat();
        if !overlaps.is_empty() {
            return Err(overlaps.into());
        }
        let cells = pocket
            .placed(to_board)
            .cells
            .into_iter()
            .filter_map(|cell| self.cleared(cell))
            .collect();
        Ok(PocketPath { contour: contour.placed(to_board), cells, depth: pocket.depth })
    }

    /// The parallel inside a pocket: lines at the radius, sharp at its corners, arcs round the wood
    /// that stands into it; and the same with reliefs.
    fn round(
        &self,
        pocket: &Contour<PocketRole>,
    ) -> Result<(Contour<PocketWay>, Contour<PocketWay>), Refusals> {
        let corners = corners(pocket);
        let (mut parallel, mut relieved) = (Vec::new(), Vec::new());
        for (i, corner) in corners.iter().enumerate() {
            let next = &corners[(i + 1) % corners.len()];
            let start = if corner.is_inside() {
                let (from, to) = self.arc_ends(corner);
                let segment = Segment::Arc { from, to, center: corner.at, turn: Turn::Right };
                let edge = Edge { segment, role: Follows::Around(corner.before, corner.after) };
                parallel.push(edge);
                relieved.push(edge);
                to
            } else {
                let start = corner.mitre(-self.radius);
                relieved.extend(self.spur(corner, start));
                start
            };
            let end =
                if next.is_inside() { self.arc_ends(next).0 } else { next.mitre(-self.radius) };
            if (end - start).dot(&(next.at - corner.at)) <= 0.0 {
                return Err(interference(corner.after.to_string(), Clash::NoRoom));
            }
            let line = Edge {
                segment: Segment::Line { from: start, to: end },
                role: Follows::Along(corner.after),
            };
            parallel.push(line);
            relieved.push(line);
        }
        let contour = |edges| Contour::new(edges).map_err(|_| interference("pocket", Clash::Open));
        let parallel: Contour<PocketWay> = contour(parallel)?;
        self.keeps_off(pocket, &parallel)?;
        Ok((parallel, contour(relieved)?))
    }

    fn arc_ends(&self, corner: &Corner<PocketRole>) -> (Point, Point) {
        (
            corner.at - corner.normal_before * self.radius,
            corner.at - corner.normal_after * self.radius,
        )
    }

    /// The parallel keeps its distance from far sides too.
    fn keeps_off(
        &self,
        pocket: &Contour<PocketRole>,
        parallel: &Contour<PocketWay>,
    ) -> Result<(), Refusals> {
        for side in pocket.edges() {
            for way in parallel.edges() {
                let ends = [way.segment.from(), way.segment.point_at(0.5)]
                    .map(|p| distance_to_segment(p, &side.segment));
                let back = distance_to_segment(side.segment.from(), &way.segment);
                let least = ends.into_iter().fold(back, f64::min);
                if least < self.radius - ROUNDING_MM {
                    let clash = Clash::Near(Millimetres(least), Millimetres(self.radius));
                    return Err(interference(side.role.to_string(), clash));
                }
            }
        }
        Ok(())
    }

    /// Where the tool's centre walks out to, so that the sharp corner V of a pocket is cleared
    /// exactly: V + R b along the bisector, V + R n of the level side into the upright one, V + R n
    /// of the upright side into the level one.
    fn reach(&self, corner: &Corner<PocketRole>) -> Option<Point> {
        let (upright, level) = if corner.before.is_upright() {
            (corner.normal_before, corner.normal_after)
        } else {
            (corner.normal_after, corner.normal_before)
        };
        match self.choice {
            Corners::Fillet => None,
            Corners::Bisector => Some(corner.at - corner.bisector() * self.radius),
            Corners::Riser => Some(corner.at - level * self.radius),
            Corners::Tread => Some(corner.at - upright * self.radius),
        }
    }

    fn spur(&self, corner: &Corner<PocketRole>, from: Point) -> Vec<Edge<PocketWay>> {
        let Some(to) = self.reach(corner) else { return Vec::new() };
        let out = Segment::Line { from, to };
        let role = Follows::Into(corner.before, corner.after);
        vec![Edge { segment: out, role }, Edge { segment: out.reversed(), role }]
    }

    /// How much of a side the round or the relief at one of its ends takes; a is the corner's
    /// angle, h its half. In a sharper corner than a square one the way out cuts farther than where
    /// it turns back.
    fn mouth(&self, corner: &Corner<PocketRole>, side: PocketRole) -> f64 {
        let angle = std::f64::consts::PI - corner.turn_rad;
        let (half, is_sharp) = (angle / 2.0, angle < std::f64::consts::FRAC_PI_2);
        let bite = if is_sharp { 2.0 / angle.sin() } else { 2.0 * angle.sin() };
        self.radius
            * match self.choice {
                _ if corner.is_inside() => 0.0,
                Corners::Fillet => 1.0 / half.tan(),
                Corners::Bisector if is_sharp => 1.0 / half.sin(),
                Corners::Bisector => 2.0 * half.cos(),
                Corners::Riser if side.is_upright() => bite,
                Corners::Tread if !side.is_upright() => bite,
                Corners::Riser | Corners::Tread => 0.0,
            }
    }

    fn overlaps(&self, pocket: &Contour<PocketRole>) -> Vec<Finding> {
        let corners = corners(pocket);
        let ends = corners.iter().zip(corners.iter().cycle().skip(1));
        let too_short = |(a, b): (&Corner<PocketRole>, &Corner<PocketRole>)| {
            let (taken, length) =
                (self.mouth(a, a.after) + self.mouth(b, a.after), (b.at - a.at).norm());
            let found =
                codes::ReliefOverlap { measured: Length::mm(taken), limit: Length::mm(length) };
            (taken >= length).then(|| found.at(a.after.to_string()))
        };
        ends.filter_map(too_short).collect()
    }

    /// Refusals for reliefs that reach through the wood behind them, to another side or to an edge
    /// of the board.
    fn breakthroughs(&self, pocket: &Contour<PocketRole>) -> Vec<Finding> {
        let corners = corners(pocket);
        let mut findings = Vec::new();
        for corner in &corners {
            let Some(center) = self.reach(corner).filter(|_| !corner.is_inside()) else { continue };
            let touches = |segment: &Segment| {
                (segment.from() - corner.at).norm().min((segment.to() - corner.at).norm())
            };
            let sides =
                pocket.edges().iter().map(|edge| (edge.segment, &edge.role as &dyn Display));
            let others = sides.filter(|(side, _)| touches(side) > ROUNDING_MM);
            let board =
                self.board.edges().iter().map(|edge| (edge.segment, &edge.role as &dyn Display));
            let distances =
                others.chain(board).map(|(s, role)| (distance_to_segment(center, &s), role));
            let Some((distance, role)) = distances.min_by(|a, b| a.0.total_cmp(&b.0)) else {
                continue;
            };
            if distance < self.radius + CUTTER_CLEARANCE_MM {
                let measured = Length::mm(distance - self.radius).max(Length::ZERO);
                let found = codes::ReliefBreakthrough { measured, behind: role.to_string() };
                findings.push(found.at(corner.after.to_string()));
            }
        }
        findings
    }

    /// What the tool's centre may sweep of a convex piece: every side moved in by the radius and a
    /// finishing cut.
    fn cleared(&self, cell: Cell) -> Option<Cell> {
        let by = self.radius + FINISH_MM;
        let count = cell.corners.len();
        let mut left = cell.corners.clone();
        for i in 0..count {
            let (from, to) = (cell.corners[i], cell.corners[(i + 1) % count]);
            let inward = left_of((to - from).normalize());
            left = clipped(&left, from + inward * by, inward);
        }
        (left.len() >= 3).then_some(Cell { corners: left, ..cell })
    }
}

/// What of a convex polygon lies on the side of `inward` of the line through `on`.
fn clipped(corners: &[Point], on: Point, inward: Vector) -> Vec<Point> {
    let height = |p: &Point| (p - on).dot(&inward);
    let mut kept = Vec::with_capacity(corners.len() + 1);
    for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
        let (from, to) = (height(a), height(b));
        if from >= 0.0 {
            kept.push(*a);
        }
        if (from > 0.0 && to < 0.0) || (from < 0.0 && to > 0.0) {
            kept.push(a + (b - a) * (from / (from - to)));
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A corner at the origin with this angle: the level side leaves along +x, the upright one
    /// arrives.
    fn corner(angle: f64) -> Corner<PocketRole> {
        Corner {
            at: Point::origin(),
            turn_rad: std::f64::consts::PI - angle,
            normal_before: Vector::new(-angle.sin(), angle.cos()),
            normal_after: Vector::new(0.0, -1.0),
            before: PocketRole::RiserFace(1),
            after: PocketRole::TreadTop(1),
        }
    }

    /// How far along a side, out of the corner, the disc that walks from where it touches both
    /// sides to `to` cuts into the wood behind the side, by trying every place.
    fn tried(radius: f64, angle: f64, to: Point, along: Vector, out: Vector) -> f64 {
        let from = Point::from(
            Vector::new((angle / 2.0).cos(), (angle / 2.0).sin()) * radius / (angle / 2.0).sin(),
        );
        let walk = Segment::Line { from, to };
        let places = (0..40_000).map(|i| f64::from(i) * radius / 10_000.0);
        let cut = |t: &f64| {
            distance_to_segment(Point::from(along * *t + out * 1e-6), &walk) < radius - 1e-9
        };
        places.rev().find(cut).unwrap_or(0.0)
    }

    #[test]
    fn a_relief_takes_of_a_side_what_its_disc_cuts() {
        let vertices =
            [(0.0, 0.0), (9.0, 0.0), (0.0, 9.0)].map(|(x, y)| (Point::new(x, y), Role::Tread(1)));
        let board = Contour::polygon(&vertices).unwrap();
        let radius = 3.0;
        for degrees in [60.0_f64, 75.0, 90.0, 105.0, 120.0] {
            let angle = degrees.to_radians();
            let corner = corner(angle);
            let level = (Vector::new(1.0, 0.0), corner.normal_after, corner.after);
            let upright =
                (Vector::new(angle.cos(), angle.sin()), corner.normal_before, corner.before);
            for choice in [Corners::Bisector, Corners::Riser, Corners::Tread] {
                let maker = Maker { board: &board, choice, radius };
                let to = maker.reach(&corner).unwrap();
                for (along, out, side) in [level, upright] {
                    let (taken, tried) =
                        (maker.mouth(&corner, side), tried(radius, angle, to, along, out));
                    assert!(
                        (taken - tried).abs() < 0.01,
                        "{choice:?} {degrees} {side}: {taken} {tried}"
                    );
                }
            }
            let round = Maker { board: &board, choice: Corners::Fillet, radius };
            let touches = radius / (angle / 2.0).tan();
            assert!((round.mouth(&corner, corner.after) - touches).abs() < 1e-9, "{degrees}");
        }
    }
}
