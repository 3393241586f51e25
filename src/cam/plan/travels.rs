//! The heights of rapids across: the first, the last and all long ones at the machine's clear
//! height, and where the tool stands at the end.

use super::clamps::{self, ClampBox};
use super::program::{Program, Step};
use crate::diagnostics::codes;
use crate::diagnostics::{Finding, Refusals};
use crate::geometry::{Bounds, Point};
use crate::profile::Machine;
use crate::units::Length;

/// A rapid across farther than this is a long one, in inches (common practice, no source).
const LONG_TRAVEL_IN: f64 = 6.0;

/// Whether a rapid across goes at the clear height.
pub(super) fn is_long(from: Option<Point>, to: Point) -> bool {
    from.is_none_or(|from| (to - from).norm() > Length::inches(LONG_TRAVEL_IN).as_mm())
}

/// Whether the profile says how high it travels far, or where it parks.
pub(super) fn are_named(machine: &Machine) -> bool {
    machine.clear_height.is_some() || machine.park.is_some()
}

/// Where the tool goes at the end, from X0 Y0 on.
pub fn home(machine: &Machine) -> Point {
    let [x, y] = machine.parks_at();
    Point::new(x.as_mm(), y.as_mm())
}

/// The program with its first, its last and its long rapids at the clear height, and parked where
/// the profile says; as it is where the profile says neither.
///
/// # Errors
/// The refusals: a clamp that the clear height does not clear, a place to park at that is over the
/// stock and low, over a clamp, or farther than the machine travels.
pub(super) fn raised(
    program: Program,
    clamps: &[ClampBox],
    machine: &Machine,
) -> Result<Program, Refusals> {
    if !are_named(machine) {
        return Ok(program);
    }
    let refusals: Vec<Finding> = low_over_clamps(clamps, machine)
        .chain(over_stock(&program, machine))
        .chain(over_clamps(&program, clamps, machine))
        .collect();
    if !refusals.is_empty() {
        return Err(refusals.into());
    }
    let mut raising = Raising::new(&program, machine);
    program.steps.iter().for_each(|step| raising.step(step));
    let steps = raising.steps;
    let raised = program.with_steps(steps, machine);
    match beyond_travel(&raised, machine) {
        Some(finding) => Err(finding.into()),
        None => Ok(raised),
    }
}

/// The clamps that the clear height of the profile does not pass over.
fn low_over_clamps<'a>(
    clamps: &'a [ClampBox],
    machine: &'a Machine,
) -> impl Iterator<Item = Finding> + 'a {
    let low = move |(i, clamp): (usize, &ClampBox)| {
        let (measured, limit) = (machine.clear_height?, clamp.height?);
        let limit = limit + Length::inches(clamps::OVER_CLAMP_IN);
        let clamp = (i + 1).into();
        (measured < limit)
            .then(|| codes::ClearHeightLow { clamp, measured, limit }.at("clear_height"))
    };
    clamps.iter().enumerate().filter_map(low)
}

/// A place to park at that lies over the stock and lower than the tool travels over it.
fn over_stock(program: &Program, machine: &Machine) -> Option<Finding> {
    let (measured, limit) = (machine.park?.z?, machine.travel_height());
    let [x, y] = [program.stock.length, program.stock.width];
    let stock = Bounds { min: Point::origin(), max: Point::new(x.as_mm(), y.as_mm()) };
    let is_over = stock.distance(home(machine)) < machine.tool_radius().as_mm();
    (is_over && measured < limit).then(|| codes::ParkLow { measured, limit }.at("park"))
}

/// The clamps that stand where the tool is to be parked.
fn over_clamps<'a>(
    program: &'a Program,
    clamps: &'a [ClampBox],
    machine: &'a Machine,
) -> impl Iterator<Item = Finding> + 'a {
    let (height, near) =
        (machine.park_height().as_mm(), machine.tool_radius().as_mm() + clamps::FROM_CLAMP_MM);
    let is_under = move |clamp: &ClampBox| {
        let lifted = machine.tool.lifts() && clamp.clear_mm() <= height;
        !lifted && clamp.standing(&program.stock).distance(home(machine)) < near
    };
    let told = move |(i, clamp): (usize, &ClampBox)| {
        is_under(clamp).then(|| codes::ParkOnClamp { clamp: (i + 1).into() }.at("park"))
    };
    machine.park.into_iter().flat_map(move |_| clamps.iter().enumerate().filter_map(told))
}

/// A place to park at that is farther from the cut than the machine travels.
fn beyond_travel(program: &Program, machine: &Machine) -> Option<Finding> {
    machine.park?;
    let plane = program.extents()?.plane;
    let far = [plane.width(), plane.height()].map(Length::mm);
    let axis = (0..2).find(|&axis| far[axis].as_mm() > machine.travel[axis].as_mm() + 1e-6)?;
    let (measured, limit) = (far[axis], machine.travel[axis]);
    let axis = [codes::Axis::X, codes::Axis::Y][axis];
    Some(codes::ParkBeyondTravel { axis, measured, limit }.at("park"))
}

/// The steps of a program gone through one by one.
struct Raising<'a> {
    program: &'a Program,
    machine: &'a Machine,
    setup: usize,
    at: Option<Point>,
    /// How high the tool is, where that was said.
    z: Option<f64>,
    is_off: bool,
    steps: Vec<Step>,
}

impl<'a> Raising<'a> {
    fn new(program: &'a Program, machine: &'a Machine) -> Self {
        Self { program, machine, setup: 0, at: None, z: None, is_off: false, steps: Vec::new() }
    }

    fn step(&mut self, step: &Step) {
        match step {
            Step::Stop(_) => {
                (self.setup, self.at, self.z) = (self.setup + 1, None, None);
                self.steps.push(step.clone());
            }
            Step::RapidZ(z) => self.lift(self.at.map_or(self.clear(), |_| *z)),
            Step::FeedZ(z) => {
                self.z = Some(*z);
                self.steps.push(step.clone());
            }
            Step::Cut { segment, to_z, .. } => {
                (self.at, self.z) = (Some(segment.to()), Some(*to_z));
                self.steps.push(step.clone());
            }
            Step::RapidXy(_) if self.is_off => self.park(),
            Step::RapidXy(to) => self.across(*to),
            Step::ToolOff | Step::ToolOn => {
                self.is_off = *step == Step::ToolOff;
                self.steps.push(step.clone());
            }
            _ => self.steps.push(step.clone()),
        }
    }

    fn clear(&self) -> f64 {
        self.machine.travel_height().as_mm()
    }

    /// Quickly up or down; of two heights that follow each other only the last is gone to. A beam's
    /// head is not lifted.
    fn lift(&mut self, z: f64) {
        if !self.machine.tool.lifts() {
            return;
        }
        if let Some(Step::RapidZ(_)) = self.steps.last() {
            self.steps.pop();
        }
        self.steps.push(Step::RapidZ(z));
        self.z = Some(z);
    }

    fn across(&mut self, to: Point) {
        let before = self.machine.safe_height.as_mm();
        let is_long = self.machine.clear_height.is_some() && is_long(self.at, to);
        if is_long && self.z != Some(self.clear()) {
            self.lift(self.clear());
        }
        self.steps.push(Step::RapidXy(to));
        if is_long {
            self.lift(before);
        }
        self.at = Some(to);
    }

    /// Home, at the clear height, and to the height that the profile names there.
    fn park(&mut self) {
        if self.z != Some(self.clear()) {
            self.lift(self.clear());
        }
        let to = home(self.machine) - self.program.setups[self.setup];
        self.steps.push(Step::RapidXy(to));
        self.at = Some(to);
        let stands = self.machine.park_height().as_mm();
        if self.z != Some(stands) {
            self.lift(stands);
        }
    }
}
