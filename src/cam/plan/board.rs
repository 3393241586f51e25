//! The steps on a board whose own edges are the part's: one open cut from the heel over the steps
//! to the head, begun and ended in the air beside the board; the offcuts stay tied.

use super::clamps::{ClampBox, FROM_CLAMP_MM, rectangle};
use super::program::{Draft, FeedKind, Layout, Program, Step, at_feed_of};
use super::round::Round;
use super::router::{finishing, pass_floors};
use super::tab_profile::TabProfile;
use super::tabs::{self, Keep, Tab, TabShape};
use crate::cam::compensate::ToolPath;
use crate::cam::mark::Hole;
use crate::check::{Lie, Room, StockBox};
use crate::diagnostics::codes::{self, LeadIn, NotTied, ToHold};
use crate::diagnostics::{Finding, Outcome, PRACTICE, Refusals, Warned};
use crate::geometry::remains::Remains;
use crate::geometry::{Bounds, Follows, Placement, Point, Segment, Vector};
use crate::job::Job;
use crate::profile::{Form, ProgramUnits, Router};
use crate::stair::outline::Role;
use crate::units::Length;
use std::collections::BTreeSet;

/// How far beside the board the cutter is let down, beyond its own radius, in mm.
const BESIDE_MM: f64 = 3.0;

/// What the tool needs beside the board, in mm.
pub(super) fn room_beside(job: &Job) -> f64 {
    let machine = &job.cut.machine;
    let wide = machine.tool_radius() * 2.0 + machine.arcs.overshoot() + machine.tool.allowance();
    wide.as_mm() + BESIDE_MM
}

/// What lies on the machine: of a board its blank, as wide as it was measured where its own edges
/// are the part's; a sheet as it is.
pub(super) fn blank(
    whole: StockBox,
    lie: Lie,
    part: Bounds,
    room: Room,
    (job, layout): (&Job, Layout),
) -> StockBox {
    if job.cut.material.form != Form::Board {
        return whole;
    }
    let along = Length::mm(part.width() + 2.0 * room.along);
    let across =
        |of_whole: Length| if layout == Layout::OwnEdges { job.board.width } else { of_whole };
    match lie {
        Lie::AlongX => {
            StockBox { length: along.min(whole.length), width: across(whole.width), ..whole }
        }
        Lie::AlongY => {
            StockBox { length: across(whole.length), width: along.min(whole.width), ..whole }
        }
    }
}

/// Every so far the path is looked at for the clamp zone, in mm.
const LOOK_MM: f64 = 2.0;
/// From height to height that the zone is tried at, in mm.
const HEIGHT_STEP_MM: f64 = 3.0;
/// A zone smaller than this holds no clamp, in mm: along the board, and up from its edge (common
/// practice, no source).
const LEAST_ZONE_MM: (f64, f64) = (75.0, 25.0);

/// Where on the piece a clamp may stand, as it lies on the machine: the largest rectangle on the
/// board's lower edge that the cutter stays off, in the board's frame its sides on the marks of a
/// tape; `None` where none is large enough.
pub(super) fn clamp_zone(
    path: &ToolPath,
    holes: &[Hole],
    units: ProgramUnits,
    placement: &Placement,
) -> Option<Bounds> {
    let keep = path.radius().as_mm() + FROM_CLAMP_MM + LOOK_MM / 2.0;
    let lower = path.piece().bounds().min.y;
    let cut =
        path.contour().edges().iter().filter(|edge| edge.role != Follows::Along(Role::LowerEdge));
    let mut points: Vec<Point> = cut.flat_map(|edge| looked_at(&edge.segment)).collect();
    points.extend(holes.iter().flat_map(around));
    points.sort_by(|a, b| a.x.total_cmp(&b.x));
    let most = points.iter().map(|p| p.y - lower).fold(0.0, f64::max);
    let heights = (1..).map(|i| f64::from(i) * HEIGHT_STEP_MM).take_while(|height| *height < most);
    let zone = |height: f64| {
        let (from, to) =
            widest_gap(points.iter().filter(|p| p.y - keep < lower + height).map(|p| p.x))?;
        Some(Bounds {
            min: Point::new(from + keep, lower),
            max: Point::new(to - keep, lower + height),
        })
    };
    let zones = heights.filter_map(zone).map(|zone| on_marks(zone, lower, units));
    let fit =
        zones.filter(|zone| zone.width() >= LEAST_ZONE_MM.0 && zone.height() >= LEAST_ZONE_MM.1);
    let largest = fit.max_by(|a, b| (a.width() * a.height()).total_cmp(&(b.width() * b.height())));
    largest.map(|zone| zone.placed(placement))
}

/// The corners of the box round a hole, as if the tool's middle went there: it stays inside.
fn around(hole: &Hole) -> [Point; 4] {
    let (at, out) = (hole.center, hole.radius.as_mm());
    [(-out, -out), (out, -out), (out, out), (-out, out)].map(|(x, y)| at + Vector::new(x, y))
}

fn looked_at(segment: &Segment) -> Vec<Point> {
    let count = (segment.length() / LOOK_MM).ceil().max(1.0) as usize;
    (0..=count).map(|i| segment.point_at(i as f64 / count as f64)).collect()
}

/// The widest gap between two of these, which ascend.
fn widest_gap(places: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    let (mut before, mut widest): (Option<f64>, Option<(f64, f64)>) = (None, None);
    for place in places {
        let gap = (before.unwrap_or(place), place);
        if widest.is_none_or(|(from, to)| gap.1 - gap.0 > to - from) {
            widest = Some(gap);
        }
        before = Some(place);
    }
    widest
}

/// Drawn in to whole sixteenths or millimetres.
fn on_marks(zone: Bounds, lower: f64, units: ProgramUnits) -> Bounds {
    let mark = match units {
        ProgramUnits::Inches => units.in_mm() / 16.0,
        ProgramUnits::Millimetres => 1.0,
    };
    let down = |mm: f64| (mm / mark + 1e-9).floor() * mark;
    let left = (zone.min.x / mark - 1e-9).ceil() * mark;
    Bounds {
        min: Point::new(left, lower),
        max: Point::new(down(zone.max.x), lower + down(zone.max.y - lower)),
    }
}

/// A refusal where no clamp stands on the piece itself and all stand on one offcut: the tab of that
/// offcut alone would hold the whole piece.
pub(super) fn hung_on_one_offcut(
    path: &ToolPath,
    program: &Program,
    clamps: &[ClampBox],
) -> Option<Finding> {
    let zone = program.clamp_zone?;
    let placement = program.placement();
    let ring: Vec<Segment> =
        path.piece().placed(&placement).edges().iter().map(|edge| edge.segment).collect();
    let ways: Vec<Segment> =
        path.contour().placed(&placement).edges().iter().map(|edge| edge.segment).collect();
    let stock = program.stock;
    let plate =
        Bounds { min: Point::origin(), max: Point::new(stock.length.as_mm(), stock.width.as_mm()) };
    let Some(remains) = Remains::of(plate, &ways, path.radius().as_mm()) else {
        let found = codes::PieceLoose { why: NotTied::NotFollowed, remedy: ToHold::FewerPieces };
        return Some(found.at("the part").source(PRACTICE));
    };
    let parts = remains.parts();
    let own = parts.within(&ring);
    let held: BTreeSet<usize> = clamps.iter().flat_map(|clamp| parts.under(clamp.place)).collect();
    let by_one = held.len() == 1 && held.first().copied() != own;
    by_one.then(|| {
        let remedy = ToHold::ClampOnPieceOrOffcuts(rectangle(zone));
        codes::PieceLoose { why: NotTied::OneOffcut, remedy }.at("the part").source(PRACTICE)
    })
}

/// One open round from the air beside the board into it again.
struct Lane<'a> {
    round: &'a Round,
    tabs: &'a [Tab],
    /// From the board's edge into the air.
    outward: Vector,
}

impl Lane<'_> {
    /// In and out.
    fn ways(&self) -> [Segment; 2] {
        let (start, end) = (self.round.start(), self.round.end());
        [
            Segment::Line { from: start + self.outward, to: start },
            Segment::Line { from: end, to: end + self.outward },
        ]
    }

    /// One pass at a floor over its tabs, in a material of a thickness in mm.
    fn pass(&self, floor: f64, (shape, thickness): (TabShape, f64)) -> Vec<Step> {
        let straight = |segment| Step::Cut { segment, to_z: floor, feed: FeedKind::Cut };
        let [way_in, way_out] = self.ways();
        let profile = TabProfile::new(self.tabs, shape, thickness);
        let mut steps = vec![Step::RapidXy(way_in.from()), Step::FeedZ(floor), straight(way_in)];
        steps.extend(profile.once_round(self.round, floor));
        steps.push(straight(way_out));
        steps
    }
}

/// The steps for one part.
///
/// # Errors
/// A refusal if the piece has no edge on the board's own.
pub(super) fn draft(
    job: &Job,
    router: &Router,
    path: &ToolPath,
    placement: &Placement,
) -> Outcome<Draft> {
    let safe = job.cut.machine.safe_height.as_mm();
    let no_back = || Refusals::from(codes::NoLeadRoom { how: LeadIn::OwnEdge }.at("path"));
    let open =
        |path: &ToolPath| Round::open(path, placement, job.cut.machine.arcs).ok_or_else(no_back);
    let round = open(path)?;
    let rough = path.rough().map(|rough| open(&rough)).transpose()?;
    let outward = placement.rotation * Vector::new(0.0, -BESIDE_MM);
    let thickness = job.cut.material.thickness.as_mm();
    let cutter = 2.0 * path.radius().as_mm();
    let shape = TabShape::new(thickness, cutter, router);
    let tabs = match job.cut.machine.tool.ties() {
        true => tabs::place_on_offcuts(&round, shape, cutter),
        false => Vec::new(),
    };
    let keep = Keep { end: 0.0, zones: &[], is_clear: &|_| true };
    let tabs = tabs::eased(tabs, &round, shape, cutter, &keep);
    let floors = pass_floors(thickness + router.below().as_mm(), router.pass_depth.as_mm());
    let floor = floors[floors.len() - 1];
    let count = floors.len() + usize::from(rough.is_some());
    let on_line = Lane { round: &round, tabs: &tabs, outward };
    let beside = rough.as_ref().map_or_else(Vec::new, |rough| tabs::beside(&tabs, rough));
    let off_line = rough.as_ref().map(|round| Lane { round, tabs: &beside, outward });
    let mut steps = vec![Step::RapidZ(safe), Step::ToolOn];
    for (number, floor) in floors.iter().enumerate() {
        let begun = steps.len();
        steps.push(Step::Say(format!("PASS {} OF {count}", number + 1)));
        steps.extend(off_line.as_ref().unwrap_or(&on_line).pass(*floor, (shape, thickness)));
        steps.push(Step::RapidZ(safe));
        if number + 1 == floors.len() {
            at_feed_of(FeedKind::LastPass, &mut steps[begun..]);
        }
    }
    if off_line.is_some() {
        let begun = steps.len();
        steps.push(Step::Say(finishing(count)));
        steps.extend(on_line.pass(floor, (shape, thickness)));
        steps.push(Step::RapidZ(safe));
        at_feed_of(FeedKind::Finish, &mut steps[begun..]);
    }
    steps.extend([Step::ToolOff, Step::RapidXy(Point::origin())]);
    let leads = on_line.ways().to_vec();
    let off_ways = off_line.iter().flat_map(Lane::ways);
    let ways = leads.iter().copied().chain(off_ways).collect();
    Ok(Warned::plain(Draft { steps, tabs, leads, ways }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;

    #[test]
    fn a_hole_takes_the_box_round_it() {
        let hole = Hole { center: Point::new(40.0, 30.0), radius: Length::mm(5.0) };
        let corners = around(&hole);
        let taken = Bounds::around(corners.iter().copied()).unwrap();
        assert_eq!((taken.min, taken.max), (Point::new(35.0, 25.0), Point::new(45.0, 35.0)));
        let all = [(35.0, 25.0), (45.0, 25.0), (45.0, 35.0), (35.0, 35.0)];
        assert!(all.iter().all(|(x, y)| corners.contains(&Point::new(*x, *y))), "{corners:?}");
    }
}
