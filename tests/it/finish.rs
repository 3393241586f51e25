//! The pass on the line after passes that stay off it: as the machine's profile asks for it,
//! proven, and refused where that cannot be.

use crate::common::{Made, Stair, profile_with, tread};
use seatcut::bundle::{Bundle, SquareSet};
use seatcut::cam::plan::{FeedKind, Program, Step, plan_square};
use seatcut::diagnostics::ErrorKind;
use seatcut::geometry::{Segment, distance_to_segment};
use seatcut::job::Job;
use seatcut::output::dxf::DxfVersion;
use seatcut::output::page::Size;
use seatcut::pipeline::set::{Entry, Set};
use seatcut::pipeline::workup::Workup;
use seatcut::profile::{Machine, Material, embedded};

const RAMP: &str = "ramp_deg = 3.0";
/// A thirty-second of an inch, and half of the feed.
const FINISH: &str = "finish = { allowance = \"1/32 in\", feed = \"96 in/min\" }";
const ALLOWANCE_MM: f64 = 25.4 / 32.0;

/// A pattern of three steps on a router table with these keys of its cutter more, and these lines
/// in its table [cut].
fn pattern(keys: &str, more: &str) -> Stair {
    let machine = profile_with("machine", "router-table", &[(RAMP, &format!("{RAMP}\n{keys}"))]);
    Stair {
        rules: "us-osha".into(),
        rise: "total = \"21 in\"\nrisers = 3".into(),
        tread: tread("10 1/2 in", "1 in", "1 in", "3/4 in"),
        cut: format!(
            "makes = \"pattern\"\nmachine = \"./own.toml\"\nmaterial = \"plywood-12\"\n{more}"
        ),
        files: vec![("./own.toml".into(), machine)],
        ..Stair::default()
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
fn every_way_of_cutting_is_finished_and_proven() {
    let sheet = |more: &str| pattern(FINISH, more);
    let with = |from: &str, to: &str, more: &str| {
        let mut stair = sheet(more);
        assert!(stair.files[0].1.contains(from), "{from}");
        stair.files[0].1 = stair.files[0].1.replace(from, to);
        stair
    };
    let board = "makes = \"stringers\"\nmachine = \"./own.toml\"\nmaterial = \"board-2x12\"";
    for (name, stair) in [
        ("cleared along the bisector", sheet("corners = \"bisector\"")),
        ("cleared into the riser", sheet("corners = \"riser\"")),
        ("cleared into the tread", sheet("corners = \"tread\"")),
        ("left round", sheet("corners = \"fillet\"")),
        ("three on a sheet", sheet("corners = \"bisector\"\nquantity = 3")),
        ("near to each other", sheet("corners = \"riser\"\nquantity = 3\nspacing = \"3/4 in\"")),
        ("square tabs", sheet("corners = \"bisector\"\ntabs = { shape = \"square\" }")),
        ("on a board", Stair { cut: board.into(), ..sheet("") }),
        ("vacuum", with("rapid = ", "vacuum = true\nrapid = ", "tabs = \"none\"")),
        ("a skin", with("rapid = ", "vacuum = true\nrapid = ", "skin = \"0.5 mm\"")),
        ("Z0 on the bed", with("\"stock-top\"", "\"bed\"", "marks = \"none\"")),
        ("shallow passes", with("pass_depth = \"1/4 in\"", "pass_depth = \"3 mm\"", "")),
    ] {
        assert_eq!(refused(stair.job()), Vec::<&str>::new(), "{name}");
    }
    let chords =
        profile_with("machine", "router-plain-lines", &[(RAMP, &format!("{RAMP}\n{FINISH}"))]);
    let stair = Stair { files: vec![("./own.toml".into(), chords)], ..sheet("quantity = 2") };
    assert_eq!(refused(stair.job()), Vec::<&str>::new());
}

#[test]
fn a_test_square_is_finished_as_pieces_are() {
    for name in ["router-table", "router-metric", "router-plain-lines"] {
        let text = profile_with("machine", name, &[(RAMP, &format!("{RAMP}\n{FINISH}"))]);
        let machine = Machine::read(name, "own.toml", &text).unwrap();
        let source = embedded(Some("material"), "hardboard-6").unwrap();
        let material = Material::read("hardboard-6", &source.file, &source.text).unwrap();
        let square = plan_square(&machine, &material).unwrap().value;
        let set = SquareSet::of(&square, Size::LETTER, name).unwrap();
        set.proven(|artifact| Ok(artifact.bytes.clone())).unwrap();
        let text = String::from_utf8(set.artifacts()[0].bytes.clone()).unwrap();
        let is_pass = |line: &&str| line.contains("ON THE LINE") && !line.contains("RESUME");
        assert_eq!(text.lines().filter(is_pass).count(), 3, "{name}");
    }
}

/// The cuts of a program of one piece: those before the pass on the line, and those of it.
fn cuts(program: &Program) -> [Vec<(Segment, f64, FeedKind)>; 2] {
    let (mut before, mut of_it, mut is_on) = (Vec::new(), Vec::new(), false);
    for step in &program.steps {
        match step {
            Step::Say(words) => is_on |= words.ends_with("ON THE LINE"),
            Step::Cut { segment, to_z, feed } => {
                let cuts = if is_on { &mut of_it } else { &mut before };
                cuts.push((*segment, *to_z, *feed));
            }
            _ => {}
        }
    }
    [before, of_it]
}

#[test]
fn all_passes_but_the_last_stay_off_the_line_by_the_allowance_in_the_waste() {
    let job = pattern(FINISH, "corners = \"fillet\"\nmarks = \"none\"").job();
    let planned = Workup::of(&job).planned.expect("it is planned");
    let program = &planned.program;
    let edges: Vec<Segment> = planned
        .path
        .piece()
        .placed(&program.placement())
        .edges()
        .iter()
        .map(|edge| edge.segment)
        .collect();
    let nearest = |cut: &Segment| {
        let at = |i: i32| cut.point_at(f64::from(i) / 20.0);
        let off = |p| edges.iter().map(|e| distance_to_segment(p, e)).fold(f64::INFINITY, f64::min);
        (0..=20).map(|i| off(at(i))).fold(f64::INFINITY, f64::min)
    };
    let hole = |cut: &Segment| {
        let hole = program.holes.first().map(|hole| (hole.center, hole.radius.as_mm()));
        hole.is_some_and(|(center, radius)| (cut.from() - center).norm() < radius)
    };
    let radius = planned.path.radius().as_mm();
    let [before, on_it] = cuts(program);
    let off = before.iter().filter(|(cut, ..)| !hole(cut)).map(|(cut, ..)| nearest(cut));
    let off = off.fold(f64::INFINITY, f64::min) - radius;
    assert!((off - ALLOWANCE_MM).abs() < 1e-6, "{off} mm off the line");
    // One pass on it, at full depth but over the tabs, at its own feed.
    let near = on_it.iter().map(|(cut, ..)| nearest(cut)).fold(f64::INFINITY, f64::min) - radius;
    assert!(near.abs() < 1e-6, "{near}");
    let deepest = before.iter().map(|(_, z, _)| *z).fold(0.0, f64::min);
    let level = on_it.iter().filter(|(_, z, _)| (*z - deepest).abs() < 1e-9);
    assert!(level.clone().count() > 10);
    let high = on_it.iter().map(|(_, z, _)| *z).fold(f64::NEG_INFINITY, f64::max);
    assert!((high - deepest - program.tabs[0].height_mm - 0.02 * 25.4).abs() < 1e-6, "{high}");
    let kinds = [FeedKind::Finish, FeedKind::Entry, FeedKind::Plunge];
    assert!(on_it.iter().all(|(.., feed)| kinds.contains(feed)));
    assert!(before.iter().all(|(.., feed)| *feed != FeedKind::Finish));
    // And its time is counted.
    let plain = pattern("", "corners = \"fillet\"\nmarks = \"none\"").job();
    let plain = Workup::of(&plain).planned.unwrap().program.time_s;
    let length: f64 = on_it.iter().map(|(cut, ..)| cut.length()).sum();
    let at_its_feed = length / (96.0 * 25.4 / 60.0);
    let more = program.time_s - plain;
    assert!(more > 0.95 * at_its_feed && more < 1.3 * at_its_feed + 5.0, "{more} {at_its_feed}");
}

#[test]
fn what_is_not_finished_as_the_profile_asks_is_refused() {
    let cut = "corners = \"bisector\"\nmarks = \"none\"";
    let made = Made::of(&pattern(FINISH, cut));
    let text = made.program("program.nc");
    let (code, said) = made.verify(&text);
    assert_eq!(code, 0, "{said}");
    for words in ["Finishing allowance 0.0313 in", "ON THE LINE", "F96.0"] {
        assert!(text.contains(words), "{words} is not in\n{text}");
    }
    let refused = |text: &str, code: &str| {
        let (ends, said) = made.verify(text);
        assert!(ends == 6 && said.contains(code), "{code}: {ends} {said}");
    };
    // Cut on the line from the first pass on, as without the key.
    let plain = Made::of(&pattern("", cut)).program("program.nc");
    refused(&plain, "allowance-missed");
    // Its pass faster than its feed.
    let (before, on_it) = text.split_at(text.rfind("ON THE LINE").unwrap());
    refused(&format!("{before}{}", on_it.replace("F96.0", "F150.0")), "feed-fast");
    // Without the pass on the line.
    let end = on_it.rfind("\nG0 Z").unwrap();
    refused(&format!("{before}ON THE LINE){}", &on_it[end..]), "uncut");
    // Without the last pass before it: it would take a whole pass.
    let [last, finishing] = ["(PASS 2 OF 3)", "(PASS 3 OF 3"].map(|at| text.find(at).unwrap());
    refused(&format!("{}{}", &text[..last], &text[finishing..]), "allowance-missed");
    // Nor may a pass before it cut what holds the piece, or it itself.
    let tops = "Z-0.2362";
    assert!(before.contains(tops) && on_it.contains(tops), "{text}");
    refused(&format!("{}{on_it}", before.replace(tops, "Z-0.4924")), "tab-missing");
    refused(&format!("{before}{}", on_it.replace(tops, "Z-0.4924")), "tab-missing");
    // Over the tabs it takes what was left of the wood above them too.
    refused(&format!("{before}{}", on_it.replace(tops, "Z0.0000")), "allowance-left");
}

#[test]
fn an_allowance_as_coarse_as_chords_is_refused_by_its_key() {
    let with = |tolerance: &str| {
        let mut stair = pattern(FINISH, "corners = \"fillet\"");
        let lines = format!("\nchord_tolerance = \"{tolerance}\"\ncomments");
        let machine = stair.files[0].1.replace("\ncomments", &lines);
        assert_ne!(machine, stair.files[0].1);
        stair.files[0].1 = machine;
        refused(stair.job())
    };
    assert_eq!(with("0.02 in"), ["finish-coarse"]);
    assert!(with("0.005 in").is_empty());
}

#[test]
fn an_allowance_that_cannot_be_kept_is_refused_by_its_key() {
    let misread = |keys: &str| pattern(keys, "").try_job().expect_err(keys).to_string();
    for (keys, words) in [
        ("finish = { allowance = \"1/8 in\" }", ["router.finish.allowance", "half of the cutter"]),
        ("finish = { allowance = \"4 mm\" }", ["router.finish.allowance", "out of its range"]),
        ("finish = { allowance = \"0.05 mm\" }", ["router.finish.allowance", "out of its range"]),
        ("finish = { allowance = \"thick\" }", ["router.finish.allowance", "no unit"]),
        ("finish = { allowance = 0.4 }", ["allowance", "0.4"]),
        ("finish = { feed = \"96 in/min\" }", ["finish", "allowance"]),
        ("finish = \"1/64 in\"", ["finish", "1/64"]),
        ("finish = { allowance = \"1/64 in\", passes = 2 }", ["passes", "finish"]),
        (
            "finish = { allowance = \"1/64 in\", feed = \"193 in/min\" }",
            ["router.finish.feed", "cutting feed"],
        ),
    ] {
        let error = misread(keys);
        assert!(words.iter().all(|word| error.contains(word)), "{keys}: {error}");
    }
    let burnt = profile_with("machine", "laser", &[("lead = \"", &format!("{FINISH}\nlead = \""))]);
    let stair = Stair { files: vec![("./own.toml".into(), burnt)], ..pattern("", "") };
    let error = stair.try_job().expect_err("a beam does not finish").to_string();
    assert!(error.contains("laser.finish") && error.contains("[router]"), "{error}");
    // Between two pieces stand the cutter and both of their allowances: 5/16 in.
    let apart = |spacing: &str| {
        let more = format!("corners = \"bisector\"\nquantity = 2\nspacing = \"{spacing}\"");
        refused(pattern(FINISH, &more).job())
    };
    assert_eq!(apart("19/64 in"), ["spacing-below-finish"]);
    assert_eq!(apart("15/64 in"), ["spacing-below-cutter"]);
    assert!(!apart("5/16 in").iter().any(|code| code.starts_with("spacing-below")));
    // In a notch for a plate stand the cutter and the allowance of both sides.
    let tie = |width: &str| Stair {
        tie_plate: format!("width = \"{width}\"\nheight = \"3/4 in\"\nset_back = \"1 1/2 in\""),
        ..pattern(FINISH, "corners = \"fillet\"\nfollow = \"edge\"")
    };
    assert!(refused(tie("9/32 in").job()).contains(&"finish-no-room"));
    assert!(!refused(tie("1/2 in").job()).contains(&"finish-no-room"));
}

/// Fourteen risers on a sheet as long as they are, longer than the table: cut in set-ups.
fn long(keys: &str, makes: &str, more: &str) -> Stair {
    let changes = [("\"2440 mm\"", "\"6000 mm\"")];
    let sheet = profile_with("material", "plywood-12", &changes);
    let mut stair = Stair {
        rise: "total = \"102 3/4 in\"\nrisers = 14".into(),
        board: "width = \"11 1/4 in\"\nthickness = \"12 mm\"".into(),
        cut: format!(
            "makes = \"{makes}\"\nmachine = \"./own.toml\"\nmaterial = \"./long.toml\"\nlong \
                = \"index\"\n{more}"
        ),
        ..pattern(keys, "")
    };
    stair.files.push(("./long.toml".into(), sheet));
    stair
}

#[test]
fn in_every_set_up_all_passes_but_the_last_stay_off_the_line_and_are_proven_so() {
    for (name, makes, more) in [
        ("left round", "stringers", "corners = \"fillet\""),
        ("cleared along the bisector", "stringers", "corners = \"bisector\""),
        ("cleared into the tread", "pattern", "corners = \"tread\""),
        ("square tabs", "stringers", "corners = \"riser\"\ntabs = { shape = \"square\" }"),
    ] {
        assert_eq!(refused(long(FINISH, makes, more).job()), Vec::<&str>::new(), "{name}");
    }
    let mut chords = long(FINISH, "stringers", "corners = \"fillet\"");
    chords.files[0].1 =
        chords.files[0].1.replace("\ncomments", "\nchord_tolerance = \"0.002 in\"\ncomments");
    assert_eq!(refused(chords.job()), Vec::<&str>::new());
    let job = long(FINISH, "stringers", "corners = \"bisector\"").job();
    let set = Set::of(vec![Entry { job, times: 1 }], 0).unwrap();
    let planned = set.members[0].workup.planned.as_ref().expect("it is planned");
    let set_ups = planned.set_ups.as_ref().expect("in set-ups");
    let edges: Vec<Segment> = {
        let piece = planned.path.piece().placed(&planned.program.placement());
        piece.edges().iter().map(|edge| edge.segment).collect()
    };
    let off = |cut: &Segment| {
        let at = |p| edges.iter().map(|e| distance_to_segment(p, e)).fold(f64::INFINITY, f64::min);
        at(cut.point_at(0.5)) - planned.path.radius().as_mm()
    };
    assert!(set_ups.cuts.len() > 1);
    for cut in &set_ups.cuts {
        let deepest = cut.steps.iter().fold(0.0_f64, |deepest, step| match step {
            Step::Cut { to_z, .. } => deepest.min(*to_z),
            _ => deepest,
        });
        let of = |kind: FeedKind| {
            cut.steps.iter().filter_map(move |step| match step {
                Step::Cut { segment, to_z, feed } if *feed == kind => Some((*segment, *to_z)),
                _ => None,
            })
        };
        let along = |segment: &Segment| segment.length() > 100.0;
        let on_it: Vec<(Segment, f64)> = of(FeedKind::Finish).filter(|(s, _)| along(s)).collect();
        assert!(on_it.len() > 3, "{on_it:?}");
        assert!(on_it.iter().all(|(s, z)| off(s).abs() < 1e-6 && (z - deepest).abs() < 1e-9));
        for kind in [FeedKind::Cut, FeedKind::LastPass] {
            let before: Vec<(Segment, f64)> = of(kind).filter(|(s, _)| along(s)).collect();
            assert!(before.len() > 3, "{before:?}");
            assert!(before.iter().all(|(s, _)| (off(s) - ALLOWANCE_MM).abs() < 1e-6), "{before:?}");
        }
    }
    // One file of one set-up otherwise, and none of them is proven.
    let bundle = Bundle::of(&set, DxfVersion::R2000).unwrap();
    let is_cut = |text: &str| text.contains("ON THE LINE");
    let texts: Vec<(String, String)> = bundle
        .artifacts()
        .iter()
        .filter(|artifact| artifact.name.starts_with("program"))
        .map(|of| (of.name.clone(), String::from_utf8(of.bytes.clone()).unwrap()))
        .filter(|(_, text)| is_cut(text))
        .collect();
    assert_eq!(texts.len(), set_ups.cuts.len());
    for (name, text) in &texts {
        let (before, on_it) = text.split_at(text.find("ON THE LINE").unwrap());
        let up = on_it.find("\nG0 Z").unwrap();
        let unfinished = format!("{before}ON THE LINE){}", &on_it[up..]);
        for changed in [unfinished, text.replace("F96.0", "F120.0")] {
            assert_ne!(changed, *text);
            let broken = bundle.proven(|artifact| {
                let is_it = artifact.name == *name;
                Ok(if is_it { changed.clone().into_bytes() } else { artifact.bytes.clone() })
            });
            assert_eq!(broken.expect_err(name).kind(), ErrorKind::Internal);
        }
    }
}

#[test]
fn a_set_with_a_finishing_pass_that_is_tampered_with_is_no_set() {
    let job = pattern(FINISH, "corners = \"bisector\"\nquantity = 2\nmarks = \"none\"").job();
    let set = Set::of(vec![Entry { job, times: 1 }], 0).unwrap();
    let bundle = Bundle::of(&set, DxfVersion::R2000).unwrap();
    let error = bundle.proven(|artifact| {
        let text = String::from_utf8_lossy(&artifact.bytes).into_owned();
        let faster = text.replace("F96.0", "F120.0");
        Ok(if artifact.name.starts_with("program") {
            faster.into_bytes()
        } else {
            artifact.bytes.clone()
        })
    });
    assert_eq!(error.expect_err("too fast on the line").kind(), ErrorKind::Internal);
}
