//! Properties of arbitrary stairs. The number of cases is `PROPTEST_CASES` (256 of each by
//! default); the long run of DEVELOPERS.md sets it to 50,000.

use crate::common::{Stair, tread};
use proptest::prelude::*;
use seatcut::cam::compensate::compensate;
use seatcut::cam::plan::plan;
use seatcut::diagnostics::Warned;
use seatcut::geometry::{Contour, distance_to_segment};
use seatcut::job::Makes;
use seatcut::pipeline::workup::Workup;
use seatcut::stair::outline::Outline;
use seatcut::stair::{Flight, chosen_count};
use seatcut::units::{Bare, Length, read_length, sixteenths};

prop_compose! {
    /// A stair of measurements that a tape could show, sensible or not.
    fn any_stair()(
        rise in 100.0..4000.0_f64,
        risers in 1_usize..22,
        run in 60.0..400.0_f64,
        overhang in 0.0..40.0_f64,
        thickness in 5.0..60.0_f64,
        riser_board in prop_oneof![Just(0.0), 6.0..30.0_f64],
        flush in any::<bool>(),
        finish in 0.0..60.0_f64,
        to_come in prop_oneof![Just(0.0), 0.0..60.0_f64],
        spacer in prop_oneof![Just(0.0), 0.0..60.0_f64],
        board in 80.0..400.0_f64,
        inset in prop_oneof![Just(0.0), 0.0..10.0_f64],
        tie in prop::option::of((5.0..150.0_f64, 5.0..60.0_f64, prop_oneof![Just(0.0), 0.0..120.0_f64])),
        machine in prop::sample::select(vec!["router-table", "router-table-small", "router-table-large", "router-metric", "laser", "laser-lines"]),
        material in prop::sample::select(vec!["hardboard-3", "hardboard-6", "plywood-12", "plywood-18", "board-2x10", "board-2x12", "board-2x12-treated"]),
        corners in prop::sample::select(vec!["fillet", "bisector", "riser", "tread"]),
        follow in prop::sample::select(vec!["", "follow = { with = \"pencil\", lead = \"0.8 mm\" \
            }", "follow = { with = \"bushing\", outside = \"19 mm\", bit = \"12 mm\" \
                }", "follow = { with = \"bearing-bit\" }"]),
        rules in prop::sample::select(vec!["us-irc-2021", "us-ibc", "us-access", "us-osha", "uk-private", "ca-private", "au-private"]),
    ) -> Stair {
        let risers = if flush { risers } else { risers.max(2) };
        let meets = if flush { "flush" } else { "one-down" };
        Stair {
            rules: rules.into(),
            rise: format!("total = \"{rise:.3} mm\"\nrisers = {risers}\nfinish_to_come \
                = \"{to_come:.3} \
                mm\""),
            tread: tread(&format!("{run:.3} mm"), &format!("{overhang:.3} mm"), &format!("{thickness:.3} mm"), &format!("{riser_board:.3} mm")),
            head: format!("meets = \"{meets}\"\nfinish = \"{finish:.3} mm\"\nspacer \
                = \"{spacer:.3} \
                mm\"\nrim_depth = \"235 mm\""),
            tie_plate: tie.map_or(String::new(), |(w, h, s)| format!("width = \"{w:.3} \
                mm\"\nheight = \"{h:.3} mm\"\nset_back = \"{s:.3} mm\"\nclearance = \"1.5 mm\"")),
            board: format!("width = \"{board:.3} mm\"\nthickness = \"38 mm\"\ntip_inset \
                = \"{inset:.3} \
                mm\""),
            cut: format!("makes = \"pattern\"\nmachine = \"{machine}\"\nmaterial \
                = \"{material}\"\ncorners \
                = \"{corners}\"\n{follow}"),
            waive: String::new(),
            files: Vec::new(),
        }
    }
}

/// The area as trapezoids under each edge: another formula than the contour's own.
fn area_by_trapezoids<R: Copy>(contour: &Contour<R>) -> f64 {
    contour
        .edges()
        .iter()
        .map(|e| (e.segment.from(), e.segment.to()))
        .map(|(a, b)| (a.x - b.x) * (a.y + b.y) / 2.0)
        .sum()
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_finished_riser_is_equal_and_they_sum_to_the_rise(stair in any_stair()) {
        let job = stair.job();
        let flight = Flight::new(&job, chosen_count(&job).0);
        let risers = flight.finished_risers();
        prop_assert_eq!(risers.len(), flight.risers);
        for riser in &risers {
            prop_assert!((riser.as_mm() - flight.unit_rise.as_mm()).abs() < 1e-9);
        }
        let sum: f64 = risers.iter().map(|r| r.as_mm()).sum();
        prop_assert!((sum - job.rise.total.as_mm()).abs() < 1e-8);
        for run in &flight.finished_runs {
            prop_assert!((run.as_mm() - flight.unit_run.as_mm()).abs() < 1e-9);
        }
    }

    #[test]
    fn an_outline_is_simple_with_one_area_by_two_formulas_and_survives_its_board_frame(stair in any_stair()) {
        let job = stair.job();
        let flight = Flight::new(&job, chosen_count(&job).0);
        if let Ok(outline) = Outline::new(&flight, job.plate()) {
            let contour = outline.contour();
            prop_assert!(contour.is_simple_polygon());
            prop_assert!((contour.area() - area_by_trapezoids(contour)).abs() < 1e-6 * contour.area().max(1.0));
            let board = outline.in_board_frame();
            prop_assert!((board.area() - contour.area()).abs() < 1e-6 * contour.area().max(1.0));
            prop_assert!(board.bounds().min.coords.norm() < 1e-9);
            // The teeth reach the board's depth over the lower edge and no further.
            if contour.edges().iter().any(|e| e.role == seatcut::stair::outline::Role::LowerEdge) {
                prop_assert!((board.bounds().height() - flight.board_depth.as_mm()).abs() < 1e-6);
            }
        }
    }

    #[test]
    fn a_tool_path_keeps_the_radius_from_the_part_but_in_its_reliefs(stair in any_stair()) {
        let job = stair.job();
        let flight = Flight::new(&job, chosen_count(&job).0);
        let Ok(outline) = Outline::new(&flight, job.plate()) else { return Ok(()) };
        let Ok(path) = compensate(&job, &outline) else { return Ok(()) };
        let path = path.value;
        let part = outline.in_board_frame();
        let radius = path.radius().as_mm();
        let least = |p| part.edges().iter().map(|e| distance_to_segment(p, &e.segment)).fold(f64::INFINITY, f64::min);
        let as_large_as_the_part = match job.cut.makes {
            Makes::Pattern(follow) => follow.inset() <= Length::ZERO,
            Makes::Stringers => true,
        };
        for edge in path.contour().edges() {
            let relief = matches!(edge.role, seatcut::geometry::Follows::Into(..));
            if as_large_as_the_part && !relief {
                for share in [0.0, 0.37, 1.0] {
                    prop_assert!((least(edge.segment.point_at(share)) - radius).abs() < 1e-8);
                }
            }
        }
        if let Ok(Warned { value: planned, .. }) = plan(&job, &outline, &path) {
            let program = planned.cut;
            prop_assert!(program.time_s.is_finite() && program.time_s > 0.0);
            prop_assert!(program.cut_length_mm > part.perimeter() * 0.3);
        }
    }

    #[test]
    fn any_job_is_worked_up_without_a_panic_and_planned_only_if_nothing_refuses(stair in any_stair()) {
        let workup = Workup::of(&stair.job());
        prop_assert!(workup.planned.is_none() || !workup.refused());
        prop_assert!(workup.planned.is_some() || workup.refused());
        prop_assert_eq!(workup.choices.iter().filter(|c| c.reason.is_some()).count(), 1);
    }

    #[test]
    fn any_text_is_a_length_or_a_refusal(text in "\\PC{0,40}") {
        if let Ok(reading) = read_length(&text, Bare::Refused) {
            prop_assert!(reading.length.as_mm() >= 0.0);
        }
    }

    #[test]
    fn any_text_of_the_grammars_own_letters_is_a_length_or_a_refusal(text in "[0-9./'\" \\-ftinmc\u{bd}\u{2044}\u{2032}]{0,24}") {
        if let Ok(reading) = read_length(&text, Bare::Inches) {
            prop_assert!(reading.length.as_mm() >= 0.0 && reading.length.as_mm() <= 100_000.0);
        }
    }

    #[test]
    fn what_is_printed_in_sixteenths_reads_back_within_half_a_sixteenth(inches in 0.0..2000.0_f64) {
        let printed = sixteenths(Length::inches(inches));
        let plain = printed.replace('+', "").replace("- in", " in");
        let plain = plain.replace(" full", "").replace(" scant", "");
        let back = read_length(&plain, Bare::Refused).unwrap().length.as_inches();
        prop_assert!((back - inches).abs() <= 1.0 / 32.0 + 1e-9, "{printed}");
        let over = printed.contains('+') || printed.ends_with(" full");
        let under = printed.contains("- in") || printed.ends_with(" scant");
        prop_assert!(!over || inches > back, "{printed}");
        prop_assert!(!under || inches < back, "{printed}");
        // A sign behind whole inches would read as a fraction torn off.
        prop_assert!(!printed.contains("+ in") && !printed.contains("- in") || printed.contains('/'));
    }

    #[test]
    fn any_bytes_are_a_job_or_an_error_with_a_place(text in "\\PC{0,200}") {
        if let Err(error) = seatcut::job::read_job("job.toml", &text, &|_| unreachable!()) {
            prop_assert!(error.place().is_some());
        }
    }

    #[test]
    fn a_job_with_one_character_changed_is_a_job_or_an_error(at in 0_usize..3000, put in any::<char>()) {
        let mut chars: Vec<char> = seatcut::job::STARTER.chars().collect();
        let at = at % chars.len();
        chars[at] = put;
        let text: String = chars.into_iter().collect();
        let missing = |path: &str| Err(seatcut::diagnostics::Error::new(seatcut::diagnostics::ErrorKind::File, path));
        if let Ok(job) = seatcut::job::read_job("job.toml", &text, &missing) {
            let _ = Workup::of(&job);
        }
    }
}
