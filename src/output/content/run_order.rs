//! Every program of a set in the order they are run: what lies on the table, which tool, how long.

use super::section::{Figure, Section, Table, Topic};
use crate::cam::plan::{Program, Task};
use crate::output::program_name;
use crate::pipeline::numbers::Value;
use crate::pipeline::workup::Workup;
use crate::profile::{Machine, MarkTool, ZZero};
use crate::units::{feed, minutes, on_tape, trimmed};

/// One program of a set, as it is run.
#[derive(Clone, Debug)]
pub struct RunOf<'a> {
    /// The name of its file.
    pub file: String,
    /// Whether it only goes round the box of all motion.
    pub is_frame: bool,
    /// Whether it makes something of the job that the sheet is about.
    pub is_own: bool,
    /// The machine it is for.
    pub machine: &'a Machine,
    /// What lies on the table.
    pub material: &'a str,
    /// What it runs.
    pub program: &'a Program,
    /// How many times it is run.
    pub times: usize,
    /// The numbers of the pieces that it makes, one a run, where people write them on by hand.
    pub numbers: Vec<String>,
}

impl RunOf<'_> {
    /// What it does.
    pub(in crate::output) fn does(&self) -> String {
        let does = match (self.is_frame, self.program.task) {
            (true, _) => "goes round, cuts nothing",
            (false, Task::Mark) => "marks",
            (false, Task::Cut) if self.program.roughs => "roughs out, leaves every tab",
            (false, Task::Cut) if self.is_on_line() => "cuts to the line, after roughing",
            (false, Task::Cut) => "cuts",
        };
        match &self.program.set_up {
            Some(set_up) if set_up.number == 0 => "bores the table for pins".to_string(),
            Some(set_up) => format!("{does}, set-up {} of {}", set_up.number, set_up.of),
            None => does.to_string(),
        }
    }

    /// Whether another cutter has taken most of the wood before it.
    fn is_on_line(&self) -> bool {
        self.machine.tool.rough().is_some()
    }

    /// Whether it works on the table and not on the stock.
    fn is_of_table(&self) -> bool {
        self.program.set_up.as_ref().is_some_and(|set_up| set_up.number == 0)
    }

    /// Its tool by type and width.
    pub(in crate::output) fn tool(&self) -> String {
        let tool = &self.machine.tool;
        if self.is_frame {
            return if tool.lifts() { "spindle off" } else { "beam off" }.to_string();
        }
        if let Some(beam) = tool.beam() {
            return format!("beam, kerf {}", on_tape(beam.kerf));
        }
        let words = match (&self.program.marking, tool.cutter()) {
            (Some(marking), _) => format!("pointed cutter, stroke {}", on_tape(marking.width)),
            (None, Some(cutter)) => {
                let roughing =
                    if self.program.roughs { "roughing cutter" } else { "straight cutter" };
                format!("{roughing}, {}", on_tape(cutter.cutter))
            }
            (None, None) => String::new(),
        };
        let tools = self.machine.words.tools;
        match tools.and_then(|tools| tools.number(self.program.task == Task::Mark)) {
            Some(number) => format!("{words}, T{number}"),
            None => words,
        }
    }

    /// How long all its runs take, in seconds: each to the whole second that is printed, so that
    /// what is printed adds up.
    pub fn whole_s(&self) -> f64 {
        self.program.time_s.round() * self.times as f64
    }

    /// All of it in a line: what it does, with which tool, how long; on which machine, where there
    /// are several.
    pub fn told_among(&self, all: &[RunOf<'_>]) -> String {
        match machines_differ(all) {
            true => format!("on {}: {}", self.machine.name, self.told()),
            false => self.told(),
        }
    }

    /// All of it in a line: what it does, with which tool, how long.
    pub fn told(&self) -> String {
        let times = match self.times {
            1 => String::new(),
            times => format!(" a run, {times} runs"),
        };
        format!("{}: {}; {}{times}", self.does(), self.tool(), minutes(self.program.time_s))
    }

    fn z_zero(&self) -> &'static str {
        match self.machine.z_zero {
            _ if !self.machine.tool.lifts() => "none",
            _ if self.is_of_table() => "top of the table",
            ZZero::StockTop => "top of the stock",
            ZZero::Bed => "the bed",
        }
    }

    fn stock(&self) -> String {
        if self.is_of_table() {
            return "the bare table".to_string();
        }
        let stock = &self.program.stock;
        let [x, y, z] = [stock.length, stock.width, stock.thickness].map(on_tape);
        format!("{}, {x} x {y}, {z} thick", self.material)
    }
}

/// The programs of one piece on stock of its own, where no set says more.
pub(super) fn alone(workup: &Workup) -> Vec<RunOf<'_>> {
    let cut = &workup.job.cut;
    let programs: Vec<&Program> =
        workup.planned.iter().flat_map(|planned| planned.programs()).collect();
    let count = programs.len();
    let run = |(i, program)| RunOf {
        file: program_name(i, count, &cut.machine.words.extension),
        is_frame: false,
        is_own: true,
        machine: planned_machine(workup, program),
        material: &cut.material.name,
        program,
        times: cut.pieces(),
        numbers: Vec::new(),
    };
    programs.into_iter().enumerate().map(run).collect()
}

fn planned_machine<'a>(workup: &'a Workup, program: &Program) -> &'a Machine {
    let job = &workup.job;
    workup.planned.as_ref().map_or(&job.cut.machine, |planned| planned.machine_of(program, job))
}

/// Headings of the table, each with its share of the width.
const COLUMNS: [(&str, f64); 8] = [
    ("File", 18.0),
    ("Does", 14.0),
    ("Tool", 23.0),
    ("Z0", 14.0),
    ("Stock", 31.0),
    ("Time", 16.0),
    ("Times", 10.0),
    ("In all", 17.0),
];

/// The same where the programs are for several machines, by the name of each profile.
const ON_MACHINES: [(&str, f64); 9] = [
    ("File", 17.0),
    ("Machine", 24.0),
    ("Does", 13.0),
    ("Tool", 18.0),
    ("Z0", 10.0),
    ("Stock", 24.0),
    ("Time", 16.0),
    ("Times", 11.0),
    ("In all", 16.0),
];

fn machines_differ(runs: &[RunOf<'_>]) -> bool {
    runs.iter().any(|run| run.machine.name != runs[0].machine.name)
}

/// The section: the frame first, and what all of it takes.
pub fn run_order(runs: &[RunOf<'_>]) -> Section {
    if runs.is_empty() {
        let notes = vec!["No program was planned.".to_string()];
        return Section { topic: Topic::RunOrder, notes, tables: Vec::new() };
    }
    let total: f64 = runs.iter().map(RunOf::whole_s).sum();
    let count: usize = runs.iter().map(|run| run.times).sum();
    let on_machines = machines_differ(runs);
    let mut rows: Vec<Vec<Value>> = runs.iter().map(|run| row(run, on_machines)).collect();
    let mut last = vec![Value::from("all of it")];
    last.extend((0..5 + usize::from(on_machines)).map(|_| Value::from("")));
    last.extend([Value::from(count), minutes(total).into()]);
    rows.push(last);
    let mut notes = vec![
        "Run them from the top down; X0 Y0 is the lower left corner of the stock in each."
            .to_string(),
    ];
    if on_machines {
        notes.push("Each program is for the machine beside it and for no other.".into());
    }
    if runs.iter().any(|run| run.program.set_up.is_some()) {
        notes.push(
            "Before each set-up but the first the stock is moved on as the top of its program \
            says; X0 Y0 stays on the table where it was."
                .into(),
        );
    }
    if runs.iter().any(|run| run.is_frame) {
        notes.push(
            "First the frame, with nothing switched on: see that it clears every clamp.".into(),
        );
    }
    if runs.iter().any(|run| run.program.roughs) {
        notes.push(
            "Leave the stock where it is between roughing and the cut to the line: change the \
            cutter, set Z0 anew, and see that every tab still holds."
                .into(),
        );
    }
    if runs.iter().any(|run| !run.numbers.is_empty()) {
        notes.push(
            "A program that is run once for each piece cannot mark a number: write it on each by \
            hand as it comes off, and tick it below."
                .into(),
        );
    }
    notes.push("Clamping, tool changes and moving the stock are not in the times.".into());
    let columns: &[(&str, f64)] = if on_machines { &ON_MACHINES } else { &COLUMNS };
    let mut tables = vec![Table::plain("Programs in the order they are run", columns, rows)];
    tables.extend(runs.iter().filter(|run| !run.numbers.is_empty()).map(numbers));
    Section { topic: Topic::RunOrder, notes, tables }
}

/// Columns of what is ticked run by run.
const RUNS: [(&str, f64); 3] = [("Run", 10.0), ("Number of the piece", 24.0), ("Done", 10.0)];

/// A box to tick for each run of a program.
fn numbers(run: &RunOf<'_>) -> Table {
    let row = |(i, number): (usize, &String)| {
        vec![(i + 1).into(), number.as_str().into(), "[   ]".into()]
    };
    let rows = run.numbers.iter().enumerate().map(row).collect();
    Table::plain(&format!("{}, run by run", run.file), &RUNS, rows)
}

fn row(run: &RunOf<'_>, on_machines: bool) -> Vec<Value> {
    let mut row = vec![run.file.as_str().into()];
    row.extend(on_machines.then(|| run.machine.name.as_str().into()));
    row.extend([
        run.does().as_str().into(),
        run.tool().into(),
        run.z_zero().into(),
        run.stock().into(),
        minutes(run.program.time_s).into(),
        run.times.into(),
        minutes(run.whole_s()).into(),
    ]);
    row
}

/// What the marks of a pattern are cut with.
pub(super) fn marks_tool(run: &RunOf<'_>) -> Option<Figure> {
    let marking = run.program.marking.as_ref()?;
    let pointed = run.program.task == Task::Mark && run.machine.tool.lifts();
    pointed.then(|| {
        Figure::new(format!("pointed cutter of {}", run.file), marking.width).note(format!(
            "width of its strokes, {} deep; a point of {} degrees, {}; another tool than the \
            cutter's: change it between the two",
            marking.depth,
            trimmed(run.machine.tool.point().map_or(0.0, MarkTool::angle_deg), 0),
            feed(run.machine.tool.mark_feed_mm_min()),
        ))
    })
}
