//! The layout numbers, and the line the head hangs from.

use super::sheet::{Figure, Section, Table, TableRows, Topic};
use super::value::Value;
use crate::check::contact_height;
use crate::measure::{Follow, Job, Makes, Meets};
use crate::outline::Outline;
use crate::solve::Flight;
use crate::units::{Length, trimmed};
use crate::workup::Workup;

/// What is made, on what, under which rule set.
pub(super) fn about(job: &Job, workup: &Workup) -> Vec<String> {
    let made = match job.cut.makes {
        Makes::Stringers => format!("Makes the stringers themselves, {} in all.", job.cut.quantity),
        Makes::Pattern(follow) => format!("Makes a master pattern. {}", followed(follow)),
    };
    vec![
        made,
        format!("Machine profile {}, material profile {}.", job.cut.machine.name, job.cut.material.name),
        format!("Rule set {}; {} risers, {} treads.", job.rules.name, workup.flight.risers, workup.flight.treads),
    ]
}

fn followed(follow: Follow) -> String {
    match follow {
        Follow::Edge => "It is followed along its very edge: it has the size of the part.".to_string(),
        Follow::BearingBit => "It is followed by a bearing bit: it has the size of the part.".to_string(),
        Follow::Pencil { .. } => format!("It is followed with a pencil: {}", smaller(follow)),
        Follow::Bushing { .. } => format!("It is followed with a bushing: {}", smaller(follow)),
    }
}

fn smaller(follow: Follow) -> String {
    format!("smaller by {} all round.", Value::Length(follow.inset()).exact())
}

/// The numbers the stringer is laid out with.
pub(super) fn layout(job: &Job, workup: &Workup) -> Section {
    let flight = &workup.flight;
    let mut tables = vec![
        table("The flight", flight_rows(flight)),
        table("One step", step_rows(job, flight)),
        table("The stringer", stringer_rows(workup)),
    ];
    if let Some(tie) = &job.tie_plate {
        let rows = vec![
            Figure::new("notch, along the seat", tie.width + tie.clearance).note("plate and clearance"),
            Figure::new("notch, height", tie.height + tie.clearance).note("plate and clearance"),
            Figure::new("notch, set back from the first riser cut", tie.set_back),
        ];
        tables.push(table("The notch for the tie plate", rows));
    }
    let notes = vec![
        "A sixteenth with + or - is a little more or less than printed; the exact value stands beside it.".to_string(),
        "Lay out from the exact values or the cumulative marks; never step off a rounded rise.".to_string(),
    ];
    Section { topic: Topic::Layout, notes, tables }
}

fn table(caption: &str, rows: Vec<Figure>) -> Table {
    Table { caption: caption.to_string(), rows: TableRows::Figures(rows) }
}

fn flight_rows(flight: &Flight) -> Vec<Figure> {
    vec![
        Figure::new("total rise", flight.total_rise).note("finished surface to finished surface, plumb"),
        Figure::new("risers", flight.risers),
        Figure::new("treads", flight.treads),
        Figure::new("total run", flight.total_run()).note("first riser cut to top plumb cut, level"),
        Figure::new("pitch", format!("{} deg", trimmed(flight.pitch_rad().to_degrees(), 2))),
    ]
}

fn step_rows(job: &Job, flight: &Flight) -> Vec<Figure> {
    vec![
        Figure::new("unit rise", flight.unit_rise).note("total rise over risers"),
        Figure::new("unit run", flight.unit_run).note("riser cut to riser cut"),
        Figure::new("nose to nose along the pitch", flight.pitch_length()),
        Figure::new("tread finish", flight.tread_finish).note("overhang included"),
        Figure::new("overhang", job.tread.overhang),
        Figure::new("tread thickness", flight.tread_thickness),
    ]
}

fn stringer_rows(workup: &Workup) -> Vec<Figure> {
    let flight = &workup.flight;
    let mut rows = vec![
        Figure::new("first riser cut", flight.first_riser_cut()).note("over the surface the stringer stands on"),
        Figure::new("drop, taken once at the foot", flight.drop()).note("tread thickness less finish to come"),
        Figure::new("top tread cut, level", flight.top_tread_cut),
    ];
    if let Some(outline) = &workup.outline {
        rows.extend([
            Figure::new("seat cut, level", outline.seat_length()).note("first riser cut to heel, a notch included"),
            Figure::new("top plumb cut", outline.head_cut_length()),
            Figure::new("blank length", outline.blank_length()).note("along the pitch, without end trim"),
        ]);
    }
    rows.extend([
        Figure::new("board from nose line to lower edge", flight.board_depth).note("square to the edge"),
        Figure::new("throat", flight.throat()).note("square to the edge, behind a notch"),
        Figure::new("throat after relief", workup.throat_cut).note("with the inside corners as they are cut"),
    ]);
    rows
}

/// Where the head hangs and how it is measured.
pub(super) fn hang_line(job: &Job, workup: &Workup) -> Section {
    let flight = &workup.flight;
    let notes = vec![
        hang_words(flight),
        "Strike the line level across the rim, through every stringer position, and check it with a level.".to_string(),
        "Measure from the framing, before the upper finish is laid; where it is laid already, add its thickness."
            .to_string(),
    ];
    let rows = hang_rows(job, flight, workup.outline.as_ref());
    let mut tables = vec![table("At the head", rows)];
    tables.extend(workup.around.head.as_ref().map(super::around::head_joints));
    Section { topic: Topic::HangLine, notes, tables }
}

fn hang_words(flight: &Flight) -> String {
    let hang = flight.hang_line;
    if hang < Length::ZERO {
        return format!("The top tread cut lies {} above the top of the framing: plumb up from it.", -hang);
    }
    format!("From the top of the framing at the head measure {hang} plumb down: there lies the top tread cut.")
}

fn hang_rows(job: &Job, flight: &Flight, outline: Option<&Outline>) -> Vec<Figure> {
    let meets = match job.head.meets {
        Meets::OneDown => "the top tread is one riser below the upper finish",
        Meets::Flush => "the top tread is level with the upper finish",
    };
    let mut rows = vec![
        Figure::new("hang line", flight.hang_line).note("top of the framing down to the top tread cut, plumb"),
        Figure::new("the same from the upper finish", flight.hang_line + flight.head_finish).note(meets),
        Figure::new("upper finish above its framing", flight.head_finish),
        Figure::new("riser board on the rim", job.head.riser_board),
        Figure::new("spacer between stringer and rim", job.head.spacer),
        Figure::new("top plumb cut, from the first riser cut", flight.head_cut_x).note("level"),
    ];
    if let Some(depth) = flight.rim_depth {
        rows.push(Figure::new("depth of the rim", depth));
    }
    match outline.and_then(|outline| contact_height(flight, outline)) {
        Some(height) => rows.push(Figure::new("contact height at the head", height).note("stringer against the rim")),
        None => rows.push(
            Figure::new("contact height at the head", "not known").note("measure the rim and give head.rim_depth"),
        ),
    }
    rows
}
