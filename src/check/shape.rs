//! What the shape itself shows: head, foot, notch, stock.

use super::ends;
use crate::diagnostics::{Finding, codes};
use crate::job::Job;
use crate::profile::Form;
use crate::stair::outline::{NotchProblem, Outline, OutlineProblem};
use crate::stair::{Flight, HeadBearsOn, HeadFace};
use crate::units::Length;

/// Less contact than this at the head is likely a mistake (common practice, no source).
const LEAST_CONTACT_IN: f64 = 3.5;
/// Less wood than this beside or above the plate notch splits off (common practice, no source).
pub const LEAST_AT_NOTCH_IN: f64 = 1.0;

/// What of the plumb cut at the head bears on something, in the elevation frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeadContact {
    /// What it bears on: the rim, or what the job's joint puts in its place.
    pub on: HeadBearsOn,
    /// From here.
    pub from: Length,
    /// Up to here.
    pub to: Length,
}

impl HeadContact {
    /// How high it is; 0 where the two do not meet.
    pub fn height(&self) -> Length {
        self.to - self.from
    }
}

/// The height over which the plumb cut bears on what the job's joint holds against it: the rim, a
/// hanger board, a dropped header. From the top tread cut or the face's top, whichever is lower,
/// down to the end of the plumb cut or of the face, whichever is higher; not below 0. Wood above
/// the face touches nothing. `None` where the rim's depth is not known, for a housed stringer,
/// whose plumb cut goes up past the floor, and for a head that lies over its framing.
pub fn head_contact(job: &Job, flight: &Flight, outline: &Outline) -> Option<HeadContact> {
    if !outline.pockets().is_empty() || outline.head_notch().is_some_and(|notch| notch.over) {
        return None;
    }
    // A solid board ends at the level cut or at its upper edge, a cut one at its top tread cut.
    let solid = outline.head_top().filter(|_| !outline.cleats().is_empty());
    let top = solid.unwrap_or_else(|| flight.tread_cut_y(flight.treads));
    let face = HeadFace::of_job(job, flight)?;
    let [from, to] = face.shared(top - outline.head_cut_length(), top)?;
    Some(HeadContact { on: face.of, from, to })
}

/// Everything the shape gives to say.
pub(super) fn shape(
    job: &Job,
    flight: &Flight,
    outline: Result<&Outline, &OutlineProblem>,
) -> Vec<Finding> {
    let mut findings = match outline {
        Ok(outline) if job.stringer.cleated().is_some() => {
            contact(job, flight, outline).into_iter().collect()
        }
        Ok(_) if !job.stringer.has_steps() => Vec::new(),
        Ok(outline) => {
            let head = super::head_notch::head(job, flight, outline);
            notch(job, flight, outline)
                .into_iter()
                .chain(head.unwrap_or_else(|| contact(job, flight, outline).into_iter().collect()))
                .collect()
        }
        Err(problem) => vec![impossible(problem, flight)],
    };
    findings.extend(ends::ends(job, flight));
    findings.extend(drop(flight));
    findings.extend(copies(job, 1));
    findings
}

fn impossible(problem: &OutlineProblem, flight: &Flight) -> Finding {
    match problem {
        OutlineProblem::NoFirstRiser(left) if flight.stands_on > Length::ZERO => {
            codes::StandsOnTakesRiser { measured: *left, height: flight.stands_on }.at("foot")
        }
        OutlineProblem::NoFirstRiser(left) => codes::NoFirstRiser { measured: *left }.at("foot"),
        OutlineProblem::SeatReachesTread(left) => {
            codes::SeatReachesTread { measured: *left }.at("foot")
        }
        OutlineProblem::SeatNeverEnds => codes::SeatNeverEnds {}.at("foot"),
        OutlineProblem::HeadNotch(problem) => super::head_notch::impossible(problem),
        OutlineProblem::NoThroat(throat) => {
            codes::NoThroat { measured: *throat }.at("notch corners")
        }
        OutlineProblem::NoSeat => codes::NoSeat {}.at("foot"),
        OutlineProblem::NoTopTread(left) => codes::NoTopTread { measured: *left }.at("head"),
        OutlineProblem::Housed(problem) => super::housed::impossible(problem),
        OutlineProblem::TopTreadTooLong(length) => {
            codes::TopTreadLong { measured: *length }.at("head")
        }
    }
}

fn notch(job: &Job, flight: &Flight, outline: &Outline) -> Vec<Finding> {
    if let Some(problem) = outline.notch_problem() {
        return vec![spoilt(problem)];
    }
    let Some(tie) = job.plate() else { return Vec::new() };
    let limit = Length::inches(LEAST_AT_NOTCH_IN);
    let thin = |left: Length| (left < limit).then_some(left);
    let above = outline.wood_above_notch(flight).unwrap_or(limit);
    let behind = outline.seat_length() - tie.set_back - tie.width - tie.clearance;
    let in_front = if tie.set_back > Length::ZERO { tie.set_back } else { limit };
    let place = "plate notch";
    [
        thin(in_front).map(|measured| codes::NotchThinToe { measured, limit }.at(place)),
        thin(above).map(|measured| codes::NotchThinTop { measured, limit }.at(place)),
        thin(behind).map(|measured| codes::NotchThinHeel { measured, limit }.at(place)),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn spoilt(problem: NotchProblem) -> Finding {
    match problem {
        NotchProblem::BeyondSeat { end, seat } => {
            codes::NotchBeyondSeat { measured: end, limit: seat }.at("plate notch")
        }
        NotchProblem::ReachesTread { height, tread } => {
            codes::NotchReachesTread { measured: height, limit: tread }.at("plate notch")
        }
    }
}

fn contact(job: &Job, flight: &Flight, outline: &Outline) -> Option<Finding> {
    let limit = Length::inches(LEAST_CONTACT_IN);
    let Some(contact) = head_contact(job, flight, outline) else {
        return Some(codes::HeadContactUnknown { limit }.at("head"));
    };
    let (measured, on) = (contact.height(), contact.on.name());
    if measured <= Length::ZERO {
        return Some(codes::HeadContactNone { on, limit }.at("head"));
    }
    (measured < limit).then(|| codes::HeadContactSmall { measured, limit, on }.at("head"))
}

fn drop(flight: &Flight) -> Option<Finding> {
    let (finish, tread) = (flight.finish_to_come, flight.tread_thickness);
    (flight.drop() < Length::ZERO).then(|| codes::DropNegative { finish, tread }.at("foot"))
}

/// Said where a program cuts one piece and several are made: the job's own quantity so many times.
pub fn copies(job: &Job, times: usize) -> Option<Finding> {
    let pieces = job.cut.pieces() * times;
    let one_by_one = pieces > 1 && job.cut.material.form == Form::Board;
    one_by_one.then(|| codes::OnePartAProgram { measured: pieces.into() }.at("program"))
}
