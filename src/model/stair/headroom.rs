//! The clear height under the floor that a flight goes up through. Elevation frame of the flight.

use super::Flight;
use crate::job::{Job, Meets, Opening};
use crate::units::Length;

/// An edge nearer to the first nosing than this is over it, in mm.
const OVER_NOSING_MM: f64 = 1e-6;

/// A flight that goes up through an opening in the upper floor, and the clear height under it:
/// plumb from the line through the nosings, before the first of them from the lower floor, up to
/// the floor above or what hangs under it.
///
/// The ceiling lies the floor's depth below the upper finish, everywhere but in the opening. The
/// line through the nosings rises by the unit rise on every unit run, so the ceiling is nearest to
/// it at the lower end of the opening: H - D - (r + (x + o) r / g), x from the face of the first
/// riser.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Headroom {
    /// The least clear height; less than 0 where floor lies over the flight lower than the line.
    pub clear: Length,
    /// Where that is, from the face of the first riser.
    pub at: Length,
    /// Height of the ceiling over the lower finished surface.
    pub ceiling: Length,
    /// Where the opening begins and where it ends, from the face of the first riser: its upper and
    /// its lower end.
    pub ends: [Length; 2],
    /// Height of the line through the nosings, or of the lower floor, where the clear height is
    /// least.
    pub under: Length,
    rise: Length,
    run: Length,
    overhang: Length,
    total: Length,
    /// How much lower the ground lies per level length away from the head.
    fall: f64,
}

impl Headroom {
    /// Of a job that says where the opening is.
    pub fn of(job: &Job, flight: &Flight) -> Option<Self> {
        job.opening.as_ref().map(|opening| Self::under(job, flight, opening))
    }

    fn under(job: &Job, flight: &Flight, opening: &Opening) -> Self {
        // The face of the riser at the head, that of a flush flight under its top tread, hangs on.
        let head = job.tread.riser_board + flight.head_cut_x + job.head_gap()
            - match job.head.meets {
                Meets::OneDown => job.head.riser_board,
                Meets::Flush => Length::ZERO,
            };
        let upper = head - opening.from_head;
        let mut headroom = Self {
            clear: Length::ZERO,
            at: upper - opening.length,
            ceiling: flight.total_rise - opening.depth,
            ends: [upper, upper - opening.length],
            under: Length::ZERO,
            rise: flight.unit_rise,
            run: flight.unit_run,
            overhang: job.tread.overhang,
            total: flight.total_rise,
            fall: fall(job),
        };
        // Floor between the opening and the head lies over the upper treads: nearest at the head.
        if opening.from_head > Length::ZERO {
            headroom.at = head;
        }
        headroom.under = headroom.line(headroom.at);
        headroom.clear = headroom.ceiling - headroom.under;
        headroom
    }

    /// Height of the line through the nosings at a place from the face of the first riser; that of
    /// the lower floor, or of the ground there, before the first nosing, that of the upper one
    /// behind the last.
    pub fn line(&self, at: Length) -> Length {
        let before = at + self.overhang;
        // An edge plumb over the first nosing hangs over no tread.
        if before <= Length::mm(OVER_NOSING_MM) {
            return at * self.fall;
        }
        let line = self.rise + before * (self.rise.as_mm() / self.run.as_mm());
        if line < self.total { line } else { self.total }
    }

    /// The shortest opening, from where it begins, that leaves this clear height; `None` where the
    /// ceiling itself is too low for it, over the lower floor or between opening and head.
    pub fn least_length(&self, clear: Length) -> Option<Length> {
        let begins_at_head = self.at == self.ends[1];
        if !begins_at_head || self.ceiling < clear {
            return None;
        }
        let under = self.ceiling - clear;
        // Over the first nosing or behind it the line keeps the height; else only before it.
        let along = (under - self.rise) * (self.run.as_mm() / self.rise.as_mm());
        let lowest = along.max(Length::ZERO) - self.overhang;
        Some((self.ends[0] - lowest).max(Length::ZERO))
    }

    /// How much farther the opening reaches than the first nosing, where it does.
    pub fn beyond_flight(&self) -> Option<Length> {
        let beyond = -self.overhang - self.ends[1];
        (beyond > Length::mm(OVER_NOSING_MM)).then_some(beyond)
    }
}

/// How much lower the ground under a flight lies per level length away from its head; 0 where it is
/// level.
pub(super) fn fall(job: &Job) -> f64 {
    job.around.ground.map_or(0.0, |ground| ground.fall)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{STARTER, read_job};

    /// 112 in in 16 risers on a run of 10, nosings of 1 1/4 in, a ceiling at 102 in.
    fn headroom(opening: &str) -> Headroom {
        let text = STARTER
            .replace("total = \"51 3/8 in\"", "total = \"112 in\"")
            .replace("risers = 7 ", "risers = 16 ")
            .replace("cut = \"10 1/4 in\"", "cut = \"10 in\"")
            .replace(
                "# overhang = \"1 in\"                   # nosing",
                "overhang = \"1 1/4 in\" # nosing",
            );
        let text = format!("{text}\n[opening]\ndepth = \"10 in\"\n{opening}\n");
        let job = read_job("job.toml", &text, &|path| panic!("{path}")).unwrap();
        Headroom::of(&job, &Flight::new(&job, 16)).unwrap()
    }

    fn inches(length: Length) -> f64 {
        length.as_mm() / 25.4
    }

    #[test]
    fn the_clear_height_is_that_over_the_nosing_under_the_end_of_the_opening() {
        // The third nosing stands 20 - 1 1/4 in from the face of the first riser, the last face 150
        // in.
        let third = headroom("length = \"131 1/4 in\"");
        assert!((inches(third.clear) - 81.0).abs() < 1e-9, "{third:?}");
        assert!((inches(third.least_length(Length::inches(81.0)).unwrap()) - 131.25).abs() < 1e-9);
        // 80 in are left 1 / 0.7 in farther up.
        let least = inches(third.least_length(Length::inches(80.0)).unwrap());
        assert!((least - (131.25 - 1.0 / 0.7)).abs() < 1e-9, "{least}");
    }

    #[test]
    fn before_the_first_nosing_the_lower_floor_counts_and_a_low_ceiling_helps_nothing() {
        let beyond = headroom("length = \"152 in\"");
        assert!((inches(beyond.clear) - 102.0).abs() < 1e-9);
        assert!((inches(beyond.beyond_flight().unwrap()) - 0.75).abs() < 1e-9);
        assert!(
            (inches(beyond.least_length(Length::inches(100.0)).unwrap()) - 151.25).abs() < 1e-9
        );
        assert_eq!(beyond.least_length(Length::inches(102.1)), None);
    }

    #[test]
    fn floor_between_the_opening_and_the_head_lies_on_the_stair() {
        let off = headroom("length = \"131 1/4 in\"\nfrom_head = \"20 in\"");
        assert!(off.clear < Length::ZERO && off.least_length(Length::inches(80.0)).is_none());
    }
}
