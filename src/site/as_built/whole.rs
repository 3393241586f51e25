//! The least schedule in whole steps of a grid, tread by tread.
//!
//! Where every riser lies between some least figure and that plus the spread, the least total up to
//! a tread depends only on how far that tread and the one before it are moved: dynamic programming
//! (Bellman's principle). The smallest riser is one of the risers as built, so many steps away, so
//! every least figure that can matter is tried; nothing is left out. Of schedules of one total the
//! one that moves the fewest treads is taken.

use super::built::BuiltFlight;
use super::grid::Grid;
use super::limits::RiserLimits;
use crate::job::Room;
use crate::profile::ON_THE_LIMIT;
use crate::units::Length;

/// More steps of computing than this are not taken: a few tenths of a second. Twenty treads that
/// may each go up and down by a foot take a tenth of it.
const MOST_WORK: usize = 100_000_000;

/// A riser may miss a limit by this, in mm: the rounding of heights that were added up.
const SLACK_MM: f64 = ON_THE_LIMIT / 4.0;

/// What a search of one grid came to.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum OnGrid {
    /// The moves of the least total that keep every limit.
    Least(Vec<Length>),
    /// None on this grid keeps every limit.
    NoneKeeps,
    /// The flight and its rooms are too large to look.
    TooLarge,
}

/// The moves of least total in whole steps of a grid.
pub(super) fn least_on(
    grid: Grid,
    flight: &BuiltFlight,
    room: &[Room],
    limits: &RiserLimits,
) -> OnGrid {
    let step = grid.step().as_mm();
    let steps = |length: Length| (grid.below(length).as_mm() / step).round() as i64;
    let figure = |bound: &Option<super::Bound>| bound.as_ref().map(|bound| bound.figure.as_mm());
    let search = Search {
        risers: flight.risers().into_iter().map(Length::as_mm).collect(),
        rooms: room.iter().map(|room| (-steps(room.trim()), steps(room.shim()))).collect(),
        neighbours: figure(&limits.step).unwrap_or(f64::INFINITY),
        step,
    };
    let (least, most) =
        (figure(&limits.least).unwrap_or(0.0), figure(&limits.most).unwrap_or(f64::INFINITY));
    let (mut best, mut work): (Option<Found>, usize) = (None, 0);
    for window in search.windows(least, most, figure(&limits.spread)) {
        let found = search.least_inside(window, &mut work);
        if work > MOST_WORK {
            return OnGrid::TooLarge;
        }
        best = [best, found].into_iter().flatten().min_by_key(|found| found.cost);
    }
    match best {
        None => OnGrid::NoneKeeps,
        Some(best) => {
            OnGrid::Least(best.moves.into_iter().map(|by| grid.step() * by as f64).collect())
        }
    }
}

/// A flight in steps.
struct Search {
    risers: Vec<f64>,
    /// How far each tread may go down and up, in steps.
    rooms: Vec<(i64, i64)>,
    /// What two neighbouring risers may differ by.
    neighbours: f64,
    step: f64,
}

/// A schedule and what it costs: steps in all, then treads moved.
struct Found {
    cost: i64,
    moves: Vec<i64>,
}

/// One step more weighs more than all treads moved.
const A_STEP: i64 = 1024;

/// A tread, moved so far after the one below it was moved so far, and the least that leads there.
#[derive(Clone, Copy)]
struct State {
    by: i64,
    /// How much more it is moved than the tread below.
    more: i64,
    cost: i64,
    /// Which state of the tread below.
    from: usize,
}

impl Search {
    /// Every least and most figure of a riser that can matter.
    fn windows(&self, least: f64, most: f64, spread: Option<f64>) -> Vec<(f64, f64)> {
        let Some(spread) = spread else { return vec![(least, most)] };
        // The smallest riser is no more than the middle of all, and no less than the spread below.
        let middle = self.risers.iter().sum::<f64>() / self.risers.len() as f64;
        let lowest = self.rooms.iter().map(|(low, _)| *low).fold(0, i64::min);
        let highest = self.rooms.iter().map(|(_, high)| *high).fold(0, i64::max);
        let reach = highest - lowest;
        let (from, to) = (middle - spread - ON_THE_LIMIT, middle + ON_THE_LIMIT);
        let of_riser = |riser: f64| {
            let first = (((from - riser) / self.step).ceil() as i64).max(-reach);
            let last = (((to - riser) / self.step).floor() as i64).min(reach);
            (first..=last).map(move |by| riser + by as f64 * self.step)
        };
        let mut smallest: Vec<f64> =
            self.risers.iter().flat_map(|&riser| of_riser(riser)).collect();
        smallest.sort_by(f64::total_cmp);
        smallest.dedup_by(|a, b| (*a - *b).abs() < SLACK_MM);
        let window = |smallest: f64| (smallest.max(least), (smallest + spread).min(most));
        smallest.into_iter().map(window).filter(|(low, high)| low <= high).collect()
    }

    /// The least schedule with every riser inside a window; counts its work.
    fn least_inside(&self, (low, high): (f64, f64), work: &mut usize) -> Option<Found> {
        let start = State { by: 0, more: 0, cost: 0, from: 0 };
        let mut layers: Vec<Vec<State>> = vec![vec![start]];
        for (k, riser) in self.risers.iter().enumerate() {
            // How much more this tread may be moved than the one below it.
            let least = ((low - SLACK_MM - riser) / self.step).ceil() as i64;
            let most = ((high + SLACK_MM - riser) / self.step).floor();
            // The upper floor stays.
            let (down, up) = self.rooms.get(k).copied().unwrap_or((0, 0));
            let before = layers.last()?;
            let mut reached: Vec<State> = Vec::new();
            let mut first = 0;
            while first < before.len() {
                let by = before[first].by;
                let alike = before[first..].iter().take_while(|state| state.by == by).count();
                let states = &before[first..first + alike];
                // No further than to the tread's own room, however high a riser may be.
                let most = if most < (up - by) as f64 { most as i64 } else { up - by };
                for more in least.max(down - by)..=most {
                    *work += alike;
                    let own =
                        |cost: i64| cost + (by + more).abs() * A_STEP + i64::from(by + more != 0);
                    let fits =
                        |state: &&(usize, &State)| k == 0 || self.near(k, state.1.more, more);
                    let best =
                        states.iter().enumerate().filter(|s| fits(&s)).min_by_key(|s| s.1.cost);
                    reached.extend(best.map(|(i, state)| State {
                        by: by + more,
                        more,
                        cost: own(state.cost),
                        from: first + i,
                    }));
                }
                first += alike;
            }
            if *work > MOST_WORK {
                return None;
            }
            reached.sort_by_key(|state| (state.by, state.cost));
            if self.neighbours.is_infinite() {
                // What is above depends on this tread alone.
                reached.dedup_by_key(|state| state.by);
            }
            layers.push(reached);
        }
        let end = layers.last()?.iter().min_by_key(|state| state.cost)?;
        let (cost, mut at) = (end.cost, end.from);
        let mut moves = Vec::new();
        for layer in layers[1..layers.len() - 1].iter().rev() {
            moves.push(layer[at].by);
            at = layer[at].from;
        }
        moves.reverse();
        Some(Found { cost, moves })
    }

    /// Whether riser `k` and the one below it are near enough, each by its own steps.
    fn near(&self, k: usize, below: i64, this: i64) -> bool {
        let (lower, upper) = (self.risers[k - 1], self.risers[k]);
        let differ = upper - lower + (this - below) as f64 * self.step;
        differ.abs() <= self.neighbours + SLACK_MM
    }
}
