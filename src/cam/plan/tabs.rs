//! Where the part stays tied to the waste: on long straight edges, away from corners and bearings.
//!
//! Defaults are common practice, no source.

use super::round::Round;
use super::span::spanning;
use crate::cam::compensate::PathRole;
use crate::geometry::{Edge, Follows, Point, Segment, Vector, left_of};
use crate::profile::{Router, TabEnds};
use crate::stair::outline::Role;
use crate::units::Length;

/// One tab.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tab {
    /// The middle of the boundary that stays uncut, on the tool's path, in the stock frame.
    pub at: Point,
    /// Length of the boundary that stays uncut, in mm.
    pub length_mm: f64,
    /// Height of the wood left, in mm.
    pub height_mm: f64,
    /// Length along which the tool runs level above it, in mm.
    pub level_mm: f64,
    /// The middle of its top, where it stands at its full height, on the tool's path.
    pub top: Point,
    /// The same as a distance along the round.
    pub along_mm: f64,
    /// Length of the way down behind it, from its top to the material's bottom, in mm.
    pub down_mm: f64,
    /// How the cutter goes down behind it.
    pub down: Down,
    /// The edge it stands on.
    pub role: Role,
}

impl Tab {
    /// A tab without a ramp behind it, its middle at a point so far along the round.
    pub(super) fn steep(at: Point, along_mm: f64, role: Role, shape: TabShape) -> Self {
        Self {
            at,
            length_mm: shape.uncut(),
            height_mm: shape.height,
            level_mm: shape.level,
            top: at,
            along_mm,
            down_mm: shape.slope(shape.height),
            down: shape.steep(),
            role,
        }
    }
}

/// How a cutter goes down behind a tab.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Down {
    /// No steeper than the ramp's angle, at the feed on the way in.
    Ramp,
    /// Steeper, or straight down, at the feed straight down: its edge has no room for a ramp, or
    /// its ends are square.
    Plunge,
}

/// Height of a tab.
const USUAL_HEIGHT_IN: f64 = 0.25;
/// Wood left at the neck of a tab, where both sides' cuts are closest.
const NECK_IN: f64 = 0.375;
/// The greatest distance between tabs on one edge.
pub(super) const SPACING_IN: f64 = 18.0;
/// A tab keeps this and a cutter from any corner.
const FROM_CORNER_IN: f64 = 0.5;
/// The fewest tabs that hold a part.
pub(super) const FEWEST: usize = 3;
/// The least distance between the middles of two tabs, in footprints.
const LEAST_STEP: f64 = 1.25;
/// Run over rise of the slope up to a tab, and of the one down from it where no ramp has room.
const SLOPE: f64 = 2.0;

/// The sizes that every tab of a program shares, in mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct TabShape {
    /// Height above the material's bottom.
    pub height: f64,
    /// Length along which the tool runs level above the tab.
    pub level: f64,
    /// How many a piece is asked to have.
    pub count: Option<usize>,
    /// Run over rise of the slope up to a tab and of a steep one down from it; 0 of a tab with
    /// square ends.
    run: f64,
    /// Run over rise of the ramp's angle.
    ramp: f64,
    /// How far the last pass goes below the material.
    below: f64,
}

impl TabShape {
    /// For a thickness and a cutter's diameter in mm, as the job asks for them; a quarter inch high
    /// within a quarter and a half of the thickness where it does not.
    pub(super) fn new(thickness: f64, cutter: f64, router: &Router) -> Self {
        let asked = router.hold.tabs().unwrap_or_default();
        let usual = Length::inches(USUAL_HEIGHT_IN).as_mm();
        let usual = usual.clamp(thickness / 4.0, thickness / 2.0);
        Self {
            height: asked.height.map_or(usual, Length::as_mm),
            // Longer where another cutter makes it as it is asked for.
            level: (asked.width.unwrap_or(Length::inches(NECK_IN)) + router.leaves * 2.0).as_mm()
                + cutter,
            count: asked.count,
            run: match asked.shape {
                TabEnds::Flanks => SLOPE,
                TabEnds::Square => 0.0,
            },
            ramp: 1.0 / router.ramp_deg.to_radians().tan(),
            below: router.below().as_mm(),
        }
    }

    /// How the cutter goes down behind a tab that no ramp has found room at.
    fn steep(self) -> Down {
        if self.run >= self.ramp { Down::Ramp } else { Down::Plunge }
    }

    /// How far apart the tabs of a piece stand at least, and how many it is asked to have.
    pub(super) fn asked(self) -> (f64, Option<usize>) {
        (self.apart(), self.count)
    }

    /// Whether its ends are square.
    pub(super) fn is_square(self) -> bool {
        self.run <= 0.0
    }

    /// Length of the slope that rises by `lift` up to a tab.
    pub(super) fn slope(self, lift: f64) -> f64 {
        lift * self.run
    }

    /// Length of the slope that falls by `lift` behind a tab.
    pub(super) fn slope_down(self, lift: f64, tab: &Tab) -> f64 {
        lift * tab.down_mm / self.height
    }

    /// Boundary left uncut: the level part and what lies above the bottom on the two slopes.
    pub(super) fn uncut(self) -> f64 {
        self.level + 2.0 * self.slope(self.height)
    }

    /// Room a tab takes on the path in the last pass.
    pub(super) fn footprint(self) -> f64 {
        self.level + 2.0 * self.slope(self.height + self.below)
    }

    /// The shortest straight edge of a path that has room for a tab, with a cutter of a diameter in
    /// mm.
    pub(super) fn edge(self, cutter: f64) -> f64 {
        self.footprint() + 2.0 * from_corner(cutter)
    }

    /// The least distance between the middles of two tabs of one round, in mm: what stays between
    /// them is cut through.
    pub(super) fn apart(self) -> f64 {
        LEAST_STEP * self.footprint()
    }
}

/// An edge of the round where tabs may stand.
#[derive(Clone, Copy)]
struct Stretch {
    segment: Segment,
    edge_start: f64,
    role: Role,
}

impl Stretch {
    fn point_at(&self, along: f64) -> Point {
        self.segment.point_at((along - self.edge_start) / self.segment.length())
    }
}

/// A place where the middle of a tab may stand.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    /// The tab.
    pub tab: Tab,
    /// How unwelcome it is there: 0 on a back, 1 on an end, 2 on a riser, 3 on a tread.
    pub rank: usize,
    /// The direction of the cut there, of length 1; the waste lies to its left.
    pub ahead: Vector,
}

impl Spot {
    /// The point of the tool's path that far from its middle, in mm.
    pub(super) fn beside(&self, along_mm: f64) -> Point {
        self.tab.at + self.ahead * along_mm
    }

    /// The direction into the waste.
    pub(super) fn out(&self) -> Vector {
        left_of(self.ahead)
    }
}

/// The ranks of [`Spot::rank`].
pub(super) const RANKS: usize = 4;
/// From one place that is looked at to the next, in mm.
pub(super) const LOOK_MM: f64 = 10.0;

/// The tabs of a round whose piece has its centre of area there: see [`super::span::spanning`].
/// Nothing within `keep_clear` of the start, before it and after it.
pub(super) fn place(
    round: &Round,
    shape: TabShape,
    cutter: f64,
    keep_clear: (f64, f64),
    center: Point,
) -> Vec<Tab> {
    let spots = spots(round, shape, cutter, keep_clear);
    spanning(&spots, &[], shape.asked(), center)
}

/// The tabs of an open round on a board: one for each offcut that would come loose, on the riser
/// below each notch, else on the tread, on the seat, else on the first riser, and on the top plumb
/// cut, else in the notch below it.
pub(super) fn place_on_offcuts(round: &Round, shape: TabShape, cutter: f64) -> Vec<Tab> {
    let middle = |role: Role| {
        let edges = round.edges().filter(|(_, edge)| edge.role == Follows::Along(role));
        let (start, edge) =
            edges.max_by(|a, b| a.1.segment.length().total_cmp(&b.1.segment.length()))?;
        let along = start + edge.segment.length() / 2.0;
        let has_room = edge.segment.length() >= shape.edge(cutter);
        let middle = Stretch { segment: edge.segment, edge_start: start, role };
        has_room.then(|| tab(&middle, shape, along))
    };
    let steps = round.edges().filter_map(|(_, edge)| match edge.role {
        Follows::Along(Role::Riser(k)) if k > 1 => Some(k),
        _ => None,
    });
    let notches = steps.collect::<std::collections::BTreeSet<_>>().into_iter();
    let mut tabs: Vec<Tab> = notches
        .filter_map(|k| middle(Role::Riser(k)).or_else(|| middle(Role::Tread(k - 1))))
        .collect();
    let foot = || middle(Role::Riser(1)).or_else(|| middle(Role::FootCut));
    tabs.extend(middle(Role::SeatCut).or_else(foot));
    let head = || middle(Role::HeadNotch).or_else(|| middle(Role::HeadLevel));
    tabs.extend(middle(Role::HeadCut).or_else(head));
    tabs.sort_by(|a, b| a.along_mm.total_cmp(&b.along_mm));
    tabs
}

fn from_corner(cutter: f64) -> f64 {
    Length::inches(FROM_CORNER_IN).as_mm() + cutter
}

/// The tabs without those that reach into a zone (from, to along the round), each moved out of it
/// along its own edge where there is room, else left out.
pub(super) fn clear_of(
    tabs: Vec<Tab>,
    round: &Round,
    shape: TabShape,
    cutter: f64,
    zones: &[(f64, f64)],
) -> Vec<Tab> {
    let (half, from_corner) = (shape.footprint() / 2.0, from_corner(cutter));
    let blocked =
        |along: f64| zones.iter().find(|(from, to)| along > from - half && along < to + half);
    let mut kept: Vec<Tab> = Vec::new();
    for tab in &tabs {
        let Some((from, to)) = blocked(tab.along_mm) else {
            kept.push(*tab);
            continue;
        };
        let on = |(start, edge): &(f64, &Edge<PathRole>)| {
            (*start..start + edge.segment.length()).contains(&tab.along_mm)
        };
        let (start, edge) = round.edges().find(on).expect("a tab stands on an edge of its round");
        let free = |along: &f64| {
            let on_edge = along - half >= start + from_corner
                && along + half <= start + edge.segment.length() - from_corner;
            let near = |other: &Tab| (other.along_mm - along).abs() < shape.apart();
            let others = tabs.iter().filter(|other| blocked(other.along_mm).is_none());
            on_edge && blocked(*along).is_none() && !kept.iter().chain(others).any(near)
        };
        let mut places = [from - half, to + half];
        places.sort_by(|a, b| (a - tab.along_mm).abs().total_cmp(&(b - tab.along_mm).abs()));
        if let Some(along_mm) = places.into_iter().find(free) {
            let at = edge.segment.point_at((along_mm - start) / edge.segment.length());
            kept.push(Tab { at, top: at, along_mm, ..*tab });
        }
    }
    kept.sort_by(|a, b| a.along_mm.total_cmp(&b.along_mm));
    kept
}

/// The same tabs as a round beside theirs passes over them.
pub(super) fn beside(tabs: &[Tab], round: &Round) -> Vec<Tab> {
    let beside = |tab: &Tab| {
        let (top, along_mm, _) = round.foot(tab.top)?;
        Some(Tab { top, at: tab.at + (top - tab.top), along_mm, ..*tab })
    };
    tabs.iter().filter_map(beside).collect()
}

/// The same tabs as another cutter leaves them on a round of its own, each with a ramp behind it
/// where they have one; in the order of that round.
pub(super) fn again(tabs: &[Tab], round: &Round, shape: TabShape) -> Vec<Tab> {
    let on_round = |tab: &Tab| {
        let (at, along_mm, role) = round.foot(tab.top)?;
        let steep = Tab::steep(at, along_mm, role, shape);
        let behind: Vector = tab.at - tab.top;
        if behind.norm() <= EVEN_MM {
            return Some(steep);
        }
        let down_mm = shape.ramp * shape.height;
        let (before, after) = (shape.uncut() / 2.0, shape.level / 2.0 + down_mm);
        let at = at + behind.normalize() * ((after - before) / 2.0);
        Some(Tab { at, length_mm: before + after, down_mm, down: Down::Ramp, ..steep })
    };
    let mut own: Vec<Tab> = tabs.iter().filter_map(on_round).collect();
    own.sort_by(|a, b| a.along_mm.total_cmp(&b.along_mm));
    own
}

/// A tab whose middle is this near to that of its top is alike on both sides, in mm.
const EVEN_MM: f64 = 1e-6;

fn rank_of(edge: &Edge<PathRole>) -> Option<(usize, Role)> {
    match (edge.role, &edge.segment) {
        (Follows::Along(role), Segment::Line { .. }) => match role {
            Role::LowerEdge | Role::UpperEdge => Some((0, role)),
            Role::PieceSide(_) if role.is_shown() => Some((3, role)),
            Role::HeadCut
            | Role::HeadLevel
            | Role::SeatCut
            | Role::FootCut
            | Role::Strap
            | Role::PieceSide(_) => Some((1, role)),
            Role::Riser(_) => Some((2, role)),
            Role::Tread(_) => Some((3, role)),
            Role::PlateNotch | Role::HeadNotch | Role::Joint | Role::TestSide(_) => None,
        },
        _ => None,
    }
}

/// Every place of a round where the middle of a tab may stand, a look apart, both ends of each
/// stretch among them; by rank, then along the round. Nothing within `keep_clear` of the start,
/// before it and after it.
pub(super) fn spots(
    round: &Round,
    shape: TabShape,
    cutter: f64,
    keep_clear: (f64, f64),
) -> Vec<Spot> {
    let (half, from_corner) = (shape.footprint() / 2.0, from_corner(cutter));
    let mut found = Vec::new();
    for (edge_start, edge) in round.edges() {
        let Some((rank, role)) = rank_of(edge) else { continue };
        let end = edge_start + edge.segment.length();
        let from = (edge_start + from_corner).max(keep_clear.1) + half;
        let to = (end - from_corner).min(round.length() - keep_clear.0) - half;
        if to < from {
            continue;
        }
        let stretch = Stretch { segment: edge.segment, edge_start, role };
        let count = ((to - from) / LOOK_MM).ceil().max(1.0);
        let ahead = edge.segment.direction_at(0.0);
        let at = |i: usize| tab(&stretch, shape, from + (to - from) * i as f64 / count);
        found.extend((0..=count as usize).map(|i| Spot { tab: at(i), rank, ahead }));
    }
    found.sort_by_key(|spot| spot.rank);
    found
}

/// What ways down behind tabs keep from, beside corners and other tabs.
pub(super) struct Keep<'a> {
    /// Before the end of the round, in mm.
    pub end: f64,
    /// Stretches of the round, from and to.
    pub zones: &'a [(f64, f64)],
    /// Whether no other cut comes near to a way along the path.
    pub is_clear: &'a dyn Fn(&Segment) -> bool,
}

/// The tabs of a round, in its order, each with a way down behind it as flat as a ramp where its
/// edge has room for that.
pub(super) fn eased(
    tabs: Vec<Tab>,
    round: &Round,
    shape: TabShape,
    cutter: f64,
    keep: &Keep<'_>,
) -> Vec<Tab> {
    if shape.steep() == Down::Ramp || shape.is_square() {
        return tabs;
    }
    let next = |i: usize| tabs.get(i + 1).map_or(f64::INFINITY, |tab| tab.along_mm);
    let ends = (0..tabs.len()).map(|i| {
        // Between two tabs as much is cut through as between two that stand as near as can be.
        next(i) + shape.footprint() / 2.0 - shape.apart()
    });
    let ends: Vec<f64> = ends.collect();
    tabs.into_iter()
        .zip(ends)
        .map(|(tab, end)| ramped(tab, end, round, (shape, cutter), keep))
        .collect()
}

/// A tab with a ramp behind it, if that ends before `end` along the round and on its edge.
fn ramped(
    tab: Tab,
    end: f64,
    round: &Round,
    (shape, cutter): (TabShape, f64),
    keep: &Keep<'_>,
) -> Tab {
    let on = |(start, edge): &(f64, &Edge<PathRole>)| {
        (*start..start + edge.segment.length()).contains(&tab.along_mm)
    };
    let Some((start, edge)) = round.edges().find(on) else { return tab };
    let edge_end = start + edge.segment.length();
    let from = tab.along_mm + shape.level / 2.0;
    let to = from + shape.ramp * (shape.height + shape.below);
    let most = end.min(edge_end - from_corner(cutter)).min(round.length() - keep.end);
    let is_free = |(low, high): &(f64, f64)| to <= *low || *high <= from;
    let at = |along: f64| edge.segment.point_at((along - start) / edge.segment.length());
    let down = || Segment::Line { from: at(from), to: at(to) };
    if to > most || !keep.zones.iter().all(is_free) || !(keep.is_clear)(&down()) {
        return tab;
    }
    let down_mm = shape.ramp * shape.height;
    let (before, behind) = (shape.uncut() / 2.0, shape.level / 2.0 + down_mm);
    Tab {
        at: at(tab.along_mm + (behind - before) / 2.0),
        length_mm: before + behind,
        down_mm,
        down: Down::Ramp,
        ..tab
    }
}

fn tab(stretch: &Stretch, shape: TabShape, along_mm: f64) -> Tab {
    Tab::steep(stretch.point_at(along_mm), along_mm, stretch.role, shape)
}
