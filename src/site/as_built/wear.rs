//! A pattern that has shrunk or swollen, by two check lengths marked on it.

use crate::diagnostics::{Error, ErrorKind, Exact, Figure, Finding, Fine, codes};
use crate::stair::Flight;
use crate::units::Length;

/// A pattern is worn where it is off by more than this over its length or width (common practice,
/// no source).
const MOST_OFF: f64 = 1.0 / 64.0;

/// A change of more than this is a slip of the tape or of the unit, not the weather (common
/// practice, no source).
const MOST_PERMILLE: f64 = 30.0;

/// A check length: marked at a whole number of inches, measured again later.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CheckLength {
    marked: Length,
    measured: Length,
}

impl CheckLength {
    /// A check length as marked and as measured now.
    ///
    /// # Errors
    /// Where one is nothing, or they differ by more than 30 permille.
    pub fn new(marked: Length, measured: Length) -> Result<Self, Error> {
        let sane = marked > Length::ZERO && measured > Length::ZERO;
        if !sane || permille(marked, measured).abs() > MOST_PERMILLE {
            return Err(Error::new(
                ErrorKind::Input,
                "a check length does not measure like itself",
            )
            .found(format!("{measured} measured for {marked} marked"))
            .allowed("more than 0, and within 30 permille of what was marked")
            .hint("measure the check lengths again"));
        }
        Ok(Self { marked, measured })
    }

    /// The change, in thousandths of its length; a swelling is positive.
    pub fn permille(&self) -> f64 {
        permille(self.marked, self.measured)
    }
}

fn permille(marked: Length, measured: Length) -> f64 {
    if marked <= Length::ZERO { 0.0 } else { (measured - marked).as_mm() / marked.as_mm() * 1000.0 }
}

/// A pattern's two check lengths, with the size of the pattern itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PatternWear {
    /// The check length along the pattern.
    pub along: CheckLength,
    /// The check length across it.
    pub across: CheckLength,
    /// Length of the pattern, along.
    pub length: Length,
    /// Width of the pattern, across.
    pub width: Length,
}

/// What a worn pattern would make of the part. Every figure is what it would be off by; more than
/// true is positive.
///
/// With a along and c across as plain ratios, pitch p, unit rise r, unit run g and L their
/// hypotenuse: nose to nose is off by a L, so with the part laid at its true pitch the unit rise by
/// a r and the unit run by a g; the throat and the width by c; a tread is no longer square to its
/// plumb but out of level by (c - a) r g^2 / L^2 over its run, up at the nose where positive. All
/// to the first order. Formulas: geometry of the part.
#[derive(Clone, Debug, PartialEq)]
pub struct Worn {
    /// Change along, in permille.
    pub along_permille: f64,
    /// Change across, in permille.
    pub across_permille: f64,
    /// Over the whole length of the pattern.
    pub length_off: Length,
    /// Over its whole width.
    pub width_off: Length,
    /// Of one unit rise.
    pub unit_rise_off: Length,
    /// Of the rise from the first tread to the last.
    pub rise_off: Length,
    /// Of the throat.
    pub throat_off: Length,
    /// How far one tread comes out of level.
    pub tread_tilt: Length,
}

impl PatternWear {
    /// What the pattern would do to the part of a flight.
    pub fn worn(&self, flight: &Flight) -> Worn {
        let (a, c) = (self.along.permille() / 1000.0, self.across.permille() / 1000.0);
        let slope = flight.unit_run.as_mm() / flight.pitch_length().as_mm();
        Worn {
            along_permille: self.along.permille(),
            across_permille: self.across.permille(),
            length_off: self.length * a,
            width_off: self.width * c,
            unit_rise_off: flight.unit_rise * a,
            rise_off: flight.unit_rise * (flight.treads as f64 - 1.0) * a,
            throat_off: flight.behind_notches() * c,
            tread_tilt: flight.unit_rise * (slope * slope * (c - a)),
        }
    }
}

impl Worn {
    /// A warning for each direction in which the pattern is off by more than 1/64 in.
    pub fn findings(&self) -> Vec<Finding> {
        let ways = [
            ("along the pattern", self.length_off, self.along_permille),
            ("across the pattern", self.width_off, self.across_permille),
        ];
        ways.into_iter()
            .filter_map(|(place, off, permille)| self.finding(place, off, permille))
            .collect()
    }

    fn finding(&self, place: &str, off: Length, permille: f64) -> Option<Finding> {
        let most = Length::inches(MOST_OFF);
        if off.max(-off) <= most + Length::mm(crate::profile::ON_THE_LIMIT) {
            return None;
        }
        let found = codes::PatternWear {
            measured: Exact(off),
            permille: Figure { value: permille, unit: "permille", digits: 2 },
            rise: Exact(self.unit_rise_off),
            throat: Exact(self.throat_off),
            limit: Fine(most),
        };
        Some(found.at(place))
    }
}
