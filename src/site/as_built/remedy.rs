//! What would bring a built flight inside its limits: the least total of shims and trims, or that
//! none does.

use super::built::BuiltFlight;
use super::grid::Grid;
use super::limits::{Bound, RiserLimits};
use super::programme::{Goal, Programme};
use super::whole::{OnGrid, least_on};
use crate::diagnostics::{Error, ErrorKind, Exact, Finding, codes};
use crate::job::Room;
use crate::stair::{largest_step, spread};
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
    /// The least in steps that a tape shows. No least thickness of a shim is asked for.
    pub on_tape: OnTape,
}

/// The least schedule in steps that a tape shows, held against the limits anew.
#[derive(Clone, Debug, PartialEq)]
pub enum OnTape {
    /// It is found: in sixteenths wherever one in sixteenths exists.
    Least(Rounded),
    /// None in sixteenths or thirty-seconds keeps every limit.
    NoneKeeps,
    /// The flight and its rooms are too large to look.
    NotSearched,
}

impl OnTape {
    /// The schedule, where there is one.
    pub fn rounded(&self) -> Option<&Rounded> {
        match self {
            Self::Least(rounded) => Some(rounded),
            Self::NoneKeeps | Self::NotSearched => None,
        }
    }
}

/// A schedule in steps that a tape shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Rounded {
    /// Its steps.
    pub grid: Grid,
    /// The moves.
    pub moves: Vec<Length>,
    /// The risers that they give.
    pub risers: Vec<Length>,
    /// The sum of all shims and trims.
    pub total: Length,
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
    let exact = Programme { flight, room };
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
    let on_tape = on_tape(flight, limits, room)?;
    Ok(Remedy::Schedule(Schedule { total: total(&moves), moves, risers, on_tape }))
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

/// Sixteenths, and thirty-seconds where none in sixteenths keeps the limits.
fn on_tape(flight: &BuiltFlight, limits: &RiserLimits, room: &[Room]) -> Result<OnTape, Error> {
    for grid in [Grid::Sixteenths, Grid::ThirtySeconds] {
        let moves = match least_on(grid, flight, room, limits) {
            OnGrid::Least(moves) => moves,
            OnGrid::NoneKeeps => continue,
            OnGrid::TooLarge => return Ok(OnTape::NotSearched),
        };
        let risers = flight.risers_moved(&moves);
        if !limits.hold(&risers) {
            return Err(Error::new(
                ErrorKind::Internal,
                "the schedule on the tape does not keep the limits",
            ));
        }
        return Ok(OnTape::Least(Rounded { grid, total: total(&moves), moves, risers }));
    }
    Ok(OnTape::NoneKeeps)
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
        let finding = match &self.on_tape {
            OnTape::Least(rounded) if rounded.grid == Grid::Sixteenths => return None,
            OnTape::Least(rounded) => {
                let parts = rounded.grid.parts().into();
                codes::BuiltRounding { parts, total: Exact(rounded.total) }.at("flight")
            }
            OnTape::NoneKeeps => codes::BuiltUnrounded {}.at("flight"),
            OnTape::NotSearched => codes::BuiltNotSearched {}.at("flight"),
        };
        Some(finding)
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
