//! Shaking a good order and improving it again, keeping what is no longer: an iterated local search.

use super::Effort;
use super::exact::improve;
use super::layers::Route;
use oorandom::Rand64;

/// Counted work: one unit is one distance between two ways.
pub(super) struct Budget {
    left: u64,
}

impl Budget {
    /// Enough to come to rest, for all but the largest tasks.
    pub fn of_descent() -> Budget {
        Budget { left: 20_000_000 }
    }

    /// What shaking may cost.
    fn of_shaking(level: u32) -> Budget {
        Budget { left: if level == 0 { 0 } else { 5_000_000 << (2 * (level - 1)) } }
    }

    pub fn spend(&mut self, work: usize) {
        self.left = self.left.saturating_sub(work as u64);
    }

    pub fn spent(&self) -> bool {
        self.left == 0
    }
}

/// The highest level that makes a difference.
const HIGHEST: u32 = 6;
/// How far apart the seams of one shake are at most, in positions.
const REACH: usize = 50;
/// Up to this many stops everything is looked at again after a shake.
const SMALL: usize = 12;

/// Shakes as often as the effort allows. The route never gets longer.
pub(super) fn shake(route: &mut Route, effort: Effort) {
    let level = effort.level.min(HIGHEST);
    let mut budget = Budget::of_shaking(level);
    let mut random = Rand64::new(u128::from(effort.seed));
    if route.problem.count < 3 {
        return;
    }
    for _ in 0..shakes(level, route.problem.count) {
        if budget.spent() {
            return;
        }
        // A shake copies and refreshes the whole order: about this much work.
        budget.spend(10 * route.problem.way_count());
        let Some((low, middle, high)) = seams(route, &mut random) else { continue };
        let mut tried = route.clone();
        tried.order[low..high].rotate_left(middle - low);
        tried.refresh(low, high - 1);
        let around: Vec<usize> = if route.problem.count <= SMALL {
            tried.order[1..=route.problem.count].to_vec()
        } else {
            let seam = [low - 1, low, low + high - middle - 1, low + high - middle, high - 1, high];
            seam.iter().map(|&p| tried.order[p]).filter(|&s| s < route.problem.count).collect()
        };
        improve(&mut tried, &around, &mut budget);
        if tried.length <= route.length {
            *route = tried;
        }
    }
}

/// How often to shake at most.
fn shakes(level: u32, count: usize) -> usize {
    if level == 0 { 0 } else { (count * 10) << (2 * (level - 1)) }
}

/// Where two neighbouring parts, `low..middle` and `middle..high`, may change places.
fn seams(route: &Route, random: &mut Rand64) -> Option<(usize, usize, usize)> {
    let count = route.problem.count;
    let mut below = |limit: usize| random.rand_range(0..limit.max(1) as u64) as usize;
    let low = 1 + below(count - 1);
    let reach = REACH.min(count + 1 - low);
    let high = low + 2 + below(reach - 1);
    let middle = low + 1 + below(high - low - 1);
    let free = high <= count + 1
        && route.rank(low) == route.rank(high - 1)
        && (low..middle)
            .all(|p| !route.problem.behind[route.order[p]].iter().any(|&s| (middle..high).contains(&route.at[s])));
    free.then_some((low, middle, high))
}
