//! Whose a thing is stands on it, and it is the right one; a file of another kind is told as what
//! it is.

use crate::common::{code, seatcut};
use crate::orders::{Bench, of_boards, said, steps};
use std::fs;

/// The words of a PDF's pages, in ASCII; its streams are not compressed.
pub(crate) fn printed(bench: &Bench, name: &str) -> Vec<String> {
    let bytes = fs::read(bench.path(name)).unwrap();
    let text = String::from_utf8_lossy(&bytes).into_owned();
    text.split("endstream").filter(|part| part.contains(" Tj")).map(str::to_string).collect()
}

fn porch() -> String {
    of_boards(3).replace("Invented test stair", "Porch stair")
}

#[test]
fn each_line_of_an_order_has_its_own_customer_on_programs_sheets_and_pages() {
    let order = "customer = \"Harbour Inn\"\nnumber = \"114\"\ndue = \"May 4\"\nnote = \"ring \
        first\"\n\
                 [[job]]\nfile = \"a.toml\"\n[[job]]\nfile = \"b.toml\"\ncustomer = \"Mill \
                 House\"\ncount = 2\n";
    let bench = Bench::new(&[
        ("a.toml", steps("Garden steps", 1)),
        ("b.toml", porch()),
        ("order.toml", order.into()),
    ]);
    let run = bench.make("order.toml", "out", &[]);
    assert_eq!(code(&run), 0, "{}", said(&run));
    let upper = |name: &str| bench.read(name).to_uppercase();
    // Sheets first: the garden steps are the inn's, the porch stair the mill's.
    for (program, own, other) in [
        ("out/program-1.nc", "CUSTOMER HARBOUR INN", "MILL HOUSE"),
        ("out/program-2.nc", "CUSTOMER MILL HOUSE", "HARBOUR INN"),
    ] {
        let text = upper(program);
        assert!(text.contains(own) && !text.contains(other), "{program}");
        assert!(text.contains("ORDER 114") && text.contains("DUE MAY 4"), "{program}");
    }
    assert!(upper("out/sheet-1.svg").contains("ORDER 114, CUSTOMER HARBOUR INN, DUE MAY 4"));
    let frame = upper("out/frame.nc");
    assert!(frame.contains("HARBOUR INN") && frame.contains("MILL HOUSE"), "{frame}");
    let page = bench.read("out/bench.html");
    assert!(page.contains("Order 114, customer Mill House, due May 4"));
    for (name, own, other) in [
        ("out/garden-steps/drawing.pdf", "Harbour Inn", "Mill House"),
        ("out/porch-stair/bench.pdf", "Mill House", "Harbour Inn"),
        ("out/porch-stair/drawing.pdf", "Mill House", "Harbour Inn"),
    ] {
        let pages = printed(&bench, name);
        assert!(!pages.is_empty(), "{name}");
        for page in pages {
            assert!(page.contains("Order 114") && page.contains("May 4"), "{name}: {page}");
            assert!(page.contains(own) && !page.contains(other), "{name}");
        }
    }
    for name in ["out/work-list.pdf", "out/labels.pdf"] {
        for page in printed(&bench, name) {
            assert!(page.contains("Harbour Inn") && page.contains("Mill House"), "{name}");
        }
    }
    // Six porch stringers, whichever page is asked.
    for name in ["out/porch-stair/bench.pdf", "out/porch-stair/drawing.pdf"] {
        let all = printed(&bench, name).join(" ");
        assert!(!all.contains("3 in all") && !all.contains("3 stringers"), "{name}");
        assert!(all.contains("6 in all") || all.contains("6 stringers"), "{name}");
    }
    let words = said(&run);
    assert!(
        words.contains("6 pieces: run the program once a piece") && !words.contains("3 pieces:"),
        "{words}"
    );
}

#[test]
fn two_orders_cut_together_keep_each_its_number_and_customer() {
    let order = |number: &str, customer: &str, job: &str| {
        format!(
            "customer = \"{customer}\"\nnumber = \"{number}\"\ndue = \"May 4\"\n[[job]]\nfile \
                = \"{job}\"\n"
        )
    };
    let bench = Bench::new(&[
        ("a.toml", steps("Garden steps", 1)),
        ("o1.toml", order("007", "Harbour Inn", "a.toml")),
        ("o2.toml", order("115", "Harbour Inn", "a.toml")),
    ]);
    let second = bench.path("o2.toml");
    let run = bench.make("o1.toml", "out", &[&second]);
    assert_eq!(code(&run), 0, "{}", said(&run));
    let labels = bench.read("out/labels.csv");
    let rows: Vec<&str> = labels.lines().collect();
    assert!(rows[0].starts_with("\u{feff}number,order,customer,due,"), "{labels}");
    // Nothing that a spreadsheet makes a date or a number of.
    assert!(rows[1].starts_with("S1-1,'007,Harbour Inn,'May 4,"), "{labels}");
    assert!(rows[2].starts_with("S1-2,'115,Harbour Inn,'May 4,"), "{labels}");
    assert!(rows[1].contains("order 007") && rows[2].contains("order 115"), "{labels}");
    let program = bench.read("out/program.nc").to_uppercase();
    assert!(program.contains("ORDER 007, CUSTOMER HARBOUR INN, DUE MAY 4"), "{program}");
    assert!(program.contains("ORDER 115, CUSTOMER HARBOUR INN, DUE MAY 4"), "{program}");
    let sheet = bench.read("out/sheet-1.svg");
    assert!(sheet.contains("S1-1") && sheet.contains("S1-2"), "{sheet}");
    assert!(bench.read("out/work-list.html").contains("S1-1"));
}

#[test]
fn numbers_to_write_by_hand_are_those_of_the_programs_own_pieces_where_jobs_share_boards() {
    let stair = include_str!("../../output-samples/corner-deck/job.toml");
    let bench = Bench::new(&[("job.toml", stair.to_string())]);
    let run = bench.make("job.toml", "out", &[]);
    assert_eq!(code(&run), 0, "{}", said(&run));
    // Every number of the labels in turn, with the flight that it is of.
    let labels = bench.read("out/labels.csv");
    let rows = labels.lines().skip(1).filter(|row| row.starts_with('B'));
    let of = |row: &str| {
        let number = row.split(',').next().unwrap().to_string();
        (number, row.split('"').nth(1).unwrap_or_default().to_string())
    };
    let all: Vec<(String, String)> = rows.map(of).collect();
    let place = |number: &str| {
        let found = all.iter().position(|(of, _)| of == number);
        found.unwrap_or_else(|| panic!("no piece {number} in {all:?}"))
    };
    let mut told = Vec::new();
    for program in ["out/program-1.nc", "out/program-2.nc"] {
        let text = bench.read(program);
        let begin =
            text.lines().position(|line| line.contains("Write its number on it by hand")).unwrap();
        let lines = text.lines().skip(begin + 1).take_while(|line| line.starts_with("(B"));
        let words = lines.map(|line| line.trim_matches(['(', ')'])).collect::<Vec<_>>().join(" ");
        let numbers = words.split(" the run order").next().unwrap();
        let stretches: Vec<Vec<&str>> = numbers
            .split(',')
            .map(|of| of.trim().split(" to ").collect())
            .filter(|of: &Vec<&str>| !of[0].is_empty())
            .collect();
        let own: Vec<usize> =
            stretches.iter().flat_map(|of| place(of[0])..=place(of[of.len() - 1])).collect();
        let flight = &all[own[0]].1;
        assert!(own.iter().all(|i| all[*i].1 == *flight), "{program}: {words}");
        assert!(text.contains(&format!("run {} times", own.len())), "{program}: {words}");
        told.extend(own);
    }
    told.sort_unstable();
    assert_eq!(told, (0..all.len()).collect::<Vec<_>>());
}

#[test]
fn a_file_of_another_kind_is_told_as_what_it_is_by_every_command() {
    let bench = Bench::new(&[
        ("a.toml", steps("Garden steps", 1)),
        ("order.toml", "[[job]]\nfile = \"a.toml\"\n".into()),
        ("rack.toml", "[[sheet]]\nmaterial = \"plywood-18\"\n".into()),
        ("empty.toml", "# nothing yet\n".into()),
        ("bare.toml", "title = \"Three cottages\"\ncustomer = \"Harbour Inn\"\n".into()),
    ]);
    let [job, out] = ["a.toml", "out"].map(|name| bench.path(name));
    for (file, says, hint) in [
        ("order.toml", "this is an order", "all of them: seatcut make"),
        ("rack.toml", "this is a stock file", " --stock "),
        ("empty.toml", "this is an empty file", "seatcut new FILE"),
        ("bare.toml", "this is an order", "to do: seatcut "),
    ] {
        let path = bench.path(file);
        for command in [
            vec!["solve", &path],
            vec!["fit", &path],
            vec!["diff", &job, &path],
            vec!["order", &path, "-o", &out],
            vec!["pages", &path, "-o", &out],
        ] {
            let run = seatcut(&command);
            let words = said(&run);
            assert!(
                code(&run) == 3 && words.contains(says) && words.contains(hint),
                "{command:?}: {words}"
            );
            assert!(words.contains(file) && !words.contains("slips"), "{words}");
        }
    }
    // The other readers of the command say it in the same words.
    for (command, says) in [
        (vec!["make", &job, "-o", &out, "--stock", &job], "this is a job, not a stock file"),
        (
            vec!["make", &job, "-o", &out, "--stock", &bench.path("order.toml")],
            "this is an order, not a stock file",
        ),
        (vec!["fit", &job, &job], "this is a job, not a file of measurements of a stair as built"),
        (
            vec!["fit", &job, &bench.path("rack.toml")],
            "this is a stock file, not a file of measurements of a stair as built",
        ),
        (vec!["square", &job, "hardboard-6", "-o", &out], "this is a job, not a machine profile"),
        (
            vec!["square", "laser", &bench.path("rack.toml"), "-o", &out],
            "this is a stock file, not a material profile",
        ),
    ] {
        let run = seatcut(&command);
        let words = said(&run);
        assert!(code(&run) == 3 && words.contains(says), "{command:?}: {words}");
        assert!(!words.contains("slips") && !words.contains("unknown"), "{words}");
    }
    let run = bench.make("rack.toml", "out", &[]);
    assert!(said(&run).contains("this is a stock file"), "{}", said(&run));
    let run = bench.make("bare.toml", "out", &[]);
    assert!(
        said(&run).contains("lists no job") && said(&run).contains("[[job]]"),
        "{}",
        said(&run)
    );
}

#[test]
fn what_is_missing_is_told_with_the_line_that_names_it() {
    let bench = Bench::new(&[
        ("a.toml", steps("Garden steps", 1)),
        ("b.toml", steps("Garden steps", 2)),
        ("order.toml", "title = \"x\"\n[[job]]\nfile = \"gone.toml\"\n".into()),
        ("mine.toml", steps("Garden steps", 1).replace("\"router-table\"", "\"my-router.toml\"")),
    ]);
    let words = said(&bench.make("order.toml", "out", &[]));
    assert!(words.contains("order.toml, line 3") && words.contains("gone.toml"), "{words}");
    let words = said(&bench.make("mine.toml", "out", &[]));
    assert!(words.contains("mine.toml, line") && words.contains("my-router.toml"), "{words}");
    let words = said(&bench.make("a.toml", "out", &[&bench.path("b.toml")]));
    assert!(words.contains("a.toml and in") && words.contains("b.toml"), "{words}");
}
