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

/// A shape of the sheet may lie inside another: what lies inside comes first, while the sheet still
/// holds it.
pub(super) fn route(errands: &[Errand], effort: u32) -> Route {
    let boxes: Vec<Bounds> = errands.iter().map(Errand::bounds).collect();
    let inner = |i: usize, j: usize| i != j && errands[j].surrounds(&boxes[j], boxes[i]);
    let stops: Vec<Stop> = errands
        .iter()
        .enumerate()
        .map(|(j, errand)| Stop {
            ways: errand.ways(),
            after: (0..errands.len()).filter(|i| inner(*i, j)).collect(),
            rank: 0,
        })
        .collect();
    let problem = Problem::new(&stops, Point::origin(), End::Home);
    let problem =
        problem.expect("every errand has a way, and no shape lies inside one that lies inside it");
    let found = tour(&problem, Effort { level: effort, seed: 1 });
    Route { visits: found.visits, length_mm: found.length_mm, bound_mm: found.bound_mm }
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
