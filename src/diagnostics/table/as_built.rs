//! A flight as it was built, and a pattern as it was worn.

use super::super::code::findings;
use super::super::{Count, PRACTICE};
use crate::units::Length;

findings! {
    BuiltRiserHigh { measured: Length, limit: Length } "built-riser-high" Refusal Waivable PRACTICE,
        "this riser came out at {measured}, more than the most of {limit}",
        "A riser of the flight as it was built is higher than the rule set's most.",
        "Look at the schedule of shims and trims; if none does, the flight has to be rebuilt.";
    BuiltRiserLow { measured: Length, limit: Length } "built-riser-low" Refusal Waivable PRACTICE,
        "this riser came out at {measured}, less than the least of {limit}",
        "A riser of the flight as it was built is lower than the rule set's least.",
        "Look at the schedule of shims and trims; if none does, the flight has to be rebuilt.";
    BuiltSpread { measured: Length, limit: Length } "built-spread" Refusal Waivable PRACTICE,
        "the risers differ by {measured} and {limit} is allowed",
        "The risers of the flight as it was built differ by more than allowed: people trip over the odd one.",
        "Look at the schedule of shims and trims; if none does, the flight has to be rebuilt.";
    BuiltStep { measured: Length, limit: Length } "built-step" Refusal Waivable PRACTICE,
        "two neighbouring risers differ by {measured} and {limit} is allowed",
        "Two neighbouring risers of the flight as it was built differ by more than allowed.",
        "Look at the schedule of shims and trims.";
    BuiltNoneDoes { reached: String, asked: String } "built-none-does" Warning Never PRACTICE,
        "{reached}; asked for is {asked}",
        "No shims and trims inside the room that was given bring the flight inside its limits; both floors stay as they are.",
        "Give more room for shims or trims, change a finish at foot or head, or rebuild the flight.";
    BuiltRounding { said: String } "built-rounding" Advice Never PRACTICE,
        "{said}",
        "The schedule could not simply be rounded to sixteenths: it was solved anew, or stands in finer steps, or not at all.",
        "Use the schedule as printed; do not round it further.";
    BuiltShims { moved: Count, total: Length } "built-shims" Advice Never PRACTICE,
        "{moved} treads are moved, {total} in all; no least thickness was asked for",
        "Treads are to be moved so that every riser keeps its limit, by the least in all; thin shims are not avoided.",
        "Let every shim bear over the whole seat and fix it for good; ask whoever answers for the stair.";
    PatternWear { along: Length, across: Length, throat: Length, limit: Length } "pattern-wear" Warning Never PRACTICE,
        "the pattern is off by {along} along and {across} across, {throat} at the throat; {limit} is allowed",
        "The pattern has shrunk or swollen by more than 1/64 in since its check lengths were marked.",
        "Make a new pattern, or let this one come back to the room it was made in and measure again.";
}
