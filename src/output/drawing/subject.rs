//! What the drawing is of, and where its neighbours stand. Elevation frame, mm.

use super::pattern::PatternOf;
use crate::diagnostics::Finding;
use crate::geometry::Point;
use crate::job::{Fingerprint, Job, Makes, Meets, Tie};
use crate::pipeline::workup::Workup;
use crate::stair::Flight;
use crate::stair::outline::{Outline, Role, SeatLine};
use crate::units::Length;

/// Everything that is drawn.
#[derive(Debug)]
pub struct Subject<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its fingerprint.
    pub fingerprint: &'a Fingerprint,
    /// Its flight.
    pub flight: &'a Flight,
    /// Its part.
    pub outline: &'a Outline,
    /// What notches leave of the board after the inside-corner relief that will be cut.
    pub behind_relief: Length,
    /// What was found; waived refusals too.
    pub findings: &'a [Finding],
    /// The pattern that is cut, where one is planned.
    pub pattern: Option<PatternOf<'a>>,
    /// How many times the job's own quantity is made.
    pub times: usize,
}

impl<'a> Subject<'a> {
    /// A worked-up job and its part.
    pub fn of(workup: &'a Workup, outline: &'a Outline) -> Self {
        let inset = match workup.job.cut.makes {
            Makes::Pattern(follow) => Some(follow.inset()),
            Makes::Stringers => None,
        };
        let planned = workup.planned.as_ref().zip(inset);
        Subject {
            job: &workup.job,
            fingerprint: &workup.fingerprint,
            flight: &workup.flight,
            outline,
            behind_relief: workup.behind_relief,
            findings: &workup.findings,
            pattern: planned.and_then(|(planned, inset)| PatternOf::of(planned, inset)),
            times: 1,
        }
    }

    /// The same made several times.
    pub fn made(self, times: usize) -> Self {
        Self { times, ..self }
    }

    /// The plate, where its notch is cut.
    pub(super) fn plate(&self) -> Option<&Tie> {
        self.job.plate().filter(|_| self.outline.notch_problem().is_none())
    }

    /// How far the first tread reaches before the first riser cut.
    pub(super) fn nosing_mm(&self) -> f64 {
        (self.job.tread.riser_board + self.job.tread.overhang).as_mm()
    }

    /// The face of the rim.
    pub(super) fn rim_x(&self) -> f64 {
        (self.flight.head_cut_x + self.job.head.spacer).as_mm()
    }

    /// What the riser board at the head stands on and the top tread ends at.
    pub(super) fn head_face_x(&self) -> f64 {
        (self.flight.head_cut_x + self.job.head_gap()).as_mm()
    }

    /// The back of the top tread.
    pub(super) fn top_tread_back_x(&self) -> f64 {
        match self.job.head.meets {
            Meets::OneDown => self.head_face_x() - self.job.head.riser_board.as_mm(),
            Meets::Flush => self.head_face_x(),
        }
    }

    /// The front of the upper finish, which is the nosing of the last riser of a one-down flight.
    pub(super) fn upper_finish_front_x(&self) -> f64 {
        match self.job.head.meets {
            Meets::OneDown => self.top_tread_back_x() - self.job.head_overhang().as_mm(),
            Meets::Flush => self.head_face_x(),
        }
    }

    /// Where the seat ends.
    pub(super) fn heel(&self) -> Point {
        let mut edges = self.outline.contour().edges().iter();
        let seat = edges.rfind(|edge| edge.role == Role::SeatCut);
        seat.map_or(Point::origin(), |edge| edge.segment.to())
    }

    /// The line that the seat is cut along, as the surface under it lies.
    pub(super) fn seat(&self) -> SeatLine {
        SeatLine::of(self.job)
    }

    /// How the ground falls away from the head, where it does.
    pub(super) fn ground_fall(&self) -> Option<f64> {
        self.job.around.ground.map(|ground| ground.fall)
    }

    /// What the lower surface is called.
    pub(super) fn lower_surface(&self) -> &'static str {
        if self.job.around.ground.is_some() { "ground" } else { "finished floor" }
    }

    /// The ground's height at x: it lies level with the lower surface at the face of the first
    /// riser.
    pub(super) fn ground_y(&self, fall: f64, x: f64) -> f64 {
        self.flight.base().as_mm() + fall * (x + self.job.tread.riser_board.as_mm())
    }

    /// The upper walking surface.
    pub(super) fn upper_finish_y(&self) -> f64 {
        (self.flight.framing_top_y() + self.flight.head_finish).as_mm()
    }

    /// The lower end of the top plumb cut.
    pub(super) fn head_cut_foot_y(&self) -> f64 {
        (self.flight.tread_cut_y(self.flight.treads) - self.outline.head_cut_length()).as_mm()
    }

    /// Where the riser cuts and the head cut stand, from the first riser cut.
    pub(super) fn positions(&self) -> impl Iterator<Item = Length> {
        let risers = (1..=self.flight.treads).map(|k| self.flight.nose_x(k));
        risers.chain([self.flight.head_cut_x])
    }

    /// Nose point `k` along the board, from the square end of the blank.
    pub(super) fn nose_mark(&self, k: usize) -> Length {
        let nose = Point::new(self.flight.nose_x(k).as_mm(), self.flight.tread_cut_y(k).as_mm());
        Length::mm((self.outline.to_board() * nose).x)
    }

    pub(super) fn blank_mm(&self) -> f64 {
        self.outline.blank_length().as_mm()
    }

    /// The drawing in words.
    pub(super) fn description(&self) -> String {
        format!(
            "Elevation and board view of a cut stringer: {} risers of {}, unit run {}, total rise \
            {}, blank {}. Job {}, made by seatcut {}. Advice only: local code and licensed \
            practice decide.",
            self.flight.risers,
            self.flight.unit_rise,
            self.flight.unit_run,
            self.flight.total_rise,
            self.outline.blank_length(),
            self.fingerprint,
            env!("CARGO_PKG_VERSION"),
        )
    }
}
