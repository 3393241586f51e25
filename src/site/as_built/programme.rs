//! The linear programmes behind a schedule: how far each tread is moved, and what that does to the
//! risers.
//!
//! Tread k may be shimmed up by `u_k` and trimmed down by `d_k`; its top then stands at `h_k` +
//! `u_k` - `d_k` and riser k is the difference of two neighbouring surfaces. Largest and smallest
//! riser are variables too, so a limit on the spread is one line. Least total adjustment is the
//! least sum of `u_k` + `d_k`: a linear programme, solved exactly to the rounding of doubles.
//! Formulas: linear programming; that shims and trims are the remedy: common practice, no source.

use microlp::{
    ComparisonOp, Error as Unsolved, LinearExpr, OptimizationDirection, Problem, Solution, Variable,
};

use super::built::BuiltFlight;
use super::limits::RiserLimits;
use crate::diagnostics::{Error, ErrorKind};
use crate::job::Room;
use crate::units::Length;

/// What a programme makes as small as it can be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Goal {
    /// The sum of all shims and trims.
    Adjustment,
    /// Largest less smallest riser.
    Spread,
    /// The largest riser.
    LargestRiser,
    /// The smallest riser, made as large as it can be.
    SmallestRiser,
    /// The largest difference of two neighbours.
    Step,
}

/// A limit is loosened by this in the programme, in mm: above the rounding of heights that were
/// added up, a hundredth of what [`crate::profile::ON_THE_LIMIT`] forgives.
const LOOSE_MM: f64 = 1e-8;

/// A move smaller than this is none, in mm.
const NO_MOVE_MM: f64 = 1e-7;

/// One flight with the room that its treads have.
pub(super) struct Programme<'a> {
    pub flight: &'a BuiltFlight,
    pub room: &'a [Room],
}

struct Model {
    problem: Problem,
    shims: Vec<Variable>,
    trims: Vec<Variable>,
    smallest: Variable,
    largest: Variable,
    step: Variable,
}

impl Programme<'_> {
    /// How far each tread moves, upwards positive; `None` where nothing inside the room keeps the
    /// limits.
    ///
    /// # Errors
    /// Of the kind `Internal`, where the solver breaks off.
    pub(super) fn solve(
        &self,
        goal: Goal,
        limits: &RiserLimits,
    ) -> Result<Option<Vec<Length>>, Error> {
        let model = self.model(goal, limits);
        let outcome = match model.problem.solve() {
            Ok(outcome) => outcome,
            Err(Unsolved::Infeasible) => return Ok(None),
            Err(problem) => return Err(broken(&problem.to_string())),
        };
        let solution = outcome.into_solution().map_err(|_| broken("no solution was reached"))?;
        let moves = |(&shim, &trim): (&Variable, &Variable)| moved(&solution, shim, trim);
        let moves: Vec<f64> = model.shims.iter().zip(&model.trims).map(moves).collect();
        if moves.iter().any(|by| !by.is_finite()) {
            return Err(broken("a move is not finite"));
        }
        Ok(Some(moves.into_iter().map(Length::mm).collect()))
    }

    fn model(&self, goal: Goal, limits: &RiserLimits) -> Model {
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let per_move = if goal == Goal::Adjustment { 1.0 } else { 0.0 };
        let up = |room: &Room| (0.0, room.shim().as_mm());
        let down = |room: &Room| (0.0, room.trim().as_mm());
        let shims = self.room.iter().map(|room| problem.add_var(per_move, up(room))).collect();
        let trims = self.room.iter().map(|room| problem.add_var(per_move, down(room))).collect();
        let (small_cost, large_cost, step_cost) = match goal {
            Goal::Adjustment => (0.0, 0.0, 0.0),
            Goal::Spread => (-1.0, 1.0, 0.0),
            Goal::LargestRiser => (0.0, 1.0, 0.0),
            Goal::SmallestRiser => (-1.0, 0.0, 0.0),
            Goal::Step => (0.0, 0.0, 1.0),
        };
        let figure =
            |bound: &Option<super::Bound>| bound.as_ref().map(|bound| bound.figure.as_mm());
        let least = figure(&limits.least).map_or(0.0, |least| least - LOOSE_MM);
        let most = figure(&limits.most).map_or(f64::INFINITY, |most| most + LOOSE_MM);
        let step = figure(&limits.step).map_or(f64::INFINITY, |step| step + LOOSE_MM);
        let smallest = problem.add_var(small_cost, (least, f64::INFINITY));
        let largest = problem.add_var(large_cost, (0.0, most));
        let step = problem.add_var(step_cost, (0.0, step));
        let mut model = Model { problem, shims, trims, smallest, largest, step };
        if let Some(spread) = figure(&limits.spread) {
            let terms = [(model.largest, 1.0), (model.smallest, -1.0)];
            model.problem.add_constraint(terms, ComparisonOp::Le, spread + LOOSE_MM);
        }
        self.bind_risers(&mut model);
        self.bind_steps(&mut model);
        model
    }

    /// Every riser lies between the smallest and the largest.
    fn bind_risers(&self, model: &mut Model) {
        for (k, riser) in self.flight.risers().iter().enumerate() {
            let weights = [(k, 1.0), (k.wrapping_sub(1), -1.0)];
            let (terms, smallest, largest) =
                (self.terms(model, &weights), model.smallest, model.largest);
            let problem = &mut model.problem;
            let up_to = with(&terms, largest);
            problem.add_constraint(up_to, ComparisonOp::Le, -riser.as_mm());
            problem.add_constraint(with(&terms, smallest), ComparisonOp::Ge, -riser.as_mm());
        }
    }

    /// No two neighbouring risers differ by more than the step.
    fn bind_steps(&self, model: &mut Model) {
        for (k, pair) in self.flight.risers().windows(2).enumerate() {
            let weights = [(k + 1, 1.0), (k, -2.0), (k.wrapping_sub(1), 1.0)];
            let difference = (pair[1] - pair[0]).as_mm();
            let (terms, step) = (self.terms(model, &weights), model.step);
            model.problem.add_constraint(with(&terms, step), ComparisonOp::Le, -difference);
            let turned: Vec<(Variable, f64)> =
                terms.iter().map(|&(variable, by)| (variable, -by)).collect();
            model.problem.add_constraint(with(&turned, step), ComparisonOp::Le, difference);
        }
    }

    /// The weighted moves of treads, counted from 0; an index beyond the treads is a floor and does
    /// not move.
    fn terms(&self, model: &Model, weights: &[(usize, f64)]) -> Vec<(Variable, f64)> {
        let of_tread = |&(k, by): &(usize, f64)| {
            Some([(*model.shims.get(k)?, by), (*model.trims.get(k)?, -by)])
        };
        weights.iter().filter_map(of_tread).flatten().collect()
    }
}

/// The terms less one variable.
fn with(terms: &[(Variable, f64)], less: Variable) -> LinearExpr {
    terms.iter().copied().chain([(less, -1.0)]).collect()
}

fn moved(solution: &Solution, shim: Variable, trim: Variable) -> f64 {
    let by = solution.var_value(shim) - solution.var_value(trim);
    if by.abs() < NO_MOVE_MM { 0.0 } else { by }
}

fn broken(why: &str) -> Error {
    Error::new(ErrorKind::Internal, "the schedule's linear programme broke off").found(why)
}
