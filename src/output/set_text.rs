//! What several pieces take, in words: sheets, boards to buy, how to saw them.

use super::content::{in_feet, run_of};
use super::saw_list::told_apart;
use crate::pipeline::set::{
    BoardPlan, BoardToSaw, BoundBy, Chosen, NestFigures, Set, SheetOffcut, SheetRun, counted_up,
};
use crate::units::{Length, on_tape, trimmed};

/// What the sheets and boards of a set come to, a few lines each, and what it costs with the
/// machines running for so long.
pub fn totals(set: &Set, machine_s: f64) -> String {
    let mut text = String::new();
    for nest in &set.nests {
        text.push_str(&sheets(nest));
    }
    let to_saw = set.boards_to_saw();
    for (i, plan) in set.boards.iter().enumerate() {
        text.push_str(&boards(plan));
        let told = to_saw.iter().filter(|of| of.plan == i && of.known.is_told_apart());
        told.for_each(|board| text.push_str(&told_apart(set, board)));
    }
    if let Some(cost) = set.cost(machine_s) {
        text.push_str(&format!("\nCOST by the stock file\n  {}\n", cost.told()));
    }
    text
}

fn sheets(nest: &NestFigures) -> String {
    let percent = |share: f64| format!("{} %", trimmed(share * 100.0, 1));
    let share = format!(
        "{} of their area is used, {} between pieces",
        percent(nest.yield_share),
        nest.spacing
    );
    if let Some(SheetOffcut { size: [length, width], .. }) = nest.offcut {
        let (head, share) = match nest.sheets {
            1 => ("OFFCUT", share.replacen("their", "its", 1)),
            _ => ("OFFCUTS", share),
        };
        return format!(
            "\n{head} of {}\n  {} of {} x {} out of the rack\n  {share}\n",
            nest.material,
            nest.sheets,
            on_tape(length),
            on_tape(width)
        );
    }
    let count = match nest.sheets {
        1 => "1 sheet".to_string(),
        n => format!("{n} sheets"),
    };
    let bound = match (nest.sheets, nest.proven) {
        (1, _) => String::new(),
        (_, true) => ", and fewer cannot hold them".to_string(),
        (_, false) => {
            let (least, by) = (nest.bound_sheets, bound_by(nest.bound_by));
            format!("; {least} at the least {by}, so more --effort may find fewer")
        }
    };
    let boxes = match nest.boxes_sheets {
        Some(boxes) if boxes > nest.sheets => format!(" ({boxes} if they were not nested)"),
        _ => String::new(),
    };
    format!("\nSHEETS of {}\n  {count}{bound}{boxes}\n  {share}\n", nest.material)
}

/// What a bound rests on.
fn bound_by(by: BoundBy) -> &'static str {
    match by {
        BoundBy::Area => "by their area",
        BoundBy::Layouts => "however they lie",
    }
}

fn boards(plan: &BoardPlan) -> String {
    let bound = match (plan.proven, plan.chosen) {
        (true, Chosen::Bought) => "no purchase takes less".to_string(),
        (true, Chosen::RackByFeet) => "out of the rack; no other choice takes less".to_string(),
        (true, Chosen::RackByPrice) => "out of the rack; no other choice costs less".to_string(),
        (_, Chosen::RackPricedFirst) => {
            "out of the rack; boards without a price come last".to_string()
        }
        (false, _) => format!("{} at the least", run_of(plan.bound_feet)),
    };
    let bought = counted_up(plan.boards.iter().map(|of| (of.length, of.times)));
    let list: Vec<String> =
        bought.iter().map(|(length, count)| format!("{count} of {}", in_feet(*length))).collect();
    let first_fit = plan
        .first_fit_feet
        .filter(|feet| *feet > plan.feet)
        .map(|feet| format!("; sawn the longest first {}", run_of(feet)));
    format!(
        "\nBOARDS of {}\n  {} {}: {} in all ({bound}{})\n",
        plan.material,
        if plan.chosen == Chosen::Bought { "buy" } else { "take" },
        list.join(", "),
        run_of(plan.feet),
        first_fit.unwrap_or_default(),
    )
}

/// The saw list: every board with its blanks.
pub fn saw_list(set: &Set, title: &str) -> String {
    let mut text = format!("{title}\n");
    let to_saw = set.boards_to_saw();
    for (i, plan) in set.boards.iter().enumerate() {
        text.push_str(&boards(plan));
        text.push_str(&format!(
            "  each end trimmed by {}, a saw cut takes {}\n",
            plan.end_trim, plan.kerf
        ));
        if plan.reserve > Length::ZERO {
            text.push_str(&format!(
                "  every blank is {} longer than the machine needs, against a saw that wanders\n",
                plan.reserve
            ));
        }
        text.push_str("\nBlanks:\n");
        for (i, blank) in plan.blanks.iter().enumerate() {
            let title = &set.members[blank.member].job().title;
            text.push_str(&format!("  {}. {} of {}: {title}\n", i + 1, blank.count, blank.length));
        }
        text.push_str("\nSaw:\n");
        for board in to_saw.iter().filter(|of| of.plan == i) {
            text.push_str(&match board.known.is_told_apart() {
                true => told_apart(set, board),
                false => sawn_alike(board),
            });
        }
    }
    text.push_str(
        "\nA blank is the piece with what the tool needs before and behind it. Crown up; measure \
        width and crown of every board before it is sawn.\n",
    );
    text
}

/// The line of boards of which it does not matter which is which.
fn sawn_alike(of: &BoardToSaw) -> String {
    let boards = match of.times {
        1 => format!("board {}", of.first),
        _ => format!("boards {} to {}", of.first, of.last()),
    };
    let blanks: Vec<String> = of.blanks.iter().map(|blank| blank.number.to_string()).collect();
    let (times, length, blanks) = (of.times, in_feet(of.length), blanks.join(" + "));
    format!("  {boards}: {times} x {length}: blanks {blanks}; {} left\n", of.left)
}

/// One line about a sheet.
pub fn sheet_line(run: &SheetRun) -> String {
    let pieces = match run.programs.cut.pieces.len() {
        1 => "1 piece".to_string(),
        count => format!("{count} pieces"),
    };
    match run.times {
        1 => format!("A picture of the sheet: {pieces}, cut once."),
        times => format!("A picture of the sheet: {pieces}, cut {times} times."),
    }
}
