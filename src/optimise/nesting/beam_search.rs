//! Beam search: one piece after another is laid where it touches two things, of all layouts so far the best few are kept.

use std::collections::HashSet;

use oorandom::Rand64;

use super::layout_check::clear;
use super::problem::{Effort, Lying, Piece, SheetSize};
use super::orientation::{Posture, Postures, Spot};
use super::contacts::Rims;
use super::angles;
use crate::geometry::{Bounds, Point, Vector, tolerance::COINCIDENT_MM};

/// The search keeps this much more than the spacing, in mm, so that no rounding takes it below.
const SLACK_MM: f64 = 1e-6;

/// Places closer than this, in mm, are one place.
const SAME_PLACE_MM: f64 = 1e-4;

/// The postures that the widths are meant for; with more of them fewer layouts are kept.
const POSTURES: usize = 4;

/// How many of one layout's continuations may be kept.
const CONTINUED: usize = 16;

/// How much the less important direction counts.
const ACROSS: f64 = 0.05;

/// A seed other than 0 shifts every mark by up to this share.
const JITTER: f64 = 0.02;

/// The layout of greatest area on one sheet that a bounded search finds, `spacing` mm apart, of no more than the wanted
/// pieces. The same effort gives the same layout.
pub fn fill(pieces: &[Piece], sheet: &SheetSize, spacing: f64, effort: Effort) -> Vec<Lying> {
    let postures = pieces.iter().enumerate().flat_map(|(kind, piece)| {
        let turns = angles::spread(piece, sheet);
        turns.into_iter().filter_map(move |turn| Posture::of(kind, piece, turn, sheet))
    });
    let table = Postures::new(postures.collect(), spacing + SLACK_MM);
    if table.all().is_empty() {
        return Vec::new();
    }
    let rims = Rims::of(&table);
    let search = |along: Vector| Search::new(pieces, sheet, &table, &rims, along, effort).run();
    let (along_x, along_y) = std::thread::scope(|scope| {
        let x = scope.spawn(|| search(Vector::x()));
        let y = scope.spawn(|| search(Vector::y()));
        (x.join().unwrap_or_default(), y.join().unwrap_or_default())
    });
    let is_good = |spots: &Layout| clear(pieces, sheet, spacing, &spots.lying(&table)).is_ok();
    let found = [along_x, along_y].into_iter().filter(is_good).reduce(|a, b| if b.area > a.area { b } else { a });
    found.map_or_else(Vec::new, |layout| layout.lying(&table))
}

fn width(level: u32, postures: usize) -> usize {
    let wanted = match level {
        0 => 12,
        1 => 60,
        _ => 50 << level.min(6),
    };
    (wanted * POSTURES / postures.max(POSTURES)).max(8)
}

/// Some pieces laid down.
#[derive(Clone, Debug, Default)]
struct Layout {
    spots: Vec<Spot>,
    /// How many of each kind are still wanted.
    left: Vec<usize>,
    /// For each posture the places where one more may lie.
    free: Vec<Vec<Vector>>,
    area: f64,
    /// Of the area, about the side that is filled first.
    moment: f64,
}

impl Layout {
    fn lying(&self, table: &Postures) -> Vec<Lying> {
        self.spots.iter().map(|s| table.all()[s.posture].lying(s.at)).collect()
    }
}

/// A layout and one piece more.
#[derive(Clone, Copy, Debug)]
struct Step {
    layout: usize,
    spot: Spot,
    area: f64,
    moment: f64,
    mark: f64,
}

struct Search<'a> {
    table: &'a Postures,
    rims: &'a Rims,
    wanted: Vec<usize>,
    /// Of each posture, about the direction that is filled, per mm^2.
    middles: Vec<f64>,
    along: Vector,
    /// Of the sheet's inside, across the direction that is filled, in mm.
    front: f64,
    width: usize,
    random: Option<Rand64>,
}

impl<'a> Search<'a> {
    fn new(
        pieces: &[Piece],
        sheet: &SheetSize,
        table: &'a Postures,
        rims: &'a Rims,
        along: Vector,
        effort: Effort,
    ) -> Search<'a> {
        let along = along + Vector::new(along.y, along.x) * ACROSS;
        let inside = Vector::new(sheet.length - 2.0 * sheet.margin, sheet.width - 2.0 * sheet.margin);
        let middle = |p: &Posture| center(&p.outline).coords.dot(&along) - sheet.margin * along.sum();
        Search {
            table,
            rims,
            wanted: pieces.iter().map(|p| p.count).collect(),
            middles: table.all().iter().map(middle).collect(),
            along,
            front: if along.x > along.y { inside.y } else { inside.x },
            width: width(effort.level, table.all().len()),
            random: (effort.seed != 0).then(|| Rand64::new(u128::from(effort.seed))),
        }
    }

    fn run(mut self) -> Layout {
        let mut kept = vec![self.empty()];
        let mut best = Layout::default();
        while !kept.is_empty() {
            for layout in &kept {
                if layout.area > best.area * (1.0 + 1e-9) {
                    best = layout.clone();
                }
            }
            let steps = self.best_steps(&kept);
            kept = steps.iter().map(|step| self.taken(&kept[step.layout], step)).collect();
        }
        best
    }

    fn empty(&self) -> Layout {
        let all = self.table.all().iter().enumerate();
        let free = all.map(|(k, p)| {
            let places = self.rims.first_places(k, p.room);
            self.free_of(k, p.room, &[], places)
        });
        Layout { free: free.collect(), left: self.wanted.clone(), ..Layout::default() }
    }

    /// The best continuations of all layouts, no two of them the same layout.
    fn best_steps(&mut self, kept: &[Layout]) -> Vec<Step> {
        let mut steps = Vec::new();
        for (index, layout) in kept.iter().enumerate() {
            let mut own = self.steps(index, layout);
            own.sort_by(|a, b| a.mark.total_cmp(&b.mark));
            steps.extend(own.into_iter().take(CONTINUED));
        }
        steps.sort_by(|a, b| a.mark.total_cmp(&b.mark));
        let mut seen = HashSet::new();
        steps.retain(|step| seen.len() < self.width && seen.insert(print(&kept[step.layout].spots, step.spot)));
        steps
    }

    fn steps(&mut self, index: usize, layout: &Layout) -> Vec<Step> {
        let mut steps = Vec::new();
        for (posture, p) in self.table.all().iter().enumerate() {
            if layout.left[p.kind] == 0 {
                continue;
            }
            for &at in &layout.free[posture] {
                let area = layout.area + p.area;
                let moment = layout.moment + p.area * (self.middles[posture] + at.dot(&self.along));
                let mark = self.mark(area, moment);
                steps.push(Step { layout: index, spot: Spot { posture, at }, area, moment, mark });
            }
        }
        steps
    }

    /// How far the area lies behind the front of a solid filling, on average: less is better.
    fn mark(&mut self, area: f64, moment: f64) -> f64 {
        let mark = moment / area - area / self.front / 2.0;
        self.random.as_mut().map_or(mark, |random| mark * (1.0 + JITTER * random.rand_float()))
    }

    fn taken(&self, layout: &Layout, step: &Step) -> Layout {
        let mut spots = layout.spots.clone();
        spots.push(step.spot);
        let mut left = layout.left.clone();
        left[self.table.all()[step.spot.posture].kind] -= 1;
        let free = self.table.all().iter().enumerate().map(|(k, p)| {
            if left[p.kind] == 0 {
                return Vec::new();
            }
            let beside = self.table.pair(step.spot.posture, k);
            let mut free: Vec<Vector> =
                layout.free[k].iter().copied().filter(|v| beside.allows(v - step.spot.at)).collect();
            let places = self.rims.places(k, p.room, step.spot, &layout.spots);
            free.extend(self.free_of(k, p.room, &spots, places));
            free
        });
        let free = free.collect();
        Layout { free, spots, left, area: step.area, moment: step.moment }
    }

    /// The places that are inside the room and free, each once.
    fn free_of(&self, posture: usize, room: Bounds, spots: &[Spot], mut places: Vec<Vector>) -> Vec<Vector> {
        let inner = room.grown(COINCIDENT_MM / 2.0);
        let kept_out = self.table.all()[posture].kept_out();
        places.retain(|v| inner.touches(Bounds { min: Point::from(*v), max: Point::from(*v) }));
        places.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
        places.dedup_by(|a, b| (*a - *b).norm() <= SAME_PLACE_MM);
        places.retain(|v| {
            kept_out.iter().all(|k| k.allows(*v))
                && spots.iter().all(|s| self.table.pair(s.posture, posture).allows(v - s.at))
        });
        places
    }
}

/// The same for the same pieces in the same places, in whatever order they were laid.
fn print(spots: &[Spot], last: Spot) -> u64 {
    let of = |spot: &Spot| {
        let step = |v: f64| (v / SAME_PLACE_MM / 100.0).round() as i64 as u64;
        [spot.posture as u64, step(spot.at.x), step(spot.at.y)].into_iter().fold(0x9e37_79b9_7f4a_7c15, |hash, v| {
            let mixed = (hash ^ v).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            mixed ^ (mixed >> 29)
        })
    };
    spots.iter().chain([&last]).map(of).fold(0, u64::wrapping_add)
}

/// The middle of a polygon's area.
fn center(outline: &[Point]) -> Point {
    let (mut area, mut sum) = (0.0, Vector::zeros());
    for (i, p) in outline.iter().enumerate() {
        let q = outline[(i + 1) % outline.len()];
        let part = p.x * q.y - p.y * q.x;
        area += part;
        sum += (p.coords + q.coords) * part;
    }
    Point::from(sum / (3.0 * area))
}
