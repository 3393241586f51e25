//! One list for all that is cut together: what to run, which sheets, every piece, what to buy, what
//! it comes to.

use super::cut_from::{in_feet, run_of};
use super::cut_list::{TO_BUY as STEP_BOARDS, board_row};
use super::run_order::{RunOf, run_order};
use super::saw_table;
use super::section::{BenchSheet, Figure, Pictures, Section, Table, Topic};
use crate::job::OrderHead;
use crate::output::Stamp;
use crate::pipeline::numbers::Value;
use crate::pipeline::set::{CutOf, NumberedPiece, Set, SheetOffcut, SheetRun, counted_up};
use crate::units::{Length, Tape, counted, minutes, on_tape, trimmed, weight};

/// What the files of one layout of a sheet are called.
#[derive(Clone, Debug)]
pub struct SheetFiles {
    /// Its picture.
    pub picture: String,
    /// Its programs, in the order they are run.
    pub programs: Vec<String>,
}

/// The work list of a set.
pub fn work_list(set: &Set, stamp: Stamp, runs: &[RunOf<'_>], sheets: &[SheetFiles]) -> BenchSheet {
    let mut sections = vec![run_order(runs)];
    sections.extend((!set.sheets.is_empty()).then(|| sheets_section(set, sheets)));
    sections.extend(saw_table::section(set));
    sections.extend([pieces(set), to_buy(set), totals(set, runs)]);
    let mut about = stamp.order.clone();
    about.extend(set.members.iter().enumerate().map(|(i, member)| {
        let job = member.job();
        let whose = for_whom(set, i);
        let whose = if whose.is_empty() { whose } else { format!(", for {whose}") };
        format!(
            "{}{whose}: {} of {}, job {}",
            job.title,
            counted(member.pieces(), "piece"),
            job.cut.material.name,
            member.workup.fingerprint
        )
    }));
    BenchSheet { called: "work list", stamp, about, sections, pictures: Pictures::default() }
}

/// For whom a job of the set is made; where jobs are of several orders, which of them too. Empty
/// where nobody is named.
pub(in crate::output) fn for_whom(set: &Set, member: usize) -> String {
    let line = set.line_of(member);
    let of_one = |of: fn(&OrderHead) -> &Option<String>| {
        (0..set.members.len()).all(|other| of(&set.line_of(other)) == of(&line))
    };
    let number = line.number.as_ref().filter(|_| !of_one(|of| &of.number));
    let due = line.due.as_ref().filter(|_| !of_one(|of| &of.due));
    let words = [
        line.customer.clone(),
        number.map(|number| format!("order {number}")),
        due.map(|due| format!("due {due}")),
    ];
    words.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

const SHEETS: [(&str, f64); 6] = [
    ("Sheets", 14.0),
    ("Picture", 18.0),
    ("Material", 26.0),
    ("Size", 26.0),
    ("Programs", 34.0),
    ("Pieces on each", 16.0),
];

fn sheets_section(set: &Set, files: &[SheetFiles]) -> Section {
    let row = |(layout, (run, files)): (usize, (_, &SheetFiles))| {
        let run: &SheetRun = run;
        let sheets = set.sheet_numbers(layout);
        let [what, size] = cut_up(set, run);
        vec![
            through(sheets.first, sheets.last).into(),
            files.picture.as_str().into(),
            what.into(),
            size.into(),
            files.programs.join(", then ").into(),
            run.programs.cut.pieces.len().into(),
        ]
    };
    let rows = set.sheets.iter().zip(files).enumerate().map(row).collect();
    let notes = vec![
        "Sheets in one line are cut alike, by the same programs, one after the other. Write its \
        number on every sheet before it is cut."
            .to_string(),
    ];
    let tables = vec![Table::plain("Sheets in the order they are cut", &SHEETS, rows)];
    Section { topic: Topic::Sheets, notes, tables }
}

fn through(first: usize, last: usize) -> String {
    if first == last { first.to_string() } else { format!("{first} to {last}") }
}

static PIECES: [(&str, f64); 7] = [
    ("Numbers", 18.0),
    ("Pieces", 12.0),
    ("Job", 29.0),
    ("For", 24.0),
    ("Part", 18.0),
    ("Length x width", 28.0),
    ("Weight of one", 18.0),
];

fn pieces(set: &Set) -> Section {
    let row = |piece: &NumberedPiece| {
        vec![
            piece.numbers().into(),
            piece.times.into(),
            set.members[piece.member].job().title.as_str().into(),
            for_whom(set, piece.member).into(),
            piece.part.as_str().into(),
            size(piece).into(),
            piece.weight_kg.map_or_else(String::new, weight).into(),
        ]
    };
    let numbered = set.numbered();
    let mut notes = vec![
        "A piece is called by its sheet and its place on it: S4-3 is piece 3 of sheet 4. The same \
        numbers stand on the pictures of the sheets and on the labels."
            .to_string(),
    ];
    if numbered.iter().any(|piece| piece.from == CutOf::Board) {
        notes.push(
            "B2-1 is the first blank of board 2; how each board is sawn stands in boards.txt."
                .into(),
        );
    }
    let mut rows: Vec<Vec<Value>> = numbered.iter().map(row).collect();
    // Where nobody said how heavy anything is, nothing is said of weights.
    let is_weighed = numbered.iter().any(|piece| piece.weight_kg.is_some());
    let columns = if is_weighed { &PIECES[..] } else { &PIECES[..PIECES.len() - 1] };
    rows.iter_mut().for_each(|row| row.truncate(columns.len()));
    let tables = vec![Table::plain("Every piece", columns, rows)];
    Section { topic: Topic::CutList, notes, tables }
}

/// The sides of a piece as the tape reads.
pub(in crate::output) fn size(piece: &NumberedPiece) -> String {
    format!("{} x {}", on_tape(piece.length), on_tape(piece.width))
}

/// What a sheet is of and its size; of an offcut as the rack lists it, along the grain and across.
fn cut_up(set: &Set, run: &SheetRun) -> [String; 2] {
    let stock = &run.programs.cut.stock;
    let material = set.members[run.first_member()].job().cut.material.name.clone();
    let size = |a: Length, b: Length| format!("{} x {}", on_tape(a), on_tape(b));
    match run.offcut {
        // Whichever way it lies, it is one good: along its grain and across.
        None if run.lies_along => [material, size(stock.length, stock.width)],
        None => [material, size(stock.width, stock.length)],
        Some(SheetOffcut { size: [length, width], .. }) => {
            let lies = if run.lies_along { "along X" } else { "along Y" };
            let told = format!("{}, its length {lies}", size(length, width));
            [format!("{material}, an offcut of the rack"), told]
        }
    }
}

const TO_BUY: [(&str, f64); 3] = [("Count", 10.0), ("What", 60.0), ("Size", 40.0)];

fn to_buy(set: &Set) -> Section {
    let mut rows: Vec<Vec<Value>> = Vec::new();
    for run in &set.sheets {
        let [what, size]: [Value; 2] = cut_up(set, run).map(Value::from);
        match rows.iter_mut().find(|row| row[1] == what && row[2] == size) {
            Some(row) => row[0] = Value::Count(run.times + row[0].number().unwrap_or(0.0) as usize),
            None => rows.push(vec![run.times.into(), what, size]),
        }
    }
    for plan in &set.boards {
        let bought = counted_up(plan.boards.iter().map(|of| (of.length, of.times)));
        rows.extend(bought.into_iter().map(|(length, count)| {
            vec![count.into(), plan.material.as_str().into(), in_feet(length).into()]
        }));
    }
    if let ([only], [], []) = (&set.members[..], &set.sheets[..], &set.boards[..]) {
        let material = only.job().cut.material.name.as_str();
        rows.push(vec![only.pieces().into(), material.into(), "one piece of it each".into()]);
    }
    let mut tables = vec![Table::plain("What is cut up", &TO_BUY, rows)];
    tables.extend(for_steps(set));
    Section { topic: Topic::ToBuy, notes: Vec::new(), tables }
}

/// The boards of treads, riser boards and skirts: of several jobs at once, and of one.
fn for_steps(set: &Set) -> Option<Table> {
    let shared = set.step_boards.iter().map(|shared| &shared.boards);
    let alone = set.members.iter().flat_map(|member| &member.workup.beside.boards);
    let all = shared.chain(alone.filter(|of| !of.with_others));
    let rows: Vec<Vec<Value>> = all.map(board_row).collect();
    (!rows.is_empty())
        .then(|| Table::plain("For treads, riser boards and skirts", &STEP_BOARDS, rows))
}

fn totals(set: &Set, runs: &[RunOf<'_>]) -> Section {
    // A frame goes round and cuts nothing.
    let cutting = runs.iter().filter(|run| !run.is_frame);
    let cut_mm: f64 = cutting.map(|run| run.program.cut_length_mm * run.times as f64).sum();
    let time_s: f64 = runs.iter().map(RunOf::whole_s).sum();
    let pieces: usize = set.numbered().iter().map(|piece| piece.times).sum();
    let mut rows = vec![Figure::new("pieces", pieces)];
    if !set.sheets.is_empty() {
        let of = |on_offcut: bool| {
            let runs = set.sheets.iter().filter(|run| run.offcut.is_some() == on_offcut);
            runs.map(|run| run.times).sum::<usize>()
        };
        rows.push(Figure::new("sheets", of(false)));
        rows.extend((of(true) > 0).then(|| Figure::new("offcuts of the rack", of(true))));
    }
    rows.extend(set.nests.iter().map(|nest| {
        let share = format!("{} %", trimmed(nest.yield_share * 100.0, 1));
        match nest.offcut {
            None => Figure::new(format!("used of {}", nest.material), share)
                .note("of the area of its sheets"),
            Some(SheetOffcut { size: [length, width], .. }) => {
                let size = format!("of the area of {} x {}", on_tape(length), on_tape(width));
                Figure::new(format!("used of an offcut of {}", nest.material), share).note(size)
            }
        }
    }));
    if !set.boards.is_empty() {
        let feet: f64 = set.boards.iter().map(|plan| plan.feet).sum();
        rows.push(Figure::new("boards in all", run_of(feet)));
    }
    rows.extend(weights(set));
    rows.push(Figure::new("length of all cuts", far(Length::mm(cut_mm))));
    rows.push(
        Figure::new("machine time", minutes(time_s))
            .note("the frames are in it; clamping, tool changes and moving the stock are not"),
    );
    if let Some(cost) = set.cost(time_s) {
        let parts = [("boards", cost.boards), ("sheets", cost.sheets), ("machine", cost.machine)];
        let parts: Vec<String> = parts
            .iter()
            .filter(|(_, amount)| *amount > 0.0)
            .map(|(what, amount)| format!("{what} {}", cost.money(*amount)))
            .collect();
        rows.push(Figure::new("cost", cost.told()).note(parts.join(", ")));
    }
    Section {
        topic: Topic::Totals,
        notes: Vec::new(),
        tables: vec![Table::figures("In all", rows)],
    }
}

/// What all pieces weigh, where that is known of any: of each material, and by whose figure.
fn weights(set: &Set) -> Option<Figure> {
    let (mut kg, mut by, mut without) = (0.0, Vec::new(), Vec::new());
    for piece in set.numbered() {
        let material = &set.members[piece.member].job().cut.material;
        match (piece.weight_kg, &material.density) {
            (Some(one), Some(of)) => {
                kg += one * piece.times as f64;
                by.push(of.told_of(&material.name));
            }
            _ => without.push(material.name.clone()),
        }
    }
    for words in [&mut by, &mut without] {
        words.sort();
        words.dedup();
    }
    let left_out = match &without[..] {
        [] => String::new(),
        of => format!("; without the pieces of {}, of which nobody said it", of.join(", ")),
    };
    let note = format!("{}{left_out}; wet or treated wood weighs more", by.join("; "));
    (kg > 0.0).then(|| Figure::new("weight of all pieces", weight(kg)).note(note))
}

/// A length of many feet or metres, to the nearest.
fn far(length: Length) -> String {
    match Tape::in_hand() {
        Tape::Inches => format!("{} ft", trimmed(length.as_feet(), 0)),
        Tape::Metric => format!("{} m", trimmed(length.as_mm() / 1000.0, 0)),
    }
}
