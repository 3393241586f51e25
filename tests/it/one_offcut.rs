//! A board whose clamps all stand on one offcut: the tab of that offcut alone would hold the whole
//! piece.

use crate::common::Stair;
use seatcut::pipeline::workup::Workup;

/// What comes of a board with clamps at these places: made, or the refusals in words.
fn made(clamps: &[&str]) -> Result<(), String> {
    let clamps: Vec<String> = clamps.iter().map(|place| format!("{{ {place} }}")).collect();
    let cut = format!(
        "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"board-2x12\"\nclamps = \
        [{}]",
        clamps.join(", ")
    );
    let workup = Workup::of(&Stair { cut, ..Stair::default() }.job());
    let refusals: Vec<String> =
        workup.findings.iter().filter(|f| f.refuses()).map(ToString::to_string).collect();
    if workup.planned.is_some() { Ok(()) } else { Err(refusals.join("\n")) }
}

const AT_FOOT: &str = "x = \"0 in\", y = \"9 in\", length = \"1.5 in\", width = \"2 in\"";
const AT_HEAD: &str = "x = \"72 in\", y = \"9 in\", length = \"2 in\", width = \"2 in\"";
const ON_PIECE: &str = "x = \"20 in\", y = \"1 in\", length = \"2 in\", width = \"2 in\"";

#[test]
fn clamps_on_one_offcut_alone_are_refused_with_where_to_clamp() {
    let refused = made(&[AT_FOOT]).unwrap_err();
    assert!(
        refused.contains("piece-loose") && refused.contains("all clamps stand on one offcut"),
        "{refused}"
    );
    assert!(refused.contains("on the piece itself, from X 9 3/8 in"), "{refused}");
    assert!(made(&[AT_HEAD]).unwrap_err().contains("all clamps stand on one offcut"));
}

#[test]
fn a_clamp_on_the_piece_or_on_a_second_offcut_holds_it() {
    assert_eq!(made(&[ON_PIECE]), Ok(()));
    assert_eq!(made(&[AT_FOOT, ON_PIECE]), Ok(()));
    assert_eq!(made(&[AT_FOOT, AT_HEAD]), Ok(()));
}
