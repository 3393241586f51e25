//! Programs that do more, or less, than make the part: each is refused, and called by its name.

use super::testing::*;
use super::*;
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Placement, Point, Segment, Vector};
use crate::job::Corners;

fn codes(verdict: &Verdict) -> Vec<&'static str> {
    let mut codes: Vec<_> = verdict.findings.iter().map(|finding| finding.code.name()).collect();
    codes.dedup();
    codes
}

/// As planned here: nothing beside the piece but these ways.
fn planned<'a>(e: Expectation<'a>, ways: Vec<Segment>) -> Expectation<'a> {
    Expectation { waste: Waste::Planned(ways), ..e }
}

/// A cut through the material from point to point, put in before the program's end.
fn with_cut(text: &str, points: &[Point]) -> String {
    let word = |p: &Point| format!("X{:.4} Y{:.4}", p.x / 25.4, p.y / 25.4);
    let mut cut = format!("G0 {}\nG1 Z-0.1000 F48.0\n", word(&points[0]));
    for z in ["-0.1000", "-0.2000", "-0.2600"] {
        points
            .iter()
            .chain([&points[0]])
            .for_each(|p| cut += &format!("G1 {} Z{z} F96.0\n", word(p)));
    }
    text.replacen("M5\n", &format!("{cut}G0 Z0.5000\nM5\n"), 1)
}

#[test]
fn what_was_planned_is_taken_and_any_other_cut_is_called_unplanned() {
    let job = job();
    let e = planned(tied(expectation(&job, Corners::Bisector)), Vec::new());
    let text = router_program(&e);
    assert_eq!(verdict(&text, &e).findings, []);
    let far = [Point::new(1200.0, 600.0), Point::new(1210.0, 600.0)];
    let found = codes(&verdict(&with_cut(&text, &far), &e));
    assert_eq!(found, ["entry-feed-fast", "plunge", "cut-unplanned"]);
    // However shallow, and along a declared way not.
    let scratch = "G0 X40.0000 Y20.0000\nG1 Z-0.0020 F48.0\nG1 X41.0000\nG0 Z0.5000\nM5\n";
    let scratched = text.replacen("M5\n", scratch, 1);
    assert!(codes(&verdict(&scratched, &e)).contains(&"cut-unplanned"));
    let (from, to) = (Point::new(40.0 * 25.4, 20.0 * 25.4), Point::new(41.0 * 25.4, 20.0 * 25.4));
    let way = Segment::Line { from, to };
    assert!(
        !codes(&verdict(&scratched, &planned(e.clone(), vec![way]))).contains(&"cut-unplanned")
    );
    assert!(
        codes(&verdict(&scratched, &planned(e, vec![way.piece(0.0, 0.9)])))
            .contains(&"cut-unplanned")
    );
}

#[test]
fn a_frame_sawn_round_the_part_is_unplanned_here_and_too_near_to_the_tabs_in_a_file_of_others() {
    let job = job();
    let e = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    let path = placed_path(&e);
    let around = path.iter().map(|s| s.bounds()).reduce(crate::geometry::Bounds::joined).unwrap();
    let frame = |off: f64| {
        let b = around.grown(off);
        with_cut(&text, &[b.min, Point::new(b.max.x, b.min.y), b.max, Point::new(b.min.x, b.max.y)])
    };
    let ours = planned(e.clone(), Vec::new());
    let others = Expectation { tabs: Tabs::ByRule, ..e };
    for off in [9.0, 12.0] {
        assert!(codes(&verdict(&frame(off), &ours)).contains(&"cut-unplanned"));
        assert!(codes(&verdict(&frame(off), &others)).contains(&"cut-beside-tab"), "{off}");
    }
    // Farther off a strip a cutter wide stands; that it hangs on nothing is for those who follow
    // what holds.
    let far = verdict(&frame(14.0), &others);
    assert!(
        codes(&far).contains(&"cut-in-waste") && !codes(&far).contains(&"cut-beside-tab"),
        "{:?}",
        far.findings
    );
}

#[test]
fn a_beam_is_accounted_for_too_its_lead_and_nothing_else() {
    let job = job_on("laser");
    let e = expectation(&job, Corners::Fillet);
    let text = laser_program(&e);
    assert_eq!(codes(&verdict(&text, &planned(e.clone(), Vec::new()))), ["cut-unplanned"]);
    let path = placed_path(&e);
    let (start, along) = (path[0].from(), path[0].direction_at(0.0));
    let laser = e.machine.tool.beam().unwrap();
    let lead = start + Vector::new(along.y, -along.x) * laser.lead.as_mm();
    let e = planned(e.clone(), vec![Segment::Line { from: lead, to: start }]);
    assert_eq!(verdict(&text, &e).findings, []);
    let slot = "S0\nG0 X20.000 Y20.000\nG1 X40.000 S1000\nS0\nG0 X0.000";
    assert_eq!(codes(&verdict(&text.replacen("S0\nG0 X0.000", slot, 1), &e)), ["cut-unplanned"]);
}

#[test]
fn a_beam_weaker_and_faster_at_once_does_not_cut_through() {
    let job = job_on("laser");
    let e = expectation(&job, Corners::Fillet);
    let text = laser_program(&e);
    let with = |power: &str, feed: &str| {
        let v = verdict(&text.replace("S1000", power).replace("F900", feed), &e);
        (v.is_this_part(), codes(&v))
    };
    assert!(with("S950", "F900").0 && with("S1000", "F950").0);
    for (power, feed) in [("S901", "F990"), ("S950", "F980"), ("S899", "F900")] {
        let (is_part, codes) = with(power, feed);
        assert!(!is_part && codes.contains(&"nothing-cut"), "{power} {feed}: {codes:?}");
    }
    assert!(with("S1000", "F700").1.contains(&"beam-burns"));
}

/// The sample's edge with a circle that ends where it started but for the last digit: its centre is
/// what the file says.
#[test]
fn a_nearly_full_circle_that_gouges_is_found_where_a_controller_cuts_it() {
    let job = job_on("laser");
    let e = expectation(&job, Corners::Fillet);
    let good = laser_program(&e);
    let edge = placed_path(&e)[0];
    // Below the lower edge, so that the circle reaches 2 mm into the part.
    let center = edge.point_at(0.5) + Vector::new(0.0, -6.0);
    for (places, end) in [(3, Vector::new(-0.002, -0.006)), (4, Vector::new(-0.0015, -0.006))] {
        let from = center + Vector::new(-8.0, 0.003);
        let (to, out) = (from + end, center - from);
        let arc = format!(
            "S0\nG0 X{:.places$} Y{:.places$}\nG2 X{:.places$} Y{:.places$} I{:.places$} \
            J{:.places$} S1000\nS0\nG0 X0.000",
            from.x, from.y, to.x, to.y, out.x, out.y
        );
        let v = verdict(&good.replacen("S0\nG0 X0.000", &arc, 1), &e);
        assert!(
            codes(&v).contains(&"gouge") && (v.gouge_mm - 2.0).abs() < 0.05,
            "{} {:?}",
            v.gouge_mm,
            v.findings
        );
    }
}

#[test]
fn an_end_off_its_circle_counts_on_both_sides() {
    let job = job();
    let e = tied(expectation(&job, Corners::Fillet));
    let good = router_program(&e);
    let spoilt = good.replace(" I0.0000 J0.1250", " I0.0000 J0.1254");
    assert_ne!(spoilt, good);
    // A controller takes it. The arc begins straight over its centre, which is off by 0.0004 in
    // along Y: after a turn by an angle its radius is other by that times 1 - cos, but for half the
    // last digit of its printed ends.
    let (off, turned) = (0.0004 * 25.4, 54.4_f64.to_radians());
    let end_off = off * (1.0 - turned.cos());
    let worse = verdict(&spoilt, &e);
    assert!(
        worse.is_this_part() && (worse.gouge_mm - end_off).abs() < 0.0013,
        "{end_off} {worse:?}"
    );
    assert!(worse.gouge_mm > verdict(&good, &e).gouge_mm + 0.0013);
    let tiny = good.replacen(
        "M5\n",
        "G0 X40.0000 Y20.0000\nG2 X40.0001 I0.0000 J-900.0000 F96.0\nM5\n",
        1,
    );
    assert!(codes(&verdict(&tiny, &e)).contains(&"arc-short"), "{:?}", verdict(&tiny, &e).findings);
}

#[test]
fn nothing_cut_is_nothing_proven_whatever_is_expected() {
    let job = job();
    let mut marking = expectation(&job, Corners::Fillet);
    let strokes = vec![vec![Point::new(100.0, 80.0), Point::new(140.0, 80.0)]];
    marking.pieces[0].task = Task::Marks(Marks { strokes, depth_mm: 0.5, width_mm: 0.8 });
    marking.pieces[0].placement = Placements::Any;
    let mut cutting = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&cutting);
    let given = cutting.clone();
    cutting.pieces[0].placement = Placements::Any;
    let in_the_air = text.replace("Z-", "Z");
    for e in [&marking, &cutting, &given] {
        for text in ["M30\n", in_the_air.as_str()] {
            let v = verdict(text, e);
            assert!(
                !v.is_this_part() && v.findings.iter().any(crate::diagnostics::Finding::refuses),
                "{v:?}"
            );
        }
    }
    assert!(codes(&verdict("M30\n", &marking)).contains(&"not-this-part"));
}

#[test]
fn a_figure_beyond_the_tolerance_is_never_the_part() {
    let job = job();
    let e = tied(expectation(&job, Corners::Fillet));
    let good = verdict(&router_program(&e), &e);
    assert!(good.is_this_part());
    let spoilt = [
        Verdict { gouge_mm: 2.0 * PROOF_MM, ..good.clone() },
        Verdict { left_mm: 2.0 * PROOF_MM, ..good.clone() },
        Verdict { left_mm: f64::NAN, ..good.clone() },
        Verdict { judged: Judged::Nothing, ..good },
    ];
    for verdict in spoilt {
        assert!(!verdict.is_this_part());
        assert_eq!(codes(&verdict.settled("p.nc")), ["not-proven"]);
    }
}

#[test]
fn words_in_forms_that_controllers_refuse_are_errors_at_their_place() {
    let job = job();
    let e = tied(expectation(&job, Corners::Fillet));
    let good = router_program(&e);
    let numbered: String =
        good.lines().enumerate().map(|(i, line)| format!("N{i} {line}\n")).collect();
    assert!(verdict(&numbered, &e).is_this_part());
    for word in [
        "N1.5 G17",
        "N-5 G17",
        "N999999 G17",
        "G17 N5",
        "G-0",
        "G017.000",
        "G001",
        "G17.",
        "G1.00",
        "M+5",
        "M005",
    ] {
        let error = verify_program(good.replacen("G17", word, 1).as_bytes(), "p.nc", &e)
            .unwrap_err()
            .to_string();
        assert!(
            error.contains("p.nc:2") && error.contains("a form that controllers refuse"),
            "{word}: {error}"
        );
    }
    let long = good.replacen("G17", &format!("G17 {}", "X1 ".repeat(100)), 1);
    assert!(
        verify_program(long.as_bytes(), "p.nc", &e)
            .unwrap_err()
            .to_string()
            .contains("too long to be read")
    );
}

#[test]
fn a_framed_program_is_told_only_where_the_profile_differs() {
    let job = job();
    let e = tied(expectation(&job, Corners::Fillet));
    let framed = format!("%\n{}%\n\n", router_program(&e));
    let v = verdict(&framed, &e);
    assert_eq!(codes(&v), ["percent-lines"]);
    assert!(v.is_this_part());
    let machine = crate::profile::Machine { percent_lines: true, ..job.cut.machine.clone() };
    let asks = Expectation { machine: &machine, ..e };
    assert_eq!(verdict(&framed, &asks).findings, []);
    for moved in [
        framed.replacen("G90\n", "G90\n%\n", 1),
        framed.replacen("%\n", "", 1),
        format!("(first)\n{framed}"),
    ] {
        assert!(codes(&verdict(&moved, &asks)).contains(&"percent-place"), "{moved}");
    }
}

#[test]
fn a_sheet_with_one_of_its_pieces_left_out_says_which_are_made() {
    let job = job();
    let mut e = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    let second = Placement::translation(60.0, 700.0);
    e.pieces[0].placement = Placements::Given(vec![home(), second]);
    let v = verdict(&text, &e);
    let told = v.findings.iter().find(|finding| finding.code.name() == "not-all-pieces").unwrap();
    let words = "1 of 2 pieces are made, part 1; not made, or not judged: part 2";
    assert_eq!(told.sentence(), words);
}

#[test]
fn a_piece_that_hangs_out_of_the_material_is_told() {
    let job = job();
    let mut e = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    let part = e.pieces[0].part.placed(&home()).bounds();
    e.stock.length_mm = part.max.x + 1.0;
    assert!(!codes(&verdict(&text, &e)).contains(&"piece-off-stock"));
    e.stock.length_mm = part.max.x - 1.0;
    assert!(codes(&verdict(&text, &e)).contains(&"piece-off-stock"));
}

#[test]
fn a_program_with_more_moves_than_any_sheet_has_is_an_error() {
    let job = job();
    let e = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    for more in ["G0 X1.0000\n", "G4 P0\n", "M5\n"] {
        let long = text.replacen("M30", &format!("{}M30", more.repeat(limits::MOST_MOVES + 1)), 1);
        let error = verify_program(long.as_bytes(), "p.nc", &e).unwrap_err().to_string();
        assert!(error.contains("too many moves"), "{error}");
    }
}

#[test]
fn a_state_that_is_first_said_in_the_middle_is_refused() {
    let job = job();
    let e = tied(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    for word in ["G40\n", "G49\n", "G54\n", "G80\n"] {
        let without = text.replacen(word, "", 1);
        assert_eq!(codes(&verdict(&without, &e)), ["state-not-said"], "{word}");
        let late = without.replacen("M5\n", &format!("{word}M5\n"), 1);
        let v = verdict(&late, &e);
        assert!(codes(&v).contains(&"state-late") && !v.is_this_part(), "{word}: {:?}", v.findings);
        let again = text.replacen("M5\n", &format!("{word}M5\n"), 1);
        assert_eq!(verdict(&again, &e).findings, [], "{word}");
    }
}

#[test]
fn what_a_beam_does_to_a_piece_that_lies_loose_is_refused_and_before_that_not() {
    let job = job_on("laser");
    let e = expectation(&job, Corners::Fillet);
    let text = laser_program(&e);
    let middle = {
        let ring = placed_path(&e);
        ring.iter().map(|s| s.bounds()).reduce(crate::geometry::Bounds::joined).unwrap()
    };
    let (x, y) = ((middle.min.x + middle.max.x) / 2.0, (middle.min.y + middle.max.y) / 2.0);
    let slit = format!("S0\nG0 X{x:.3} Y{y:.3}\nG1 X{:.3} S1000\nS0\n", x + 5.0);
    let after = text.replacen("S0\nG0 X0.000", &format!("{slit}G0 X0.000"), 1);
    assert_ne!(after, text);
    assert!(codes(&verdict(&after, &e)).contains(&"loose-worked"));
    // The same before the outline is too much cut, and not on a loose piece.
    let first = text.find("G0 X").unwrap();
    let before = format!("{}{slit}{}", &text[..first], &text[first..]);
    let found = codes(&verdict(&before, &e));
    assert!(found.contains(&"gouge") && !found.contains(&"loose-worked"), "{found:?}");
}

#[test]
fn a_beam_that_goes_round_once_more_than_its_profile_says_burns() {
    let job = job_on("laser");
    let e = expectation(&job, Corners::Fillet);
    let text = laser_program(&e);
    let (start, end) = (text.find("G0 X").unwrap(), text.find("S0\nG0 X0.000").unwrap());
    let once = &text[start..end];
    let twice = format!("{}{once}S0\n{once}{}", &text[..start], &text[end..]);
    assert!(!codes(&verdict(&text, &e)).contains(&"beam-again"));
    assert!(codes(&verdict(&twice, &e)).contains(&"beam-again"));
}
