//! What holds the stock and the pieces while they are cut: clamps, tabs, wood that stays.

use super::super::code::findings;
use super::super::{Count, Figure, GEOMETRY, PRACTICE};
use crate::units::Length;

findings! {
    PieceLoose { on: &'static str, limit: Length, remedy: String } "piece-loose" Refusal Never GEOMETRY,
        "no wood of {limit} or more ties it to {on}: {remedy}",
        "When all is cut, no wood of a quarter inch or more would tie this piece to what holds the stock: the clamps where they are given, else the sheet's rim.",
        "Leave cut.spacing out, or give as much as the finding says; move clamps to wood that stays; or use a thinner cutter.";
    OffcutLoose { measured: Figure, length: Length, width: Length, how: &'static str, on: &'static str, limit: Length, remedy: String } "offcut-loose" Refusal Never GEOMETRY,
        "an offcut of {measured}, {length} by {width}, is {how}: no wood of {limit} or more ties it to {on}; {remedy}",
        "A piece of waste larger than a coin is cut free, or held by thin wood only: the cutter may throw it.",
        "Leave cut.spacing out, or give as much as the finding says; move clamps to wood that stays; or use a thinner cutter.";
    TabsFew { measured: Count, limit: Count } "tabs-few" Warning Never PRACTICE,
        "{measured} tabs found room on straight edges and {limit} are wanted: hold it down in another way",
        "Fewer than three tabs found room: the part may come loose while it is cut.",
        "Hold the part down in another way before the last pass.";
    TabsOneSided { measured: Length, tabs: Count } "tabs-one-sided" Warning Never PRACTICE,
        "its centre of area lies {measured} outside of its {tabs} tabs: hold the far side down",
        "The piece's centre of area lies outside the hull of its tabs: it hangs over on one side and may tip or rock while it is cut.",
        "Hold the far side down before the last pass, or give a larger cut.spacing.";
    ClampInCut { clamp: String, x: Length, y: Length, to_do: String } "clamp-in-cut" Refusal Never PRACTICE,
        "the clamp stands {clamp}, in the cutter's way near X {x} Y {y}; put it {to_do}",
        "A clamp stands where the cutter goes. A sheet that several pieces share, or a single one with cut.long left out, is laid out round its clamps; a board, a housed stringer and a part cut in shifts lie where they lie.",
        "Move the clamp to where the finding says, or hold the stock down in another way.";
    ClampInTheWay { what: String, to_do: &'static str } "clamp-in-the-way" Refusal Never GEOMETRY,
        "{what}; {to_do}",
        "Rapids, the way home or the beam's head would meet a clamp, and nothing leads round or over it.",
        "Move the clamps, away from X0 Y0 above all: the head comes back there.";
    ClampOffSheet { clamp: String, length: Length, width: Length } "clamp-off-sheet" Refusal Never GEOMETRY,
        "the clamp lies {clamp}, and the stock is {length} by {width}",
        "A clamp does not sit on the stock: the real one would not be kept free.",
        "Measure from X0 Y0, the stock's lower left corner, to the clamp's lower left corner.";
}
