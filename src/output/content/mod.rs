//! What is told of a job, whoever draws it: sections of sentences and tables, made once from the
//! work-up.
//!
//! The terminal, the bench page and the printed bench sheet show the same sections; [`grid`] cuts
//! their tables into cells for all of them.

mod cautions;
mod clamping;
mod corners;
mod cut_from;
mod cut_list;
mod fit_card;
mod grid;
mod layout;
pub(in crate::output) mod machine_sheet;
mod marks;
mod numbers;
mod opening;
mod pictures;
mod positions;
mod rail;
mod run_order;
mod saw_table;
mod section;
mod site;
mod strength;
mod totals;
mod whole;
mod work_list;

pub(in crate::output) use cautions::cautions_of;
pub(in crate::output) use cut_from::in_feet;
pub use cut_from::run_of;
pub use cut_from::{CutFrom, SheetsAlike};
pub use grid::{Cell, Column, Grid, grid};
pub(in crate::output) use machine_sheet::{is_pass, passes};
pub(in crate::output) use pictures::{LEAST_POLE_MM, poles};
pub use run_order::{RunOf, run_order};
pub use section::{
    BenchSheet, Check, Figure, Mark, Pictures, Piece, Section, Table, TableRows, Topic,
};

pub use saw_table::boards_of;
pub(in crate::output) use saw_table::which_board;
pub(in crate::output) use whole::turn_words;
pub use whole::whole_stair;
pub use work_list::{SheetFiles, work_list};
pub(in crate::output) use work_list::{for_whom, size};

use super::Stamp;
use crate::job::Seat;
use crate::pipeline::workup::Workup;

/// The bench sheet of a worked-up job. It decides no geometry and rounds nothing: every value is
/// exact until it is printed. Where the flight has no stringer or no program, the rows that need
/// one are not there.
pub fn bench_sheet(workup: &Workup) -> BenchSheet {
    bench_sheet_of(workup, &CutFrom::default())
}

/// The bench sheet of a job that is cut together with others, or several times: out of what, and
/// how often, stands in its cut list.
pub fn bench_sheet_of(workup: &Workup, cut_from: &CutFrom<'_>) -> BenchSheet {
    let job = &workup.job;
    let alone = if cut_from.runs.is_empty() { run_order::alone(workup) } else { Vec::new() };
    let runs = if alone.is_empty() { &cut_from.runs } else { &alone };
    let mut sections = vec![numbers::numbers(workup)];
    // Laid out by hand, nothing is run.
    sections.extend((!job.by_hand).then(|| run_order(runs)));
    sections.extend([
        marks::poles(workup),
        fit_card::fit_card(job, workup),
        cut_list::cut_list(job, workup, cut_from),
        layout::hang_line(workup),
        positions::positions(workup),
    ]);
    sections.extend((!job.by_hand).then(|| machine_sheet::machine_sheet(job, workup, runs)));
    sections.extend(around(workup));
    sections.push(cautions::cautions(job, workup));
    sections.extend([layout::layout(workup), marks::marks(workup)]);
    let pictures = pictures::pictures(workup, &sections);
    BenchSheet {
        called: "bench sheet",
        stamp: Stamp::of(workup),
        about: layout::about(job, workup, cut_from.times),
        sections,
        pictures,
    }
}

/// The sections that the job asks for beyond the stringer.
pub fn asked(workup: &Workup) -> Vec<Section> {
    let mut sections = around(workup);
    sections.extend(workup.around.stringers.is_some().then(|| positions::positions(workup)));
    sections
}

fn around(workup: &Workup) -> Vec<Section> {
    let around = &workup.around;
    let mut sections = Vec::new();
    sections.extend(around.ground.as_ref().map(site::ground));
    let follows = around.ground.as_ref().is_some_and(|fit| fit.seat.lies == Seat::Follow);
    sections.extend(around.across.as_ref().map(|fit| site::across(fit, follows)));
    sections.extend(around.head.as_ref().map(site::head_joints));
    sections.extend(opening::opening(workup));
    sections.extend(rail::rail(workup));
    sections.extend(around.beam.as_ref().map(strength::strength));
    sections.extend(around.movement.as_ref().map(site::movement));
    sections
}
