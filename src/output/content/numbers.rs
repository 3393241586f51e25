//! The dozen numbers that a stair is laid out with, said the way they are used.

use super::layout::hung_by;
use super::section::{Figure, Section, Table, Topic};
use crate::job::{Housed, Job};
use crate::pipeline::workup::Workup;
use crate::stair::Flight;
use crate::stair::outline::{Outline, cleat_marks};
use crate::units::{Length, on_tape};

/// The section.
pub(super) fn numbers(workup: &Workup) -> Section {
    let (job, flight) = (&workup.job, &workup.flight);
    let mut rows = vec![
        Figure::new("risers", flight.risers).note(format!("treads: {}", flight.treads)),
        Figure::new("rise of a step", flight.unit_rise).note("riser to riser, all alike"),
        Figure::new("run of a step", flight.unit_run).note(if job.stringer.has_steps() {
            "riser cut to riser cut"
        } else {
            "riser to riser, level"
        }),
        Figure::new(
            "on the square",
            format!("{} and {}", on_tape(flight.unit_rise), on_tape(flight.unit_run)),
        )
        .note("rise on the tongue, run on the body"),
    ];
    let over = "over what the stringer stands on";
    match job.stringer.housed() {
        // Its pockets begin at the finished tops: nothing comes off its foot.
        Some(_) => rows.push(
            Figure::new("first tread's pocket", flight.tread_cut_y(1) + flight.tread_thickness)
                .note(format!("its upper side, {over}")),
        ),
        None => {
            rows.push(match cleat_marks(job, flight).first() {
                Some(first) => Figure::new("first cleat's top", first.top)
                    .note(format!("{over}; the drop is out of it")),
                None => Figure::new("first riser cut", flight.first_riser_cut())
                    .note("the drop is out of it"),
            });
            rows.push(drop(flight.drop()));
        }
    }
    if let Some(outline) = &workup.outline {
        rows.extend([
            Figure::new("seat cut", outline.seat_length()).note(if job.stringer.has_steps() {
                "first riser cut to heel"
            } else {
                "plumb cut at the foot to heel"
            }),
            Figure::new("top plumb cut", outline.head_cut_length()).note("along it"),
            Figure::new("blank", outline.blank_length())
                .note(format!("of a board {} wide, without end trim", on_tape(job.board.width))),
        ]);
    }
    if let Some(first) = cleat_marks(job, flight).first() {
        rows.extend([
            Figure::new("first cleat's line", first.along)
                .note("along the upper edge, from the toe end of the blank"),
            Figure::new("line to line", flight.pitch_length()).note("along the upper edge"),
            Figure::new("front of a cleat", first.front)
                .note("along its level line, from the upper edge"),
        ]);
    }
    rows.extend(job.stringer.housed().into_iter().flat_map(|housed| pockets(workup, housed)));
    rows.extend([
        hang(job, flight),
        Figure::new("total rise", flight.total_rise).note("finished surface to finished surface"),
    ]);
    let run = Figure::new("total run", flight.total_run());
    match &workup.outline {
        // A solid board has no riser cut to measure from.
        Some(outline) if !job.stringer.has_steps() => rows.extend([
            Figure::new("cut to cut", outline.level_length())
                .note("plumb cut at the foot to plumb cut at the head, level"),
            run.note("of the stair, from the first riser to the head; no cut of this board"),
        ]),
        _ => rows.push(run.note("first riser cut to top plumb cut, level")),
    }
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

/// Plumb from the framing's top to what the head hangs by.
fn hang(job: &Job, flight: &Flight) -> Figure {
    let (what, hang) = hung_by(job, flight);
    let (way, by) = if hang < Length::ZERO { ("up", -hang) } else { ("down", hang) };
    Figure::new("hang line", by)
        .note(format!("plumb {way} from the top of the framing to the {what}"))
}

/// Where the pockets of a housed board lie, and how wide and deep they are.
fn pockets(workup: &Workup, housed: &Housed) -> Vec<Figure> {
    let (flight, from) = (&workup.flight, "along the upper edge, inner face up");
    let corners = workup.outline.iter().flat_map(Outline::nosings_in_board_frame);
    // The nosing that is nearest to the left end is the first on one hand, the last on the other.
    let first = corners.map(|corner| Length::mm(corner.x)).reduce(Length::min);
    let mut rows: Vec<Figure> = first
        .map(|at| {
            Figure::new("left-most nosing", at)
                .note(format!("{from}, from the left end of the blank"))
        })
        .into_iter()
        .collect();
    rows.extend([
        Figure::new("nosing to nosing", flight.pitch_length()).note(from),
        Figure::new("pockets", housed.depth).note("deep"),
        Figure::new("pocket at a nosing", flight.tread_thickness + housed.clearance)
            .note("high: the tread and the clearance"),
    ]);
    if housed.wedge > Length::ZERO {
        rows.push(
            Figure::new(
                "pocket at a tread's end",
                flight.tread_thickness + housed.clearance + housed.wedge,
            )
            .note("high: with the wedge; the wedges are in the cut list"),
        );
    }
    rows
}
