//! A roughing cutter that goes first, and the cutter on the line after it: two programs, planned
//! together, proven together, and refused where that cannot be.

use crate::common::{Made, Stair, profile_with, tread};
use seatcut::bundle::Bundle;
use seatcut::cam::plan::{Program, Step, plan_square};
use seatcut::diagnostics::ErrorKind;
use seatcut::geometry::{Segment, distance_to_segment};
use seatcut::job::Job;
use seatcut::output::dxf::DxfVersion;
use seatcut::pipeline::set::{Entry, Set};
use seatcut::pipeline::workup::Workup;
use seatcut::profile::{Machine, Material, embedded};

const PROFILE: &str = "router-two-cutters";
/// Of the profile: what roughing leaves, and the radii of both cutters.
const ALLOWANCE_MM: f64 = 25.4 / 32.0;
const ROUGH_MM: f64 = 25.4 / 4.0;
const LINE_MM: f64 = 25.4 / 8.0;

/// A pattern of three steps on the profile with some of it replaced, and these lines in [cut].
fn pattern(replacements: &[(&str, &str)], more: &str) -> Stair {
    Stair {
        rules: "us-osha".into(),
        rise: "total = \"21 in\"\nrisers = 3".into(),
        tread: tread("10 1/2 in", "1 in", "1 in", "3/4 in"),
        cut: format!(
            "makes = \"pattern\"\nmachine = \"./own.toml\"\nmaterial = \"plywood-12\"\n{more}"
        ),
        files: vec![("./own.toml".into(), profile_with("machine", PROFILE, replacements))],
        ..Stair::default()
    }
}

/// A sheet of stringers of the same flight.
fn stringers(more: &str) -> Stair {
    let pattern = pattern(&[], more);
    let thickness = if more.contains("layers = 2") { "36 mm" } else { "18 mm" };
    let cut = pattern.cut.replace("\"pattern\"", "\"stringers\"");
    Stair {
        board: format!("width = \"11 1/4 in\"\nthickness = \"{thickness}\""),
        cut: cut.replace("plywood-12", "plywood-18"),
        ..pattern
    }
}

/// The codes that refuse a job's set; none where all of its files are proven.
fn refused(job: Job) -> Vec<&'static str> {
    let set = Set::of(vec![Entry { job, times: 1 }], 0).unwrap();
    if !set.refused() {
        let bundle = Bundle::of(&set, DxfVersion::R2000).unwrap();
        bundle.proven(|artifact| Ok(artifact.bytes.clone())).unwrap();
    }
    let found = set.all_findings().filter(|finding| finding.refuses());
    found.map(|finding| finding.code.name()).collect()
}

#[test]
fn every_way_of_cutting_in_waste_is_roughed_and_proven() {
    let safe = "safe_height = \"1/2 in\"";
    let vacuum = [(safe, "safe_height = \"1/2 in\"\nvacuum = true")];
    let bed = [("\"stock-top\"", "\"bed\"")];
    for (name, stair) in [
        ("cleared along the bisector", pattern(&[], "corners = \"bisector\"")),
        ("cleared into the riser", pattern(&[], "corners = \"riser\"")),
        ("cleared into the tread", pattern(&[], "corners = \"tread\"")),
        ("left round", pattern(&[], "corners = \"fillet\"")),
        ("three patterns on a sheet", pattern(&[], "corners = \"bisector\"\nquantity = 3")),
        ("three stringers", stringers("corners = \"fillet\"\nquantity = 3")),
        ("two stringers and their doublers", stringers("quantity = 2\ndoubled_outsides = true")),
        ("near to each other", stringers("quantity = 3\nspacing = \"3/4 in\"")),
        ("in layers", stringers("quantity = 1\nlayers = 2")),
        ("square tabs", pattern(&[], "tabs = { shape = \"square\" }")),
        ("square tabs on a sheet", stringers("quantity = 3\ntabs = { shape = \"square\" }")),
        ("vacuum", pattern(&vacuum, "tabs = \"none\"")),
        ("a skin", pattern(&vacuum, "skin = \"0.5 mm\"")),
        ("a skin on a sheet", pattern(&vacuum, "skin = \"0.5 mm\"\nquantity = 2")),
        ("Z0 on the bed", pattern(&bed, "marks = \"none\"")),
        ("shallow passes", pattern(&[("pass_depth = \"3/8 in\"", "pass_depth = \"3 mm\"")], "")),
        (
            "a wide roughing cutter",
            pattern(&[("cutter = \"1/2 in\"", "cutter = \"1 in\"")], "corners = \"fillet\""),
        ),
        (
            "a roughing cutter hardly wider",
            pattern(
                &[
                    ("cutter = \"1/2 in\"", "cutter = \"9/32 in\""),
                    ("\"1/32 in\" ", "\"1/16 in\" "),
                ],
                "corners = \"bisector\"\nquantity = 2",
            ),
        ),
    ] {
        assert_eq!(refused(stair.job()), Vec::<&str>::new(), "{name}");
    }
    for tolerance in ["0.005 in", "0.02 in"] {
        let keys = format!("chord_tolerance = \"{tolerance}\"\ncomments = \"par");
        for more in ["", "quantity = 2"] {
            let job = pattern(&[("comments = \"par", &keys)], more).job();
            assert_eq!(refused(job), Vec::<&str>::new(), "chords of {tolerance}, {more}");
        }
    }
}

/// The least distance of every cut from a piece.
fn nearest(program: &Program, edges: &[Segment], is_deep: impl Fn(f64) -> bool) -> f64 {
    let mut least = f64::INFINITY;
    for step in &program.steps {
        let Step::Cut { segment, to_z, .. } = step else { continue };
        if !is_deep(*to_z) {
            continue;
        }
        for i in 0..=20 {
            let p = segment.point_at(f64::from(i) / 20.0);
            let off = edges.iter().map(|edge| distance_to_segment(p, edge));
            least = off.fold(least, f64::min);
        }
    }
    least
}

#[test]
fn roughing_leaves_its_allowance_everywhere_and_every_tab_and_the_line_is_cut_after_it() {
    let job = pattern(&[], "corners = \"fillet\"\nmarks = \"none\"").job();
    let planned = Workup::of(&job).planned.expect("it is planned");
    let rough = planned.rough.as_ref().expect("it is roughed");
    let piece = planned.piece_on_stock();
    let edges: Vec<Segment> = piece.edges().iter().map(|edge| edge.segment).collect();
    let off = nearest(&rough.program, &edges, |_| true) - ROUGH_MM;
    assert!((off - ALLOWANCE_MM).abs() < 1e-6, "{off} mm off the line");
    assert!(rough.program.holes.is_empty() && rough.program.marking.is_none());
    // The same tabs, over each of which nothing of either program goes deep: a strip of wood as
    // long as the neck stays across both cuts.
    let (first, own) = (&rough.program, &planned.program);
    assert_eq!(first.tabs.len(), own.tabs.len());
    assert!(own.tabs.len() >= 3);
    let half_neck = 25.4 * 0.375 / 2.0;
    for (tab, left) in own.tabs.iter().zip(&first.tabs) {
        assert!((tab.height_mm - left.height_mm).abs() < 1e-9);
        let across = (left.top - tab.top).norm();
        assert!((across - (ROUGH_MM + ALLOWANCE_MM - LINE_MM)).abs() < 1e-6, "{across}");
        let floor = tab.height_mm - own.stock.thickness.as_mm() - 1e-6;
        for (program, radius) in [(first, ROUGH_MM), (own, LINE_MM)] {
            let bridge = Segment::Line { from: tab.top, to: left.top };
            let near = nearest(program, &[bridge], |z| z < floor);
            assert!(near > half_neck + radius - 1e-3, "{near} {radius}");
        }
    }
    // Both are counted, and the whole is told of each.
    let plain = pattern(&[], "corners = \"fillet\"\nmarks = \"none\"");
    let text = &plain.files[0].1;
    let alone = text[..text.find("[router.rough]").unwrap()].to_string();
    let alone = Stair { files: vec![("./own.toml".into(), alone)], ..plain };
    let one = Workup::of(&alone.job()).planned.unwrap().program.time_s;
    assert!(own.time_s > 0.9 * one && own.time_s < 1.1 * one, "{} {one}", own.time_s);
    assert!(first.time_s > 30.0, "{}", first.time_s);
}

#[test]
fn every_document_names_both_programs_and_verify_says_which_one_a_file_is() {
    let made = Made::of(&pattern(&[], "corners = \"bisector\""));
    let [marks, rough, line] = [1, 2, 3].map(|i| made.program(&format!("program-{i}.nc")));
    let words = [
        (&marks, "FIRST OF THREE PROGRAMS"),
        (&marks, "Program 1 of 3"),
        (&rough, "Program 2 of 3"),
        (&rough, "Roughing cutter, diameter 0.5 in"),
        (&rough, "Roughing, leaves 0.0313 in beside the line and every tab"),
        (&rough, "MARKS COME FIRST"),
        (&line, "Program 3 of 3"),
        (&line, "Straight cutter, diameter 0.25 in"),
        (&line, "To the line, after roughing with the cutter of diameter 0.5 in"),
        (&line, "ROUGHING COMES FIRST"),
    ];
    for (text, words) in words {
        assert!(text.contains(words), "{words} is not in\n{text}");
    }
    let (code, said) = made.verify(&rough);
    assert!(code == 0 && said.contains("roughs out this job's part"), "{said}");
    assert!(
        said.contains("it is the roughing program") && said.contains("to the letter"),
        "{said}"
    );
    let (code, said) = made.verify(&line);
    assert!(code == 0 && said.contains("is this job's part"), "{said}");
    assert!(said.contains("the program that cuts to the line"), "{said}");
    for (file, needed) in [
        ("bench.html", &["program-2.nc", "program-3.nc", "roughs out", "to the line"][..]),
        (
            "report.json",
            &["program-2.nc", "program-3.nc", "\"cutter_mm\": 12.7", "\"cutter_mm\": 6.35"],
        ),
    ] {
        let text = made.program(file);
        assert!(needed.iter().all(|words| text.contains(words)), "{file}");
    }
}

#[test]
fn a_set_of_stringers_has_two_programs_a_sheet() {
    let made = Made::of(&stringers("quantity = 2"));
    let [rough, line] = [1, 2].map(|i| made.program(&format!("program-{i}.nc")));
    assert!(rough.contains("Roughing, leaves") && line.contains("ROUGHING COMES FIRST"));
    let (code, said) = made.verify(&rough);
    assert!(code == 0 && said.contains("it is the roughing program"), "{said}");
    let (code, said) = made.verify(&line);
    assert!(code == 0 && said.contains("the program that cuts to the line"), "{said}");
    let picture = made.program("sheet-1.svg");
    assert!(picture.contains("program-1.nc") && picture.contains("program-2.nc"), "{picture}");
}

#[test]
fn what_is_not_roughed_as_the_profile_asks_is_refused() {
    let made = Made::of(&pattern(&[], "corners = \"bisector\"\nmarks = \"none\""));
    let [rough, line] = [1, 2].map(|i| made.program(&format!("program-{i}.nc")));
    let refused = |text: &str, code: &str, nearest: &str| {
        let (ends, said) = made.verify(text);
        assert!(
            ends == 6 && said.contains(code) && said.contains(nearest),
            "{code}: {ends} {said}"
        );
    };
    let roughing = "nearest to the roughing program";
    // The lower left corner a hundredth of an inch nearer: the allowance is gouged there.
    let moved = |text: &str, by: f64| {
        let line = |line: &str| {
            let words = line.split(' ').map(|word| match word.strip_prefix('X') {
                Some(x) => format!("X{:.4}", x.parse::<f64>().unwrap() + by),
                None => word.to_string(),
            });
            words.collect::<Vec<_>>().join(" ")
        };
        let is_motion = |text: &str| text.starts_with(['G', 'X']);
        let lines = text.lines().map(|of| if is_motion(of) { line(of) } else { of.to_string() });
        lines.collect::<Vec<_>>().join("\n")
    };
    refused(&moved(&rough, 0.01), "gouge", roughing);
    refused(&moved(&line, 0.01), "gouge", "cuts to the line");
    // A tab cut away by either.
    let tops = "Z-0.2362";
    assert!(rough.contains(tops) && line.contains(tops), "{rough}");
    refused(&rough.replace(tops, "Z-0.4924"), "tab-missing", roughing);
    refused(&line.replace(tops, "Z-0.4924"), "tab-missing", "cuts to the line");
    // Deeper at once than its own cutter goes.
    let [second, third] = ["(PASS 1 OF", "(PASS 2 OF"].map(|at| line.find(at).unwrap());
    refused(&format!("{}{}", &line[..second], &line[third..]), "pass-too-deep", "cuts to the line");
}

#[test]
fn a_set_of_two_cutters_that_is_tampered_with_is_no_set() {
    let job = stringers("quantity = 2").job();
    let set = Set::of(vec![Entry { job, times: 1 }], 0).unwrap();
    let bundle = Bundle::of(&set, DxfVersion::R2000).unwrap();
    for name in ["program-1.nc", "program-2.nc"] {
        let error = bundle.proven(|artifact| {
            let text = String::from_utf8_lossy(&artifact.bytes).into_owned();
            Ok(match artifact.name == name {
                true => text.replace("(PASS 1 OF", "G1 X0 Y0 F10\n(PASS 1 OF").into_bytes(),
                false => artifact.bytes.clone(),
            })
        });
        assert_eq!(error.expect_err(name).kind(), ErrorKind::Internal);
    }
}

#[test]
fn each_program_calls_its_own_tool() {
    let changer =
        "[program]\ntools = { cutter = 1, pointed = 2, rough = 3, length = true }\n\n[router]";
    let made = Made::of(&pattern(&[("[router]", changer)], ""));
    for (i, number) in [(1, 2), (2, 3), (3, 1)] {
        let text = made.program(&format!("program-{i}.nc"));
        let call = format!("T{number} M6\nG43 H{number}\n");
        assert!(text.contains(&call) && text.matches(" M6").count() == 1, "{text}");
    }
}

#[test]
fn a_roughing_cutter_that_makes_no_sense_is_refused_by_its_key() {
    let misread = |from: &str, to: &str| {
        let error = pattern(&[(from, to)], "").try_job().expect_err(to);
        error.to_string()
    };
    let allowance = "allowance = \"1/32 in\"";
    let wide = "cutter = \"1/2 in\"";
    for (from, to, words) in [
        (wide, "cutter = \"1/4 in\"", ["router.rough.cutter", "wider than router.cutter"]),
        (wide, "cutter = \"17/16 in\"", ["router.rough.cutter", "at most 4 times"]),
        (wide, "cutter = 12", ["cutter", "12"]),
        (
            allowance,
            "allowance = \"5/64 in\"",
            ["router.rough.allowance", "a quarter of router.cutter"],
        ),
        (allowance, "allowance = \"0.05 mm\"", ["router.rough.allowance", "out of its range"]),
        (allowance, "allowance = \"thick\"", ["router.rough.allowance", "no unit"]),
        (allowance, "", ["allowance", "missing"]),
        (allowance, "allowance = \"1/32 in\"\npasses = 2", ["unknown key", "passes"]),
        (
            allowance,
            "allowance = \"1/32 in\"\nentry_feed = \"257 in/min\"",
            ["router.rough.entry_feed", "cutting feed"],
        ),
        (
            "[router.rough]",
            "[router.finish]\nallowance = \"1/64 in\"\n[router.rough]",
            ["router.finish and router.rough", "one of the two"],
        ),
        (
            "[router]",
            "[program]\ntools = { cutter = 1, pointed = 2 }\n[router]",
            ["router.rough has no number", "rough = 2"],
        ),
        (
            "[router]",
            "[program]\ntools = { cutter = 1, pointed = 2, rough = 2 }\n[router]",
            ["program.tools.pointed and program.tools.rough", "same tool"],
        ),
    ] {
        let error = misread(from, to);
        assert!(words.iter().all(|word| error.contains(word)), "{to}: {error}");
    }
    let numbered = profile_with(
        "machine",
        "router-table",
        &[("[router]", "[program]\ntools = { cutter = 1, pointed = 2, rough = 3 }\n[router]")],
    );
    let stair = Stair { files: vec![("./own.toml".into(), numbered)], ..pattern(&[], "") };
    let error = stair.try_job().expect_err("no roughing cutter").to_string();
    assert!(error.contains("router.rough does not describe"), "{error}");
    let lead = "lead = \"";
    let burnt = profile_with("machine", "laser", &[(lead, &format!("rough = {{ }}\n{lead}"))]);
    let stair = Stair { files: vec![("./own.toml".into(), burnt)], ..pattern(&[], "") };
    let error = stair.try_job().expect_err("a beam does not rough").to_string();
    assert!(error.contains("laser.rough") && error.contains("[router]"), "{error}");
}

#[test]
fn what_is_not_cut_with_two_cutters_is_refused_by_a_finding_that_names_the_key() {
    // Between two pieces stand the roughing cutter and both of its allowances: 9/16 in.
    let apart =
        |spacing: &str| refused(stringers(&format!("quantity = 2\nspacing = \"{spacing}\"")).job());
    assert_eq!(apart("35/64 in"), ["spacing-below-rough"]);
    assert_eq!(apart("15/64 in"), ["spacing-below-rough"]);
    assert!(!apart("9/16 in").iter().any(|code| code.starts_with("spacing-below")));
    let tie = |width: &str| Stair {
        tie_plate: format!("width = \"{width}\"\nheight = \"3/4 in\"\nset_back = \"1 1/2 in\""),
        ..pattern(&[], "corners = \"fillet\"\nfollow = \"edge\"")
    };
    assert!(refused(tie("1/2 in").job()).contains(&"rough-no-room"));
    assert!(!refused(tie("7/8 in").job()).contains(&"rough-no-room"));
    let board = Stair {
        cut: "makes = \"stringers\"\nmachine = \"./own.toml\"\nmaterial = \"board-2x12\"".into(),
        ..pattern(&[], "")
    };
    assert!(refused(board.job()).contains(&"rough-not-here"));
    let long = Stair {
        rise: "total = \"102 3/4 in\"\nrisers = 14".into(),
        ..pattern(&[], "long = \"index\"")
    };
    assert!(refused(long.job()).contains(&"index-router-only"));
    // What the roughing cutter cannot do, or nobody means, is told of it.
    let found = |changes: &[(&str, &str)]| {
        let job = pattern(changes, "").job();
        let set = Set::of(vec![Entry { job, times: 1 }], 0).unwrap();
        set.all_findings().map(ToString::to_string).collect::<Vec<_>>().join("\n")
    };
    let thin = ("cutter = \"1/2 in\"", "cutter = \"9/32 in\"");
    let deep = ("pass_depth = \"1/2 in\"", "pass_depth = \"2 in\"");
    for (changes, words) in [
        (&[("\"1 3/4 in\"", "\"1/4 in\"")][..], ["cutter-too-short", "router.rough"]),
        (&[thin, deep], ["pass-deep", "router.rough.pass_depth"]),
        (&[("\"0.008 in\"", "\"0.0001 in\"")], ["chip-load-odd", "router.rough.chip_load"]),
    ] {
        let said = found(changes);
        assert!(words.iter().all(|word| said.contains(word)), "{changes:?}: {said}");
    }
}

#[test]
fn a_test_square_is_cut_by_the_cutter_on_the_line_alone() {
    let source = embedded(Some("machine"), PROFILE).unwrap();
    let machine = Machine::read(PROFILE, &source.file, &source.text).unwrap();
    let source = embedded(Some("material"), "hardboard-6").unwrap();
    let material = Material::read("hardboard-6", &source.file, &source.text).unwrap();
    let square = plan_square(&machine, &material).unwrap();
    assert!(square.findings.iter().any(|found| found.code.name() == "square-not-roughed"));
    let square = square.value;
    assert!(square.machine.tool.rough().is_none() && !square.program.roughs);
}
