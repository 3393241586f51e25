//! Every finding of check, compensate and plan, provoked on purpose, and the neighbour that does
//! not provoke it.

use crate::common::{Stair, profile_with, tread};
use seatcut::diagnostics::{Code, Finding, Millimetres, Severity, Value, Waivable, codes, table};
use seatcut::pipeline::set::{Entry, Set};
use seatcut::pipeline::workup::Workup;
use seatcut::units::Tape;

fn findings(stair: &Stair) -> Vec<Finding> {
    Workup::of(&stair.job()).findings
}

fn severity_of(stair: &Stair, code: &str) -> Option<Severity> {
    findings(stair).iter().find(|f| f.code.name() == code).map(|f| f.severity)
}

/// Asserts that `stair` gives the finding and the default stair does not.
fn provokes(stair: &Stair, code: &str, severity: Severity) {
    assert_eq!(
        severity_of(stair, code),
        Some(severity),
        "{code}: {:?}\n{}",
        findings(stair),
        stair.toml()
    );
    assert_eq!(severity_of(&quiet(), code), None, "{code} is there without provocation");
}

/// A stair about which there is as little as possible to say.
fn quiet() -> Stair {
    Stair {
        head: "meets = \"one-down\"\nfinish = \"1 in\"\nrim_depth = \"14 in\"".into(),
        cut: cut("router-table", "plywood-18", "bisector"),
        ..Stair::default()
    }
}

fn cut(machine: &str, material: &str, corners: &str) -> String {
    format!(
        "makes = \"pattern\"\nmachine = \"{machine}\"\nmaterial = \"{material}\"\ncorners \
            = \"{corners}\""
    )
}

fn tie(width: &str, height: &str, set_back: &str) -> Stair {
    Stair {
        tie_plate: format!("width = \"{width}\"\nheight = \"{height}\"\nset_back = \"{set_back}\""),
        ..quiet()
    }
}

/// A rule set that limits every measure on both sides to what no stair has.
fn every_limit(severity: &str) -> String {
    let lengths = [
        "unit-rise",
        "unit-run",
        "riser-spread",
        "run-spread",
        "riser-step",
        "run-step",
        "nosing",
        "tread-over-run",
        "overlap",
        "tread-thickness",
        "flight-rise",
        "step-sum",
        "rise-run-sum",
        "open-gap",
        "throat",
        "board-depth",
        "board-thickness",
        "stringer-span",
        "stringer-spacing",
        "clear-width",
        "headroom",
    ];
    let mut text = "kind = \"rules\"\nabout = \"invented\"\naim = \"7 in\"\n".to_string();
    let mut limit = |measure: &str, bound: &str| {
        text += &format!(
            "[[limit]]\nmeasure = \"{measure}\"\n{bound}\nseverity = \"{severity}\"\nsource \
                = \"invented\"\n"
        );
    };
    for measure in lengths {
        limit(measure, "at_least = \"1000 in\"");
        // Risers and runs are alike by construction: no limit above 0 can be broken.
        if !measure.ends_with("-spread") && !measure.ends_with("-step") {
            limit(measure, "at_most = \"0.0001 in\"");
        }
    }
    for (measure, low, high) in [("pitch", 80, 1), ("riser-count", 99, 1)] {
        limit(measure, &format!("at_least = {low}"));
        limit(measure, &format!("at_most = {high}"));
    }
    limit("tread-slope", "at_least = \"1:48\"");
    text
}

/// A stair under that rule set.
fn out_of_every_limit(severity: &str) -> Stair {
    Stair {
        rules: "own.toml".into(),
        files: vec![("own.toml".into(), every_limit(severity))],
        tread: tread("10 1/4 in", "1 in", "1 in", "0 in"),
        waive: "[stair]\nwidth = \"37 1/2 in\"\nmost_spacing = \"40 in\"\nclear_width = \"36 \
            in\"\nheadroom = \"80 in\"\n"
            .into(),
        ..quiet()
    }
}

#[test]
fn a_rule_set_of_ones_own_can_limit_every_measure_on_both_sides() {
    let stair = out_of_every_limit("warning");
    let codes: Vec<&str> = findings(&stair).iter().map(|f| f.code.name()).collect();
    for code in [
        "unit-rise-low",
        "unit-rise-high",
        "unit-run-low",
        "unit-run-high",
        "riser-spread-low",
        "run-spread-low",
        "riser-step-low",
        "run-step-low",
        "nosing-low",
        "nosing-high",
        "tread-over-run-low",
        "tread-over-run-high",
        "overlap-low",
        "overlap-high",
        "tread-thickness-low",
        "tread-thickness-high",
        "tread-slope-low",
        "flight-rise-low",
        "flight-rise-high",
        "pitch-low",
        "pitch-high",
        "step-sum-low",
        "step-sum-high",
        "rise-run-sum-low",
        "rise-run-sum-high",
        "open-gap-low",
        "open-gap-high",
        "riser-count-low",
        "riser-count-high",
        "throat-low",
        "throat-high",
        "board-depth-low",
        "board-depth-high",
        "board-thickness-low",
        "board-thickness-high",
        "stringer-span-low",
        "stringer-span-high",
        "stringer-spacing-low",
        "stringer-spacing-high",
        "clear-width-low",
        "clear-width-high",
        "headroom-low",
        "headroom-high",
    ] {
        assert!(codes.contains(&code), "{code}: {codes:?}");
    }
    for never in ["riser-spread-high", "run-spread-high", "riser-step-high", "run-step-high"] {
        assert!(!codes.contains(&never), "{never}");
    }
}

#[test]
fn a_limit_is_told_with_what_is_by_how_much_and_what_is_allowed() {
    let rise = |most: &str| {
        let rules = format!(
            "kind = \"rules\"\nabout = \"invented\"\naim = \"7 in\"\n[[limit]]\nmeasure \
                = \"unit-rise\"\nat_most = \"{most}\"\n\
             severity = \"warning\"\nsource = \"invented\"\n"
        );
        let rise = "total = \"52 1/2 in\"\nrisers = 7".into();
        let stair = Stair {
            rules: "own.toml".into(),
            files: vec![("own.toml".into(), rules)],
            rise,
            ..quiet()
        };
        findings(&stair).into_iter().find(|f| f.is::<codes::UnitRiseHigh>())
    };
    let told = rise("7 1/4 in").unwrap();
    let by = told.value("by").and_then(Value::measured).unwrap();
    assert!((by.0 - 6.35).abs() < 1e-9 && by.1 == "mm", "{told}");
    let words = "the risers are 7 1/2 in (190.5 mm) high, 1/4 in (6.4 mm) too much: at most 7 1/4 \
        in (184.2 mm) is allowed";
    assert_eq!(told.sentence(), words);
    // No tape shows this.
    let near = rise("190.49 mm").unwrap();
    assert!(near.sentence().contains(", 0.00039 in = 0.01 mm too much"), "{near}");
    assert!(rise("190.5 mm").is_none());
}

#[test]
fn what_no_measurement_shows_is_said() {
    assert_eq!(severity_of(&quiet(), "not-checked"), Some(Severity::Advice));
    let shown = |tables: &str, place: &str| {
        let stair = Stair { waive: tables.into(), ..quiet() };
        let found = findings(&stair)
            .into_iter()
            .find(|f| f.is::<codes::NotChecked>() && f.place == place.into());
        found.map(|found| found.value("shown").cloned().unwrap())
    };
    let not_in_job = Some(codes::Shown::NotInJob.into());
    let over_stringers = Some(codes::Shown::OverStringers.into());
    let width = "[stair]\nwidth = \"36 in\"";
    let spacing = format!("{width}\nmost_spacing = \"16 in\"");
    let measured = format!("{spacing}\nclear_width = \"36 in\"\nheadroom = \"80 in\"");
    for (place, told) in [
        ("clear width", [&not_in_job, &over_stringers, &over_stringers, &None]),
        ("stringer spacing", [&not_in_job, &not_in_job, &None, &None]),
        ("headroom", [&not_in_job, &not_in_job, &not_in_job, &None]),
    ] {
        for (tables, told) in ["", width, &spacing, &measured].iter().zip(told) {
            assert_eq!(&shown(tables, place), told, "{place}: {tables}");
        }
    }
}

#[test]
fn a_stair_narrower_than_the_clear_width_or_low_under_the_ceiling_is_told() {
    let told = |tables: &str, code: &str| {
        severity_of(&Stair { waive: format!("[stair]\n{tables}"), ..quiet() }, code)
    };
    let warning = Some(Severity::Warning);
    assert_eq!(told("width = \"35.9 in\"", "clear-width-low"), warning);
    assert_eq!(told("width = \"36 in\"", "clear-width-low"), None);
    let clear = "width = \"38 in\"\nclear_width = \"35.9 in\"";
    assert_eq!(told(clear, "clear-width-low"), warning);
    let head = |inches: &str| format!("width = \"36 in\"\nheadroom = \"{inches} in\"");
    assert_eq!(told(&head("79.9"), "headroom-low"), Some(Severity::Refusal));
    assert_eq!(told(&head("80"), "headroom-low"), None);
    // A housed stringer stands beside the treads: 1 1/4 in of it on each side.
    let housed = |width: &str| Stair {
        waive: format!("[stair]\nwidth = \"{width} in\""),
        rules: "us-irc-2021".into(),
        ..crate::housed::stair()
    };
    assert_eq!(severity_of(&housed("36"), "clear-width-low"), warning);
    assert_eq!(severity_of(&housed("40"), "clear-width-low"), None);
}

#[test]
fn a_stringer_held_along_its_length_spans_nothing_and_its_throat_is_warned_about_only() {
    let of = |held: &str, code: &str| {
        let stair = Stair {
            board: "width = \"10 1/2 in\"\nthickness = \"1 1/2 in\"".into(),
            rise: "total = \"56 in\"\nrisers = 8".into(),
            tread: tread("11 in", "1 in", "1 in", "3/4 in"),
            waive: format!("[stair]\nwidth = \"36 in\"\n{held}"),
            ..quiet()
        };
        severity_of(&stair, code)
    };
    assert_eq!(of("", "throat-low"), Some(Severity::Refusal));
    assert_eq!(of("held = \"at-ends\"", "throat-low"), Some(Severity::Refusal));
    assert_eq!(of("held = \"along\"", "throat-low"), Some(Severity::Warning));
    assert_eq!(of("", "stringer-span-high"), Some(Severity::Warning));
    assert_eq!(of("held = \"along\"", "stringer-span-high"), None);
}

#[test]
fn a_handrail_and_guards_are_wanted_from_their_counts_and_heights_on() {
    let of = |rules: &str, total: &str, risers: u32, code: &str| {
        let rise = format!("total = \"{total}\"\nrisers = {risers}");
        severity_of(&Stair { rules: rules.into(), rise, ..quiet() }, code)
    };
    let advice = Some(Severity::Advice);
    for (rules, total, risers, code, told) in [
        ("us-irc-2021", "21 in", 3, "handrail-wanted", None),
        ("us-irc-2021", "28 in", 4, "handrail-wanted", advice),
        ("us-irc-2021", "30 in", 5, "guard-wanted", None),
        ("us-irc-2021", "30.01 in", 5, "guard-wanted", advice),
        ("uk-private", "600 mm", 4, "handrail-wanted", None),
        ("uk-private", "601 mm", 4, "handrail-wanted", advice),
        // From four risers on, or over a rise of 30 in: whichever comes first.
        ("us-osha-site", "30 in", 3, "handrail-wanted", None),
        ("us-osha-site", "30.01 in", 3, "handrail-wanted", advice),
        ("us-osha-site", "28 in", 4, "handrail-wanted", advice),
    ] {
        assert_eq!(of(rules, total, risers, code), told, "{rules} {total} {risers} {code}");
    }
    // How far one falls beside a low flight is not known.
    let low = Stair { rise: "total = \"28 in\"\nrisers = 4".into(), ..quiet() };
    let guards = |f: &Finding| f.is::<codes::NotChecked>() && f.place == "guards".into();
    assert!(findings(&low).iter().any(guards));
}

#[test]
fn the_upper_floors_edge_is_a_nosing_too() {
    let of = |overhang: &str| {
        let head = format!("{}\noverhang = \"{overhang}\"", quiet().head);
        let found = findings(&Stair { head, ..quiet() });
        let nosings = found.into_iter().filter(|f| f.code.name().starts_with("nosing-"));
        nosings.map(|f| (f.code.name(), f.place.to_string())).collect::<Vec<_>>()
    };
    assert_eq!(of("1 1/4 in"), []);
    assert_eq!(of("1 1/2 in"), [("nosing-high", "upper floor".to_string())]);
    assert_eq!(of("0 in"), [("nosing-low", "upper floor".to_string())]);
}

#[test]
fn the_ground_at_the_foot_is_held_against_the_slope_of_a_landing() {
    let of = |bound: &str, code: &str| severity_of(&on_a_slope(bound), code);
    let refusal = Some(Severity::Refusal);
    assert_eq!(of("at_most = \"1:11\"", "landing-steep"), refusal);
    assert_eq!(of("at_most = \"1:10\"", "landing-steep"), None);
    assert_eq!(of("at_least = \"1:9\"", "landing-level"), refusal);
    assert_eq!(of("at_least = \"1:10\"", "landing-level"), None);
}

/// Over level ground the highest gap ends below 30 in; ground that rises away from the head lies
/// lower under it, and ground that falls does not.
#[test]
fn a_gap_is_as_high_as_the_lowest_ground_under_the_flight() {
    let of = |slope: &str| {
        let stair = Stair {
            rise: "risers = 5".into(),
            tread: tread("10 1/4 in", "1 in", "1 in", "0 in"),
            waive: format!("[ground]\nat_head = \"38 in\"\nslope = \"{slope}\"\n"),
            ..quiet()
        };
        severity_of(&stair, "open-gap-high").is_some()
    };
    assert!(of("up 1 in 10"));
    assert!(!of("down 1 in 100"));
}

#[test]
fn treads_that_come_to_slope_as_the_board_dries_are_held_against_the_rule_sets_slope() {
    let of = |rules: &str, service: f64| {
        let stair = Stair {
            rules: rules.into(),
            board: "width = \"11 1/4 in\"\nthickness = \"1 1/2 in\"\nspecies = \"hem-fir\"\ngrade \
                = \"no2\""
                .into(),
            waive: format!("[moisture]\nnow = 28\nservice = {service:.1}\n"),
            ..quiet()
        };
        let named = |code: &str| severity_of(&stair, code);
        (named("tread-slope-high"), named("tread-tilts"))
    };
    let warning = Some(Severity::Warning);
    assert_eq!(of("us-irc-2021", 6.0), (warning, None));
    assert_eq!(of("us-irc-2021", 27.0), (None, None));
    // A set that says nothing of it keeps the usual one.
    assert_eq!(of("us-osha", 6.0), (None, warning));
}

#[test]
fn the_span_of_a_stringer_is_that_between_its_supports() {
    let of = |load: &str| {
        let stair = Stair {
            waive: format!("[stair]\nwidth = \"36 in\"\nmost_spacing = \"16 in\"\n[load]\n{load}"),
            rise: "total = \"56 in\"\nrisers = 8".into(),
            tread: tread("11 in", "1 in", "1 in", "3/4 in"),
            board: "width = \"11 1/4 in\"\nthickness = \"1 1/2 in\"\nspecies = \"hem-fir\"\ngrade \
                = \"no2\""
                .into(),
            ..quiet()
        };
        severity_of(&stair, "stringer-span-high")
    };
    assert_eq!(of(""), Some(Severity::Warning));
    assert_eq!(of("mid_support = true"), None);
    assert_eq!(of("clear_span = \"72 in\""), None);
    assert_eq!(of("clear_span = \"72.1 in\""), Some(Severity::Warning));
}

#[test]
fn a_slip_of_the_pen_is_warned_about() {
    let stair = Stair { rise: "total = \"3 ft 15 3/8 in\"\nrisers = 7".into(), ..quiet() };
    provokes(&stair, "feet-and-inches", Severity::Warning);
}

#[test]
fn a_stair_with_no_stringer_is_refused_and_says_why() {
    let thick = Stair { tread: tread("10 1/4 in", "1 in", "7 1/2 in", "3/4 in"), ..quiet() };
    provokes(&thick, "no-first-riser", Severity::Refusal);
    let board = |width: &str| Stair {
        board: format!("width = \"{width}\"\nthickness = \"1 1/2 in\""),
        ..quiet()
    };
    provokes(&board("5 1/2 in"), "no-throat", Severity::Refusal);
    let short = Stair {
        rise: "total = \"12 in\"\nrisers = 2\nfinish_to_come = \"4 in\"".into(),
        board: "width = \"3 1/2 in\"\nthickness = \"1 1/2 in\"".into(),
        ..quiet()
    };
    provokes(&short, "no-seat", Severity::Refusal);
    let spacer = Stair {
        head: "meets = \"one-down\"\nfinish = \"1 in\"\nspacer = \"11 in\"\nrim_depth = \"14 in\""
            .into(),
        ..quiet()
    };
    provokes(&spacer, "no-top-tread", Severity::Refusal);
    let long = Stair {
        head: "meets = \"flush\"\nfinish = \"1 in\"\ntop_tread = \"30 in\"\nrim_depth = \"14 in\""
            .into(),
        ..quiet()
    };
    provokes(&long, "top-tread-long", Severity::Refusal);
}

#[test]
fn a_plate_notch_is_held_against_seat_tread_toe_top_and_heel() {
    provokes(&tie("12 in", "1 1/2 in", "0 in"), "notch-beyond-seat", Severity::Refusal);
    provokes(&tie("3 1/2 in", "7 in", "0 in"), "notch-reaches-tread", Severity::Refusal);
    provokes(&tie("3 1/2 in", "1 1/2 in", "1/2 in"), "notch-thin-toe", Severity::Warning);
    provokes(&tie("3 1/2 in", "5 1/2 in", "0 in"), "notch-thin-top", Severity::Warning);
    provokes(&tie("9 3/4 in", "1 1/2 in", "0 in"), "notch-thin-heel", Severity::Warning);
}

#[test]
fn the_head_is_held_against_the_rim() {
    let head = |rim: &str| Stair {
        head: format!("meets = \"one-down\"\nfinish = \"1 in\"\n{rim}"),
        ..quiet()
    };
    provokes(&head(""), "head-contact-unknown", Severity::Advice);
    provokes(&head("rim_depth = \"7 1/4 in\""), "head-contact-none", Severity::Refusal);
    provokes(&head("rim_depth = \"9 1/4 in\""), "head-contact-small", Severity::Warning);
}

#[test]
fn the_head_is_held_against_what_its_joint_puts_in_the_rims_place() {
    let jointed = |joint: &str| Stair {
        head: format!(
            "meets = \"one-down\"\nfinish = \"1 in\"\nrim_depth = \"7 1/4 in\"\njoint = {{ {joint} \
            }}"
        ),
        ..quiet()
    };
    // What the rim alone would not reach, a deep board on it does.
    let deep = "with = \"hanger-board\", thickness = \"3/4 in\", depth = \"16 in\"";
    for (joint, on) in [
        (deep, "stringer against the hanger board"),
        (
            "with = \"dropped-header\", below = \"6 in\", depth = \"9 1/4 in\"",
            "stringer against the header",
        ),
    ] {
        let workup = Workup::of(&jointed(joint).job());
        let codes: Vec<&str> = workup.findings.iter().map(|finding| finding.code.name()).collect();
        assert!(!codes.iter().any(|code| code.starts_with("head-contact")), "{joint}: {codes:?}");
        // The figures, the joint's table and the check tell one height.
        let numbers = workup.numbers();
        let number = numbers.iter().find(|number| number.key == "contact_height_mm").unwrap();
        let asked = &workup.around.head.as_ref().unwrap().rows[0].joint;
        let shown = number.value.as_ref().and_then(|value| value.number()).unwrap();
        assert!((shown - asked.contact.unwrap().as_mm()).abs() < 1e-9, "{joint}");
        assert_eq!(number.note, on);
    }
    let shallow = "with = \"hanger-board\", thickness = \"3/4 in\", depth = \"7 1/4 in\"";
    provokes(&jointed(shallow), "head-contact-none", Severity::Refusal);
    let low = "with = \"dropped-header\", below = \"6 in\", depth = \"3 in\"";
    provokes(&jointed(low), "head-contact-small", Severity::Warning);
}

#[test]
fn more_finish_to_come_than_the_tread_is_thick_is_said() {
    let stair = Stair {
        rise: "total = \"51 3/8 in\"\nrisers = 7\nfinish_to_come = \"2 in\"".into(),
        ..quiet()
    };
    provokes(&stair, "drop-negative", Severity::Advice);
}

#[test]
fn stringers_are_held_against_the_material_and_the_count() {
    let stringers = |material: &str, more: &str| Stair {
        cut: format!(
            "makes = \"stringers\"\nmachine = \"router-table-large\"\nmaterial \
                = \"{material}\"\n{more}"
        ),
        ..quiet()
    };
    let thick = |material: &str, thickness: &str| Stair {
        board: format!("width = \"11 1/4 in\"\nthickness = \"{thickness}\""),
        ..stringers(material, "")
    };
    provokes(&thick("plywood-18", "19 mm"), "thickness-differs", Severity::Warning);
    provokes(&thick("plywood-18", "1 1/2 in"), "thickness-far", Severity::Refusal);
    provokes(&thick("hardboard-6", "18 mm"), "thickness-far", Severity::Refusal);
    for (material, thickness) in [("plywood-18", "18.6 mm"), ("board-2x12", "1 1/2 in")] {
        for code in ["thickness-differs", "thickness-far"] {
            assert_eq!(severity_of(&thick(material, thickness), code), None);
        }
    }
    let told = stringers("board-2x12", "thickness = \"1 5/8 in\"");
    provokes(&told, "thickness-differs", Severity::Warning);
    provokes(&told, "stringer-thickness", Severity::Warning);
    assert_eq!(severity_of(&thick("plywood-18", "19 mm"), "stringer-thickness"), None);
    let bed = Stair { cut: cut("router-metric", "plywood-12", "bisector"), ..quiet() };
    provokes(&bed, "thickness-not-measured", Severity::Advice);
    let measured = Stair { cut: format!("{}\nthickness = \"11.5 mm\"", bed.cut), ..bed };
    assert_eq!(severity_of(&measured, "thickness-not-measured"), None);
    provokes(&stringers("board-2x12", "quantity = 3"), "one-part-a-program", Severity::Advice);
}

#[test]
fn a_part_larger_than_material_or_travel_is_refused_with_the_numbers() {
    let long = Stair { rise: "total = \"98 in\"\nrisers = 14".into(), ..quiet() };
    provokes(&long, "beyond-stock", Severity::Refusal);
    let small = Stair { cut: cut("router-table-small", "plywood-18", "bisector"), ..quiet() };
    provokes(&small, "beyond-travel", Severity::Refusal);
    let narrow_board = Stair {
        cut: "makes = \"stringers\"\nmachine = \"router-table-large\"\nmaterial = \"board-2x10\""
            .into(),
        ..quiet()
    };
    provokes(&narrow_board, "beyond-stock", Severity::Refusal);
}

#[test]
fn a_sheet_larger_than_the_table_is_said_to_be_cut_down_first() {
    let three = Stair {
        rise: "total = \"22 in\"\nrisers = 3".into(),
        cut: cut("router-table-small", "hardboard-6", "bisector"),
        ..quiet()
    };
    provokes(&three, "sheet-trimmed", Severity::Advice);
}

#[test]
fn a_waiver_takes_on_a_refusal_and_one_that_does_nothing_is_said() {
    let waive = |rule: &str| format!("[[waive]]\nrule = \"{rule}\"\nreason = \"invented\"");
    let steep = Stair { tread: tread("9 in", "1 in", "1 in", "3/4 in"), ..quiet() };
    assert!(Workup::of(&steep.job()).refused());
    let waived = Stair { waive: waive("unit-run-low"), ..steep };
    let workup = Workup::of(&waived.job());
    assert!(!workup.refused() && workup.planned.is_some());
    let finding = workup.findings.iter().find(|f| f.code.name() == "unit-run-low").unwrap();
    assert_eq!(finding.waived.as_deref(), Some("invented"));
    assert!(finding.to_string().contains("WAIVED: invented"));
    provokes(
        &Stair { waive: waive("unit-run-low"), ..quiet() },
        "waiver-unused",
        Severity::Warning,
    );
}

/// Stairs that are refused for something that can be waived, and for nothing else.
fn waivable() -> Vec<Stair> {
    let stringers = |material: &str, board: &str| Stair {
        board: board.into(),
        cut: format!(
            "makes = \"stringers\"\nmachine = \"router-table-large\"\nmaterial = \"{material}\""
        ),
        ..quiet()
    };
    let on =
        |from: &str, to: &str| machine("router-table", "hardboard-6", "bisector", &[(from, to)]);
    let narrow = "width = \"11 1/4 in\"\nthickness = \"1 1/2 in\"\n[boards]\nmeasured = [{ width \
        = \"11 \
        in\", crown = \"0 in\" }]";
    let deep = crate::housed::stair();
    let deep =
        Stair { board: deep.board.replace("depth = \"1/2 in\"", "depth = \"3/4 in\""), ..deep };
    let mut all = vec![
        out_of_every_limit("refusal"),
        Stair {
            head: "meets = \"one-down\"\nfinish = \"1 in\"\nrim_depth = \"7 1/4 in\"".into(),
            ..quiet()
        },
        stringers("board-2x12", narrow),
        stringers("plywood-18", "width = \"11 1/4 in\"\nthickness = \"1 1/2 in\""),
        deep,
        on("cutter = \"1/4 in\"", "cutter = \"1 mm\""),
        on("cut_through = \"0.02 in\"", "cut_through = \"0.9 in\""),
    ];
    all.extend([overloaded(), headed("dropped-header", "below = \"60 in\"\ndepth = \"9 1/4 in\"")]);
    all.push(out_of_level("at_least = \"7 1/4 in\"", "50 3/4 in"));
    all.push(out_of_level("at_most = \"7 in\"", "51 1/4 in"));
    all.extend(["at_most = \"1:12\"", "at_least = \"1:2\""].map(on_a_slope));
    all.extend(
        [("rail-height", "30 in", "40 in"), ("baluster-opening", "2 in", "6 in")]
            .into_iter()
            .flat_map(|(measure, low, high)| {
                [format!("at_least = \"{high}\""), format!("at_most = \"{low}\"")]
                    .map(|bound| railed(measure, &bound))
            }),
    );
    all
}

/// A rail 36 in high with openings of less than 4 in, under one limit.
fn railed(measure: &str, bound: &str) -> Stair {
    let rules = format!(
        "kind = \"rules\"\nabout = \"invented\"\naim = \"7 in\"\n[[limit]]\nmeasure \
            = \"{measure}\"\n{bound}\n\
         severity = \"refusal\"\nsource = \"invented\"\n"
    );
    let rail = "[rail]\nheight = \"36 in\"\npost = \"3 1/2 in\"\nbaluster = \"1 1/4 in\"\n";
    Stair {
        rules: "own.toml".into(),
        files: vec![("own.toml".into(), rules)],
        waive: rail.into(),
        ..quiet()
    }
}

#[test]
fn a_rail_is_told_by_its_types() {
    let told = |measure: &str, bound: &str| {
        let found = findings(&railed(measure, bound));
        let refuses = found.into_iter().find(Finding::refuses).unwrap();
        (refuses.is::<codes::BalusterOpeningLow>(), refuses.is::<codes::RailHeightHigh>())
    };
    assert_eq!(told("baluster-opening", "at_least = \"6 in\""), (true, false));
    assert_eq!(told("rail-height", "at_most = \"30 in\""), (false, true));
}

/// A joint at the head.
fn headed(with: &str, sizes: &str) -> Stair {
    let joint = format!("joint = {{ with = \"{with}\", {} }}", sizes.replace('\n', ", "));
    Stair { head: format!("{}\n{joint}", quiet().head), ..quiet() }
}

/// Two stringers six feet apart under a load that is beyond everything that a stringer can break
/// by.
fn overloaded() -> Stair {
    let board = &quiet().board;
    Stair {
        board: format!("{board}\nspecies = \"hem-fir\"\ngrade = \"no2\""),
        waive:
            "[stair]\nwidth = \"74 in\"\nmost_spacing = \"74 in\"\n[load]\nlive = \"1000 psf\"\n"
                .into(),
        ..tie("3 1/2 in", "1 1/2 in", "2 in")
    }
}

/// Ground that falls 1 in 10, under one limit on the slope of a landing.
fn on_a_slope(bound: &str) -> Stair {
    let rules = format!(
        "kind = \"rules\"\nabout = \"invented\"\naim = \"7 in\"\n[[limit]]\nmeasure \
            = \"landing-slope\"\n{bound}\n\
         severity = \"refusal\"\nsource = \"invented\"\n"
    );
    Stair {
        rules: "own.toml".into(),
        files: vec![("own.toml".into(), rules)],
        rise: "aim = \"7 in\"".into(),
        waive: "[ground]\nat_head = \"44 in\"\nslope = \"1 in 10\"\n".into(),
        ..quiet()
    }
}

/// Seven risers of 7.34 in, on a floor that rises to the right, under one limit on the unit rise
/// and one on the spread.
fn out_of_level(bound: &str, right: &str) -> Stair {
    let limit = |measure: &str, bound: &str| {
        format!(
            "[[limit]]\nmeasure = \"{measure}\"\n{bound}\nseverity = \"refusal\"\nsource \
                = \"invented\"\n"
        )
    };
    let limits = limit("unit-rise", bound) + &limit("riser-spread", "at_most = \"3/8 in\"");
    let rules = format!("kind = \"rules\"\nabout = \"invented\"\naim = \"7 in\"\n{limits}");
    let across = |offset: &str, total: &str| {
        format!("[[across]]\noffset = \"{offset}\"\ntotal = \"{total}\"\n")
    };
    let stair = "[stair]\nwidth = \"36 in\"\n";
    Stair {
        rules: "own.toml".into(),
        files: vec![("own.toml".into(), rules)],
        waive: stair.to_string() + &across("0 in", "51 3/8 in") + &across("36 in", right),
        ..quiet()
    }
}

/// A stage that has no value to go on with must not be waivable: what is planned shows that it has.
#[test]
fn whatever_can_be_waived_goes_on_once_it_is() {
    let mut met = std::collections::BTreeSet::new();
    for stair in waivable() {
        let refused = Workup::of(&stair.job());
        assert!(refused.planned.is_none() && refused.refused(), "{}", stair.toml());
        let codes: std::collections::BTreeSet<Code> =
            refused.findings.iter().filter(|f| f.refuses()).map(|f| f.code).collect();
        let waiver = |code: &Code| format!("[[waive]]\nrule = \"{code}\"\nreason = \"invented\"\n");
        let waivers: String = codes.iter().map(waiver).collect();
        let waived = Stair { waive: format!("{}\n{waivers}", stair.waive), ..stair };
        let workup = Workup::of(&waived.job());
        let standing: Vec<&Finding> = workup.findings.iter().filter(|f| f.refuses()).collect();
        assert!(
            standing.is_empty() && workup.planned.is_some(),
            "{standing:#?}\n{}",
            waived.toml()
        );
        met.extend(codes);
    }
    let waivable = table::all().filter(|code| code.row().waivable == Waivable::Waivable);
    let never_met: Vec<&str> =
        waivable.filter(|code| !met.contains(code)).map(Code::name).collect();
    // Risers and runs are alike and treads level by construction: these share the way of the other
    // limits and no stair as planned breaks them. A landing is of a whole stair (landings.rs).
    let alike = ["riser-spread-high", "run-spread-high", "riser-step-high", "run-step-high"];
    assert_eq!(never_met, [&alike[..], &["tread-slope-high", "landing-short"]].concat());
}

#[test]
fn a_laser_on_treated_or_unknown_wood_is_refused_and_cannot_be_waived() {
    let burn = |treatment: &str, waive: &str| Stair {
        cut: cut("laser", "own.toml", "fillet"),
        files: vec![(
            "own.toml".into(),
            profile_with(
                "material",
                "hardboard-3",
                &[("\"untreated\" ", &format!("\"{treatment}\" "))],
            ),
        )],
        waive: waive.to_string(),
        rise: "total = \"22 in\"\nrisers = 3".into(),
        ..quiet()
    };
    provokes(&burn("treated", ""), "laser-on-treated", Severity::Refusal);
    provokes(&burn("unknown", ""), "laser-on-treated", Severity::Refusal);
    let waived = burn("treated", "[[waive]]\nrule = \"laser-on-treated\"\nreason = \"I know\"");
    assert!(Workup::of(&waived.job()).planned.is_none());
    assert_eq!(severity_of(&waived, "waiver-unused"), Some(Severity::Warning));
    assert!(Workup::of(&burn("untreated", "").job()).planned.is_some());
    let named = Stair { cut: cut("laser", "board-2x12-treated", "fillet"), ..quiet() };
    provokes(&named, "laser-on-treated", Severity::Refusal);
}

#[test]
fn what_follows_a_pattern_says_what_it_does_to_the_part() {
    let follow = |words: &str, tie_plate: &str| Stair {
        cut: format!("{}\nfollow = {words}", cut("router-table", "hardboard-6", "bisector")),
        tie_plate: tie_plate.into(),
        ..quiet()
    };
    let bushing = "{ with = \"bushing\", outside = \"3/4 in\", bit = \"1/2 in\" }";
    provokes(&follow(bushing, ""), "nose-rounded", Severity::Advice);
    provokes(&follow(bushing, ""), "corner-rounded", Severity::Advice);
    let narrow = "width = \"3/8 in\"\nheight = \"1/2 in\"\nset_back = \"2 in\"";
    provokes(&follow(bushing, narrow), "bit-too-wide", Severity::Refusal);
    let huge = "{ with = \"bushing\", outside = \"3 1/2 in\", bit = \"1/4 in\" }";
    let thin = "width = \"3 1/2 in\"\nheight = \"1/2 in\"\nset_back = \"1 in\"";
    provokes(&follow(huge, thin), "interference", Severity::Refusal);
}

#[test]
fn a_round_left_in_the_corner_is_said() {
    provokes(
        &Stair { cut: cut("router-table", "plywood-18", "fillet"), ..quiet() },
        "fillet-left",
        Severity::Advice,
    );
}

/// A stair on a machine profile of one's own.
fn machine(name: &str, material: &str, corners: &str, replacements: &[(&str, &str)]) -> Stair {
    Stair {
        cut: cut("own.toml", material, corners),
        files: vec![("own.toml".into(), profile_with("machine", name, replacements))],
        ..quiet()
    }
}

#[test]
fn a_cutter_wider_than_the_plate_notch_is_refused_by_rule() {
    let notch = |width: &str| Stair {
        tie_plate: format!("width = \"{width}\"\nheight = \"1 1/2 in\"\nset_back = \"2 in\""),
        cut: cut("router-table", "hardboard-6", "fillet"),
        ..quiet()
    };
    provokes(&notch("0.2509 in"), "cutter-too-wide", Severity::Refusal);
    assert_eq!(severity_of(&notch("0.252 in"), "cutter-too-wide"), None);
}

#[test]
fn reliefs_that_would_meet_are_refused() {
    let stair =
        Stair { cut: cut("router-table", "hardboard-6", "tread"), ..tie("3/8 in", "1 in", "2 in") };
    provokes(&stair, "relief-overlap", Severity::Refusal);
}

#[test]
fn a_relief_that_breaks_through_the_wood_behind_it_is_refused() {
    // The first riser cut is 6.34 in high: a notch of 6.25 in leaves 0.09 in, less than the
    // relief's 1/8 in.
    let above = |height: &str| Stair {
        cut: cut("router-table", "hardboard-6", "tread"),
        ..tie("3 1/2 in", height, "0 in")
    };
    provokes(&above("6 1/4 in"), "relief-breakthrough", Severity::Refusal);
    assert_eq!(severity_of(&above("6 in"), "relief-breakthrough"), None);
}

#[test]
fn what_the_machine_cannot_do_is_refused_with_the_numbers() {
    let on = |replacements: &[(&str, &str)]| {
        machine("router-table", "hardboard-6", "bisector", replacements)
    };
    provokes(
        &on(&[("flute_length = \"1 5/8 in\"", "flute_length = \"1/4 in\"")]),
        "cutter-too-short",
        Severity::Refusal,
    );
    provokes(
        &on(&[("speed_rpm = 16000", "speed_rpm = 30000")]),
        "speed-too-fast",
        Severity::Refusal,
    );
    provokes(
        &on(&[("chip_load = \"0.006 in\"", "chip_load = \"0.02 in\"")]),
        "feed-too-fast",
        Severity::Refusal,
    );
    provokes(&on(&[("z = \"6 in\"", "z = \"1/2 in\"")]), "travel-too-low", Severity::Refusal);
}

#[test]
fn a_laser_is_held_against_the_thickness() {
    provokes(
        &Stair { cut: cut("laser", "plywood-12", "fillet"), ..quiet() },
        "laser-too-thick",
        Severity::Refusal,
    );
}

#[test]
fn a_cutter_with_no_straight_edge_to_ramp_beside_is_refused() {
    let stair = Stair {
        rise: "total = \"5 in\"\nrisers = 2".into(),
        tread: tread("2 in", "1/4 in", "1/4 in", "1/4 in"),
        board: "width = \"2 in\"\nthickness = \"1 1/2 in\"".into(),
        rules: "own-rules.toml".into(),
        ..machine(
            "router-table",
            "hardboard-6",
            "fillet",
            &[("cutter = \"1/4 in\"", "cutter = \"1 7/8 in\"")],
        )
    };
    let rules = "kind = \"rules\"\nabout = \"no limits, invented\"\naim = \"7 in\"\n";
    let mut stair = stair;
    stair.files.push(("own-rules.toml".into(), rules.into()));
    provokes(&stair, "no-lead-room", Severity::Refusal);
    assert_eq!(severity_of(&stair, "tabs-few"), None);
}

#[test]
fn a_part_too_small_for_three_tabs_is_warned_about() {
    let stair = Stair {
        rise: "total = \"6 in\"\nrisers = 2".into(),
        tread: tread("3 in", "1/4 in", "1/4 in", "1/4 in"),
        board: "width = \"3 in\"\nthickness = \"1 1/2 in\"".into(),
        rules: "own-rules.toml".into(),
        files: vec![(
            "own-rules.toml".into(),
            "kind = \"rules\"\nabout = \"no limits, invented\"\naim = \"7 in\"\n".into(),
        )],
        ..quiet()
    };
    provokes(&stair, "tabs-few", Severity::Warning);
}

/// Seven treads, seven risers and two ends too short for a tab: all stand on the back, the steps
/// stick out beyond them.
#[test]
fn a_part_with_tabs_on_its_back_only_is_warned_about() {
    let stair = Stair {
        rise: "total = \"20 in\"\nrisers = 8".into(),
        tread: tread("2 1/2 in", "1/4 in", "1/4 in", "1/4 in"),
        board: "width = \"3 in\"\nthickness = \"1 1/2 in\"".into(),
        rules: "own-rules.toml".into(),
        files: vec![(
            "own-rules.toml".into(),
            "kind = \"rules\"\nabout = \"no limits, invented\"\naim = \"7 in\"\n".into(),
        )],
        ..quiet()
    };
    provokes(&stair, "tabs-one-sided", Severity::Warning);
    // Treads and risers long enough for tabs of their own.
    let wide = Stair {
        rise: "total = \"32 in\"\nrisers = 8".into(),
        tread: tread("4 in", "1/4 in", "1/4 in", "1/4 in"),
        ..stair
    };
    assert_eq!(severity_of(&wide, "tabs-one-sided"), None);
}

#[test]
fn an_offcut_with_no_edge_long_enough_for_a_tab_is_refused() {
    let stair = Stair {
        rise: "total = \"30 in\"\nrisers = 10".into(),
        rules: "own-rules.toml".into(),
        files: vec![(
            "own-rules.toml".into(),
            "kind = \"rules\"\nabout = \"no limits, invented\"\naim = \"7 in\"\n".into(),
        )],
        tread: tread("3 in", "1/4 in", "1 in", "3/4 in"),
        cut: "makes = \"stringers\"\nmachine = \"router-table-large\"\nmaterial = \"board-2x12\""
            .into(),
        ..quiet()
    };
    provokes(&stair, "offcut-loose", Severity::Refusal);
    // A riser that is too short gives its tab to the tread.
    let wide = Stair { tread: tread("10 1/4 in", "1 in", "1 in", "3/4 in"), ..stair };
    assert_eq!(severity_of(&wide, "offcut-loose"), None);
}

#[test]
fn a_part_with_no_edge_long_enough_for_a_tab_is_refused() {
    let stair = Stair {
        rise: "total = \"4 in\"\nrisers = 2".into(),
        tread: tread("2 in", "1/4 in", "1/4 in", "1/4 in"),
        board: "width = \"2 in\"\nthickness = \"1 1/2 in\"".into(),
        rules: "own-rules.toml".into(),
        files: vec![(
            "own-rules.toml".into(),
            "kind = \"rules\"\nabout = \"no limits, invented\"\naim = \"7 in\"\n".into(),
        )],
        ..quiet()
    };
    provokes(&stair, "piece-loose", Severity::Refusal);
    // Several of them on a sheet: a spacing is left out only where there is one.
    let of = |spacing: &str| {
        let cut = format!(
            "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial \
                = \"plywood-18\"\nquantity \
            = 3{spacing}"
        );
        let board = "width = \"2 in\"\nthickness = \"18 mm\"".to_string();
        let stair = Stair { cut, board, ..stair.clone() };
        let set = Set::of(vec![Entry { job: stair.job(), times: 1 }], 1).unwrap();
        let loose = set.all_findings().find(|found| found.is::<codes::PieceLoose>());
        loose.expect("it comes loose").sentence()
    };
    assert!(of("").contains("more than the usual 7/8 in"), "{}", of(""));
    assert!(!of("").contains("leave cut.spacing out"), "{}", of(""));
    let asked = of("\nspacing = \"1 in\"");
    assert!(asked.contains("leave cut.spacing out, or give 7/8 in"), "{asked}");
}

/// What a machine is off by is told in the unit of the tape first, like everything else.
#[test]
fn what_is_too_fine_for_a_tape_is_told_in_its_unit_first() {
    let cut = || codes::SkinCut { measured: Millimetres(0.762), limit: Millimetres(0.508) };
    let said = |tape: Tape| tape.tells(|| cut().at("program.nc").sentence());
    assert!(said(Tape::Inches).contains("0.03 in (0.762 mm) into the skin of 0.02 in (0.508 mm)"));
    assert!(said(Tape::Metric).contains("0.762 mm into the skin of 0.508 mm"));
}
