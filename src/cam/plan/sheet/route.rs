//! The order of holes and outlines: inside before outside, the least rapid travel.

use super::begin::Begin;
use crate::cam::mark::Hole;
use crate::cam::plan::round::Round;
use crate::geometry::{Bounds, Point};
use crate::optimise::routing::{Effort, End, Problem, Stop, Visit, Way, tour};

/// One thing to be done on the sheet.
pub(super) enum Errand {
    /// A hole through a piece.
    Hole {
        /// The hole, in the stock frame.
        hole: Hole,
        /// Where the tool comes down.
        enter: Point,
        /// Where it lifts.
        leave: Point,
    },
    /// Round a piece.
    Outline {
        /// Which piece.
        piece: usize,
        /// Its beginnings, one at least.
        ways: Vec<Begin>,
    },
}

/// The order of errands.
pub(super) struct Route {
    pub visits: Vec<Visit>,
    /// Rapid travel across from errand to errand, from and to X0 Y0, in mm.
    pub length_mm: f64,
    /// What it is at least.
    pub bound_mm: f64,
}

/// All holes come before all outlines, while every piece still hangs on the whole sheet, and small
/// ones before large ones, while there is most wood round them. A shape of the sheet may lie inside
/// another: what lies inside comes first.
pub(super) fn route(errands: &[Errand], effort: u32) -> Route {
    let sizes = sizes(errands);
    let boxes: Vec<Bounds> = errands.iter().map(Errand::bounds).collect();
    let inner = |i: usize, j: usize| i != j && errands[j].surrounds(&boxes[j], boxes[i]);
    let stops: Vec<Stop> = errands
        .iter()
        .enumerate()
        .map(|(j, errand)| Stop {
            ways: errand.ways(),
            after: (0..errands.len()).filter(|i| inner(*i, j)).collect(),
            rank: rank(errand, &sizes),
        })
        .collect();
    let problem = Problem::new(&stops, Point::origin(), End::Home);
    let problem =
        problem.expect("every errand has a way, and no shape lies inside one that lies inside it");
    let effort = Effort { level: effort, seed: 1 };
    let found = tour(&problem, effort);
    let bound_mm = found.bound_mm(&problem, effort);
    Route { visits: found.visits, length_mm: found.length_mm, bound_mm }
}

/// The radii of all holes in micrometres, each once, the least first.
fn sizes(errands: &[Errand]) -> Vec<i64> {
    let mut sizes: Vec<i64> = errands.iter().filter_map(Errand::size).collect();
    sizes.sort_unstable();
    sizes.dedup();
    sizes
}

fn rank(errand: &Errand, sizes: &[i64]) -> usize {
    errand.size().map_or(sizes.len(), |size| sizes.partition_point(|other| *other < size))
}

impl Route {
    /// The round chosen for every piece, in their order.
    pub(super) fn chosen_rounds<'e>(&self, errands: &'e [Errand], count: usize) -> Vec<&'e Begin> {
        let mut chosen: Vec<Option<&Begin>> = vec![None; count];
        for visit in &self.visits {
            if let Errand::Outline { piece, ways } = &errands[visit.stop] {
                chosen[*piece] = Some(&ways[visit.way]);
            }
        }
        chosen.into_iter().map(|begin| begin.expect("a route goes round every piece")).collect()
    }
}

impl Errand {
    fn ways(&self) -> Vec<Way> {
        match self {
            Self::Hole { enter, leave, .. } => vec![Way { enter: *enter, leave: *leave }],
            Self::Outline { ways, .. } => ways
                .iter()
                .map(|begin| Way { enter: begin.enter(), leave: begin.leave() })
                .collect(),
        }
    }

    /// The radius of a hole in micrometres; none of an outline.
    fn size(&self) -> Option<i64> {
        match self {
            Self::Hole { hole, .. } => Some((hole.radius.as_mm() * 1e3).round() as i64),
            Self::Outline { .. } => None,
        }
    }

    fn round(&self) -> Option<&Round> {
        match self {
            Self::Hole { .. } => None,
            Self::Outline { ways, .. } => Some(ways[0].round()),
        }
    }

    fn bounds(&self) -> Bounds {
        match self {
            Self::Hole { hole, .. } => {
                Bounds { min: hole.center, max: hole.center }.grown(hole.radius.as_mm())
            }
            Self::Outline { ways, .. } => ways[0].round().bounds(),
        }
    }

    /// Whether the middle of what has that box lies inside the round of this one.
    fn surrounds(&self, own: &Bounds, inner: Bounds) -> bool {
        let within = own.min.x <= inner.min.x
            && own.min.y <= inner.min.y
            && own.max.x >= inner.max.x
            && own.max.y >= inner.max.y;
        let middle = nalgebra::center(&inner.min, &inner.max);
        within && self.round().is_some_and(|round| round.holds(middle))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;

    #[test]
    fn small_holes_come_before_large_ones_however_far_they_are() {
        let hole = |x: f64, radius: f64| {
            let center = Point::new(x, 10.0);
            Errand::Hole {
                hole: Hole { center, radius: Length::mm(radius) },
                enter: center,
                leave: center,
            }
        };
        let errands = [hole(10.0, 8.0), hole(900.0, 3.0), hole(20.0, 5.0), hole(500.0, 3.0)];
        let found = route(&errands, 1);
        let order: Vec<usize> = found.visits.iter().map(|visit| visit.stop).collect();
        assert_eq!((order[2], order[3]), (2, 0), "{order:?}");
        assert!(order[..2].contains(&1) && order[..2].contains(&3), "{order:?}");
    }
}
