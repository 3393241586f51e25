//! What a drawing says of its unit: the header variables `$INSUNITS` and `$MEASUREMENT`, and the
//! comment that stands in versions which have no such variable.

use super::entity::{Pair, whole};
use crate::diagnostics::Error;
use crate::diagnostics::codes::{DrawnIn, UnitDoubt};
use crate::units::MM_PER_INCH;

/// Metres in a foot of the United States survey.
const SURVEY_FOOT_MM: f64 = 1_200_000.0 / 3937.0;

/// The units of `$INSUNITS` from 1 on, as the published DXF reference numbers them, each in mm.
/// `None`: no stair is drawn in it, for it is far too large or too small.
const UNITS: [(&str, Option<f64>); 24] = [
    ("inches", Some(MM_PER_INCH)),
    ("feet", Some(12.0 * MM_PER_INCH)),
    ("miles", Some(63_360.0 * MM_PER_INCH)),
    ("millimetres", Some(1.0)),
    ("centimetres", Some(10.0)),
    ("metres", Some(1e3)),
    ("kilometres", Some(1e6)),
    ("microinches", None),
    ("mils", Some(1e-3 * MM_PER_INCH)),
    ("yards", Some(36.0 * MM_PER_INCH)),
    ("angstroms", None),
    ("nanometres", None),
    ("microns", Some(1e-3)),
    ("decimetres", Some(1e2)),
    ("decametres", Some(1e4)),
    ("hectometres", Some(1e5)),
    ("gigametres", None),
    ("astronomical units", None),
    ("light years", None),
    ("parsecs", None),
    ("survey feet", Some(SURVEY_FOOT_MM)),
    ("survey inches", Some(SURVEY_FOOT_MM / 12.0)),
    ("survey yards", Some(3.0 * SURVEY_FOOT_MM)),
    ("survey miles", Some(5280.0 * SURVEY_FOOT_MM)),
];
/// How the comment begins and ends that says the unit.
const COMMENT: (&str, &str) = ("Coordinates in ", ", 1:1");

/// All that a drawing says of its unit, in the order it is said.
#[derive(Debug, Default)]
pub(super) struct UnitSaid {
    insunits: Vec<i64>,
    measurement: Vec<i64>,
    comments: Vec<String>,
}

/// What follows from it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Stated {
    /// Millimetres in the unit, where it is said.
    pub mm: Option<f64>,
    pub by: By,
    pub doubt: Option<UnitDoubt>,
    /// The unit by its name, and the other system that `$MEASUREMENT` goes with.
    pub apart: Option<(&'static str, DrawnIn)>,
}

/// By what the unit is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum By {
    Insunits,
    Comment,
    Measurement,
    Nothing,
}

impl UnitSaid {
    /// The pairs of the header.
    ///
    /// # Errors
    /// If a value is no whole number.
    pub(super) fn header(&mut self, pairs: &[Pair<'_>], file: &str) -> Result<(), Error> {
        for window in pairs.windows(2) {
            let [name, value] = window else { continue };
            match (name.code, name.value) {
                (9, b"$INSUNITS") => self.insunits.push(whole(file, value)?),
                (9, b"$MEASUREMENT") => self.measurement.push(whole(file, value)?),
                _ => {}
            }
        }
        Ok(())
    }

    /// A comment.
    pub(super) fn comment(&mut self, words: &str) {
        let said = words.strip_prefix(COMMENT.0).and_then(|rest| rest.strip_suffix(COMMENT.1));
        self.comments.extend(said.map(str::to_string));
    }

    /// The unit, and what speaks against taking it.
    pub(super) fn stated(&self) -> Stated {
        let of = |number: i64| usize::try_from(number - 1).ok().and_then(|i| UNITS.get(i));
        let of_comment = |name: &String| UNITS.iter().find(|unit| unit.0 == name);
        let commented = self.comments.iter().map(of_comment).collect::<Vec<_>>();
        let comment = commented.first().copied().flatten();
        let mut doubt = None;
        if let Some(unknown) = commented.iter().position(Option::is_none) {
            doubt = Some(UnitDoubt::Comment(self.comments[unknown].escape_debug().to_string()));
        } else if commented.iter().any(|unit| *unit != commented[0]) {
            doubt = Some(UnitDoubt::TwoComments);
        }
        // 0 is no unit.
        if let Some(number) = self.insunits.iter().find(|number| **number != 0) {
            let unit = of(*number);
            let doubt_of_it = match (unit, comment) {
                _ if self.insunits.len() > 1 => Some(UnitDoubt::Twice),
                (None, _) => Some(UnitDoubt::NoUnit(*number)),
                (Some((name, None)), _) => Some(UnitDoubt::NoStair(name)),
                (Some(unit), Some(comment)) if unit != comment => {
                    Some(UnitDoubt::Apart(unit.0, comment.0))
                }
                _ => doubt,
            };
            let mm = unit.and_then(|unit| unit.1);
            let apart = unit.and_then(|(name, _)| Some((*name, self.other_than(name)?)));
            return Stated { mm, by: By::Insunits, doubt: doubt_of_it, apart };
        }
        if let Some((name, mm)) = comment {
            let doubt = doubt.or_else(|| mm.is_none().then_some(UnitDoubt::NoStair(name)));
            return Stated { mm: *mm, by: By::Comment, doubt, apart: None };
        }
        let measured = self.measurement.first().and_then(|of| match of {
            0 => Some(MM_PER_INCH),
            1 => Some(1.0),
            _ => None,
        });
        if self.measurement.iter().any(|of| *of != self.measurement[0]) {
            doubt = Some(UnitDoubt::TwoMeasurements);
        }
        let by = if measured.is_some() { By::Measurement } else { By::Nothing };
        Stated { mm: measured, by, doubt, apart: None }
    }

    /// The system of units that `$MEASUREMENT` says, where it is not the one of a unit.
    fn other_than(&self, unit: &str) -> Option<DrawnIn> {
        let is_metric = unit.ends_with("metres") || unit == "microns";
        let said = if is_metric { (0, DrawnIn::Inches) } else { (1, DrawnIn::Millimetres) };
        self.measurement.contains(&said.0).then_some(said.1)
    }
}
