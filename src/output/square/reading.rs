//! What is told of measured figures of the test squares.

use serde::Serialize;

use super::words::{called, key, typed};
use crate::cam::square::{AGREE_IN, Axis, BadMeasure, Cut, NO_PLAY_IN, Reading, SCALE_AGREES};
use crate::diagnostics::{Error, ErrorKind};
use crate::output::report::json;
use crate::profile::Machine;
use crate::units::{Length, trimmed};

/// The figures of a reading, for programs.
#[derive(Clone, Debug, Serialize)]
pub struct ReadingReport {
    schema: &'static str,
    key: &'static str,
    width_mm: f64,
    agrees: bool,
    axes: Vec<AxisReport>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lean_deg: Option<f64>,
}

#[derive(Clone, Debug, Serialize)]
struct AxisReport {
    axis: &'static str,
    scale: f64,
    width_mm: f64,
    play_mm: f64,
    by_outside_mm: f64,
    by_inside_mm: f64,
}

/// The report of a reading, as JSON.
pub fn reading_report(machine: &Machine, reading: &Reading) -> String {
    let axes = Axis::BOTH.iter().zip(&reading.axes).map(|(axis, of)| AxisReport {
        axis: axis.name(),
        scale: of.scale,
        width_mm: of.width.as_mm(),
        play_mm: of.play.as_mm(),
        by_outside_mm: of.by_outside.as_mm(),
        by_inside_mm: of.by_inside.as_mm(),
    });
    json(&ReadingReport {
        schema: "seatcut.square-reading/1",
        key: key(machine).0,
        width_mm: reading.width().as_mm(),
        agrees: reading.agrees(),
        axes: axes.collect(),
        lean_deg: reading.lean_deg,
    })
}

/// A corner that leans less than this is square, as far as calipers tell: some 0.004 in over a
/// diagonal of 5 1/2 in.
const SQUARE_DEG: f64 = 0.06;

/// What the figures say, and what to type: a sentence each.
pub fn told(machine: &Machine, cut: &Cut, reading: &Reading) -> Vec<String> {
    let mm = |length: Length| typed(length, machine.units);
    let (key, table) = key(machine);
    let what = called(machine);
    let mut told: Vec<String> = Axis::BOTH
        .iter()
        .zip(&reading.axes)
        .map(|(axis, of)| {
            format!(
                "{}: {what} {}, scale {}, play {}. As if there were no play and the scale were \
                true, the outside alone would say {}, the hole alone {}.",
                axis.name(),
                mm(of.width),
                trimmed(of.scale, 5),
                mm(of.play),
                mm(of.by_outside),
                mm(of.by_inside)
            )
        })
        .collect();
    let (differ, allowed) = (mm(reading.differ()), mm(Length::inches(AGREE_IN)));
    if reading.agrees() {
        told.push(format!(
            "Type into the table {table} of your copy of the profile, in place of {}, this line:",
            mm(cut.width)
        ));
        // On a line of its own, so that it is never broken.
        told.push(format!("    {key} = \"{}\"", mm(reading.width())));
    } else {
        told.push(format!(
            "X and Y differ by {differ}, more than the {allowed} that calipers leave: there is no \
            one figure to type. Measure again. If they stay apart look for tilt ({}), and for a \
            sheet that moved.",
            if machine.tool.lifts() {
                "a spindle or cutter out of plumb, or one that runs out"
            } else {
                "a beam out of plumb or out of focus: its cut is wider one way"
            }
        ));
    }
    let off: Vec<(Axis, f64)> = reading.scaled().collect();
    for (axis, scale) in &off {
        let way = if *scale > 1.0 { "too far" } else { "too short" };
        told.push(format!(
            "{} goes {way} by {} %: that is no {what}, and no key of the profile mends it. In the \
            control multiply the steps per unit of {} by {}, then cut the squares again: on a long \
            piece it grows with the length.",
            axis.name(),
            trimmed((scale - 1.0).abs() * 100.0, 2),
            axis.name(),
            trimmed(1.0 / scale, 5)
        ));
    }
    if off.is_empty() {
        told.push(format!(
            "Scale: both axes are true to {} %, as far as calipers tell.",
            trimmed(SCALE_AGREES * 100.0, 1)
        ));
    }
    told.extend(play(reading, mm));
    told.extend(reading.lean_deg.map(|lean| leans(lean, machine)));
    told
}

/// Of each axis that has play, and that none has.
fn play(reading: &Reading, mm: impl Fn(Length) -> String) -> Vec<String> {
    let loose = |(axis, play): (Axis, Length)| {
        let (name, by) = (axis.name(), mm(Length::mm(play.as_mm().abs())));
        match play > Length::ZERO {
            true => format!(
                "{name} has {by} of play: after every turn it stands still for so long, and \
                everything between two sides comes out smaller by that, on long pieces no more \
                than on short ones. No key of the profile mends it: take it up in the drive (rack, \
                nut, belt), or type it into the play that the control makes up for, then cut the \
                squares again."
            ),
            false => format!(
                "{name} has less than no play: everything between two sides comes out larger by \
                {by}. The control makes up for more play than there is: lower what it makes up for \
                by that, then cut the squares again."
            ),
        }
    };
    let mut told: Vec<String> = reading.loose().map(loose).collect();
    if told.is_empty() {
        let least = mm(Length::inches(NO_PLAY_IN));
        told.push(format!(
            "Play: none of more than {least} on either axis, as far as calipers tell."
        ));
    }
    told
}

fn leans(lean_deg: f64, machine: &Machine) -> String {
    if lean_deg.abs() <= SQUARE_DEG {
        return "Square: the diagonals agree, as far as calipers tell.".to_string();
    }
    let off = Length::inches(12.0) * lean_deg.abs().to_radians().tan();
    let which = if lean_deg > 0.0 { "smaller" } else { "larger" };
    format!(
        "Out of square by {} degrees, {} in a foot (305 mm): the corner at the lower left is \
        {which} than square. X and Y of the machine do not stand square to each other: square the \
        gantry, then cut again.",
        trimmed(lean_deg.abs(), 3),
        typed(off, machine.units)
    )
}

/// Why no square has these figures.
pub fn bad_measure(machine: &Machine, problem: &BadMeasure) -> Error {
    let mm = |length: Length| typed(length, machine.units);
    let error = |what: String| Error::new(ErrorKind::Input, what);
    match *problem {
        BadMeasure::InsideLarger(axis, inside, outside) => error(format!(
            "across {} the hole is as large as the square round it, or larger",
            axis.name()
        ))
        .found(format!("hole {}, outside {}", mm(inside), mm(outside)))
        .allowed("a hole smaller than the outside")
        .hint("--outside is the large square, --inside its hole"),
        BadMeasure::OtherUnit(found, size) => error("a figure is in the other unit".to_string())
            .found(mm(found))
            .allowed(format!("about {}", mm(size)))
            .hint("look at the unit behind each figure, in or mm"),
        BadMeasure::AnotherSize(axis, percent) => error(format!(
            "across {} the large square is not so much larger than the small one as it was cut",
            axis.name()
        ))
        .found(format!("{} % of it", trimmed(percent, 1)))
        .allowed("95 to 105 %")
        .hint(
            "--outside is the large square, --small the small one. Were they cut for this machine? \
            The sizes are 5 in and 2 in, or 125 mm and 50 mm, by the unit of its programs",
        ),
        BadMeasure::Play(axis, play, limit) => error(format!(
            "across {} outside and hole together are too far from what was cut for any play",
            axis.name()
        ))
        .found(mm(play))
        .allowed(format!("{} at most", mm(limit)))
        .hint("measure outside and hole again"),
        BadMeasure::NoWidth(axis, width) => {
            error(format!("across {} the tool would have taken nothing away", axis.name()))
                .found(mm(width))
                .allowed("more than 0")
                .hint("was it cut with the profile as it is now? Measure outside and hole again")
        }
        BadMeasure::TooWide(axis, width, limit) => error(format!(
            "across {} the tool would have taken away half of the piece or more",
            axis.name()
        ))
        .found(mm(width))
        .allowed(format!("less than {}", mm(limit)))
        .hint("measure outside and hole again"),
        BadMeasure::Diagonals(found, wanted) => {
            error("the diagonals do not go with the sides".to_string())
                .found(format!("{} in the middle of both", mm(found)))
                .allowed(format!("about {}", mm(wanted)))
                .hint("measure both from corner to corner, outside")
        }
    }
}
