//! A part longer than the machine's travel, cut in several set-ups: the material is moved along by
//! exactly one distance, located by two pins in holes of its own waste, never by a cut edge.
//!
//! Steps stay in the stock frame; `setups` says where the stock lies on the machine. Defaults are
//! common practice, no source.

mod apart;
mod breaks;
mod pins;
mod sections;
mod words;

use super::program::{self, Layout, Program, Task};
use super::sheet::said::of_piece;
use super::span::center_of;
use super::tabs::{self, Keep, TabShape};
use crate::cam::compensate::ToolPath;
use crate::cam::mark::Hole;
use crate::check::{Lie, Room, StockBox, fit, trimmed_sheet};
use crate::diagnostics::codes::{self, NotShifted, Unheld};
use crate::diagnostics::{Count, Figure, Finding, Fine, Outcome, Refusals, Warned};
use crate::geometry::{Bounds, Placement, Point, Vector};
use crate::job::Job;
use crate::profile::{Machine, ProgramUnits, Router};
use crate::units::Length;
pub use apart::{SetUp, SetUps};
use breaks::Breaks;
use pins::Pins;

/// The most set-ups of one program.
const MOST_SETUPS: usize = 12;
/// A travel that nothing is longer than, in mm, to ask whether the part fits but for its length.
const ENDLESS_MM: f64 = 1e7;
/// A shift is a whole number of these: an inch, or ten millimetres.
const WHOLE_MM: f64 = 10.0;
/// Sections overlap by this at a break, or by a cutter if that is more, to each side: a quarter
/// inch.
const OVERLAP_IN: f64 = 0.25;

/// Which of the machine's axes the stock is moved along.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Axis(usize);

impl Axis {
    fn of(lie: Lie) -> Self {
        match lie {
            Lie::AlongX => Self(0),
            Lie::AlongY => Self(1),
        }
    }

    /// The coordinate along it.
    pub(super) fn along(self, p: Point) -> f64 {
        p[self.0]
    }

    /// The displacement along it.
    pub(super) fn vector(self, mm: f64) -> Vector {
        if self.0 == 0 { Vector::new(mm, 0.0) } else { Vector::new(0.0, mm) }
    }

    /// Its letter in a program.
    pub(super) fn letter(self) -> &'static str {
        if self.0 == 0 { "X" } else { "Y" }
    }
}

/// Where the set-ups lie along the stock: set-up `k` reaches from `k * by` to `k * by + reach`. In
/// mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shifts {
    pub axis: Axis,
    pub count: usize,
    pub by: f64,
    pub reach: f64,
}

impl Shifts {
    /// From the machine's frame to the stock's in set-up `k`, as a displacement.
    pub(super) fn offset(&self, k: usize) -> Vector {
        self.axis.vector(self.by * k as f64)
    }

    /// What both set-up `k` and the next one reach, along the axis.
    pub(super) fn shared(&self, k: usize) -> (f64, f64) {
        (self.by * (k + 1) as f64, self.by * k as f64 + self.reach)
    }
}

/// Plans a part in several set-ups, and what there is to say about it.
///
/// # Errors
/// The refusals: a tool or material that this is not made for, a part that is too wide, no place
/// for a break or for pins.
pub(super) fn plan(
    job: &Job,
    part: Bounds,
    room: Room,
    layout: Layout,
    path: &ToolPath,
) -> Outcome<Program> {
    let machine = &job.cut.machine;
    let router = machine.tool.cutter().ok_or_else(|| router_only(NotShifted::Beam))?;
    if layout == Layout::OwnEdges {
        return Err(router_only(NotShifted::OwnEdges));
    }
    if router.rough.is_some() {
        return Err(router_only(NotShifted::Roughed));
    }
    if !machine.tool.ties() {
        return Err(codes::NothingHolds { how: Unheld::Shifts }.at("cut.long").into());
    }
    let (lie, stock) = fit_along(part, room, job)?;
    let placement = program::placement(lie, part, room);
    let site = Site { job, router, path, placement, stock, axis: Axis::of(lie) };
    let mut why = NoPlan::NoBreak;
    let mut best: Option<(f64, Warned<Program>)> = None;
    for count in 2..=MOST_SETUPS {
        match site.planned(count) {
            // Of two that are as near at the head the one with fewer shifts.
            Ok((error, planned)) => {
                if best.as_ref().is_none_or(|(least, _)| error < least - LEAST_GAIN_MM) {
                    best = Some((error, planned));
                }
            }
            // Where the path could be broken, the pins are what is wrong.
            Err(NoPlan::NoPins) => why = NoPlan::NoPins,
            Err(NoPlan::NoBreak) => {}
        }
    }
    let (_, Warned { value, findings }) = best.ok_or_else(|| Refusals::from(why.finding()))?;
    let planned = Warned::unless_refused(findings)?.map(|()| value);
    Ok(planned.and_say(trimmed_sheet(&stock, lie, &job.cut.material)))
}

/// Less than this at the head is worth no more shifts, in mm.
const LEAST_GAIN_MM: f64 = 0.01;

/// Why there is no plan.
#[derive(Clone, Copy, Debug)]
enum NoPlan {
    /// No place to break the path at, or the set-ups do not overlap.
    NoBreak,
    /// No waste for the pins.
    NoPins,
}

impl NoPlan {
    fn finding(self) -> Finding {
        let limit = Count::from(MOST_SETUPS);
        match self {
            Self::NoBreak => codes::IndexNoBreak { limit }.at("path"),
            Self::NoPins => codes::IndexNoPins { limit }.at("material"),
        }
    }
}

fn router_only(what: NotShifted) -> Refusals {
    codes::IndexRouterOnly { what }.at("machine").into()
}

/// How the part lies if it may be longer than the travel: along the longer axis first.
fn fit_along(part: Bounds, room: Room, job: &Job) -> Result<(Lie, StockBox), Refusals> {
    let machine = &job.cut.machine;
    let axes = if machine.travel[0] >= machine.travel[1] { [0, 1] } else { [1, 0] };
    let endless = |axis: usize| {
        let mut longer = machine.clone();
        longer.travel[axis] = Length::mm(ENDLESS_MM);
        fit(part, room, &longer, &job.cut.material)
    };
    endless(axes[0]).or_else(|misfits| endless(axes[1]).map_err(|_| misfits))
}

/// One part on one machine.
struct Site<'a> {
    job: &'a Job,
    router: &'a Router,
    path: &'a ToolPath,
    placement: Placement,
    stock: StockBox,
    axis: Axis,
}

impl Site<'_> {
    fn machine(&self) -> &Machine {
        &self.job.cut.machine
    }

    /// The shifts of so many set-ups, the shortest that reach the end; `None` where fewer would do
    /// as well.
    fn shifts(&self, count: usize, overlap: f64) -> Option<Shifts> {
        let reach = self.machine().travel[self.axis.0].as_mm();
        let off_line = self.job.cut.machine.tool.allowance();
        let end = self.head() + Vector::repeat((self.path.radius() + off_line).as_mm());
        let whole = match self.machine().units {
            ProgramUnits::Inches => self.machine().units.in_mm(),
            ProgramUnits::Millimetres => WHOLE_MM,
        };
        let least = (self.axis.along(end) - reach) / (count - 1) as f64;
        let by = (least / whole - 1e-9).ceil().max(1.0) * whole;
        (reach - by > 4.0 * overlap).then_some(Shifts { axis: self.axis, count, by, reach })
    }

    /// What is cut last: the corner of the path's box at the head.
    fn head(&self) -> Point {
        self.path.contour().placed(&self.placement).bounds().max
    }

    /// The program with so many set-ups and how far it may be off at the head, in mm; the reason
    /// where there is none, if there is one to tell.
    fn planned(&self, count: usize) -> Result<(f64, Warned<Program>), NoPlan> {
        let radius = self.path.radius().as_mm();
        let overlap = (2.0 * radius).max(Length::inches(OVERLAP_IN).as_mm());
        let shifts = self.shifts(count, overlap).ok_or(NoPlan::NoBreak)?;
        let breaks =
            Breaks::find(self.path, &self.placement, self.machine().arcs, &shifts, overlap);
        let breaks = breaks.ok_or(NoPlan::NoBreak)?;
        let pins = Pins::find(self.path, &self.placement, &self.stock, self.job, &shifts);
        let pins = pins.ok_or(NoPlan::NoPins)?;
        let thickness = self.job.cut.material.thickness.as_mm();
        let shape = TabShape::new(thickness, 2.0 * radius, self.router);
        let center = self.placement * center_of(self.path.piece());
        let placed = tabs::place(&breaks.round, shape, 2.0 * radius, (0.0, 0.0), center);
        let zones = breaks.zones();
        let tabs = tabs::clear_of(placed, &breaks.round, shape, 2.0 * radius, &zones);
        let keep = Keep { end: 0.0, zones: &zones, is_clear: &|_| true };
        let tabs = tabs::eased(tabs, &breaks.round, shape, 2.0 * radius, &keep);
        let cutting = sections::Cutting {
            site: self,
            shifts: &shifts,
            breaks: &breaks,
            pins: &pins,
            tabs: &tabs,
            shape,
            head: self.head(),
        };
        let (steps, ways) = (cutting.steps(), cutting.ways());
        if !sections::within_travel(&steps, &shifts, self.machine()) {
            return Err(NoPlan::NoBreak);
        }
        let setups: Vec<Vector> = (0..count).map(|k| Vector::zeros() - shifts.offset(k)).collect();
        let said =
            [of_piece("tabs", &tabs, center, self.machine(), shape), self.said(&shifts, &pins)]
                .concat();
        let pieces = vec![program::Placed::alone(self.placement)];
        let bare = Program::of_steps(Task::Cut, self.stock, pieces, Vec::new(), self.machine());
        let program = Program { setups, pins: pins.holes(), tabs, ways, ..bare }
            .with_steps(steps, self.machine());
        Ok((pins.error_at_mm(self.head()), Warned::new(program, said)))
    }

    fn said(&self, shifts: &Shifts, pins: &Pins) -> Vec<Finding> {
        let many =
            codes::IndexedShifts { measured: Count::from(shifts.count), by: Length::mm(shifts.by) };
        let each: Vec<f64> = pins.turns_rad();
        let (worst, sum) = (each.iter().copied().fold(0.0, f64::max), each.iter().sum::<f64>());
        let nearest = pins.apart().into_iter().fold(f64::INFINITY, f64::min);
        let far = pins.error_at_mm(self.head());
        let from = match self.machine().pin_play {
            Some(_) => "pin_play of the machine profile",
            None => "taken as usual, no source",
        };
        let radians = |value| Figure { value, unit: "rad", digits: 6 };
        let turn = codes::ShiftTurn {
            measured: Fine(Length::mm(far)),
            pin: pins.diameter,
            apart: Length::mm(nearest),
            play: Fine(pins.play),
            from,
            each: radians(worst),
            all: radians(sum),
        };
        vec![many.at("machine"), turn.at("machine")]
    }
}

/// The first set-up that reaches all of a stroke.
pub(super) fn first_reaching(
    stroke: &[Point],
    setups: &[Vector],
    machine: &Machine,
) -> Option<usize> {
    let reached = |setup: &Vector| {
        let on_table = |p: &Point| {
            let at = p + setup;
            (0..2).all(|axis| at[axis] >= 0.0 && at[axis] <= machine.travel[axis].as_mm())
        };
        stroke.iter().all(on_table)
    };
    setups.iter().position(reached)
}

/// The first set-up of a program that reaches a hole in its part: two set-ups share more than a
/// hole's width, so that one reaches it whole.
pub(super) fn setup_of(hole: Hole, program: &Program, machine: &Machine) -> usize {
    let reached = |setup: &Vector| {
        let center = hole.center + setup;
        (0..2).all(|i| {
            center[i] >= hole.radius.as_mm()
                && center[i] <= machine.travel[i].as_mm() - hole.radius.as_mm()
        })
    };
    match program.setups[..] {
        [_] => 0,
        ref several => several.iter().position(reached).expect("some set-up reaches a hole whole"),
    }
}
