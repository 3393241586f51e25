//! A stair of several flights in the report; the opening that a flight goes up through. Lengths in
//! mm; in plan x runs with the first flight, y to its left, from the left end of the face of the
//! first riser.

#![allow(missing_docs, reason = "the names are the report's own and carry their units")]

use serde::Serialize;

use super::set_report::BoxReport;
use crate::check::headroom_asked;
use crate::geometry::Bounds;
use crate::job::{NextOn, Turn};
use crate::pipeline::set::Stairway;
use crate::pipeline::workup::Workup;
use crate::stair::{Headroom, LandingPlace, OneFlight};
use crate::units::Length;

/// A stair of several flights; its flights are the set's jobs of these titles.
#[derive(Clone, Debug, Serialize)]
pub struct StairReport {
    pub title: String,
    pub risers: usize,
    pub reason: String,
    pub total_rise_mm: f64,
    pub unit_rise_mm: f64,
    pub unit_run_mm: f64,
    pub width_mm: f64,
    /// Along the way up, from the face of the first riser to that of the last.
    pub way_mm: f64,
    pub plan: BoxReport,
    pub flights: Vec<FlightPlaceReport>,
    pub landings: Vec<LandingPlaceReport>,
    /// Every walking surface over the finished lower surface, from the bottom up.
    pub surfaces_mm: Vec<f64>,
}

/// One flight of it.
#[derive(Clone, Debug, Serialize)]
pub struct FlightPlaceReport {
    pub job: String,
    pub risers: usize,
    pub foot_mm: f64,
    pub rise_mm: f64,
    pub going_mm: f64,
    pub along_mm: f64,
    /// The left end of the face of its first riser, and the way up.
    pub left_mm: [f64; 2],
    pub ahead: [f64; 2],
    pub plan: BoxReport,
}

/// One landing of it.
#[derive(Clone, Debug, Serialize)]
pub struct LandingPlaceReport {
    pub after: usize,
    pub height_mm: f64,
    pub framing_mm: f64,
    pub depth_mm: f64,
    pub least_depth_mm: Option<f64>,
    pub across_mm: f64,
    pub framing_back_mm: f64,
    pub next_riser_cut_mm: f64,
    pub turn: &'static str,
    pub hand: Option<&'static str>,
    pub next_on: &'static str,
    pub along_mm: f64,
    pub plan: BoxReport,
}

/// The clear height under the floor that a flight goes up through; places from the face of the
/// first riser, heights over the finished lower surface.
#[derive(Clone, Debug, Serialize)]
pub struct OpeningReport {
    pub clear_mm: f64,
    pub asked_mm: Option<f64>,
    pub at_mm: f64,
    pub nosing_line_mm: f64,
    pub ceiling_mm: f64,
    /// The upper end of the opening and its lower end.
    pub ends_mm: [f64; 2],
    pub least_length_mm: Option<f64>,
}

impl OpeningReport {
    /// The report of a job that says where the opening is.
    pub fn of(workup: &Workup) -> Option<Self> {
        let headroom = Headroom::of(&workup.job, &workup.flight)?;
        let asked = headroom_asked(&workup.job, &workup.flight);
        let least = asked.and_then(|asked| headroom.least_length(asked));
        Some(Self {
            clear_mm: headroom.clear.as_mm(),
            asked_mm: asked.map(Length::as_mm),
            at_mm: headroom.at.as_mm(),
            nosing_line_mm: headroom.under.as_mm(),
            ceiling_mm: headroom.ceiling.as_mm(),
            ends_mm: headroom.ends.map(Length::as_mm),
            least_length_mm: least.map(Length::as_mm),
        })
    }
}

impl StairReport {
    /// The report of a stair.
    pub fn of(stairway: &Stairway) -> Self {
        let whole = &stairway.whole;
        let least = whole.job.rules.landing.as_ref().map(|rule| rule.least(whole.width));
        Self {
            title: whole.job.title.clone(),
            risers: whole.risers,
            reason: whole.reason.to_string(),
            total_rise_mm: whole.job.rise.total.as_mm(),
            unit_rise_mm: whole.unit_rise.as_mm(),
            unit_run_mm: whole.job.tread.cut.as_mm(),
            width_mm: whole.width.as_mm(),
            way_mm: whole.way().as_mm(),
            plan: boxed(&whole.plan_box()),
            flights: whole.flights.iter().map(|flight| of_flight(flight, whole.width)).collect(),
            landings: whole.landings.iter().map(|landing| of_landing(landing, least)).collect(),
            surfaces_mm: whole.surfaces().into_iter().map(|(_, at)| at.as_mm()).collect(),
        }
    }
}

fn of_flight(flight: &OneFlight, width: Length) -> FlightPlaceReport {
    let plain = |value: f64| value + 0.0;
    FlightPlaceReport {
        job: flight.job.title.clone(),
        risers: flight.risers,
        foot_mm: flight.foot.as_mm(),
        rise_mm: flight.job.rise.total.as_mm(),
        going_mm: flight.going.as_mm(),
        along_mm: flight.along.as_mm(),
        left_mm: [flight.plan.left.x, flight.plan.left.y].map(plain),
        ahead: [flight.plan.ahead.x, flight.plan.ahead.y].map(plain),
        plan: boxed(&flight.plan_box(width)),
    }
}

fn of_landing(landing: &LandingPlace, least: Option<Length>) -> LandingPlaceReport {
    let (turn, hand) = match landing.asked.turn {
        Turn::Straight => ("straight", None),
        Turn::Side(hand) => ("side", Some(hand.name())),
        Turn::Back { hand, .. } => ("back", Some(hand.name())),
    };
    LandingPlaceReport {
        after: landing.asked.after,
        height_mm: landing.height.as_mm(),
        framing_mm: landing.framing.as_mm(),
        depth_mm: landing.asked.depth.as_mm(),
        least_depth_mm: least.map(Length::as_mm),
        across_mm: landing.across.as_mm(),
        framing_back_mm: landing.framing_back.as_mm(),
        next_riser_cut_mm: landing.next_cut.as_mm(),
        turn,
        hand,
        next_on: match landing.asked.next_on {
            NextOn::Framing => "framing",
            NextOn::Finish => "finish",
        },
        along_mm: landing.along.as_mm(),
        plan: boxed(&landing.plan),
    }
}

fn boxed(bounds: &Bounds) -> BoxReport {
    BoxReport {
        x_mm: bounds.min.x + 0.0,
        y_mm: bounds.min.y + 0.0,
        length_mm: bounds.width(),
        width_mm: bounds.height(),
    }
}
