//! The starter: it is made as it stands without a warning, and every line that is commented out in
//! it works when it is taken in.

use crate::common::Stair;
use seatcut::diagnostics::{Error, ErrorKind, Severity};
use seatcut::job::{Follow, Job, Makes, Meets, STARTER, read_job};
use seatcut::pipeline::workup::Workup;
use seatcut::units::{Length, Tape};

fn read(text: &str) -> Result<Job, Error> {
    read_job("garden/back-porch.toml", text, &|path| {
        Err(Error::new(ErrorKind::File, format!("{path} is not there")))
    })
}

/// The key of a line, or its table in brackets.
fn key_of(line: &str) -> Option<&str> {
    let line = line.strip_prefix("# ").unwrap_or(line);
    if line.starts_with('[') {
        return line.split_inclusive(']').next().filter(|heading| !heading.contains(' '));
    }
    let (key, _) = line.split_once(" = ")?;
    key.chars().all(|c| c.is_ascii_lowercase() || c == '_').then_some(key)
}

/// What a line says behind `word`, up to the next such word, part by part.
fn named(line: &str, word: &str) -> Vec<String> {
    let comment = line.trim_start_matches("# ").rsplit_once(" # ").map_or("", |(_, said)| said);
    let Some((_, said)) = comment.split_once(word) else { return Vec::new() };
    let said = said.split([':', ';']).next().unwrap_or(said);
    let said = said.split(" with ").next().unwrap_or(said);
    said.split(", ")
        .map(|part| part.trim_matches([' ', ',']).to_string())
        .filter(|part| !part.is_empty())
        .collect()
}

/// The starter with a commented line taken in; where its table is commented out, with all of that.
fn take_in(lines: &mut Vec<String>, at: usize) {
    let is_heading = |line: &String| key_of(line).is_some_and(|key| key.starts_with('['));
    let Some(line) = lines[at].strip_prefix("# ").map(str::to_string) else { return };
    if !is_heading(&line) {
        let heading = (0..at).rev().find(|above| is_heading(&lines[*above]));
        if let Some(heading) = heading.filter(|heading| lines[*heading].starts_with("# ")) {
            return take_in(lines, heading);
        }
    }
    // A second table of a list comes along with the first.
    let first =
        (0..at).find(|other| line.starts_with("[[") && key_of(&lines[*other]) == key_of(&line));
    if let Some(first) = first.filter(|first| lines[*first].starts_with("# ")) {
        return take_in(lines, first);
    }
    lines[at] = line.clone();
    let mut below = at + 1;
    while is_heading(&line)
        && below < lines.len()
        && lines[below].starts_with("# ")
        && (!is_heading(&lines[below]) || key_of(&lines[below]) == key_of(&line))
        && key_of(&lines[below]).is_some()
    {
        lines[below] = lines[below].trim_start_matches("# ").to_string();
        below += 1;
    }
    for gone in named(&line, "instead of ") {
        let found = (0..lines.len()).find(|other| {
            *other != at && !lines[*other].starts_with('#') && key_of(&lines[*other]) == Some(&gone)
        });
        let found = found.unwrap_or_else(|| panic!("{line}: no line {gone}"));
        lines[found] = format!("# {}", lines[found]);
    }
    for with in named(&line, "with ") {
        let is_meant =
            |other: &String| other.starts_with(&format!("# {with}")) && key_of(other).is_some();
        if let Some(found) = lines.iter().position(is_meant) {
            take_in(lines, found);
        }
    }
}

/// Each commented line, and the starter with it taken in.
fn alternatives() -> Vec<(String, String)> {
    let lines: Vec<String> = STARTER.lines().map(str::to_string).collect();
    let commented = (0..lines.len())
        .filter(|at| lines[*at].starts_with("# ") && key_of(&lines[*at]).is_some())
        .collect::<Vec<usize>>();
    let taken_in = |at: usize| {
        let mut with = lines.clone();
        take_in(&mut with, at);
        (lines[at].clone(), with.join("\n"))
    };
    commented.into_iter().map(taken_in).collect()
}

fn worst(text: &str) -> Vec<String> {
    let job = read(text).unwrap_or_else(|error| panic!("{error}\n{text}"));
    let workup = Workup::designed(&job).unwrap_or_else(|error| panic!("{error}\n{text}"));
    let weighs = workup.findings.iter().filter(|finding| finding.severity >= Severity::Warning);
    weighs.map(ToString::to_string).collect()
}

#[test]
fn the_starter_earns_no_warning_and_says_what_is_taken() {
    assert!(worst(STARTER).is_empty(), "{:?}", worst(STARTER));
    let job = read(STARTER).unwrap();
    assert_eq!((job.title.as_str(), job.head.meets), ("back-porch", Meets::OneDown));
    assert_eq!(job.tread.overhang, Length::inches(1.0));
    let taken: Vec<String> = job
        .reading
        .iter()
        .filter(|finding| finding.code.name() == "taken-as")
        .map(|finding| finding.sentence())
        .collect();
    assert_eq!(taken.len(), 1, "{taken:?}");
    for words in
        ["title back-porch", "rules us-irc-2021", "tread.overhang 1 in", "head.meets one-down"]
    {
        assert!(taken[0].contains(words), "{words}: {taken:?}");
    }
}

#[test]
fn every_line_that_is_commented_out_in_the_starter_works_when_it_is_taken_in() {
    let all = alternatives();
    assert!(all.len() > 50, "{}", all.len());
    for (line, text) in all {
        assert!(text != STARTER, "{line}");
        let said = worst(&text);
        let refusals: Vec<&String> =
            said.iter().filter(|said| said.starts_with("refusal")).collect();
        assert!(refusals.is_empty(), "{line}: {refusals:?}\n{text}");
    }
}

#[test]
fn a_job_without_a_machine_is_solved_for_layout_by_hand_and_nothing_is_planned() {
    let text = STARTER.split("[cut]").next().unwrap();
    let job = read(text).unwrap();
    let (by_hand, cut) = (Workup::of(&job), Workup::of(&read(STARTER).unwrap()));
    assert!(job.by_hand && by_hand.planned.is_none() && !by_hand.refused());
    assert_eq!(by_hand.flight.unit_rise, cut.flight.unit_rise);
    assert_eq!(by_hand.behind_relief, by_hand.flight.behind_notches());
    let said: Vec<&str> = by_hand.findings.iter().map(|finding| finding.code.name()).collect();
    assert!(said.contains(&"laid-out-by-hand") && !said.contains(&"fillet-left"), "{said:?}");
    assert_ne!(by_hand.fingerprint, cut.fingerprint);
}

#[test]
fn what_follows_a_pattern_may_be_one_word() {
    let follow = |word: &str| {
        let stair = Stair::default();
        Stair { cut: format!("{}\nfollow = {word}", stair.cut), ..stair }.try_job()
    };
    let makes = |word: &str| follow(word).unwrap().cut.makes;
    assert_eq!(makes("\"edge\""), Makes::Pattern(Follow::Edge));
    assert_eq!(makes("\"bearing-bit\""), Makes::Pattern(Follow::BearingBit));
    let lead = Length::inches(1.0 / 32.0);
    assert_eq!(makes("\"pencil\""), Makes::Pattern(Follow::Pencil { lead }));
    let bushing = follow("\"bushing\"").unwrap_err().to_string();
    assert!(bushing.contains("bushing: outside and bit"), "{bushing}");
}

#[test]
fn a_board_may_be_given_by_what_it_is_called_and_what_was_taken_is_said() {
    let text = Stair::default().toml();
    let table = "[board]\nwidth = \"11 1/4 in\"\nthickness = \"1 1/2 in\"\n";
    let job = read(&format!("board = \"2x12\"\n{}", text.replace(table, ""))).unwrap();
    assert_eq!(job.board.width, Length::inches(11.25));
    assert_eq!(job.board.thickness, Length::inches(1.5));
    let said = job.reading.iter().find(|finding| finding.code.name() == "board-by-name").unwrap();
    assert!(
        said.to_string().contains("2x12: 11 1/4 in") && said.to_string().contains("PS 20"),
        "{said}"
    );
    let named = |board: &str| {
        let job = Stair { board: board.into(), ..Stair::default() }.job();
        let found = Workup::of(&job).findings;
        found
            .iter()
            .filter(|f| f.code.name() == "board-named-size")
            .map(|f| f.sentence())
            .collect::<Vec<_>>()
    };
    let said = named("width = \"12 in\"\nthickness = \"2 in\"");
    assert!(said[0].contains("11 1/4 in") && said[1].contains("1 1/2 in"), "{said:?}");
    assert!(named("width = \"11 1/4 in\"\nthickness = \"1 1/2 in\"").is_empty());
}

#[test]
fn a_job_in_millimetres_takes_its_own_sizes_and_no_rule_set() {
    let stair = Stair { rise: "total = \"1305 mm\"\nrisers = 7".into(), ..Stair::default() };
    let without = |line: &str| stair.toml().replace(line, "");
    let job = read(&without("overhang = \"1 in\"\n")).unwrap();
    assert_eq!((job.tape, job.tread.overhang), (Tape::Metric, Length::mm(25.0)));
    let refused = read(&without("rules = \"us-irc-2021\"\n")).map(|_| ()).unwrap_err().to_string();
    assert!(
        refused.contains("no rule set is taken") && refused.contains("de-private"),
        "{refused}"
    );
}
