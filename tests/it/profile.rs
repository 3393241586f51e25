//! Profiles: every key's range at both ends, files of another kind, and the slips that are told.

use crate::common::{Stair, profile_with};
use seatcut::diagnostics::ErrorKind;
use seatcut::diagnostics::Severity;
use seatcut::pipeline::workup::Workup;
use seatcut::profile::{Machine, Material, Rules, SiteMatter, embedded};

fn read(name: &str, replacements: &[(&str, &str)]) -> Result<Machine, String> {
    let text = profile_with("machine", name, replacements);
    Machine::read("any", "any.toml", &text).map_err(|error| {
        assert_eq!(error.kind(), ErrorKind::Input);
        error.to_string()
    })
}

/// Both ends of a key's range are read, a little beyond each is refused with the key's name.
fn ends(name: &str, line: &str, key: &str, ends: [&str; 2], beyond: [&str; 2]) {
    let set =
        |value: &str| line.split_once(" = ").map(|(key, _)| format!("{key} = {value}")).unwrap();
    for value in ends {
        read(name, &[(line, &set(value))]).unwrap_or_else(|error| panic!("{error}"));
    }
    for value in beyond {
        let error = read(name, &[(line, &set(value))]).expect_err(value);
        assert!(error.contains(key) && error.contains("out of its range"), "{error}");
    }
}

/// As [`ends`], the values put in quotes.
fn quoted(name: &str, line: &str, key: &str, inside: [&str; 2], beyond: [&str; 2]) {
    let text = |value: &str| format!("\"{value}\"");
    let [least, most] = inside.map(text);
    let [low, high] = beyond.map(text);
    ends(name, line, key, [&least, &most], [&low, &high]);
}

#[test]
fn every_key_of_a_router_has_its_range() {
    let table = "router-table";
    let no_arcs =
        "# chord_tolerance = \"0.002 in\"     # give it only if the controller takes no arcs";
    for (value, is_read) in [
        ("0.002 mm", true),
        ("0.02 in", true),
        ("0.508 mm", true),
        ("0.0019 mm", false),
        ("0.021 in", false),
    ] {
        let found = read(table, &[(no_arcs, &format!("chord_tolerance = \"{value}\""))]);
        assert_eq!(found.is_ok(), is_read, "{value}: {found:?}");
        assert!(is_read || found.unwrap_err().contains("chord_tolerance"));
    }
    quoted(
        table,
        "safe_height = \"1/2 in\"",
        "safe_height",
        ["1 mm", "500 mm"],
        ["0.001 in", "501 mm"],
    );
    quoted(
        table,
        "rapid = \"600 in/min\"",
        "rapid",
        ["1 in/min", "5 m/s"],
        ["0.9 in/min", "5.1 m/s"],
    );
    quoted(
        table,
        "max_feed = \"400 in/min\"",
        "max_feed",
        ["1 in/min", "5 m/s"],
        ["0.9 in/min", "5.1 m/s"],
    );
    quoted(
        table,
        "acceleration = \"20 in/s2\"",
        "acceleration",
        ["1 mm/s2", "50 m/s2"],
        ["0.9 mm/s2", "51 m/s2"],
    );
    let deviation = "corner_slack = \"0.0004 in\"";
    quoted(table, deviation, "corner_slack", ["0.0001 mm", "5 mm"], ["0.00009 mm", "6 mm"]);
    quoted(
        table,
        "cutter = \"1/4 in\"",
        "router.cutter",
        ["0.5 mm", "60 mm"],
        ["0.25 mm", "61 mm"],
    );
    let flute = "flute_length = \"1 5/8 in\"";
    quoted(table, flute, "router.flute_length", ["1 mm", "300 mm"], ["0.9 mm", "301 mm"]);
    quoted(
        table,
        "chip_load = \"0.006 in\"",
        "router.chip_load",
        ["0.001 mm", "2 mm"],
        ["0.00001 in", "2.1 mm"],
    );
    quoted(
        table,
        "pass_depth = \"1/4 in\"",
        "router.pass_depth",
        ["0.01 in", "100 mm"],
        ["0.001 in", "101 mm"],
    );
    quoted(
        table,
        "cut_through = \"0.02 in\"",
        "router.cut_through",
        ["0.01 mm", "1 in"],
        ["0.009 mm", "1.01 in"],
    );
    ends(table, "\nspeed_rpm = 16000", "router.speed_rpm", ["500", "100000"], ["1", "100001"]);
    ends(table, "ramp_deg = 3.0", "router.ramp_deg", ["0.5", "45"], ["0.4", "46"]);
    ends(table, "spin_up_s = 3.0", "router.spin_up_s", ["0", "60"], ["-1", "61"]);
    quoted(
        table,
        "width = \"1/32 in\"",
        "router.mark.width",
        ["0.05 mm", "5 mm"],
        ["0.04 mm", "6 mm"],
    );
    quoted(
        table,
        "depth = \"0.02 in\"",
        "router.mark.depth",
        ["0.05 mm", "10 mm"],
        ["0.04 mm", "11 mm"],
    );
}

#[test]
fn the_feeds_of_a_cutter_and_what_goes_up_and_down_have_their_ranges() {
    let table = "router-table";
    let feeds = [
        ("entry_feed", "96 in/min"),
        ("plunge_feed", "48 in/min"),
        ("last_pass_feed", "192 in/min"),
    ];
    for (key, usual) in feeds {
        let shown = format!("# {key} = \"{usual}\"");
        let set = |value: &str| read(table, &[(&shown, &format!("{key} = \"{value}\" #"))]);
        // What the shipped profile shows is what stands in where the key is left out.
        let feeds = |machine: Machine| {
            let tool = machine.tool;
            [tool.entry_feed_mm_min(), tool.plunge_feed_mm_min(), tool.last_pass_feed_mm_min()]
        };
        let (said, left_out) = (feeds(set(usual).unwrap()), feeds(read(table, &[]).unwrap()));
        assert!(said.iter().zip(left_out).all(|(a, b)| (a - b).abs() < 1e-6), "{key}: {said:?}");
        for value in ["1 in/min", "192 in/min"] {
            set(value).unwrap_or_else(|error| panic!("{error}"));
        }
        // Faster than it cuts, in the machine's reach or beyond it.
        for value in ["0.9 in/min", "193 in/min", "500 in/min"] {
            let error = set(value).expect_err(value);
            assert!(error.contains(&format!("router.{key} is out of its range")), "{error}");
        }
        let error = set("500 in/min").unwrap_err();
        assert!(error.contains("192 in/min") && error.contains("chip_load"), "{error}");
        assert!(set("fast").unwrap_err().contains("cannot be read"));
    }
    for (key, shown, inside, beyond) in [
        ("rapid_z", "200 in/min", ["1 in/min", "5 m/s"], ["0.9 in/min", "5.1 m/s"]),
        ("acceleration_z", "10 in/s2", ["1 mm/s2", "50 m/s2"], ["0.9 mm/s2", "51 m/s2"]),
    ] {
        let line = format!("# {key} = \"{shown}\"");
        let set = |value: &str| read(table, &[(&line, &format!("{key} = \"{value}\" #"))]);
        for value in inside {
            set(value).unwrap_or_else(|error| panic!("{error}"));
        }
        for value in beyond {
            let error = set(value).expect_err(value);
            assert!(error.contains(&format!("{key} is out of its range")), "{error}");
        }
        let slack = "corner_slack = \"0.01 mm\"";
        let error = read("laser", &[(slack, &format!("{slack}\n{key} = \"{shown}\""))]);
        let error = error.expect_err("a beam is not lifted");
        assert!(error.contains(key) && error.contains("does nothing beside [laser]"), "{error}");
    }
}

#[test]
fn the_depth_of_pin_holes_has_its_range_and_goes_no_deeper_than_the_cutter() {
    let safe = "safe_height = \"1/2 in\"";
    let set =
        |name: &str, depth: &str| read(name, &[(safe, &format!("pin_depth = {depth}\n{safe}"))]);
    for depth in ["\"1/8 in\"", "\"1 in\"", "\"12 mm\""] {
        set("router-table", depth).unwrap_or_else(|error| panic!("{error}"));
    }
    for depth in ["\"3 mm\"", "\"4.1 in\""] {
        let error = set("router-table", depth).expect_err(depth);
        assert!(error.contains("pin_depth is out of its range"), "{error}");
    }
    let error = set("router-table", "\"3 in\"").unwrap_err();
    assert!(error.contains("pin_depth") && error.contains("flute_length"), "{error}");
    assert!(set("router-table", "true").is_err());
    let slack = "corner_slack = \"0.01 mm\"";
    let error = read("laser", &[(slack, &format!("pin_depth = \"1/2 in\"\n{slack}"))]);
    let error = error.expect_err("a beam bores no table");
    assert!(error.contains("pin_depth does nothing beside [laser]"), "{error}");
}

#[test]
fn every_key_of_a_laser_has_its_range() {
    let lines = "laser-lines";
    quoted(lines, "kerf = \"0.2 mm\"", "laser.kerf", ["0.02 mm", "0.1 in"], ["0.019 mm", "20 mm"]);
    quoted(lines, "lead = \"3 mm\"", "laser.lead", ["0.1 mm", "50 mm"], ["0.001 mm", "51 mm"]);
    ends(lines, "\nfull_power = 1000", "laser.full_power", ["10", "100000"], ["1", "100001"]);
    ends(lines, "mark_power = 0.15", "laser.mark_power", ["0.001", "0.5"], ["0.0009", "0.9"]);
    // No beam goes through faster than it cuts.
    let pierce = "pierce_feed = \"4 mm/s\"";
    quoted(lines, pierce, "laser.pierce_feed", ["1 in/min", "15 mm/s"], ["0.001 mm/s", "99 mm/s"]);
    quoted(
        lines,
        "\nfeed = \"15 mm/s\"",
        "laser.feed",
        ["4 mm/s", "99 mm/s"],
        ["0.001 mm/s", "9000 mm/s"],
    );
    // The S word that scores has a digit left: 0.05 of 10 is none.
    let error = read(
        lines,
        &[("\nfull_power = 1000", "\nfull_power = 10"), ("mark_power = 0.15", "mark_power = 0.05")],
    );
    assert!(error.unwrap_err().contains("laser.mark_power"));
}

#[test]
fn a_profile_of_another_kind_is_told_with_its_kind_and_the_key_that_wanted_another() {
    let plywood = embedded(Some("material"), "plywood-18").unwrap().text;
    let error = Machine::read("any", "any.toml", &plywood).unwrap_err().to_string();
    assert!(
        error.contains("cut.machine")
            && error.contains("\"material\"")
            && error.contains("\"machine\""),
        "{error}"
    );
    let router = embedded(Some("machine"), "router-table").unwrap().text;
    let error = Material::read("any", "any.toml", &router).unwrap_err().to_string();
    assert!(error.contains("cut.material") && error.contains("\"machine\""), "{error}");
    // Even where every key would do.
    let error = read("router-table", &[("kind = \"machine\"", "kind = \"material\"")]).unwrap_err();
    assert!(error.contains("cut.machine") && error.contains("line 2"), "{error}");
    let rules = Stair {
        rules: "./any.toml".into(),
        files: vec![("./any.toml".into(), router)],
        ..Stair::default()
    };
    let error = rules.try_job().unwrap_err().to_string();
    assert!(error.contains("rules wants a rule set"), "{error}");
}

/// The severity of a finding about a pattern on a machine with changes.
fn severity(
    name: &str,
    material: &str,
    code: &str,
    replacements: &[(&str, &str)],
) -> Option<Severity> {
    let cut = format!("makes = \"pattern\"\nmachine = \"./any.toml\"\nmaterial = \"{material}\"");
    let files = vec![("./any.toml".to_string(), profile_with("machine", name, replacements))];
    let findings = Workup::of(&Stair { cut, files, ..Stair::default() }.job()).findings;
    findings.iter().find(|finding| finding.code.name() == code).map(|finding| finding.severity)
}

#[test]
fn slips_of_a_routers_profile_are_told_and_their_neighbours_are_not() {
    use Severity::{Refusal, Warning};
    let on = |code, from, to| severity("router-table", "board-2x12", code, &[(from, to)]);
    let (pass, through, safe) =
        ("pass_depth = \"1/4 in\"", "cut_through = \"0.02 in\"", "safe_height = \"1/2 in\"");
    // 1.52 in in even passes: 3 of 0.507 in, 4 of 0.38 in, 5 of 0.304 in.
    assert_eq!(on("pass-deep", pass, "pass_depth = \"2 in\""), Some(Refusal));
    assert_eq!(on("pass-deep", pass, "pass_depth = \"0.51 in\""), Some(Warning));
    assert_eq!(on("pass-deep", pass, "pass_depth = \"3/8 in\""), None);
    assert_eq!(on("cut-through-deep", through, "cut_through = \"0.9 in\""), Some(Refusal));
    assert_eq!(on("cut-through-deep", through, "cut_through = \"0.07 in\""), Some(Warning));
    assert_eq!(on("cut-through-deep", through, "cut_through = \"1/16 in\""), None);
    assert_eq!(on("safe-height-low", safe, "safe_height = \"2 mm\""), Some(Warning));
    assert_eq!(on("safe-height-low", safe, "safe_height = \"1/8 in\""), None);
    let chip = "chip_load = \"0.006 in\"";
    assert_eq!(on("chip-load-odd", chip, "chip_load = \"0.0004 in\""), Some(Warning));
    assert_eq!(on("chip-load-odd", chip, "chip_load = \"0.021 in\""), Some(Warning));
    assert_eq!(on("chip-load-odd", chip, "chip_load = \"0.0005 in\""), None);
    assert_eq!(on("feed-too-slow", chip, "chip_load = \"0.001 mm\""), None);
    let crawl = [(chip, "chip_load = \"0.001 mm\""), ("\nspeed_rpm = 16000", "\nspeed_rpm = 6000")];
    assert_eq!(severity("router-table", "board-2x12", "feed-too-slow", &crawl), Some(Refusal));
    assert_eq!(on("flutes-many", "flutes = 2", "flutes = 12"), Some(Warning));
    assert_eq!(on("flutes-many", "flutes = 2", "flutes = 6"), None);
    assert_eq!(on("cutter-slender", "cutter = \"1/4 in\"", "cutter = \"0.2 in\""), Some(Warning));
    assert_eq!(on("cutter-slender", "cutter = \"1/4 in\"", "cutter = \"0.21 in\""), None);
    assert_eq!(on("ramp-steep", "ramp_deg = 3.0", "ramp_deg = 45"), Some(Warning));
    assert_eq!(on("ramp-steep", "ramp_deg = 3.0", "ramp_deg = 10"), None);
    assert_eq!(on("mark-shape", "width = \"1/32 in\"", "width = \"0.002 in\""), Some(Warning));
    assert_eq!(on("mark-shape", "width = \"1/32 in\"", "width = \"0.005 in\""), None);
}

#[test]
fn a_figure_in_the_other_unit_is_told() {
    use Severity::{Refusal, Warning};
    let on = |from, to| severity("router-table", "hardboard-6", "unit-slip", &[(from, to)]);
    assert_eq!(on("cutter = \"1/4 in\"", "cutter = \"1 mm\""), Some(Refusal));
    assert_eq!(on("cutter = \"1/4 in\"", "cutter = \"2 in\""), Some(Refusal));
    assert_eq!(on("cutter = \"1/4 in\"", "cutter = \"1/16 in\""), None);
    assert_eq!(on("cutter = \"1/4 in\"", "cutter = \"1 in\""), None);
    assert_eq!(on("chip_load = \"0.006 in\"", "chip_load = \"0.006 mm\""), Some(Warning));
    assert_eq!(on("travel = { x = \"96 in\"", "travel = { x = \"96 mm\""), Some(Warning));
    assert_eq!(on("decimals = 4 ", "decimals = 5 "), None);
}

#[test]
fn slips_of_a_lasers_profile_are_told_and_their_neighbours_are_not() {
    use Severity::{Refusal, Warning};
    let on = |code, from, to| severity("laser-lines", "hardboard-3", code, &[(from, to)]);
    assert_eq!(on("kerf-wide", "kerf = \"0.2 mm\"", "kerf = \"1.1 mm\""), Some(Warning));
    assert_eq!(on("kerf-wide", "kerf = \"0.2 mm\"", "kerf = \"1 mm\""), None);
    assert_eq!(on("unit-slip", "kerf = \"0.2 mm\"", "kerf = \"2 mm\""), Some(Refusal));
    assert_eq!(on("unit-slip", "kerf = \"0.2 mm\"", "kerf = \"0.02 mm\""), Some(Refusal));
    assert_eq!(
        on("power-too-high", "\nfull_power = 1000", "\nmax_power = 255\nfull_power = 1000"),
        Some(Refusal)
    );
    assert_eq!(
        on("power-too-high", "\nfull_power = 1000", "\nmax_power = 1000\nfull_power = 1000"),
        None
    );
}

#[test]
fn a_program_of_too_many_moves_is_refused_with_what_to_change() {
    // 30 holes of 0.29 in with a cutter of 1/4 in, let down at half a degree.
    let changes = [("ramp_deg = 3.0", "ramp_deg = 0.5")];
    let cut = "makes = \"stringers\"\nmachine = \"./flat.toml\"\nmaterial \
        = \"plywood-18\"\nquantity = 6\nlayers = 3\n\
               dowel = \"0.29 in\"";
    let stair = Stair {
        rules: "us-osha".into(),
        rise: "total = \"21 in\"\nrisers = 3".into(),
        board: "width = \"11 1/4 in\"\nthickness = \"54 mm\"".into(),
        cut: cut.into(),
        files: vec![("./flat.toml".into(), profile_with("machine", "router-table", &changes))],
        ..Stair::default()
    };
    let entry = seatcut::pipeline::set::Entry { job: stair.job(), times: 1 };
    let set = seatcut::pipeline::set::Set::of(vec![entry], 0).unwrap();
    let findings: Vec<_> = set.all_findings().collect();
    assert!(
        findings.iter().any(|f| f.code.name() == "program-long" && f.refuses()),
        "{findings:?}"
    );
}

/// A rule set with one item that only the site can show.
fn asking(keys: &str) -> Result<Rules, seatcut::diagnostics::Error> {
    let item = format!("[[unchecked]]\n{keys}\nlimit = \"invented\"\nsource = \"invented\"\n");
    Rules::read(
        "own",
        "own.toml",
        &format!("kind = \"rules\"\nabout = \"invented\"\naim = \"7 in\"\n{item}"),
    )
}

#[test]
fn what_only_the_site_shows_is_named_by_a_key_and_any_other_word_is_refused_with_the_list() {
    let item = asking("about = \"clear-width\"").unwrap().unchecked.remove(0);
    assert_eq!((item.about, item.what()), (SiteMatter::ClearWidth, "clear width"));
    let item =
        asking("about = \"handrail\"\nwhat = \"rail on both sides\"").unwrap().unchecked.remove(0);
    assert_eq!((item.about, item.what()), (SiteMatter::Handrail, "rail on both sides"));
    let error = asking("about = \"hedroom\"").unwrap_err().to_string();
    for word in [
        "own.toml, line 5",
        "hedroom",
        "clear-width",
        "stringer-spacing",
        "live-load",
        "other",
        "\"headroom\"",
    ] {
        assert!(error.contains(word), "{word}: {error}");
    }
    let error = asking("what = \"headroom\"").unwrap_err().to_string();
    assert!(error.contains("no `about`"), "{error}");
}

#[test]
fn anything_else_that_only_the_site_shows_has_to_say_what_it_is() {
    assert!(asking("about = \"other\"\nwhat = \"gate at the head\"").is_ok());
    let error = asking("about = \"other\"").unwrap_err().to_string();
    assert!(error.contains("what = "), "{error}");
}
