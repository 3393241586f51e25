//! The programs of a part that is cut in several set-ups: one that bores the table for the pins,
//! then one or two for each set-up, each with a start and an end of its own.

use super::words;
use crate::cam::mark::Hole;
use crate::cam::plan::by_tool;
use crate::cam::plan::program::{Program, Step, Task};
use crate::cam::plan::travels;
use crate::check::StockBox;
use crate::diagnostics::Refusals;
use crate::geometry::{Point, Segment, Vector, distance_to_segment};
use crate::job::Job;
use crate::profile::{Machine, TOOL_OVER, ZZero};
use crate::units::Length;

/// A tab, or a hole, this near to a cut is of its program, in mm.
const NEAR_MM: f64 = 0.1;

/// Which of a part's set-ups a program is for.
#[derive(Clone, Debug, PartialEq)]
pub struct SetUp {
    /// From 1; 0: the table is bored before the stock lies on it.
    pub number: usize,
    /// How many there are.
    pub of: usize,
    /// What is to be done before it is started.
    pub words: Vec<String>,
}

/// The programs of a part in several set-ups.
#[derive(Clone, Debug)]
pub struct SetUps {
    /// Bores the table.
    pub table: Program,
    /// The machine as that program has it: Z0 at the table's top.
    pub table_machine: Machine,
    /// Marks before the cut of a set-up, where something is marked in it.
    pub marks: Vec<Program>,
    /// The cut of each set-up.
    pub cuts: Vec<Program>,
}

impl SetUps {
    /// Of a cut and of what is marked before it; `None` of a cut in one set-up.
    ///
    /// # Errors
    /// The refusals of the program that bores the table.
    pub fn of(job: &Job, cut: &Program, marks: Option<&Program>) -> Result<Option<Self>, Refusals> {
        if cut.setups.len() < 2 {
            return Ok(None);
        }
        let machine = &job.cut.machine;
        let number = |setup: &Vector| {
            let same = |other: &Vector| (other - setup).norm() < NEAR_MM;
            1 + cut.setups.iter().position(same).expect("marks are made in the set-ups of the cut")
        };
        let mut cuts = apart(cut, machine);
        let mut marks = marks.map_or(Vec::new(), |marks| apart(marks, machine));
        let of = cuts.len();
        for cut in &mut cuts {
            let number = number(&cut.setups[0]);
            let (over, mut words): (Vec<String>, _) =
                take_words(cut).into_iter().partition(|line| line.starts_with(TOOL_OVER));
            let own =
                marks.iter_mut().find(|marks| (marks.setups[0] - cut.setups[0]).norm() < NEAR_MM);
            if let Some(marks) = own {
                let more = take_words(marks);
                words.extend(
                    more.into_iter().filter(|line| !words.contains(line)).collect::<Vec<_>>(),
                );
                marks.set_up = Some(SetUp { number, of, words });
                words = vec![words::AFTER_MARKS.to_string()];
            }
            // Whichever comes first, each is begun over its own place.
            words.extend(over);
            cut.set_up = Some(SetUp { number, of, words });
        }
        let table_machine = Machine { z_zero: ZZero::StockTop, ..machine.clone() };
        let table = table(job, cut, &table_machine)?;
        Ok(Some(Self { table, table_machine, marks, cuts }))
    }

    /// All programs in the order they are run.
    pub fn programs(&self) -> impl Iterator<Item = &Program> {
        let marks_of = |cut: &Program| {
            let number = cut.set_up.as_ref().map(|of| of.number);
            self.marks.iter().find(move |marks| marks.set_up.as_ref().map(|of| of.number) == number)
        };
        let each = self.cuts.iter().flat_map(move |cut| marks_of(cut).into_iter().chain([cut]));
        std::iter::once(&self.table).chain(each)
    }
}

/// The words of a program that was parted from others: moved out of it.
fn take_words(program: &mut Program) -> Vec<String> {
    program.set_up.take().map_or(Vec::new(), |of| of.words)
}

/// A program of each section between two stops; what a stop says comes before the next one.
fn apart(program: &Program, machine: &Machine) -> Vec<Program> {
    let stops = program.steps.split_inclusive(|step| matches!(step, Step::Stop(_)));
    let mut before: Vec<String> = Vec::new();
    let mut each = Vec::new();
    for (k, (section, setup)) in stops.zip(&program.setups).enumerate() {
        let (next, steps) = match section.split_last() {
            Some((Step::Stop(lines), steps)) => (lines.clone(), steps),
            _ => (Vec::new(), section),
        };
        let said = |step: &&Step| matches!(step, Step::Say(_));
        let spoken = steps.iter().take_while(said).count();
        before.extend(steps[..spoken].iter().filter_map(|step| match step {
            Step::Say(words) => Some(words.clone()),
            _ => None,
        }));
        let words = std::mem::replace(&mut before, next);
        let of = program.setups.len();
        let own = of_section(program, *setup, &steps[spoken..], machine);
        each.push(Program { set_up: Some(SetUp { number: k + 1, of, words }), ..own });
    }
    each
}

/// The steps of one set-up, with what of the whole they make.
fn of_section(program: &Program, setup: Vector, steps: &[Step], machine: &Machine) -> Program {
    let cuts: Vec<Segment> = steps
        .iter()
        .filter_map(|step| match step {
            Step::Cut { segment, .. } => Some(*segment),
            _ => None,
        })
        .collect();
    let is_near = |p: Point, by: f64| cuts.iter().any(|cut| distance_to_segment(p, cut) < by);
    let is_cut = |hole: &&Hole| is_near(hole.center, hole.radius.as_mm());
    let own = Program {
        setups: vec![setup],
        tabs: program.tabs.iter().filter(|tab| is_near(tab.at, NEAR_MM)).copied().collect(),
        holes: program.holes.iter().filter(is_cut).copied().collect(),
        pins: program.pins.iter().filter(is_cut).copied().collect(),
        rapid_bound_mm: None,
        ..program.clone()
    };
    own.with_steps(steps.to_vec(), machine)
}

/// The program that bores the table for the pins, each place once.
///
/// # Errors
/// The refusals of where it is parked.
fn table(job: &Job, cut: &Program, machine: &Machine) -> Result<Program, Refusals> {
    let cutter = machine.tool.cutter().expect("only a cutter's parts are shifted");
    let depth = machine.pin_depth();
    // The hole of a pin goes as deep as one through so thick a stock.
    let thickness = (depth - cutter.cut_through).max(Length::mm(LEAST_MM));
    let play = machine.pin_play();
    let mut holes: Vec<Hole> = Vec::new();
    for (i, pin) in cut.pins.iter().enumerate() {
        let center = pin.center + cut.setups[i / 2 + 1];
        if !holes.iter().any(|hole| (hole.center - center).norm() < NEAR_MM) {
            holes.push(Hole { center, radius: pin.radius - play / 2.0 });
        }
    }
    let safe = machine.safe_height.as_mm();
    let mut steps = vec![Step::RapidZ(safe), Step::ToolOn];
    for (i, hole) in holes.iter().enumerate() {
        let name = format!("PIN {} OF {}", i + 1, holes.len());
        steps.extend(by_tool::hole(*hole, &name, machine, thickness));
    }
    steps.extend([Step::ToolOff, Step::RapidXy(Point::origin())]);
    let [length, width] = [0, 1].map(|axis: usize| machine.travel[axis]);
    let stock = StockBox { length, width, thickness };
    let (deep, has_clamps) = (thickness + cutter.cut_through, !job.cut.sharing.clamps.is_empty());
    let words = words::table(&holes, deep, &job.cut.machine, has_clamps);
    let bare = Program::of_steps(Task::Cut, stock, Vec::new(), steps, machine);
    let set_up = Some(SetUp { number: 0, of: cut.setups.len(), words });
    travels::raised(Program { pins: holes, set_up, ..bare }, &[], machine)
}

/// The thinnest that a hole goes through, in mm.
const LEAST_MM: f64 = 0.1;
