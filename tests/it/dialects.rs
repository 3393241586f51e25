//! Every machine profile's own words: what is written is read back and proven, and a program for
//! another control is refused with the word that differs.

use crate::common::Stair;
use seatcut::bundle::Bundle;
use seatcut::job::Job;
use seatcut::output::dxf::DxfVersion;
use seatcut::pipeline::proof;
use seatcut::pipeline::set::{Entry, Set};
use seatcut::profile::embedded_names;

/// A short stair with this `[cut]` table.
fn job(cut: &str) -> Job {
    let rise = "total = \"29 in\"\nrisers = 4".to_string();
    Stair { rise, cut: cut.to_string(), ..Stair::default() }.job()
}

fn pattern(machine: &str) -> Job {
    let (material, tool) = if machine.starts_with("laser") {
        ("hardboard-3", "fillet")
    } else {
        ("hardboard-6", "bisector")
    };
    job(&format!(
        "makes = \"pattern\"\nmachine = \"{machine}\"\nmaterial = \"{material}\"\ncorners = \"{tool}\"\n"
    ))
}

fn glued(machine: &str) -> Job {
    job(&format!(
        "makes = \"stringers\"\nmachine = \"{machine}\"\nmaterial = \"plywood-18\"\nquantity = 2\n\
         layers = 2\ndowel = \"3/8 in\"\ncorners = \"bisector\"\n"
    ))
}

/// The names and texts of the programs of a job, each proven.
fn programs(job: Job) -> Vec<(String, String)> {
    let set = Set::of(vec![Entry { job, times: 1 }], 0).unwrap();
    assert!(
        !set.refused(),
        "{:?}",
        set.all_findings().map(ToString::to_string).collect::<Vec<_>>()
    );
    let bundle = Bundle::of(&set, DxfVersion::R2000).unwrap();
    let mut texts = Vec::new();
    let proven = bundle
        .proven(|artifact| {
            texts.push((artifact.name.clone(), artifact.bytes.clone()));
            Ok(artifact.bytes.clone())
        })
        .unwrap();
    texts.retain(|(name, _)| name.starts_with("program"));
    assert_eq!(texts.len(), proven.len());
    texts.into_iter().map(|(name, bytes)| (name, String::from_utf8(bytes).unwrap())).collect()
}

/// What `verify` says of the last program of a pattern once it is changed: the codes, or the error.
fn judged(machine: &str, change: impl Fn(&str) -> String) -> String {
    let job = pattern(machine);
    let set = Set::of(vec![Entry { job, times: 1 }], 0).unwrap();
    let bundle = Bundle::of(&set, DxfVersion::R2000).unwrap();
    let mut last = Vec::new();
    bundle
        .proven(|artifact| {
            if artifact.name.starts_with("program") {
                last = artifact.bytes.clone();
            }
            Ok(artifact.bytes.clone())
        })
        .unwrap();
    let text = change(&String::from_utf8(last).unwrap());
    let workup = &set.members[0].workup;
    let planned = workup.planned.as_ref().unwrap();
    let expected = proof::planned(&workup.job, workup.outline.as_ref().unwrap(), &planned.program);
    match proof::hold(text.as_bytes(), "program", &expected) {
        Ok(verdict) => verdict
            .findings
            .iter()
            .filter(|finding| finding.refuses())
            .map(|finding| finding.to_string())
            .collect::<Vec<_>>()
            .join("\n"),
        Err(error) => error.to_string(),
    }
}

#[test]
fn every_machine_makes_a_pattern_in_its_own_words_and_reads_it_back() {
    let machines: Vec<&str> =
        embedded_names().filter_map(|(kind, name)| (kind == "machine").then_some(name)).collect();
    assert!(machines.len() >= 12);
    for machine in machines {
        let job = pattern(machine);
        let words = job.cut.machine.words.clone();
        for (name, text) in programs(job) {
            assert!(name.ends_with(&format!(".{}", words.extension)), "{name}");
            let says = |word: &str| text.lines().any(|line| line.ends_with(word));
            assert!(says(&format!("G{}", words.work_offset)), "{machine}");
            assert_eq!(
                text.contains("\r\n"),
                machine == "router-changer" || machine == "router-plain-lines"
            );
        }
    }
}

#[test]
fn a_control_gets_the_words_that_its_profile_names() {
    let holds = |machine: &str, words: &[&str]| {
        let [.., (_, text)] = &programs(pattern(machine))[..] else { panic!("{machine}") };
        for word in words {
            assert!(text.contains(word), "{machine}: {word}");
        }
    };
    holds(
        "router-changer",
        &["G61\r\n", "T1 M6\r\n", "G43 H1\r\n", "M8\r\n", "M9\r\n", "G53 G0 Z0\r\n"],
    );
    holds("router-changer", &["N10 G21\r\n", "N60 G80\r\n", "G49\r\nN"]);
    holds("router-absolute-arcs", &["G90.1\n", "G64 P0.0005\n"]);
    holds("router-radius-arcs", &[" R0.", "N5 G20\n", "M7\n"]);
    holds("router-plain-lines", &["G64 P0.001\r\n", "M2\r\n"]);
    holds("laser-air", &["M3 S0\n", "M8\n", "M9\n"]);
    let marks = &programs(pattern("router-changer"))[0].1;
    assert!(marks.contains("T2 M6\r\n") && marks.contains("G43 H2\r\n"));
}

#[test]
fn a_helix_takes_a_fifth_of_the_lines_that_chords_take() {
    let lines = |machine: &str| -> usize {
        let of = |text: &str| {
            let holes = text.split("(HOLE)").skip(1);
            // The last part goes on with the outlines.
            holes
                .map(|hole| hole.lines().take_while(|line| !line.contains("PIECE")).count())
                .sum::<usize>()
        };
        programs(glued(machine)).iter().map(|(_, text)| of(text)).sum()
    };
    let (chords, helices) = (lines("router-table"), lines("router-helix"));
    println!("{chords} lines of chords, {helices} of helices");
    assert!(helices > 0 && helices * 5 <= chords, "{helices} of {chords}");
}

#[test]
fn a_word_that_differs_from_the_profile_is_refused() {
    let swap = |from: &'static str, to: &'static str| {
        move |text: &str| {
            assert!(text.contains(from), "{from}");
            text.replacen(from, to, 1)
        }
    };
    let differs = |machine: &str, from: &'static str, to: &'static str, says: &str| {
        let found = judged(machine, swap(from, to));
        let code = if says.starts_with("has not said") { "word-missing" } else { "word-differs" };
        let told = found.contains(says) && found.contains(code);
        assert!(told, "{machine}, {from:?} -> {to:?}: {found}");
    };
    assert_eq!(judged("router-changer", str::to_string), "");
    differs("router-changer", "T1 M6", "T2 M6", "M6 to T2");
    differs("router-changer", "G43 H1", "G43 H2", "G43 H2");
    differs("router-changer", "T1 M6\r\n", "G80\r\n", "has not said M6 to T1");
    differs("router-changer", "G43 H1\r\n", "G80\r\n", "has not said G43 H1");
    differs("router-changer", "G55", "G54", "the work offset G54");
    differs("router-changer", "G61", "G64", "G64 P without a number");
    differs("router-changer", "G61\r\n", "G80\r\n", "has not said G61");
    differs("router-changer", "M8", "M7", "M7");
    differs("router-changer", "G53 G0 Z0", "G53 G0 X0", "another move in G53");
    differs("router-changer", "M5\r\n", "\r\n", "while the tool runs");
    differs("router-absolute-arcs", "G64 P0.0005", "G64 P0.01", "G64 P0.01");
    differs("router-absolute-arcs", "G90.1", "G91.1", "from the start (G91.1)");
    differs("router-absolute-arcs", "G90.1\n", "\n", "has not said arc centres as places");
    differs("router-radius-arcs", " R0.", " I0.", "an arc by its centre");
    differs("router-table", "G54", "G54\nT1 M6", "names no tools");
    differs("router-table", "G54", "G54\nG43 H1", "names no tool length");
    differs("router-table", "G54", "G54\nG61", "names neither G61 nor G64");
    differs("router-radius-arcs", " R0.", " J0. R0.", "an arc by its centre");
    differs("router-changer", "G53 G0 Z0", "G53 G0 Z0\r\nG0 X1", "a motion after G53");
    differs("router-changer", "M8\r\n", "T2 M6\r\nM8\r\n", "after the first motion");
    differs("router-changer", "M8\r\n", "G49\r\nM8\r\n", "has not said G43 H1");
    differs("router-table", "M30", "G53 G0 Z0\nM30", "names no G53");
    differs("router-table", "G90\n", "G90\nG90.1\n", "as places (G90.1)");
}

#[test]
fn a_word_that_says_nothing_where_it_stands_or_too_much_is_refused() {
    let told = |machine: &str, from: &str, to: &str, says: &[&str]| {
        let found = judged(machine, |text| {
            assert!(text.contains(from), "{machine}: {from}");
            text.replacen(from, to, 1)
        });
        let all = says.iter().all(|word| found.contains(word));
        assert!(all, "{machine}, {from:?} -> {to:?}: {found}");
    };
    // Another tool that is called and not changed to comes with the next change.
    told("router-changer", "T1 M6\r\n", "T1 M6\r\nT2\r\n", &["word-differs", "T2"]);
    told(
        "router-changer",
        "M8\r\n",
        "T1\r\nM8\r\n",
        &["word-differs", "T1 after the first motion"],
    );
    told("laser-air", "M8\n", "", &["word-missing", "has not said M8"]);
    told("laser-air", "M8\n", "M8\nM9\n", &["word-missing", "has not said M8"]);
    // What ends a program ends it on any line.
    told("router-changer", "G53 G0 Z0", "G53 G0 Z0 M30", &["after-end"]);
    let stray = ["stray-word", "R without G2 or G3"];
    told("router-radius-arcs", "M7\n", "R0.5\nM7\n", &stray);
    told("router-radius-arcs", " G0 X", " G0 R0.5 X", &stray);
    told("router-radius-arcs", " G4 ", " G4 R0.5 ", &stray);
    told("router-radius-arcs", "M5\n", "M5\nG2 R0.5\n", &stray);
    let helix = ["word-not-taken", "goes up or down while it turns"];
    told("router-table", "M5\n", "G2 I0.1 J0 Z1\nM5\n", &helix);
    told("router-absolute-arcs", "G20\n", "G64 P0.0005\nG20\n", &["units-missing", "G64 P"]);
}
