//! What to cut from what: everything the job knows, and in words what it does not.

use super::cut_from::{CutFrom, in_feet};
use super::section::{Piece, Section, Table, TableRows, Topic};
use super::totals::{Wood, totals};
use crate::job::{Back, CleatHoles, CleatOf, Job, Makes, SkirtKind, SkirtRisers, Skirts, Stringer};
use crate::pipeline::numbers::Value;
use crate::pipeline::steps::{SideSkirt, StepBoards};
use crate::pipeline::workup::Workup;
use crate::stair::outline::{Wedge, WedgeUnder, cleat_marks, wedges};
use crate::stair::{StepPiece, StepWhat, bays};
use crate::units::{Length, on_tape};

const DECIDE: &str = "decide";
/// The columns of what to buy.
pub(super) const TO_BUY: [(&str, f64); 5] =
    [("For", 14.0), ("Board", 26.0), ("Pieces", 34.0), ("Buy", 28.0), ("Least", 18.0)];

/// The cut list.
pub(super) fn cut_list(job: &Job, workup: &Workup, from: &CutFrom<'_>) -> Section {
    let blank = workup.outline.as_ref().map(|outline| outline.blank_length());
    let across = Across::of(job);
    let mut pieces = vec![stringers(job, workup, blank)];
    pieces.extend(cleats(job, workup));
    pieces.extend(steps(workup, &across));
    pieces.extend(wedge_pieces(job, workup));
    pieces.extend(plate(job, &across));
    // A solid board is itself what shows.
    pieces.extend(job.stringer.has_steps().then(|| skirts(workup, blank)).into_iter().flatten());
    pieces.push(strongback(&across));
    let stairs = from.stairs(job);
    let one_stair = pieces.clone();
    let mut tables = vec![pieces_table("For one stair".to_string(), pieces.clone())];
    if stairs > 1 {
        let all = pieces.into_iter().filter_map(|piece| times(piece, stairs)).collect();
        tables.push(pieces_table(format!("For all {stairs} stairs"), all));
    }
    tables.extend(to_buy(workup));
    tables.extend(bought_together(&from.with_others));
    tables.extend(comes_to(workup, &one_stair, from));
    tables.extend(from.stock(job, blank));
    let mut notes = vec![across.note.to_string()];
    if job.cut.is_of_boards() {
        let clear_of = match job.stringer {
            Stringer::Cut => "out of the noses and the throat",
            Stringer::Cleated(_) => "out of the lower edge and off the cleats' fasteners",
            Stringer::Housed(_) => "out of the lower edge and the sides of the pockets",
        };
        notes.push(format!(
            "Slack is what a stock length leaves over the blank: room for end trim and to move \
            away from knots; keep knots {clear_of}."
        ));
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
                note: if job.steps.is_some() {
                    "Lengths along the stair come from the geometry, lengths across it from \
                    stair.width, over the outer stringers, past_sides and the skirts. Nothing is \
                    added for trimming to fit."
                } else {
                    "Lengths along the stair come from the geometry, lengths across it from \
                    stair.width, over the outer stringers: add what treads overhang at the sides, \
                    take off what skirts and clearances need; a table [steps] works it out."
                },
            },
            None => Self {
                length: "width of the stair".into(),
                note: "Lengths along the stair come from the geometry. The job knows no width of \
                    the stair: lengths across it are to be measured, or give stair.width.",
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
        // Laid out by hand, the job says no number.
        Makes::Stringers if job.by_hand => by_width.map_or(decide(), Value::Count),
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
    let hand = match job.stringer {
        Stringer::Housed(_) => "; of this hand: the other one is a job of its own",
        Stringer::Cut | Stringer::Cleated(_) => "",
    };
    Piece {
        what: "stringers".to_string(),
        count,
        length: blank.map_or(Value::Words("no stringer".to_string()), Value::Length),
        width,
        thickness: thickness.into(),
        note: format!("{of}; length without end trim{asked}{hand}"),
    }
}

/// The cleats or angles of one stair by length, with their fasteners; on both sides of what stands
/// between two treads.
fn cleats(job: &Job, workup: &Workup) -> Vec<Piece> {
    let Some(cleated) = job.stringer.cleated() else { return Vec::new() };
    let marks = cleat_marks(job, &workup.flight);
    let mut lengths: Vec<(Length, usize)> = Vec::new();
    for mark in &marks {
        let is_it = |(of, _): &&mut (Length, usize)| of.is_within(Length::mm(1e-6), mark.length);
        match lengths.iter_mut().find(is_it) {
            Some((_, count)) => *count += 1,
            None => lengths.push((mark.length, 1)),
        }
    }
    let (name, names) = (cleated.with.name(), cleated.with.names());
    let each = match cleated.holes {
        CleatHoles::None => String::new(),
        _ => format!(", {} fasteners of {} in each", cleated.count, on_tape(cleated.hole)),
    };
    // Two faces look to the treads of every bay, whatever stands beside them.
    let bays = bays(job);
    let middle = if bays > 1 { ", both faces of a middle stringer counted" } else { "" };
    let one = |(length, count): (Length, usize)| Piece {
        what: if count == 1 && marks.len() > 1 {
            format!("{names} under tread {}", marks.len())
        } else {
            names.to_string()
        },
        count: (2 * bays * count).into(),
        length: length.into(),
        width: cleated.height.into(),
        thickness: match cleated.with {
            CleatOf::Wood { thickness } => thickness.into(),
            // Steel: no wood of the stair's.
            CleatOf::Angle { thickness, .. } => Value::Words(thickness.to_string()),
        },
        note: match cleated.with {
            CleatOf::Wood { .. } => format!("one at each end of a tread{middle}{each}"),
            CleatOf::Angle { leg, .. } => {
                format!(
                    "{name} with a leg of {} under the tread, one at each end{middle}{each}",
                    on_tape(leg)
                )
            }
        },
    };
    let mut pieces: Vec<Piece> = lengths.into_iter().map(one).collect();
    if cleated.holes != CleatHoles::None {
        pieces.push(Piece {
            what: "fasteners of the stringers".to_string(),
            count: ((bays + 1) * marks.len() * cleated.count as usize).into(),
            length: decide(),
            width: cleated.hole.into(),
            thickness: cleated.hole.into(),
            note: format!(
                "through the stringer{}; their strength is not worked out here",
                if bays > 1 { ", longer where both its faces have one" } else { "" }
            ),
        });
    }
    pieces
}

/// The wedges of both housed stringers of a stair, those of one size together.
fn wedge_pieces(job: &Job, workup: &Workup) -> Vec<Piece> {
    let mut alike: Vec<(Wedge, usize)> = Vec::new();
    for wedge in wedges(job, &workup.flight) {
        match alike.iter_mut().find(|(of, _)| is_alike(of, &wedge)) {
            Some((_, count)) => *count += 1,
            None => alike.push((wedge, 1)),
        }
    }
    let piece = |(wedge, count): (Wedge, usize)| {
        let (what, where_it_goes) = match wedge.under {
            WedgeUnder::Tread(_) => ("wedges under treads", "under the tread, from behind"),
            WedgeUnder::Riser(_) => {
                ("wedges behind riser boards", "behind the riser board, from below")
            }
        };
        Piece {
            what: what.to_string(),
            count: (2 * count).into(),
            length: wedge.length.into(),
            width: wedge.width.into(),
            thickness: format!("{} to {}", on_tape(wedge.thin), on_tape(wedge.thick)).into(),
            note: format!("{where_it_goes}; thin end to thick end, one in each stringer"),
        }
    };
    alike.into_iter().map(piece).collect()
}

/// Whether two wedges are cut as one.
fn is_alike(a: &Wedge, b: &Wedge) -> bool {
    std::mem::discriminant(&a.under) == std::mem::discriminant(&b.under)
        && a.length.is_within(Length::mm(1e-6), b.length)
        && a.thin.is_within(Length::mm(1e-6), b.thin)
}

/// Treads and riser boards.
fn steps(workup: &Workup, across: &Across) -> Vec<Piece> {
    let job = &workup.job;
    let piece = |of: &StepPiece| Piece {
        what: of.what.names(of.count),
        count: of.count.into(),
        length: of.length.map_or_else(|| across.length.clone(), Value::Length),
        width: of.width.into(),
        thickness: of.thickness.into(),
        note: [
            step_note(job, of),
            side_by_side(job),
            from_sheet(workup, of.what.name()).to_string(),
            of.wood(job).map_or_else(String::new, |wood| format!("; {wood}")),
        ]
        .concat(),
    };
    workup.beside.pieces.iter().map(piece).collect()
}

/// What is said of a piece that ends at middle stringers.
fn side_by_side(job: &Job) -> String {
    let bays = bays(job);
    if bays > 1 {
        format!("; {bays} side by side, each between two stringers")
    } else {
        String::new()
    }
}

/// What is said of a piece that is cut from the sheet of the stringers.
fn from_sheet(workup: &Workup, name: &str) -> &'static str {
    let is_cut = workup.beside.from_sheet.iter().any(|piece| piece.name == name);
    if is_cut { "; cut from the sheet with the stringers" } else { "" }
}

fn step_note(job: &Job, of: &StepPiece) -> String {
    let (what, count) = (of.what, of.count);
    // Only notches have cuts that something stands on.
    let cut = job.stringer.has_steps();
    let runs_under = job.steps.as_ref().is_some_and(|steps| steps.back == Back::Under);
    let note = match what {
        StepWhat::Tread if runs_under => "unit run, overhang, and under the riser board behind it",
        StepWhat::Tread if job.tread.riser_board == Length::ZERO => {
            "unit run and overhang; its back ends in line with the next riser cut"
        }
        StepWhat::Tread => "unit run and overhang; its back butts against the riser board",
        StepWhat::LastTread => "under the riser board at the head, which is of another thickness",
        StepWhat::FirstRiser => "from the finished floor to the underside of the first tread",
        StepWhat::Riser | StepWhat::HeadRiser if runs_under => {
            "stands on the tread below it, up to the underside of the one above"
        }
        StepWhat::Riser if cut => {
            "stands on the tread cut behind the tread, up to the underside of the one above"
        }
        StepWhat::Riser => {
            "behind the tread, from the level of its underside up to the underside of the one above"
        }
        StepWhat::HeadRiser if cut => {
            "on the rim, from the top tread cut to the underside of the upper finish"
        }
        StepWhat::HeadRiser => {
            "on the rim, from the level of the top tread's underside to the underside of the upper \
            finish"
        }
        StepWhat::TreadBoard => {
            let boards = job.tread.boards.expect("treads of boards are given by boards");
            let treads = count / boards.count as usize / bays(job);
            return format!("{} a tread, {} apart, on {treads} treads", boards.count, boards.gap);
        }
        StepWhat::TopTread => {
            let laid = job.tread.boards.map_or_else(String::new, |boards| {
                format!("; laid of boards {} wide, the last ripped to fit", boards.width)
            });
            let spacer = if job.head_gap() > Length::ZERO { "spacer, " } else { "" };
            let begin = if cut { "top tread cut" } else { "run that is left to the head" };
            return format!("{begin}, {spacer}riser board in front, overhang{laid}");
        }
    };
    let mitred = matches!(what, StepWhat::FirstRiser | StepWhat::Riser)
        && job.skirts.as_ref().is_some_and(Skirts::is_mitred);
    let long_point = if mitred { "; length to the long point of the mitre" } else { "" };
    format!("{note}{long_point}")
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

fn skirts(workup: &Workup, blank: Option<Length>) -> Vec<Piece> {
    let job = &workup.job;
    let Some(asked) = &job.skirts else {
        return vec![Piece {
            what: "skirts".to_string(),
            count: decide(),
            length: blank.map_or(decide(), |blank| Value::Words(format!("at least {blank}"))),
            width: decide(),
            thickness: decide(),
            note:
                "marked from the same piece as the stringers; how far it runs past head and foot \
                is decided on site"
                    .to_string(),
        }];
    };
    let note = |of: &SideSkirt| match (of.kind, asked.at_risers) {
        (SkirtKind::Wall, _) => {
            format!("its top {} over the nosings; scribe it to floor and wall", asked.above)
        }
        (SkirtKind::Open, SkirtRisers::Butt) if job.tread.riser_board > Length::ZERO => {
            "as the stringer's outline; riser boards run past it".to_string()
        }
        (SkirtKind::Open, SkirtRisers::Butt) => "as the stringer's outline".to_string(),
        (SkirtKind::Open, SkirtRisers::Mitre) => format!(
            "its plumb cuts {} before the stringer's, mitred by hand to the riser boards",
            job.tread.riser_board
        ),
    };
    let piece = |of: &SideSkirt| Piece {
        what: of.name(),
        count: 1.into(),
        length: of.skirt.outline().blank_length().into(),
        width: of.board_width(job).into(),
        thickness: asked.thickness.into(),
        note: note(of) + from_sheet(workup, &of.sheet_name()),
    };
    workup.beside.skirts.iter().map(piece).collect()
}

/// What the stair comes to, where the job asks for more than its stringers.
fn comes_to(workup: &Workup, pieces: &[Piece], from: &CutFrom<'_>) -> Vec<Table> {
    let job = &workup.job;
    if job.steps.is_none() && job.skirts.is_none() {
        return Vec::new();
    }
    let outline = workup.outline.as_ref();
    let stringer = outline
        .map(|outline| Wood { what: "stringers".to_string(), area_mm2: outline.contour().area() });
    let skirt = |of: &SideSkirt| Wood { what: of.name(), area_mm2: of.skirt.contour().area() };
    let sawn: Vec<Wood> =
        stringer.into_iter().chain(workup.beside.skirts.iter().map(skirt)).collect();
    let density = job.steps.as_ref().and_then(|steps| steps.density_kg_m3);
    let alone;
    let runs = if from.runs.is_empty() {
        alone = super::run_order::alone(workup);
        &alone
    } else {
        &from.runs
    };
    let own = runs.iter().filter(|run| run.is_own);
    totals(pieces, &sawn, density, own)
}

/// Which boards to buy for treads, riser boards and skirts.
fn to_buy(workup: &Workup) -> Option<Table> {
    let rows: Vec<Vec<Value>> = workup.beside.boards.iter().map(board_row).collect();
    (!rows.is_empty())
        .then(|| Table::plain("To buy for treads, riser boards and skirts", &TO_BUY, rows))
}

/// Boards of one size: what is sawn from them, what to buy.
pub(super) fn board_row(of: &StepBoards) -> Vec<Value> {
    let counted = |of: &[(Length, usize)], told: fn(Length) -> String| {
        let all: Vec<String> =
            of.iter().map(|(length, count)| format!("{count} of {}", told(*length))).collect();
        all.join(", ")
    };
    let (buy, least) = match (&of.buy[..], of.proven) {
        _ if of.with_others => {
            ("with the other jobs' pieces: bought once".to_string(), String::new())
        }
        ([], _) => ("longer than what is sold".to_string(), String::new()),
        (buy, true) => (counted(buy, in_feet), "no purchase takes less".to_string()),
        (buy, false) => (counted(buy, in_feet), "not proven the least".to_string()),
    };
    let wood = of.wood.as_ref().map_or_else(String::new, |wood| format!("{wood}, "));
    let size = format!("{wood}{} thick, {} wide or wider", of.thickness, of.width);
    [of.what.to_string(), size, counted(&of.pieces, on_tape), buy, least].map(Value::Words).to_vec()
}

/// What is bought once for this job and others, a table for each company of jobs.
fn bought_together(shared: &[(Vec<&str>, &StepBoards)]) -> Vec<Table> {
    let mut rows: Vec<(&[&str], Vec<Vec<Value>>)> = Vec::new();
    for (titles, boards) in shared {
        match rows.iter_mut().find(|of| of.0 == titles) {
            Some(of) => of.1.push(board_row(boards)),
            None => rows.push((titles, vec![board_row(boards)])),
        }
    }
    let table = |(titles, rows): (&[&str], Vec<Vec<Value>>)| {
        let caption = format!("To buy once for all of these: {}", titles.join("; "));
        Table::plain(&caption, &TO_BUY, rows)
    };
    rows.into_iter().map(table).collect()
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
