//! What trims leave of a stringer: wood behind its notches, wood above the notch for its plate.

use crate::check::{LEAST_AT_NOTCH_IN, most_asked, throat};
use crate::diagnostics::{Exact, Finding, Numbered, Place, Severity, codes};
use crate::job::{Job, Room};
use crate::profile::{Measure, ON_THE_LIMIT};
use crate::stair::Flight;
use crate::stair::outline::Outline;
use crate::units::Length;

/// What the throat has over the least that the rule set asks for.
pub(super) struct Spare {
    throat: Length,
    least: Length,
    severity: Severity,
    source: String,
    /// A tread cut that goes down by 1 takes this of the throat: the cosine of the pitch.
    share: f64,
    /// Treads with a notch behind them: all but the top one.
    notched: usize,
}

impl Spare {
    /// None where the stringer has no throat, or the rule set asks for none.
    pub(super) fn of(job: &Job, flight: &Flight) -> Option<Self> {
        let throat = throat(job, flight)?;
        let (least, limit) = most_asked(job, flight, Measure::Throat)?;
        Some(Self {
            throat,
            least: Length::mm(least),
            severity: limit.severity,
            source: limit.source.clone(),
            share: flight.pitch_rad().cos(),
            notched: flight.treads - 1,
        })
    }

    /// The rooms of the treads, trims no deeper than the throat spares.
    pub(super) fn within(&self, rooms: &[Room]) -> Vec<Room> {
        let spare = (self.throat - self.least).max(Length::ZERO) / self.share;
        let kept = |(k, room): (usize, &Room)| match k < self.notched && room.trim() > spare {
            true => room.trimming(spare),
            false => *room,
        };
        rooms.iter().enumerate().map(kept).collect()
    }

    /// What every trim leaves.
    pub(super) fn findings(&self, moves: &[Length]) -> Vec<Finding> {
        let trims =
            moves.iter().take(self.notched).enumerate().filter(|(_, by)| **by < Length::ZERO);
        trims.map(|(k, by)| self.left(k + 1, -*by)).collect()
    }

    fn left(&self, tread: usize, trim: Length) -> Finding {
        let left = self.throat - trim * self.share;
        let place = Place::Nth(Numbered::Tread, tread);
        let (trim, measured, limit) = (Exact(trim), Exact(left), self.least);
        let found = if left < self.least - Length::mm(ON_THE_LIMIT) {
            codes::TrimThroat { trim, measured, limit }.at(place).weighing(self.severity)
        } else {
            codes::TrimThroatKept { trim, measured, limit }.at(place)
        };
        found.source(self.source.as_str())
    }
}

/// The wood above the plate notch once so much is off the first tread cut.
pub(super) fn at_the_notch(job: &Job, flight: &Flight, trim: Length) -> Option<Finding> {
    let outline = Outline::of(job, flight).ok().filter(|_| trim > Length::ZERO)?;
    let left = outline.wood_above_notch(flight)? - trim;
    let limit = Length::inches(LEAST_AT_NOTCH_IN);
    let found = || {
        codes::TrimAtNotch { trim: Exact(trim), measured: Exact(left), limit }
            .at(Place::Nth(Numbered::Tread, 1))
    };
    (left < limit - Length::mm(ON_THE_LIMIT)).then(found)
}
