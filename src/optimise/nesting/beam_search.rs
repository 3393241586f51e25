//! Beam search: piece after piece is laid where it touches two things; of all layouts so far the
//! best few are kept.
//!
//! P. S. Ow, T. E. Morton, Filtered beam search in scheduling, 1988; for pieces J. A. Bennell, X.
//! Song, A beam search implementation for the irregular shape packing problem, 2010 (from memory).
//! A layout of the beam is extended by every orientation at every vertex of its free region; the
//! extensions are scored by how solidly they fill the sheet from one side.
//!
//! **Invariant**: `free[o]` of a layout are places where orientation o may lie, each one allowed by
//! every piece laid, the margin and what is kept out. A new piece only takes places away and adds
//! those where it is itself touched, so they are kept up to date and never made anew.
//!
//! **Cost**: with width w, o orientations, n pieces and f free places each, n steps of O(w o f)
//! extensions scored and O(w o (f + c)) places asked, c crossings with the new piece.

use super::Effort;
use super::angles;
use super::contacts::Contacts;
use super::layout_check::check;
use super::orientation::{Orientation, Orientations, Position};
use super::problem::{Placed, Problem};
use super::watch::Watch;
use crate::geometry::{Bounds, Point, Vector, tolerance::COINCIDENT_MM};
use oorandom::Rand64;
use std::collections::HashSet;

/// The search keeps this much more than the spacing, in mm, so that no rounding takes it below.
const SLACK_MM: f64 = 1e-6;

/// Places closer than this, in mm, are one place: crossings of boundaries are exact to about 1e-9,
/// and no piece more fits for a tenth of a micrometre.
const SAME_PLACE_MM: f64 = 1e-4;

/// The orientations that the widths are meant for; with more of them fewer layouts are kept, so
/// that the work stays the same.
const ORIENTATIONS: usize = 4;

/// How many of one layout's continuations may be kept: else the beam is soon one layout's family.
const CONTINUED: usize = 16;

/// How much the less important direction counts: just enough to decide between equals.
const ACROSS: f64 = 0.05;

/// A seed other than 0 shifts every score by up to this share.
const JITTER: f64 = 0.02;

/// Two areas closer than this share are equal.
const SAME_AREA: f64 = 1e-9;

/// The layout of greatest area on one sheet that a bounded search finds, of no more than the wanted
/// pieces. The same effort gives the same layout.
pub fn fill(problem: &Problem, effort: Effort) -> Vec<Placed> {
    fill_watched(problem, effort, &Watch::nobody())
}

/// The same, or the best so far as soon as the watch says so.
pub(super) fn fill_watched(problem: &Problem, effort: Effort, watch: &Watch<'_>) -> Vec<Placed> {
    let table = Orientations::new(orientations(problem), problem.spacing_mm() + SLACK_MM);
    if table.all().is_empty() {
        return Vec::new();
    }
    let contacts = Contacts::of(&table);
    let search = |along| Search::new(problem, &table, &contacts, along, effort).run(watch);
    // Filled from the left and from below, at once: which is better hangs on the sheet. Each search
    // is the same on its own, so the threads change no outcome.
    let (along_x, along_y) = std::thread::scope(|scope| {
        let x = scope.spawn(|| search(Vector::x()));
        let y = scope.spawn(|| search(Vector::y()));
        let found = "a search that panicked has no layout";
        (x.join().expect(found), y.join().expect(found))
    });
    let is_good = |layout: &Layout| check(problem, &layout.placed(&table)).is_ok();
    let good = [along_x, along_y].into_iter().filter(is_good);
    let found = good.reduce(|a, b| if b.area > a.area { b } else { a });
    found.map_or_else(Vec::new, |layout| layout.placed(&table))
}

/// Every orientation of every piece that the search uses.
fn orientations(problem: &Problem) -> Vec<Orientation> {
    let sheet = problem.sheet();
    let mut all = Vec::new();
    for (kind, piece) in problem.pieces().iter().enumerate() {
        let angles = angles::spread(piece, sheet).into_iter();
        all.extend(angles.filter_map(|angle| Orientation::of(kind, piece, angle, sheet)));
    }
    all
}

/// How many layouts are kept: 50 doubled with each step of effort, by trial. At level 2 the counts
/// of tests/it/packing.rs are reached.
fn width(level: u32, orientations: usize) -> usize {
    let wanted = match level {
        0 => 12,
        1 => 60,
        _ => 50 << level.min(6),
    };
    (wanted * ORIENTATIONS / orientations.max(ORIENTATIONS)).max(8)
}

/// Some pieces laid down.
#[derive(Clone, Debug, Default)]
struct Layout {
    positions: Vec<Position>,
    /// How many of each kind are still wanted.
    left: Vec<usize>,
    /// For each orientation the places where one more may lie.
    free: Vec<Vec<Vector>>,
    area: f64,
    /// Of the area, about the side that is filled first.
    moment: f64,
}

impl Layout {
    fn placed(&self, table: &Orientations) -> Vec<Placed> {
        self.positions.iter().map(|p| table.all()[p.orientation].placed(p.at)).collect()
    }
}

/// A layout of the beam and one piece more.
#[derive(Clone, Copy, Debug)]
struct Extension {
    /// Its index in the beam.
    layout: usize,
    position: Position,
    area: f64,
    moment: f64,
    /// Less is better.
    score: f64,
}

struct Search<'a> {
    table: &'a Orientations,
    contacts: &'a Contacts,
    wanted: Vec<usize>,
    /// Of each orientation, about the direction that is filled, per mm^2.
    middles: Vec<f64>,
    along: Vector,
    /// Of the sheet's inside, across the direction that is filled, in mm.
    front: f64,
    width: usize,
    random: Option<Rand64>,
}

impl<'a> Search<'a> {
    fn new(
        problem: &Problem,
        table: &'a Orientations,
        contacts: &'a Contacts,
        along: Vector,
        effort: Effort,
    ) -> Self {
        let sheet = problem.sheet();
        // The direction filled, with a little of the other, so that each layer is filled in order
        // too.
        let along = along + Vector::new(along.y, along.x) * ACROSS;
        let margins = 2.0 * sheet.margin;
        let inside = Vector::new(sheet.length - margins, sheet.width - margins);
        let middle =
            |o: &Orientation| center(&o.outline).coords.dot(&along) - sheet.margin * along.sum();
        Search {
            table,
            contacts,
            wanted: problem.counts(),
            middles: table.all().iter().map(middle).collect(),
            along,
            front: if along.x > along.y { inside.y } else { inside.x },
            width: width(effort.level, table.all().len()),
            random: (effort.seed != 0).then(|| Rand64::new(u128::from(effort.seed))),
        }
    }

    fn run(mut self, watch: &Watch<'_>) -> Layout {
        let mut beam = vec![self.empty()];
        // A layout that nothing can be added to leaves the beam: the best is kept apart.
        let mut best = Layout::default();
        while !beam.is_empty() && !watch.is_over() {
            for layout in &beam {
                if layout.area > best.area * (1.0 + SAME_AREA) {
                    best = layout.clone();
                }
            }
            let extensions = self.best_extensions(&beam);
            beam = extensions.iter().map(|e| self.extended(&beam[e.layout], e)).collect();
        }
        best
    }

    fn empty(&self) -> Layout {
        let mut free = Vec::new();
        for (k, o) in self.table.all().iter().enumerate() {
            let places = self.contacts.first_places(k, o.inner_fit);
            free.push(self.free_of(k, &[], places));
        }
        Layout { free, left: self.wanted.clone(), ..Layout::default() }
    }

    /// The best extensions of all layouts of the beam, no two of them the same layout.
    fn best_extensions(&mut self, beam: &[Layout]) -> Vec<Extension> {
        let mut extensions = Vec::new();
        for (index, layout) in beam.iter().enumerate() {
            let mut own = self.extensions(index, layout);
            // Stable sorts: of equal scores the earlier layout, orientation and place, on every
            // machine.
            own.sort_by(|a, b| a.score.total_cmp(&b.score));
            extensions.extend(own.into_iter().take(CONTINUED));
        }
        extensions.sort_by(|a, b| a.score.total_cmp(&b.score));
        // The same pieces laid in another order are the same layout: without this the beam fills up
        // with permutations of one.
        let mut seen = HashSet::new();
        extensions.retain(|e| {
            seen.len() < self.width && seen.insert(digest(&beam[e.layout].positions, e.position))
        });
        extensions
    }

    fn extensions(&mut self, index: usize, layout: &Layout) -> Vec<Extension> {
        let mut extensions = Vec::new();
        for (orientation, o) in self.table.all().iter().enumerate() {
            if layout.left[o.kind] == 0 {
                continue;
            }
            for &at in &layout.free[orientation] {
                let area = layout.area + o.area;
                // Area and moment are sums over pieces, so a layout is never gone through again.
                let middle = self.middles[orientation] + at.dot(&self.along);
                let moment = layout.moment + o.area * middle;
                let score = self.score(area, moment);
                let position = Position { orientation, at };
                extensions.push(Extension { layout: index, position, area, moment, score });
            }
        }
        extensions
    }

    /// How far the area lies behind the front of a solid filling, on average: less is better.
    ///
    /// The mean distance of the area from the side it is filled from, less that of the same area
    /// laid solid: so layouts of other areas can be compared, and a large piece is not held against
    /// a layout just because it reaches far.
    fn score(&mut self, area: f64, moment: f64) -> f64 {
        let score = moment / area - area / self.front / 2.0;
        self.random.as_mut().map_or(score, |random| score * (1.0 + JITTER * random.rand_float()))
    }

    fn extended(&self, layout: &Layout, step: &Extension) -> Layout {
        let mut positions = layout.positions.clone();
        positions.push(step.position);
        let mut left = layout.left.clone();
        // An extension is only made of a kind of which one is left.
        left[self.table.all()[step.position.orientation].kind] -= 1;
        let mut free = Vec::new();
        for (k, o) in self.table.all().iter().enumerate() {
            let some = left[o.kind] > 0;
            free.push(if some { self.still_free(k, layout, step, &positions) } else { Vec::new() });
        }
        Layout { positions, left, free, area: step.area, moment: step.moment }
    }

    /// The places of an orientation that a new piece leaves, and those where it touches the new
    /// one.
    fn still_free(
        &self,
        orientation: usize,
        layout: &Layout,
        step: &Extension,
        positions: &[Position],
    ) -> Vec<Vector> {
        let new = step.position;
        // An old place was free of all older pieces: only the new one is asked.
        let beside = self.table.pair(new.orientation, orientation);
        let old = layout.free[orientation].iter().copied();
        let mut free: Vec<Vector> = old.filter(|v| beside.allows(v - new.at)).collect();
        let inner_fit = self.table.all()[orientation].inner_fit;
        // Places that do not touch the new piece were made when what they touch was laid.
        let places = self.contacts.places(orientation, inner_fit, new, &layout.positions);
        free.extend(self.free_of(orientation, positions, places));
        free
    }

    /// The places that are inside the margin and free, each once.
    fn free_of(
        &self,
        orientation: usize,
        positions: &[Position],
        mut places: Vec<Vector>,
    ) -> Vec<Vector> {
        let own = &self.table.all()[orientation];
        let inner = own.inner_fit.grown(COINCIDENT_MM / 2.0);
        // By rising cost: the box, then doubles, then no-fit polygons.
        places.retain(|v| inner.touches(Bounds { min: Point::from(*v), max: Point::from(*v) }));
        places.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
        places.dedup_by(|a, b| (*a - *b).norm() <= SAME_PLACE_MM);
        places.retain(|v| self.is_free(orientation, positions, *v));
        places
    }

    /// Whether an orientation may lie at a place, beside all pieces and what is kept out.
    fn is_free(&self, orientation: usize, positions: &[Position], at: Vector) -> bool {
        let kept_out = self.table.all()[orientation].kept_out();
        let beside = |p: &Position| self.table.pair(p.orientation, orientation).allows(at - p.at);
        kept_out.iter().all(|k| k.allows(at)) && positions.iter().all(beside)
    }
}

/// The same for the same pieces in the same places, in whatever order they were laid: a sum of one
/// hash a piece, for a sum has no order. Two layouts of one digest would cost the beam one layout;
/// at 64 bits that does not happen.
fn digest(positions: &[Position], last: Position) -> u64 {
    positions.iter().chain([&last]).map(piece_digest).fold(0, u64::wrapping_add)
}

/// A hash of an orientation and its place to a hundredth of a millimetre, mixed by multiply and
/// shift (the constants are those of the `SplitMix64` generator).
fn piece_digest(position: &Position) -> u64 {
    let step = |v: f64| (v / SAME_PLACE_MM / 100.0).round() as i64 as u64;
    let words = [position.orientation as u64, step(position.at.x), step(position.at.y)];
    let mut hash: u64 = 0x9e37_79b9_7f4a_7c15;
    for word in words {
        let mixed = (hash ^ word).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        hash = mixed ^ (mixed >> 29);
    }
    hash
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
