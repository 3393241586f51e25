//! What several pieces take, in words: sheets, boards to buy, how to saw them.

use super::content::in_feet;
use crate::pipeline::set::{BoardPlan, NestFigures, Set, SheetRun, counted_up};
use crate::units::{Length, trimmed};

/// What the sheets and boards of a set come to, a few lines each.
pub fn totals(set: &Set) -> String {
    let mut text = String::new();
    for nest in &set.nests {
        text.push_str(&sheets(nest));
    }
    for plan in &set.boards {
        text.push_str(&boards(plan));
    }
    text
}

fn sheets(nest: &NestFigures) -> String {
    let percent = |share: f64| format!("{} %", trimmed(share * 100.0, 1));
    let bound = match nest.proven {
        true => "proven: fewer do not hold them".to_string(),
        false => format!("at least {} by the bounds", nest.bound_sheets),
    };
    let boxes = match nest.boxes_sheets {
        Some(boxes) => format!("plain boxes take {boxes}"),
        None => "a plain box does not fit".to_string(),
    };
    format!(
        "\nSheets of {}: {} ({bound}; {boxes})\n  yield {} of the sheets' area, {} at best; {} between pieces, effort {}\n",
        nest.material,
        nest.sheets,
        percent(nest.yield_share),
        percent(nest.bound_share),
        nest.spacing,
        nest.effort,
    )
}

fn boards(plan: &BoardPlan) -> String {
    let bound = match plan.proven {
        true => "proven: no purchase takes less".to_string(),
        false => format!("at least {} ft by the bound", trimmed(plan.bound_feet, 2)),
    };
    let bought = counted_up(plan.boards.iter().map(|(length, _, times, _)| (*length, *times)));
    let list: Vec<String> =
        bought.iter().map(|(length, count)| format!("{count} of {}", in_feet(*length))).collect();
    let first_fit = plan
        .first_fit_feet
        .map(|feet| format!("; the longest first takes {} ft", trimmed(feet, 2)));
    format!(
        "\nBoards of {}: buy {} = {} ft ({bound}{})\n",
        plan.material,
        list.join(", "),
        trimmed(plan.feet, 2),
        first_fit.unwrap_or_default(),
    )
}

/// The saw list: every board with its blanks.
pub fn saw_list(set: &Set, title: &str) -> String {
    let mut text = format!("{title}\n");
    for plan in &set.boards {
        text.push_str(&boards(plan));
        text.push_str(&format!(
            "  each end trimmed by {}, a saw cut takes {}\n\nBlanks:\n",
            plan.end_trim, plan.kerf
        ));
        for (i, blank) in plan.blanks.iter().enumerate() {
            let title = &set.members[blank.member].job().title;
            text.push_str(&format!("  {}. {} of {}: {title}\n", i + 1, blank.count, blank.length));
        }
        text.push_str("\nSaw:\n");
        for (length, blanks, times, left) in &plan.boards {
            let names: Vec<String> = blanks.iter().map(|blank| (blank + 1).to_string()).collect();
            let list = names.join(" + ");
            text.push_str(&format!(
                "  {times} x {}: blanks {list}; {left} left\n",
                in_feet(*length)
            ));
        }
    }
    text.push_str(
        "\nA blank is the piece with what the tool needs before and behind it. Crown up; measure width and crown of every \
         board before it is sawn.\n",
    );
    text
}

/// One line about a sheet.
pub fn sheet_line(run: &SheetRun) -> String {
    let cut = &run.programs.cut;
    let rapid = match cut.rapid_bound_mm {
        Some((length, bound)) => {
            format!("rapid travel across {}, at least {}", metres(length), metres(bound))
        }
        None => String::new(),
    };
    let pieces = if cut.pieces.len() == 1 {
        "1 piece".to_string()
    } else {
        format!("{} pieces", cut.pieces.len())
    };
    let often = if run.times == 1 { "once".to_string() } else { format!("{} times", run.times) };
    format!("{pieces}, cut {often}: {}; {rapid}", run.method)
}

fn metres(mm: f64) -> String {
    format!("{} m ({} ft)", trimmed(mm / 1000.0, 2), trimmed(Length::mm(mm).as_inches() / 12.0, 1))
}
