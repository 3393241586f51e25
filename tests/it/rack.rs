//! A rack that several jobs, machines and orders are cut from: nothing of it is promised twice,
//! nothing is free because its price is missing, and what cannot be taken off is known before the
//! set is made.

use crate::common::{code, seatcut};
use crate::orders::{Bench, of_boards, said, steps};
use seatcut::units::{Bare, read_length};
use std::fs;
use std::path::Path;

/// A stair out of boards on a machine.
fn on(machine: &str, title: &str, quantity: usize) -> String {
    of_boards(quantity).replace("Invented test stair", title).replace("router-table", machine)
}

fn board(length: &str, rest: &str) -> String {
    format!("[[board]]\nmaterial = \"board-2x12\"\nlength = \"{length}\"\n{rest}\n")
}

fn report(bench: &Bench, folder: &str) -> serde_json::Value {
    serde_json::from_str(&bench.read(&format!("{folder}/report.json"))).unwrap()
}

const BOTH: &str =
    "stock = \"rack.toml\"\n[[job]]\nfile = \"a.toml\"\n[[job]]\nfile = \"b.toml\"\n";

#[test]
fn boards_of_one_material_are_one_purchase_whichever_machines_cut_them() {
    let files = |rack: String| {
        Bench::new(&[
            ("a.toml", on("router-table", "Garden steps", 2)),
            ("b.toml", on("router-table-large", "Porch steps", 2)),
            ("order.toml", BOTH.into()),
            ("rack.toml", rack),
        ])
    };
    let bench = files(board("12 ft", "count = 2\nprice = 20.0"));
    let run = bench.make("order.toml", "out", &["--take"]);
    assert_eq!(code(&run), 0, "{}", said(&run));
    let made = report(&bench, "out");
    let plans = made["boards"].as_array().unwrap();
    assert_eq!(plans.len(), 1, "{plans:?}");
    assert_eq!(plans[0]["blanks"].as_array().unwrap().len(), 2);
    assert!(bench.read("rack.toml").contains("count = 0"), "{}", bench.read("rack.toml"));
    // A board less is too little for both together, and that is said before anything is made.
    let bench = files(board("12 ft", "count = 1\nprice = 20.0"));
    let run = bench.make("order.toml", "out", &["--take"]);
    assert!(code(&run) == 4 && said(&run).contains("stock-short"), "{}", said(&run));
    assert!(!Path::new(&bench.path("out")).exists());
    // Each program is for one of the machines: the list says for which, each frame is before its
    // own.
    let bench = files(board("12 ft", "price = 20.0"));
    let run = bench.make("order.toml", "out", &[]);
    let words = said(&run);
    let at = |what: &str| words.rfind(what).unwrap_or_else(|| panic!("{what}: {words}"));
    assert!(at("frame-1.nc on router-table:") < at("program-1.nc on router-table:"));
    assert!(at("program-1.nc on router-table:") < at("frame-2.nc on router-table-large:"));
    assert!(at("frame-2.nc on router-table-large:") < at("program-2.nc on router-table-large:"));
    let list = bench.read("out/work-list.html");
    assert!(list.contains(">Machine</th>") && list.contains("router-table-large"), "{list}");
}

#[test]
fn jobs_that_say_different_things_of_their_common_boards_are_told_and_served() {
    let with = |text: String, boards: &str| format!("{text}[boards]\n{boards}\n");
    let bench = |boards: &str| {
        Bench::new(&[
            ("a.toml", on("router-table", "Garden steps", 1)),
            ("b.toml", with(on("router-table", "Porch steps", 1), boards)),
            ("order.toml", BOTH.replace("stock = \"rack.toml\"\n", "")),
        ])
    };
    // What the saw takes is the most that any of them says.
    let sawn = bench("kerf = \"1/4 in\"");
    let run = sawn.make("order.toml", "out", &[]);
    assert!(code(&run) == 0 && said(&run).contains("boards-differ"), "{}", said(&run));
    let made = report(&sawn, "out");
    assert_eq!(made["boards"].as_array().unwrap().len(), 1, "{made}");
    assert!((made["boards"][0]["kerf_mm"].as_f64().unwrap() - 6.35).abs() < 1e-9, "{made}");
    // What a yard sells to one of them it does not sell to the other.
    let sold = bench("lengths = [\"15 ft\"]");
    let run = sold.make("order.toml", "out", &[]);
    assert!(code(&run) == 0 && !said(&run).contains("boards-differ"), "{}", said(&run));
    let made = report(&sold, "out");
    let of = |plan: &serde_json::Value| plan["boards"][0]["length_mm"].as_f64().unwrap();
    let [first, second] = [&made["boards"][0], &made["boards"][1]];
    assert!((of(first) - 4572.0).abs() > 1.0 && (of(second) - 4572.0).abs() < 1e-6, "{made}");
}

#[test]
fn a_price_that_is_left_out_is_none_for_nothing_and_no_sum_hides_it() {
    let cost = |rack: &str| {
        let bench = Bench::new(&[("a.toml", of_boards(2)), ("rack.toml", rack.to_string())]);
        let run = bench.make("a.toml", "out", &["--stock", &bench.path("rack.toml")]);
        assert_eq!(code(&run), 0, "{}", said(&run));
        (report(&bench, "out"), said(&run))
    };
    let hour = "hour = 60.0\n";
    // The board without a price is not taken where one with its price does.
    let mixed = format!("{hour}{}{}", board("12 ft", ""), board("12 ft", "price = 20.0"));
    let (made, words) = cost(&mixed);
    assert!((made["cost"]["boards"].as_f64().unwrap() - 20.0).abs() < 1e-9, "{made}");
    assert!(
        made["cost"]["total"].is_f64() && !words.contains("no other choice costs less"),
        "{words}"
    );
    // Where it is the only one that is long enough, what it costs is not known, and that is said.
    let short = format!("{hour}{}{}", board("12 ft", ""), board("2 ft", "price = 1.0"));
    let (made, words) = cost(&short);
    assert!(made["cost"]["total"].is_null(), "{made}");
    assert!(
        words.contains(
            "COST by the stock file not known: no price for a board of board-2x12, 144 in"
        ),
        "{words}"
    );
    // Nor is the machine's hour.
    let (made, words) = cost(&board("12 ft", "price = 20.0"));
    assert!(made["cost"]["total"].is_null() && words.contains("an hour of the machine"), "{words}");
}

#[test]
fn what_cannot_be_taken_off_a_rack_is_known_before_the_set_is_made() {
    let take = |rack: String| {
        let bench = Bench::new(&[("a.toml", of_boards(2)), ("rack.toml", rack.clone())]);
        let run = bench.make("a.toml", "out", &["--stock", &bench.path("rack.toml"), "--take"]);
        assert!(code(&run) == 4 && !Path::new(&bench.path("out")).exists(), "{}", said(&run));
        assert_eq!(bench.read("rack.toml"), rack);
        said(&run)
    };
    let kinds: String = (0..60).map(|i| board(&format!("{} in", 144 + i), "count = 2")).collect();
    let words = take(format!("keep = \"6 in\"\n{kinds}"));
    assert!(words.contains("61 kinds") && words.contains("raise keep"), "{words}");
    let listed =
        "keep = \"6 in\"\nboard = [{ material = \"board-2x12\", length = \"16 ft\", count = 4 }]\n";
    let words = take(listed.into());
    assert!(words.contains("board = [...]") && words.contains("[[board]]"), "{words}");
    // A rack that is used up says so.
    let used_up = board("16 ft", "count = 0");
    let words = take(used_up);
    assert!(words.contains("stock-used-up") && words.contains("count = 0"), "{words}");
}

#[test]
fn offcuts_are_put_back_by_the_tape_that_the_rack_is_typed_by() {
    let bench = Bench::new(&[
        ("a.toml", of_boards(1)),
        ("rack.toml", format!("keep = \"100 mm\"\n{}", board("4.8 m", "count = 4"))),
    ]);
    let run = bench.make("a.toml", "out", &["--stock", &bench.path("rack.toml"), "--take"]);
    assert_eq!(code(&run), 0, "{}", said(&run));
    let after = bench.read("rack.toml");
    let offcut = after.split("# an offcut").nth(1).unwrap();
    assert!(offcut.contains(" mm\""), "{after}");
}

/// A rack of four boards of one length, each measured; the widths that two jobs are laid out on.
fn measured() -> Bench {
    let own = |name: &str, width: &str| {
        board("8 ft", &format!("name = \"{name}\"\nwidth = \"{width}\"\ncount = 1"))
    };
    let rack = format!(
        "keep = \"12 in\"\n{}{}{}{}",
        own("A", "11 in"),
        own("B", "11 3/8 in"),
        own("C", "11 1/4 in"),
        own("D", "10 3/4 in")
    );
    let job = |title: &str, width: &str, quantity| {
        on("router-table", title, quantity)
            .replace("width = \"11 1/4 in\"", &format!("width = \"{width}\""))
    };
    let order = "stock = \"rack.toml\"\n[[job]]\nfile = \"a.toml\"\ncustomer = \"Harbour Inn\"\n\
                 [[job]]\nfile = \"b.toml\"\ncustomer = \"Mill House\"\n";
    Bench::new(&[
        ("a.toml", job("Garden steps", "11 1/4 in", 2)),
        ("b.toml", job("Porch steps", "11 in", 1)),
        ("order.toml", order.into()),
        ("rack.toml", rack),
    ])
}

#[test]
fn every_measured_board_says_which_blanks_come_out_of_it_and_none_is_too_narrow_for_one() {
    let bench = measured();
    let run = bench.make("order.toml", "out", &["--take"]);
    let words = said(&run);
    assert_eq!(code(&run), 0, "{words}");
    let table = bench.read("out/boards.csv");
    let mut lines = table.trim_start_matches('\u{feff}').lines();
    assert!(lines.next().unwrap().starts_with("board,name,material,length_mm,width_mm,"));
    let rows: Vec<Vec<&str>> = lines.map(|line| line.split(',').collect()).collect();
    assert_eq!(rows.len(), 3, "{table}");
    for row in &rows {
        let (name, piece, rip, job, customer) = (row[1], row[7], row[11], row[12], row[13]);
        assert_eq!(piece, format!("B{}-1", row[0]), "{table}");
        match job {
            "Garden steps" => {
                assert!(customer == "Harbour Inn" && ["B", "C"].contains(&name), "{table}");
            }
            "Porch steps" => assert!(customer == "Mill House" && name == "A", "{table}"),
            other => panic!("{other}: {table}"),
        }
        // Wider than the stringer is laid out on: ripped once it is sawn off.
        assert_eq!(rip, if name == "B" { "11 1/4 in" } else { "" }, "{table}");
    }
    // The same on the terminal, in the list for the saw, on the work list; the fourth is in none of
    // them.
    let list = bench.read("out/boards.txt");
    for text in [&words, &crate::common::on_one_line(&list)] {
        let at = text.find("\"B\", 8 ft, 11 3/8 in wide").unwrap_or_else(|| panic!("{text}"));
        let own = &text[at..];
        assert!(own.contains("Garden steps, for Harbour Inn; rip it to 11 1/4 in"), "{text}");
        assert!(text.contains("Porch steps, for Mill House") && !text.contains("\"D\""), "{text}");
    }
    let work = bench.read("out/work-list.html");
    assert!(work.contains("Boards to saw") && work.contains("11 3/8 in wide"), "{work}");
    assert!(crate::whose::printed(&bench, "out/labels.pdf").join(" ").contains("\"A\""));
    let made = report(&bench, "out");
    let boards = made["boards"][0]["boards"].as_array().unwrap();
    assert!(
        boards.iter().all(|of| of["name"].is_string() && of["width_mm"].is_f64()),
        "{boards:?}"
    );
    // What is left keeps the width that it was measured with.
    let rack = bench.read("rack.toml");
    let offcuts = rack.split("# an offcut").nth(1).unwrap();
    assert!(offcuts.contains("width = \"11"), "{rack}");
    assert!(rack.contains("name = \"D\"\nwidth = \"10 3/4 in\"\ncount = 1"), "{rack}");
}

#[test]
fn one_job_out_of_measured_boards_has_them_on_its_bench_sheet() {
    let bench = measured();
    let rack = bench.path("rack.toml");
    let run = bench.make("a.toml", "out", &["--stock", &rack]);
    assert_eq!(code(&run), 0, "{}", said(&run));
    assert!(Path::new(&bench.path("out/boards.csv")).exists());
    let sheet = bench.read("out/bench.html");
    assert!(sheet.contains("Boards in the order they are sawn"), "{sheet}");
    // Boards that nobody told apart need no such list.
    bench.write("rack.toml", &board("8 ft", "count = 4"));
    let run = bench.make("a.toml", "plain", &["--stock", &rack]);
    assert_eq!(code(&run), 0, "{}", said(&run));
    assert!(!Path::new(&bench.path("plain/boards.csv")).exists());
}

#[test]
fn boards_that_are_all_too_narrow_are_told_with_their_width() {
    let bench = measured();
    let narrow = board("8 ft", "width = \"11 3/16 in\"\ncount = 9");
    bench.write("rack.toml", &narrow);
    let rack = bench.path("rack.toml");
    let run = bench.make("a.toml", "out", &["--stock", &rack]);
    let words = said(&run);
    assert!(code(&run) == 4 && words.contains("stock-narrow"), "{words}");
    assert!(words.contains("11 1/4 in") && words.contains("11 3/16 in"), "{words}");
    assert!(!Path::new(&bench.path("out")).exists());
    // One that nobody measured is as wide as it is called.
    bench.write("rack.toml", &format!("{narrow}{}", board("8 ft", "count = 2")));
    let run = bench.make("a.toml", "out", &["--stock", &rack]);
    assert_eq!(code(&run), 0, "{}", said(&run));
    assert!(!bench.read("out/boards.txt").contains("11 3/16"), "{}", bench.read("out/boards.txt"));
}

#[test]
fn a_batch_says_which_jobs_are_made_twice_and_which_rack_is_shared() {
    let order = |file: &str| format!("stock = \"rack.toml\"\n[[job]]\nfile = \"{file}\"\n");
    let bench = Bench::new(&[]);
    fs::create_dir(bench.path("jobs")).unwrap();
    bench.write("jobs/a.toml", &steps("Garden steps", 1));
    bench.write("jobs/o1.toml", &order("a.toml"));
    bench.write("jobs/o2.toml", &order("a.toml"));
    bench
        .write("jobs/rack.toml", "[[sheet]]\nmaterial = \"plywood-18\"\ncount = 1\nprice = 60.0\n");
    let run = seatcut(&["batch", &bench.path("jobs"), "-o", &bench.path("out"), "--effort", "0"]);
    let words = said(&run);
    assert_eq!(code(&run), 0, "{words}");
    assert!(words.contains("a.toml is made by itself, and in"), "{words}");
    assert!(words.contains("as if all of it were its own"), "{words}");
    // A job that is gone leaves its set, and one that is refused now its older one: both are said,
    // and neither is counted.
    fs::rename(bench.path("jobs/o2.toml"), bench.path("jobs/o3.toml")).unwrap();
    bench
        .write("jobs/rack.toml", "[[sheet]]\nmaterial = \"plywood-18\"\ncount = 0\nprice = 60.0\n");
    let run = seatcut(&["batch", &bench.path("jobs"), "-o", &bench.path("out"), "--effort", "0"]);
    let words = said(&run);
    assert!(words.contains("not made now, what lies in these folders is older: o1"), "{words}");
    assert!(words.contains("of one that is gone or renamed: o2"), "{words}");
    assert!(words.contains("in all 1 piece, 1 sheet, "), "{words}");
}

/// Offcuts of the sheet that short steps are cut from, by their size, and whole sheets.
fn sheets(offcuts: &[(&str, &str, &str)]) -> String {
    let mut text = "keep_sheet = \"8 in\"\n[[sheet]]\nmaterial = \"plywood-18\"\ncount = 5\n\
        price = 60.0\n"
        .to_string();
    for (length, width, rest) in offcuts {
        text += &format!(
            "[[sheet]]\nmaterial = \"plywood-18\"\nlength = \"{length}\"\nwidth = \
            \"{width}\"\n{rest}\n"
        );
    }
    text
}

#[test]
fn what_would_take_one_more_sheet_is_cut_from_offcuts_and_verify_knows() {
    let small = ("48 in", "30 in", "count = 1\nprice = 0.0");
    let narrow = ("60 in", "16 in", "count = 2\nprice = 5.0");
    let bench = Bench::new(&[
        ("a.toml", steps("Garden steps", 3)),
        ("rack.toml", sheets(&[small, narrow])),
    ]);
    let rack = bench.path("rack.toml");
    let run = bench.make("a.toml", "out", &["--stock", &rack, "--take"]);
    assert_eq!(code(&run), 0, "{}", said(&run));
    let made = report(&bench, "out");
    let sizes: Vec<_> = made["nests"].as_array().unwrap().iter().collect();
    assert_eq!(sizes.len(), 2, "{sizes:?}");
    assert!(sizes.iter().all(|of| of["offcut_mm"].is_array()), "{sizes:?}");
    assert!(said(&run).contains("1 of 48 in x 30 in out of the rack"), "{}", said(&run));
    // One of each is taken, and of the wider one a strip is left that is worth keeping.
    let after = bench.read("rack.toml");
    assert!(after.contains("count = 5\nprice = 60"), "{after}");
    assert!(after.contains("count = 0\nprice = 0") && after.contains("count = 1\nprice = 5"));
    assert!(after.matches("# an offcut").count() >= 1, "{after}");
    // What it was laid on is in the set; with it, and only with it, both programs are the job's.
    assert_eq!(bench.read("out/cut-from.toml"), sheets(&[small, narrow]));
    let [job, first, second, from] =
        ["a.toml", "out/program-1.nc", "out/program-2.nc", "out/cut-from.toml"]
            .map(|of| bench.path(of));
    let held = seatcut(&["verify", &job, &first, &second, "--stock", &from]);
    assert_eq!(code(&held), 0, "{}", said(&held));
    assert!(said(&held).matches("to the letter what").count() == 2, "{}", said(&held));
    let without = seatcut(&["verify", &job, &first]);
    assert!(code(&without) == 6 && said(&without).contains("NOT this job's part"));
    let program = bench.read("out/program-1.nc");
    assert!(program.contains("To verify it give --stock cut-from.toml"), "{program}");
}

#[test]
fn offcuts_that_cost_more_hold_too_little_or_lie_under_clamps_stay_in_the_rack() {
    let whole = |offcuts: &[(&str, &str, &str)], job: String| {
        let bench = Bench::new(&[("a.toml", job), ("rack.toml", sheets(offcuts))]);
        let run = bench.make("a.toml", "out", &["--stock", &bench.path("rack.toml")]);
        assert_eq!(code(&run), 0, "{}", said(&run));
        assert!(!Path::new(&bench.path("out/cut-from.toml")).exists(), "{offcuts:?}");
        let made = report(&bench, "out");
        assert_eq!(made["nests"].as_array().unwrap().len(), 1);
        assert_eq!(made["nests"][0]["sheets"], 1);
        said(&run)
    };
    let three = || steps("Garden steps", 3);
    whole(&[("48 in", "40 in", "count = 1\nprice = 60.0")], three());
    whole(&[("48 in", "40 in", "count = 1")], three());
    whole(&[("48 in", "40 in", "count = 0\nprice = 0.0")], three());
    whole(&[("30 in", "40 in", "count = 9\nprice = 0.0")], three());
    whole(&[("48 in", "30 in", "count = 1\nprice = 0.0")], three());
    let clamps = "quantity = 3\nclamps = [{ x = \"90 in\", y = \"44 in\", length = \"3 in\", \
        width = \"3 in\" }]";
    let clamped = three().replace("quantity = 3", clamps);
    let words = whole(&[("48 in", "40 in", "count = 2\nprice = 0.0")], clamped);
    assert!(words.contains("offcuts-clamped"), "{words}");
}

/// What the sheets of a job cost out of a rack, and how many whole ones and offcuts are cut.
fn cut_from(job: String, rack: &str) -> Result<(usize, usize, f64), String> {
    let bench = Bench::new(&[("a.toml", job), ("rack.toml", rack.to_string())]);
    let run = bench.make("a.toml", "out", &["--stock", &bench.path("rack.toml")]);
    if code(&run) != 0 {
        return Err(said(&run));
    }
    let made = report(&bench, "out");
    let nests = made["nests"].as_array().unwrap();
    let count = |of_offcuts: bool| {
        let own = nests.iter().filter(|of| of["offcut_mm"].is_array() == of_offcuts);
        own.map(|of| of["sheets"].as_u64().unwrap() as usize).sum::<usize>()
    };
    Ok((count(false), count(true), made["cost"]["sheets"].as_f64().unwrap_or(f64::NAN)))
}

#[test]
fn offcuts_are_held_against_the_sheet_that_they_save_and_their_room_is_used() {
    let sheet = |rest: &str| format!("[[sheet]]\nmaterial = \"plywood-18\"\n{rest}\n");
    let offcut = |rest: &str| sheet(&format!("length = \"60 in\"\nwidth = \"40 in\"\n{rest}"));
    let three = || steps("Garden steps", 3);
    // The cheap sheets are used up: the next one costs more than the offcut.
    let rack = sheet("count = 0\nprice = 10.0")
        + &sheet("count = 5\nprice = 90.0")
        + &offcut("count = 1\nprice = 20.0");
    assert_eq!(cut_from(three(), &rack), Ok((0, 1, 20.0)));
    // No whole sheet is left: whatever the offcut costs, priced or not.
    for price in ["\nprice = 70.0", ""] {
        let rack = sheet("count = 0\nprice = 60.0") + &offcut(&format!("count = 1{price}"));
        let made = cut_from(three(), &rack);
        assert!(matches!(made, Ok((0, 1, _))), "{price}: {made:?}");
    }
    // One such offcut holds four: three of them hold all twelve, and no fourth is taken.
    let twelve = || steps("Garden steps", 12);
    assert!(matches!(cut_from(twelve(), &offcut("count = 4")), Ok((0, 3, _))));
    let rack = sheet("count = 5\nprice = 60.0") + &offcut("count = 4\nprice = 25.0");
    assert_eq!(cut_from(twelve(), &rack), Ok((0, 3, 75.0)));
}

#[test]
fn the_cheapest_offcuts_are_taken_whatever_the_order_of_the_file() {
    let offcut = |length: &str, width: &str, count: usize, price: f64| {
        format!(
            "[[sheet]]\nmaterial = \"plywood-18\"\nlength = \"{length}\"\nwidth = \
            \"{width}\"\ncount = {count}\nprice = {price:.1}\n"
        )
    };
    let whole = "[[sheet]]\nmaterial = \"plywood-18\"\ncount = 5\nprice = 50.0\n";
    let cost = |quantity: usize, lines: &[String]| {
        cut_from(steps("Garden steps", quantity), &format!("{whole}{}", lines.concat()))
    };
    // A larger one for less, and two lines of one size.
    let (dear, cheap) = (offcut("50 in", "17 in", 1, 49.0), offcut("90 in", "40 in", 1, 2.0));
    assert_eq!(cost(1, &[dear.clone(), cheap.clone()]), Ok((0, 1, 2.0)));
    assert_eq!(cost(1, &[cheap, dear]), Ok((0, 1, 2.0)));
    let (dear, cheap) = (offcut("60 in", "24 in", 1, 40.0), offcut("60 in", "24 in", 1, 3.0));
    assert_eq!(cost(1, &[dear.clone(), cheap.clone()]), Ok((0, 1, 3.0)));
    assert_eq!(cost(1, &[cheap, dear]), Ok((0, 1, 3.0)));
    // One that takes more and costs nearly a sheet, and as many small ones as it takes.
    let (dear, small) = (offcut("60 in", "40 in", 1, 49.0), offcut("48 in", "16 in", 4, 1.0));
    assert_eq!(cost(4, &[dear.clone(), small.clone()]), Ok((0, 4, 4.0)));
    assert_eq!(cost(4, &[small, dear]), Ok((0, 4, 4.0)));
}

#[test]
fn what_is_cut_from_offcuts_says_so_where_it_is_held_against_whole_sheets() {
    let strip = ("48 in", "16 in", "count = 1\nprice = 1.0");
    let bench =
        Bench::new(&[("a.toml", steps("Garden steps", 1)), ("rack.toml", sheets(&[strip]))]);
    let run = bench.make("a.toml", "out", &["--stock", &bench.path("rack.toml"), "--take"]);
    assert_eq!(code(&run), 0, "{}", said(&run));
    let [job, program] = ["a.toml", "out/program.nc"].map(|of| bench.path(of));
    let held = seatcut(&["verify", &job, &program]);
    let words = said(&held);
    assert!(code(&held) == 6 && words.contains("cut-from.toml"), "{words}");
    assert!(words.lines().count() < 12, "{words}");
    // A batch counts them beside the sheets.
    fs::write(bench.path("rack.toml"), sheets(&[strip])).unwrap();
    fs::create_dir(bench.path("jobs")).unwrap();
    let order = "stock = \"../rack.toml\"\n[[job]]\nfile = \"../a.toml\"\n";
    fs::write(bench.path("jobs/one.toml"), order).unwrap();
    let run = seatcut(&["batch", &bench.path("jobs"), "-o", &bench.path("all")]);
    assert!(code(&run) == 0 && said(&run).contains("1 offcut,"), "{}", said(&run));
}

#[test]
fn an_offcut_is_promised_to_one_machine_and_one_too_large_for_it_to_none() {
    let job = |machine: &str, title: &str| steps(title, 2).replace("router-table", machine);
    let made = |offcut: (&str, &str, &str)| {
        let bench = Bench::new(&[
            ("a.toml", job("router-table", "Garden steps")),
            ("b.toml", job("router-table-large", "Porch steps")),
            ("order.toml", BOTH.into()),
            ("rack.toml", sheets(&[offcut])),
        ]);
        let run = bench.make("order.toml", "out", &["--take"]);
        assert_eq!(code(&run), 0, "{}", said(&run));
        let nests = report(&bench, "out")["nests"].as_array().unwrap().clone();
        let offcuts = nests.iter().filter(|of| of["offcut_mm"].is_array()).count();
        (offcuts, nests.len() - offcuts, bench.read("rack.toml"))
    };
    let (offcuts, whole, rack) = made(("48 in", "30 in", "count = 1\nprice = 0.0"));
    assert_eq!((offcuts, whole), (1, 1));
    assert!(rack.contains("count = 4\nprice = 60") && rack.contains("count = 0\nprice = 0"));
    assert_eq!(made(("48 in", "30 in", "count = 2\nprice = 0.0")).0, 2);
    let (offcuts, whole, _) = made(("240 in", "120 in", "count = 2\nprice = 0.0"));
    assert_eq!((offcuts, whole), (0, 2));
    // A rack of offcuts alone that hold too little is short of sheets, not of the material.
    let alone = sheets(&[("20 in", "20 in", "count = 1")]).replace("count = 5", "count = 0");
    let alone =
        alone.replace("[[sheet]]\nmaterial = \"plywood-18\"\ncount = 0\nprice = 60.0\n", "");
    let bench = Bench::new(&[("a.toml", steps("Garden steps", 2)), ("rack.toml", alone)]);
    let run = bench.make("a.toml", "out", &["--stock", &bench.path("rack.toml")]);
    assert!(code(&run) == 4 && said(&run).contains("0 at hand"), "{}", said(&run));
}

#[test]
fn one_single_piece_is_cut_from_an_offcut_and_equal_offcuts_are_one_line_of_the_run_order() {
    let made = |quantity: usize, offcuts: &[(&str, &str, &str)]| {
        let job = steps("Garden steps", quantity);
        let bench = Bench::new(&[("a.toml", job), ("rack.toml", sheets(offcuts))]);
        let run = bench.make("a.toml", "out", &["--stock", &bench.path("rack.toml"), "--take"]);
        assert_eq!(code(&run), 0, "{}", said(&run));
        let nests = report(&bench, "out")["nests"].as_array().cloned().unwrap_or_default();
        if quantity == 3 && offcuts.len() == 1 {
            assert!(said(&run).contains("3 of 48 in x 16 in out of the rack"), "{}", said(&run));
        }
        (nests, bench)
    };
    let strip = ("48 in", "16 in", "count = 4\nprice = 1.0");
    let (nests, bench) = made(1, &[strip]);
    assert!(nests.len() == 1 && nests[0]["offcut_mm"].is_array(), "{nests:?}");
    assert!(bench.read("rack.toml").contains("count = 3\nprice = 1"));
    // As with several, `verify` needs to know the rack, whatever has become of it.
    let [job, program, from] =
        ["a.toml", "out/program.nc", "out/cut-from.toml"].map(|of| bench.path(of));
    let with = seatcut(&["verify", &job, &program, "--stock", &from]);
    assert!(code(&with) == 0 && said(&with).contains("to the letter what"), "{}", said(&with));
    // What is too small for it is left, and it is made as ever.
    let (nests, bench) = made(1, &[("20 in", "9 in", "count = 4\nprice = 1.0")]);
    assert!(nests.is_empty() && bench.read("rack.toml").contains("count = 4\nprice = 60"));
    let [job, program, rack] = ["a.toml", "out/program.nc", "rack.toml"].map(|of| bench.path(of));
    let held = seatcut(&["verify", &job, &program, "--stock", &rack]);
    assert!(code(&held) == 0 && said(&held).contains("to the letter what"), "{}", said(&held));
    // Of three strips that hold one each, one program is run three times.
    let (nests, bench) = made(3, &[strip]);
    assert_eq!(nests.len(), 1, "{nests:?}");
    assert_eq!((&nests[0]["sheets"], &nests[0]["bound_sheets"]), (&3.into(), &2.into()));
    assert!(!Path::new(&bench.path("out/program-2.nc")).exists());
    assert!(bench.read("out/program.nc").contains("run 3 times"));
    // The work list of an order tells them from sheets.
    let bench = Bench::new(&[
        ("a.toml", steps("Garden steps", 2)),
        ("b.toml", steps("Porch steps", 1)),
        ("order.toml", BOTH.into()),
        ("rack.toml", sheets(&[strip])),
    ]);
    let run = bench.make("order.toml", "out", &[]);
    assert_eq!(code(&run), 0, "{}", said(&run));
    let list = bench.read("out/work-list.html");
    let totals: String = list.split("In all").skip(1).collect();
    assert!(totals.contains("offcuts of the rack") && totals.contains(">sheets</"), "{totals}");
    // Who sorts the pieces knows which come out of a whole sheet.
    let labels = bench.read("out/labels.csv");
    let of_offcuts = labels.lines().filter(|line| line.contains(" (offcut)")).count();
    assert_eq!(of_offcuts, 3, "{labels}");
}

#[test]
fn two_machines_share_a_rack_for_the_least_whichever_job_is_named_first() {
    // One piece on one machine and two on another; a free offcut holds two, a dear strip one.
    let on = |machine: &str, title: &str, quantity: usize| {
        steps(title, quantity).replace("\"router-table\"", &format!("\"{machine}\""))
    };
    let files = [
        ("one.toml", on("router-table-large", "One", 1)),
        ("two.toml", on("router-table", "Two", 2)),
        (
            "rack.toml",
            sheets(&[
                ("48 in", "30 in", "count = 1\nprice = 0.0"),
                ("48 in", "16 in", "count = 1\nprice = 12.0"),
            ]),
        ),
    ];
    for order in [["one.toml", "two.toml"], ["two.toml", "one.toml"]] {
        let bench = Bench::new(&files);
        let [a, b] = order.map(|of| bench.path(of));
        let (out, rack) = (bench.path("out"), bench.path("rack.toml"));
        let run = seatcut(&["make", &a, &b, "-o", &out, "--stock", &rack, "--take"]);
        assert_eq!(code(&run), 0, "{}", said(&run));
        let made = report(&bench, "out");
        let nests = made["nests"].as_array().unwrap();
        assert!(nests.iter().all(|of| of["offcut_mm"].is_array()), "{order:?}: {nests:?}");
        let after = bench.read("rack.toml");
        assert!(after.contains("count = 5\nprice = 60"), "{after}");
    }
}

#[test]
fn each_job_of_several_is_told_by_the_tape_that_it_is_written_by() {
    let in_mm = |line: &str| match line.split_once("= \"") {
        Some((key, rest)) if rest.contains(" in\"") => {
            let read = read_length(rest.split('"').next().unwrap(), Bare::Refused).unwrap();
            format!("{key}= \"{:.1} mm\"\n", read.length.as_mm())
        }
        _ => format!("{line}\n"),
    };
    let metric: String = steps("Metric steps", 1).lines().map(in_mm).collect();
    for order in [["a.toml", "b.toml"], ["b.toml", "a.toml"]] {
        let bench = Bench::new(&[("a.toml", steps("Inch steps", 1)), ("b.toml", metric.clone())]);
        let [a, b] = order.map(|of| bench.path(of));
        let run = seatcut(&["make", &a, &b, "-o", &bench.path("out")]);
        assert_eq!(code(&run), 0, "{}", said(&run));
        let inch = bench.read("out/inch-steps/drawing.svg");
        let of_metric = bench.read("out/metric-steps/drawing.svg");
        assert!(inch.contains("11 x 17 in"), "{order:?}");
        assert!(!of_metric.contains("17 in") && of_metric.contains("711.2 mm"), "{order:?}");
        // Named the other way round they are numbered otherwise, and that is what is said.
        let turned = seatcut(&["make", &b, &a, "-o", &bench.path("out")]);
        assert_eq!(code(&turned), 7, "{}", said(&turned));
        assert!(said(&turned).contains("the same jobs named in another sequence"));
    }
}

#[test]
fn verify_lays_an_order_out_from_the_rack_that_it_was_cut_from() {
    // A board of 7 ft holds one stringer, those that the jobs would buy hold more: other numbers to
    // write by hand.
    let rack = board("7 ft", "count = 12");
    let bench = Bench::new(&[
        ("a.toml", on("router-table", "Garden steps", 2)),
        ("b.toml", on("router-table", "Porch steps", 3).replace("35 in", "34 1/2 in")),
        ("order.toml", BOTH.into()),
        ("rack.toml", rack.clone()),
    ]);
    let run = bench.make("order.toml", "out", &[]);
    assert_eq!(code(&run), 0, "{}", said(&run));
    let [order, program, kept] =
        ["order.toml", "out/program-1.nc", "kept.toml"].map(|of| bench.path(of));
    let letter = |more: &[&str]| {
        let run = seatcut(&[&["verify", &order, &program], more].concat());
        assert_eq!(code(&run), 0, "{}", said(&run));
        let words = String::from_utf8_lossy(&run.stdout).into_owned();
        assert!(words.contains("to the letter"), "{words}");
        !words.contains("not to the letter")
    };
    assert!(letter(&[]), "as the order names it");
    // Gone, or used up since: the program is held all the same, its words are those of another
    // layout.
    fs::rename(bench.path("rack.toml"), &kept).unwrap();
    assert!(!letter(&[]) && letter(&["--stock", &kept]));
    fs::write(bench.path("rack.toml"), board("7 ft", "count = 0")).unwrap();
    assert!(!letter(&[]) && letter(&["--stock", &kept]));
}

/// What a run leaves that is killed when its set is in its place and the rack is as it was.
#[test]
fn a_run_that_was_killed_before_it_took_anything_off_is_told_until_it_is_run_again() {
    let bench = Bench::new(&[
        ("a.toml", steps("Garden steps", 3)),
        ("b.toml", steps("Shed steps", 3)),
        ("rack.toml", sheets(&[])),
    ]);
    let (rack, note) = (bench.path("rack.toml"), bench.path(".rack.toml.taking"));
    let make = |job: &str, out: &str, more: &[&str]| {
        let run = bench.make(job, out, &[&["--stock", &rack], more].concat());
        (code(&run), said(&run))
    };
    let (ended, words) = make("a.toml", "out", &[]);
    assert_eq!(ended, 0, "{words}");
    let digest = |name: &str| {
        use sha2::Digest;
        let bytes = std::fs::read(bench.path(name)).unwrap();
        sha2::Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect::<String>()
    };
    let out = std::path::absolute(bench.path("out")).unwrap();
    let left =
        format!("{}\n{}\n{}\n", digest("out/report.json"), digest("rack.toml"), out.display());
    std::fs::write(&note, &left).unwrap();
    let told = "a `make --take` was broken off when its set was in";
    let (ended, words) = make("b.toml", "other", &[]);
    assert!(ended == 0 && words.contains(told), "{words}");
    let before = bench.read("rack.toml");
    let (ended, words) = make("b.toml", "third", &["--take"]);
    assert!(
        ended == 7 && words.contains(told) && words.contains("run that `make` again"),
        "{words}"
    );
    assert!(bench.read("rack.toml") == before && !Path::new(&bench.path("third")).exists());
    let (ended, words) = make("a.toml", "out", &["--take"]);
    assert!(ended == 0 && !words.contains(told), "{words}");
    assert!(bench.read("rack.toml") != before && !Path::new(&note).exists());
    let (ended, words) = make("b.toml", "third", &["--take"]);
    assert!(ended == 0 && !words.contains("broken off"), "{words}");
}
