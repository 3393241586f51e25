//! Stairs of several flights with landings between them.

use crate::common::seatcut;
use seatcut::diagnostics::{Finding, codes};
use seatcut::job::{Job, OrderHead, read_job};
use seatcut::pipeline::set::{Entry, OrderFacts, Set};
use seatcut::pipeline::workup::Workup;
use seatcut::profile::{Rules, embedded, embedded_names};
use seatcut::units::Length;

const CORNER: &str = include_str!("../../output-samples/corner-deck/job.toml");

fn read(text: &str) -> Job {
    read_job("job.toml", text, &|path| panic!("{path}")).unwrap_or_else(|error| panic!("{error}"))
}

fn set(text: &str) -> Set {
    Set::of(vec![Entry { job: read(text), times: 1 }], 0).unwrap_or_else(|error| panic!("{error}"))
}

fn refused(text: &str) -> String {
    let job = read_job("job.toml", text, &|path| panic!("{path}"));
    match job.and_then(|job| Set::of(vec![Entry { job, times: 1 }], 0)) {
        Ok(_) => panic!("{text} is taken"),
        Err(error) => error.to_string(),
    }
}

fn said(set: &Set, code: &str) -> Vec<Finding> {
    set.all_findings().filter(|finding| finding.code.name().eq(code)).cloned().collect()
}

#[test]
fn every_flight_is_a_job_of_the_set_and_all_risers_are_alike() {
    let set = set(CORNER);
    assert!(!set.refused(), "{:?}", set.all_findings().collect::<Vec<_>>());
    let [lower, upper] = &set.members[..] else { panic!("{} flights", set.members.len()) };
    let unit = Length::inches(114.5 / 16.0);
    let risers = [lower, upper].map(|of| of.workup.flight.finished_risers()).concat();
    assert_eq!(risers.len(), 16);
    assert!(risers.iter().all(|riser| riser.is_within(Length::mm(1e-9), unit)));
    // The landing's finish of 1 in is laid after the upper flight stands: its drop is what a tread
    // is thicker than that. The lower flight hangs under the landing's finish, not the floor's.
    assert!(upper.workup.flight.drop().is_within(Length::mm(1e-9), Length::ZERO));
    assert!(lower.workup.flight.drop().is_within(Length::mm(1e-9), Length::inches(1.0)));
    assert_eq!(lower.job().head.rim_depth, Some(Length::inches(9.25)));
    assert_eq!(upper.job().head.rim_depth, Some(Length::inches(11.25)));
    assert_ne!(lower.workup.fingerprint, upper.workup.fingerprint);
    // Another depth of the landing is another stair, though no stringer of it is another.
    let deeper = Set::of(vec![Entry { job: read(&CORNER.replace("40 in", "44 in")), times: 1 }], 0);
    assert_ne!(deeper.unwrap().members[0].workup.fingerprint, lower.workup.fingerprint);
}

#[test]
fn a_flight_that_is_too_high_is_told_which_landings_would_do() {
    let one = CORNER.split("[[landing]]").next().unwrap().to_string()
        + "[cut]"
        + CORNER.split("[cut]").nth(1).unwrap();
    let high = one.replace("114 1/2 in", "164 1/2 in").replace("risers = 16", "risers = 23");
    let workup = Workup::of(&read(&high));
    let would = workup.findings.iter().find(|of| of.is::<codes::LandingsWouldDo>()).unwrap();
    let options = would.sentence();
    assert!(options.contains("2 flights of 12 and 11 risers"), "{options}");
    assert!(options.contains("(after = 12)"), "{options}");
    assert!(options.contains("3 flights of 8, 8 and 7 risers"), "{options}");
    assert!(workup.refused());
    // What is told is what does.
    let landing =
        "[[landing]]\nafter = 12\ndepth = \"40 in\"\nfinish = \"1 in\"\nturn = \"back\"\n";
    let parted = set(&high.replace("[cut]", &format!("{landing}[cut]")));
    assert!(
        said(&parted, "flight-rise-high").is_empty()
            && said(&parted, "landings-would-do").is_empty()
    );
    // A landing at the wrong place leaves a flight that is too high, and that is told with what
    // would.
    let low = landing.replace("after = 12", "after = 2");
    let parted = set(&high.replace("[cut]", &format!("{low}[cut]")));
    assert_eq!(said(&parted, "flight-rise-high").len(), 0, "21 risers of 7 1/8 in are 150 3/16 in");
    let higher = high.replace("164 1/2 in", "174 in").replace("risers = 23", "risers = 24");
    let parted = set(&higher.replace("[cut]", &format!("{low}[cut]")));
    assert_eq!(said(&parted, "flight-rise-high").len(), 1);
    assert_eq!(said(&parted, "landings-would-do").len(), 1);
}

#[test]
fn a_landing_less_deep_than_the_rule_set_or_a_turn_asks_is_refused_and_the_first_can_be_waived() {
    let straight = CORNER.replace("turn = \"left\"", "turn = \"straight\"");
    let shallow = straight.replace("depth = \"40 in\"", "depth = \"35 1/2 in\"");
    let found = said(&set(&shallow), "landing-short");
    assert!(found.len() == 1 && found[0].refuses(), "{found:?}");
    assert!(found[0].sentence().contains("1/2 in") && found[0].place.to_string() == "landing 1");
    let waived = format!("{shallow}[[waive]]\nrule = \"landing-short\"\nreason = \"invented\"\n");
    let taken = set(&waived);
    assert!(!taken.refused() && said(&taken, "waiver-unused").is_empty());
    let turned = said(
        &set(&CORNER.replace("depth = \"40 in\"", "depth = \"35 1/2 in\"")),
        "landing-turn-short",
    );
    assert!(turned.len() == 1 && turned[0].refuses());
    assert!(
        said(&set(&straight.replace("depth = \"40 in\"", "depth = \"36 in\"")), "landing-short")
            .is_empty()
    );
}

#[test]
fn what_is_just_allowed_is_allowed() {
    // As deep as the next flight is wide: 36 in.
    let deep = set(&CORNER.replace("depth = \"40 in\"", "depth = \"36 in\""));
    assert!(said(&deep, "landing-turn-short").is_empty());
    // Two flights of 18 risers where 18 are the most.
    let one = CORNER.split("[[landing]]").next().unwrap().to_string();
    let high = one
        .replace("us-irc-2021", "de-private")
        .replace("114 1/2 in", "252 in")
        .replace("risers = 16", "risers = 36");
    let workup = Workup::of(&read(&high));
    let would = workup.findings.iter().find(|of| of.is::<codes::LandingsWouldDo>()).unwrap();
    assert!(would.sentence().contains("2 flights of 18 and 18 risers"), "{}", would.sentence());
}

/// A flush flight lands with its top tread, before the framing; and what was read across the floor
/// is the lowest flight's, less the risers above it.
#[test]
fn a_flush_landings_framing_and_the_floor_across_are_those_of_the_lowest_flight() {
    let flush = CORNER
        .replace("meets = \"one-down\"", "meets = \"flush\"\ntop_tread = \"9 in\"")
        .replace("rim_depth = \"11 1/4 in\"\noverhang = \"1 in\"", "rim_depth = \"11 1/4 in\"");
    let whole = set(&flush).stairways[0].whole.clone();
    assert!((whole.landings[0].framing_back.as_inches() - (0.75 + 9.0)).abs() < 1e-9);
    let readings = "[[across]]\noffset = \"0 in\"\ntotal = \"114 1/2 in\"\n[[across]]\noffset \
        = \"36 \
        in\"\ntotal = \"114 1/4 in\"\n";
    let parted = set(&CORNER.replace("[[landing]]", &format!("{readings}[[landing]]")));
    let lowest = &parted.members[0].job().around.across;
    // Nine risers of sixteen are the lowest flight's.
    let own = 114.5 / 16.0 * 9.0;
    for (reading, less) in lowest.iter().zip([0.0, 0.25]) {
        assert!((reading.total.as_inches() - (own - less)).abs() < 1e-9, "{lowest:?}");
    }
}

#[test]
fn a_waiver_that_one_flight_needs_is_idle_in_none() {
    // Nine risers are a flight too long for a notched 2x12 without support, seven are not.
    let idle = said(
        &set(&format!("{CORNER}[[waive]]\nrule = \"head-bears-little\"\nreason = \"invented\"\n")),
        "waiver-unused",
    );
    assert_eq!(idle.len(), 2, "a waiver of nothing is idle in both");
    let open = CORNER.replace("riser_board = \"3/4 in\"", "riser_board = \"0 in\"");
    let open = open
        .replace("total = \"114 1/2 in\"", "total = \"86 in\"")
        .replace("risers = 16", "risers = 12");
    let open = open
        .replace("after = 9", "after = 3")
        .replace("next_on = \"framing\"", "next_on = \"finish\"");
    let gaps = set(&open);
    // The gaps of three risers end 20 1/2 in up; those of the upper flight lie higher than 30 in.
    let low: Vec<bool> = gaps
        .members
        .iter()
        .map(|of| of.workup.findings.iter().any(|found| found.is::<codes::OpenGapHigh>()))
        .collect();
    assert_eq!(low, [false, true]);
    let waived =
        set(&format!("{open}[[waive]]\nrule = \"open-gap-high\"\nreason = \"invented\"\n"));
    assert!(said(&waived, "waiver-unused").is_empty(), "{:?}", said(&waived, "waiver-unused"));
}

#[test]
fn a_flight_that_lies_over_another_is_told() {
    let two = CORNER.replace("turn = \"left\"", "turn = \"right\"");
    let back = "[[landing]]\nafter = 5\ndepth = \"40 in\"\nfinish = \"1 in\"\nturn = \"right\"\n";
    let third =
        "[[landing]]\nafter = 7\ndepth = \"36 in\"\nfinish = \"1 in\"\nturn = \"right\"\n[cut]";
    let round = two.replace("[cut]", &format!("{back}{third}"));
    let cross = said(&set(&round.replace("after = 9", "after = 3")), "flights-cross");
    assert!(cross.iter().any(|found| found.sentence().contains("flight 1")), "{cross:?}");
    assert!(said(&set(CORNER), "flights-cross").is_empty());
    assert!(
        said(&set(&CORNER.replace("turn = \"left\"", "turn = \"back\"")), "flights-cross")
            .is_empty()
    );
}

#[test]
fn what_does_not_go_with_landings_is_told_by_its_key() {
    let with = |more: &str| refused(&format!("{CORNER}{more}"));
    let width = CORNER.replace("[stair]\nwidth = \"36 in\"\nmost_spacing = \"18 in\"\n", "");
    assert!(refused(&width).contains("how wide the stair is"));
    assert!(with("[built]\nheights = [\"7 in\"]\n").contains("[[landing]] and [built]"));
    let ground = CORNER.replace("total = \"114 1/2 in\"\n", "");
    let ground = format!("{ground}[ground]\nat_head = \"114 1/2 in\"\nslope = \"1 in 20\"\n");
    assert!(refused(&ground).contains("[[landing]] and [ground]"));
    let load = format!("{CORNER}[load]\nclear_span = \"6 ft\"\n");
    assert!(refused(&load).contains("load.clear_span"));
    let long = CORNER.replace("Corner deck stair", &"W".repeat(45));
    assert!(refused(&long).contains("43 characters"));
    for (line, with, words) in [
        ("after = 9", "after = 16", "which is the floor itself"),
        ("after = 9", "after = 20", "above the upper floor"),
        ("after = 9", "after = 15", "the last flight has one riser"),
        ("after = 9", "after = 1", "no tread, and no stringer"),
        ("after = 9", "after = \"9\"", "after"),
        ("depth = \"40 in\"", "depth = 40", "40"),
        ("depth = \"40 in\"", "", "depth"),
        ("turn = \"left\"", "turn = \"around\"", "straight"),
        ("turn = \"left\"", "turn = \"left\"\nwell = \"2 in\"", "turn back only"),
        ("turn = \"left\"", "turn = \"left\"\nlanding = \"2 in\"", "landing"),
    ] {
        let error = refused(&CORNER.replace(line, with));
        assert!(error.contains(words) && error.contains("job.toml, line"), "{with}: {error}");
    }
}

#[test]
fn what_is_asked_of_landings_stands_in_the_rule_sets() {
    // A narrow stair and a wide one, in inches or mm as the set counts.
    let asked: &[(&str, f64, f64)] = &[
        ("au-private", 750.0, 750.0),
        ("au-public", 750.0, 750.0),
        ("ca-on-private", 860.0, 860.0),
        ("ca-private", 860.0, 860.0),
        ("ca-public", 800.0, 1500.0),
        ("de-general", 800.0, 1500.0),
        ("de-private", 800.0, 1500.0),
        ("ie-private", 800.0, 1500.0),
        ("nz-common", 900.0, 900.0),
        ("nz-private", 900.0, 900.0),
        ("nz-private-secondary", 900.0, 900.0),
        ("uk-general", 1200.0, 1200.0),
        ("uk-private", 800.0, 1500.0),
        ("uk-utility", 1200.0, 1200.0),
        ("us-ibc", 800.0, 48.0 * 25.4),
        ("us-ibc-dwelling", 800.0, 48.0 * 25.4),
        ("us-irc-2018", 914.4, 914.4),
        ("us-irc-2021", 914.4, 914.4),
        ("us-irc-2024", 914.4, 914.4),
        ("us-osha", 762.0, 762.0),
        ("us-osha-site", 762.0, 762.0),
    ];
    let mut seen = 0;
    for (_, name) in embedded_names().filter(|(kind, _)| *kind == "rules") {
        let source = embedded(Some("rules"), name).unwrap();
        let rules = Rules::read(name, &source.file, &source.text).unwrap();
        let row = asked.iter().find(|(of, ..)| *of == name);
        assert_eq!(rules.landing.is_some(), row.is_some(), "{name}");
        let (Some(rule), Some((_, narrow, wide))) = (rules.landing, row) else { continue };
        for (width, least) in [(800.0, narrow), (1500.0, wide)] {
            assert!((rule.least(Length::mm(width)).as_mm() - least).abs() < 1e-9, "{name} {width}");
        }
        seen += 1;
    }
    assert_eq!(seen, asked.len());
}

#[test]
fn the_command_solves_makes_and_proves_the_whole_and_refuses_what_is_of_one_flight() {
    let scratch = tempfile::tempdir().unwrap();
    let job = scratch.path().join("job.toml");
    std::fs::write(&job, CORNER).unwrap();
    let job = job.to_str().unwrap();
    let solved = seatcut(&["solve", job]);
    let words = String::from_utf8_lossy(&solved.stdout).into_owned();
    assert!(solved.status.success(), "{words}");
    for line in [
        "The whole stair",
        "Landing 1, after 9 risers",
        "Story pole of the whole stair",
        "flight 2 of 2",
    ] {
        assert!(words.contains(line), "{line} in {words}");
    }
    let json = seatcut(&["solve", job, "--json"]).stdout;
    let report: serde_json::Value = serde_json::from_slice(&json).unwrap();
    assert_eq!(report["schema"], "seatcut.set/1");
    let stair = &report["stairs"][0];
    assert_eq!(stair["flights"][1]["job"], report["jobs"][1]["job"]["title"]);
    assert_eq!(stair["surfaces_mm"].as_array().unwrap().len(), 16);
    let out = scratch.path().join("set");
    let made = seatcut(&["make", job, "-o", out.to_str().unwrap()]);
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
    for file in ["stair.svg", "stair.pdf", "corner-deck-stair-flight-2-of-2/nominal.dxf"] {
        assert!(out.join(file).is_file(), "{file}");
    }
    for file in ["program-2.nc", "corner-deck-stair-flight-1-of-2/nominal.dxf"] {
        let verified = seatcut(&["verify", job, out.join(file).to_str().unwrap()]);
        assert_eq!(verified.status.code(), Some(0), "{file}: {verified:?}");
    }
    let asked: [&[&str]; 4] = [
        &["order", job, "-o", "order"],
        &["pages", job, "-o", "pages.pdf"],
        &["fit", job],
        &["diff", job, job],
    ];
    for command in asked {
        let run = seatcut(command);
        let error = String::from_utf8_lossy(&run.stderr).into_owned();
        assert_eq!(run.status.code(), Some(4), "{command:?}: {error}");
        assert!(
            error.contains("landings") && error.contains("--flight 1 to --flight 2"),
            "{error}"
        );
    }
}

#[test]
fn a_flight_is_ordered_printed_checked_and_compared_by_its_number() {
    let scratch = tempfile::tempdir().unwrap();
    let job = scratch.path().join("job.toml");
    std::fs::write(&job, CORNER).unwrap();
    let job = job.to_str().unwrap();
    let at = |name: &str| scratch.path().join(name).to_str().unwrap().to_string();
    let run = |arguments: &[&str]| {
        let run = seatcut(arguments);
        let said = String::from_utf8_lossy(&[run.stdout, run.stderr].concat()).into_owned();
        (run.status.code(), said)
    };
    for number in [1, 2] {
        let (flight, order) = (number.to_string(), at(&format!("order-{number}")));
        let (code, said) = run(&["order", job, "--flight", &flight, "-o", &order]);
        assert_eq!(code, Some(0), "{said}");
        // The very outline that the set has of that flight.
        let drawing = std::fs::read_dir(&order).unwrap().map(|file| file.unwrap().path());
        let is_part = |path: &std::path::PathBuf| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            name.ends_with(".dxf") && !name.contains("skirt")
        };
        let drawing = drawing.into_iter().find(is_part);
        let (code, said) = run(&["verify", job, drawing.unwrap().to_str().unwrap()]);
        assert_eq!(code, Some(0), "{said}");
        let pages = at(&format!("pages-{number}.pdf"));
        let (code, said) = run(&["pages", job, "--flight", &flight, "-o", &pages]);
        assert_eq!(code, Some(0), "{said}");
    }
    let (code, said) = run(&["diff", job, job, "--flight", "2"]);
    assert!(code == Some(0) && said.contains("nothing moved"), "{said}");
    let (_, said) = run(&["fit", job, "--flight", "2"]);
    assert!(!said.contains("as a whole"), "{said}");
    for number in ["0", "3"] {
        let (code, said) = run(&["diff", job, job, "--flight", number]);
        assert!(code != Some(0) && said.contains("no such flight"), "{said}");
    }
}

#[test]
fn a_stair_laid_out_by_hand_has_its_papers_too() {
    let scratch = tempfile::tempdir().unwrap();
    let job = scratch.path().join("job.toml");
    let text = CORNER.split("[cut]").next().unwrap();
    std::fs::write(&job, text).unwrap();
    let out = scratch.path().join("set");
    let made = seatcut(&["make", job.to_str().unwrap(), "-o", out.to_str().unwrap()]);
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
    assert!(out.join("stair.pdf").is_file());
}

/// The flights of a stair are all of the line that lists it, and what follows it is of its own.
#[test]
fn a_stair_of_flights_and_what_follows_it_have_each_their_own_customer() {
    let line =
        |customer: &str| OrderHead { customer: Some(customer.into()), ..OrderHead::default() };
    let porch = read(&CORNER.split("[[landing]]").next().map(one_flight).unwrap());
    let entries = [porch.clone(), read(CORNER), Job { title: "Another porch".into(), ..porch }]
        .map(|job| Entry { job, times: 1 });
    let lines = ["Harbour Inn", "Mill House", "Quay Store"].map(line);
    let set = Set::of(entries.to_vec(), 0).unwrap().for_order(Some(OrderFacts::of(lines.to_vec())));
    let customers: Vec<Option<String>> =
        (0..set.members.len()).map(|member| set.line_of(member).customer).collect();
    let own = ["Harbour Inn", "Mill House", "Mill House", "Quay Store"];
    assert_eq!(customers, own.map(|customer| Some(customer.to_string())));
    assert_eq!(set.whose([1, 2]).in_a_line(), "Customer Mill House");
    assert_eq!(
        set.all_whose().lines(),
        ["Customer Harbour Inn", "Customer Mill House", "Customer Quay Store"]
    );
}

/// The job of a stair without its landings, and half as high.
fn one_flight(begin: &str) -> String {
    let one = begin.to_string() + "[cut]" + CORNER.split("[cut]").nth(1).unwrap();
    one.replace("114 1/2 in", "57 1/4 in").replace("risers = 16", "risers = 8").replacen(
        "title = \"",
        "title = \"Porch of ",
        1,
    )
}

/// Treads of 36 in for both flights, sold in one length.
const TREADS: &str = "\n[steps]\nlengths = [\"16 ft\"]\n";

/// Boards of one kind are one purchase for all flights: what is left of one flight's boards serves
/// the other.
#[test]
fn the_boards_of_treads_are_bought_once_for_all_flights() {
    for text in [CORNER.to_string(), CORNER.split("[cut]").next().unwrap().to_string()] {
        let set = set(&format!("{}{TREADS}", text.trim_end()));
        assert!(!set.refused(), "{:?}", set.all_findings().collect::<Vec<_>>());
        let own = |member: usize| &set.members[member].workup.beside.boards;
        let treads = set.step_boards.iter().find(|of| of.boards.what == "treads").unwrap();
        assert_eq!(treads.members, [0, 1]);
        let wanted = |member: usize| {
            let of = own(member).iter().find(|of| of.what == "treads").unwrap();
            assert!(of.with_others && of.buy.is_empty(), "{of:?}");
            of.pieces.iter().map(|piece| piece.1).sum::<usize>()
        };
        let count = |of: &[(Length, usize)]| of.iter().map(|piece| piece.1).sum::<usize>();
        assert_eq!(count(&treads.boards.pieces), wanted(0) + wanted(1));
        // By hand: five pieces to a board of 16 ft, and no board for each flight that is begun
        // alone.
        let length = treads.boards.pieces[0].0.as_inches();
        let each = (192.0 / length).floor() as usize;
        let all = (wanted(0) + wanted(1)).div_ceil(each);
        let apart = wanted(0).div_ceil(each) + wanted(1).div_ceil(each);
        assert!(all <= apart, "{all} {apart}");
        assert_eq!(count(&treads.boards.buy), all);
    }
}

#[test]
fn what_is_bought_for_all_flights_stands_on_each_sheet_once_and_in_the_report() {
    let scratch = tempfile::tempdir().unwrap();
    let job = scratch.path().join("job.toml");
    let text = CORNER.split("[cut]").next().unwrap();
    std::fs::write(&job, format!("{}{TREADS}", text.trim_end())).unwrap();
    let out = scratch.path().join("set");
    let made = seatcut(&["make", job.to_str().unwrap(), "-o", out.to_str().unwrap()]);
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
    let report = std::fs::read_to_string(out.join("report.json")).unwrap();
    let report: serde_json::Value = serde_json::from_str(&report).unwrap();
    let shared = report["step_boards"].as_array().unwrap();
    assert!(
        shared.iter().any(|of| of["what"] == "treads" && of["jobs"][1].is_string()),
        "{shared:?}"
    );
    let folders = std::fs::read_dir(&out).unwrap().map(|file| file.unwrap().path());
    let pages: Vec<String> =
        folders.filter_map(|path| std::fs::read_to_string(path.join("bench.html")).ok()).collect();
    assert_eq!(pages.len(), 2);
    for page in pages {
        let told = page.split("To buy once for all of these").last().unwrap();
        assert!(told.contains("14 of 36 in") && told.contains("3 of 16 ft"), "{told}");
    }
}

/// Jobs that are no stair together share boards of one width only.
#[test]
fn jobs_share_boards_of_treads_where_they_are_as_wide() {
    let porch = include_str!("../../output-samples/side-porch/job.toml");
    let shared = |cut: &str, wood: &str| {
        let other = porch
            .replace("Side porch, along the wall", "Back porch")
            .replace("[steps]", &format!("[steps]\n{wood}"))
            .replace("cut = \"10 3/8 in\"", &format!("cut = \"{cut}\""));
        let jobs = [porch, &other].map(|text| Entry { job: read(text), times: 1 });
        let set = Set::of(jobs.into(), 0).unwrap();
        set.step_boards.iter().map(|of| of.boards.what).collect::<Vec<_>>()
    };
    assert_eq!(shared("10 3/8 in", ""), ["treads", "riser boards", "skirts"]);
    // Their skirts are as wide as the wall skirt's board.
    assert_eq!(shared("10 1/2 in", ""), ["riser boards", "skirts"]);
    // Boards of another wood are bought apart.
    assert_eq!(shared("10 3/8 in", "wood = \"white oak\""), ["skirts"]);
    assert_eq!(shared("10 3/8 in", "riser_wood = \"poplar\""), ["treads", "skirts"]);
}
