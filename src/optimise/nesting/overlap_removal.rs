//! Overlap removal: all copies are laid down anyhow and moved one by one to where they overlap
//! least, pairs that stay in each other's way weighing more and more, until nothing overlaps.
//!
//! Guided local search (C. Voudouris, E. Tsang, Guided local search and its application to the
//! traveling salesman problem, 1999) on overlap, as in J. Egeblad, B. K. Nielsen, A. Odgaard, Fast
//! neighborhood search for two- and three-dimensional nesting problems, 2007, with penetration
//! depth for overlap as in T. Imamichi, M. Yagiura, H. Nagamochi, An iterated local search
//! algorithm based on nonlinear programming for the irregular strip packing problem, 2009 (from
//! memory).
//!
//! Where constructions are stuck with one piece that does not go in, this shuffles all of them. It
//! proves nothing when it fails.
//!
//! **Cost**: a pass moves each overlapping copy; each move asks about 60 places and refines four of
//! them, each step O(n) no-fit polygons for n copies: O(n^2) a pass, hundreds of passes a start.

use super::Effort;
use super::angles;
use super::convex::doubled_area;
use super::layout_check::check;
use super::orientation::{Orientations, Position};
use super::problem::{Placed, Problem};
use super::watch::Watch;
use crate::geometry::{Bounds, Vector};
use oorandom::Rand64;
use std::sync::atomic::{AtomicUsize, Ordering::Relaxed};

/// The search keeps this much more than the spacing and forgives half of it, in mm: no overlap
/// shrinks to an exact zero.
const SLACK_MM: f64 = 2e-5;
/// An overlap up to this is none, in mm.
const FORGIVEN_MM: f64 = SLACK_MM / 2.0;

/// The passes over all overlapping pieces that one start is given: few in the first ones, for what
/// is found quickly. By trial, as are the numbers below: with them the counts of
/// tests/it/packing.rs are reached at level 2.
const QUICK_STARTS: usize = 8;
const QUICK_PASSES: usize = 80;
const PASSES: usize = 400;

/// Places tried anywhere on the sheet for one move, and around where the piece lies.
const ANYWHERE: usize = 40;
const NEARBY: usize = 20;

/// Nearby is within this share of the greater side of where the piece may lie.
const NEARBY_SHARE: f64 = 0.1;

/// How many of the places tried are refined, besides the best: a refinement costs more than all of
/// them.
const REFINED: usize = 3;

/// A refinement begins with steps of this share of the greater side of where the piece may lie.
const FIRST_STEP: f64 = 0.01;

/// A step that helped is followed by a longer one, one that did not by a shorter one.
const LONGER: f64 = 1.3;
const SHORTER: f64 = 0.4;

/// It ends below the least step, in mm, or below this share of the overlap that is left, whichever
/// is more.
const LEAST_STEP_MM: f64 = 2e-6;
const LEAST_STEP: f64 = 1e-3;

/// A pair that overlaps most weighs this much more after a pass, one that overlaps hardly at all
/// the lesser factor; one that is free is forgotten by the last.
const WORST_GAIN: f64 = 2.0;
const LEAST_GAIN: f64 = 1.2;
const FORGETTING: f64 = 0.95;

/// `copies` of one kind of piece on one sheet, or `None` if the search comes to no such layout. The
/// same effort gives the same answer, however many threads the machine has.
pub fn fill(problem: &Problem, kind: usize, copies: usize, effort: Effort) -> Option<Vec<Placed>> {
    fill_watched(problem, kind, copies, effort, &Watch::nobody())
}

/// The same, or none as soon as the watch says so.
pub(super) fn fill_watched(
    problem: &Problem,
    kind: usize,
    copies: usize,
    effort: Effort,
    watch: &Watch<'_>,
) -> Option<Vec<Placed>> {
    let (sheet, piece) = (problem.sheet(), problem.pieces().get(kind)?);
    let length = (sheet.length - 2.0 * sheet.margin).max(0.0);
    let width = (sheet.width - 2.0 * sheet.margin).max(0.0);
    // More area than the sheet has: no search is needed.
    if copies as f64 * doubled_area(&piece.outline).abs() / 2.0 > length * width {
        return None;
    }
    let first = AtomicUsize::new(usize::MAX);
    let starts = Starts { problem, kind, copies, effort, watch, first };
    let count = starts.count();
    let threads = std::thread::available_parallelism().map_or(1, usize::from).min(count).max(1);
    let found = std::thread::scope(|scope| {
        let starts = &starts;
        let running: Vec<_> =
            (0..threads).map(|thread| scope.spawn(move || starts.work(thread, threads))).collect();
        let ended = running
            .into_iter()
            .filter_map(|thread| thread.join().expect("a search that panicked has no answer"));
        ended.min_by_key(|(start, _)| *start)
    });
    found.map(|(_, placed)| placed)
}

/// The starts of a search, shared by threads.
///
/// The answer is that of the lowest start that finds a layout. A thread may give up a start only
/// when a lower one has found one, so the answer is the same whichever thread is quicker.
struct Starts<'a> {
    problem: &'a Problem,
    kind: usize,
    copies: usize,
    effort: Effort,
    watch: &'a Watch<'a>,
    /// The lowest start that has found a layout.
    first: AtomicUsize,
}

impl Starts<'_> {
    /// How many starts the effort is worth.
    fn count(&self) -> usize {
        match self.effort.level {
            0 => 2,
            1 => 8,
            level => 8 << level.min(10),
        }
    }

    /// The starts of one of so many threads, until one finds a layout.
    fn work(&self, thread: usize, threads: usize) -> Option<(usize, Vec<Placed>)> {
        (thread..self.count()).step_by(threads).find_map(|start| self.search(start))
    }

    fn search(&self, start: usize) -> Option<(usize, Vec<Placed>)> {
        if self.is_beaten(start) {
            return None;
        }
        let piece = &self.problem.pieces()[self.kind];
        let orientations = angles::family(self.kind, piece, start, self.problem.sheet());
        let table = Orientations::new(orientations, self.problem.spacing_mm() + SLACK_MM);
        if table.all().is_empty() {
            return None;
        }
        let seed = u128::from(self.effort.seed) << 64 | start as u128;
        // Each start has a generator of its own: its layout hangs on no other start and no thread.
        let mut search = Search::new(&table, self.copies, seed);
        let found = search.run(passes(start), || self.is_beaten(start))?;
        check(self.problem, &found).is_ok().then_some(())?;
        // Lower starts go on; only higher ones give up.
        self.first.fetch_min(start, Relaxed);
        Some((start, found))
    }

    fn is_beaten(&self, start: usize) -> bool {
        self.first.load(Relaxed) < start || self.watch.is_over()
    }
}

fn passes(start: usize) -> usize {
    if start < QUICK_STARTS { QUICK_PASSES } else { PASSES }
}

struct Search<'a> {
    table: &'a Orientations,
    positions: Vec<Position>,
    /// What an overlap of two copies, or of a copy and all that is kept out (on the diagonal),
    /// weighs.
    weights: Vec<f64>,
    random: Rand64,
}

impl<'a> Search<'a> {
    fn new(table: &'a Orientations, copies: usize, seed: u128) -> Self {
        let (weights, random) = (vec![1.0; copies * copies], Rand64::new(seed));
        let mut search = Search { table, positions: Vec::new(), weights, random };
        search.positions = (0..copies).map(|_| search.anywhere()).collect();
        search
    }

    fn run(&mut self, passes: usize, is_beaten: impl Fn() -> bool) -> Option<Vec<Placed>> {
        for _ in 0..passes {
            let mut overlapping: Vec<usize> = (0..self.positions.len())
                .filter(|&i| self.cost(i, self.positions[i], f64::MAX) > 0.0)
                .collect();
            if overlapping.is_empty() {
                let all = self.table.all();
                let placed = |p: &Position| all[p.orientation].placed(p.at);
                return Some(self.positions.iter().map(placed).collect());
            }
            if is_beaten() {
                return None;
            }
            // In another order each time: a fixed one could chase two pieces round and round.
            self.shuffle(&mut overlapping);
            for i in overlapping {
                self.move_one(i);
            }
            self.reweigh();
        }
        None
    }

    /// The weighted overlap of copy i if it lay at a position, or anything from `enough` up.
    fn cost(&self, i: usize, position: Position, enough: f64) -> f64 {
        let n = self.positions.len();
        let orientation = &self.table.all()[position.orientation];
        let mut cost = 0.0;
        for kept_out in orientation.kept_out() {
            cost += self.weights[i * n + i] * unforgiven(kept_out.overlap(position.at));
        }
        for (j, other) in self.positions.iter().enumerate() {
            if j != i {
                let no_fit = self.table.pair(other.orientation, position.orientation);
                // Copies are compared by how one lies against the other: one no-fit polygon serves
                // all.
                let depth = no_fit.overlap(position.at - other.at);
                cost += self.weights[i * n + j] * unforgiven(depth);
                if cost >= enough {
                    break;
                }
            }
        }
        cost
    }

    /// Lays copy i where it costs least of all places tried.
    fn move_one(&mut self, i: usize) {
        let here = self.positions[i];
        // The best places so far, by cost: few, so sorting the list anew is the cheapest heap.
        let mut best = vec![(self.cost(i, here, f64::MAX), here)];
        for k in 0..ANYWHERE + NEARBY {
            let position = if k < ANYWHERE { self.anywhere() } else { self.near(here) };
            // Once there are enough good places, a place is given up as soon as it is worse than
            // all:
            // most are, after the first few copies.
            let enough = if best.len() > REFINED { best[REFINED].0 } else { f64::MAX };
            let cost = self.cost(i, position, enough);
            if cost < enough {
                best.push((cost, position));
                best.sort_by(|a, b| a.0.total_cmp(&b.0));
                best.truncate(REFINED + 1);
            }
        }
        let refined = best.into_iter().map(|(cost, position)| self.refined(i, position, cost));
        if let Some((_, position)) = refined.min_by(|a, b| a.0.total_cmp(&b.0)) {
            self.positions[i] = position;
        }
    }

    /// The least cost near a position, by steps along the axes and the diagonals that shrink where
    /// none helps: pattern search (R. Hooke, T. A. Jeeves, Direct search solution of numerical and
    /// statistical problems, 1961). Overlap depth has kinks everywhere; a gradient would mislead.
    fn refined(&self, i: usize, mut position: Position, mut cost: f64) -> (f64, Position) {
        let room = self.table.all()[position.orientation].inner_fit;
        let mut step = FIRST_STEP * room.width().max(room.height());
        let n = self.positions.len();
        let heaviest = self.weights[i * n..(i + 1) * n].iter().copied().fold(1.0, f64::max);
        // Cost over the heaviest weight is at most so deep an overlap: steps far below it change
        // nothing that matters.
        while cost > 0.0 && step > LEAST_STEP_MM.max(LEAST_STEP * cost / heaviest) {
            match self.better(i, position, step, cost) {
                Some((less, to)) => {
                    (cost, position) = (less, to);
                    step *= LONGER;
                }
                None => step *= SHORTER,
            }
        }
        (cost, position)
    }

    /// The first position a step away that costs less.
    fn better(&self, i: usize, from: Position, step: f64, cost: f64) -> Option<(f64, Position)> {
        let room = self.table.all()[from.orientation].inner_fit;
        let tries = DIRECTIONS.iter().map(|(x, y)| {
            let at = inside(room, from.at + Vector::new(*x, *y) * step);
            Position { at, ..from }
        });
        tries.map(|to| (self.cost(i, to, cost), to)).find(|(to, _)| *to < cost)
    }

    /// Makes the pairs that still overlap weigh more, by how deep they do, and lets the others be
    /// forgotten: so the search is driven out of layouts whose last overlap no single move removes.
    fn reweigh(&mut self) {
        let n = self.positions.len();
        let pairs: Vec<(usize, usize, f64)> = (0..n)
            .flat_map(|i| (i..n).map(move |j| (i, j)))
            .map(|(i, j)| (i, j, self.depth(i, j)))
            .collect();
        // Never 0: with nothing overlapping the run has ended before.
        let worst = pairs.iter().map(|p| p.2).fold(f64::MIN_POSITIVE, f64::max);
        for (i, j, depth) in pairs {
            let factor = if depth > FORGIVEN_MM {
                LEAST_GAIN + (WORST_GAIN - LEAST_GAIN) * depth / worst
            } else {
                FORGETTING
            };
            // Not below 1: a forgotten pair shall count as much as at the start, not less.
            let weight = (self.weights[i * n + j] * factor).max(1.0);
            self.weights[i * n + j] = weight;
            self.weights[j * n + i] = weight;
        }
    }

    /// How deep two copies overlap, or one lies in what is kept out.
    fn depth(&self, i: usize, j: usize) -> f64 {
        let (a, b) = (self.positions[i], self.positions[j]);
        if i == j {
            let kept_out = self.table.all()[a.orientation].kept_out();
            return kept_out.iter().map(|k| k.overlap(a.at)).fold(0.0, f64::max);
        }
        self.table.pair(a.orientation, b.orientation).overlap(b.at - a.at)
    }

    fn anywhere(&mut self) -> Position {
        let orientation = self.random.rand_range(0..self.table.all().len() as u64) as usize;
        let room = self.table.all()[orientation].inner_fit;
        let (x, y) = (self.random.rand_float(), self.random.rand_float());
        let at = Vector::new(room.min.x + x * room.width(), room.min.y + y * room.height());
        Position { orientation, at }
    }

    fn near(&mut self, position: Position) -> Position {
        let room = self.table.all()[position.orientation].inner_fit;
        let reach = NEARBY_SHARE * room.width().max(room.height());
        let (x, y) = (self.random.rand_float() - 0.5, self.random.rand_float() - 0.5);
        let at = inside(room, position.at + Vector::new(x, y) * (2.0 * reach));
        Position { at, ..position }
    }

    /// Fisher and Yates' shuffle.
    fn shuffle(&mut self, list: &mut [usize]) {
        for k in (1..list.len()).rev() {
            list.swap(k, self.random.rand_range(0..k as u64 + 1) as usize);
        }
    }
}

/// An overlap, or none where it is within what is forgiven, in mm.
fn unforgiven(depth: f64) -> f64 {
    if depth > FORGIVEN_MM { depth } else { 0.0 }
}

const DIRECTIONS: [(f64, f64); 8] = [
    (1.0, 0.0),
    (-1.0, 0.0),
    (0.0, 1.0),
    (0.0, -1.0),
    (0.7, 0.7),
    (-0.7, -0.7),
    (0.7, -0.7),
    (-0.7, 0.7),
];

fn inside(room: Bounds, v: Vector) -> Vector {
    v.sup(&room.min.coords).inf(&room.max.coords)
}
