//! Going on after a break: a program cut off before any of the lines that its top names, behind the
//! lines that it says to send first, is read without a fault and does the rest.

use crate::common::{Stair, profile_with, proven_text, set_of};
use seatcut::diagnostics::Finding;
use seatcut::job::Job;
use seatcut::pipeline::proof;
use seatcut::pipeline::set::Set;
use seatcut::verify::{Expectation, Verdict};

/// What machines with Z0 on the bed mark a pattern by.
const MEASURED: &str = "thickness = \"12 mm\"";

fn job(makes: &str, machine: &str, material: &str, more: &str) -> Job {
    stair(makes, machine, material, more).job()
}

fn stair(makes: &str, machine: &str, material: &str, more: &str) -> Stair {
    let rise = "total = \"29 in\"\nrisers = 4".to_string();
    let cut = format!(
        "makes = \"{makes}\"\nmachine = \"{machine}\"\nmaterial = \"{material}\"\ncorners \
            = \"bisector\"\n{more}"
    );
    let board = match more.contains("quantity") {
        true => "width = \"11 1/4 in\"\nthickness = \"6.35 mm\"".to_string(),
        false => "width = \"11 1/4 in\"\nthickness = \"1 1/2 in\"".to_string(),
    };
    Stair { rise, cut, board, ..Stair::default() }
}

/// The text of the last program of a set, which cuts, once all of it is proven.
fn cut_of(set: &Set) -> String {
    proven_text(set, "program")
}

/// What the top of a program says: the lines to send first, and those to go on from.
fn told(text: &str) -> Option<((usize, usize), Vec<usize>)> {
    let number = |words: &str| -> usize {
        let rest = words.split("line ").nth(1).unwrap();
        rest.split(|c: char| !c.is_ascii_digit()).next().unwrap().parse().unwrap()
    };
    let comment = |line: &str| line.trim_matches(|c| "();\r ".contains(c)).to_string();
    let lines: Vec<String> = text.lines().map(comment).collect();
    let at = lines.iter().position(|line| line.starts_with("After a break send"))?;
    let (from, to) = lines[at].split_once(" to ").unwrap();
    assert_eq!(lines[at + 1], "Then go on from one of these lines");
    let first = (number(from), number(to));
    let places = lines[at..]
        .iter()
        .filter(|line| line.starts_with("RESUME ") && line.contains(" done, next "));
    Some((first, places.map(|line| number(line)).collect()))
}

fn expectation(set: &Set) -> Expectation<'_> {
    match set.sheets.last() {
        Some(run) => proof::laid_out(set, run, &run.programs.cut),
        None => {
            let workup = &set.members[0].workup;
            let planned = workup.planned.as_ref().unwrap();
            proof::planned(&workup.job, workup.outline.as_ref().unwrap(), &planned.program)
        }
    }
}

fn held(text: &str, set: &Set) -> Verdict {
    proof::hold(text.as_bytes(), "program.nc", &expectation(set)).unwrap()
}

/// What is missing of a program whose beginning is not there, and nothing of how it moves.
const OF_THE_REST: [&str; 9] = [
    "pass-too-deep",
    "plunge",
    "not-all-pieces",
    "uncut",
    "tab-missing",
    "not-proven",
    "loose-part",
    "nothing-cut",
    "part-uncut",
];

/// Every place of a program that cuts; how many there are.
fn each_place(set: &Set) -> usize {
    let text = cut_of(set);
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    let ((from, to), places) = told(&text).expect("a program says how to go on");
    assert!(!places.is_empty());
    // Who goes on brings the tool over another place than who begins: the top says so.
    let is_beginning = |line: &&str| line.contains("BEFORE IT STARTS");
    let first: String =
        lines[from - 1..to].iter().filter(|line| !is_beginning(line)).copied().collect();
    let calls_tool = first.contains("M6");
    let framed = if text.starts_with('%') { "%\n" } else { "" };
    let whole = held(&text, set);
    assert!(whole.is_this_part());
    for (i, place) in places.iter().enumerate() {
        assert!(lines[place - 1].contains(&format!("RESUME {} OF {}", i + 1, places.len())));
        // Cut off, and behind the lines that it names: nothing of how it moves is told.
        let rest = format!("{framed}{first}{}", lines[place - 1..].concat());
        let found: Vec<Finding> = held(&rest, set).findings;
        let odd: Vec<String> = found
            .iter()
            .filter(|finding| finding.refuses() && !OF_THE_REST.contains(&finding.code.name()))
            .filter(|finding| {
                finding.place.line().is_some() && finding.code.name() != "line-number-again"
            })
            .map(ToString::to_string)
            .collect();
        assert!(odd.is_empty(), "from line {place}: {odd:#?}");
        // Broken off there and gone on with, all of it comes to the same part.
        if !calls_tool {
            // How corners are followed is said once, before the first motion.
            let is_path = |line: &&str| line.contains("G61") || line.contains("G64");
            let first: String =
                lines[from - 1..to].iter().filter(|line| !is_path(line)).copied().collect();
            let both =
                format!("{}{first}{}", lines[..place - 1].concat(), lines[place - 1..].concat());
            let found = held(&both, set);
            let refused: Vec<&Finding> = found
                .findings
                .iter()
                .filter(|f| f.refuses() && f.code.name() != "line-number-again")
                .collect();
            assert!(refused.is_empty(), "from line {place}: {refused:#?}");
            let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
            assert!(near(found.gouge_mm, whole.gouge_mm) && near(found.left_mm, whole.left_mm));
        }
        // Without those lines it is not taken.
        let bare = held(&format!("{framed}{}", lines[place - 1..].concat()), set);
        let needs = ["mode-not-said", "state-not-said", "spindle-off-in-material", "units-missing"];
        assert!(bare.findings.iter().any(|f| needs.contains(&f.code.name())), "from line {place}");
    }
    places.len()
}

#[test]
fn one_piece_is_gone_on_with_at_each_of_its_passes() {
    for machine in
        ["router-table", "router-metric", "router-helix", "router-radius-arcs", "router-changer"]
    {
        let passes = each_place(&set_of(job("pattern", machine, "plywood-12", MEASURED)));
        assert!(passes >= 2, "{machine}: {passes}");
    }
}

#[test]
fn a_board_is_gone_on_with_at_each_of_its_passes() {
    assert!(each_place(&set_of(job("stringers", "router-table", "board-2x12", ""))) >= 6);
}

#[test]
fn a_sheet_is_gone_on_with_at_each_of_its_pieces() {
    let router = set_of(job("stringers", "router-table", "hardboard-6", "quantity = 3"));
    assert_eq!(each_place(&router), 3);
}

#[test]
fn a_beam_is_gone_on_with_at_its_marks_its_hole_and_each_round() {
    let by_thickness = "# passes = 2\n[[laser.cut]]\nthickness = \"3.2 mm\"\nfeed = \"15 \
        mm/s\"\npower = 1.0\npasses = 2";
    let twice = profile_with(
        "machine",
        "laser",
        &[
            ("feed = \"15 mm/s\"\nfull_power", "full_power"),
            ("max_thickness = \"6.5 mm\"", "lead = \"3 mm\""),
            ("lead = \"3 mm\"              #", "#"),
            ("# passes = 2", by_thickness),
        ],
    );
    for (machine, files, rounds) in
        [("laser", vec![], 1), ("own.toml", vec![("own.toml".to_string(), twice)], 2)]
    {
        let stair = stair("pattern", machine, "hardboard-3", "");
        let set = set_of(Stair { files, ..stair }.job());
        assert_eq!(each_place(&set), 2 + rounds, "{machine}");
        let text = cut_of(&set);
        assert!(text.contains("0 done, next MARKS, SCORED"), "{text}");
        assert!(text.contains("1 done, next HANGING HOLE"), "{text}");
    }
}

#[test]
fn holes_and_pockets_before_the_passes_are_places_to_go_on_from() {
    let text = cut_of(&set_of(job("pattern", "router-table", "plywood-12", MEASURED)));
    assert!(text.contains("0 done, next HANGING HOLE") && text.contains("1 done, next PASS 1"));
}

/// Wherever the tool stands, the lines that go on come down nowhere but over their own place.
#[test]
fn going_on_the_tool_first_goes_up_and_is_lit_over_its_own_place_only() {
    let sets = [
        ("pattern", "router-changer", "plywood-12", MEASURED),
        ("pattern", "router-table", "plywood-12", MEASURED),
        ("stringers", "router-changer", "hardboard-6", "quantity = 2"),
        ("pattern", "laser", "hardboard-3", ""),
        ("stringers", "laser", "hardboard-6", "quantity = 2"),
    ];
    for (makes, machine, material, more) in sets {
        let text = cut_of(&set_of(job(makes, machine, material, more)));
        let lines: Vec<&str> = text.lines().collect();
        let ((from, to), places) = told(&text).expect("it says how to go on");
        let word = |line: &str, letter: char| -> Option<f64> {
            let words = line.split(' ').find_map(|word| word.strip_prefix(letter));
            words.and_then(|figures| figures.parse().ok())
        };
        let height = lines[from - 1..to].iter().filter_map(|line| word(line, 'Z')).next_back();
        for place in places {
            let motions = lines[place - 1..].iter().filter(|line| !line.contains(['(', ';']));
            let mut at = height;
            for line in motions {
                if word(line, 'X').is_some() {
                    // Across, quickly and dark; what comes after is over its own place.
                    assert!(line.contains("G0 "), "{machine}, line {place}: {line}");
                    assert!(word(line, 'S').is_none_or(|power| power == 0.0));
                    break;
                }
                if let Some(z) = word(line, 'Z') {
                    let up = at.is_none_or(|at| z >= at);
                    assert!(up && line.contains("G0 "), "{machine}, line {place}: {line}");
                    at = Some(z);
                }
            }
        }
    }
}

#[test]
fn lines_are_told_by_the_numbers_that_stand_on_them() {
    let set = set_of(job("pattern", "router-changer", "plywood-12", MEASURED));
    let text = cut_of(&set);
    let lines: Vec<&str> = text.lines().collect();
    let ((from, to), _) = told(&text).unwrap();
    let number = |line: usize| lines[line - 1].split(' ').next().unwrap();
    assert!(
        text.contains(&format!("After a break send {} in line {from}", number(from))),
        "{text}"
    );
    assert!(text.contains(&format!("to {} in line {to}", number(to))), "{text}");
    assert!(number(from).starts_with('N') && number(to).starts_with('N'));
}
