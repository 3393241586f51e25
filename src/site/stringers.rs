//! How many stringers a width asks for, and where they stand on a tape.

use crate::diagnostics::{Error, ErrorKind};
use crate::job::{Job, Outsides};
use crate::stair::spans;
use crate::units::{Length, MM_PER_INCH, sixteenths};

/// More stringers than this are a slip of the unit.
const MOST_SPANS: f64 = 200.0;

/// The left edge of one stringer, from the left side of the stair.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StringerMark {
    /// Exactly.
    pub exact: Length,
    /// To the nearest sixteenth of an inch, each mark on its own: nothing adds up.
    pub tape: Length,
}

impl StringerMark {
    fn at(exact: Length) -> Self {
        Self { exact, tape: Length::inches((exact.as_mm() / MM_PER_INCH * 16.0).round() / 16.0) }
    }
}

impl std::fmt::Display for StringerMark {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(&sixteenths(self.tape))
    }
}

/// Stringers under a stair, evenly spaced, the outermost flush with its sides.
#[derive(Clone, Debug, PartialEq)]
pub struct StringerLayout {
    /// Centre to centre, where treads span.
    pub spacing: Length,
    /// The centre of every stringer from the left side, doubled ones one by one.
    pub centres: Vec<Length>,
    /// The left edge of every stringer, as a tape hooked on the left side reads it.
    pub marks: Vec<StringerMark>,
}

impl StringerLayout {
    /// The fewest stringers of this `thickness` under a stair of this `width` that stand no further
    /// apart, centre to centre, than `most`: the limit of the tread's own material, as its maker
    /// gives it. Formula: common practice, no source.
    ///
    /// # Errors
    /// Where a length is nothing, the outer stringers do not fit side by side, or the count is
    /// absurd.
    pub fn new(
        width: Length,
        thickness: Length,
        most: Length,
        outsides: Outsides,
    ) -> Result<Self, Error> {
        for (what, length) in
            [("width of the stair", width), ("thickness of a stringer", thickness)]
        {
            positive(what, length)?;
        }
        positive("most spacing of stringers", most)?;
        let each_side = outsides.each_side();
        if width < thickness * (2 * each_side) as f64 {
            return Err(Error::new(
                ErrorKind::Input,
                "the outer stringers do not fit under the stair",
            )
            .found(format!("{width} for {} stringers of {thickness}", 2 * each_side))
            .allowed(format!("{} or more", thickness * (2 * each_side) as f64))
            .hint("a wider stair, or outsides that are not doubled"));
        }
        let first = thickness * (each_side as f64 - 0.5);
        let span = width - first * 2.0;
        let spans = spans(span, most);
        if spans > MOST_SPANS {
            return Err(Error::new(
                ErrorKind::Input,
                "this spacing asks for an absurd number of stringers",
            )
            .found(format!("{most} apart under {width}"))
            .allowed(format!("at most {MOST_SPANS:.0} spans"))
            .hint("most_spacing as the treads' maker gives it"));
        }
        let spacing = span / spans;
        let mut centres: Vec<Length> =
            (1..each_side).map(|k| thickness * (k as f64 - 0.5)).collect();
        centres.extend((0..=spans as usize).map(|k| first + spacing * k as f64));
        centres.extend((1..each_side).map(|k| width - thickness * (k as f64 - 0.5)));
        let marks =
            centres.iter().map(|&centre| StringerMark::at(centre - thickness / 2.0)).collect();
        Ok(Self { spacing, centres, marks })
    }

    /// That of a job which says how wide its stair is and how far apart its stringers may stand.
    ///
    /// # Errors
    /// Those of [`StringerLayout::new`].
    pub fn of(job: &Job) -> Result<Option<Self>, Error> {
        let Some(stair) = job.around.stair else { return Ok(None) };
        let Some(most) = stair.most_spacing else { return Ok(None) };
        Self::new(stair.width, job.board.thickness, most, stair.outsides).map(Some)
    }

    /// Number of stringers, doubled ones counted twice.
    pub fn count(&self) -> usize {
        self.centres.len()
    }
}

fn positive(what: &str, length: Length) -> Result<(), Error> {
    if length > Length::ZERO {
        return Ok(());
    }
    Err(Error::new(ErrorKind::Input, format!("the {what} is nothing"))
        .found(length.to_string())
        .allowed("more than 0")
        .hint("look at width and most_spacing again"))
}
