//! The dozen numbers that a stair is laid out with, said the way they are used.

use super::section::{Figure, Section, Table, Topic};
use crate::pipeline::numbers::Value;
use crate::pipeline::workup::Workup;
use crate::units::{Length, on_tape};

/// The section.
pub(super) fn numbers(workup: &Workup) -> Section {
    let (job, flight) = (&workup.job, &workup.flight);
    let mut rows = vec![
        Figure::new("risers", flight.risers).note(format!("treads: {}", flight.treads)),
        Figure::new("rise of a step", flight.unit_rise).note("riser to riser, all alike"),
        Figure::new("run of a step", flight.unit_run).note("riser cut to riser cut"),
        Figure::new(
            "on the square",
            format!("{} and {}", on_tape(flight.unit_rise), on_tape(flight.unit_run)),
        )
        .note("rise on the tongue, run on the blade"),
        Figure::new("first riser cut", flight.first_riser_cut()).note("the drop is out of it"),
    ];
    rows.push(drop(flight.drop()));
    if let Some(outline) = &workup.outline {
        rows.extend([
            Figure::new("seat cut", outline.seat_length()).note("first riser cut to heel"),
            Figure::new("top plumb cut", outline.head_cut_length()).note("along it"),
            Figure::new("blank", outline.blank_length())
                .note(format!("of a board {} wide, without end trim", on_tape(job.board.width))),
        ]);
    }
    rows.extend([
        hang(flight.hang_line),
        Figure::new("total rise", flight.total_rise).note("finished surface to finished surface"),
        Figure::new("total run", flight.total_run()).note("first riser cut to top plumb cut"),
    ]);
    let tables = vec![Table::figures("The numbers to work with", rows)];
    Section { topic: Topic::Numbers, notes: Vec::new(), tables }
}

fn drop(drop: Length) -> Figure {
    if drop == Length::ZERO {
        return Figure::new("drop", "none").note("nothing comes off the foot");
    }
    let (words, by) = if drop > Length::ZERO {
        ("off the foot, once, and done in every figure here", drop)
    } else {
        ("added at the foot, once, and done in every figure here", -drop)
    };
    Figure::new("drop", by).note(words)
}

fn hang(hang: Length) -> Figure {
    if hang < Length::ZERO {
        return Figure::new("framing up to top tread cut", Value::Length(-hang))
            .note("plumb up from the top of the framing");
    }
    Figure::new("framing to top tread cut", hang).note("plumb down from the top of the framing")
}
