//! What to set at the machine before the program is started, and what it will do first.

use super::clamping;
use super::run_order::{RunOf, marks_tool};
use super::section::{Figure, Section, Table, Topic};
use crate::cam::mark::Hole;
use crate::cam::plan::{Down, Program, Step, Tab};
use crate::check::StockBox;
use crate::geometry::Point;
use crate::job::{Job, Thickness};
use crate::output::tool_words::{ToolWords, held};
use crate::pipeline::workup::Workup;
use crate::profile::{Finish, Laser, Machine, Router, Tool, ZZero};
use crate::units::{Length, feed, minutes, on_tape, trimmed};

/// The machine sheet.
pub(super) fn machine_sheet(job: &Job, workup: &Workup, runs: &[RunOf<'_>]) -> Section {
    let Some(planned) = &workup.planned else {
        return Section {
            topic: Topic::Machine,
            notes: vec!["No program was planned.".to_string()],
            tables: Vec::new(),
        };
    };
    let program = &planned.program;
    let figures = |caption: &str, rows| Table::figures(caption, rows);
    let mut tools = tool(&job.cut.machine.tool);
    let roughing = job.cut.machine.roughing();
    tools.extend(runs.iter().filter(|run| run.is_own).filter_map(marks_tool));
    let mut tables = vec![figures("Set up", set_up(job, &program.stock)), figures("Tool", tools)];
    if let Some(machine) = &roughing {
        tables.push(figures("Roughing cutter, before that tool", tool(&machine.tool)));
    }
    tables.extend(runs.iter().filter(|run| run.is_own && !run.is_frame).flat_map(of_run));
    let ledger = planned.path.ledger().entries();
    let rows =
        ledger.iter().map(|entry| Figure::new(entry.what, entry.amount).note(entry.side)).collect();
    tables.push(figures("Compensated, each kind once", rows));
    Section { topic: Topic::Machine, notes: notes(job, program), tables }
}

/// What there is to say of one program.
fn of_run(run: &RunOf<'_>) -> Vec<Table> {
    let RunOf { file, machine, program, .. } = run;
    let clamping = Table::figures(
        format!("{file}: clamps, and what is cut beyond the stock"),
        clamping::rows(machine, program),
    );
    let figures =
        Table::figures(format!("{file}: it {}", run.does()), program_rows(&machine.tool, program));
    let tabs = Table::figures(
        format!("{file}: tabs, the middle of each on the tool's path"),
        tabs(program),
    );
    [figures, clamping, tabs].into_iter().filter(Table::is_filled).collect()
}

fn notes(job: &Job, program: &Program) -> Vec<String> {
    let words = ToolWords::of(&job.cut.machine.tool);
    let mut notes: Vec<String> = words.notes.iter().map(ToString::to_string).collect();
    notes.extend(clamping::notes(&job.cut.machine, program));
    notes.extend(held(&job.cut.machine.tool).iter().map(ToString::to_string));
    if program.tabs.is_empty() && held(&job.cut.machine.tool).is_empty() {
        notes.push(
            "There are no tabs: the piece comes loose when the cut closes. Mind that it cannot tip."
                .to_string(),
        );
    }
    if program.setups.len() > 1 {
        notes.push(
            "Each set-up has a program of its own, whose first lines say how the stock is moved \
            onto its pins."
                .to_string(),
        );
    }
    notes
}

fn set_up(job: &Job, stock: &StockBox) -> Vec<Figure> {
    let zero = match job.cut.machine.z_zero {
        ZZero::StockTop => "top face of the stock",
        ZZero::Bed => "the bed, bottom face of the stock",
    };
    vec![
        Figure::new("machine", job.cut.machine.name.as_str()).note(job.cut.machine.about.as_str()),
        Figure::new("material", job.cut.material.name.as_str())
            .note(job.cut.material.about.as_str()),
        Figure::new("X0 Y0", "lower left corner of the stock"),
        Figure::new("Z0", zero),
        Figure::new("stock along X", stock.length),
        Figure::new("stock along Y", stock.width),
        Figure::new("stock thickness", stock.thickness).note(of_thickness(job.cut.thickness)),
        Figure::new("safe height above the stock", job.cut.machine.safe_height),
    ]
    .into_iter()
    .chain(travels(&job.cut.machine))
    .collect()
}

/// How high it travels far and where it stands at the end, where the profile says it.
fn travels(machine: &Machine) -> Vec<Figure> {
    let mut rows = Vec::new();
    if let Some(clear) = machine.clear_height {
        rows.push(
            Figure::new("clear height above the stock", clear)
                .note("at the start, at the end and on long travels"),
        );
    }
    if let Some(park) = machine.park {
        let at = format!("X {}, Y {}", on_tape(park.x), on_tape(park.y));
        let row = Figure::new("parked at the end", at);
        rows.push(match machine.tool.lifts() {
            true => row.note(format!("{} above the stock", on_tape(machine.park_height()))),
            false => row,
        });
    }
    rows
}

fn of_thickness(thickness: Thickness) -> String {
    match thickness {
        Thickness::OfProfile => {
            "of the profile: measure it, and give cut.thickness where it differs".to_string()
        }
        Thickness::Measured { .. } => "as measured; the depth of cut counts on it".to_string(),
    }
}

fn tool(tool: &Tool) -> Vec<Figure> {
    let of_cutter = tool.cutter().into_iter().flat_map(cutter);
    of_cutter.chain(tool.beam().into_iter().flat_map(beam)).collect()
}

fn cutter(router: &Router) -> Vec<Figure> {
    let mut rows = vec![
        Figure::new("cutter diameter", router.cutter),
        Figure::new("cutting length, at least the stock's", router.flute_length),
        Figure::new("cutting edges", router.flutes as usize),
        Figure::new("speed", format!("{} rpm", trimmed(router.speed_rpm, 0))),
        Figure::new("feed", feed(router.feed_mm_min())).note("speed x cutting edges x chip load"),
        Figure::new("feed of the pass that goes through", feed(router.last_pass_feed_mm_min)),
        Figure::new("feed on the way in", feed(router.entry_feed_mm_min))
            .note("ramps, holes, down behind tabs on a ramp"),
        Figure::new("feed straight down", feed(router.plunge_feed_mm_min))
            .note("and down behind tabs where no ramp has room"),
    ];
    rows.extend(router.finish.iter().flat_map(finishing));
    rows.extend(leaving(router));
    rows.extend([
        Figure::new("ramp angle", format!("{} deg", trimmed(router.ramp_deg, 1))),
        match router.hold.skin() {
            Some(skin) => Figure::new("skin that stays below every cut", skin),
            None => Figure::new("through the stock by", router.cut_through)
                .note("lay a spoil board under it"),
        },
    ]);
    rows
}

/// What a roughing cutter leaves beside the line.
fn leaving(router: &Router) -> Option<Figure> {
    let left = Figure::new("left beside the line", router.leaves);
    (router.leaves > Length::ZERO)
        .then(|| left.note("on the waste side, for the cutter that comes next; tabs are left too"))
}

/// What is left for the pass on the line, and its feed.
fn finishing(finish: &Finish) -> [Figure; 2] {
    [
        Figure::new("finishing allowance", finish.allowance)
            .note("left on the waste side by all passes but the last, at full depth"),
        Figure::new("feed of the finishing pass", feed(finish.feed_mm_min))
            .note("on the line, tabs kept"),
    ]
}

fn beam(laser: &Laser) -> Vec<Figure> {
    vec![
        Figure::new("kerf, full width", laser.kerf)
            .note("measure it on a scrap of this very sheet"),
        Figure::new("power word", format!("S{}", trimmed(laser.cut_s(), 1))),
        Figure::new("times round", laser.passes as usize),
        Figure::new("feed", feed(laser.feed_mm_min)),
        Figure::new("feed of the pierce", feed(laser.pierce_feed_mm_min)),
        Figure::new("thickest material", laser.max_thickness),
    ]
}

fn program_rows(tool: &Tool, program: &Program) -> Vec<Figure> {
    let mut rows = vec![Figure::new("passes", passes(program))];
    if tool.lifts() {
        rows.push(Figure::new("deepest", Length::mm(deepest(program))).note("below the top face"));
    }
    rows.push(Figure::new("tabs", program.tabs.len()));
    if let (Some(set_up), [by]) = (&program.set_up, program.setups.as_slice())
        && set_up.number > 1
    {
        let axis = if by.x < 0.0 { "X" } else { "Y" };
        let far = on_tape(Length::mm(by.norm()));
        rows.push(
            Figure::new("set-up", format!("{} of {}", set_up.number, set_up.of))
                .note(format!("the stock lies {far} toward -{axis} of where it lay in set-up 1")),
        );
    }
    let of_table = program.set_up.as_ref().is_some_and(|set_up| set_up.number == 0);
    rows.extend(program.pins.iter().enumerate().map(|(i, pin)| pin_row(i, pin, of_table)));
    if let Some(at) = first_move(program) {
        let how = ToolWords::of(tool).first_move;
        rows.push(Figure::new("first move across: X", Length::mm(at.x)).note(how));
        rows.push(Figure::new("first move across: Y", Length::mm(at.y)));
    }
    rows.extend([
        Figure::new("cut length", Length::mm(program.cut_length_mm)),
        Figure::new("rapid length", Length::mm(program.rapid_length_mm)),
        Figure::new("estimated time", minutes(program.time_s)).note("acceleration counted"),
    ]);
    rows
}

/// A hole for a pin: of the table on the machine, else of the stock.
fn pin_row(i: usize, pin: &Hole, of_table: bool) -> Figure {
    let place = |mm: f64| on_tape(Length::mm(mm));
    let at = format!("X {}, Y {}", place(pin.center.x), place(pin.center.y));
    let wide = on_tape(pin.radius * 2.0);
    Figure::new(format!("pin hole {}", i + 1), at).note(match of_table {
        true => format!("{wide} wide, in the table"),
        false => format!("{wide} wide, in the stock, for the next set-up"),
    })
}

/// Whether a step announces a pass, and not the hanging hole or a word to the operator.
pub(in crate::output) fn is_pass(step: &Step) -> bool {
    matches!(step, Step::Say(words) if words.starts_with("PASS "))
}

/// Passes are announced by the program; a beam makes one.
pub(in crate::output) fn passes(program: &Program) -> usize {
    program.steps.iter().filter(|step| is_pass(step)).count().max(1)
}

fn deepest(program: &Program) -> f64 {
    let heights = program.steps.iter().filter_map(|step| match step {
        Step::FeedZ(z) | Step::Cut { to_z: z, .. } => Some(-z),
        _ => None,
    });
    heights.fold(0.0, f64::max)
}

fn first_move(program: &Program) -> Option<Point> {
    program.steps.iter().find_map(|step| match step {
        Step::RapidXy(to) => Some(*to),
        _ => None,
    })
}

/// How the cutter goes down behind a tab.
fn down_words(tab: &Tab) -> &'static str {
    match tab.down {
        _ if tab.down_mm <= 0.0 => "straight up and down",
        Down::Ramp => "down behind it on a ramp",
        Down::Plunge => "down behind it at the feed straight down, no room for a ramp",
    }
}

fn tabs(program: &Program) -> Vec<Figure> {
    let row = |(i, tab): (usize, &Tab)| {
        let place = |mm: f64| Length::mm(mm).to_string();
        let [x, y, length, height] = [tab.at.x, tab.at.y, tab.length_mm, tab.height_mm].map(place);
        Figure::new(format!("tab {} on the {}", i + 1, tab.role), format!("X {x}, Y {y}"))
            .note(format!("{length} long at the edge, {height} high, {}", down_words(tab)))
    };
    program.tabs.iter().enumerate().map(row).collect()
}
