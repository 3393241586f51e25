//! What the shape itself shows: head, foot, notch, stock.

use crate::diagnostics::{Code, Finding, GEOMETRY, Severity, codes};
use crate::measure::Job;
use crate::outline::{NotchProblem, Outline, OutlineProblem};
use crate::profile::Form;
use crate::solve::Flight;
use crate::units::Length;

/// Less contact than this at the head is likely a mistake (common practice, no source).
const LEAST_CONTACT_IN: f64 = 3.5;
/// Less wood than this beside or above the plate notch splits off (common practice, no source).
const LEAST_AT_NOTCH_IN: f64 = 1.0;

/// The height over which the plumb cut bears on the rim: from the top tread cut down to the end of the plumb cut or of
/// the rim, whichever is higher; not below 0. `None` where the rim's depth is not known,
/// and for a housed stringer, whose plumb cut goes up past the floor.
pub fn contact_height(flight: &Flight, outline: &Outline) -> Option<Length> {
    if !outline.pockets().is_empty() {
        return None;
    }
    let top = flight.tread_cut_y(flight.treads);
    let plumb_end = top - outline.head_cut_length();
    let rim_end = flight.framing_top_y() - flight.rim_depth?;
    Some((top - plumb_end.max(rim_end)).max(Length::ZERO))
}

/// Everything the shape gives to say.
pub(super) fn shape(job: &Job, flight: &Flight, outline: Result<&Outline, &OutlineProblem>) -> Vec<Finding> {
    let mut findings = match outline {
        // A housed stringer has neither a notch nor a top tread cut to hang by.
        Ok(_) if job.housed.is_some() => Vec::new(),
        Ok(outline) => [notch(job, flight, outline), head(flight, outline)].concat(),
        Err(problem) => vec![impossible(problem)],
    };
    findings.extend(drop(flight));
    findings.extend(copies(job));
    findings
}

fn refusal(code: Code, place: &str, measured: String, limit: String) -> Finding {
    Finding::about(code, place).weighing(Severity::Refusal).figures(measured, limit).source(GEOMETRY)
}

fn impossible(problem: &OutlineProblem) -> Finding {
    let more_than_none = "more than 0".to_string();
    match problem {
        OutlineProblem::NoFirstRiser(left) => {
            refusal(codes::NoFirstRiser::CODE, "foot", format!("first riser cut {left}"), more_than_none)
        }
        OutlineProblem::NoThroat(throat) => {
            refusal(codes::NoThroat::CODE, "notch corners", format!("throat {throat}"), more_than_none)
        }
        OutlineProblem::NoSeat => refusal(
            codes::NoSeat::CODE,
            "foot",
            "the lower edge passes above the toe".to_string(),
            "a board wide enough to reach the floor".to_string(),
        ),
        OutlineProblem::NoTopTread(left) => {
            refusal(codes::NoTopTread::CODE, "head", format!("top tread cut {left}"), more_than_none)
        }
        OutlineProblem::Housed(problem) => super::housed::impossible(problem),
        OutlineProblem::TopTreadTooLong(length) => refusal(
            codes::TopTreadLong::CODE,
            "head",
            format!("top tread cut {length}"),
            "short enough to leave wood under its end".to_string(),
        ),
    }
}

fn notch(job: &Job, flight: &Flight, outline: &Outline) -> Vec<Finding> {
    if let Some(problem) = outline.notch_problem() {
        return vec![match problem {
            NotchProblem::BeyondSeat { end, seat } => refusal(
                codes::NotchBeyondSeat::CODE,
                "plate notch",
                format!("ends {end} from the first riser cut"),
                format!("less than the seat's {seat}"),
            ),
            NotchProblem::ReachesTread { height, tread } => refusal(
                codes::NotchReachesTread::CODE,
                "plate notch",
                format!("{height} high"),
                format!("less than the first riser cut's {tread}"),
            ),
        }];
    }
    let Some(tie) = &job.tie_plate else { return Vec::new() };
    let least = Length::inches(LEAST_AT_NOTCH_IN);
    let thin = |code, left: Length, words: &str| {
        let finding = Finding::about(code, "plate notch").weighing(Severity::Warning);
        (left < least).then(|| finding.figures(format!("{left} of wood {words}"), format!("at least {least}")))
    };
    let above = flight.first_riser_cut() - tie.height - tie.clearance;
    let behind = outline.seat_length() - tie.set_back - tie.width - tie.clearance;
    let in_front = if tie.set_back > Length::ZERO { tie.set_back } else { least };
    [
        thin(codes::NotchThinToe::CODE, in_front, "in front of it"),
        thin(codes::NotchThinTop::CODE, above, "above it"),
        thin(codes::NotchThinHeel::CODE, behind, "behind it"),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn head(flight: &Flight, outline: &Outline) -> Vec<Finding> {
    let least = Length::inches(LEAST_CONTACT_IN);
    let say = |code, severity, measured: String| {
        vec![Finding::about(code, "head").weighing(severity).figures(measured, format!("at least {least}"))]
    };
    match contact_height(flight, outline) {
        None => say(codes::HeadContactUnknown::CODE, Severity::Advice, "head.rim_depth is not given".to_string()),
        Some(height) if height <= Length::ZERO => {
            say(codes::HeadContactNone::CODE, Severity::Refusal, "the plumb cut passes below the rim".to_string())
        }
        Some(height) if height < least => {
            say(codes::HeadContactSmall::CODE, Severity::Warning, format!("{height} of the plumb cut on the rim"))
        }
        Some(_) => Vec::new(),
    }
}

fn drop(flight: &Flight) -> Option<Finding> {
    let finding = Finding::about(codes::DropNegative::CODE, "foot");
    let words = format!("finish to come {} on a tread of {}", flight.finish_to_come, flight.tread_thickness);
    (flight.drop() < Length::ZERO).then(|| finding.figures(words, "the foot is lengthened, not dropped"))
}

fn copies(job: &Job) -> Option<Finding> {
    let finding = Finding::about(codes::OnePartAProgram::CODE, "program");
    let pieces = job.cut.pieces();
    let words = format!("{pieces} pieces: run the program once a piece, each on a blank of its own");
    (pieces > 1 && job.cut.material.form == Form::Board).then(|| finding.figures(words, "one piece a program"))
}
