//! Shaking a good line and improving it again, keeping what is no longer: an iterated local search.

use super::Effort;
use super::sequence::{GAIN_MM, Line};
use super::local_search::{Queue, descend, may_swap, may_turn, turn_adds};
use oorandom::Rand64;

/// Counted work: one unit is one stop looked at from another.
pub(super) struct Budget {
    left: u64,
}

impl Budget {
    /// Enough for `each` units a stop.
    fn new(count: usize, each: usize) -> Budget {
        Budget { left: (count as u64).saturating_mul(each as u64) }
    }

    pub fn spend(&mut self, work: usize) {
        self.left = self.left.saturating_sub(work as u64);
    }

    pub fn spent(&self) -> bool {
        self.left == 0
    }
}

/// Units a stop that a descent may cost: many times what it takes to come to rest.
const DESCENT: usize = 5000;
/// The highest level that makes a difference.
const HIGHEST: u32 = 6;
/// Shakes at level 1: for each stop, and at most.
const SHAKES: (usize, usize) = (6, 10_000);
/// Shakes at level 1 at least.
const LEAST: usize = 120;
/// Up to this many stops a line may get longer for a while,
const HEATED: usize = 400;
/// at first by this share of its mean link.
const HEAT: f64 = 2.0;
/// How far apart the seams of one shake are at most, in positions.
const REACH: usize = 30;
/// How many positions beyond a shake ways are chosen anew.
const BEYOND: usize = 10;
/// Up to this many stops everything is looked at again after a shake.
const SMALL: usize = 12;

/// Improves until no change helps.
pub(super) fn settle(line: &mut Line, near: &[Vec<usize>]) {
    let mut queue = Queue::new(line.problem);
    let mut budget = Budget::new(line.problem.count, DESCENT);
    (1..=line.problem.count).for_each(|position| queue.push(line, position));
    loop {
        descend(line, near, &mut queue, &mut budget);
        let gained = line.choose_ways(1, line.problem.count);
        line.keep();
        if gained < GAIN_MM || budget.spent() {
            return;
        }
        (1..=line.problem.count).for_each(|position| queue.push(line, position));
    }
}

/// Shakes as often as the effort allows. The line never gets longer.
///
/// A short line may get longer for a while, ever less as the search goes on: so it leaves orders that no single shake
/// leads out of. The shortest one met is what is left in the end.
pub(super) fn shake(line: &mut Line, near: &[Vec<usize>], effort: Effort) {
    let level = effort.level.min(HIGHEST);
    let count = line.problem.count;
    if level == 0 || count < 2 {
        return;
    }
    let shakes = (SHAKES.0 * count).clamp(LEAST, SHAKES.1) << (2 * (level - 1));
    let mut search = Search::new(line, near, effort.seed, shakes);
    let heat = if count <= HEATED { HEAT * line.length() / count as f64 } else { 0.0 };
    let mut best = line.clone();
    let mut above = 0.0;
    for shake in 0..shakes {
        line.keep();
        let Some(gained) = search.once(line) else { continue };
        let now = above - gained;
        if now < -GAIN_MM && count <= HEATED {
            best.spots.copy_from_slice(&line.spots);
        }
        if now <= heat * (1.0 - shake as f64 / shakes as f64) {
            above = now.max(0.0);
        } else {
            line.undo();
        }
    }
    if count <= HEATED {
        best.note_all();
        *line = best;
    }
}

/// What a search needs again and again.
struct Search<'n> {
    near: &'n [Vec<usize>],
    random: Rand64,
    queue: Queue,
    budget: Budget,
}

impl<'n> Search<'n> {
    fn new(line: &Line, near: &'n [Vec<usize>], seed: u64, shakes: usize) -> Self {
        let random = Rand64::new(u128::from(seed));
        Search { near, random, queue: Queue::new(line.problem), budget: Budget::new(shakes, DESCENT) }
    }

    /// Shakes a line in one place or two and improves it again. Tells how much shorter it is for all of it.
    fn once(&mut self, line: &mut Line) -> Option<f64> {
        let count = line.problem.count;
        let (mut first, mut last, mut gained) = seams(line, &mut self.random).map(|s| self.shake(line, s))?;
        if count <= HEATED
            && self.random.rand_range(0..3) == 0
            && let Some(more) = seams(line, &mut self.random)
        {
            let (low, high, added) = self.shake(line, more);
            (first, last, gained) = (first.min(low), last.max(high), gained + added);
        }
        gained += line.choose_ways(first, last);
        if count <= SMALL {
            (1..=count).for_each(|position| self.queue.push(line, position));
        }
        gained += descend(line, self.near, &mut self.queue, &mut self.budget);
        let chosen = line.choose_ways(first, last);
        if chosen >= GAIN_MM {
            (first..=last).for_each(|position| self.queue.push(line, position));
            gained += chosen + descend(line, self.near, &mut self.queue, &mut self.budget);
        }
        Some(gained)
    }

    /// Exchanges two neighbouring parts and turns some. Tells around which positions, and how much shorter the line is.
    fn shake(&mut self, line: &mut Line, (low, middle, high): (usize, usize, usize)) -> (usize, usize, f64) {
        let mut gained = -swap_adds(line, low, middle, high);
        line.swap(low, middle, high);
        let second = low + high + 1 - middle;
        for (first, last) in [(low, second - 1), (second, high)] {
            if first < last && self.random.rand_range(0..2) == 0 && may_turn(line, first, last) {
                gained -= turn_adds(line, first, last);
                line.turn(first, last);
            }
        }
        for position in [low - 1, low, second - 1, second, high, high + 1] {
            self.queue.push(line, position);
        }
        (low.saturating_sub(BEYOND).max(1), (high + BEYOND).min(line.problem.count), gained)
    }
}

/// What exchanging two neighbouring parts adds to the line.
fn swap_adds(line: &Line, low: usize, middle: usize, high: usize) -> f64 {
    let s = &line.spots;
    let new = line.link(s[low - 1], s[middle]) + line.link(s[high], s[low]) + line.link(s[middle - 1], s[high + 1]);
    let old = line.link(s[low - 1], s[low]) + line.link(s[middle - 1], s[middle]) + line.link(s[high], s[high + 1]);
    new - old
}

/// Where two neighbouring parts, `low..middle` and `middle..=high`, may change places.
fn seams(line: &Line, random: &mut Rand64) -> Option<(usize, usize, usize)> {
    let mut below = |limit: usize| random.rand_range(0..limit.max(1) as u64) as usize;
    let low = 1 + below(line.problem.count);
    let top = line.block[line.spots[low].stop].1.min(low + REACH);
    if top == low {
        return None;
    }
    let high = low + 1 + below(top - low);
    let middle = low + 1 + below(high - low);
    may_swap(line, low, middle, high).then_some((low, middle, high))
}
