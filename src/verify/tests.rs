//! Whole programs held against the part: the good ones pass, every kind of damage is named.

use super::testing::{
    TAB, expectation, home, job, job_on, laser_program, placed_path, router_program, sheet_program,
    tabs, tied, verdict,
};
use super::*;
use crate::diagnostics::Value;
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Bounds, Contour, Placement, Vector};
use crate::job::Corners;
use crate::stair::outline::Role;

const CHOICES: [Corners; 4] = [Corners::Fillet, Corners::Bisector, Corners::Riser, Corners::Tread];

fn codes(verdict: &Verdict) -> Vec<&'static str> {
    verdict.findings.iter().map(|finding| finding.code.name()).collect()
}

fn has(text: &str, e: &Expectation<'_>, code: &str) -> bool {
    codes(&verdict(text, e)).contains(&code)
}

fn with_tabs(mut e: Expectation<'_>) -> Expectation<'_> {
    e.tabs = Tabs::Declared(tabs(&e));
    e
}

#[test]
fn a_good_program_passes_with_every_choice_of_inside_corner_on_every_router() {
    for machine in ["router-table", "router-metric"] {
        let job = job_on(machine);
        for choice in CHOICES {
            let e = with_tabs(expectation(&job, choice));
            let v = verdict(&router_program(&e), &e);
            assert_eq!(v.findings, [], "{machine} {choice:?}");
            assert!(v.gouge_mm < PROOF_MM / 4.0 && v.left_mm < PROOF_MM / 4.0, "{v:?}");
            assert_eq!(
                (v.tabs.len(), v.fillets),
                (3, if choice == Corners::Fillet { 3 } else { 0 })
            );
            assert!((v.boundary_uncut_mm - 54.0).abs() < 4.0, "{}", v.boundary_uncut_mm);
        }
    }
}

#[test]
fn a_good_laser_program_passes_without_tabs() {
    let job = job_on("laser");
    for choice in CHOICES {
        let e = expectation(&job, choice);
        let v = verdict(&laser_program(&e), &e);
        assert_eq!(v.findings, [], "{choice:?}");
        assert!(v.is_this_part() && v.boundary_uncut_mm == 0.0);
    }
}

#[test]
fn another_choice_of_inside_corner_is_another_part() {
    let job = job();
    for made in CHOICES {
        for expected in CHOICES.into_iter().filter(|&expected| expected != made) {
            let text = router_program(&expectation(&job, made));
            let v = verdict(&text, &with_tabs(expectation(&job, expected)));
            assert!(!v.is_this_part(), "{made:?} passed for {expected:?}");
        }
    }
}

/// The part with tread 1 moved by `mm` away from the solid.
fn tread_moved(part: &Contour<Role>, mm: f64) -> Contour<Role> {
    let edges = part.edges();
    let at = edges.iter().position(|edge| edge.role == Role::Tread(1)).unwrap();
    let along = edges[at].segment.direction_at(0.0);
    let out = Vector::new(along.y, -along.x) * mm;
    let moved = |i: usize| if i == at || i == at + 1 { out } else { Vector::zeros() };
    let vertices: Vec<_> = edges
        .iter()
        .enumerate()
        .map(|(i, edge)| (edge.segment.from() + moved(i), edge.role))
        .collect();
    Contour::polygon(&vertices).unwrap()
}

#[test]
fn a_thousandth_of_an_inch_too_deep_or_too_little_is_found_at_its_tread() {
    let job = job();
    let good = with_tabs(expectation(&job, Corners::Fillet));
    let text = router_program(&good);
    for (mm, code) in [(0.0254, "gouge"), (-0.0254, "uncut")] {
        let mut e = good.clone();
        e.pieces[0].part = tread_moved(&good.pieces[0].part, mm);
        let v = verdict(&text, &e);
        let finding = v.findings.iter().find(|finding| finding.code.name() == code).unwrap();
        assert!(finding.place.to_string().contains("tread 1"), "{finding}");
        let figure = if mm > 0.0 { v.gouge_mm } else { v.left_mm };
        assert!((figure - 0.0254).abs() < 0.003, "{figure}");
    }
}

#[test]
fn a_cut_through_the_middle_of_the_part_is_a_gouge() {
    let job = job();
    let e = with_tabs(expectation(&job, Corners::Fillet));
    let inside = home() * (e.pieces[0].part.bounds().min + Vector::new(200.0, 120.0));
    let (x, y) = (inside.x / 25.4, inside.y / 25.4);
    let hole = format!("G0 Z0.5000\nG0 X{x:.4} Y{y:.4}\nG1 Z-0.1000\nG0 Z0.5000\nM5");
    let text = router_program(&e).replace("M5", &hole);
    let v = verdict(&text, &e);
    assert!(codes(&v).contains(&"gouge") && v.gouge_mm > 20.0, "{v:?}");
}

#[test]
fn a_missing_line_of_the_last_pass_is_found() {
    let job = job();
    let e = with_tabs(expectation(&job, Corners::Fillet));
    let lines: Vec<String> = router_program(&e).lines().map(str::to_string).collect();
    let last = lines.iter().rposition(|line| line == "G0 Z0.5000").unwrap();
    // The very last arc rolls round a corner that its neighbours reach already: the part does not
    // need it.
    for missing in last - (placed_path(&e).len() - 2)..last - 1 {
        let mut cut = lines.clone();
        cut.remove(missing);
        let v = verdict(&(cut.join("\n") + "\n"), &e);
        assert!(!v.is_this_part(), "nobody missed {}", lines[missing]);
    }
}

#[test]
fn tabs_must_be_as_declared_neither_more_nor_fewer() {
    let job = job();
    let good = with_tabs(expectation(&job, Corners::Fillet));
    let text = router_program(&good);
    let declared = tabs(&good);
    let with = |change: &dyn Fn(&mut Vec<DeclaredTab>)| {
        let mut tabs = declared.clone();
        change(&mut tabs);
        let e = Expectation { tabs: Tabs::Declared(tabs), ..good.clone() };
        codes(&verdict(&text, &e))
    };
    assert_eq!(with(&|tabs| tabs.truncate(2)), ["tab-undeclared", "loose-part"]);
    let further = |tabs: &mut Vec<DeclaredTab>| {
        tabs.push(DeclaredTab::even(tabs[0].at + along(&good) * 40.0, TAB.0, TAB.1));
    };
    assert_eq!(with(&further), ["tab-missing"]);
    assert!(with(&|tabs| tabs[1].height_mm = 1.9).contains(&"tab-differs"));
    assert!(with(&|tabs| tabs[1].length_mm = 19.0).contains(&"tab-differs"));
    assert!(with(&|tabs| tabs[1].at += along(&good) * 0.1).contains(&"tab-differs"));
    assert!(with(&|tabs| tabs[1].at += Vector::new(0.0, 100.0)).contains(&"tab-missing"));
}

/// A program with a rectangle cut through the stock, `off` mm outside the part's path, before the
/// part itself.
fn sawn_round(e: &Expectation<'_>, off: f64, gap: f64) -> String {
    sawn(&router_program(e), e, off, gap)
}

fn sawn(text: &str, e: &Expectation<'_>, off: f64, gap: f64) -> String {
    let around =
        placed_path(e).iter().map(|s| s.bounds()).reduce(Bounds::joined).unwrap().grown(off);
    let (low, high) = (around.min / 25.4, around.max / 25.4);
    let ring = format!(
        "G0 Z0.5000\nG0 X{x1:.4} Y{y0:.4}\nG1 Z-0.1000 F48\nX{x1:.4} Y{y1:.4} F192\nX{x0:.4} \
            Y{y1:.4}\nX{x0:.4} Y{y0:.4}\n\
         X{end:.4} Y{y0:.4}\nZ-0.2610 F48\nX{x0:.4} Y{y0:.4} F192\nX{x0:.4} Y{y1:.4}\nX{x1:.4} \
         Y{y1:.4}\nX{x1:.4} Y{y0:.4}\nG0 Z0.5000\nM5",
        x0 = low.x,
        y0 = low.y,
        x1 = high.x,
        y1 = high.y,
        end = high.x - gap / 25.4,
    );
    text.replace("M5", &ring)
}

#[test]
fn a_program_that_saws_the_frame_of_the_part_loose_is_not_taken() {
    let job = job();
    let mut e = with_tabs(expectation(&job, Corners::Fillet));
    let free =
        |text: &str, e: &Expectation<'_>| codes(&verdict(text, e)).contains(&"part-cut-free");
    assert!(!free(&router_program(&e), &e));
    assert!(free(&sawn_round(&e, 20.0, 0.0), &e));
    assert!(free(&sawn_round(&e, 20.0, 6.0), &e), "the gap is taken by the cutter's round ends");
    assert!(!free(&sawn_round(&e, 20.0, 20.0), &e));
    let holding = verdict(&sawn_round(&e, 20.0, 0.0), &e).holding.unwrap();
    assert_eq!(holding.pieces, [("part 1".to_string(), false)]);
    let [frame, sawn] = &holding.components[..] else { panic!("{holding:?}") };
    assert!(frame.held && !sawn.held && sawn.area_mm2 > e.pieces[0].part.area());
    // Whoever does not say how the part is held is warned.
    e.tabs = Tabs::ByRule;
    let foreign = codes(&verdict(&sawn_round(&e, 20.0, 0.0), &e));
    assert!(foreign.contains(&"loose-part") && !foreign.contains(&"part-cut-free"), "{foreign:?}");
}

#[test]
fn waste_larger_than_a_coin_that_is_cut_free_is_told_with_its_place_and_size() {
    let job = job();
    let mut e = with_tabs(expectation(&job, Corners::Fillet));
    let part = placed_path(&e).iter().map(|s| s.bounds()).reduce(Bounds::joined).unwrap();
    let with_island = |side: f64| {
        let (x, y) = ((part.max.x + 60.0) / 25.4, 60.0 / 25.4);
        let (u, v) = (x + side / 25.4, y + side / 25.4);
        let ring = format!(
            "G0 Z0.5000\nG0 X{x:.4} Y{y:.4}\nG1 Z-0.1000\nX{u:.4}\nY{v:.4}\nX{x:.4}\nY{y:.4}\n\
             Z-0.2610\nX{u:.4}\nY{v:.4}\nX{x:.4}\nY{y:.4}\nG0 Z0.5000\nM5"
        );
        router_program(&e).replace("M5", &ring)
    };
    let text = with_island(60.0);
    let v = verdict(&text, &e);
    let told = v.findings.iter().find(|f| f.code.name() == "waste-cut-free").unwrap();
    // 60 mm less the cutter's width all round.
    let side = 60.0 - 2.0 * e.machine.tool_radius().as_mm();
    let figure = |name: &str| told.value(name).and_then(Value::measured).unwrap();
    let ((area, unit), (length, width)) = (figure("measured"), (figure("length"), figure("width")));
    assert!((area - side * side).abs() < 0.02 * side * side && unit == "mm2", "{told:?}");
    assert!(
        [length, width].iter().all(|(mm, unit)| (mm - side).abs() <= 1.0 && *unit == "mm"),
        "{told:?}"
    );
    let coin = with_island(27.0);
    assert!(!codes(&verdict(&coin, &e)).contains(&"waste-cut-free"));
    e.tabs = Tabs::ByRule;
    assert!(codes(&verdict(&text, &e)).contains(&"waste-loose"));
}

fn along(e: &Expectation<'_>) -> Vector {
    placed_path(e)[0].direction_at(0.0)
}

#[test]
fn tabs_by_rule_are_accepted_and_listed() {
    let job = job();
    let made = round_its_centre(expectation(&job, Corners::Fillet));
    let e = Expectation { tabs: Tabs::ByRule, ..made.clone() };
    let v = verdict(&sheet_program(&made), &e);
    assert_eq!(codes(&v), ["tab-found"; 5]);
    assert!(v.is_this_part());
    assert!((v.tabs[0].height_mm - 2.0).abs() < 0.01 && v.tabs[0].edge == "lower edge");
}

/// With three tabs on the lower edge and one on each of the two longest straight edges beside it.
fn round_its_centre(e: Expectation<'_>) -> Expectation<'_> {
    let mut e = with_tabs(e);
    let mut others: Vec<_> = placed_path(&e).into_iter().skip(1).collect();
    others.sort_by(|a, b| b.length().total_cmp(&a.length()));
    let tab = |on: &crate::geometry::Segment| DeclaredTab::even(on.point_at(0.5), TAB.0, TAB.1);
    let Tabs::Declared(tabs) = &mut e.tabs else { unreachable!() };
    tabs.extend(others[..2].iter().map(tab));
    e
}

#[test]
fn tabs_of_others_that_all_stand_on_one_edge_or_end_in_loose_wood_are_refused() {
    let job = job();
    let plain = || expectation(&job, Corners::Fillet);
    let by_rule = |made: &Expectation<'_>, text: &str| {
        let v = verdict(text, &Expectation { tabs: Tabs::ByRule, ..made.clone() });
        (codes(&v).contains(&"tabs-off-centre"), v.is_this_part())
    };
    let (good, one_edge) = (round_its_centre(plain()), with_tabs(plain()));
    assert_eq!(by_rule(&good, &sheet_program(&good)), (false, true));
    assert_eq!(by_rule(&one_edge, &sheet_program(&one_edge)), (true, false));
    // The same tabs, and a frame about them that no tab ties to the sheet.
    assert_eq!(by_rule(&good, &sawn(&sheet_program(&good), &good, 20.0, 0.0)), (true, false));
    assert_eq!(by_rule(&good, &sawn(&sheet_program(&good), &good, 20.0, 40.0)), (false, true));
    // What was planned so was told when it was planned.
    assert_eq!(verdict(&sheet_program(&one_edge), &one_edge).findings, []);
}

#[test]
fn a_part_that_lies_anywhere_turned_by_quarters_is_found() {
    let job = job();
    let made = with_tabs(expectation(&job, Corners::Fillet));
    let text = router_program(&made);
    let turned = Placement::rotation(-std::f64::consts::FRAC_PI_2);
    let mut e = made.clone();
    e.pieces[0].placement = Placements::Any;
    let v = verdict(&text, &e);
    assert_eq!(v.findings, []);
    assert!((v.placements[0].x_mm - 60.0).abs() < 0.01 && v.placements[0].turn_deg.abs() < 1e-9);
    e.pieces[0].part = e.pieces[0].part.placed(&turned);
    let v = verdict(&text, &e);
    assert!((v.placements[0].turn_deg - 90.0).abs() < 1e-6);
    assert_eq!(v.findings, []);
}

#[test]
fn another_size_is_not_this_part_and_a_wrong_unit_is_named() {
    let job = job();
    let mut e = with_tabs(expectation(&job, Corners::Fillet));
    e.pieces[0].placement = Placements::Any;
    let v = verdict(&router_program(&e).replace("G20", "G21"), &e);
    let finding = v.findings.iter().find(|finding| {
        finding.code.name() == "not-this-part" || finding.code.name() == "nothing-cut"
    });
    assert!(finding.is_some() && !v.is_this_part(), "{:?}", v.findings);
}

/// What one change of a good program must be called. Each takes one word or line away, or puts
/// another in its place.
const DAMAGE: &[(&str, &str, &str)] = &[
    ("G20\n", "", "units-missing"),
    ("G20\n", "G21\n", "units-changed"),
    ("G20\n", "G20 G21\n", "modal-clash"),
    ("G17\n", "", "mode-not-said"),
    ("G90\n", "", "mode-not-said"),
    ("G94\n", "", "mode-not-said"),
    ("G40\n", "", "state-not-said"),
    ("G80\n", "", "state-not-said"),
    ("M3 S16000\n", "", "spindle-off-in-material"),
    ("M3 S16000\n", "M3\n", "spindle-off-in-material"),
    ("M3 S16000\n", "S16000\n", "spindle-off-in-material"),
    ("M3 S16000\n", "M4 S16000\n", "spindle-wrong-way"),
    ("M3 S16000\n", "M3 S0\n", "spindle-off-in-material"),
    ("M3 S16000\n", "M3 S26000\n", "spindle-speed"),
    ("M3 S16000\n", "M3 S1600\n", "spindle-stalled"),
    ("G4 P3\n", "", "spin-up-short"),
    ("G4 P3\n", "G4 P2\n", "spin-up-short"),
    ("G4 P3\n", "G4\n", "dwell-without-time"),
    ("G4 P3\n", "P3\n", "stray-word"),
    ("G0 Z0.5000\n", "", "unknown-start"),
    ("G0 Z0.5000\n", "G0 Z0.1000\n", "rapid-low"),
    ("G0 Z0.5000\n", "G0 Z-0.1000\n", "rapid-in-material"),
    ("G0 Z0.5000\n", "Z0.5000\n", "motion-missing"),
    ("G1 Z0.0000 F48.0\n", "G1 Z0.0000\n", "feed-missing"),
    ("G1 Z0.0000 F48.0\n", "G0 Z-0.1000 F48.0\n", "rapid-in-material"),
    ("F192.0\n", "F500.0\n", "feed-range"),
    ("F192.0\n", "F0.0\n", "feed-range"),
    ("F192.0\n", "F230.0\n", "feed-fast"),
    ("F192.0\n", "F1.0\n", "feed-slow"),
    ("G1 Z0.0000 F48.0\n", "G1 Z0.0000 F110.0\n", "entry-feed-fast"),
    ("G1 Z0.0000 F48.0\n", "G1 Z-0.0500 F60.0\n", "entry-feed-fast"),
    ("Z-0.2700\n", "Z-0.3700\n", "below-floor"),
    ("G4 P3\n", "G4 P3 P4\n", "word-twice"),
    ("F192.0\n", "F192.0\nG4 P1\n", "dwell-in-material"),
    (" I0.0000 J0.1250", " I0.0000 J0.1350", "arc-radius"),
    (" I0.0000 J0.1250", "", "arc-centre-missing"),
    ("M5\nM30", "M30", "spindle-on-at-end"),
    ("G0 Z0.5000\nM5", "G0\nM5", "ends-low"),
    ("M3 S16000\n", "M3 S9000\n", "spindle-slow"),
    ("M3 S16000\n", "M3 S7000\n", "spindle-stalled"),
    ("M3 S16000\n", "M3 S-1\n", "spindle-speed"),
    ("G1 Z0.0000 F48.0\n", "G0 Z0.0000 F48.0\n", "rapid-low"),
    ("M30\n", "", "end-missing"),
    ("M30\n", "M2\n", "end-word"),
    ("M30\n", "M30\nG0 Z0.0000\n", "after-end"),
    ("M30\n", "M30\n(and so on)\n", "after-end"),
    ("G90\n", "G90\n%\n", "percent-place"),
    ("G20\n", "%\nG20\n", "percent-place"),
    ("M30\n", "M30\n%\n", "percent-place"),
    ("F192.0\n", "F192.0\nG4 P60\n", "stands-in-material"),
    ("F192.0\n", "F192.0\nM0\n", "stop-in-material"),
    ("F192.0\n", "F192.0\nM5\n", "tool-switched-in-material"),
    ("F192.0\n", "F192.0\nM3 S16000\n", "tool-switched-in-material"),
    ("G4 P3\n", "G4 P3\nM8\n", "coolant-on"),
    ("G90\n", "G90 (50 %)\n", "comment-active"),
    ("G90\n", "G90 (LOGOPEN,x.txt)\n", "comment-active"),
    ("G90\n", "G90 ; a comment\n", "comment-style"),
    ("G90\n", "G91.1\nG90\n", "word-not-taken"),
    (
        "G90\n",
        "G90 (a comment that goes on and on until no controller can be expected to keep it)\n",
        "line-too-long",
    ),
];

#[test]
fn every_change_of_a_word_is_called_by_its_name() {
    let job = job();
    let e = with_tabs(expectation(&job, Corners::Fillet));
    let good = router_program(&e);
    for (from, to, code) in DAMAGE {
        assert!(good.contains(from), "{from:?} is not in the program:\n{good}");
        let text = good.replacen(from, to, 1);
        assert!(has(&text, &e, code), "{from:?} -> {to:?}: {:?}", verdict(&text, &e).findings);
    }
}

#[test]
fn steeper_than_a_ramp_a_cutter_goes_down_no_faster_than_straight_down() {
    let job = job();
    let e = with_tabs(expectation(&job, Corners::Fillet));
    let good = router_program(&e);
    // The last way down is one in two, behind a tab; the profile's entry feed is 96.
    let down = good.rfind("\nF48.0\n").unwrap();
    let at = |feed: &str| format!("{}\nF{feed}\n{}", &good[..down], &good[down + 7..]);
    assert!(!has(&at("52.0"), &e, "entry-feed-fast"));
    assert!(has(&at("60.0"), &e, "entry-feed-fast"));
}

#[test]
fn every_coordinate_of_the_last_pass_that_moves_is_missed() {
    let job = job();
    let e = with_tabs(expectation(&job, Corners::Fillet));
    let lines: Vec<String> = router_program(&e).lines().map(str::to_string).collect();
    let last = lines.iter().rposition(|line| line == "G0 Z0.5000").unwrap();
    let first = last - (placed_path(&e).len() - 2);
    for at in first..last {
        for letter in ["X", "Y", "I", "J"] {
            let Some((word, value)) = word_of(&lines[at], letter) else { continue };
            for by in [-0.01, 0.01] {
                let mut changed = lines.clone();
                changed[at] = lines[at].replace(&word, &format!("{letter}{:.4}", value + by));
                let v = verdict(&(changed.join("\n") + "\n"), &e);
                assert!(!v.is_this_part(), "{} passed for {}", changed[at], lines[at]);
            }
        }
    }
}

fn word_of(line: &str, letter: &str) -> Option<(String, f64)> {
    let word = line.split(' ').find(|word| word.starts_with(letter))?;
    Some((word.to_string(), word[1..].parse().ok()?))
}

#[test]
fn an_arc_turned_round_is_found() {
    let job = job();
    let e = with_tabs(expectation(&job, Corners::Fillet));
    let good = router_program(&e);
    for (i, _) in good.match_indices("G3 ") {
        let text = format!("{}G2 {}", &good[..i], &good[i + 3..]);
        assert!(!verdict(&text, &e).is_this_part());
    }
}

#[test]
fn a_pass_deeper_than_allowed_and_a_straight_plunge_are_told() {
    let job = job();
    let e = with_tabs(expectation(&job, Corners::Fillet));
    let mut shallow = job.cut.machine.clone();
    let crate::profile::Tool::Router(router) = &mut shallow.tool else { panic!("a router") };
    router.pass_depth = crate::units::Length::mm(3.0);
    let text = router_program(&e);
    assert!(has(&text, &Expectation { machine: &shallow, ..e.clone() }, "pass-too-deep"));
    let plunged = text.replacen("G1 Z0.0000 F48.0\n", "G1 Z-0.0500 F48.0\n", 1);
    assert!(has(&plunged, &e, "plunge"));
}

#[test]
fn a_tool_that_fits_no_corner_or_is_too_short_is_told() {
    let job = job();
    let e = with_tabs(expectation(&job, Corners::Tread));
    let text = router_program(&e);
    let with = |change: &dyn Fn(&mut crate::profile::Router)| {
        let mut machine = job.cut.machine.clone();
        let crate::profile::Tool::Router(router) = &mut machine.tool else { panic!("a router") };
        change(router);
        codes(&verdict(&text, &Expectation { machine: &machine, ..e.clone() }))
    };
    let mm = crate::units::Length::mm;
    assert!(with(&|router| router.flute_length = mm(5.0)).contains(&"deeper-than-cutter"));
    assert!(with(&|router| router.cutter = mm(120.0)).contains(&"corner-does-not-fit"));
    let mut skewed = e.clone();
    let edges = e.pieces[0].part.edges();
    let vertex = |edge: &crate::geometry::Edge<Role>| {
        (edge.segment.from() + Vector::new(0.1 * edge.segment.from().y, 0.0), edge.role)
    };
    skewed.pieces[0].part =
        Contour::polygon(&edges.iter().map(vertex).collect::<Vec<_>>()).unwrap();
    assert!(codes(&verdict(&text, &skewed)).contains(&"corner-not-square"));
}

#[test]
fn travel_and_material_bound_the_program() {
    let job = job();
    let mut e = with_tabs(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    e.stock.width_mm = 100.0;
    assert!(has(&text, &e, "outside-stock"));
    let small =
        Expectation { machine: &job_on("router-table-small").cut.machine.clone(), ..e.clone() };
    let far = text.replace("M5\n", "G0 X60.0000\nM5\n");
    assert!(has(&far, &small, "outside-travel"));
}

#[test]
fn damage_to_a_laser_program_is_called_by_its_name() {
    let job = job_on("laser");
    let e = expectation(&job, Corners::Fillet);
    let good = laser_program(&e);
    for (from, to, code) in [
        ("M4 S0\n", "M4 S1000\n", "beam-on-rapid"),
        ("M4 S0\n", "M3 S0\n", "beam-word"),
        ("M4 S0\n", "M4 S0\nG0 Z-40.000\n", "beam-height"),
        ("M4 S0\n", "M4 S0\nG1 Z-1.000 F900\n", "beam-height"),
        ("F900", "F600", "beam-burns"),
        ("F900", "F9", "beam-fire"),
        ("F900", "F299", "beam-fire"),
        ("F900", "F240", "beam-fire"),
        ("F900", "F310", "beam-burns"),
        ("M4 S0\n", "S0\n", "nothing-cut"),
        ("S1000\n", "S300\n", "nothing-cut"),
        ("S1000\n", "S1200\n", "beam-power"),
        ("S1000\n", "S1000\nG4 P0.1\n", "beam-stands"),
        ("S0\nG0 X0.000", "G0 X0.000", "beam-on-rapid"),
        ("S0\nG0 X0.000 Y0.000\nM5\n", "", "beam-on-at-end"),
        ("F900", "F2000", "feed-fast"),
        ("F900", "F200", "feed-slow"),
        ("M4 S0\n", "M4 S-1\n", "spindle-speed"),
    ] {
        assert!(good.contains(from), "{from:?} is not in the program:\n{good}");
        assert!(has(&good.replacen(from, to, 1), &e, code), "{from:?} -> {to:?}");
    }
    let late = good.replacen("S0\nG0 X0.000", "G4 P0.3\nS0\nG0 X0.000", 1);
    assert!(has(&late, &e, "beam-stands"));
    let inside = home() * (e.pieces[0].part.bounds().min + Vector::new(200.0, 120.0));
    let pierce = format!("G1 X{:.3} Y{:.3}\nG4 P0.3\nS0\nG0", inside.x, inside.y);
    assert!(has(&good.replacen("S0\nG0 X0", &format!("{pierce} X0"), 1), &e, "pierce-on-part"));
    assert!(!has(&good, &e, "pierce-on-part"));
    // Lit on the line and not in the waste beside it.
    let lines: Vec<&str> = good.lines().collect();
    let lit = lines.iter().position(|line| line.starts_with('S')).unwrap();
    let start = lines[lit + 1].replace("G1", "G0");
    let at_edge = good.replacen(lines[lit - 1], start.split(" F").next().unwrap(), 1);
    assert!(has(&at_edge, &e, "pierce-near-part") && !has(&good, &e, "pierce-near-part"));
}

#[test]
fn a_board_needs_no_cut_along_its_lower_edge_where_that_is_the_boards_own() {
    let job = job();
    let low = expectation(&job, Corners::Fillet).pieces[0].part.bounds().min.y;
    // What stands along the lower edge like tabs is the board itself, where it lies along that.
    let told = |off: f64| {
        let mut e = expectation(&job, Corners::Fillet);
        e.pieces[0].placement = Placements::Given(vec![Placement::translation(60.0, off - low)]);
        let text = sheet_program(&tied(e.clone()));
        let (form, tabs) = (crate::profile::Form::Board, Tabs::Declared(Vec::new()));
        codes(&verdict(&text, &Expectation { form, tabs, ..e }))
    };
    assert!(!told(0.0).contains(&"tab-undeclared"), "{:?}", told(0.0));
    for off in [0.1, 2.54, 60.0] {
        assert!(told(off).contains(&"tab-undeclared"), "{off}: {:?}", told(off));
    }
}

#[test]
fn two_parts_on_one_sheet_are_both_held() {
    let job = job();
    let mut e = with_tabs(expectation(&job, Corners::Fillet));
    let text = router_program(&e);
    e.pieces[0].placement = Placements::Given(vec![home(), Placement::translation(60.0, 700.0)]);
    let v = verdict(&text, &e);
    assert!(
        v.findings
            .iter()
            .any(|f| f.code.name() == "uncut" && f.place.to_string().starts_with("part 2")),
        "{:?}",
        v.findings
    );
    assert!(v.findings.iter().all(|f| !f.place.to_string().starts_with("part 1")));
}

#[test]
fn no_bytes_make_it_panic() {
    let job = job();
    let e = with_tabs(expectation(&job, Corners::Fillet));
    let good = router_program(&e).into_bytes();
    let mut state = 7_u64;
    let mut next = || {
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize
    };
    let alphabet = b"0123456789.-GMXYZIJFSPN \n()%;";
    for _ in 0..150 {
        let mut text = good.clone();
        for _ in 0..=next() % 4 {
            let at = next() % text.len();
            text[at] = alphabet[next() % alphabet.len()];
        }
        let _ = verify_program(&text, "p.nc", &e);
    }
    let noise: Vec<u8> = (0..10_000).map(|_| next() as u8).collect();
    assert!(verify_program(&noise, "p.nc", &e).is_err());
}

#[test]
#[ignore = "a measurement; run it in release"]
fn ten_thousand_treads_are_proven_in_half_a_second() {
    for treads in [1_000, 10_000] {
        let job = job_on("laser");
        let mut e = expectation(&job, Corners::Bisector);
        e.pieces[0].part = long_part(treads);
        e.stock.length_mm = 1e7;
        e.pieces[0].placement = Placements::Given(vec![home()]);
        let text = laser_program(&e);
        let start = std::time::Instant::now();
        let v = verdict(&text, &e);
        let took = start.elapsed();
        assert!(v.findings.iter().all(|f| f.code.name() == "outside-travel"), "{:?}", v.findings);
        eprintln!("{treads} treads: {took:?}, gouge {}, left {}", v.gouge_mm, v.left_mm);
        assert!(treads < 10_000 || took.as_secs_f64() < 0.5);
    }
}

/// A sawtooth of many treads, lying along its pitch.
fn long_part(treads: usize) -> Contour<Role> {
    let (rise, run) = (180.0, 260.0);
    let mut vertices = vec![(crate::geometry::Point::new(0.0, -400.0), Role::LowerEdge)];
    let (x, y) = (run * treads as f64, rise * treads as f64);
    vertices.push((crate::geometry::Point::new(x, y - rise - 400.0), Role::HeadCut));
    for k in (1..=treads).rev() {
        let (x, y) = (run * k as f64, rise * k as f64 - rise);
        vertices.push((crate::geometry::Point::new(x, y), Role::Tread(k)));
        vertices.push((crate::geometry::Point::new(x - run, y), Role::Riser(k)));
    }
    let contour = Contour::polygon(&vertices).unwrap();
    let lying = contour.placed(&Placement::rotation(-f64::atan2(rise, run)));
    let min = lying.bounds().min;
    lying.placed(&Placement::translation(-min.x, -min.y))
}
