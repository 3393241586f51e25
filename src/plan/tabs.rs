//! Where the part stays tied to the waste: on long straight edges, away from corners and bearings.
//!
//! Defaults are common practice, no source.

use super::round::Round;
use crate::compensate::PathRole;
use crate::geometry::{Edge, Follows, Point, Segment};
use crate::outline::Role;
use crate::units::Length;

/// One tab.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tab {
    /// Its middle on the tool's path, in the stock frame.
    pub at: Point,
    /// Length of the boundary that stays uncut, in mm.
    pub length_mm: f64,
    /// Height of the wood left, in mm.
    pub height_mm: f64,
    /// Its middle as a distance along the round.
    pub along_mm: f64,
    /// The edge it stands on.
    pub role: Role,
}

/// Wood left at the neck of a tab, where both sides' cuts are closest.
const NECK_IN: f64 = 0.375;
/// The greatest distance between tabs on one edge.
const SPACING_IN: f64 = 18.0;
/// A tab keeps this and a cutter from any corner.
const FROM_CORNER_IN: f64 = 0.5;
/// The fewest tabs that hold a part.
pub(super) const FEWEST: usize = 3;
/// The least distance between the middles of two tabs, in footprints.
const LEAST_STEP: f64 = 1.25;
/// Run over rise of the slope up to a tab and down from it.
const SLOPE: f64 = 2.0;

/// The sizes that every tab of a program shares, in mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct TabShape {
    /// Height above the material's bottom.
    pub height: f64,
    /// Length along which the tool runs level above the tab.
    pub level: f64,
    /// How far the last pass goes below the material.
    cut_through: f64,
}

impl TabShape {
    /// For a thickness, cutter diameter and cut-through in mm: a quarter inch high within a quarter and a half of the
    /// thickness.
    pub fn new(thickness: f64, cutter: f64, cut_through: f64) -> TabShape {
        let height = Length::inches(0.25).as_mm().clamp(thickness / 4.0, thickness / 2.0);
        TabShape { height, level: Length::inches(NECK_IN).as_mm() + cutter, cut_through }
    }

    /// Length of the slope from height `z` (from the material's top) up to the tab.
    pub fn slope(self, lift: f64) -> f64 {
        lift * SLOPE
    }

    /// Boundary left uncut: the level part and what lies above the bottom on the two slopes.
    pub fn uncut(self) -> f64 {
        self.level + 2.0 * self.slope(self.height)
    }

    /// Room a tab takes on the path in the last pass.
    pub fn footprint(self) -> f64 {
        self.level + 2.0 * self.slope(self.height + self.cut_through)
    }
}

/// A stretch of the round where tabs may stand.
#[derive(Clone, Copy)]
struct Stretch {
    from: f64,
    to: f64,
    segment: Segment,
    edge_start: f64,
    role: Role,
}

/// From one place that is looked at to the next, in mm.
const LOOK_MM: f64 = 6.0;

impl Stretch {
    fn point_at(&self, along: f64) -> Point {
        self.segment.point_at((along - self.edge_start) / self.segment.length())
    }

    /// What is left of it where both ends and the middle of a tab's footprint are held.
    fn held(&self, footprint: f64, holds: &dyn Fn(Point) -> bool) -> Vec<Stretch> {
        let steps = ((self.to - self.from) / LOOK_MM).ceil().max(1.0) as usize;
        let at = |i: usize| self.from + (self.to - self.from) * i as f64 / steps as f64;
        let held = |along: f64| [-0.5, 0.0, 0.5].iter().all(|share| holds(self.point_at(along + share * footprint)));
        let mut runs: Vec<Stretch> = Vec::new();
        let mut open = false;
        for i in 0..=steps {
            let along = at(i);
            let is_held = held(along);
            match (is_held, open, runs.last_mut()) {
                (true, true, Some(run)) => run.to = along,
                (true, ..) => runs.push(Stretch { from: along, to: along, ..*self }),
                (false, ..) => {}
            }
            open = is_held;
        }
        runs
    }
}

/// The tabs of a round: the back first, then the ends, then treads and risers only if nothing else is left; at least
/// three where there is room. Nothing within `keep_clear` of the start, before it and after it, nor where nothing `holds` a
/// tab at that point of the path.
pub(super) fn place(
    round: &Round,
    shape: TabShape,
    cutter: f64,
    keep_clear: (f64, f64),
    holds: &dyn Fn(Point) -> bool,
) -> Vec<Tab> {
    let from_corner = Length::inches(FROM_CORNER_IN).as_mm() + cutter;
    let mut tabs: Vec<Tab> = Vec::new();
    for rank in [0, 1, 2] {
        let all = stretches(round, rank, shape.footprint(), from_corner, keep_clear);
        let mut stretches: Vec<Stretch> =
            all.iter().flat_map(|stretch| stretch.held(shape.footprint(), holds)).collect();
        stretches.sort_by(|a, b| (b.to - b.from).total_cmp(&(a.to - a.from)));
        // The longest stretches first, so that few tabs stand far apart.
        let total: f64 = stretches.iter().map(|s| s.to - s.from).sum();
        for stretch in stretches {
            let missing = FEWEST.saturating_sub(tabs.len());
            if rank > 0 && missing == 0 {
                break;
            }
            let share = (stretch.to - stretch.from) / total.max(1.0);
            let wanted = (missing as f64 * share)
                .ceil()
                .max(((stretch.to - stretch.from) / Length::inches(SPACING_IN).as_mm()).ceil());
            tabs.extend(spread(&stretch, shape, wanted as usize));
        }
    }
    tabs.sort_by(|a, b| a.along_mm.total_cmp(&b.along_mm));
    tabs
}

/// The tabs of an open round on a board: one for each offcut that would come loose, on the riser below each notch, on the
/// seat and on the top plumb cut; and the places that have no room for theirs.
pub(super) fn place_on_offcuts(round: &Round, shape: TabShape, cutter: f64) -> (Vec<Tab>, Vec<String>) {
    let from_corner = Length::inches(FROM_CORNER_IN).as_mm() + cutter;
    let (mut tabs, mut loose) = (Vec::new(), Vec::new());
    for (start, edge) in round.edges() {
        let role = match edge.role {
            // Riser 1 borders the same offcut as the seat; a notch for the plate may leave the seat too short.
            Follows::Along(role @ (Role::SeatCut | Role::HeadCut)) => role,
            Follows::Along(role @ Role::Riser(k)) if k > 1 => role,
            _ => continue,
        };
        let (length, need) = (edge.segment.length(), shape.footprint() + 2.0 * from_corner);
        if length >= need {
            let middle = Stretch {
                from: start + length / 2.0,
                to: start + length / 2.0,
                segment: edge.segment,
                edge_start: start,
                role,
            };
            tabs.extend(spread(&middle, shape, 1));
        } else {
            loose.push(role);
        }
    }
    let tied = |role: &Role| tabs.iter().any(|tab: &Tab| tab.role == *role);
    (tabs.clone(), loose.into_iter().filter(|role| !tied(role)).map(|role| role.to_string()).collect())
}

/// The tabs without those that reach into a zone (from, to along the round), each moved out of it along its own edge where
/// there is room, else left out.
pub(super) fn clear_of(tabs: Vec<Tab>, round: &Round, shape: TabShape, cutter: f64, zones: &[(f64, f64)]) -> Vec<Tab> {
    let (half, from_corner) = (shape.footprint() / 2.0, Length::inches(FROM_CORNER_IN).as_mm() + cutter);
    let blocked = |along: f64| zones.iter().find(|(from, to)| along > from - half && along < to + half);
    let mut kept: Vec<Tab> = Vec::new();
    for tab in &tabs {
        let Some((from, to)) = blocked(tab.along_mm) else {
            kept.push(*tab);
            continue;
        };
        let on =
            |(start, edge): &(f64, &Edge<PathRole>)| (*start..start + edge.segment.length()).contains(&tab.along_mm);
        let Some((start, edge)) = round.edges().find(on) else { continue };
        let free = |along: &f64| {
            let on_edge =
                along - half >= start + from_corner && along + half <= start + edge.segment.length() - from_corner;
            let near = |other: &Tab| (other.along_mm - along).abs() < LEAST_STEP * shape.footprint();
            let others = tabs.iter().filter(|other| blocked(other.along_mm).is_none());
            on_edge && blocked(*along).is_none() && !kept.iter().chain(others).any(near)
        };
        let mut places = [from - half, to + half];
        places.sort_by(|a, b| (a - tab.along_mm).abs().total_cmp(&(b - tab.along_mm).abs()));
        if let Some(along_mm) = places.into_iter().find(free) {
            let at = edge.segment.point_at((along_mm - start) / edge.segment.length());
            kept.push(Tab { at, along_mm, ..*tab });
        }
    }
    kept.sort_by(|a, b| a.along_mm.total_cmp(&b.along_mm));
    kept
}

fn rank_of(edge: &Edge<PathRole>) -> Option<(usize, Role)> {
    match (edge.role, &edge.segment) {
        (Follows::Along(role), Segment::Line { .. }) => match role {
            Role::LowerEdge | Role::UpperEdge => Some((0, role)),
            Role::HeadCut | Role::SeatCut | Role::FootCut => Some((1, role)),
            Role::Tread(_) | Role::Riser(_) => Some((2, role)),
            Role::Strap => Some((1, role)),
            Role::PlateNotch | Role::Joint => None,
        },
        _ => None,
    }
}

/// The stretches of one rank in which the middle of a tab may lie, longest first.
fn stretches(round: &Round, rank: usize, footprint: f64, from_corner: f64, keep_clear: (f64, f64)) -> Vec<Stretch> {
    let mut found = Vec::new();
    for (start, edge) in round.edges() {
        let Some((of_rank, role)) = rank_of(edge) else { continue };
        let end = start + edge.segment.length();
        let from = (start + from_corner).max(keep_clear.1) + footprint / 2.0;
        let to = (end - from_corner).min(round.length() - keep_clear.0) - footprint / 2.0;
        if of_rank == rank && to >= from {
            found.push(Stretch { from, to, segment: edge.segment, edge_start: start, role });
        }
    }
    found
}

/// Every place of a round where the middle of a tab may stand, `step` mm from one to the next, both ends of each stretch
/// among them: the back first, then the ends, then treads and risers.
pub(super) fn spots(round: &Round, shape: TabShape, cutter: f64, keep_clear: (f64, f64), step: f64) -> Vec<Tab> {
    let from_corner = Length::inches(FROM_CORNER_IN).as_mm() + cutter;
    let in_rank = |rank| stretches(round, rank, shape.footprint(), from_corner, keep_clear);
    let along = |stretch: Stretch| {
        let count = ((stretch.to - stretch.from) / step).ceil().max(1.0) as usize;
        (0..=count)
            .map(move |i| tab(&stretch, shape, stretch.from + (stretch.to - stretch.from) * i as f64 / count as f64))
    };
    [0, 1, 2].into_iter().flat_map(in_rank).flat_map(along).collect()
}

fn tab(stretch: &Stretch, shape: TabShape, along_mm: f64) -> Tab {
    Tab {
        at: stretch.point_at(along_mm),
        length_mm: shape.uncut(),
        height_mm: shape.height,
        along_mm,
        role: stretch.role,
    }
}

/// Up to `wanted` tabs evenly over a stretch, a footprint apart at least.
fn spread(stretch: &Stretch, shape: TabShape, wanted: usize) -> Vec<Tab> {
    let room = stretch.to - stretch.from;
    let most = (room / (LEAST_STEP * shape.footprint())) as usize;
    let count = wanted.clamp(1, most.max(1));
    let step = room / count as f64;
    (0..count).map(|i| tab(stretch, shape, stretch.from + step * (i as f64 + 0.5))).collect()
}
