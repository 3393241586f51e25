//! The words of a test square that its page, its programs and the terminal share.

use crate::cam::compensate::LedgerEntry;
use crate::cam::plan::SquareProgram;
use crate::cam::square::Sizes;
use crate::output::Stamp;
use crate::profile::{Machine, ProgramUnits};
use crate::units::{Length, Tape, trimmed};

/// What every file of a test square carries.
pub fn stamp(square: &SquareProgram) -> Stamp {
    let SquareProgram { sizes, machine, material, .. } = square;
    let title = format!("Test square {}, hole {}", plain(sizes.outside), plain(sizes.inside));
    Stamp::of_no_stair(title, &(machine, material), material)
}

/// The one compensation of it.
pub fn compensated(machine: &Machine) -> LedgerEntry {
    let what = if machine.tool.lifts() {
        "path of the tool centre, half the cutter"
    } else {
        "path of the beam, half the kerf"
    };
    LedgerEntry { what, amount: machine.tool_radius(), side: "outside the square, inside its hole" }
}

/// The key of the profile that the width goes into, and its table.
pub fn key(machine: &Machine) -> (&'static str, &'static str) {
    if machine.tool.lifts() { ("cutter", "[router]") } else { ("kerf", "[laser]") }
}

/// What the width is called.
pub(super) fn called(machine: &Machine) -> &'static str {
    if machine.tool.lifts() { "true diameter of the cutter" } else { "kerf" }
}

/// A length in the machine's unit, as a profile takes it: ten-thousandths of an inch, thousandths
/// of a millimetre.
pub fn typed(length: Length, units: ProgramUnits) -> String {
    match units {
        ProgramUnits::Inches => format!("{} in", trimmed(length.as_inches(), 4)),
        ProgramUnits::Millimetres => format!("{} mm", trimmed(length.as_mm(), 3)),
    }
}

/// A size in whole units of the tape.
pub(super) fn plain(length: Length) -> String {
    Tape::in_hand().finely(length)
}

/// The figures that are taken: what, and what was asked for.
pub(super) fn figures(sizes: &Sizes) -> [(&'static str, String); 6] {
    let diagonal = Length::mm(sizes.outside.as_mm() * std::f64::consts::SQRT_2);
    let around = [plain(sizes.outside), plain(sizes.inside)];
    let [outside, inside] = &around;
    [
        ("outside, across X", outside.clone()),
        ("outside, across Y", outside.clone()),
        ("hole, across X", inside.clone()),
        ("hole, across Y", inside.clone()),
        ("diagonal, lower left to upper right", plain(diagonal)),
        ("diagonal, lower right to upper left", plain(diagonal)),
    ]
}

/// What to do, step by step; `name` is the machine as the user called it.
pub fn steps(square: &SquareProgram, name: &str) -> Vec<String> {
    let SquareProgram { sizes, machine, .. } = square;
    let (key, table) = key(machine);
    let width = typed(machine.tool.width(), machine.units);
    let [a, b] = [sizes.outside, sizes.inside].map(plain);
    let sum = plain(sizes.outside + sizes.inside);
    let asked = plain(sizes.outside + machine.tool.width());
    let what = called(machine);
    let mut steps = vec![
        "Before the piece is taken off, pencil an arrow along X on it, and a dot into its lower left corner.".to_string(),
    ];
    if machine.tool.ties() {
        steps.push("Cut the tabs and trim them flush. Measure where the page shows it, off the tabs and over them.".to_string());
    }
    steps.extend([
        "Calipers square to the side, lightly closed. Of each figure take the middle one of three. Round corners of the hole are the cutter's: keep off them.".to_string(),
        format!("For X, and in the same way for Y: scale = (outside + hole) / {sum}, and {what} = scale x {asked} - outside. A hole too large and an outside too small by the same is the tool; both too large, or both too small, is the scale or play of the axis."),
        format!("{asked} is the {a} of the square and the {width} that {key} in the table {table} of the profile says now; the hole was asked for as {b}."),
        format!("Let it be worked out: seatcut square {name} --outside \"{a} x {a}\" --inside \"{b} x {b}\", with your figures, X first, each with its unit; --diagonals \"... x ...\" likewise. With the profile that the square was cut with."),
        format!("The {what} goes into {key} of the table {table}, in a copy of the profile of your own."),
    ]);
    steps
}
