//! The words of the test squares that its page, its programs and the terminal share.

use crate::cam::compensate::LedgerEntry;
use crate::cam::plan::SquareProgram;
use crate::cam::square::{Cut, Measured, Reading, SCALE_AGREES, Sizes};
use crate::output::Stamp;
use crate::profile::{Machine, ProgramUnits};
use crate::units::{Length, Tape, trimmed};

/// What every file of the test squares carries.
pub fn stamp(square: &SquareProgram) -> Stamp {
    let SquareProgram { sizes, machine, material, .. } = square;
    let [large, hole, small] = [sizes.outside, sizes.inside, sizes.small].map(plain);
    let title = format!("Test squares {large} with a hole of {hole}, and {small}");
    Stamp::of_no_stair(title, &(machine, material), material)
}

/// The one compensation of them.
pub fn compensated(machine: &Machine) -> LedgerEntry {
    let what = if machine.tool.lifts() {
        "path of the tool centre, half the cutter"
    } else {
        "path of the beam, half the kerf"
    };
    LedgerEntry {
        what,
        amount: machine.tool_radius(),
        side: "outside the squares, inside the hole",
    }
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

/// A figure that is taken along X and along Y, or both diagonals: what, what was asked for, the
/// number of each.
pub(super) struct Taken {
    pub what: &'static str,
    pub asked: String,
    pub numbers: [usize; 2],
}

/// The figures that are taken.
pub(super) fn figures(sizes: &Sizes) -> [Taken; 4] {
    let diagonal = Length::mm(sizes.outside.as_mm() * std::f64::consts::SQRT_2);
    let taken =
        |what, asked, first| Taken { what, asked: plain(asked), numbers: [first, first + 1] };
    [
        taken("large square, outside", sizes.outside, 1),
        taken("its hole", sizes.inside, 3),
        taken("small square, outside", sizes.small, 5),
        taken("diagonals, from lower left and from lower right", diagonal, 7),
    ]
}

/// What is worked out of the figures.
pub(super) struct Sum {
    /// What it is.
    pub what: &'static str,
    /// How, along X and along Y, by the numbers of the figures.
    pub how: [String; 2],
    /// What it is where the machine is as its profile says.
    pub right: String,
    /// Where it goes.
    pub goes: String,
}

/// What follows from the figures, one after the other.
pub(super) fn sums(square: &SquareProgram) -> [Sum; 3] {
    let SquareProgram { sizes, machine, .. } = square;
    let Sizes { outside: a, inside: b, small: c } = *sizes;
    let width = machine.tool.width();
    let (key, table) = key(machine);
    let [differ, both, ways] =
        [a - c, a + b, a - b + width * 2.0].map(|of| typed(of, machine.units));
    let along = |how: &dyn Fn(usize, usize, usize) -> String| [how(1, 3, 5), how(2, 4, 6)];
    [
        Sum {
            what: "scale",
            how: along(&|large, _, small| format!("({large} - {small}) / {differ}")),
            right: "1".to_string(),
            goes:
                "No key of the profile: in the control divide the steps per unit of the axis by it."
                    .to_string(),
        },
        Sum {
            what: called(machine),
            how: along(&|large, hole, _| format!("(scale x {ways} - ({large} - {hole})) / 2")),
            right: typed(width, machine.units),
            goes: format!("Into {key} of the table {table}: the middle of X and Y."),
        },
        Sum {
            what: "play",
            how: along(&|large, hole, _| format!("(scale x {both} - ({large} + {hole})) / 2")),
            right: "0".to_string(),
            goes:
                "No key of the profile: take it up in the drive, or let the control make up for it."
                    .to_string(),
        },
    ]
}

/// The sums once through, with figures made up for it: what calipers might find, and what follows.
pub(super) fn worked(square: &SquareProgram) -> String {
    let SquareProgram { sizes, machine, .. } = square;
    let (wider, play) = (machine.tool.width() / 50.0, sizes.outside / 2500.0);
    let [large, hole, small] =
        [sizes.outside - wider, sizes.inside + wider, sizes.small - wider].map(|of| [of - play; 2]);
    let measured = Measured { outside: large, inside: hole, small, diagonals: None };
    let cut = Cut { sizes: *sizes, width: machine.tool.width() };
    let mm = |length: Length| typed(length, machine.units);
    let Ok(Reading { axes: [x, _], .. }) = Reading::of(&cut, &measured) else {
        unreachable!("a little more width and a little play are read")
    };
    format!(
        "Made up, to try it by: with {} for 1, {} for 3 and {} for 5 the scale is {}, the {} {}, \
        the play {}.",
        mm(large[0]),
        mm(hole[0]),
        mm(small[0]),
        trimmed(x.scale, 5),
        called(machine),
        mm(x.width),
        mm(x.play)
    )
}

/// What to do, step by step; `name` is the machine as the user called it.
pub fn steps(square: &SquareProgram, name: &str) -> Vec<String> {
    let SquareProgram { sizes, machine, .. } = square;
    let (key, table) = key(machine);
    let width = typed(machine.tool.width(), machine.units);
    let [a, b, c] = [sizes.outside, sizes.inside, sizes.small].map(plain);
    let what = called(machine);
    let mut steps = vec![
        "Before the pieces are taken off, pencil an arrow along X on each, and a dot into its \
        lower left corner."
            .to_string(),
    ];
    if machine.tool.ties() {
        steps.push(
            "Cut the tabs and trim them flush. Measure where the page shows it, off the tabs and \
            over them."
                .to_string(),
        );
    }
    let corners = match machine.tool.lifts() {
        true => "Round corners of the hole are the cutter's: keep off them.",
        false => {
            "A beam stands still for a moment where it turns and burns more away there: keep off \
            the corners, and off the place where it was pierced."
        }
    };
    let one = [1.0 - SCALE_AGREES, 1.0 + SCALE_AGREES].map(|scale| trimmed(scale, 3));
    steps.extend([
        format!("Calipers square to the side, lightly closed. Of each figure take the middle one \
            of three. {corners}"),
        "The large square so much larger than the small one as it was cut: the scale is true. Both \
        too small and the hole too large by the same: the tool. All of them too small by the same: \
        play of the axis.".to_string(),
        format!("A scale from {} to {} is 1, as far as calipers tell: reckon on with 1. The sums \
            take the {width} that {key} in the table {table} of the profile says \
            now.", one[0], one[1]),
        format!("Let it be worked out: seatcut square {name} --outside \"{a} x {a}\" \
            --inside \"{b} \
            x {b}\" --small \"{c} x {c}\", with your figures, X first, each with its unit; \
            --diagonals \"... x ...\" likewise. With the profile that the squares were cut with."),
        format!("The {what} goes into {key} of the table {table}, in a copy of the profile of your \
            own."),
    ]);
    steps
}

/// The sums in lines, for who has no page.
pub fn reckoned(square: &SquareProgram) -> Vec<String> {
    let line = |sum: Sum| {
        let Sum { what, how: [x, y], right, goes } = sum;
        format!("{what}: X {x}, Y {y}; {right} if all is well. {goes}")
    };
    let numbers = figures(&square.sizes).map(|of| {
        let [x, y] = of.numbers;
        format!("{x} and {y} {}", of.what)
    });
    let first = format!("Figures, X first: {}.", numbers.join("; "));
    let sums = sums(square).map(line);
    std::iter::once(first).chain(sums).chain([worked(square)]).collect()
}
