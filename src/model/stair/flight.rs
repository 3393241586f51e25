//! The figures of one flight. Elevation frame: x toward the upper floor, y up, origin at the foot
//! of the first riser cut on the surface that the stringer stands on.

use crate::job::{Job, Meets};
use crate::units::Length;

/// A flight of equal finished risers. Every figure follows from the job and the riser count; none
/// is rounded.
///
/// Formulas: common practice, no source; checked against the worked examples in `tests/outside`.
#[derive(Clone, Debug)]
pub struct Flight {
    /// Number of risers.
    pub risers: usize,
    /// Number of treads that the stringer carries.
    pub treads: usize,
    /// Finished lower surface to finished upper surface.
    pub total_rise: Length,
    /// Total rise over risers.
    pub unit_rise: Length,
    /// Riser cut to riser cut.
    pub unit_run: Length,
    /// Depth of a finished tread, overhang included.
    pub tread_finish: Length,
    /// Thickness of a tread.
    pub tread_thickness: Length,
    /// Finish still to be laid at the foot.
    pub finish_to_come: Length,
    /// Height of what the seat stands on, over the lower surface.
    pub stands_on: Length,
    /// Length of the top tread cut.
    pub top_tread_cut: Length,
    /// Where the top plumb cut stands.
    pub head_cut_x: Length,
    /// From the framing's top at the head down to the top tread cut.
    pub hang_line: Length,
    /// Finish at the head above its framing.
    pub head_finish: Length,
    /// Depth of the rim at the head, where known.
    pub rim_depth: Option<Length>,
    /// Width of board from the nose points to the lower edge.
    pub board_depth: Length,
    /// Finished run of each step from the bottom up, nose to nose and at a one-down head nose to
    /// nose of the upper floor; the top tread of a flush flight has none, for the floor goes on
    /// level.
    pub finished_runs: Vec<Length>,
}

impl Flight {
    /// The flight of a job with this many risers; at least 2 where the top tread lies one riser
    /// down, else at least 1.
    pub fn new(job: &Job, risers: usize) -> Self {
        counted!("flight of {risers}");
        let head = &job.head;
        let unit_rise = job.rise.total / risers as f64;
        let (treads, top_tread_cut) = treads_and_top(job, risers);
        let top_tread_y = first_riser_cut(job, unit_rise) + unit_rise * (treads as f64 - 1.0);
        let (finish_to_come, stands_on) = (job.rise.finish_to_come, job.foot.stands_on_height());
        let mut finished_runs = vec![job.tread.cut; treads - 1];
        if head.meets == Meets::OneDown {
            // From nosing to nosing: the upper finish need not reach as far as a tread.
            finished_runs.push(
                top_tread_cut + job.head_gap() - head.riser_board
                    + job.tread.riser_board
                    + job.tread.overhang
                    - job.head_overhang(),
            );
        }
        Self {
            risers,
            treads,
            total_rise: job.rise.total,
            unit_rise,
            unit_run: job.tread.cut,
            tread_finish: job.tread.finish(),
            tread_thickness: job.tread.thickness,
            finish_to_come,
            stands_on,
            top_tread_cut,
            head_cut_x: Self::run(job, risers),
            hang_line: job.rise.total - head.finish + finish_to_come - stands_on - top_tread_y,
            head_finish: head.finish,
            rim_depth: head.rim_depth,
            board_depth: job.board.width - job.board.tip_inset,
            finished_runs,
        }
    }

    /// Horizontal run of a stringer with this many risers: where its plumb cut stands. No rise is
    /// in it.
    pub fn run(job: &Job, risers: usize) -> Length {
        let (treads, top_tread_cut) = treads_and_top(job, risers);
        job.tread.cut * (treads as f64 - 1.0) + top_tread_cut
    }

    /// Height of the first tread cut over the surface the stringer stands on.
    pub fn first_riser_cut(&self) -> Length {
        self.tread_cut_y(1)
    }

    /// The finished lower surface over what the stringer stands on; below it, so negative, where
    /// the seat stands higher than what is still laid.
    pub fn base(&self) -> Length {
        self.finish_to_come - self.stands_on
    }

    /// What comes off the foot, once: tread thickness less finish to come, and the height of what
    /// the seat stands on.
    pub fn drop(&self) -> Length {
        self.tread_thickness - self.base()
    }

    /// Height of tread cut `k`, counted from 1.
    pub fn tread_cut_y(&self, k: usize) -> Length {
        self.unit_rise * k as f64 - self.tread_thickness + self.base()
    }

    /// Where tread cut `k`, counted from 1, begins: its nose point's x.
    pub fn nose_x(&self, k: usize) -> Length {
        self.unit_run * (k as f64 - 1.0)
    }

    /// Horizontal run of the whole stringer: where the plumb cut stands.
    pub fn total_run(&self) -> Length {
        self.head_cut_x
    }

    /// Angle of the nose line, in radians.
    pub fn pitch_rad(&self) -> f64 {
        self.unit_rise.as_mm().atan2(self.unit_run.as_mm())
    }

    /// Nose to nose along the pitch.
    pub fn pitch_length(&self) -> Length {
        Length::mm(self.unit_rise.as_mm().hypot(self.unit_run.as_mm()))
    }

    /// Depth of a notch measured across the board.
    pub fn notch_depth(&self) -> Length {
        Length::mm(self.unit_rise.as_mm() * self.unit_run.as_mm() / self.pitch_length().as_mm())
    }

    /// Board that notches leave, before any relief: W - r g / L. The throat of a stringer that has
    /// them.
    pub fn behind_notches(&self) -> Length {
        self.board_depth - self.notch_depth()
    }

    /// Height of the board's lower edge at x: parallel to the nose line, the board's depth below
    /// it.
    pub fn lower_edge_y(&self, x: Length) -> Length {
        let run = self.unit_run.as_mm();
        let plumb_depth = self.board_depth * (self.pitch_length().as_mm() / run);
        self.first_riser_cut() - plumb_depth + x * (self.unit_rise.as_mm() / run)
    }

    /// Top of the framing at the head, over the surface the stringer stands on.
    pub fn framing_top_y(&self) -> Length {
        self.total_rise - self.head_finish + self.base()
    }

    /// Height of every finished riser, from the walking surfaces themselves: floor, treads as laid,
    /// upper finish.
    pub fn finished_risers(&self) -> Vec<Length> {
        let mut surfaces = vec![self.base()];
        surfaces.extend((1..=self.treads).map(|k| self.tread_cut_y(k) + self.tread_thickness));
        if self.treads < self.risers {
            surfaces.push(self.framing_top_y() + self.head_finish);
        }
        surfaces.windows(2).map(|pair| pair[1] - pair[0]).collect()
    }
}

/// Number of treads that the stringer carries, and length of the top tread cut.
fn treads_and_top(job: &Job, risers: usize) -> (usize, Length) {
    let head = &job.head;
    match head.meets {
        Meets::OneDown => {
            (risers - 1, job.tread.cut - job.tread.riser_board + head.riser_board - job.head_gap())
        }
        Meets::Flush => (risers, head.top_tread - job.head_gap()),
    }
}

fn first_riser_cut(job: &Job, unit_rise: Length) -> Length {
    unit_rise - job.tread.thickness + job.rise.finish_to_come - job.foot.stands_on_height()
}
