//! Turning and moving parts of a line towards near stops until no such change helps.

use super::perturbation::Budget;
use super::sequence::{GAIN_MM, Line, Spot};
use super::problem::Problem;
use std::collections::VecDeque;

/// The longest part moved.
const PART: usize = 3;

/// Whether a moved part is turned.
#[derive(Clone, Copy, Debug)]
enum Facing {
    Kept,
    Turned,
}

/// A change of a line; positions are those before it.
#[derive(Clone, Copy, Debug)]
enum Change {
    /// The stop at this position visited by this way.
    Way(usize, usize),
    /// The part from the first to the second position turned.
    Turn(usize, usize),
    /// The part `low..=high` put between `gap` and `gap + 1`.
    Move { low: usize, high: usize, gap: usize, facing: Facing },
    /// The stop at this position put between `gap` and `gap + 1` and visited by this way.
    Put { from: usize, gap: usize, way: usize },
}

/// Stops whose surroundings are still to be looked at.
pub(super) struct Queue {
    stops: VecDeque<usize>,
    queued: Vec<bool>,
}

impl Queue {
    pub fn new(problem: &Problem) -> Queue {
        Queue { stops: VecDeque::new(), queued: vec![false; problem.count + 2] }
    }

    /// Adds the stop at a position; home and end are never looked at.
    pub fn push(&mut self, line: &Line, position: usize) {
        let stop = line.spots[position].stop;
        if stop < line.problem.count && !self.queued[stop] {
            self.queued[stop] = true;
            self.stops.push_back(stop);
        }
    }

    fn pop(&mut self) -> Option<usize> {
        let stop = self.stops.pop_front()?;
        self.queued[stop] = false;
        Some(stop)
    }
}

/// Makes changes until none helps around any queued stop, or the budget is spent. Tells how much shorter the line is.
pub(super) fn descend(line: &mut Line, near: &[Vec<usize>], queue: &mut Queue, budget: &mut Budget) -> f64 {
    let mut gained = 0.0;
    while let Some(stop) = queue.pop() {
        while let Some((added, change)) = best_around(line, line.at[stop], &near[stop], budget) {
            gained -= added;
            for position in apply(line, change) {
                queue.push(line, position);
            }
        }
    }
    gained
}

/// The best change around one position that makes the line shorter, and what it adds.
fn best_around(line: &Line, position: usize, near: &[usize], budget: &mut Budget) -> Option<(f64, Change)> {
    if budget.spent() {
        return None;
    }
    budget.spend(near.len() + 2);
    let mut looking = Looking::at(line, position);
    looking.other_ways();
    for &stop in near {
        looking.towards(line.at[stop]);
    }
    // What lies just outside of the rank's own place: the first and last of a rank may be chosen to suit it.
    looking.towards(looking.block.0 - 1);
    looking.towards(looking.block.1 + 1);
    looking.best.map(|change| (looking.added, change))
}

/// The search for the best change around one position.
struct Looking<'l, 'p> {
    line: &'l Line<'p>,
    here: usize,
    block: (usize, usize),
    /// Travel from the stop before and to the stop behind: a change must offer a shorter link in place of one of them.
    links: [f64; 2],
    best: Option<Change>,
    added: f64,
}

impl<'l, 'p> Looking<'l, 'p> {
    fn at(line: &'l Line<'p>, here: usize) -> Self {
        let [before, this, behind] = [here - 1, here, here + 1].map(|p| line.spots[p]);
        let links = [line.link(before, this), line.link(this, behind)];
        Looking { line, here, block: line.block[this.stop], links, best: None, added: -GAIN_MM }
    }

    fn offer(&mut self, added: f64, change: Change) {
        if added < self.added && allowed(self.line, change) {
            self.added = added;
            self.best = Some(change);
        }
    }

    /// The other ways of this stop where it stands.
    fn other_ways(&mut self) {
        let spots = &self.line.spots;
        let (before, stop, behind) = (spots[self.here - 1], spots[self.here].stop, spots[self.here + 1]);
        if let Some((cost, way)) = self.cheapest(before, stop, behind) {
            self.offer(cost - self.links[0] - self.links[1], Change::Way(self.here, way));
        }
    }

    /// The way of a stop that costs least between two spots.
    fn cheapest(&self, before: Spot, stop: usize, behind: Spot) -> Option<(f64, usize)> {
        let line = self.line;
        let mut best: Option<(f64, usize)> = None;
        for way in line.problem.span(stop) {
            let spot = Spot { stop, way };
            let beat = best.map_or(f64::INFINITY, |(cost, _)| cost);
            let to = line.link(before, spot);
            if to < beat {
                let cost = to + line.link(spot, behind);
                if cost < beat {
                    best = Some((cost, way));
                }
            }
        }
        best
    }

    /// All changes that make this position and another one neighbours.
    fn towards(&mut self, there: usize) {
        if there == self.here {
            return;
        }
        self.turns(there);
        self.moves(there);
        if self.line.problem.span(self.line.spots[self.here].stop).len() > 2 {
            self.puts(there);
        }
    }

    fn turns(&mut self, there: usize) {
        let (line, spots) = (self.line, &self.line.spots);
        let (a, b) = (self.here.min(there), self.here.max(there));
        if b <= self.block.1 && a + 1 < b && line.link(spots[a], line.opposite(spots[b])) < self.links[1] {
            self.offer(turn_adds(line, a + 1, b), Change::Turn(a + 1, b));
        }
        if a >= self.block.0 && a + 1 < b && line.link(line.opposite(spots[a]), spots[b]) < self.links[0] {
            self.offer(turn_adds(line, a, b - 1), Change::Turn(a, b - 1));
        }
    }

    fn moves(&mut self, there: usize) {
        let (line, this, other) = (self.line, self.line.spots[self.here], self.line.spots[there]);
        let back = line.opposite(this);
        if there <= self.block.1 {
            if line.link(other, this) < self.links[0] {
                self.parts_from_here(there, Facing::Kept);
            }
            if line.link(other, back) < self.links[1] {
                self.parts_up_to_here(there, Facing::Turned);
            }
        }
        if there >= self.block.0 {
            if line.link(this, other) < self.links[1] {
                self.parts_up_to_here(there - 1, Facing::Kept);
            }
            if line.link(back, other) < self.links[0] {
                self.parts_from_here(there - 1, Facing::Turned);
            }
        }
    }

    fn parts_from_here(&mut self, gap: usize, facing: Facing) {
        for high in self.here..(self.here + PART).min(self.block.1 + 1) {
            self.part(self.here, high, gap, facing);
        }
    }

    fn parts_up_to_here(&mut self, gap: usize, facing: Facing) {
        for low in (self.here + 1).saturating_sub(PART).max(self.block.0)..=self.here {
            self.part(low, self.here, gap, facing);
        }
    }

    fn part(&mut self, low: usize, high: usize, gap: usize, facing: Facing) {
        if gap + 1 < low || gap > high {
            self.offer(move_adds(self.line, low, high, gap, facing), Change::Move { low, high, gap, facing });
        }
    }

    /// This stop put before or behind another, by its best way there.
    fn puts(&mut self, there: usize) {
        let (line, spots, here) = (self.line, &self.line.spots, self.here);
        let closed = line.link(spots[here - 1], spots[here + 1]) - self.links[0] - self.links[1];
        for gap in there - usize::from(there > 0)..=there {
            let apart = gap + 1 < here || gap > here;
            if apart && gap + 1 >= self.block.0 && gap <= self.block.1 {
                let open = line.link(spots[gap], spots[gap + 1]);
                if let Some((cost, way)) = self.cheapest(spots[gap], spots[here].stop, spots[gap + 1]) {
                    self.offer(closed + cost - open, Change::Put { from: here, gap, way });
                }
            }
        }
    }
}

/// What turning a part adds to the line.
pub(super) fn turn_adds(line: &Line, low: usize, high: usize) -> f64 {
    let s = &line.spots;
    let new = line.link(s[low - 1], line.opposite(s[high])) + line.link(line.opposite(s[low]), s[high + 1]);
    let old = line.link(s[low - 1], s[low]) + line.link(s[high], s[high + 1]);
    new - old + line.turned_inside(low, high)
}

/// What moving a part adds to the line.
fn move_adds(line: &Line, low: usize, high: usize, gap: usize, facing: Facing) -> f64 {
    let s = &line.spots;
    let closed = line.link(s[low - 1], s[high + 1]) - line.link(s[low - 1], s[low]) - line.link(s[high], s[high + 1]);
    let (first, last, inside) = match facing {
        Facing::Kept => (s[low], s[high], 0.0),
        Facing::Turned => (line.opposite(s[high]), line.opposite(s[low]), line.turned_inside(low, high)),
    };
    closed + line.link(s[gap], first) + line.link(last, s[gap + 1]) - line.link(s[gap], s[gap + 1]) + inside
}

/// Whether no arrow leads from a stop of the first part to one of the second.
fn none(line: &Line, from: (usize, usize), to: (usize, usize)) -> bool {
    line.problem.arrowless()
        || (from.0..=from.1).all(|position| {
            let behind = &line.problem.behind[line.spots[position].stop];
            !behind.iter().any(|&stop| (to.0..=to.1).contains(&line.at[stop]))
        })
}

/// Whether the arrows let a part of one rank be turned.
pub(super) fn may_turn(line: &Line, low: usize, high: usize) -> bool {
    none(line, (low, high), (low, high))
}

/// Whether the arrows let two neighbouring parts of one rank, `low..middle` and `middle..=high`, change places.
pub(super) fn may_swap(line: &Line, low: usize, middle: usize, high: usize) -> bool {
    none(line, (low, middle - 1), (middle, high))
}

/// Whether the arrows let a change be made.
fn allowed(line: &Line, change: Change) -> bool {
    let past = |low: usize, high: usize, gap: usize| {
        if gap > high { may_swap(line, low, high + 1, gap) } else { may_swap(line, gap + 1, low, high) }
    };
    match change {
        Change::Way(..) => true,
        Change::Turn(low, high) => may_turn(line, low, high),
        Change::Put { from, gap, .. } => past(from, from, gap),
        Change::Move { low, high, gap, facing: Facing::Kept } => past(low, high, gap),
        Change::Move { low, high, gap, facing: Facing::Turned } => past(low, high, gap) && may_turn(line, low, high),
    }
}

/// Makes a change and tells the positions at its seams.
fn apply(line: &mut Line, change: Change) -> [usize; 6] {
    match change {
        Change::Way(position, way) => {
            line.set_way(position, way);
            [position - 1, position, position + 1, position, position, position]
        }
        Change::Turn(low, high) => {
            line.turn(low, high);
            [low - 1, low, high, high + 1, low, high]
        }
        Change::Move { low, high, gap, facing } => {
            if matches!(facing, Facing::Turned) {
                line.turn(low, high);
            }
            shift(line, low, high, gap)
        }
        Change::Put { from, gap, way } => {
            line.set_way(from, way);
            shift(line, from, from, gap)
        }
    }
}

/// Puts the part `low..=high` between `gap` and `gap + 1` and tells the positions at the seams.
fn shift(line: &mut Line, low: usize, high: usize, gap: usize) -> [usize; 6] {
    if gap > high {
        line.swap(low, high + 1, gap);
        let first = gap + low - high;
        [low - 1, low, first - 1, first, gap, gap + 1]
    } else {
        line.swap(gap + 1, low, high);
        let last = gap + 1 + high - low;
        [gap, gap + 1, last, last + 1, high, high + 1]
    }
}
