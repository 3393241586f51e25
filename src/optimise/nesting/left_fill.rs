//! Left fill: pieces put one by one as near to the left as they go, touching what lies there
//! already.
//!
//! Bottom-left fill (B. S. Baker, E. G. Coffman, R. L. Rivest, Orthogonal packings in two
//! dimensions, 1980; for polygons K. A. Dowsland, S. Vaid, W. B. Dowsland, An algorithm for polygon
//! placement using a bottom-left strategy, 2002; from memory) with left in the place of bottom. A
//! piece is tried at every height at which it would sit in a seat of one that lies there, and slid
//! in from the left through the gaps between forbidden stretches.
//!
//! For n pieces placed with s seats each, one more costs O(n s) heights of O(n) slices: O(n^2 s)
//! slices at worst, bounded by a number of slices in all.

use super::field::{Field, RotatedPiece, area, upright_angles};
use super::meetings::{Meetings, Met};
use super::problem::{Piece, Placed, box_area};
use crate::geometry::{Bounds, Vector, tolerance::COINCIDENT_MM};
use oorandom::Rand64;

/// A field being filled.
pub(super) struct LeftFill<'a> {
    field: &'a Field,
    pieces: &'a [Piece],
    meetings: &'a Meetings,
    shapes: Vec<RotatedPiece>,
    /// How shape meets shape, as far as it was asked: of fixed, then moved.
    met: Vec<Vec<Option<Met>>>,
    placed: Vec<(usize, Vector)>,
    /// How many of the placed ones are kept-out rectangles.
    kept_out: usize,
    /// Slices that may still be looked at.
    slices: usize,
    random: Option<Rand64>,
    varies: Varies,
}

/// So many pieces that found no place speak for one that is hardly smaller, by this share of each
/// measure: of sixty near-alike kinds else all are asked on every full sheet, in vain. Four, not
/// one, for teeth of another pitch may just sit where others do not; 2 % is a tooth's fraction of
/// an inch.
const NEAR_MISSES: usize = 4;
const HARDLY: f64 = 0.98;
/// Up to so many kinds all are asked: it costs little there, and one piece may be a sheet.
const ALL_ASKED: usize = 16;

/// One that lies, and between which x it can be in the way of another.
struct InTheWay {
    met: Met,
    at: Vector,
    start: f64,
    end: f64,
}

/// What chance decides on when a field is filled again.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Varies {
    Angles,
    AnglesAndPlaces,
}

impl<'a> LeftFill<'a> {
    /// A field with some pieces on it already; at most so many slices of no-fit polygons are looked
    /// at.
    pub(super) fn new(
        pieces: &'a [Piece],
        field: &'a Field,
        meetings: &'a Meetings,
        lying: &[Placed],
        slices: usize,
    ) -> Self {
        let mut fill = LeftFill {
            field,
            pieces,
            meetings,
            shapes: Vec::new(),
            met: Vec::new(),
            placed: Vec::new(),
            kept_out: 0,
            slices,
            random: None,
            varies: Varies::Angles,
        };
        // What is kept out comes first, so that emptying the field is a truncation.
        for kept in meetings.kept_out() {
            if let Some(shape) = fill.shape(kept, 0.0) {
                fill.placed.push((shape, Vector::zeros()));
            }
        }
        fill.kept_out = fill.placed.len();
        for one in lying {
            if let Some(shape) = fill.shape(one.piece, one.placement.rotation.angle()) {
                fill.placed.push((shape, one.placement.translation.vector));
            }
        }
        fill
    }

    /// Whether no more may be looked at.
    pub(super) fn is_spent(&self) -> bool {
        self.slices == 0
    }

    /// An empty field again, to be filled by other choices: among angles, with an odd seed among
    /// places too.
    pub(super) fn empty_again(&mut self, seed: u64) {
        self.placed.truncate(self.kept_out);
        self.varies = if seed % 2 == 1 { Varies::AnglesAndPlaces } else { Varies::Angles };
        self.random = Some(Rand64::new(u128::from(seed)));
    }

    /// Adds pieces, kind after kind in the order given, no more of each than `left` says, turned by
    /// `turn` radians against their own angles, until none fits or enough was looked at; what was
    /// added, in order.
    pub(super) fn fill(&mut self, order: &[usize], left: &[usize], turn: f64) -> Vec<Placed> {
        let mut added = Vec::new();
        let mut room = self.room_left();
        let mut missed: Vec<Bounds> = Vec::new();
        for &kind in order {
            let own = area(&self.pieces[kind].outline);
            if own > room || left[kind] == 0 {
                continue;
            }
            let Some(bounds) = Bounds::around(self.pieces[kind].outline.iter().copied()) else {
                continue;
            };
            // What is no shorter and no narrower than a piece that found no place finds none
            // either, but for a rare shape: with many kinds, most questions are saved by this.
            let is_larger =
                |b: &Bounds| bounds.width() >= b.width() && bounds.height() >= b.height();
            let is_hardly_smaller = |b: &&Bounds| {
                bounds.width() >= b.width() * HARDLY && bounds.height() >= b.height() * HARDLY
            };
            let is_hopeless = self.pieces.len() > ALL_ASKED
                && missed.iter().filter(is_hardly_smaller).count() >= NEAR_MISSES;
            if is_hopeless || missed.iter().any(is_larger) {
                continue;
            }
            let angles = upright_angles(self.pieces[kind].rotations).iter().map(|a| a + turn);
            let shapes: Vec<usize> = angles.filter_map(|a| self.shape(kind, a)).collect();
            for _ in 0..left[kind] {
                let Some(best) = self.best_place(&shapes).filter(|_| own <= room) else {
                    missed.push(bounds);
                    break;
                };
                room -= own;
                self.placed.push(best);
                added.push(self.shapes[best.0].placed(best.1));
            }
        }
        added
    }

    /// The area of the field that nothing lies on, in mm^2.
    fn room_left(&self) -> f64 {
        let lying = self.placed[self.kept_out..].iter();
        let taken: f64 = lying.map(|(shape, _)| area(&self.shapes[*shape].points)).sum();
        box_area(self.field.usable) - taken
    }

    /// Of the leftmost place of each shape the one whose right end is furthest left, give or take
    /// what chance adds.
    fn best_place(&mut self, shapes: &[usize]) -> Option<(usize, Vector)> {
        // All shapes are placed before any is ranked: chance is asked in a fixed order.
        let mut places = Vec::new();
        for shape in shapes {
            if let Some(at) = self.leftmost(*shape) {
                places.push((*shape, at));
            }
        }
        let mut ranked = Vec::new();
        for place in places {
            let end = place.1.x + self.shapes[place.0].bounds.max.x;
            ranked.push((end + self.noise(place.0), place));
        }
        ranked.into_iter().min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, place)| place)
    }

    /// What a place is taken to be further right than it is, so that another angle may be chosen:
    /// up to half the piece. More would choose angles without sense, less none but near ties.
    fn noise(&mut self, shape: usize) -> f64 {
        let half = self.shapes[shape].bounds.width() / 2.0;
        self.random.as_mut().map_or(0.0, |random| half * random.rand_float())
    }

    /// The number of the shape of this piece at this angle.
    fn shape(&mut self, piece: usize, angle: f64) -> Option<usize> {
        // Turns are sums of a few angles: equal ones may differ by rounding, and each shape costs
        // meetings with all others.
        let is_same =
            |s: &RotatedPiece| s.piece == piece && (s.angle - angle).abs() < COINCIDENT_MM;
        if let Some(known) = self.shapes.iter().position(is_same) {
            return Some(known);
        }
        self.shapes.push(self.meetings.shape(piece, angle)?);
        self.met.push(Vec::new());
        Some(self.shapes.len() - 1)
    }

    /// The place of a shape furthest left among the heights where it touches something.
    fn leftmost(&mut self, shape: usize) -> Option<Vector> {
        let room = self.shapes[shape].inner_fit(self.field.usable)?;
        let mut best: Option<(f64, Vector)> = None;
        let heights = self.heights(shape, room);
        let lying = self.lying_by_x(shape);
        for y in heights {
            // Further right than the best so far is of no use: slices are saved.
            let limit = best.map_or(room.max.x, |b| b.0.min(room.max.x));
            let Some(x) = self.first_free(&lying, y, (room.min.x, limit)) else { continue };
            let rank = match self.varies {
                Varies::Angles => x,
                Varies::AnglesAndPlaces => x + self.noise(shape),
            };
            // Better by more than rounding, else the lower height: ties must not hang on the last
            // bit.
            if best.is_none_or(|b| rank < b.0 - COINCIDENT_MM) {
                best = Some((rank, Vector::new(x, y)));
            }
            // No place is further left than the edge.
            if self.random.is_none() && x <= room.min.x {
                break;
            }
        }
        best.map(|b| b.1)
    }

    /// The heights at which a shape lies at the bottom or the top, or sits in something, rising.
    fn heights(&mut self, shape: usize, room: Bounds) -> Vec<f64> {
        for i in 0..self.placed.len() {
            self.meet(self.placed[i].0, shape);
        }
        let mut heights = vec![room.min.y, room.max.y];
        for (other, at) in &self.placed {
            heights.extend(self.meeting(*other, shape).seats().map(|y| y + at.y));
        }
        // Seats outside of the field are no places.
        heights.retain(|y| (room.min.y..=room.max.y).contains(y));
        heights.sort_by(f64::total_cmp);
        heights.dedup_by(|a, b| *a - *b < COINCIDENT_MM);
        heights
    }

    /// What lies there, by how far left it can be in the way of a shape.
    fn lying_by_x(&self, shape: usize) -> Vec<InTheWay> {
        let in_the_way = |&(other, at): &(usize, Vector)| {
            let met = self.meeting(other, shape).clone();
            let (start, end) = met.reach();
            InTheWay { met, at, start: start + at.x, end: end + at.x }
        };
        let mut lying: Vec<InTheWay> = self.placed.iter().map(in_the_way).collect();
        lying.sort_by(|a, b| a.start.total_cmp(&b.start));
        lying
    }

    /// The first x at a height, not above `limit`, that is clear of everything that lies, which is
    /// told from the left: what begins beyond the first free x is not looked into.
    fn first_free(&mut self, lying: &[InTheWay], y: f64, (from, limit): (f64, f64)) -> Option<f64> {
        let is_near = |of: &&InTheWay| of.met.is_near(y - of.at.y);
        let near: Vec<&InTheWay> = lying.iter().filter(is_near).collect();
        // All that is near is work, whether it is looked into or not: the same effort is the same
        // search. Spent, every height reads as taken: the fill ends as if nothing fitted.
        let left = self.slices.checked_sub(near.len());
        self.slices = left.unwrap_or(0);
        left?;
        let mut x = from;
        loop {
            let before = x;
            for of in &near {
                if of.start >= x || x > limit {
                    break;
                }
                if of.end > x {
                    x = of.met.first_free(y - of.at.y, of.at.x, x);
                }
            }
            if x > limit {
                return None;
            }
            // What moved it may have moved it into one that was asked before.
            if x == before {
                return Some(x);
            }
        }
    }

    /// Makes sure that the meeting of two shapes is known.
    fn meet(&mut self, fixed: usize, moved: usize) {
        let row = &mut self.met[fixed];
        if row.len() <= moved {
            row.resize(moved + 1, None);
        }
        if row[moved].is_none() {
            row[moved] = Some(self.meetings.met(&self.shapes[fixed], &self.shapes[moved]));
        }
    }

    fn meeting(&self, fixed: usize, moved: usize) -> &Met {
        self.met[fixed][moved].as_ref().expect("shapes meet before heights are asked")
    }
}

/// The kinds of which some are left, the largest first: small ones find gaps between large.
pub(super) fn by_size(pieces: &[Piece], left: &[usize]) -> Vec<usize> {
    let is_left = |kind: &usize| left.get(*kind).is_some_and(|n| *n > 0);
    let size = |kind: usize| area(&pieces[kind].outline);
    let mut kinds: Vec<usize> = (0..pieces.len()).filter(is_left).collect();
    kinds.sort_by(|a, b| size(*b).total_cmp(&size(*a)));
    kinds
}
