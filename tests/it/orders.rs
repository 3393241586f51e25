//! Orders of a shop: whose they are, the list of their work, labels, what is taken of the rack.

use crate::common::{Stair, code, seatcut};
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Output;

pub(crate) struct Bench {
    dir: tempfile::TempDir,
}

impl Bench {
    pub(crate) fn new(files: &[(&str, String)]) -> Self {
        let bench = Self { dir: tempfile::tempdir().unwrap() };
        files.iter().for_each(|(name, text)| bench.write(name, text));
        bench
    }

    pub(crate) fn path(&self, name: &str) -> String {
        self.dir.path().join(name).display().to_string()
    }

    pub(crate) fn write(&self, name: &str, text: &str) {
        fs::write(self.path(name), text).unwrap();
    }

    pub(crate) fn read(&self, name: &str) -> String {
        String::from_utf8_lossy(&fs::read(self.path(name)).unwrap()).into_owned()
    }

    pub(crate) fn make(&self, job: &str, out: &str, more: &[&str]) -> Output {
        let (job, out) = (self.path(job), self.path(out));
        seatcut(&[&["make", &job, "-o", &out, "--effort", "0"], more].concat())
    }
}

pub(crate) fn said(run: &Output) -> String {
    crate::common::on_one_line(&format!(
        "{}{}",
        String::from_utf8_lossy(&run.stdout),
        String::from_utf8_lossy(&run.stderr)
    ))
}

/// Short invented steps of plywood.
pub(crate) fn steps(title: &str, quantity: usize) -> String {
    let stair = Stair {
        rules: "us-osha".into(),
        rise: "total = \"28 in\"\nrisers = 4".into(),
        tread: crate::common::tread("10 1/2 in", "1 in", "1 in", "3/4 in"),
        board: "width = \"11 1/4 in\"\nthickness = \"18 mm\"".into(),
        cut: format!(
            "makes = \"stringers\"\nquantity = {quantity}\nmachine = \"router-table\"\nmaterial \
                = \"plywood-18\""
        ),
        ..Stair::default()
    };
    stair.toml().replace("Invented test stair", title)
}

/// The same out of boards.
pub(crate) fn of_boards(quantity: usize) -> String {
    let stair = Stair {
        rise: "total = \"35 in\"\nrisers = 5".into(),
        tread: crate::common::tread("10 1/2 in", "1 in", "1 in", "3/4 in"),
        board: "width = \"11 1/4 in\"\nthickness = \"1 1/2 in\"".into(),
        cut: format!(
            "makes = \"stringers\"\nquantity = {quantity}\nmachine = \"router-table\"\nmaterial \
                = \"board-2x12\""
        ),
        ..Stair::default()
    };
    stair.toml()
}

const HEAD: &str = "title = \"Three cottages\"\ncustomer = \"Harbour Inn\"\nnumber = \"114\"\ndue \
    = \"May 4\"\nnote = \"ring first\"\n";

#[test]
fn an_order_says_whose_it_is_on_every_program_sheet_list_and_label() {
    let order = format!(
        "{HEAD}[[job]]\nfile = \"a.toml\"\ncount = 2\n[[job]]\nfile = \"a.toml\"\ncount = 3\n\
         [[job]]\nfile = \"a.toml\"\ncustomer = \"Mill House\"\n[[job]]\nfile = \"b.toml\"\n"
    );
    let bench = Bench::new(&[
        ("a.toml", steps("Garden steps", 1)),
        ("b.toml", steps("Porch steps", 1).replace("28 in", "27 1/2 in")),
        ("order.toml", order),
    ]);
    let run = bench.make("order.toml", "out", &[]);
    assert_eq!(code(&run), 0, "{}", said(&run));
    let report: serde_json::Value = serde_json::from_str(&bench.read("out/report.json")).unwrap();
    // The same stair for the same customer is one job; for another it has a title of its own.
    let titles: Vec<&str> = report["jobs"]
        .as_array()
        .unwrap()
        .iter()
        .map(|j| j["job"]["title"].as_str().unwrap())
        .collect();
    assert_eq!(titles, ["Garden steps, Harbour Inn", "Garden steps, Mill House", "Porch steps"]);
    let program = bench.read("out/program.nc");
    for words in
        ["ORDER 114", "CUSTOMER HARBOUR INN", "DUE MAY 4", "NOTE RING FIRST", "THREE COTTAGES"]
    {
        assert!(program.to_uppercase().contains(words), "{words}\n{}", &program[..900]);
    }
    assert!(program.to_uppercase().contains("SHEET 1 OF 1"), "{}", &program[..900]);
    for sheet in ["out/sheet-1.svg", "out/work-list.html", "out/labels.csv"] {
        assert!(
            bench.read(sheet).contains("114") && bench.read(sheet).contains("Harbour Inn"),
            "{sheet}"
        );
    }
    for print in ["out/work-list.pdf", "out/labels.pdf"] {
        assert!(fs::read(bench.path(print)).unwrap().starts_with(b"%PDF-"));
    }
    // What each piece weighs stands on its label and on the list, and what all of them do.
    let labels = bench.read("out/labels.csv");
    let weighs = |line: &str| line.rsplit(',').next().unwrap().parse::<f64>().unwrap();
    let porch = labels.lines().find(|line| line.contains("Porch steps")).unwrap();
    let (area, ..) = crate::order::drawn(Path::new(&bench.path("out/porch-steps/nominal.dxf")));
    let kg = 510.0 * area * 25.4 * 25.4 * 18.0 * 1e-9;
    assert!(kg > 0.5 && (weighs(porch) - kg).abs() < 0.01, "{kg}: {porch}");
    let all: f64 = labels.lines().skip(1).map(weighs).sum();
    let list = bench.read("out/work-list.html");
    let told = list.split("weight of all pieces").nth(1).unwrap();
    let told = told.split(" kg)").next().unwrap().rsplit('(').next().unwrap();
    assert!((told.parse::<f64>().unwrap() - all).abs() < 0.15, "{told} is not {all}");
    assert!(list.contains("Weight of one") && list.contains("EN 1991-1-1"), "{list}");
    // A label for each of the seven pieces, each number once, five of the inn's garden steps.
    let labels = bench.read("out/labels.csv");
    let numbers: BTreeSet<&str> =
        labels.lines().skip(1).map(|line| line.split(',').next().unwrap()).collect();
    assert_eq!((labels.lines().count(), numbers.len()), (8, 7), "{labels}");
    assert_eq!(labels.matches("\"Garden steps, Harbour Inn\"").count(), 5, "{labels}");
    assert_eq!(labels.matches(",Mill House,").count(), 1, "{labels}");
    // The list names every one of them, in a run of sheets or by itself.
    let list = bench.read("out/work-list.html");
    assert!(numbers.iter().any(|number| list.contains(&format!(">{number}"))), "{list}");
    let program = bench.path("out/program.nc");
    let verified = seatcut(&["verify", &bench.path("order.toml"), &program, "--effort", "0"]);
    assert_eq!(code(&verified), 0, "{}", said(&verified));
    let words = said(&verified);
    assert!(words.contains("to the letter") && !words.contains("not to the letter"), "{words}");
}

#[test]
fn an_order_in_an_order_and_an_order_of_nothing_have_a_sentence_of_their_own() {
    let bench = Bench::new(&[
        ("a.toml", steps("Garden steps", 1)),
        ("inner.toml", "[[job]]\nfile = \"a.toml\"\n".into()),
        ("outer.toml", "[[job]]\nfile = \"inner.toml\"\n".into()),
    ]);
    let run = bench.make("outer.toml", "out", &[]);
    assert!(code(&run) == 3 && said(&run).contains("this is an order itself"), "{}", said(&run));
    assert!(!Path::new(&bench.path("out")).exists());
}

const RACK: &str = "# by the door\ncurrency = \"USD\"\nhour = 60.0\nkeep = \"24 in\"\nreserve \
    = \"1/16 in\"\n\
    [[board]]\nmaterial = \"board-2x12\"\nlength = \"16 ft\"  # straight\ncount = 6\nprice = 32.0\n\
    [[board]]\nmaterial = \"board-2x12\"\nlength = \"3.66 m\"\ncount = 2\nprice = 20.0\n\
    [[board]]\nmaterial = \"board-2x12\"\nlength = \"96 in\"\ncount = 1\nprice = 0.0\n\
    [[sheet]]\nmaterial = \"plywood-18\"\ncount = 1\nprice = 62.5\n";

#[test]
fn what_is_made_is_taken_off_the_rack_once_and_only_when_asked() {
    let bench = Bench::new(&[("a.toml", of_boards(5)), ("rack.toml", RACK.into())]);
    let rack = bench.path("rack.toml");
    let run = bench.make("a.toml", "out", &["--stock", &rack]);
    assert_eq!(code(&run), 0, "{}", said(&run));
    assert_eq!(bench.read("rack.toml"), RACK);
    let report: serde_json::Value = serde_json::from_str(&bench.read("out/report.json")).unwrap();
    let (cost, plan) = (&report["cost"], &report["boards"][0]);
    // The free board is taken first; what is paid adds up from the prices by hand.
    let sawn: Vec<(f64, f64)> = plan["boards"]
        .as_array()
        .unwrap()
        .iter()
        .map(|board| (board["length_mm"].as_f64().unwrap(), board["times"].as_f64().unwrap()))
        .collect();
    let price = |mm: f64| match mm {
        mm if (mm - 4876.8).abs() < 1e-6 => 32.0,
        mm if (mm - 3660.0).abs() < 1e-6 => 20.0,
        _ => 0.0,
    };
    let paid: f64 = sawn.iter().map(|(mm, times)| price(*mm) * times).sum();
    assert!(sawn.iter().any(|(mm, _)| (mm - 2438.4).abs() < 1e-6), "{plan}");
    assert!((cost["boards"].as_f64().unwrap() - paid).abs() < 1e-9, "{cost} {paid}");
    // Of the frame too, each run to the second.
    let seconds = report["machine_time_s"].as_f64().unwrap();
    let of_programs: f64 = report["programs"]
        .as_array()
        .unwrap()
        .iter()
        .map(|of| of["time_s"].as_f64().unwrap().round() * of["times"].as_f64().unwrap())
        .sum();
    assert!((10.0..300.0).contains(&(seconds - of_programs)), "{seconds} {of_programs}");
    assert!((cost["machine"].as_f64().unwrap() - seconds / 60.0).abs() < 1e-6, "{cost}");
    let taken = bench.make("a.toml", "taken", &["--stock", &rack, "--take"]);
    assert_eq!(code(&taken), 0, "{}", said(&taken));
    let after = bench.read("rack.toml");
    assert!(after.contains("# by the door") && after.contains("# straight"), "{after}");
    let counts = |text: &str| -> Vec<usize> {
        let lines = text.lines().filter_map(|line| line.strip_prefix("count = "));
        lines.map(|count| count.parse().unwrap()).collect()
    };
    let boards_used: f64 = sawn.iter().map(|(_, times)| times).sum();
    let (before, now) = (counts(RACK), counts(&after));
    let gone: usize = before[..3].iter().sum::<usize>() - now[..3].iter().sum::<usize>();
    assert_eq!(gone as f64, boards_used, "{after}");
    // The sheets stay; offcuts lie behind, none under two feet.
    assert_eq!(now[3], 1);
    assert_eq!(after.matches("# an offcut").count(), now.len() - 4, "{after}");
    // A file that somebody changed in between is not written, nor one of another material.
    let other = RACK.replace("board-2x12", "board-2x10");
    bench.write("other.toml", &other);
    let run = bench.make("a.toml", "no", &["--stock", &bench.path("other.toml"), "--take"]);
    assert!(code(&run) == 4 && said(&run).contains("stock-without"), "{}", said(&run));
    assert_eq!(bench.read("other.toml"), other);
}

#[test]
fn a_rack_that_holds_too_little_or_cannot_be_read_is_told_and_stays_as_it_is() {
    let rack = |text: String| Bench::new(&[("a.toml", of_boards(9)), ("rack.toml", text)]);
    let few = RACK.replace("count = 6", "count = 1");
    for (text, ended, says) in [
        (few, 4, "stock-short"),
        (RACK.replace("32.0", "-32.0"), 3, "board.price is out of its range"),
        ("[[board]]\nmaterial = \"board-2x12\"\nlength = \"8 ft\"\n".repeat(61), 3, "61 kinds"),
        ("[[board]\n".into(), 3, "line 1"),
    ] {
        let bench = rack(text.clone());
        let run = bench.make("a.toml", "out", &["--stock", &bench.path("rack.toml"), "--take"]);
        assert!(code(&run) == ended && said(&run).contains(says), "{says}: {}", said(&run));
        assert!(bench.read("rack.toml") == text && !Path::new(&bench.path("out")).exists());
    }
    // Sheets: one is there and two are wanted.
    let bench = Bench::new(&[("a.toml", steps("Garden steps", 40)), ("rack.toml", RACK.into())]);
    let run = bench.make("a.toml", "out", &["--stock", &bench.path("rack.toml")]);
    assert!(code(&run) == 4 && said(&run).contains("stock-sheets"), "{}", said(&run));
    let run = bench.make("a.toml", "out", &["--take"]);
    assert!(code(&run) == 2 && said(&run).contains("no stock file"), "{}", said(&run));
    let run = bench.make("a.toml", "out", &["--stock", &bench.path("nowhere.toml")]);
    assert!(code(&run) == 7 && said(&run).contains("nowhere.toml"), "{}", said(&run));
}

#[cfg(unix)]
#[test]
fn a_rack_that_cannot_be_written_is_as_it_was_and_the_set_is_in_its_place() {
    use std::os::unix::fs::PermissionsExt;
    let bench = Bench::new(&[("a.toml", of_boards(2))]);
    fs::create_dir(bench.path("kept")).unwrap();
    bench.write("kept/rack.toml", RACK);
    let closed = fs::Permissions::from_mode(0o555);
    fs::set_permissions(bench.path("kept"), closed).unwrap();
    let is_closed = fs::write(bench.path("kept/probe"), "").is_err();
    let rack = bench.path("kept/rack.toml");
    let run = bench.make("a.toml", "out", &["--stock", &rack, "--take"]);
    fs::set_permissions(bench.path("kept"), fs::Permissions::from_mode(0o755)).unwrap();
    // Who may write anywhere is stopped by no directory.
    if is_closed {
        assert!(code(&run) == 7 && said(&run).contains("was not written"), "{}", said(&run));
        assert_eq!(bench.read("kept/rack.toml"), RACK);
        assert!(Path::new(&bench.path("out/report.json")).exists());
    } else {
        assert_eq!(code(&run), 0, "{}", said(&run));
    }
    let left: Vec<String> = fs::read_dir(bench.path("kept"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.starts_with('.'))
        .collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn a_write_protected_rack_is_not_written_round_its_protection() {
    let bench = Bench::new(&[("a.toml", of_boards(2)), ("rack.toml", RACK.to_string())]);
    let rack = bench.path("rack.toml");
    let mut closed = fs::metadata(&rack).unwrap().permissions();
    closed.set_readonly(true);
    fs::set_permissions(&rack, closed).unwrap();
    let run = bench.make("a.toml", "out", &["--stock", &rack, "--take"]);
    assert!(code(&run) == 7 && said(&run).contains("write-protected"), "{}", said(&run));
    assert_eq!(bench.read("rack.toml"), RACK);
}

/// A longer board that is a cent cheaper costs less: how much of it is left over weighs less than
/// any coin.
#[test]
fn a_board_that_is_a_cent_cheaper_is_taken_however_long_it_is() {
    let board = |length: &str, price: &str| {
        format!(
            "[[board]]\nmaterial = \"board-2x12\"\nlength = \"{length}\"\ncount = 3\nprice = \
            {price}\n"
        )
    };
    let rack = board("12 ft", "10.01") + &board("20 ft", "10.00");
    let bench = Bench::new(&[("a.toml", of_boards(1)), ("rack.toml", rack)]);
    let run = bench.make("a.toml", "out", &["--stock", &bench.path("rack.toml")]);
    assert_eq!(code(&run), 0, "{}", said(&run));
    let report: serde_json::Value = serde_json::from_str(&bench.read("out/report.json")).unwrap();
    let boards = report["boards"][0]["boards"].as_array().unwrap();
    assert!((boards[0]["length_mm"].as_f64().unwrap() - 6096.0).abs() < 1e-6, "{report}");
    assert!((report["cost"]["boards"].as_f64().unwrap() - 10.0).abs() < 1e-9, "{report}");
    // No sheet is cut: that costs nothing, and not less.
    assert!(report["cost"]["sheets"].as_f64().unwrap().is_sign_positive(), "{report}");
}
