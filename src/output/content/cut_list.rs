//! What to cut from what: everything the job knows, and in words what it does not.

use super::section::{Figure, Piece, Section, Table, TableRows, Topic};
use crate::job::{Job, Makes, Meets};
use crate::pipeline::numbers::Value;
use crate::pipeline::workup::Workup;
use crate::stair::Flight;
use crate::units::Length;

/// Boards are sold in even feet (common practice, no source).
const STOCK_FEET: [u32; 7] = [8, 10, 12, 14, 16, 18, 20];
/// How many stock lengths are listed, shortest first.
const LISTED: usize = 3;
const ACROSS: &str = "width of the stair";
const DECIDE: &str = "decide";

/// The cut list.
pub(super) fn cut_list(job: &Job, workup: &Workup) -> Section {
    let flight = &workup.flight;
    let blank = workup.outline.as_ref().map(|outline| outline.blank_length());
    let mut pieces = vec![stringers(job, blank)];
    pieces.extend(treads(job, flight));
    pieces.extend(riser_boards(job, flight));
    pieces.extend(plate(job));
    pieces.extend([skirts(blank), strongback()]);
    let mut tables =
        vec![Table { caption: "For one stair".to_string(), rows: TableRows::Pieces(pieces) }];
    if let Some(blank) = blank {
        let rows = stock(blank);
        tables.push(Table::figures("Stock for a stringer", rows));
    }
    let notes = vec![
        "Lengths along the stair come from the geometry. The job knows no width of the stair: lengths across it are to be \
         measured."
            .to_string(),
        "Slack is what a stock length leaves over the blank: room for end trim and to move away from knots; keep knots \
         out of the noses and the throat."
            .to_string(),
    ];
    Section { topic: Topic::CutList, notes, tables }
}

fn stringers(job: &Job, blank: Option<Length>) -> Piece {
    let count = match job.cut.makes {
        Makes::Stringers => job.cut.quantity.to_string(),
        Makes::Pattern(_) => DECIDE.to_string(),
    };
    let length = blank.map_or(Value::Words("no stringer".to_string()), Value::Length);
    Piece {
        what: "stringers".to_string(),
        count,
        length,
        width: job.board.width.into(),
        thickness: job.board.thickness.into(),
        note: "board as measured; length without end trim".to_string(),
    }
}

fn treads(job: &Job, flight: &Flight) -> Vec<Piece> {
    let thickness = Value::Length(flight.tread_thickness);
    let piece = |what: &str, count: String, width: Value, note: String| Piece {
        what: what.to_string(),
        count,
        length: ACROSS.into(),
        width,
        thickness: thickness.clone(),
        note,
    };
    if let Some(boards) = job.tread.boards {
        let note =
            format!("{} a tread, {} apart, on {} treads", boards.count, boards.gap, flight.treads);
        let count = boards.count as usize * flight.treads;
        return vec![piece("tread boards", count.to_string(), boards.width.into(), note)];
    }
    let overhang = |what: &str| format!("{what} and overhang");
    match job.head.meets {
        Meets::OneDown => {
            let width = Value::Length(flight.tread_finish);
            vec![piece("treads", flight.treads.to_string(), width, overhang("unit run"))]
        }
        Meets::Flush => {
            let top = Value::Length(flight.top_tread_cut + job.head.spacer + job.tread.overhang);
            let mut pieces = Vec::new();
            if flight.treads > 1 {
                let width = Value::Length(flight.tread_finish);
                pieces.push(piece(
                    "treads",
                    (flight.treads - 1).to_string(),
                    width,
                    overhang("unit run"),
                ));
            }
            pieces.push(piece(
                "top tread",
                "1".to_string(),
                top,
                overhang("top tread cut, spacer"),
            ));
            pieces
        }
    }
}

fn riser_boards(job: &Job, flight: &Flight) -> Vec<Piece> {
    let piece = |what: &str, count: usize, width: Length, thickness: Length, note: &str| Piece {
        what: what.to_string(),
        count: count.to_string(),
        length: ACROSS.into(),
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

fn plate(job: &Job) -> Option<Piece> {
    let tie = job.tie_plate.as_ref()?;
    Some(Piece {
        what: "tie plate".to_string(),
        count: "1".to_string(),
        length: ACROSS.into(),
        width: tie.width.into(),
        thickness: tie.height.into(),
        note: "let into the foot of every stringer".to_string(),
    })
}

fn skirts(blank: Option<Length>) -> Piece {
    Piece {
        what: "skirts".to_string(),
        count: DECIDE.to_string(),
        length: blank.map_or(DECIDE.into(), |blank| Value::Words(format!("at least {blank}"))),
        width: DECIDE.into(),
        thickness: DECIDE.into(),
        note: "marked with the same pattern; how far it runs past head and foot is decided on site"
            .to_string(),
    }
}

fn strongback() -> Piece {
    Piece {
        what: "strongback".to_string(),
        count: DECIDE.to_string(),
        length: ACROSS.into(),
        width: DECIDE.into(),
        thickness: DECIDE.into(),
        note: "under the lower edges, on a long run".to_string(),
    }
}

/// The shortest standard lengths that hold the blank, with what they leave.
fn stock(blank: Length) -> Vec<Figure> {
    let feet = |feet: u32| Length::inches(f64::from(feet) * 12.0);
    let fitting = STOCK_FEET.into_iter().filter(|&n| feet(n) >= blank).take(LISTED);
    let mut rows: Vec<Figure> = vec![Figure::new("blank length", blank).note("without end trim")];
    rows.extend(fitting.map(|n| Figure::new(format!("stock of {n} ft, slack"), feet(n) - blank)));
    if rows.len() == 1 {
        rows.push(
            Figure::new("stock", "none").note("longer than 20 ft: no standard length holds it"),
        );
    }
    rows
}
