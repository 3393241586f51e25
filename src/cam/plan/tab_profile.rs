//! How a pass rises over the tabs and comes down again.

use super::program::{FeedKind, Step};
use super::round::Round;
use super::tabs::{Down, Tab, TabShape};
use crate::geometry::Segment;

/// Closeness of distances along a round, in mm: a break lies on the corner of a slope to within
/// rounding.
const SAME_MM: f64 = 1e-9;

/// The heights of passes along a round with tabs.
pub(super) struct TabProfile<'a> {
    tabs: &'a [Tab],
    shape: TabShape,
    /// Height of the tabs' tops, from the material's top.
    top: f64,
}

impl<'a> TabProfile<'a> {
    /// For tabs of one shape in a material of a thickness in mm.
    pub(super) fn new(tabs: &'a [Tab], shape: TabShape, thickness: f64) -> Self {
        TabProfile { tabs, shape, top: shape.height - thickness }
    }

    /// The cuts of one pass along the whole round at a floor, over the tabs.
    pub(super) fn once_round(&self, round: &Round, floor: f64) -> Vec<Step> {
        self.stretch(round, 0.0, round.length(), floor)
    }

    /// The cuts of one pass from one distance along the round to another, which may lie beyond the
    /// round's end.
    pub(super) fn stretch(&self, round: &Round, from: f64, to: f64, floor: f64) -> Vec<Step> {
        let breaks = self.breaks(floor);
        let mut pieces = round.pieces(from, to.min(round.length()), &breaks);
        pieces.extend(round.pieces(0.0, to - round.length(), &breaks));
        if self.shape.is_square() {
            return self.square(pieces, floor);
        }
        let mut z = self.height_at(from, floor);
        let cut = |(segment, end)| {
            let to_z = self.height_at(end, floor);
            let feed = if to_z < z - SAME_MM { self.feed_down(end) } else { FeedKind::Cut };
            z = to_z;
            Step::Cut { segment, to_z, feed }
        };
        pieces.into_iter().map(cut).collect()
    }

    /// The feed down behind the last tab before a distance along the round: into full wood a cutter
    /// goes as slowly as on its way in, where that is steep as slowly as straight down.
    fn feed_down(&self, along: f64) -> FeedKind {
        let before = self.tabs.iter().filter(|tab| tab.along_mm < along);
        match before.max_by(|a, b| a.along_mm.total_cmp(&b.along_mm)).map(|tab| tab.down) {
            Some(Down::Plunge) => FeedKind::Plunge,
            Some(Down::Ramp) | None => FeedKind::Entry,
        }
    }

    /// The same over tabs with square ends: straight up before each, straight down behind it.
    fn square(&self, pieces: Vec<(Segment, f64)>, floor: f64) -> Vec<Step> {
        let (mut z, mut steps) = (floor, Vec::with_capacity(pieces.len()));
        for (segment, end) in pieces {
            let middle = end - segment.length() / 2.0;
            let over = |tab: &Tab| (middle - tab.along_mm).abs() < self.shape.level / 2.0;
            let to_z = if self.tabs.iter().any(over) { floor + self.lift(floor) } else { floor };
            if (to_z - z).abs() > SAME_MM {
                steps.push(Step::FeedZ(to_z));
            }
            z = to_z;
            steps.push(Step::Cut { segment, to_z, feed: FeedKind::Cut });
        }
        steps
    }

    /// How far a pass at `floor` must rise over a tab; 0 where it passes above it anyway.
    fn lift(&self, floor: f64) -> f64 {
        (self.top - floor).max(0.0)
    }

    /// Where along the round the height changes its slope.
    fn breaks(&self, floor: f64) -> Vec<f64> {
        let (half, lift) = (self.shape.level / 2.0, self.lift(floor));
        if lift <= 0.0 {
            return Vec::new();
        }
        let up = self.shape.slope(lift);
        let around = |tab: &Tab| {
            let down = self.shape.slope_down(lift, tab);
            [-half - up, -half, half, half + down].map(|d| tab.along_mm + d)
        };
        self.tabs.iter().flat_map(around).collect()
    }

    /// Height of a pass at a distance along the round: its floor, but over a tab.
    fn height_at(&self, along: f64, floor: f64) -> f64 {
        let lift = self.lift(floor);
        let up = self.shape.slope(lift);
        if up <= 0.0 {
            return floor;
        }
        let share = |tab: &Tab| {
            let slope = if along > tab.along_mm { self.shape.slope_down(lift, tab) } else { up };
            let off = (along - tab.along_mm).abs() - self.shape.level / 2.0;
            if off < SAME_MM { 1.0 } else { (1.0 - off / slope).max(0.0) }
        };
        let risen = self.tabs.iter().map(share).fold(0.0, f64::max);
        if risen < SAME_MM { floor } else { floor + self.lift(floor) * risen }
    }
}
