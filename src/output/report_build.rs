//! Fills the report from a worked-up job.

use super::Stamp;
use super::around_report::AroundReport;
use super::report::{
    ChoiceReport, CleatReport, CleatedReport, FileReport, FlightReport, HoleReport, HousedReport,
    JobReport, LedgerReport, MarksReport, OutlineReport, PlacementReport, PocketReport,
    ProgramReport, RapidReport, Report, SCHEMA, SetUpReport, StockReport, TabReport,
    VerifiedReport,
};
use super::steps_report::StairPiecesReport;
use super::tool_words::ToolWords;
use super::whole_report::OpeningReport;
use crate::cam::compensate::Ledger;
use crate::cam::mark::Hole;
use crate::cam::plan::{Marking, Placed, Program, SetUp, Task};
use crate::geometry::Point;
use crate::job::{Cleated, Job};
use crate::pipeline::workup::{Choice, Workup};
use crate::profile::{Machine, ZZero};
use crate::stair::Flight;
use crate::stair::outline::{Cleat, CleatMark, Outline, Pocket, cleat_marks};
use crate::units::Length;

impl Report {
    /// The report of a worked-up job with no program and no file in it yet.
    pub fn of(workup: &Workup) -> Self {
        let job = &workup.job;
        Self {
            schema: SCHEMA,
            tool: Stamp::tool(),
            job: JobReport::of(job, &workup.fingerprint),
            flight: FlightReport {
                numbers: workup.numbers(),
                finished_risers_mm: workup
                    .flight
                    .finished_risers()
                    .into_iter()
                    .map(Length::as_mm)
                    .collect(),
            },
            choices: workup.choices.iter().map(choice).collect(),
            outline: workup.outline.as_ref().map(|part| outline(job, &workup.flight, part)),
            around: AroundReport::of(&workup.around),
            opening: OpeningReport::of(workup),
            stair: StairPiecesReport::of(workup),
            findings: workup.findings.clone(),
            nests: Vec::new(),
            sheets: Vec::new(),
            boards: Vec::new(),
            cost: None,
            machine_time_s: None,
            programs: Vec::new(),
            judged: Vec::new(),
            asked: None,
            files: Vec::new(),
            digest: None,
        }
    }
}

fn choice(choice: &Choice) -> ChoiceReport {
    let flight = &choice.flight;
    ChoiceReport {
        risers: flight.risers,
        unit_rise_mm: flight.unit_rise.as_mm(),
        unit_run_mm: flight.unit_run.as_mm(),
        pitch_deg: flight.pitch_rad().to_degrees(),
        throat_mm: flight.behind_notches().as_mm(),
        blank_length_mm: choice.blank_length.map(Length::as_mm),
        chosen: choice.reason.is_some(),
        reason: choice.reason.map(|reason| reason.to_string()),
        findings: choice.codes.iter().map(|code| code.name()).collect(),
    }
}

fn outline(job: &Job, flight: &Flight, outline: &Outline) -> OutlineReport {
    let edges = outline.contour().edges();
    OutlineReport {
        vertices_mm: edges
            .iter()
            .map(|e| [positive_zero(e.segment.from().x), positive_zero(e.segment.from().y)])
            .collect(),
        roles: edges.iter().map(|e| e.role.to_string()).collect(),
        housed: job.stringer.housed().map(|housed| HousedReport {
            hand: housed.hand.name(),
            pockets: outline.pockets().iter().map(pocket).collect(),
        }),
        cleated: job.stringer.cleated().map(|of| cleated(of, &cleat_marks(job, flight), outline)),
    }
}

fn cleated(of: &Cleated, marks: &[CleatMark], outline: &Outline) -> CleatedReport {
    let place = |p: &Point| [positive_zero(p.x), positive_zero(p.y)];
    let one = |(cleat, mark): (&Cleat, &CleatMark)| CleatReport {
        tread: cleat.number,
        corners_mm: cleat.corners.map(|p| place(&p)),
        holes_mm: cleat.holes.iter().map(place).collect(),
        along_mm: mark.along.as_mm(),
        front_mm: mark.front.as_mm(),
    };
    CleatedReport {
        hand: of.hand.name(),
        with: of.with.name(),
        height_mm: of.height.as_mm(),
        stands_out_mm: of.with.stands_out().as_mm(),
        hole_mm: of.hole.as_mm(),
        holes: of.holes.name(),
        cleats: outline.cleats().iter().zip(marks).map(one).collect(),
    }
}

fn pocket(pocket: &Pocket) -> PocketReport {
    let edges = pocket.contour.edges();
    let vertex = |p: Point| [positive_zero(p.x), positive_zero(p.y)];
    PocketReport {
        depth_mm: pocket.depth.as_mm(),
        vertices_mm: edges.iter().map(|e| vertex(e.segment.from())).collect(),
        roles: edges.iter().map(|e| e.role.to_string()).collect(),
    }
}

/// A zero without its sign.
fn positive_zero(value: f64) -> f64 {
    value + 0.0
}

fn set_up(of: &SetUp) -> SetUpReport {
    SetUpReport { number: of.number, of: of.of }
}

/// The entry of one program.
pub fn program_report(
    file: &str,
    machine: &Machine,
    of: &Ledger,
    program: &Program,
    times: usize,
    verified: VerifiedReport,
) -> ProgramReport {
    let words = ToolWords::of(&machine.tool);
    let (offset_applied, tool_width) = match (program.task, &program.marking) {
        (Task::Mark, Some(marking)) => ("none", marking.width),
        _ => (words.offset, machine.tool_radius() * 2.0),
    };
    ProgramReport {
        file: file.to_string(),
        machine: machine.name.clone(),
        process: words.process,
        cutter_mm: tool_width.as_mm(),
        stock: StockReport {
            length_mm: program.stock.length.as_mm(),
            width_mm: program.stock.width.as_mm(),
            thickness_mm: program.stock.thickness.as_mm(),
        },
        z_zero: match machine.z_zero {
            _ if program.set_up.as_ref().is_some_and(|of| of.number == 0) => "table-top",
            ZZero::StockTop => "stock-top",
            ZZero::Bed => "bed",
        },
        offset_applied,
        ledger: match program.task {
            Task::Cut => ledger(of),
            Task::Mark => Vec::new(),
        },
        leaves_mm: program.roughs.then(|| machine.tool.leaves().as_mm()),
        placements: program.pieces.iter().map(placed).collect(),
        tabs: program
            .tabs
            .iter()
            .map(|tab| TabReport {
                x_mm: tab.at.x,
                y_mm: tab.at.y,
                length_mm: tab.length_mm,
                height_mm: tab.height_mm,
            })
            .collect(),
        holes: program.holes.iter().copied().map(hole).collect(),
        set_up: program.set_up.as_ref().map(set_up),
        setups_mm: match &program.set_up {
            None => Vec::new(),
            Some(_) => {
                program.setups.iter().map(|by| [positive_zero(by.x), positive_zero(by.y)]).collect()
            }
        },
        pins: program.pins.iter().copied().map(hole).collect(),
        marks: program.marking.as_ref().map(marks),
        cut_length_mm: program.cut_length_mm,
        rapid_length_mm: program.rapid_length_mm,
        rapid_across: program
            .rapid_bound_mm
            .map(|(length_mm, bound_mm)| RapidReport { length_mm, bound_mm }),
        time_s: program.time_s,
        times,
        verified,
    }
}

/// To a hundred-thousandth of a millimetre, far below a program's last digit: every digit more is
/// only length.
fn stroke_digit(mm: f64) -> f64 {
    (mm * 1e5).round() / 1e5 + 0.0
}

fn placed(piece: &Placed) -> PlacementReport {
    let at = piece.placement.translation.vector;
    let turn_deg = piece.placement.rotation.angle().to_degrees();
    PlacementReport { part: piece.name.clone(), x_mm: at.x, y_mm: at.y, turn_deg }
}

fn hole(hole: Hole) -> HoleReport {
    HoleReport { x_mm: hole.center.x, y_mm: hole.center.y, diameter_mm: hole.radius.as_mm() * 2.0 }
}

fn marks(marking: &Marking) -> MarksReport {
    let points = |stroke: &Vec<Point>| {
        stroke.iter().map(|p| [stroke_digit(p.x), stroke_digit(p.y)]).collect()
    };
    MarksReport {
        width_mm: marking.width.as_mm(),
        depth_mm: marking.depth.as_mm(),
        strokes_mm: marking.strokes.iter().map(points).collect(),
    }
}

fn ledger(ledger: &Ledger) -> Vec<LedgerReport> {
    let report = |entry: &crate::cam::compensate::LedgerEntry| LedgerReport {
        what: entry.what,
        amount_mm: entry.amount.as_mm(),
        side: entry.side,
    };
    ledger.entries().into_iter().map(report).collect()
}

/// The entry of one file.
pub fn file_report(name: &str, bytes: &[u8]) -> FileReport {
    use sha2::{Digest, Sha256};
    let sha256 = Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect();
    FileReport { name: name.to_string(), bytes: bytes.len(), sha256 }
}
