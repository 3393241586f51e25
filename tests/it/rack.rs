//! A rack that several jobs, machines and orders are cut from: nothing of it is promised twice, nothing
//! is free because its price is missing, and what cannot be taken off is known before the set is made.

use crate::common::{code, seatcut};
use crate::orders::{Bench, of_boards, said, steps};
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
    // Each program is for one of the machines: the list says for which, each frame is before its own.
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
}

#[test]
fn verify_lays_an_order_out_from_the_rack_that_it_was_cut_from() {
    // A board of 7 ft holds one stringer, those that the jobs would buy hold more: other numbers to write by hand.
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
    // Gone, or used up since: the program is held all the same, its words are those of another layout.
    fs::rename(bench.path("rack.toml"), &kept).unwrap();
    assert!(!letter(&[]) && letter(&["--stock", &kept]));
    fs::write(bench.path("rack.toml"), board("7 ft", "count = 0")).unwrap();
    assert!(!letter(&[]) && letter(&["--stock", &kept]));
}
