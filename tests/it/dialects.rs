//! Every machine profile's own words: what is written is read back and proven, and a program for
//! another control is refused with the word that differs.

use crate::common::Stair;
use seatcut::bundle::Bundle;
use seatcut::job::Job;
use seatcut::output::dxf::DxfVersion;
use seatcut::pipeline::proof;
use seatcut::pipeline::set::{Entry, Set};
use seatcut::profile::{Machine, embedded, names_of};

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
    // Where Z0 is on the bed marks want a measured thickness.
    let thickness = if machine == "router-changer" || machine == "router-metric" {
        "thickness = \"6.35 mm\"\n"
    } else {
        ""
    };
    job(&format!(
        "makes = \"pattern\"\nmachine = \"{machine}\"\nmaterial = \"{material}\"\ncorners \
            = \"{tool}\"\n{thickness}"
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
    let machines = names_of("machine");
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
    holds("router-absolute-arcs", &["G90.1\n", "G64 P0.0002\n"]);
    holds("router-radius-arcs", &[" R0.", "N5 G20\n", "M7\n"]);
    holds("router-plain-lines", &["G64 P0.0002\r\n", "M2\r\n"]);
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
    differs("router-changer", "G55\r\n", "G80\r\n", "has not said the work offset G55");
    differs("router-changer", "G61", "G64", "G64 P without a number");
    differs("router-changer", "G61\r\n", "G80\r\n", "has not said G61");
    differs("router-changer", "M8", "M7", "M7");
    differs("router-changer", "G53 G0 Z0", "G53 G0 X0", "another move in G53");
    differs("router-changer", "M5\r\n", "\r\n", "while the tool runs");
    differs("router-absolute-arcs", "G64 P0.0002", "G64 P0.01", "G64 P0.01");
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
    told("router-absolute-arcs", "G20\n", "G64 P0.0002\nG20\n", &["units-missing", "G64 P"]);
}

/// The same machine with lines of its profile replaced.
fn machine(name: &str, changes: &[(&str, &str)]) -> Result<Machine, String> {
    let mut text = embedded(Some("machine"), name).unwrap().text;
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    }
    Machine::read("m", "m.toml", &text).map_err(|error| error.to_string())
}

#[test]
fn a_key_of_a_profile_that_says_two_things_or_nothing_is_refused() {
    let tools = "tools = { cutter = 1, pointed = 2, length = true }";
    let beam = "beam = { steady = \"M4\", follows_speed = \"M3\" }";
    for (name, from, to, words) in [
        (
            "router-changer",
            tools,
            "tools = { cutter = 7, pointed = 7 }",
            &["program.tools.cutter and program.tools.pointed"][..],
        ),
        ("router-changer", "mark = {", "# mark = {", &["router.mark", "pointed"]),
        ("router-changer", "air = \"M8\"", beam, &["program.beam does nothing beside [router]"]),
        ("laser-air", beam, "helices = false", &["program.helices does nothing beside [laser]"]),
        ("laser-air", beam, tools, &["program.tools does nothing beside [laser]"]),
        ("laser-air", beam, "machine_top = false", &["program.machine_top does nothing"]),
        ("router-absolute-arcs", "0.0002 in", "0.0003 in", &["program.path_blend", "0.00025 in"]),
    ] {
        let told = machine(name, &[(from, to)]).unwrap_err();
        assert!(words.iter().all(|words| told.contains(words)), "{name} {to}: {told}");
    }
    for offset in ["G+54", "G054", "g54", "G54 ", "G60", "54", "G54.0"] {
        let named = format!("work_offset = \"{offset}\"");
        let told = machine("router-changer", &[("work_offset = \"G55\"", &named)]).unwrap_err();
        assert!(told.contains("\"G54\" to \"G59\"") && told.contains(offset), "{told}");
    }
    assert!(machine("router-changer", &[("\"G55\"", "\"G59\"")]).is_ok());
}

#[test]
fn a_value_of_the_wrong_kind_is_told_as_it_stands_with_the_kind_that_is_wanted() {
    for (from, to, found, allowed) in [
        (
            "travel = { x = \"1300 mm\", y = \"2500 mm\", z = \"150 mm\" }",
            "travel = 1979-05-27",
            "1979-05-27",
            "a table",
        ),
        ("units = \"mm\"", "units = 1979-05-27", "1979-05-27", "a text in quotes"),
        ("units = \"mm\"", "units = 3", "3", "a text in quotes"),
        ("decimals = 3", "decimals = 1979-05-27", "1979-05-27", "a whole number"),
        ("decimals = 3", "decimals = \"3\"", "\"3\"", "a whole number"),
        ("decimals = 3", "decimals = -3", "-3", "0 or more"),
        ("air = \"M8\"", "air = [\"M8\"]", "[\"M8\"]", "a text in quotes"),
        ("safe_height = \"12 mm\"", "safe_height = 1979-05-27", "1979-05-27", "a length in quotes"),
        ("percent_lines = true", "percent_lines = \"yes\"", "\"yes\"", "true or false"),
    ] {
        let told = machine("router-changer", &[(from, to)]).unwrap_err();
        let is_said = told.contains("of the wrong form")
            && told.contains(&format!("found:   {found}"))
            && told.contains(allowed);
        assert!(is_said && !told.contains("$__") && !told.contains("not TOML"), "{to}: {told}");
    }
    let told = machine("router-changer", &[("units = \"mm\"", "units = ")]).unwrap_err();
    assert!(told.contains("nothing behind `units =`"), "{told}");
    // The job is read by the same reader.
    let text = Stair::default().toml();
    for (from, to) in
        [("[head]", "[head]\nnotch = 1979-05-27"), ("[tread]", "tread = 1979-05-27\n[x]")]
    {
        let text = text.replacen(from, to, 1);
        let told = seatcut::job::read_job("j.toml", &text, &|_| unreachable!()).unwrap_err();
        assert!(!told.to_string().contains("$__toml"), "{told}");
    }
}

#[test]
fn what_a_control_may_round_is_added_to_what_a_program_is_off_by() {
    let blend = |by: &str| {
        let mut job = pattern("router-absolute-arcs");
        let by = format!("path_blend = \"{by}\"");
        job.cut.machine =
            machine("router-absolute-arcs", &[("path_blend = \"0.0002 in\"", &by)]).unwrap();
        job
    };
    let gouge = |job: Job| {
        let set = Set::of(vec![Entry { job, times: 1 }], 0).unwrap();
        let bundle = Bundle::of(&set, DxfVersion::R2000).unwrap();
        let mut text = String::new();
        let proven = bundle
            .proven(|artifact| {
                if artifact.name.starts_with("program-2") {
                    text = String::from_utf8(artifact.bytes.clone()).unwrap();
                }
                Ok(artifact.bytes.clone())
            })
            .unwrap();
        (proven.last().unwrap().verified.gouge_mm, text)
    };
    let (least, _) = gouge(blend("0.001 mm"));
    let (most, text) = gouge(blend("0.00025 in"));
    assert!((most - least - (0.00635 - 0.001)).abs() < 1e-6, "{least} {most}");
    assert!(
        text.contains("round a corner by 0.00025 in") && text.contains("G64 P0.00025"),
        "{text}"
    );
}

#[test]
fn line_numbers_rise_to_the_end_of_every_program_and_a_step_that_runs_out_is_made_smaller() {
    let mut job = glued("router-radius-arcs");
    job.cut.machine = machine(
        "router-radius-arcs",
        &[
            ("line_numbers = 5", "line_numbers = 100"),
            ("\nunits", "\nchord_tolerance = \"0.002 mm\"\nunits"),
            ("arc_centres", "# arc_centres"),
        ],
    )
    .unwrap();
    let mut smaller = 0;
    for (name, text) in programs(job) {
        let numbers: Vec<u32> = text
            .lines()
            .filter_map(|line| line.strip_prefix('N')?.split(' ').next()?.parse().ok())
            .collect();
        let step = numbers[0];
        smaller += usize::from(step < 100);
        assert!(numbers.iter().zip(1..).all(|(number, i)| *number == i * step), "{name}");
        assert!(numbers.last().unwrap() <= &99_999);
        assert_eq!(step, (99_999 / numbers.len() as u32).min(100), "{name}");
    }
    assert!(smaller > 0, "no program was long enough to ask for a smaller step");
    for change in [("N200 ", "N100 "), ("N200 ", "N50 ")] {
        let told = judged("router-changer", |text| text.replacen(change.0, change.1, 1));
        assert!(told.contains("line-number-again"), "{change:?}: {told}");
    }
}
