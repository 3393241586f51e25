//! What would bring a built flight inside its limits: the least total of shims and trims, or that
//! none does.

use super::built::BuiltFlight;
use super::grid::Grid;
use super::limits::{Bound, RiserLimits, largest_step, spread};
use super::programme::{Goal, Programme};
use super::whole::least_whole;
use crate::diagnostics::{Error, ErrorKind, Exact, Finding, codes};
use crate::job::Room;
use crate::profile::ON_THE_LIMIT;
use crate::units::Length;

/// What can be done about a flight.
#[derive(Clone, Debug, PartialEq)]
pub enum Remedy {
    /// Moves of the treads that keep every limit, of the least total; of none at all where the
    /// flight keeps them already.
    Schedule(Schedule),
    /// No moves inside the room do.
    NoneDoes(OutOfReach),
}

/// How far each tread is moved, from the bottom up: shims upwards are positive, trims negative.
#[derive(Clone, Debug, PartialEq)]
pub struct Schedule {
    /// The moves, not rounded. Others may have the same total; none has less.
    pub moves: Vec<Length>,
    /// The risers that they give.
    pub risers: Vec<Length>,
    /// The sum of all shims and trims.
    pub total: Length,
    /// The same in steps that a tape shows, held against the limits anew; `None` where no rounding
    /// that was tried keeps them. No least thickness of a shim is asked for.
    pub rounded: Option<Rounded>,
}

/// A schedule in steps that a tape shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Rounded {
    /// Its steps.
    pub grid: Grid,
    /// How it was found.
    pub how: Rounding,
    /// The moves.
    pub moves: Vec<Length>,
    /// The risers that they give.
    pub risers: Vec<Length>,
    /// The sum of all shims and trims.
    pub total: Length,
}

/// How a rounded schedule was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// Each exact move, rounded.
    EachMove,
    /// Solved anew with rooms in whole steps and the limits tightened by some or all of what
    /// rounding can do, then rounded: a little more is moved.
    Tightened,
    /// Solved in whole steps from the start, where the others found nothing: the least total on
    /// this grid.
    WholeSteps,
}

/// How near a flight can be brought to its limits, each figure on its own and inside the room of
/// the treads.
#[derive(Clone, Debug, PartialEq)]
pub struct OutOfReach {
    /// The least spread.
    pub least_spread: Length,
    /// The least step between neighbours.
    pub least_step: Length,
    /// The lowest that the largest riser can be made.
    pub lowest_largest: Length,
    /// The highest that the smallest riser can be made.
    pub highest_smallest: Length,
}

/// By how much of half a step the limits are tightened before a schedule is rounded, the least
/// first. With all of it any rounding holds; with less, most do, and less is moved.
const MARGINS: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];

/// The remedy of a flight whose treads have this `room`, from the bottom up.
///
/// # Errors
/// Where `room` is not one for each tread, or the solver breaks off.
pub fn remedy(flight: &BuiltFlight, limits: &RiserLimits, room: &[Room]) -> Result<Remedy, Error> {
    if room.len() != flight.treads() {
        return Err(Error::new(
            ErrorKind::Input,
            "the room for shims and trims is not given for each tread",
        )
        .found(format!("{} for {} treads", room.len(), flight.treads()))
        .allowed("one for each tread"));
    }
    let exact = Programme { flight, room, margin: Length::ZERO };
    let Some(moves) = exact.solve(Goal::Adjustment, limits)? else {
        return out_of_reach(&exact).map(Remedy::NoneDoes);
    };
    let risers = flight.risers_moved(&moves);
    if !limits.hold(&risers) {
        return Err(Error::new(
            ErrorKind::Internal,
            "the schedule that was solved does not keep the limits",
        ));
    }
    let rounded = rounded(&exact, limits, &moves)?;
    Ok(Remedy::Schedule(Schedule { total: total(&moves), moves, risers, rounded }))
}

fn total(moves: &[Length]) -> Length {
    moves.iter().map(|&by| by.max(-by)).sum()
}

fn out_of_reach(exact: &Programme<'_>) -> Result<OutOfReach, Error> {
    let nearest = |goal| -> Result<Vec<Length>, Error> {
        let moves = exact.solve(goal, &RiserLimits::default())?;
        let broken =
            || Error::new(ErrorKind::Internal, "a programme without limits has no solution");
        moves.map(|moves| exact.flight.risers_moved(&moves)).ok_or_else(broken)
    };
    let (largest, smallest) = (nearest(Goal::LargestRiser)?, nearest(Goal::SmallestRiser)?);
    Ok(OutOfReach {
        least_spread: spread(&nearest(Goal::Spread)?),
        least_step: largest_step(&nearest(Goal::Step)?),
        lowest_largest: largest.into_iter().fold(Length::ZERO, Length::max),
        highest_smallest: smallest.into_iter().reduce(Length::min).expect("a flight has a riser"),
    })
}

/// The first rounding that keeps the limits: sixteenths before thirty-seconds, the exact moves
/// before others.
fn rounded(
    exact: &Programme<'_>,
    limits: &RiserLimits,
    moves: &[Length],
) -> Result<Option<Rounded>, Error> {
    for grid in [Grid::Sixteenths, Grid::ThirtySeconds] {
        if let Some(found) = on_grid(exact, limits, grid, Rounding::EachMove, moves) {
            return Ok(Some(found));
        }
        let room: Vec<Room> =
            exact.room.iter().map(|room| room.map(|most| grid.below(most))).collect();
        for share in MARGINS {
            let margin = grid.step() / 2.0 * share;
            let Some(moves) = (Programme { flight: exact.flight, room: &room, margin })
                .solve(Goal::Adjustment, limits)?
            else {
                break;
            };
            if let Some(found) = on_grid(exact, limits, grid, Rounding::Tightened, &moves) {
                return Ok(Some(found));
            }
        }
        let whole = least_whole(exact, limits, grid);
        if let Some(found) =
            whole.and_then(|moves| on_grid(exact, limits, grid, Rounding::WholeSteps, &moves))
        {
            return Ok(Some(found));
        }
    }
    Ok(None)
}

/// The moves on a grid, where they stay inside the room and keep the limits.
fn on_grid(
    exact: &Programme<'_>,
    limits: &RiserLimits,
    grid: Grid,
    how: Rounding,
    moves: &[Length],
) -> Option<Rounded> {
    let moves: Vec<Length> = moves.iter().map(|&by| grid.nearest(by)).collect();
    let inside = moves.iter().zip(exact.room).all(|(&by, room)| {
        let slack = Length::mm(ON_THE_LIMIT);
        by <= room.shim() + slack && -by <= room.trim() + slack
    });
    let risers = exact.flight.risers_moved(&moves);
    let total = total(&moves);
    (inside && limits.hold(&risers)).then_some(Rounded { grid, how, moves, risers, total })
}

impl Remedy {
    /// What is worth saying about it.
    pub fn findings(&self, limits: &RiserLimits) -> Vec<Finding> {
        match self {
            Self::Schedule(schedule) => schedule.findings(),
            Self::NoneDoes(reach) => vec![reach.finding(limits)],
        }
    }
}

impl Schedule {
    fn findings(&self) -> Vec<Finding> {
        if self.total <= Length::ZERO {
            return Vec::new();
        }
        let moved = self.moves.iter().filter(|by| by.max(-**by) > Length::ZERO).count();
        let shims =
            codes::BuiltShims { moved: moved.into(), total: Exact(self.total) }.at("flight");
        [shims].into_iter().chain(self.rounding()).collect()
    }

    fn rounding(&self) -> Option<Finding> {
        let Some(rounded) = &self.rounded else {
            return Some(codes::BuiltUnrounded {}.at("flight"));
        };
        let how = match rounded.how {
            Rounding::EachMove if rounded.grid == Grid::Sixteenths => return None,
            Rounding::EachMove => codes::RoundedBy::EachMove,
            Rounding::Tightened => codes::RoundedBy::TighterLimits,
            Rounding::WholeSteps => codes::RoundedBy::WholeSteps,
        };
        let parts = rounded.grid.parts().into();
        Some(codes::BuiltRounding { parts, how, total: Exact(rounded.total) }.at("flight"))
    }
}

impl OutOfReach {
    fn finding(&self, limits: &RiserLimits) -> Finding {
        let asked = |bound: &Option<Bound>| codes::Asked(bound.as_ref().map(|bound| bound.figure));
        let none = codes::BuiltNoneDoes {
            spread: Exact(self.least_spread),
            most_spread: asked(&limits.spread),
            step: Exact(self.least_step),
            most_step: asked(&limits.step),
            largest: Exact(self.lowest_largest),
            most: asked(&limits.most),
            smallest: Exact(self.highest_smallest),
            least: asked(&limits.least),
        };
        none.at("flight")
    }
}
