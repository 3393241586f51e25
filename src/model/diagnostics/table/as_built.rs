//! A flight as it was built, and a pattern as it was worn.

use std::fmt;

use super::super::code::findings;
use super::super::{Count, Exact, Figure, Fine, PRACTICE, Value};
use crate::units::Length;

/// A limit that need not be given.
#[derive(Clone, Copy, Debug)]
pub struct Asked(pub Option<Length>);

impl fmt::Display for Asked {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        Value::from(*self).fmt(f)
    }
}

impl From<Asked> for Value {
    fn from(asked: Asked) -> Self {
        asked.0.map_or(Self::Words("anything".into()), Value::Length)
    }
}

findings! {
    BuiltFloorTaken { measured: Length } "built-floor-taken" Advice Never PRACTICE,
        "the job has {measured} of floor still to come, and [built] says nothing of it: the \
        heights are taken over the floor with that laid",
        "The job's lower floor was still to come, and the measurements do not say whether it lay \
        there when they were taken.",
        "Write built.finish_to_come where it was not laid yet.";
    BuiltHoused {} "built-housed" Refusal Never PRACTICE,
        "these treads stand in pockets of the stringers: none is shimmed or trimmed",
        "A riser of a housed stair is out of its limits, and its treads stand in closed pockets.",
        "Raise or lower a floor by its finish, or make the stringers anew; ask whoever answers for \
        the stair.";
    BuiltRiserHigh { measured: Exact, limit: Length, by: Exact }
        "built-riser-high" Refusal Never PRACTICE,
        "this riser came out at {measured}, over the most of {limit} by {by}",
        "A riser of the flight as it was built is higher than the rule set's most.",
        "Look at the schedule of shims and trims; if none does, the flight has to be rebuilt.";
    BuiltRiserLow { measured: Exact, limit: Length, by: Exact }
        "built-riser-low" Refusal Never PRACTICE,
        "this riser came out at {measured}, short of the least of {limit} by {by}",
        "A riser of the flight as it was built is lower than the rule set's least.",
        "Look at the schedule of shims and trims; if none does, the flight has to be rebuilt.";
    BuiltSpread { largest: Count, smallest: Count, measured: Exact, limit: Length, by: Exact }
        "built-spread" Refusal Never PRACTICE,
        "riser {largest} is higher than riser {smallest} by {measured}: {by} more than the {limit} \
        that risers may differ by",
        "The risers of the flight as it was built differ by more than allowed: people trip over \
        the odd one.",
        "Look at the schedule of shims and trims; if none does, the flight has to be rebuilt.";
    BuiltStep { measured: Exact, limit: Length, by: Exact } "built-step" Refusal Never PRACTICE,
        "these two differ by {measured}: {by} more than the {limit} that neighbours may differ by",
        "Two neighbouring risers of the flight as it was built differ by more than allowed.",
        "Look at the schedule of shims and trims.";
    BuiltNoneDoes {
        spread: Exact, most_spread: Asked,
        step: Exact, most_step: Asked,
        largest: Exact, most: Asked,
        smallest: Exact, least: Asked,
    } "built-none-does" Warning Never PRACTICE,
        "no shims and trims inside the room do; each on its own, the spread comes down to {spread} \
        and may be {most_spread}, neighbours come to {step} and may differ by {most_step}, the \
        largest riser comes down to {largest} and may be {most}, the smallest comes up to \
        {smallest} and has to be {least}",
        "No shims and trims inside the room that was given bring the flight inside its limits; \
        both floors stay as they are.",
        "Give more room for shims or trims, change a finish at foot or head, or rebuild the \
        flight.";
    BuiltRounding { parts: Count, total: Exact } "built-rounding" Advice Never PRACTICE,
        "no schedule in sixteenths keeps every limit; this one stands in steps of 1/{parts} in: \
        {total} in all, the least on the tape",
        "No schedule in sixteenths of an inch keeps every limit, so it stands in finer steps.",
        "Use the schedule as printed; do not round it further.";
    BuiltUnrounded {} "built-unrounded" Advice Never PRACTICE,
        "no schedule in steps of 1/16 or 1/32 in keeps every limit",
        "The schedule keeps its limits only unrounded: none in steps that a tape shows does.",
        "Use the exact figures, or give a little more room for shims or trims.";
    BuiltNotSearched {} "built-not-searched" Advice Never PRACTICE,
        "the flight and the room of its treads are too large to look for a schedule on the tape",
        "So many treads that may go so far have too many schedules on the tape to look through.",
        "Give the treads the room that they really have (built.shim_most, built.trim_most), or use \
        the exact figures.";
    BuiltShims { moved: Count, total: Exact } "built-shims" Advice Never PRACTICE,
        "treads to be moved: {moved}, by {total} in all; a shim may be as thin as it comes out",
        "Treads are to be moved so that every riser keeps its limit, by the least in all; thin \
        shims are not avoided.",
        "Let every shim bear over the whole seat and fix it for good; ask whoever answers for the \
        stair.";
    PatternWear { measured: Exact, permille: Figure, rise: Exact, throat: Exact, limit: Fine }
        "pattern-wear" Warning Never PRACTICE,
        "the pattern is off by {measured} over its whole size, {permille}, and may be by {limit}; \
        the unit rise is off by {rise}, the throat by {throat}",
        "The pattern has shrunk or swollen by more than 1/64 in since its check lengths were \
        marked.",
        "Make a new pattern, or let this one come back to the room it was made in and measure \
        again.";
}
