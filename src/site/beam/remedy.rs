//! What would bring a stringer within the figures, each tried with the same check.

use super::input::{BeamInput, HeadEnd, Sawn, Stringers};
use super::member::{Check, LoadCase, Quantity};
use super::{governing_line, greatest, utilisation_of};
use crate::diagnostics::Error;
use crate::job::Middle;
use crate::units::{Dressed, Length, sixteenths};

/// Stringers added at most: closer than this a stair is no longer built of them.
const MOST_ADDED: usize = 8;

/// A utilisation lower by less than this is no lower.
const NO_BETTER: f64 = 1e-6;

/// A change to the stair.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Change {
    /// So many stringers over the same width, so far apart.
    MoreStringers {
        /// How many in all.
        count: usize,
        /// Centre to centre.
        spacing: Length,
    },
    /// Every stringer of two boards fastened together.
    Doubled,
    /// The same notches in a wider board.
    DeeperBoard {
        /// What it is called.
        name: &'static str,
        /// Its dressed width.
        width: Length,
    },
    /// No wider board is made.
    NoDeeperBoard,
    /// A support under the middle.
    MiddleSupport,
    /// The plumb cut at the head held down to its lower end.
    HeadHeld,
    /// The plate held by a bracket, the foot not notched.
    NoFootNotch,
    /// Every stringer of two boards, with a support under the middle.
    DoubledOnMiddleSupport,
    /// A board fastened along the stringers' sides or across their backs.
    Strongback,
}

/// A change and what it leaves.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    /// The change.
    pub change: Change,
    /// What it does, in words.
    pub what: String,
    /// The greatest utilisation after it; nothing where the check gives it no credit.
    pub utilisation: Option<f64>,
    /// Which check governs after it, under which load.
    pub governs: Option<(Quantity, LoadCase)>,
}

impl Remedy {
    /// Whether the figures are within their capacities after it.
    pub fn suffices(&self) -> bool {
        self.utilisation.is_some_and(|share| share <= 1.0 + super::ON_CAPACITY)
    }
}

/// Every change that can be tried, each by itself; two together only where none suffices alone.
pub(super) fn remedies(input: &BeamInput) -> Result<Vec<Remedy>, Error> {
    let (_, _, as_it_is) = governing_line(input)?;
    let now = utilisation_of(&as_it_is);
    let lower = |remedy: &Remedy| remedy.utilisation.is_some_and(|share| share < now - NO_BETTER);
    let mut found: Vec<Remedy> = ends(input)?.into_iter().filter(lower).collect();
    found.extend(more_stringers(input)?);
    let two_ply = BeamInput { stringers: doubled(input.stringers), ..input.clone() };
    let boards = match input.sawn {
        Sawn::Notched => "every stringer of two cut boards",
        Sawn::Solid => "every stringer of two boards",
    };
    let what = format!("{boards}, fastened together along their length");
    found.push(tried(&two_ply, Change::Doubled, what)?);
    found.extend(deeper_boards(input)?);
    if input.middle == Middle::Free {
        let supported = BeamInput { middle: Middle::Supported, ..input.clone() };
        found.push(tried(
            &supported,
            Change::MiddleSupport,
            "a support under the middle, on a footing of its own",
        )?);
        if !found.iter().any(Remedy::suffices) {
            let both = BeamInput { middle: Middle::Supported, ..two_ply };
            let what = format!("{boards}, and a support under the middle");
            found.push(tried(&both, Change::DoubledOnMiddleSupport, what)?);
        }
    }
    found.push(strongback());
    Ok(found)
}

fn tried(input: &BeamInput, change: Change, what: impl Into<String>) -> Result<Remedy, Error> {
    let (_, _, checks) = governing_line(input)?;
    let most = greatest(&checks);
    Ok(Remedy {
        change,
        what: what.into(),
        utilisation: most.map(Check::utilisation),
        governs: most.map(|check| (check.quantity, check.case)),
    })
}

/// What can be done where an end of the stringer carries over a part of its depth only.
fn ends(input: &BeamInput) -> Result<Vec<Remedy>, Error> {
    let mut found = Vec::new();
    if let Some(head) = input.head.filter(|head| head.held < head.depth) {
        let whole = HeadEnd { held: head.depth, ..head };
        let held = BeamInput { head: Some(whole), ..input.clone() };
        let what = "the head not notched, its plumb cut held down to its lower end: a deeper rim \
            or header, or a hanger made for it";
        found.push(tried(&held, Change::HeadHeld, what)?);
    }
    if input.foot_notch.is_some() {
        let whole = BeamInput { foot_notch: None, ..input.clone() };
        let what = "the foot not notched, or the plate let in at the toe with no wood before it";
        found.push(tried(&whole, Change::NoFootNotch, what)?);
    }
    Ok(found)
}

/// One more at a time until the figures are within, one more does no better (the point load, which
/// one stringer takes alone, governs then), or the bound is reached. The last that was tried is
/// given: the first that is enough, or the best.
fn more_stringers(input: &BeamInput) -> Result<Option<Remedy>, Error> {
    let mut found: Option<Remedy> = None;
    for added in 1..=MOST_ADDED {
        let count = input.stringers.count + added;
        let spacing = input.width_between_outer() / (count as f64 - 1.0);
        if spacing < input.thickness * input.stringers.inner_plies as f64 {
            break;
        }
        let more = BeamInput {
            stringers: Stringers { count, spacing, ..input.stringers },
            ..input.clone()
        };
        let what = format!("{count} stringers {} apart over the same width", sixteenths(spacing));
        let remedy = tried(&more, Change::MoreStringers { count, spacing }, what)?;
        let last = found.as_ref().and_then(|before| before.utilisation);
        if last.zip(remedy.utilisation).is_some_and(|(before, now)| now > before - NO_BETTER) {
            break;
        }
        let enough = remedy.suffices();
        found = Some(remedy);
        if enough {
            break;
        }
    }
    Ok(found)
}

fn doubled(stringers: Stringers) -> Stringers {
    let Stringers { inner_plies, outer_plies, .. } = stringers;
    Stringers { inner_plies: inner_plies.max(2), outer_plies: outer_plies.max(2), ..stringers }
}

/// The same notches in every wider dressed board that there is. Its plumb cut at the head reaches
/// further down, and no further is it held: what the head meets stays as deep as it is.
fn deeper_boards(input: &BeamInput) -> Result<Vec<Remedy>, Error> {
    let wider = Dressed::stringer_widths().filter(|(_, width)| *width > input.board_width);
    let found: Vec<Remedy> = wider
        .map(|(name, width)| {
            let more = width - input.board_width;
            let throat = input.throat + more;
            let plumb = more / input.pitch_rad.cos();
            let head = input.head.map(|head| HeadEnd { depth: head.depth + plumb, ..head });
            let deeper = BeamInput { board_width: width, throat, head, ..input.clone() };
            let wide = format!("a {name}, {} wide", sixteenths(width));
            let what = match input.sawn {
                Sawn::Notched => format!("{wide}, with a throat of {}", sixteenths(throat)),
                Sawn::Solid => wide,
            };
            tried(&deeper, Change::DeeperBoard { name, width }, what)
        })
        .collect::<Result<_, _>>()?;
    if !found.is_empty() {
        return Ok(found);
    }
    let what = "no dressed board is wider than a 2x12; engineered lumber is a designer's matter"
        .to_string();
    Ok(vec![Remedy { change: Change::NoDeeperBoard, what, utilisation: None, governs: None }])
}

fn strongback() -> Remedy {
    let what = "a strongback ties the stringers so that they move together and stay straight; it \
        is given no strength here, for no published value was at hand"
        .to_string();
    Remedy { change: Change::Strongback, what, utilisation: None, governs: None }
}
