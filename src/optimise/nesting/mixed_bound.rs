//! How few sheets several kinds need, whatever their layouts.
//!
//! Two relaxations, one on the other. First every kind is given a **size**, a share of a sheet,
//! such that no layout holds more than one sheet of sizes: by area, and by a linear programme over
//! slices of the whole order (`slice_bound`). Then sheets are taken for bins that hold whole pieces
//! of those sizes, and no more of a kind than its own bound: the linear programme over all such
//! fillings, by column generation (P. C. Gilmore, R. E. Gomory, A linear programming approach to
//! the cutting-stock problem, 1961), made valid by what the worthiest filling is worth (A. A.
//! Farley, A note on bounding a class of linear programming problems, 1990; both from memory).
//! Every real layout is such a filling, so what the programme says bounds all layouts; it is never
//! below the bound by area.
//!
//! **Cost**: a linear programme of some hundred rows a kind, and a search over fillings that is
//! counted in steps: where they end, the bound is looser, never wrong.

use super::bound;
use super::field::Field;
use super::problem::{Piece, Rotations, box_area};
use super::slice_bound::{self, Sliced};
use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};

/// Lines laid over the sheet each way, for few kinds and for more; none for still more.
const LINES: [(usize, usize); 3] = [(6, 64), (16, 32), (40, 16)];
/// Kinds up to which each is asked how many of it go on a sheet by itself.
const CAPPED: usize = 12;
/// Fillings looked for; steps of each search.
const FILLINGS: usize = 400;
const STEPS: usize = 100_000;
/// What sums of sizes and values may be off by.
const ROUNDING: f64 = 1e-6;

/// No layouts of these pieces need fewer sheets.
pub(super) fn sheets(wanted: &[&Piece], field: &Field) -> usize {
    let room = box_area(field.usable.grown(field.spacing / 2.0));
    let by_area: Vec<f64> =
        wanted.iter().map(|p| bound::taken_area(&p.outline, field.spacing) / room).collect();
    let mut sizes = vec![by_area];
    sizes.extend(sliced(wanted, field));
    let caps = caps(wanted, field);
    let demand: Vec<f64> = wanted.iter().map(|p| p.count as f64).collect();
    let plain = sizes.iter().map(|of| of.iter().zip(&demand).map(|(s, n)| s * n).sum());
    let plain: f64 = plain.fold(0.0, f64::max);
    let filled = Fillings { sizes: &sizes, caps: &caps, demand: &demand }.sheets(plain);
    whole_sheets(filled.max(plain)) as usize
}

/// A bound in whole sheets.
fn whole_sheets(bound: f64) -> f64 {
    (bound - ROUNDING).ceil().max(0.0)
}

/// Sizes by slices, where all pieces lie at quarters only.
fn sliced(wanted: &[&Piece], field: &Field) -> Option<Vec<f64>> {
    if wanted.iter().any(|p| p.rotations == Rotations::Any) {
        return None;
    }
    let (_, lines) = LINES.into_iter().find(|(kinds, _)| wanted.len() <= *kinds)?;
    let pieces: Vec<Sliced> = wanted
        .iter()
        .map(|p| Sliced {
            grown: bound::grown(&p.outline, field.spacing / 2.0),
            rotations: p.rotations,
            count: p.count as f64,
        })
        .collect();
    slice_bound::sizes(&pieces, field.usable.grown(field.spacing / 2.0), lines)
}

/// No more of each kind than this go on a sheet.
fn caps(wanted: &[&Piece], field: &Field) -> Vec<usize> {
    use rayon::prelude::*;
    let is_asked = wanted.len() <= CAPPED;
    let cap = |p: &&Piece| match bound::per_sheet(&p.outline, p.rotations, field, 0) {
        Some(most) if is_asked => most.min(p.count),
        _ => p.count,
    };
    if is_asked {
        wanted.par_iter().map(cap).collect()
    } else {
        wanted.iter().map(|p| p.count).collect()
    }
}

/// Sheets as bins.
struct Fillings<'a> {
    /// Every list of sizes is one: all of them hold at once.
    sizes: &'a [Vec<f64>],
    caps: &'a [usize],
    demand: &'a [f64],
}

impl Fillings<'_> {
    /// The least sum of shares of fillings that holds all that is wanted, or a bound below it.
    /// It ends where `known`, a bound already, or its own cannot come to a whole sheet more.
    fn sheets(&self, known: f64) -> f64 {
        let mut problem = Problem::new(OptimizationDirection::Maximize);
        let values: Vec<Variable> =
            self.demand.iter().map(|n| problem.add_var(*n, (0.0, 1.0))).collect();
        for (kind, value) in values.iter().enumerate() {
            let row = [(*value, self.most_alone(kind).max(1) as f64)];
            problem.add_constraint(row, ComparisonOp::Le, 1.0);
        }
        let Some(mut solution) = problem.solve().ok().and_then(|s| s.into_solution().ok()) else {
            return 0.0;
        };
        let mut best: f64 = known;
        for _ in 0..FILLINGS {
            let worth: Vec<f64> =
                values.iter().map(|v| solution.var_value_raw(*v).max(0.0)).collect();
            // What all is worth falls from filling to filling, and no bound found later is above
            // it.
            let sum: f64 = worth.iter().zip(self.demand).map(|(v, n)| v * n).sum();
            if whole_sheets(sum) <= whole_sheets(best) {
                break;
            }
            let (filling, most) = self.worthiest(&worth);
            // Values scaled down until no filling is worth more than a sheet are sound.
            best = best.max(sum / most.max(1.0));
            let own: f64 = filling.iter().zip(&worth).map(|(n, v)| *n as f64 * v).sum();
            if own <= 1.0 + ROUNDING {
                break;
            }
            let held = filling.iter().zip(&values).filter(|(n, _)| **n > 0);
            let row: Vec<(Variable, f64)> = held.map(|(n, v)| (*v, *n as f64)).collect();
            let next = solution.add_constraint(row, ComparisonOp::Le, 1.0);
            match next.ok().and_then(|s| s.into_solution().ok()) {
                Some(next) => solution = next,
                None => break,
            }
        }
        best
    }

    fn most_alone(&self, kind: usize) -> usize {
        let fits = self.sizes.iter().filter(|of| of[kind] > 0.0);
        let by_size = fits.map(|of| ((1.0 + ROUNDING) / of[kind]) as usize).min();
        by_size.unwrap_or(usize::MAX).min(self.caps[kind])
    }

    /// The filling that is worth most, as far as the steps go, and what none is worth more than.
    fn worthiest(&self, worth: &[f64]) -> (Vec<usize>, f64) {
        let size_of = |kind: usize| self.sizes.iter().map(|of| of[kind]).fold(0.0, f64::max);
        let order = densest_first(worth, size_of);
        let mut places = vec![0; worth.len()];
        order.iter().enumerate().for_each(|(at, kind)| places[*kind] = at);
        let by_size: Vec<Vec<usize>> =
            self.sizes.iter().map(|of| densest_first(worth, |kind| of[kind])).collect();
        let mut search = Knapsack {
            of: self,
            worth,
            order: &order,
            places: &places,
            by_size: &by_size,
            steps: STEPS,
            best: (vec![0; worth.len()], 0.0),
            open: 0.0,
            counts: vec![0; worth.len()],
        };
        search.fill(0, &vec![1.0 + ROUNDING; self.sizes.len()], 0.0);
        let most = search.best.1.max(search.open);
        (search.best.0, most)
    }
}

/// The kinds that are worth something, by what they are worth for a size, the most first.
fn densest_first(worth: &[f64], size: impl Fn(usize) -> f64) -> Vec<usize> {
    let mut kinds: Vec<usize> = (0..worth.len()).filter(|kind| worth[*kind] > 0.0).collect();
    let density = |kind: usize| worth[kind] / size(kind).max(f64::MIN_POSITIVE);
    kinds.sort_by(|a, b| density(*b).total_cmp(&density(*a)).then(a.cmp(b)));
    kinds
}

/// A filling being made, kinds by what they are worth for their size.
struct Knapsack<'a> {
    of: &'a Fillings<'a>,
    worth: &'a [f64],
    order: &'a [usize],
    /// Where in the order each kind stands.
    places: &'a [usize],
    /// The kinds by what they are worth for each list of sizes: sorted once, asked at every step.
    by_size: &'a [Vec<usize>],
    steps: usize,
    best: (Vec<usize>, f64),
    /// What branches that were not gone through may be worth at most.
    open: f64,
    counts: Vec<usize>,
}

impl Knapsack<'_> {
    fn fill(&mut self, at: usize, room: &[f64], worth: f64) {
        if worth > self.best.1 {
            self.best = (self.counts.clone(), worth);
        }
        let most = worth + self.hope(at, room);
        if at == self.order.len() || most <= self.best.1 + ROUNDING * ROUNDING {
            return;
        }
        if self.steps == 0 {
            self.open = self.open.max(most);
            return;
        }
        self.steps -= 1;
        let kind = self.order[at];
        let fits = self.of.sizes.iter().zip(room).filter(|(of, _)| of[kind] > 0.0);
        let fit = fits.map(|(of, room)| (room / of[kind]) as usize).min().unwrap_or(usize::MAX);
        for n in (0..=fit.min(self.of.caps[kind])).rev() {
            self.counts[kind] = n;
            let rest: Vec<f64> = self
                .of
                .sizes
                .iter()
                .zip(room)
                .map(|(of, room)| room - n as f64 * of[kind])
                .collect();
            self.fill(at + 1, &rest, worth + n as f64 * self.worth[kind]);
        }
        self.counts[kind] = 0;
    }

    /// What the kinds from `at` on can be worth at most in the room that is left: as if they could
    /// be divided, by the list of sizes that allows least.
    fn hope(&self, at: usize, room: &[f64]) -> f64 {
        let lists = self.of.sizes.iter().zip(self.by_size).zip(room);
        let worths = lists.map(|((of, kinds), room)| self.divided(at, of, kinds, *room));
        worths.fold(f64::INFINITY, f64::min)
    }

    /// What the kinds from `at` on are worth in a room, divided, by one list of sizes.
    fn divided(&self, at: usize, of: &[f64], kinds: &[usize], room: f64) -> f64 {
        let (mut left, mut worth) = (room, 0.0);
        for &kind in kinds.iter().filter(|kind| self.places[**kind] >= at) {
            let all = self.of.caps[kind] as f64;
            let n = if of[kind] > 0.0 { (left / of[kind]).min(all).max(0.0) } else { all };
            worth += n * self.worth[kind];
            left -= n * of[kind];
            // Sizes of nothing stand first, so nothing more fits from here on.
            if left <= 0.0 {
                break;
            }
        }
        worth
    }
}
