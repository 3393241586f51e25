//! The cut list against sums of its own: top tread, lengths across, stairs alike, stock.

use crate::common::{Stair, tread};
use seatcut::job::read_job;
use seatcut::output::content::{CutFrom, Piece, SheetsAlike, TableRows, Topic, bench_sheet_of};
use seatcut::pipeline::numbers::Value;
use seatcut::pipeline::workup::Workup;
use seatcut::units::Length;

/// The piece tables of a job's cut list, and the rest of it as words.
fn cut_list(text: &str, from: &CutFrom<'_>) -> (Vec<Vec<Piece>>, String) {
    let job = read_job("job.toml", text, &|_| unreachable!()).unwrap_or_else(|e| panic!("{e}"));
    let sheet = bench_sheet_of(&Workup::of(&job), from);
    let section = sheet.section(Topic::CutList).unwrap();
    let pieces = section.tables.iter().filter_map(|table| match &table.rows {
        TableRows::Pieces(rows) => Some(rows.clone()),
        _ => None,
    });
    (pieces.collect(), format!("{section:?}"))
}

fn piece<'a>(pieces: &'a [Piece], what: &str) -> &'a Piece {
    pieces.iter().find(|piece| piece.what == what).unwrap_or_else(|| panic!("no {what}"))
}

fn inches(value: &Value) -> f64 {
    let Value::Length(length) = value else { panic!("{value:?} is no length") };
    length.as_inches()
}

/// With the width of the stair and the most its treads span.
fn placed(stair: &Stair) -> String {
    stair.toml() + "[stair]\nwidth = \"37 in\"\nmost_spacing = \"16 in\"\n"
}

/// From its nosing to the rim: top tread cut and spacer, the riser board in front of the riser cut,
/// the overhang before its face.
#[test]
fn the_top_tread_of_a_flush_head_reaches_over_the_riser_board_in_front_of_it() {
    for (spacer, top_tread, riser_board) in [(0.0, 9.0, 0.75), (1.5, 9.5, 0.5), (0.0, 9.0, 0.0)] {
        let stair = Stair {
            tread: tread("10 1/4 in", "1 in", "1 1/2 in", &format!("{riser_board} in")),
            head: format!(
                "meets = \"flush\"\nfinish = \"1 in\"\nspacer = \"{spacer} in\"\ntop_tread \
                    = \"{top_tread} \
                in\"",
            ),
            ..Stair::default()
        };
        let (tables, _) = cut_list(&stair.toml(), &CutFrom::default());
        let pieces = &tables[0];
        assert_eq!(piece(pieces, "treads").count, Value::Count(6));
        assert!((inches(&piece(pieces, "treads").width) - 11.25).abs() < 1e-9);
        let top = inches(&piece(pieces, "top tread").width);
        assert!((top - (top_tread + riser_board + 1.0)).abs() < 1e-9, "{top}");
    }
}

#[test]
fn a_flush_flight_laid_of_boards_tells_its_top_tread_by_depth() {
    let boards =
        "boards = { count = 2, width = \"5 1/2 in\", gap = \"1/4 in\", gap_at_riser = true }";
    let stair = Stair {
        tread: tread("10 1/4 in", "1 in", "1 in", "3/4 in").replace("cut = \"10 1/4 in\"", boards),
        head: "meets = \"flush\"\nfinish = \"1 in\"".into(),
        ..Stair::default()
    };
    let (tables, _) = cut_list(&stair.toml(), &CutFrom::default());
    assert_eq!(piece(&tables[0], "tread boards").count, Value::Count(12));
    let top = piece(&tables[0], "top tread");
    assert!((inches(&top.width) - (10.5 + 0.75 + 1.0)).abs() < 1e-9);
    assert!(top.note.contains("ripped to fit"));
}

#[test]
fn what_runs_across_is_as_long_as_the_stair_is_wide_and_stringers_are_counted() {
    let stair = Stair {
        tie_plate: "width = \"3 1/2 in\"\nheight = \"3/4 in\"\nclearance = \"1/16 in\"".into(),
        ..Stair::default()
    };
    let (tables, words) = cut_list(&placed(&stair), &CutFrom::default());
    let pieces = &tables[0];
    for what in ["treads", "riser boards", "riser board at the head", "tie plate", "strongback"] {
        assert!((inches(&piece(pieces, what).length) - 37.0).abs() < 1e-9, "{what}");
    }
    // 35 1/2 in between the middles of the outer ones, 16 in at most: three spans.
    assert_eq!(piece(pieces, "stringers").count, Value::Count(4));
    assert!(!words.contains("knows no width"));
    let (unplaced, words) = cut_list(&stair.toml(), &CutFrom::default());
    assert_eq!(piece(&unplaced[0], "treads").length, Value::Words("width of the stair".into()));
    assert_eq!(piece(&unplaced[0], "stringers").count, Value::Words("decide".into()));
    assert!(words.contains("knows no width"));
}

fn for_stairs(stairs: u32, quantity: u32, more: &str) -> String {
    let stair = Stair {
        cut: format!(
            "makes = \"stringers\"\nquantity = {quantity}\nmachine = \"router-table\"\nmaterial \
                = \"plywood-18\"\n{more}"
        ),
        ..Stair::default()
    };
    format!("stairs = {stairs}\n{}", placed(&stair))
}

#[test]
fn treads_are_counted_for_every_stair_of_the_job_and_every_time_it_is_made() {
    let from = CutFrom { times: 2, ..CutFrom::default() };
    let (tables, _) = cut_list(&for_stairs(3, 12, ""), &from);
    let counts = |pieces: &[Piece], what: &str| piece(pieces, what).count.clone();
    let [one, all] = &tables[..] else { panic!("{tables:?}") };
    assert_eq!(counts(one, "stringers"), Value::Count(4));
    assert_eq!(counts(one, "treads"), Value::Count(6));
    assert_eq!(counts(all, "stringers"), Value::Count(24));
    assert_eq!(counts(all, "treads"), Value::Count(36));
    assert_eq!(counts(all, "riser board at the head"), Value::Count(6));
    // What nobody has counted for one stair is not counted for six.
    assert!(all.iter().all(|piece| piece.what != "skirts"));
    // One stair is told once.
    assert_eq!(cut_list(&for_stairs(1, 4, ""), &CutFrom::default()).0.len(), 1);
}

#[test]
fn outside_stringers_are_doubled_on_every_stair() {
    let text = for_stairs(3, 12, "doubled_outsides = true");
    let job = read_job("job.toml", &text, &|_| unreachable!()).unwrap();
    assert_eq!((job.cut.doublers(), job.cut.pieces()), (6, 18));
    let (tables, _) = cut_list(&text, &CutFrom::default());
    assert_eq!(piece(&tables[0], "stringers").count, Value::Count(6));
    // Four by the width, and a doubler beside each of the two outside.
    assert!(!piece(&tables[0], "stringers").note.contains("ask for"));
}

#[test]
fn stringers_that_do_not_come_out_even_over_the_stairs_are_refused() {
    let error = |text: String| read_job("job.toml", &text, &|_| unreachable!()).unwrap_err();
    for (text, says) in [
        (for_stairs(3, 10, ""), "10 stringers for 3 stairs"),
        (for_stairs(3, 3, "doubled_outsides = true"), "3 stringers for 3 stairs"),
        (for_stairs(0, 10, ""), "allowed: 1 to 1000"),
        (for_stairs(1001, 10, ""), "allowed: 1 to 1000"),
    ] {
        let said = error(text).to_string();
        assert!(said.contains(says), "{said}");
    }
}

#[test]
fn another_number_of_stringers_than_the_stairs_ask_for_is_said() {
    let said = |text: &str| {
        let job = read_job("job.toml", text, &|_| unreachable!()).unwrap();
        Workup::of(&job).findings.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
    };
    assert!(!said(&for_stairs(3, 12, "")).contains("stringer-count"));
    let nine = said(&for_stairs(3, 9, ""));
    assert!(nine.contains("this job cuts: 9; width and spacing ask for 12"), "{nine}");
}

#[test]
fn a_sheet_job_lists_its_sheets_and_a_board_job_its_boards() {
    let sheets = CutFrom {
        sheets: vec![SheetsAlike {
            picture: "sheet-1.svg".into(),
            programs: vec!["program-1.nc".into(), "program-2.nc".into()],
            times: 3,
            offcut: None,
            pieces: 4,
            others: 1,
        }],
        ..CutFrom::default()
    };
    let (_, words) = cut_list(&for_stairs(3, 12, ""), &sheets);
    assert!(words.contains("plywood-18 as sheet-1.svg"), "{words}");
    assert!(words.contains("run program-1.nc, then program-2.nc 3 times"), "{words}");
    assert!(words.contains("on each: 4 and 1 of other jobs"), "{words}");
    assert!(!words.contains("stock of"), "no board is listed for it: {words}");
    let stair = Stair {
        cut: "makes = \"stringers\"\nquantity = 4\nmachine = \"router-table\"\nmaterial \
            = \"board-2x12\""
            .into(),
        ..Stair::default()
    };
    let ten_feet = Length::inches(120.0);
    let boards = CutFrom {
        boards: vec![(ten_feet, 1), (ten_feet, 2), (Length::inches(100.0), 1)],
        ..CutFrom::default()
    };
    let own = stair.toml() + "[boards]\nlengths = [\"100 in\", \"120 in\"]\n";
    let (_, words) = cut_list(&own, &boards);
    for said in ["boards of 10 ft", "Count(3)", "stock of 10 ft, slack", "boards of 100 in"] {
        assert!(words.contains(said), "{said}: {words}");
    }
    assert!(!words.contains("stock of 8 ft"), "not at hand: {words}");
}
