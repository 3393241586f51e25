//! Every kind of finding, a file a subject. `seatcut explain` prints a row; a waiver names one.

pub mod as_built;
pub mod boards;
pub mod cleats;
pub mod control;
pub mod ends;
pub mod holding;
pub mod housed;
pub mod landing;
pub mod machine;
pub mod offset;
pub mod program;
pub mod proof_drawing;
pub mod proof_hold;
pub mod proof_language;
pub mod proof_motion;
pub mod proof_part;
pub mod proof_tool;
pub mod rules;
pub mod site;
pub mod stair;
pub mod steps;
pub mod strength;
mod words;

use super::Code;

/// Every row of the table.
pub fn all() -> impl Iterator<Item = Code> {
    let subjects = [
        rules::ROWS,
        stair::ROWS,
        ends::ROWS,
        boards::ROWS,
        housed::ROWS,
        cleats::ROWS,
        landing::ROWS,
        steps::ROWS,
        offset::ROWS,
        machine::ROWS,
        holding::ROWS,
        program::ROWS,
        site::ROWS,
        strength::ROWS,
        as_built::ROWS,
        proof_language::ROWS,
        control::ROWS,
        proof_motion::ROWS,
        proof_tool::ROWS,
        proof_part::ROWS,
        proof_hold::ROWS,
        proof_drawing::ROWS,
    ];
    subjects.into_iter().flatten().copied()
}

/// The row of this name.
pub fn named(name: &str) -> Option<Code> {
    all().find(|code| code.row().name == name)
}
