//! What somebody types wrong in a job: every slip is told with its line, a mark under the place,
//! and what to type instead in the digits that were typed, or with nothing to type at all.

use crate::common::Stair;
use seatcut::diagnostics::{Error, ErrorKind};
use seatcut::job::read_job;

/// A job with one line of the usual one replaced.
fn with(line: &str, by: &str) -> String {
    let job = Stair::default().toml();
    assert!(job.contains(line), "no {line} in {job}");
    job.replacen(line, by, 1)
}

fn refused(job: &str) -> Error {
    let nothing_there =
        |path: &str| Err(Error::new(ErrorKind::File, format!("{path} is not there")));
    match read_job("stair.toml", job, &nothing_there) {
        Err(error) => error,
        Ok(_) => panic!("this is read:\n{job}"),
    }
}

/// What an error says is to be done.
fn to_do(said: &str) -> Vec<&str> {
    said.lines().filter_map(|line| line.trim_start().strip_prefix("to do:   ")).collect()
}

fn digits(text: &str) -> String {
    text.chars().filter(char::is_ascii_digit).collect()
}

const TOTAL: &str = "total = \"51 3/8 in\"";

#[test]
fn a_length_that_cannot_be_read_is_answered_in_its_own_digits_or_not_at_all() {
    for (typed, instead) in [
        ("\"36 1/4\"", Some("total = \"36 1/4 in\"")),
        ("\"36\"", Some("total = \"36 in\" or \"36 mm\"")),
        ("36.5", Some("total = \"36.5 in\" or \"36.5 mm\"")),
        ("\"3O 1/4 in\"", Some("total = \"30 1/4 in\"")),
        ("\"3' 0-1/4\"", Some("total = \"3' 0-1/4 in\"")),
        ("\"36 - 1/4 in\"", Some("total = \"36-1/4 in\"")),
        ("\"36,25 in\"", Some("total = \"36.25 in\"")),
        ("\"-36 in\"", Some("total = \"36 in\"")),
        ("\"36 in 1/4\"", Some("total = \"36 1/4 in\"")),
        ("\"36 1/0 in\"", None),
        ("\"1,200 mm\"", None),
        ("\"36 5/4 in\"", None),
        ("\"36 1/4 mm\"", Some("total = \"36 1/4 in\" or \"36.25 mm\"")),
        ("\"103 7/8 cm\"", Some("total = \"103 7/8 in\" or \"103.875 cm\"")),
        ("\"36 cubits\"", None),
        ("\"\"", None),
        ("\"in\"", None),
        ("\"500 m\"", None),
        ("\"2x12\"", None),
        ("true", None),
        ("\"0 in\"", None),
    ] {
        let said = refused(&with(TOTAL, &format!("total = {typed}"))).to_string();
        assert!(said.starts_with("stair.toml, line 4: "), "{typed}: {said}");
        assert!(said.contains(&format!("\n    total = {typed}\n            ^")), "{typed}: {said}");
        match instead {
            Some(instead) => assert_eq!(to_do(&said), [instead], "{typed}: {said}"),
            None => {
                let offered = to_do(&said).concat();
                assert!(
                    !offered.contains(" in\"") && digits(&offered).is_empty(),
                    "{typed}: {said}"
                );
            }
        }
    }
    let stair = Stair { rise: "total = \"51 3/8 in.\"\nrisers = 7".into(), ..Stair::default() };
    assert_eq!(stair.job().rise.total, Stair::default().job().rise.total);
}

/// What was typed, words of what is said, the mark's place from 0, what to type.
type Typed = (&'static str, &'static str, &'static str, usize, Option<&'static str>);

#[test]
fn a_slip_of_the_quote_marks_has_a_sentence_and_the_mended_line() {
    let cases: &[Typed] = &[
        (TOTAL, "total = \"36 1/4\"\"", "inch mark", 15, Some("total = \"36 1/4 in\"")),
        (TOTAL, "total = \"3' 0-1/4\"\"", "inch mark", 17, Some("total = \"3' 0-1/4 in\"")),
        (TOTAL, "total = 36 1/4 in", "in quote marks", 8, Some("total = \"36 1/4 in\"")),
        (TOTAL, "total = 36 1/4 in  # plumb", "in quote marks", 8, Some("total = \"36 1/4 in\"")),
        (TOTAL, "total = 36 1/4\"", "in quote marks", 8, Some("total = \"36 1/4 in\"")),
        (TOTAL, "total = 36 1/4 in\"", "beginning is missing", 8, Some("total = \"36 1/4 in\"")),
        (TOTAL, "total = \u{201c}36 1/4 in\u{201d}", "curly", 8, Some("total = \"36 1/4 in\"")),
        (TOTAL, "total = \"36 1/4 in\u{201d}", "curly", 18, Some("total = \"36 1/4 in\"")),
        (TOTAL, "total = \"36 1/4 in", "not closed", 8, Some("total = \"36 1/4 in\"")),
        (TOTAL, "total = \"36 1/4 in  # plumb", "not closed", 8, Some("total = \"36 1/4 in\"")),
        (TOTAL, "total = \"36 1/4\" in", "close before", 15, Some("total = \"36 1/4 in\"")),
        (TOTAL, "total = \"36 1\\4 in\"", "backslash", 13, Some("total = \"36 1/4 in\"")),
        (TOTAL, "total = '3' 0-1/4\"'", "single quote marks", 8, Some("total = \"3' 0-1/4 in\"")),
        (TOTAL, "total: 36 1/4 in", "in quote marks", 7, Some("total = \"36 1/4 in\"")),
        (TOTAL, "total \"36 1/4 in\"", "`=` is missing", 6, Some("total = \"36 1/4 in\"")),
        (TOTAL, "total =", "nothing behind", 7, None),
        (TOTAL, "total = 26 75 in", "in quote marks", 8, None),
        (TOTAL, "???", "cannot be read", 0, None),
        (
            "title = \"Invented test stair\"",
            "title = Back porch",
            "in quote marks",
            8,
            Some("title = \"Back porch\""),
        ),
        (
            "title = \"Invented test stair\"",
            "title = \"The \"big\" one\"",
            "quote mark inside",
            13,
            Some("title = \"The 'big' one\""),
        ),
        (
            "meets = \"one-down\"",
            "meets = one-down",
            "in quote marks",
            8,
            Some("meets = \"one-down\""),
        ),
        ("[rise]", "[rise", "not closed", 0, Some("[rise]")),
        (
            "risers = 7",
            "risers = 7\nrisers = 8",
            "twice",
            0,
            Some("leave one of the two lines with `risers`"),
        ),
        (
            "[head]",
            "[tread]\n[head]",
            "stands twice",
            0,
            Some("put its keys together under one of the two"),
        ),
    ];
    for (line, typed, words, column, instead) in cases {
        let said = refused(&with(line, typed)).to_string();
        let lines: Vec<&str> = said.lines().collect();
        let told = lines.iter().position(|line| line.contains(words));
        let told = told.unwrap_or_else(|| panic!("{typed}: no `{words}` in {said}"));
        assert!(lines[told].starts_with("stair.toml, line "), "{typed}: {said}");
        assert_eq!(
            lines[told + 2].chars().position(|c| c == '^'),
            Some(4 + column),
            "{typed}: {said}"
        );
        assert_eq!(to_do(&said), instead.iter().copied().collect::<Vec<_>>(), "{typed}: {said}");
        assert_eq!(said.matches("stair.toml").count(), 1, "{typed} is one slip: {said}");
    }
}

#[test]
fn a_value_of_another_kind_is_told_what_stands_there() {
    let quantity = |value: &str| with("makes =", &format!("quantity = {value}\nmakes ="));
    for (job, words, instead) in [
        (quantity("\"4\""), "cut.quantity is a whole number", Some("quantity = 4")),
        (quantity("4.0"), "cut.quantity is a whole number", Some("quantity = 4")),
        (quantity("4.5"), "cut.quantity is a whole number", None),
        (quantity("\"four\""), "cut.quantity is a whole number", None),
        (with("risers = 7", "risers = \"5\""), "rise.risers is a whole number", Some("risers = 5")),
        (
            with("\"one-down\"", "\"one-dwon\""),
            "head.meets: unknown word",
            Some("meets = \"one-down\""),
        ),
        (with("\"one-down\"", "\"Flush\""), "head.meets: unknown word", Some("meets = \"flush\"")),
        (with("\"one-down\"", "\"level\""), "head.meets: unknown word", None),
        (with("\"Invented test stair\"", "12"), "title is a text", Some("title = \"12\"")),
        (
            with("[rise]", "stair = \"48 in\"\n[rise]"),
            "stair is a table",
            Some("a line [stair], and below it its keys: width"),
        ),
        (
            with("[rise]", "[waive]\nrule = \"x\"\nreason = \"y\"\n[rise]"),
            "double brackets",
            Some("[[waive]]"),
        ),
        (
            with("[rise]", "[boards]\nlengths = \"96 in\"\n[rise]"),
            "lists lengths",
            Some("lengths = [\"96 in\"]"),
        ),
        (
            with("[rise]", "[load]\nmid_support = \"yes\"\n[rise]"),
            "true or false",
            Some("mid_support = true"),
        ),
    ] {
        let said = refused(&job).to_string();
        assert!(said.contains(words) && said.contains("stair.toml, line "), "{words}: {said}");
        assert_eq!(to_do(&said), instead.iter().copied().collect::<Vec<_>>(), "{said}");
    }
}

#[test]
fn a_key_that_is_not_known_here_is_told_where_it_belongs() {
    let thickness = "thickness = \"1 in\"";
    for (job, words, instead) in [
        (
            with("overhang = \"1 in\"", "overhnag = \"1 in\""),
            "unknown key in [tread]",
            "overhang = \"1 in\"",
        ),
        (
            with("overhang = \"1 in\"", "nosing = \"1 in\""),
            "is called `overhang`",
            "overhang = \"1 in\"",
        ),
        (
            with("finish = \"1 in\"", "finish = \"1 in\"\nnosing = \"2 in\""),
            "stands below [tread]",
            "below [tread]: overhang = \"2 in\"",
        ),
        (
            with("finish = \"1 in\"", "finish = \"1 in\"\nrisers = 7"),
            "it stands below [rise]",
            "put this line below [rise]",
        ),
        (
            with(thickness, &format!("{thickness}\nquantity = 4")),
            "it stands below [cut]",
            "put this line below [cut]",
        ),
        (
            with("[rise]", "total = \"36 in\"\n[rise]"),
            "it stands below [rise] or below [[across]]",
            "put this line below [rise] or below [[across]]",
        ),
        (
            with("makes =", "units = \"mm\"\nmakes ="),
            "stands above the first [table]",
            "put this line above the first [table], which is line 3: units = \"mm\"",
        ),
        (
            with("[rise]", "[tie_plate]\nwidth = \"3 in\"\nheight = \"1 in\"\n[rise]"),
            "is written [foot.tie_plate]",
            "[foot.tie_plate]",
        ),
        (
            with("[board]", "[boards]\nkerf = \"1/8 in\"\n[bored]"),
            "unknown key in a job",
            "[board]",
        ),
    ] {
        let said = refused(&job).to_string();
        assert!(said.contains(words), "{words}: {said}");
        assert!(to_do(&said).contains(&instead), "{instead}: {said}");
    }
}

/// What may be typed for each key of a job that stands above its tables.
const ABOVE: [(&str, &str); 5] = [
    ("title", "title = \"Porch\""),
    ("rules", "rules = \"us-irc-2021\""),
    ("stairs", "stairs = 2"),
    ("units", "units = \"in\""),
    ("board", "board = \"2x12\""),
];

#[test]
fn a_key_of_the_top_below_any_table_is_one_slip_and_says_where_it_stands() {
    for table in [
        "rise",
        "tread",
        "head",
        "cut",
        "foot.tie_plate",
        "stair",
        "opening",
        "[waive]",
        "[landing]",
    ] {
        for (key, line) in ABOVE {
            let heading = format!("[{table}]\n");
            let job = Stair::default().toml();
            // The board stands nowhere else then.
            let board = format!("[board]\n{}\n", Stair::default().board);
            let job = if key == "board" { job.replace(&board, "") } else { job };
            let typed = format!("{heading}{line}\n");
            let job = match job.contains(&heading) {
                true => job.replacen(&heading, &typed, 1),
                false => format!("{job}\n{typed}"),
            };
            let said = refused(&job).to_string();
            let own = format!(
                "`{key}` is no key of [{}]: it stands above the first",
                table.trim_matches(['[', ']'])
            );
            assert!(said.contains(&own), "{table}: {said}");
            assert!(
                said.contains(&format!(": {line}")) && !said.contains("[board] is missing"),
                "{said}"
            );
        }
    }
    let said = refused("[rise]\ntotal = \"51 in\"\nrisers = 7\n[tread]\ncut = \"10 in\"\nthickness = \"1 in\"\n[head]\nfinish = \"1 in\"\nrim_depth = \"11 in\"\nboard = \"2x12\"\n").to_string();
    assert!(!said.contains("slips") && said.contains("line 10"), "{said}");
    assert_eq!(
        to_do(&said),
        ["put this line above the first [table], which is line 1: board = \"2x12\""]
    );
    // A table within another says so too.
    let said = refused("[rise]\ntotal = \"51 in\"\nrisers = 7\n[tread]\ncut = \"10 in\"\nthickness = \"1 in\"\n[head]\nfinish = \"1 in\"\n[head.board]\nwidth = \"11 in\"\n").to_string();
    assert!(
        said.contains("the table [board] is none of [head]") && !said.contains("is missing"),
        "{said}"
    );
}

#[test]
fn a_fraction_that_no_tape_has_is_read_with_a_warning() {
    let said = |typed: &str| {
        let job =
            Stair { rise: format!("total = \"{typed}\"\nrisers = 7"), ..Stair::default() }.job();
        let odd = job.reading.into_iter().find(|of| of.code.name() == "odd-fraction");
        odd.map(|of| of.sentence())
    };
    let thirds = said("51 1/3 in").unwrap();
    assert!(
        thirds.contains("51 1/3 in is read as 51 5/16+ in")
            && thirds.contains("51 5/16 in (1303.3 mm)"),
        "{thirds}"
    );
    assert_eq!([said("51 3/8 in"), said("51 5/64 in"), said("51.333 in")], [None, None, None]);
}

#[test]
fn what_is_missing_is_named_with_what_it_says_and_no_figure_to_type() {
    for (line, words) in [
        ("finish = \"1 in\"", "head.finish is missing"),
        ("cut = \"10 1/4 in\"", "tread.cut is missing"),
        (
            "[board]\nwidth = \"11 1/4 in\"\nthickness = \"1 1/2 in\"",
            "the table [board] is missing",
        ),
        (TOTAL, "`total` or `rough`"),
    ] {
        let said = refused(&with(line, "")).to_string();
        assert!(said.contains(words), "{words}: {said}");
        let offered = to_do(&said).concat();
        assert!(offered.contains("a line"), "{said}");
        let example = offered.split("(only the form").next().unwrap();
        assert!(digits(example).is_empty() && !offered.contains("= ..."), "{said}");
    }
}

#[test]
fn a_name_is_guessed_within_its_kind_and_country_or_not_at_all() {
    let machine = |name: &str| with("\"router-table\"", &format!("\"{name}\""));
    let rules = |name: &str| with("\"us-irc-2021\"", &format!("\"{name}\""));
    let material = |name: &str| with("\"hardboard-6\"", &format!("\"{name}\""));
    for (job, said_to_do, never) in [
        (machine("router-tabel"), "machine = \"router-table\"", "laser"),
        (machine("router"), "\"router-table-small\"", "laser"),
        (machine("plasma"), "choose one", "\""),
        (rules("IRC"), "\"us-irc-2018\", \"us-irc-2021\", \"us-irc-2024\"", "au-"),
        (rules("us-private"), "\"us-irc-2021\"", "au-"),
        (rules("nowhere"), "choose one", "\""),
        (material("hardboard-1/4"), "\"hardboard-3\", \"hardboard-6\"", "plywood"),
        (material("pine"), "choose one", "\""),
    ] {
        let said = refused(&job).to_string();
        let offered = to_do(&said).concat();
        assert!(offered.contains(said_to_do) && !offered.contains(never), "{never}: {said}");
        assert!(said.contains("stair.toml, line ") && said.contains("allowed: "), "{said}");
    }
}

#[test]
fn all_slips_of_a_job_are_told_in_one_run_in_the_order_of_its_lines() {
    let job = with(TOTAL, "total = 36 1/4 in")
        .replace("risers = 7", "risers = \"5\"")
        .replace("overhang = \"1 in\"", "nosing = \"1 in\"")
        .replace("meets = \"one-down\"", "meets = \"level\"")
        .replace("width = \"11 1/4 in\"", "width = \"11 1/4\"\"")
        .replace("\"router-table\"", "\"router\"")
        .replace("\"hardboard-6\"", "hardboard-6");
    let error = refused(&job);
    let said = error.to_string();
    let lines: Vec<usize> = error
        .slips()
        .map(|slip| slip.place().and_then(|place| place.line_column).unwrap().0)
        .collect();
    assert_eq!(error.kind(), ErrorKind::Input);
    assert!(lines.is_sorted() && lines.len() >= 7, "{lines:?}\n{said}");
    for number in [4, 5, 8, 12, 15, 19, 20] {
        let line = job.lines().nth(number - 1).unwrap();
        assert!(
            lines.contains(&number) && said.contains(&format!("\n    {line}\n")),
            "{number}: {said}"
        );
    }
}

/// Figures that can be read and are out of all bounds: all in one run, each with its own line and
/// bounds, and nothing besides that only follows from them.
#[test]
fn every_figure_out_of_bounds_is_told_in_one_run() {
    let stair = Stair {
        rise: "total = \"51 3/8 in\"\nrisers = 7000".into(),
        tread: "cut = \"300 ft\"\noverhang = \"2 ft\"\nthickness = \"0 in\"".into(),
        cut: "makes = \"stringers\"\nquantity = 0\nmachine = \"router-table\"\nmaterial \
            = \"plywood-18\""
            .into(),
        ..Stair::default()
    };
    let job = stair.toml();
    let error = refused(&job);
    let line = |of: &str| job.lines().position(|line| line.starts_with(of)).unwrap() + 1;
    let told: Vec<(usize, &str)> = error
        .slips()
        .map(|slip| (slip.place().unwrap().line_column.unwrap().0, slip.what()))
        .collect();
    let lines: Vec<usize> = told.iter().map(|(line, _)| *line).collect();
    let wanted =
        ["risers = 7000", "cut = ", "overhang = ", "thickness = \"0", "quantity = 0"].map(line);
    assert_eq!(lines, wanted, "{told:?}");
    assert!(error.slips().all(|slip| slip.to_string().contains("allowed:")));
    // With one of them the others are not doubted.
    let one = Stair { rise: stair.rise, ..Stair::default() };
    assert_eq!(refused(&one.toml()).slips().count(), 1);
}

/// Values over several lines, a table on one line and a line that says nothing move no other slip
/// off its line and hide none.
#[test]
fn every_slip_is_told_on_the_line_that_it_was_typed_on() {
    let job = Stair::default().toml();
    let tread_of = |job: &str| {
        let (before, rest) = job.split_once("[tread]\n").unwrap();
        let end = rest.find('[').unwrap();
        (before.to_string(), rest[..end].to_string(), rest[end..].to_string())
    };
    let off = |job: &str| job.replace("risers = 7\n", "risers = 400\n");
    let lists = format!("foo = [\n 1,\n 2,\n]\n{}", off(&job));
    let (before, _, after) = tread_of(&off(&job));
    let one_line = format!("tread = {{ cut = \"10 in\" }}\n{before}{after}");
    let unread = off(&job).replace("[board]\n", "[board]\n???\n");
    assert_ne!(unread, off(&job));
    for (job, also) in [(lists, "foo"), (one_line, "tread.thickness"), (unread, "cannot be read")] {
        let error = refused(&job);
        assert!(error.to_string().contains(also), "{error}");
        let line = job.lines().position(|line| line == "risers = 400").unwrap() + 1;
        let at = |slip: &Error| slip.place().and_then(|place| place.line_column).map(|at| at.0);
        let told = error.slips().filter(|slip| slip.what().contains("risers")).map(at);
        assert_eq!(told.collect::<Vec<_>>(), [Some(line)], "{error}");
    }
}

/// A key that is missing, or a table, hides no figure out of bounds on a line below it or above.
#[test]
fn what_is_missing_and_what_is_out_of_bounds_is_told_in_one_run() {
    let job = Stair::default().toml();
    let off = job.replace("thickness = \"1 1/2 in\"", "thickness = \"30 in\"");
    assert_ne!(off, job);
    let line_of =
        |job: &str, of: &str| job.lines().position(|line| line.starts_with(of)).unwrap() + 1;
    let no_total = off.replace(&format!("{TOTAL}\n"), "");
    assert_ne!(no_total, off);
    let no_tread = {
        let (before, rest) = off.split_once("[tread]\n").unwrap();
        let after = &rest[rest.find('[').unwrap()..];
        format!("{before}{after}")
    };
    for (job, missing) in [(no_total, "no `total`"), (no_tread, "[tread] is missing")] {
        let error = refused(&job);
        assert!(error.to_string().contains(missing), "{error}");
        let line = line_of(&job, "thickness = \"30 in\"");
        let at = |slip: &Error| slip.place().and_then(|place| place.line_column).map(|at| at.0);
        let told = error.slips().find(|slip| slip.what().contains("board.thickness"));
        assert_eq!(told.and_then(at), Some(line), "{error}");
    }
}

#[test]
fn what_cannot_be_read_and_what_is_out_of_bounds_is_told_in_one_run() {
    let lines = |job: &str| {
        let error = refused(job);
        let place = |slip: &Error| slip.place().and_then(|place| place.line_column).map(|at| at.0);
        (error.slips().filter_map(place).collect::<Vec<_>>(), error.to_string())
    };
    let (total, thickness) = (TOTAL, "thickness = \"1 1/2 in\"");
    let all = [
        // A length without a unit, and one that is out of bounds.
        vec![(total, "total = \"51 3/8\""), (thickness, "thickness = \"30 in\"")],
        // A word that is none.
        vec![("meets = \"one-down\"", "meets = \"one-dwn\""), (thickness, "thickness = \"30 in\"")],
        // A key that is none, a slip of the quote marks, and two out of bounds.
        vec![
            ("risers = 7", "risors = 7"),
            (total, "total = 51 3/8 in"),
            ("finish = \"1 in\"", "finish = \"300 in\""),
            (thickness, "thickness = \"30 in\""),
        ],
        // A machine that is none.
        vec![
            ("machine = \"router-table\"", "machine = \"router-tabel\""),
            (thickness, "thickness = \"30 in\""),
        ],
    ];
    for changes in all {
        let mut job = Stair::default().toml();
        for (from, to) in &changes {
            assert!(job.contains(from), "no {from} in {job}");
            job = job.replacen(from, to, 1);
        }
        let mut wanted: Vec<usize> = changes
            .iter()
            .map(|(_, to)| 1 + job.lines().position(|line| line == *to).unwrap())
            .collect();
        wanted.sort_unstable();
        let (told, said) = lines(&job);
        assert_eq!(told, wanted, "{said}");
    }
    // Nothing that only follows from what cannot be read.
    let (told, said) = lines(&with("width = \"11 1/4 in\"", "width = \"wide\""));
    assert_eq!(told.len(), 1, "{said}");
}
