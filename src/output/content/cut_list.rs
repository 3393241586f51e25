//! What to cut from what: everything the job knows, and in words what it does not.

use super::cut_from::CutFrom;
use super::section::{Piece, Section, Table, TableRows, Topic};
use crate::job::{Job, Makes, Meets};
use crate::pipeline::numbers::Value;
use crate::pipeline::workup::Workup;
use crate::stair::Flight;
use crate::units::Length;

const DECIDE: &str = "decide";

/// The cut list.
pub(super) fn cut_list(job: &Job, workup: &Workup, from: &CutFrom<'_>) -> Section {
    let flight = &workup.flight;
    let blank = workup.outline.as_ref().map(|outline| outline.blank_length());
    let across = Across::of(job);
    let mut pieces = vec![stringers(job, workup, blank)];
    pieces.extend(treads(job, flight, &across));
    pieces.extend(riser_boards(job, flight, &across));
    pieces.extend(plate(job, &across));
    pieces.extend([skirts(blank), strongback(&across)]);
    let stairs = from.stairs(job);
    let mut tables = vec![pieces_table("For one stair".to_string(), pieces.clone())];
    if stairs > 1 {
        let all = pieces.into_iter().filter_map(|piece| times(piece, stairs)).collect();
        tables.push(pieces_table(format!("For all {stairs} stairs"), all));
    }
    tables.extend(from.stock(job, blank));
    let mut notes = vec![across.note.to_string()];
    if job.cut.is_of_boards() {
        notes.push(
            "Slack is what a stock length leaves over the blank: room for end trim and to move away from knots; keep \
             knots out of the noses and the throat."
                .to_string(),
        );
    }
    Section { topic: Topic::CutList, notes, tables }
}

fn pieces_table(caption: String, pieces: Vec<Piece>) -> Table {
    Table { caption, rows: TableRows::Pieces(pieces) }
}

/// The same pieces of so many stairs; none where their number is not known.
fn times(piece: Piece, stairs: usize) -> Option<Piece> {
    let Value::Count(count) = piece.count else { return None };
    Some(Piece { count: Value::Count(count * stairs), ..piece })
}

/// What is cut to the width of the stair.
struct Across {
    length: Value,
    note: &'static str,
}

impl Across {
    fn of(job: &Job) -> Self {
        match job.around.stair {
            Some(stair) => Self {
                length: stair.width.into(),
                note: "Lengths along the stair come from the geometry, lengths across it from stair.width, over the outer \
                       stringers: add what treads overhang at the sides, take off what skirts and clearances need.",
            },
            None => Self {
                length: "width of the stair".into(),
                note: "Lengths along the stair come from the geometry. The job knows no width of the stair: lengths across \
                       it are to be measured, or give stair.width.",
            },
        }
    }
}

fn decide() -> Value {
    DECIDE.into()
}

fn stringers(job: &Job, workup: &Workup, blank: Option<Length>) -> Piece {
    let by_width = workup.around.stringers.as_ref().map(|layout| layout.count());
    let count = match job.cut.makes {
        Makes::Stringers => Value::Count(job.cut.stringers() / job.cut.stairs as usize),
        Makes::Pattern(_) => by_width.map_or(decide(), Value::Count),
    };
    let (width, thickness, of) = if job.cut.is_of_boards() {
        (job.board.width.into(), job.board.thickness, "board as measured")
    } else {
        let deep = workup
            .outline
            .as_ref()
            .map(|outline| Value::Length(Length::mm(outline.in_board_frame().bounds().height())));
        (
            deep.unwrap_or(decide()),
            job.cut.material.thickness * f64::from(job.cut.sharing.layers),
            "cut from the sheet",
        )
    };
    let asked = match by_width {
        Some(asked) if Value::Count(asked) != count => {
            format!("; width and spacing ask for {asked}")
        }
        _ => String::new(),
    };
    Piece {
        what: "stringers".to_string(),
        count,
        length: blank.map_or(Value::Words("no stringer".to_string()), Value::Length),
        width,
        thickness: thickness.into(),
        note: format!("{of}; length without end trim{asked}"),
    }
}

fn treads(job: &Job, flight: &Flight, across: &Across) -> Vec<Piece> {
    let piece = |what: &str, count: usize, width: Length, note: String| Piece {
        what: what.to_string(),
        count: count.into(),
        length: across.length.clone(),
        width: width.into(),
        thickness: flight.tread_thickness.into(),
        note,
    };
    let (alike, top) = match job.head.meets {
        Meets::OneDown => (flight.treads, None),
        Meets::Flush => (flight.treads - 1, Some(top_tread(job, flight))),
    };
    let mut pieces = Vec::new();
    if alike > 0 {
        pieces.push(match job.tread.boards {
            Some(boards) => {
                let note =
                    format!("{} a tread, {} apart, on {alike} treads", boards.count, boards.gap);
                piece("tread boards", boards.count as usize * alike, boards.width, note)
            }
            None => {
                piece("treads", alike, flight.tread_finish, "unit run and overhang".to_string())
            }
        });
    }
    if let Some(width) = top {
        let laid = match job.tread.boards {
            Some(boards) => {
                format!("; laid of boards {} wide, the last ripped to fit", boards.width)
            }
            None => String::new(),
        };
        let note = format!("top tread cut, spacer, riser board in front, overhang{laid}");
        pieces.push(piece("top tread", 1, width, note));
    }
    pieces
}

/// From its nosing, an overhang before the face of the riser board that stands in front of the riser
/// cut, back to the rim.
fn top_tread(job: &Job, flight: &Flight) -> Length {
    flight.top_tread_cut + job.head.spacer + job.tread.riser_board + job.tread.overhang
}

fn riser_boards(job: &Job, flight: &Flight, across: &Across) -> Vec<Piece> {
    let piece = |what: &str, count: usize, width: Length, thickness: Length, note: &str| Piece {
        what: what.to_string(),
        count: count.into(),
        length: across.length.clone(),
        width: width.into(),
        thickness: thickness.into(),
        note: note.to_string(),
    };
    let mut pieces = Vec::new();
    if job.tread.riser_board > Length::ZERO {
        let height = flight.unit_rise - flight.tread_thickness;
        let note = "from the tread below to the underside of the tread above; a tread that butts against it needs the tread's \
                    thickness more";
        pieces.push(piece("riser boards", flight.treads, height, job.tread.riser_board, note));
    }
    if job.head.meets == Meets::OneDown && job.head.riser_board > Length::ZERO {
        let height = flight.unit_rise - flight.head_finish;
        let note = "on the rim, from the top tread to the underside of the upper finish";
        pieces.push(piece("riser board at the head", 1, height, job.head.riser_board, note));
    }
    pieces
}

fn plate(job: &Job, across: &Across) -> Option<Piece> {
    let tie = job.plate()?;
    Some(Piece {
        what: "tie plate".to_string(),
        count: 1.into(),
        length: across.length.clone(),
        width: tie.width.into(),
        thickness: tie.height.into(),
        note: "let into the foot of every stringer".to_string(),
    })
}

fn skirts(blank: Option<Length>) -> Piece {
    Piece {
        what: "skirts".to_string(),
        count: decide(),
        length: blank.map_or(decide(), |blank| Value::Words(format!("at least {blank}"))),
        width: decide(),
        thickness: decide(),
        note: "marked with the same pattern; how far it runs past head and foot is decided on site"
            .to_string(),
    }
}

fn strongback(across: &Across) -> Piece {
    Piece {
        what: "strongback".to_string(),
        count: decide(),
        length: across.length.clone(),
        width: decide(),
        thickness: decide(),
        note: "under the lower edges, on a long run".to_string(),
    }
}
