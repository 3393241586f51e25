//! Where a round may begin: on straight edges whose waste is free for the tool, or on the path
//! itself.

use super::around::{Around, has_room};
use super::{Sheet, Tooled};
use crate::cam::compensate::{PathRole, ToolPath};
use crate::cam::plan::chords::followed;
use crate::cam::plan::laser;
use crate::cam::plan::lead::Lead;
use crate::cam::plan::round::{Round, clockwise};
use crate::cam::plan::router::{Depth, Entry, LONGEST_STROKE_MM, Rough};
use crate::geometry::{Edge, Follows, Placement, Point, Segment};
use crate::profile::Arcs;
use crate::stair::outline::Role;

/// A round with its way in.
pub(super) enum Begin {
    /// Of a cutter.
    Cutter {
        /// The round.
        round: Round,
        /// The way in.
        entry: Entry,
        /// The round of the passes that stay off the line, where some do.
        rough: Option<Box<Rough>>,
        /// How deep it goes.
        depth: Depth,
    },
    /// Of a beam.
    Beam {
        /// The round.
        round: Round,
        /// The way in.
        lead: Lead,
    },
}

/// The most beginnings of one piece that are looked at further.
const MOST: usize = 8;
/// What a look from point to point along a way may miss of it, in mm: far below what the proof
/// allows.
const MISSED_MM: f64 = 1e-3;

impl Begin {
    /// The round.
    pub(super) fn round(&self) -> &Round {
        match self {
            Self::Cutter { round, .. } | Self::Beam { round, .. } => round,
        }
    }

    /// The round, and the one beside it of the passes that stay off the line.
    pub(super) fn rounds(&self) -> impl Iterator<Item = &Round> {
        let rough = match self {
            Self::Cutter { rough, .. } => rough.as_deref(),
            Self::Beam { .. } => None,
        };
        [self.round()].into_iter().chain(rough.map(|rough| &rough.round))
    }

    /// Where the tool comes down or lights.
    pub(super) fn enter(&self) -> Point {
        match self {
            Self::Cutter { rough: Some(rough), .. } => rough.point(),
            Self::Cutter { entry, .. } => entry.point(),
            Self::Beam { lead, .. } => lead.entry,
        }
    }

    /// Where it lifts or goes dark.
    pub(super) fn leave(&self) -> Point {
        match self {
            Self::Cutter { entry, .. } => entry.leaves(),
            Self::Beam { round, .. } => round.start() + round.direction() * laser::OVERRUN_MM,
        }
    }
}

/// Every beginning of a piece, the ones that keep its corners and its ends out of the way first;
/// none where the tool finds no room.
pub(super) fn begins(
    sheet: &Sheet<'_>,
    kind: &Tooled,
    placement: &Placement,
    around: &Around<'_>,
) -> Vec<Begin> {
    let edges = clockwise(&kind.path, placement);
    let rough = kind.path.rough();
    let off_line = rough.as_ref().map(|path| OffLine { path, placement });
    let radius = sheet.machine.tool_radius().as_mm();
    let mut found: Vec<(usize, Begin)> = Vec::new();
    for (i, edge) in edges.iter().enumerate() {
        let Some(rank) = rank(edge, sheet) else { continue };
        for (order, behind) in starts(edge.segment.length(), radius, sheet).into_iter().enumerate()
        {
            let round = Round::starting(edges.clone(), i, behind, sheet.machine.arcs);
            let rank = rank + order * early(edge, sheet);
            found.extend(
                begin(sheet, round, off_line.as_ref(), around)
                    .map(|begin| (rank + begin.rank(), begin)),
            );
        }
    }
    // A place on the waste's side of the outer edges first; the order among equals is that of the
    // path.
    found.sort_by_key(|(rank, _)| *rank);
    let best = found.first().map_or(0, |(rank, _)| *rank);
    found.retain(|(rank, _)| *rank < best + WORSE);
    thinned(found.into_iter().map(|(_, begin)| begin).collect())
}

/// Ranks this much above the best are not looked at.
const WORSE: usize = 10;

/// Evenly picked, so that all sides stay in the choice.
fn thinned(begins: Vec<Begin>) -> Vec<Begin> {
    let count = begins.len();
    let keep = |i: usize| count <= MOST || (i * MOST) / count != ((i + 1) * MOST) / count;
    begins.into_iter().enumerate().filter(|(i, _)| keep(*i)).map(|(_, begin)| begin).collect()
}

/// How much worse a start is the earlier it lies on its edge: a round that starts late on the back
/// comes to the rest of it last, so that the tabs there hold until the end. A beam has no tabs.
fn early(edge: &Edge<PathRole>, sheet: &Sheet<'_>) -> usize {
    let is_back = edge.role == Follows::Along(Role::LowerEdge);
    if is_back && sheet.machine.tool.pushes() { WORSE } else { 0 }
}

/// The back before the ends before the rest. From the head on the steps would come last, after the
/// back: only where there is no other start for a tool that pushes.
fn rank(edge: &Edge<PathRole>, sheet: &Sheet<'_>) -> Option<usize> {
    match (edge.role, &edge.segment) {
        (Follows::Along(role), Segment::Line { .. }) if role.is_shown() => Some(20),
        (
            Follows::Along(Role::LowerEdge | Role::Strap | Role::PieceSide(_)),
            Segment::Line { .. },
        ) => Some(0),
        (Follows::Along(Role::HeadCut), Segment::Line { .. }) => {
            Some(if sheet.machine.tool.pushes() { 3 + WORSE } else { 3 })
        }
        (Follows::Along(Role::SeatCut), Segment::Line { .. }) => Some(3),
        (Follows::Along(Role::Tread(_) | Role::Riser(_) | Role::Joint), Segment::Line { .. }) => {
            Some(20)
        }
        _ => None,
    }
}

/// Where on an edge of a length the round may start: near both ends and in the middle, the last
/// first, with room for the ramp behind.
fn starts(length: f64, radius: f64, sheet: &Sheet<'_>) -> Vec<f64> {
    let tool = &sheet.machine.tool;
    let room = if tool.lifts() { radius + LONGEST_STROKE_MM } else { tool.lead().as_mm() };
    if length < 2.5 * room {
        vec![room.min(length / 2.0)]
    } else {
        vec![length - room, length / 2.0, room]
    }
}

/// The path of the passes that stay off the line, and where it lies.
struct OffLine<'a> {
    path: &'a ToolPath,
    placement: &'a Placement,
}

impl OffLine<'_> {
    fn beside(&self, round: &Round, entry: &Entry, arcs: Arcs) -> Option<Rough> {
        Rough::beside(self.path, self.placement, (round, entry), arcs)
    }
}

fn begin(
    sheet: &Sheet<'_>,
    round: Round,
    off_line: Option<&OffLine<'_>>,
    around: &Around<'_>,
) -> Option<Begin> {
    let (tool, radius) = (&sheet.machine.tool, sheet.machine.tool_radius().as_mm());
    // What a roughing cutter leaves of every piece is no waste.
    let own = radius + tool.leaves().as_mm();
    let Some(depth) = Depth::of(tool, sheet.material.thickness) else {
        let lead = Lead::new(&round, tool.lead().as_mm(), laser::OVERRUN_MM);
        return way_is_free(&lead.way_in, radius, around).then_some(Begin::Beam { round, lead });
    };
    let with_rough = |entry: Entry| match off_line {
        Some(off_line) => {
            let rough = off_line.beside(&round, &entry, sheet.machine.arcs)?;
            Some((entry, Some(rough)))
        }
        None => Some((entry, None)),
    };
    // Of another piece nothing is taken but by its own passes: not of its allowance either.
    let clear = radius + tool.allowance().as_mm();
    let is_free = |(entry, rough): &(Entry, Option<Rough>)| {
        let rough = rough.iter().flat_map(|rough| rough.ways(entry));
        entry.ways().into_iter().all(|way| way_is_free(&way, own, around))
            && rough.into_iter().all(|way| way_is_free(&way, clear, around))
    };
    let beside = Entry::beside(&round, radius).and_then(with_rough).filter(is_free);
    let (entry, rough) = beside.or_else(|| Entry::on_path(&round).and_then(with_rough))?;
    Some(Begin::Cutter { round, entry, rough: rough.map(Box::new), depth })
}

impl Begin {
    /// A ramp on the path is the last choice on an edge.
    fn rank(&self) -> usize {
        match self {
            Self::Cutter { entry: Entry::OnPath { .. }, .. } => 5,
            _ => 0,
        }
    }
}

/// Whether the tool cuts nothing but waste along a way, its ends on the path included.
fn way_is_free(way: &Segment, radius: f64, around: &Around<'_>) -> bool {
    followed(way, around.machine().arcs).iter().all(|part| part_is_free(part, radius, around))
}

fn part_is_free(part: &Segment, radius: f64, around: &Around<'_>) -> bool {
    has_room(part, (radius, MISSED_MM), |p| around.room(p, radius))
}
