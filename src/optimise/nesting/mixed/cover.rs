//! Whole sheets: layouts of the pool used so often that they hold all that is wanted.
//!
//! The linear programme says how often each layout would be used if sheets could be divided. Whole
//! uses of it are taken as they are, and what is left is covered sheet by sheet, bounded by what
//! pieces are worth: the residual problem of G. Wäscher, T. Gau, Heuristics for the integer
//! one-dimensional cutting stock problem, 1996 (from memory). The search is given a number of
//! sheets and a number of steps, and finds a cover of just that many or none.

use super::pool::{Layout, Shares, Uses, worth};
use std::collections::HashSet;

/// Steps of one search: layouts tried on a sheet. By trial.
const STEPS: usize = 20_000;
/// Layouts tried for one sheet, the worthiest first.
const TRIED: usize = 24;
/// What a sum of values may be off by.
const ROUNDING: f64 = 1e-6;

/// A cover of a demand by at most `sheets` sheets; `None` if none was found.
pub(super) fn cover(
    demand: &[usize],
    layouts: &[Layout],
    values: &[f64],
    shares: &Shares,
    sheets: usize,
) -> Option<Uses> {
    // All whole uses first; where that leaves a rest that does not come out, fewer of them.
    for back in [0.0, 1.0, 2.0] {
        let whole = |(layout, share): &(usize, f64)| {
            let times = (share + ROUNDING).floor() - back;
            (times >= 1.0).then_some((*layout, times as usize))
        };
        let fixed: Uses = shares.iter().filter_map(whole).collect();
        let used: usize = fixed.iter().map(|(_, times)| times).sum();
        let Some(left) = sheets.checked_sub(used) else { continue };
        let mut rest = demand.to_vec();
        for (layout, times) in &fixed {
            take(&mut rest, &layouts[*layout].counts, *times);
        }
        let mut search =
            Search { layouts, values, steps: STEPS, failed: HashSet::new(), used: Vec::new() };
        if search.covers(&rest, left) {
            let singles = search.used.iter().map(|layout| (*layout, 1));
            return Some(fixed.into_iter().chain(singles).collect());
        }
        if fixed.is_empty() {
            break;
        }
    }
    None
}

/// What is still wanted after so many sheets of a layout.
pub(super) fn take(left: &mut [usize], counts: &[usize], times: usize) {
    for (left, n) in left.iter_mut().zip(counts) {
        *left = left.saturating_sub(n * times);
    }
}

struct Search<'a> {
    layouts: &'a [Layout],
    values: &'a [f64],
    steps: usize,
    /// What no cover by so many sheets was found for. Looked up only, never walked through.
    failed: HashSet<(Vec<usize>, usize)>,
    used: Vec<usize>,
}

impl Search<'_> {
    fn covers(&mut self, left: &[usize], sheets: usize) -> bool {
        // The kind that takes most of a sheet has the fewest layouts to choose from, and on one of
        // them it must lie.
        let wanted = (0..left.len()).filter(|kind| left[*kind] > 0);
        let hardest = wanted.max_by(|a, b| self.values[*a].total_cmp(&self.values[*b]));
        let Some(hardest) = hardest else { return true };
        // Kinds worth nothing still take a sheet.
        let is_over = sheets == 0 || worth(left, self.values) > sheets as f64 + ROUNDING;
        if is_over || self.steps == 0 {
            return false;
        }
        let key = (left.to_vec(), sheets);
        if self.failed.contains(&key) {
            return false;
        }
        for (_, layout) in self.worthiest(left, hardest) {
            if self.steps == 0 {
                return false;
            }
            self.steps -= 1;
            let mut rest = left.to_vec();
            take(&mut rest, &self.layouts[layout].counts, 1);
            self.used.push(layout);
            if self.covers(&rest, sheets - 1) {
                return true;
            }
            self.used.pop();
        }
        self.failed.insert(key);
        false
    }

    /// The layouts that hold a kind, by what they are worth of what is left.
    fn worthiest(&self, left: &[usize], kind: usize) -> Vec<(f64, usize)> {
        let of_left = |layout: &Layout| -> f64 {
            let held = layout.counts.iter().zip(left).map(|(n, left)| (*n).min(*left) as f64);
            held.zip(self.values).map(|(n, value)| n * value).sum()
        };
        let holding = self.layouts.iter().enumerate().filter(|(_, l)| l.counts[kind] > 0);
        let mut found: Vec<(f64, usize)> = holding.map(|(i, l)| (of_left(l), i)).collect();
        found.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        found.truncate(TRIED);
        found
    }
}
