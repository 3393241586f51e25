//! Overlap minimisation: all copies are laid down anyhow and moved one by one to where they overlap least, pairs that stay
//! in each other's way weighing more and more, until nothing overlaps (guided local search).

use std::sync::atomic::{AtomicUsize, Ordering::Relaxed};

use oorandom::Rand64;

use super::layout_check::clear;
use super::convex::doubled_area;
use super::problem::{Effort, Lying, Piece, SheetSize};
use super::orientation::{Postures, Spot};
use super::angles;
use crate::geometry::{Bounds, Vector};

/// The search keeps this much more than the spacing and forgives half of it, in mm: no overlap shrinks to an exact zero.
const SLACK_MM: f64 = 2e-5;

/// The passes over all overlapping pieces that one start is given: few in the first ones, for what is found quickly.
const QUICK_STARTS: usize = 8;
const QUICK_PASSES: usize = 80;
const PASSES: usize = 400;

/// Places tried anywhere on the sheet for one move, and around where the piece lies.
const ANYWHERE: usize = 40;
const NEARBY: usize = 20;

/// How many of the places tried are refined.
const REFINED: usize = 3;

/// A refinement begins with steps of this share of the room's greater side.
const FIRST_STEP: f64 = 0.01;

/// It ends below the least step, in mm, or below this share of the overlap that is left, whichever is more.
const LEAST_STEP_MM: f64 = 2e-6;
const LEAST_STEP: f64 = 1e-3;

/// A pair that overlaps most weighs this much more after a pass, one that overlaps hardly at all the lesser factor; one
/// that is free is forgotten by the last.
const WORST_GAIN: f64 = 2.0;
const LEAST_GAIN: f64 = 1.2;
const FORGETTING: f64 = 0.95;

/// `copies` of a piece on one sheet, `spacing` mm apart, or `None` if the search comes to no such layout. The same effort
/// gives the same answer, however many threads the machine has.
pub fn fill(piece: &Piece, copies: usize, sheet: &SheetSize, spacing: f64, effort: Effort) -> Option<Vec<Lying>> {
    let inside = (sheet.length - 2.0 * sheet.margin).max(0.0) * (sheet.width - 2.0 * sheet.margin).max(0.0);
    if copies as f64 * doubled_area(&piece.outline).abs() / 2.0 > inside {
        return None;
    }
    let starts = starts(effort.level);
    let first = AtomicUsize::new(usize::MAX);
    let threads = std::thread::available_parallelism().map_or(1, usize::from).min(starts).max(1);
    let work = |thread: usize| {
        (thread..starts).step_by(threads).find_map(|start| {
            if first.load(Relaxed) < start {
                return None;
            }
            let table = Postures::new(angles::family(0, piece, start, sheet), spacing + SLACK_MM);
            if table.all().is_empty() {
                return None;
            }
            let seed = u128::from(effort.seed) << 64 | start as u128;
            let mut search = Search::new(&table, copies, seed);
            let found = search.run(passes(start), || first.load(Relaxed) < start)?;
            clear(std::slice::from_ref(piece), sheet, spacing, &found).is_ok().then_some(())?;
            first.fetch_min(start, Relaxed);
            Some((start, found))
        })
    };
    let found = std::thread::scope(|scope| {
        let running: Vec<_> = (0..threads).map(|thread| scope.spawn(move || work(thread))).collect();
        running.into_iter().filter_map(|thread| thread.join().ok().flatten()).min_by_key(|(start, _)| *start)
    });
    found.map(|(_, lying)| lying)
}

/// How many starts an effort is worth.
fn starts(level: u32) -> usize {
    match level {
        0 => 2,
        1 => 8,
        _ => 8 << level.min(10),
    }
}

fn passes(start: usize) -> usize {
    if start < QUICK_STARTS { QUICK_PASSES } else { PASSES }
}

struct Search<'a> {
    table: &'a Postures,
    spots: Vec<Spot>,
    /// What an overlap of two copies, or of a copy and all that is kept out (on the diagonal), weighs.
    weights: Vec<f64>,
    random: Rand64,
}

impl<'a> Search<'a> {
    fn new(table: &'a Postures, copies: usize, seed: u128) -> Search<'a> {
        let mut search =
            Search { table, spots: Vec::new(), weights: vec![1.0; copies * copies], random: Rand64::new(seed) };
        search.spots = (0..copies).map(|_| search.anywhere()).collect();
        search
    }

    fn run(&mut self, passes: usize, is_beaten: impl Fn() -> bool) -> Option<Vec<Lying>> {
        for _ in 0..passes {
            let mut crowded: Vec<usize> =
                (0..self.spots.len()).filter(|&i| self.cost(i, self.spots[i], f64::MAX) > 0.0).collect();
            if crowded.is_empty() {
                let all = self.table.all();
                return Some(self.spots.iter().map(|s| all[s.posture].lying(s.at)).collect());
            }
            if is_beaten() {
                return None;
            }
            self.shuffle(&mut crowded);
            for i in crowded {
                self.move_one(i);
            }
            self.reweigh();
        }
        None
    }

    /// The weighted overlap of copy i if it lay at a spot, or anything from `enough` up.
    fn cost(&self, i: usize, spot: Spot, enough: f64) -> f64 {
        let n = self.spots.len();
        let posture = &self.table.all()[spot.posture];
        let forgiven = |depth: f64| if depth > SLACK_MM / 2.0 { depth } else { 0.0 };
        let mut cost = 0.0;
        for kept_out in posture.kept_out() {
            cost += self.weights[i * n + i] * forgiven(kept_out.overlap(spot.at));
        }
        for (j, other) in self.spots.iter().enumerate() {
            if j != i {
                let depth = self.table.pair(other.posture, spot.posture).overlap(spot.at - other.at);
                cost += self.weights[i * n + j] * forgiven(depth);
                if cost >= enough {
                    break;
                }
            }
        }
        cost
    }

    /// Lays copy i where it costs least of all places tried.
    fn move_one(&mut self, i: usize) {
        let here = self.spots[i];
        let mut best = vec![(self.cost(i, here, f64::MAX), here)];
        for k in 0..ANYWHERE + NEARBY {
            let spot = if k < ANYWHERE { self.anywhere() } else { self.near(here) };
            let enough = if best.len() > REFINED { best[REFINED].0 } else { f64::MAX };
            let cost = self.cost(i, spot, enough);
            if cost < enough {
                best.push((cost, spot));
                best.sort_by(|a, b| a.0.total_cmp(&b.0));
                best.truncate(REFINED + 1);
            }
        }
        let refined = best.into_iter().map(|(cost, spot)| self.refined(i, spot, cost));
        if let Some((_, spot)) = refined.min_by(|a, b| a.0.total_cmp(&b.0)) {
            self.spots[i] = spot;
        }
    }

    /// The least cost near a spot, by steps along the axes and the diagonals that shrink where none helps.
    fn refined(&self, i: usize, mut spot: Spot, mut cost: f64) -> (f64, Spot) {
        let room = self.table.all()[spot.posture].room;
        let mut step = FIRST_STEP * room.width().max(room.height());
        let n = self.spots.len();
        let heaviest = self.weights[i * n..(i + 1) * n].iter().copied().fold(1.0, f64::max);
        while cost > 0.0 && step > LEAST_STEP_MM.max(LEAST_STEP * cost / heaviest) {
            let tries =
                WAYS.iter().map(|(x, y)| Spot { at: inside(room, spot.at + Vector::new(*x, *y) * step), ..spot });
            let better = tries.map(|to| (self.cost(i, to, cost), to)).find(|(to, _)| *to < cost);
            match better {
                Some((less, to)) => {
                    (cost, spot) = (less, to);
                    step *= 1.3;
                }
                None => step *= 0.4,
            }
        }
        (cost, spot)
    }

    fn reweigh(&mut self) {
        let n = self.spots.len();
        let depth = |i: usize, j: usize| {
            let (a, b) = (self.spots[i], self.spots[j]);
            if i == j {
                let kept_out = self.table.all()[a.posture].kept_out();
                return kept_out.iter().map(|k| k.overlap(a.at)).fold(0.0, f64::max);
            }
            self.table.pair(a.posture, b.posture).overlap(b.at - a.at)
        };
        let pairs: Vec<(usize, usize, f64)> =
            (0..n).flat_map(|i| (i..n).map(move |j| (i, j))).map(|(i, j)| (i, j, depth(i, j))).collect();
        let worst = pairs.iter().map(|p| p.2).fold(f64::MIN_POSITIVE, f64::max);
        for (i, j, depth) in pairs {
            let factor = if depth > SLACK_MM / 2.0 {
                LEAST_GAIN + (WORST_GAIN - LEAST_GAIN) * depth / worst
            } else {
                FORGETTING
            };
            let weight = (self.weights[i * n + j] * factor).max(1.0);
            self.weights[i * n + j] = weight;
            self.weights[j * n + i] = weight;
        }
    }

    fn anywhere(&mut self) -> Spot {
        let posture = self.random.rand_range(0..self.table.all().len() as u64) as usize;
        let room = self.table.all()[posture].room;
        let (x, y) = (self.random.rand_float(), self.random.rand_float());
        Spot { posture, at: Vector::new(room.min.x + x * room.width(), room.min.y + y * room.height()) }
    }

    fn near(&mut self, spot: Spot) -> Spot {
        let room = self.table.all()[spot.posture].room;
        let reach = 0.1 * room.width().max(room.height());
        let (x, y) = (self.random.rand_float() - 0.5, self.random.rand_float() - 0.5);
        Spot { at: inside(room, spot.at + Vector::new(x, y) * (2.0 * reach)), ..spot }
    }

    fn shuffle(&mut self, list: &mut [usize]) {
        for k in (1..list.len()).rev() {
            list.swap(k, self.random.rand_range(0..k as u64 + 1) as usize);
        }
    }
}

const WAYS: [(f64, f64); 8] =
    [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0), (0.7, 0.7), (-0.7, -0.7), (0.7, -0.7), (-0.7, 0.7)];

fn inside(room: Bounds, v: Vector) -> Vector {
    v.sup(&room.min.coords).inf(&room.max.coords)
}
