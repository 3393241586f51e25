//! One round of the tool about the piece: the path clockwise in the stock frame, from a start on a
//! straight edge.

use super::chords::chords_outside;
use crate::cam::compensate::{PathRole, ToolPath};
use crate::geometry::{
    Bounds, Edge, Follows, Placement, Point, Segment, Vector, is_inside, left_of,
};
use crate::profile::Arcs;
use crate::stair::outline::Role;

/// The path of one round. Climb direction: clockwise, the piece on the right of a clockwise cutter
/// (common practice, no source).
pub(super) struct Round {
    edges: Vec<Edge<PathRole>>,
    /// Distance along the round at which each edge starts, and the whole length last.
    starts: Vec<f64>,
    /// How far the start lies behind the start of its straight edge.
    behind: f64,
}

impl Round {
    /// The round of a tool path placed on the stock, starting `lead_room` before the end of the
    /// best edge to start on, or in the middle of a shorter one. Arcs become chords outside the
    /// piece where the machine asks for it.
    pub(super) fn new(
        path: &ToolPath,
        placement: &Placement,
        arcs: Arcs,
        lead_room: f64,
    ) -> Option<Self> {
        let edges = clockwise(path, placement);
        let first = (0..edges.len())
            .max_by(|a, b| start_rank(&edges[*a]).total_cmp(&start_rank(&edges[*b])))?;
        // Late on its edge: the last pass then comes to the rest of it last, and the tabs there
        // hold until the end.
        let length = edges[first].segment.length();
        let behind = (length - lead_room).max(length / 2.0);
        Some(Self::starting(edges, first, behind, arcs))
    }

    /// The round of clockwise `edges` starting `behind` along one of them, which is straight and
    /// longer than that.
    pub(super) fn starting(
        mut edges: Vec<Edge<PathRole>>,
        first: usize,
        behind: f64,
        arcs: Arcs,
    ) -> Self {
        edges.rotate_left(first);
        let start_edge = edges.remove(0);
        let split = behind / start_edge.segment.length();
        let part =
            |from, to| Edge { segment: start_edge.segment.piece(from, to), role: start_edge.role };
        edges.insert(0, part(split, 1.0));
        edges.push(part(0.0, split));
        Self::of_edges(edges, behind, arcs)
    }

    /// The round of a path beside another round, which starts nearest to where that one does.
    pub(super) fn beside(edges: Vec<Edge<PathRole>>, arcs: Arcs, start: Point) -> Option<Self> {
        let foot = |(i, edge): (usize, &Edge<PathRole>)| {
            let (Follows::Along(_), Segment::Line { from, to }) = (edge.role, edge.segment) else {
                return None;
            };
            let length = (to - from).norm();
            let behind = (start - from).dot(&(to - from)) / length.max(SHORTEST_MM);
            let off = (from + (to - from) * (behind / length.max(SHORTEST_MM)) - start).norm();
            (SHORTEST_MM < behind && behind < length - SHORTEST_MM).then_some((off, i, behind))
        };
        let nearest = edges.iter().enumerate().filter_map(foot).min_by(|a, b| a.0.total_cmp(&b.0));
        let (_, first, behind) = nearest?;
        Some(Self::starting(edges, first, behind, arcs))
    }

    /// The part of the path that does not run along the piece's lower edge, from its heel over the
    /// steps to its head; `None` where the piece has no lower edge.
    pub(super) fn open(path: &ToolPath, placement: &Placement, arcs: Arcs) -> Option<Self> {
        let mut edges = clockwise(path, placement);
        let back = edges.iter().position(|edge| edge.role == Follows::Along(Role::LowerEdge))?;
        edges.rotate_left(back);
        edges.remove(0);
        Some(Self::of_edges(edges, 0.0, arcs))
    }

    /// The whole path, from the start of the piece's lower edge; `None` where the piece has no
    /// lower edge.
    pub(super) fn from_back(path: &ToolPath, placement: &Placement, arcs: Arcs) -> Option<Self> {
        let mut edges = clockwise(path, placement);
        let back = edges.iter().position(|edge| edge.role == Follows::Along(Role::LowerEdge))?;
        edges.rotate_left(back);
        Some(Self::of_edges(edges, 0.0, arcs))
    }

    fn of_edges(mut edges: Vec<Edge<PathRole>>, behind: f64, arcs: Arcs) -> Self {
        if let Arcs::Chords(tolerance) = arcs {
            edges = edges.iter().flat_map(|edge| chords_outside(edge, tolerance.as_mm())).collect();
        }
        let mut starts = vec![0.0];
        for edge in &edges {
            starts.push(starts[starts.len() - 1] + edge.segment.length());
        }
        Self { edges, starts, behind }
    }

    /// Where the round starts; it ends there too unless it is open.
    pub(super) fn start(&self) -> Point {
        self.edges[0].segment.from()
    }

    /// Where the round ends.
    pub(super) fn end(&self) -> Point {
        self.edges[self.edges.len() - 1].segment.to()
    }

    /// The direction of travel at the start.
    pub(super) fn direction(&self) -> Vector {
        self.edges[0].segment.direction_at(0.0)
    }

    /// The direction into the waste at the start.
    pub(super) fn waste_side(&self) -> Vector {
        left_of(self.direction())
    }

    /// How much of the straight edge lies behind the start.
    pub(super) fn straight_behind(&self) -> f64 {
        self.behind
    }

    /// How much of the straight edge lies ahead of the start.
    pub(super) fn straight_ahead(&self) -> f64 {
        self.edges[0].segment.length()
    }

    /// Length of the whole round.
    pub(super) fn length(&self) -> f64 {
        self.starts[self.edges.len()]
    }

    /// Its box.
    pub(super) fn bounds(&self) -> Bounds {
        let boxes = self.edges.iter().map(|edge| edge.segment.bounds());
        boxes.reduce(Bounds::joined).expect("a round has an edge")
    }

    /// Whether a point lies inside, told by its turns; arcs count as their chords.
    pub(super) fn holds(&self, p: Point) -> bool {
        is_inside(p, self.edges.iter().map(|edge| (edge.segment.from(), edge.segment.to())))
    }

    /// The point of its straight edges along the piece that is nearest to `p`, how far along it
    /// lies, and on what edge.
    pub(super) fn foot(&self, p: Point) -> Option<(Point, f64, Role)> {
        let on = |(start, edge): (f64, &Edge<PathRole>)| {
            let (Follows::Along(role), Segment::Line { from, to }) = (edge.role, edge.segment)
            else {
                return None;
            };
            let length = (to - from).norm();
            let along = ((p - from).dot(&(to - from)) / length.max(SHORTEST_MM)).clamp(0.0, length);
            let at = from + (to - from) * (along / length.max(SHORTEST_MM));
            Some(((at - p).norm(), (at, start + along, role)))
        };
        self.edges().filter_map(on).min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, foot)| foot)
    }

    /// Whether the way from `p` to the round at a distance along it is square to it, to within
    /// `off` mm.
    pub(super) fn is_square(&self, p: Point, along: f64, off: f64) -> bool {
        let on = self
            .edges()
            .find(|(start, edge)| (*start..=start + edge.segment.length()).contains(&along));
        on.is_some_and(|(start, edge)| {
            let share = ((along - start) / edge.segment.length()).clamp(0.0, 1.0);
            (p - edge.segment.point_at(share)).dot(&edge.segment.direction_at(share)).abs() <= off
        })
    }

    /// The edges with the distance along the round at which each starts.
    pub(super) fn edges(&self) -> impl Iterator<Item = (f64, &Edge<PathRole>)> {
        self.starts.iter().copied().zip(self.edges.iter())
    }

    /// The path from `from` to `to` along the round, cut at every one of `breaks`; each piece with
    /// the distance at its end.
    pub(super) fn pieces(&self, from: f64, to: f64, breaks: &[f64]) -> Vec<(Segment, f64)> {
        let mut pieces = Vec::new();
        for (start, edge) in self.edges() {
            let length = edge.segment.length();
            let (low, high) = (start.max(from), (start + length).min(to));
            if high - low <= SHORTEST_MM {
                continue;
            }
            let inner = breaks
                .iter()
                .copied()
                .filter(|b| *b > low + SHORTEST_MM && *b < high - SHORTEST_MM);
            let mut ends: Vec<f64> = inner.chain([high]).collect();
            ends.sort_by(f64::total_cmp);
            let mut at = low;
            for end in ends {
                let share = |s: f64| ((s - start) / length).clamp(0.0, 1.0);
                pieces.push((edge.segment.piece(share(at), share(end)), end));
                at = end;
            }
        }
        pieces
    }
}

/// The edges of a tool path placed on the stock, clockwise.
pub(super) fn clockwise(path: &ToolPath, placement: &Placement) -> Vec<Edge<PathRole>> {
    let placed = path.contour().placed(placement);
    placed
        .edges()
        .iter()
        .rev()
        .map(|e| Edge { segment: e.segment.reversed(), role: e.role })
        .collect()
}

/// A shorter piece than this is no move: a fraction of a program's last digit.
const SHORTEST_MM: f64 = 1e-6;

/// How good an edge is to start on: straight, along the back before the ends before the rest, the
/// longer the better.
fn start_rank(edge: &Edge<PathRole>) -> f64 {
    let weight = match edge.role {
        Follows::Along(role) if role.is_shown() => 0.1,
        Follows::Along(Role::LowerEdge) => 3.0,
        Follows::Along(Role::HeadCut | Role::SeatCut | Role::Strap | Role::PieceSide(_)) => 1.0,
        Follows::Along(Role::Tread(_) | Role::Riser(_)) => 0.2,
        _ => 0.0,
    };
    weight * edge.segment.length()
}
