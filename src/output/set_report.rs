//! The report of several pieces cut together: how well sheets are used, what boards to buy, which
//! programs to run.

#![allow(missing_docs, reason = "the names are the report's own and carry their units")]

use serde::Serialize;

use super::cost_report::CostReport;
use super::judged_report::JudgedReport;
use super::report::{AskedReport, FileReport, ProgramReport, Report, json};
use super::stamp::Stamp;
use super::steps_report::{StepBoardsReport, boards as step_boards};
use super::whole_report::StairReport;
use crate::cam::plan::ClampBox;
use crate::diagnostics::Finding;
use crate::geometry::Bounds;
use crate::pipeline::set::{BoardPlan, NestFigures, Set, SharedBoards, SheetRun};
use crate::units::Length;

/// The report of several jobs.
#[derive(Clone, Debug, Serialize)]
pub struct SetReport {
    /// Name and version of the schema.
    pub schema: &'static str,
    /// Name and version of this program.
    pub tool: &'static str,
    /// A report for every job, its programs and files left to the set.
    pub jobs: Vec<Report>,
    /// How well sheets are used.
    pub nests: Vec<NestReport>,
    /// How each sheet lies, in the order of their programs.
    pub sheets: Vec<SheetReport>,
    /// The boards to buy.
    pub boards: Vec<BoardsReport>,
    /// The boards to buy for treads, riser boards and skirts of several of the jobs.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub step_boards: Vec<SharedBoardsReport>,
    /// What it costs, where it is cut from a rack with prices.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cost: Option<CostReport>,
    /// How long the machines run for all of it, frames included.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub machine_time_s: Option<f64>,
    /// The stairs of several flights, each flight one of the jobs.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub stairs: Vec<StairReport>,
    /// What there is to say of the set as a whole.
    pub findings: Vec<Finding>,
    /// The programs.
    pub programs: Vec<ProgramReport>,
    /// Of `verify`: each file that was held against the jobs, and what came of it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub judged: Vec<JudgedReport>,
    /// What the files are made of.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub asked: Option<AskedReport>,
    /// The files written.
    pub files: Vec<FileReport>,
    /// The seal of a report that is a file itself; see [`super::report::seal_holds`].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub digest: Option<&'static str>,
}

/// Name and version of the schema of several jobs.
pub const SET_SCHEMA: &str = "seatcut.set/1";

/// How well sheets of one material are used.
#[derive(Clone, Debug, Serialize)]
pub struct NestReport {
    pub material: String,
    /// The size of the offcut that it is about, along the grain and across.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub offcut_mm: Option<[f64; 2]>,
    pub sheets: usize,
    pub bound_sheets: usize,
    pub proven: bool,
    pub boxes_sheets: Option<usize>,
    pub yield_share: f64,
    pub bound_yield_share: f64,
    pub spacing_mm: f64,
    pub effort: u32,
}

/// One layout of a sheet.
#[derive(Clone, Debug, Serialize)]
pub struct SheetReport {
    pub picture: String,
    pub programs: Vec<String>,
    pub times: usize,
    pub pieces: usize,
    pub found_by: &'static str,
    pub remnant: BoxReport,
    pub clamps: Vec<ClampReport>,
}

/// A clamp on the table; no height where none was given.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct ClampReport {
    #[serde(flatten)]
    pub place: BoxReport,
    pub height_mm: Option<f64>,
}

/// A rectangle in the stock frame.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct BoxReport {
    pub x_mm: f64,
    pub y_mm: f64,
    pub length_mm: f64,
    pub width_mm: f64,
}

/// What to buy of one kind of board.
#[derive(Clone, Debug, Serialize)]
pub struct BoardsReport {
    pub material: String,
    pub kerf_mm: f64,
    pub end_trim_mm: f64,
    pub feet: f64,
    pub bound_feet: f64,
    pub proven: bool,
    pub first_fit_feet: Option<f64>,
    pub blanks: Vec<BlankReport>,
    pub boards: Vec<BoardReport>,
}

/// Boards that are bought once for several jobs.
#[derive(Clone, Debug, Serialize)]
pub struct SharedBoardsReport {
    pub jobs: Vec<String>,
    #[serde(flatten)]
    pub boards: StepBoardsReport,
}

fn shared(set: &Set, of: &SharedBoards) -> SharedBoardsReport {
    let title = |member: &usize| set.members[*member].job().title.clone();
    let jobs = of.members.iter().map(title).collect();
    SharedBoardsReport { jobs, boards: step_boards(&of.boards) }
}

/// Blanks of one length.
#[derive(Clone, Debug, Serialize)]
pub struct BlankReport {
    pub job: String,
    pub length_mm: f64,
    pub count: usize,
}

/// One way to saw a board: its blanks by number in the list of blanks.
#[derive(Clone, Debug, Serialize)]
pub struct BoardReport {
    pub length_mm: f64,
    /// As measured, of a board out of a rack that says so.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub width_mm: Option<f64>,
    /// What is written on it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    pub times: usize,
    pub blanks: Vec<usize>,
    pub left_mm: f64,
}

impl SetReport {
    /// The report of a set with no program and no file in it yet.
    pub fn of(set: &Set) -> Self {
        Self {
            schema: SET_SCHEMA,
            tool: Stamp::tool(),
            jobs: set.members.iter().map(|member| Report::of(&member.workup)).collect(),
            nests: set.nests.iter().map(nest).collect(),
            sheets: Vec::new(),
            boards: set.boards.iter().map(|plan| boards(set, plan)).collect(),
            step_boards: set.step_boards.iter().map(|of| shared(set, of)).collect(),
            cost: None,
            machine_time_s: None,
            stairs: set.stairways.iter().map(StairReport::of).collect(),
            findings: set.findings.clone(),
            programs: Vec::new(),
            judged: Vec::new(),
            asked: None,
            files: Vec::new(),
            digest: None,
        }
    }

    /// The report as indented JSON with a newline at its end.
    pub fn to_json(&self) -> String {
        json(self)
    }
}

fn nest(figures: &NestFigures) -> NestReport {
    NestReport {
        material: figures.material.clone(),
        offcut_mm: figures.offcut.map(|of| of.size.map(Length::as_mm)),
        sheets: figures.sheets,
        bound_sheets: figures.bound_sheets,
        proven: figures.proven,
        boxes_sheets: figures.boxes_sheets,
        yield_share: figures.yield_share,
        bound_yield_share: figures.bound_share,
        spacing_mm: figures.spacing.as_mm(),
        effort: figures.effort,
    }
}

/// The entry of one layout.
pub fn sheet_report(run: &SheetRun, picture: &str, programs: Vec<String>) -> SheetReport {
    SheetReport {
        picture: picture.to_string(),
        programs,
        times: run.times,
        pieces: run.programs.cut.pieces.len(),
        found_by: run.method,
        remnant: box_report(&run.remnant),
        clamps: run.clamps.iter().map(clamp_report).collect(),
    }
}

fn clamp_report(clamp: &ClampBox) -> ClampReport {
    ClampReport { place: box_report(&clamp.place), height_mm: clamp.height.map(Length::as_mm) }
}

fn box_report(bounds: &Bounds) -> BoxReport {
    BoxReport {
        x_mm: bounds.min.x + 0.0,
        y_mm: bounds.min.y + 0.0,
        length_mm: bounds.width(),
        width_mm: bounds.height(),
    }
}

fn boards(set: &Set, plan: &BoardPlan) -> BoardsReport {
    BoardsReport {
        material: plan.material.clone(),
        kerf_mm: plan.kerf.as_mm(),
        end_trim_mm: plan.end_trim.as_mm(),
        feet: plan.feet,
        bound_feet: plan.bound_feet,
        proven: plan.proven,
        first_fit_feet: plan.first_fit_feet,
        blanks: plan
            .blanks
            .iter()
            .map(|blank| BlankReport {
                job: set.members[blank.member].job().title.clone(),
                length_mm: blank.length.as_mm(),
                count: blank.count,
            })
            .collect(),
        boards: plan
            .boards
            .iter()
            .map(|of| BoardReport {
                length_mm: of.length.as_mm(),
                width_mm: of.known.width.map(Length::as_mm),
                name: of.known.name.clone(),
                times: of.times,
                blanks: of.blanks.clone(),
                left_mm: of.left.as_mm(),
            })
            .collect(),
    }
}
