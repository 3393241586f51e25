//! Where the path is broken between two set-ups: in the middle of a tread and on the lower edge.

use super::Shifts;
use crate::cam::compensate::{PathRole, ToolPath};
use crate::cam::plan::round::Round;
use crate::geometry::{Edge, Follows, Placement, Point, Segment};
use crate::profile::Arcs;
use crate::stair::outline::Role;

/// The longest stroke of a ramp, and the shortest worth ramping on, in mm.
const LONGEST_STROKE_MM: f64 = 50.0;
const SHORTEST_STROKE_MM: f64 = 5.0;

/// The breaks between one set-up and the next, as distances along the round.
#[derive(Clone, Copy, Debug)]
pub(super) struct Break {
    /// In the middle of a tread.
    pub steps: f64,
    /// On the lower edge.
    pub back: f64,
}

/// The round, begun where the lower edge does, and its breaks from the foot to the head.
pub(super) struct Breaks {
    pub round: Round,
    /// The round of the passes that stay off the line by the finishing allowance, where some do.
    pub off_line: Option<Round>,
    pub overlap: f64,
    pub breaks: Vec<Break>,
}

/// One stretch of the round that one set-up cuts; it may end beyond the round's own end.
#[derive(Clone, Copy, Debug)]
pub(super) struct Chain {
    pub from: f64,
    pub to: f64,
}

impl Breaks {
    /// The breaks nearest to the middle of what two set-ups share, each section going on `overlap`
    /// beyond them; `None` where there is no such place.
    pub(super) fn find(
        path: &ToolPath,
        placement: &Placement,
        arcs: Arcs,
        shifts: &Shifts,
        overlap: f64,
    ) -> Option<Self> {
        let round = Round::from_back(path, placement, arcs)?;
        let off_line = match path.rough() {
            Some(rough) => Some(Round::from_back(&rough, placement, arcs)?),
            None => None,
        };
        let (_, back) = round.edges().next()?;
        let back = back.segment;
        let treads: Vec<(f64, Edge<PathRole>)> = round
            .edges()
            .filter(|(_, edge)| matches!(edge.role, Follows::Along(Role::Tread(_))))
            .filter(|(_, edge)| edge.segment.length() / 2.0 >= overlap + SHORTEST_STROKE_MM)
            .map(|(start, edge)| (start, *edge))
            .collect();
        let one = |k: usize| {
            let (low, high) = shifts.shared(k);
            let middle = (low + high) / 2.0;
            let inside = |at: f64| at >= low + overlap && at <= high - overlap;
            let off = |edge: &Edge<PathRole>| {
                (shifts.axis.along(edge.segment.point_at(0.5)) - middle).abs()
            };
            let free = treads
                .iter()
                .filter(|(_, edge)| inside(shifts.axis.along(edge.segment.point_at(0.5))));
            let (start, edge) = free.min_by(|a, b| off(&a.1).total_cmp(&off(&b.1)))?;
            let at = shifts.axis.along(edge.segment.point_at(0.5));
            let steps = start + edge.segment.length() / 2.0;
            Some(Break { steps, back: on_back(&back, shifts, at, (low, high), overlap)? })
        };
        let breaks = (0..shifts.count - 1).map(one).collect::<Option<Vec<Break>>>()?;
        let in_order = breaks
            .windows(2)
            .all(|pair| pair[0].steps < pair[1].steps && pair[0].back > pair[1].back);
        in_order.then_some(Self { round, off_line, overlap, breaks })
    }

    /// What each set-up cuts, in order; the round runs over the steps from the foot to the head and
    /// back along the lower edge.
    pub(super) fn chains(&self) -> Vec<Vec<Chain>> {
        let (round, overlap) = (self.round.length(), self.overlap);
        let from = |at: f64| at - overlap;
        let to = |at: f64| at + overlap;
        let last = self.breaks.len();
        let section = |k: usize| match (
            k.checked_sub(1).map(|before| self.breaks[before]),
            self.breaks.get(k),
        ) {
            (None, Some(next)) => vec![Chain { from: from(next.back), to: to(next.steps) }],
            (Some(before), Some(next)) => vec![
                Chain { from: from(before.steps), to: to(next.steps) },
                Chain { from: from(next.back), to: to(before.back) },
            ],
            (Some(before), None) => {
                vec![Chain { from: from(before.steps), to: round + to(before.back) }]
            }
            (None, None) => vec![Chain { from: 0.0, to: round }],
        };
        (0..=last).map(section).collect()
    }

    /// Where no tab may stand: sections overlap there and ramps go down.
    pub(super) fn zones(&self) -> Vec<(f64, f64)> {
        let zone = |at: f64| (at - self.overlap, at + self.overlap.max(LONGEST_STROKE_MM));
        self.breaks.iter().flat_map(|b| [zone(b.steps), zone(b.back)]).collect()
    }

    /// The same stretch of the round off the line, its ends square to those of a chain; `None`
    /// where no pass stays off it.
    pub(super) fn beside(&self, chain: &Chain) -> Option<(&Round, Chain)> {
        let off_line = self.off_line.as_ref()?;
        let whole = self.round.length();
        let foot = |along: f64| {
            let at = stroke(&self.round, along % whole).from();
            let (_, beside, _) = off_line.foot(at).expect("a chain ends on straight edges");
            // A chain that ends beyond the round's end does so here too.
            if along > whole { beside + off_line.length() } else { beside }
        };
        Some((off_line, Chain { from: foot(chain.from), to: foot(chain.to) }))
    }
}

/// The straight stroke on which a chain that begins at a distance along its round goes down.
pub(super) fn stroke(round: &Round, from: f64) -> Segment {
    let on = |(start, edge): &(f64, &Edge<PathRole>)| {
        *start <= from + 1e-9 && from < start + edge.segment.length()
    };
    let line = |from: Point, to: Point| Segment::Line { from, to };
    let (start, edge) = round.edges().find(on).expect("a chain begins on an edge of its round");
    let length = edge.segment.length();
    let share = (from - start) / length;
    let end = ((from - start + LONGEST_STROKE_MM) / length).min(1.0);
    line(edge.segment.point_at(share), edge.segment.point_at(end))
}

/// The break on the lower edge, as near to `at` as its ends and the set-ups allow.
fn on_back(
    back: &Segment,
    shifts: &Shifts,
    at: f64,
    shared: (f64, f64),
    overlap: f64,
) -> Option<f64> {
    // The round runs from the head's end of the lower edge to the foot's.
    let (head, foot) = (shifts.axis.along(back.from()), shifts.axis.along(back.to()));
    let clear = overlap + LONGEST_STROKE_MM;
    let (low, high) =
        ((shared.0 + overlap).max(foot + clear), (shared.1 - overlap).min(head - clear));
    if low > high {
        return None;
    }
    let share = (head - at.clamp(low, high)) / (head - foot);
    Some(share * back.length())
}
