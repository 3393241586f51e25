//! Several pieces on one sheet, with clamps, margins and pin holes, and programs in shifted
//! sections: the good ones pass, every kind of damage is named. All parts are invented.

use super::testing::*;
use super::*;
use crate::diagnostics::{Finding, Value};
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Bounds, Contour, Placement, Point, Vector};
use crate::job::{Corners, Job};
use crate::profile::Tool;
use crate::stair::outline::Role;

/// The verdict on the programs of several set-ups.
fn together(texts: &[String], e: &Expectation<'_>) -> Verdict {
    let names = ["p-1.nc", "p-2.nc", "p-3.nc"];
    let files: Vec<(&str, &[u8])> =
        names.into_iter().zip(texts.iter().map(String::as_bytes)).collect();
    verify_set_ups(&files, "p.nc", e).unwrap()
}

/// Code and place of everything found.
fn told(verdict: &Verdict) -> Vec<(&'static str, String)> {
    verdict
        .findings
        .iter()
        .map(|finding| (finding.code.name(), finding.place.to_string()))
        .collect()
}

fn names(text: &str, e: &Expectation<'_>, code: &str, place: &str) -> bool {
    told(&verdict(text, e)).iter().any(|(c, p)| *c == code && p.contains(place))
}

fn half_round(x: f64, y: f64) -> Placement {
    Placement::from_parts(
        Vector::new(x, y).into(),
        Placement::rotation(std::f64::consts::PI).rotation,
    )
}

/// A clamp whose height nobody said.
fn clamp(x: f64, y: f64, to_x: f64, to_y: f64) -> Clamp {
    let place = Bounds { min: Point::new(x, y), max: Point::new(to_x, to_y) };
    Clamp { place, pad: place, height_mm: None }
}

/// Part A of two treads twice, once turned half round, and part B of three treads with two dowel
/// holes; two pin holes.
fn sheet<'a>(small: &'a Job, large: &Job) -> Expectation<'a> {
    let mut e = expectation(small, Corners::Fillet);
    let mut b = expectation(large, Corners::Riser).pieces.remove(0);
    let (box_a, box_b) = (e.pieces[0].part.bounds(), b.part.bounds());
    let second = half_round(60.0 + box_a.max.x, 110.0 + box_a.max.y + box_a.height());
    e.pieces[0].name = "part A".to_string();
    e.pieces[0].placement = Placements::Given(vec![home(), second]);
    b.name = "part B".to_string();
    let y = 160.0 + box_a.max.y + box_a.height() - box_b.min.y;
    b.placement = Placements::Given(vec![Placement::translation(60.0, y)]);
    let middle = box_b.min + Vector::new(box_b.width() / 2.0, 60.0);
    b.holes = [-120.0, 40.0]
        .map(|x| Hole { center: middle + Vector::new(x, 0.0), radius_mm: 8.0 })
        .to_vec();
    e.pieces.push(b);
    let pin = |x: f64| Hole { center: Point::new(x, 100.0), radius_mm: 6.0 };
    e.pins = [1500.0, 1900.0].map(|x| Pin { hole: pin(x), setup: 0 }).to_vec();
    e.spacing_mm = 20.0;
    e.margin_mm = 20.0;
    // Low enough for rapids to pass over.
    e.clamps = vec![Clamp { height_mm: Some(6.0), ..clamp(1600.0, 60.0, 1700.0, 120.0) }];
    tied(e)
}

fn jobs() -> (Job, Job) {
    (job(), job_of("router-table", 4))
}

#[test]
fn pieces_of_two_kinds_in_one_good_program_pass() {
    let (small, large) = jobs();
    let e = sheet(&small, &large);
    let v = verdict(&sheet_program(&e), &e);
    assert_eq!(v.findings, []);
    assert!(
        v.gouge_mm < PROOF_MM / 2.0 && v.left_mm < PROOF_MM / 2.0,
        "{} {}",
        v.gouge_mm,
        v.left_mm
    );
    assert_eq!((v.tabs.len(), v.placements.len(), v.fillets), (9, 3, 6));
    assert!(v.tabs.iter().any(|tab| tab.edge == "part A 2, lower edge"));
    assert!(v.tabs.iter().any(|tab| tab.edge == "part B, lower edge"));
}

#[test]
fn a_copy_or_a_hole_that_is_not_cut_is_named() {
    let (small, large) = jobs();
    let full = sheet(&small, &large);
    let mut made = full.clone();
    made.pieces[1].holes.pop();
    assert!(names(&sheet_program(&made), &full, "uncut", "part B, hole 2"));
    assert!(names(&sheet_program(&full), &made, "gouge", "part B"));
    let mut made = full.clone();
    made.pieces[0].placement = Placements::Given(vec![home()]);
    let v = verdict(&sheet_program(&made), &full);
    assert!(told(&v).contains(&("loose-part", "part A 2".to_string())), "{:?}", v.findings);
    assert!(
        told(&v)
            .iter()
            .all(|(_, place)| !place.starts_with("part A 1") && !place.starts_with("part B"))
    );
}

/// A rectangle whose lower left corner lies on 0,0.
fn rectangle(length: f64, width: f64) -> Contour<Role> {
    let at = |x, y, role| (Point::new(x, y), role);
    let vertices = [
        at(0.0, 0.0, Role::LowerEdge),
        at(length, 0.0, Role::HeadCut),
        at(length, width, Role::LowerEdge),
        at(0.0, width, Role::SeatCut),
    ];
    Contour::polygon(&vertices).unwrap()
}

/// A plate of 400 by 100 mm and one of 50 by 20 mm, the second at this place.
fn plates(job: &Job, at: Placement) -> Expectation<'_> {
    let mut e = expectation(job, Corners::Fillet);
    let plate =
        |name: &str, part, at| Piece::new(name, part, Corners::Fillet, Placements::Given(vec![at]));
    e.pieces = vec![
        plate("plate", rectangle(400.0, 100.0), Placement::translation(100.0, 100.0)),
        plate("strip", rectangle(50.0, 20.0), at),
    ];
    e
}

#[test]
fn pieces_that_overlap_or_lie_too_near_are_told_by_their_exact_distance() {
    let job = job();
    let told_of = |at: Placement, spacing_mm: f64| {
        let e = Expectation { spacing_mm, ..plates(&job, at) };
        let text = sheet_program(&e);
        let all = verdict(&text, &e).findings;
        let layout = all.iter().filter(|f| f.code.name().starts_with("pieces-"));
        let apart = |f: &Finding| {
            f.value("measured").and_then(Value::measured).map(|(mm, _)| (mm * 1e4).round() / 1e4)
        };
        layout.map(|f| (f.code.name(), apart(f))).collect::<Vec<_>>()
    };
    let moved = Placement::translation;
    assert_eq!(told_of(moved(150.0, 210.0), 10.0), []);
    assert_eq!(told_of(moved(150.0, 209.99), 10.0), [("pieces-near", Some(9.99))]);
    // Corner to corner: 3, 4, 5.
    assert_eq!(told_of(moved(503.0, 204.0), 5.0), []);
    assert_eq!(told_of(moved(503.0, 204.0), 5.1), [("pieces-near", Some(5.0))]);
    for inside in
        [moved(480.0, 110.0), moved(150.0, 120.0), half_round(200.0, 150.0), moved(150.0, 200.0)]
    {
        let overlap = told_of(inside, 0.0);
        assert_eq!(overlap.len(), 1, "{overlap:?}");
        assert_eq!(overlap[0].0, "pieces-overlap");
    }
    let e = plates(&job, moved(150.0, 120.0));
    assert!(names(&sheet_program(&e), &e, "pieces-overlap", "plate and strip"));
}

#[test]
fn a_cut_round_one_piece_that_runs_into_another_is_told_with_the_name_of_the_other() {
    let job = job();
    let diameter = 2.0 * job.cut.machine.tool_radius().as_mm();
    let good = plates(&job, Placement::translation(150.0, 200.0 + diameter + 0.1));
    let good_codes: Vec<_> =
        told(&verdict(&sheet_program(&good), &good)).into_iter().map(|(code, _)| code).collect();
    assert!(!good_codes.contains(&"gouge"), "{good_codes:?}");
    let near = plates(&job, Placement::translation(150.0, 200.0 + diameter - 0.1));
    let text = sheet_program(&near);
    assert!(names(&text, &near, "gouge", "strip, lower edge"));
    assert!(names(&text, &near, "gouge", "plate, lower edge"));
    let v = verdict(&text, &near);
    assert!((v.gouge_mm - 0.1).abs() < 0.005, "{}", v.gouge_mm);
}

#[test]
fn one_tab_may_tie_two_pieces_that_one_cut_frees() {
    let job = job();
    let diameter = 2.0 * job.cut.machine.tool_radius().as_mm();
    let mut e = expectation(&job, Corners::Fillet);
    // The second plate lies below the first, turned half round, one cutter away.
    let places = vec![Placement::translation(100.0, 300.0), half_round(420.0, 300.0 - diameter)];
    e.pieces = vec![Piece::new(
        "plate",
        rectangle(320.0, 100.0),
        Corners::Fillet,
        Placements::Given(places),
    )];
    let y = 300.0 - diameter / 2.0;
    let tab = |x| DeclaredTab::even(Point::new(x, y), TAB.0, TAB.1);
    e.tabs = Tabs::Declared([160.0, 260.0, 360.0].map(tab).to_vec());
    // Tied to each other, and both to nothing: that is told.
    let v = verdict(&sheet_program(&e), &e);
    assert_eq!(
        told(&v),
        [("part-cut-free", "part 1".to_string()), ("part-cut-free", "part 2".to_string())]
    );
    assert_eq!(v.tabs.len(), 6);
    // One tab from one of them to the sheet holds both: the other hangs on its neighbour.
    let mut hung = e.clone();
    let Tabs::Declared(tabs) = &mut hung.tabs else { unreachable!() };
    tabs.push(DeclaredTab::even(Point::new(420.0 + diameter / 2.0, 350.0), TAB.0, TAB.1));
    let v = verdict(&sheet_program(&hung), &hung);
    assert_eq!(v.findings, []);
    let holding = v.holding.unwrap();
    assert!(
        holding.components.iter().all(|component| component.held)
            && holding.pieces.iter().all(|(_, held)| *held)
    );
    let without = Expectation { tabs: Tabs::Declared(Vec::new()), ..e.clone() };
    assert!(names(&sheet_program(&without), &e, "tab-missing", "lower edge"));
}

#[test]
fn a_tool_or_a_piece_on_a_clamp_is_told() {
    let (small, large) = jobs();
    let good = sheet(&small, &large);
    let text = begun(&sheet_program(&good));
    let clamp_at = |x: f64, y: f64| {
        let clamps = vec![clamp(x, y, x + 30.0, y + 10.0)];
        Expectation { clamps, ..good.clone() }
    };
    let radius = small.cut.machine.tool_radius().as_mm();
    let edge = placed_paths(&good)[0][0];
    let below = edge.from().y - radius;
    let beside = clamp_at(edge.point_at(0.5).x, below - 10.0 - 0.05);
    assert_eq!(verdict(&text, &beside).findings, []);
    let touched = clamp_at(edge.point_at(0.5).x, below - 10.0 + 0.05);
    let v = verdict(&text, &touched);
    assert!(
        told(&v).iter().all(|(code, _)| *code == "clamp-hit") && !v.is_this_part(),
        "{:?}",
        v.findings
    );
    assert!(names(&text, &clamp_at(200.0, 150.0), "clamp-on-piece", "part A 1"));
    // A rapid over a clamp: a quarter inch above it it may, lower it may not, whether it cuts or
    // not.
    let mut far = clamp_at(2000.0, 600.0);
    far.clamps[0].height_mm = Some(6.35);
    let over = |z: &str| {
        text.replacen("M5\n", &format!("G0 {z}X79.0000 Y20.0000\nG0 Y28.0000\nG0 Z0.5000\nM5\n"), 1)
    };
    assert_eq!(verdict(&over(""), &far).findings, []);
    far.clamps[0].height_mm = Some(6.40);
    assert!(names(&over(""), &far, "clamp-hit", "p.nc"));
    far.clamps[0].height_mm = None;
    assert!(
        names(&over("Z4.0000 "), &far, "clamp-hit", "p.nc"),
        "nothing passes over a clamp of no known height"
    );
    far.clamps[0].height_mm = Some(6.35);
    assert!(names(&over("Z0.3000 "), &far, "clamp-hit", "p.nc"));
    assert!(names(&over("Z0.3000 "), &good, "rapid-low", "p.nc"));
    assert!(!names(&over("Z0.3000 "), &good, "clamp-hit", "p.nc"));
}

#[test]
fn a_piece_or_a_cut_outside_the_margin_is_told() {
    let (small, large) = jobs();
    let good = sheet(&small, &large);
    let text = sheet_program(&good);
    // The tool's centre stays a radius off the piece, and the cut takes the tool's whole width.
    let radius = small.cut.machine.tool_radius().as_mm();
    let paths = placed_paths(&good).into_iter().flatten();
    let path = paths.map(|segment| segment.bounds()).reduce(Bounds::joined).unwrap();
    let centre = path.min.x.min(path.min.y);
    let margin = |margin_mm: f64| Expectation { margin_mm, ..good.clone() };
    assert_eq!(verdict(&text, &margin(centre - radius)).findings, []);
    let v = verdict(&text, &margin(centre - radius + 0.02));
    assert!(!v.is_this_part());
    assert!(
        told(&v).iter().all(|(c, p)| *c == "cut-outside-margin" && p.starts_with("p.nc")),
        "{:?}",
        v.findings
    );
    let of_pieces = |margin_mm: f64| {
        let v = verdict(&text, &margin(margin_mm));
        v.findings.iter().filter(|finding| finding.code.name() == "outside-margin").count()
    };
    assert_eq!((of_pieces(centre + radius), of_pieces(1.5 * centre)), (0, 3));
    assert!(of_pieces(centre + radius + 0.02) > 0);
}

#[test]
fn pin_holes_are_cut_just_so_and_off_every_piece() {
    let (small, large) = jobs();
    let full = sheet(&small, &large);
    let with = |change: &dyn Fn(&mut Vec<Pin>)| {
        let mut made = full.clone();
        change(&mut made.pins);
        sheet_program(&made)
    };
    assert!(names(&with(&|pins| pins.truncate(1)), &full, "pin-missing", "pin hole 2"));
    assert!(names(
        &with(&|pins| pins[0].hole.radius_mm += 0.02),
        &full,
        "pin-differs",
        "pin hole 1"
    ));
    let beside = with(&|pins| pins[1].hole.center.x += 0.02);
    assert!(
        names(&beside, &full, "pin-differs", "pin hole 2")
            && names(&beside, &full, "pin-missing", "pin hole 2")
    );
    let small_hole = verdict(&with(&|pins| pins[1].hole.radius_mm -= 0.02), &full);
    assert!(
        (small_hole.left_mm - 0.02).abs() < 0.005 && !small_hole.is_this_part(),
        "{}",
        small_hole.left_mm
    );
    // In another set-up than its own a pin stands in it.
    let mut later = full.clone();
    later.pins[1].setup = 1;
    let told = verdict(&sheet_program(&full), &later);
    assert_eq!(codes(&told.findings), ["pin-other-set-up"]);
    assert!(told.findings[0].sentence().contains("in set-up 1: it is cut in set-up 2"));
    let mut on = full.clone();
    on.pins[0].hole.center = Point::new(200.0, 150.0);
    assert!(names(&sheet_program(&on), &on, "pin-on-piece", "pin hole 1"));
    assert!(names(&sheet_program(&on), &on, "gouge", "part A 1"));
}

#[test]
fn marks_of_several_kinds_are_held_each_at_its_depth() {
    let job = job();
    let mut e = plates(&job, Placement::translation(100.0, 300.0));
    let marks = |depth_mm, x: f64| {
        let strokes = vec![vec![Point::new(x, 10.0), Point::new(x + 15.0, 10.0)]];
        Task::Marks(Marks { strokes, depth_mm, width_mm: 0.8 })
    };
    (e.pieces[0].task, e.pieces[1].task) = (marks(0.5, 50.0), marks(1.0, 10.0));
    let text = marks_program(&e);
    let v = verdict(&text, &e);
    assert_eq!((v.findings, v.marks), (vec![], 2));
    let mut other = e.clone();
    other.pieces[1].task = marks(0.5, 10.0);
    assert!(names(&text, &other, "mark-depth", "p.nc"));
    other.pieces[1].task = marks(1.0, 20.0);
    assert!(names(&text, &other, "mark-missing", "mark 2"));
    e.pieces[1].task = Task::Cut;
    assert!(names(&text, &e, "expectation-unclear", "p.nc"));
}

#[test]
fn what_is_no_one_program_is_said_so() {
    let (small, large) = jobs();
    let good = sheet(&small, &large);
    let text = sheet_program(&good);
    let mut open = good.clone();
    open.pieces[1].placement = Placements::Any;
    let none = Expectation { pieces: Vec::new(), pins: Vec::new(), ..good.clone() };
    let nowhere = Expectation { setups: Vec::new(), ..good.clone() };
    for e in [open, none.clone(), nowhere] {
        assert_eq!(told(&verdict(&text, &e)), [("expectation-unclear", "p.nc".to_string())]);
    }
    let drawing = verify_drawing(b"0\nEOF\n", "p.dxf", &none).unwrap();
    assert_eq!(told(&drawing), [("expectation-unclear", "p.dxf".to_string())]);
}

#[test]
fn a_drawing_may_be_any_of_the_pieces() {
    let (small, large) = jobs();
    let e = sheet(&small, &large);
    for piece in &e.pieces {
        let v = verify_drawing(drawing(&edges(&piece.part), "CUT", 1.0, 4).as_bytes(), "p.dxf", &e)
            .unwrap();
        assert!(v.is_this_part(), "{:?}", v.findings);
    }
    let plate = drawing(&edges(&rectangle(400.0, 100.0)), "CUT", 1.0, 4);
    assert!(!verify_drawing(plate.as_bytes(), "p.dxf", &e).unwrap().is_this_part());
}

/// Where a program may be cut in two: no arc of the path lies there.
fn break_at(e: &Expectation<'_>) -> f64 {
    let path = placed_path(e);
    let bounds = path.iter().map(|s| s.bounds()).reduce(Bounds::joined).unwrap();
    let is_arc = |s: &crate::geometry::Segment| matches!(s, crate::geometry::Segment::Arc { .. });
    let is_clear = |x: &f64| {
        path.iter()
            .filter(|s| is_arc(s))
            .all(|s| s.bounds().max.x < x - 5.0 || s.bounds().min.x > x + 5.0)
    };
    (300..).map(|mm| bounds.min.x + f64::from(mm)).find(is_clear).unwrap()
}

#[test]
fn a_part_longer_than_the_machine_is_proven_over_shifted_sections() {
    let job = job();
    let mut machine = job.cut.machine.clone();
    machine.travel[0] = crate::units::Length::mm(500.0);
    let mut e = Expectation { machine: &machine, ..tied(expectation(&job, Corners::Fillet)) };
    let x = break_at(&e);
    let shifts = [Vector::zeros(), Vector::new(-300.0, 0.0)];
    let texts = shifted_programs(&e, x, shifts);
    e.setups = shifts.to_vec();
    let v = together(&texts, &e);
    assert_eq!(v.findings, [], "{texts:?}");
    assert!(
        v.gouge_mm < PROOF_MM / 2.0 && v.left_mm < PROOF_MM / 2.0 && v.tabs.len() == 3,
        "{v:?}"
    );
    let whole = Expectation { setups: vec![Vector::zeros()], ..e.clone() };
    assert!(names(&router_program(&whole), &whole, "outside-travel", "p.nc"));

    // Off by 0.02 mm, one section or the other, either way.
    for (section, by) in [(0, 0.02), (0, -0.02), (1, 0.02), (1, -0.02)] {
        let mut made = shifts;
        made[section].x += by;
        let v = together(&shifted_programs(&e, x, made), &e);
        assert!(!v.is_this_part(), "section {section} off by {by} passed");
    }
    let [first, second] = texts.clone();
    let one_more = [first.clone(), second.clone(), second.clone()];
    for wrong in [&texts[..1], &one_more[..]] {
        let v = together(wrong, &e);
        assert!(told(&v).iter().any(|(code, _)| *code == "sections-differ") && !v.is_this_part());
    }
    // The other way round, and the first one twice: what is cut lies elsewhere on the stock.
    assert!(!together(&[second.clone(), first.clone()], &e).is_this_part());
    assert!(!together(&[first.clone(), first.clone()], &e).is_this_part());
    // Each is held to a start and an end of its own.
    for (from, to, code) in [
        ("M5\n", "", "spindle-on-at-end"),
        ("M5\n", "M5\nG0 Z0.4000\n", "ends-low"),
        ("G17\n", "", "mode-not-said"),
    ] {
        for side in [0, 1] {
            let mut changed = texts.clone();
            assert!(changed[side].contains(from), "{from:?}");
            changed[side] = changed[side].replacen(from, to, 1);
            let v = together(&changed, &e);
            let file = format!("p-{}.nc", side + 1);
            let is_told = |(found, place): &(&str, String)| *found == code && place.contains(&file);
            assert!(told(&v).iter().any(is_told), "{from:?} of {file}: {:?}", told(&v));
        }
    }
    // The second section is not a place where the first one cut: nothing is cut there but what it
    // says.
    assert!(!verdict(&second, &whole).is_this_part());
}

#[test]
fn a_pass_left_out_in_a_later_section_is_told_though_the_machine_was_there_before() {
    let job = job();
    let mut machine = job.cut.machine.clone();
    let Tool::Router(router) = &mut machine.tool else { panic!("a router") };
    router.pass_depth = crate::units::Length::mm(4.0);
    let mut e = Expectation { machine: &machine, ..tied(expectation(&job, Corners::Fillet)) };
    e.setups = vec![Vector::zeros(), Vector::new(-300.0, 0.0)];
    let [first, second] = shifted_programs(&e, break_at(&e), [e.setups[0], e.setups[1]]);
    assert_eq!(together(&[first.clone(), second.clone()], &e).findings, []);
    let mut lines: Vec<&str> = second.lines().collect();
    let entries: Vec<usize> = (0..lines.len()).filter(|&i| lines[i].starts_with("G0 X")).collect();
    lines.drain(entries[0]..entries[1]);
    let changed = lines.join("\n") + "\n";
    let v = together(&[first, changed.clone()], &e);
    let deep: Vec<(&str, String)> =
        told(&v).into_iter().filter(|(code, _)| *code == "pass-too-deep").collect();
    assert!(!deep.is_empty(), "{:?}", v.findings);
    assert!(deep.iter().all(|(_, place)| place.contains("p-2.nc")), "{deep:?}");
    let in_file = |f: &Finding| f.place.line().is_none_or(|line| line <= changed.lines().count());
    assert!(v.findings.iter().all(in_file), "{:?}", v.findings);
}

#[test]
fn clamps_stay_on_the_table_from_set_up_to_set_up() {
    let job = job();
    let mut e = tied(expectation(&job, Corners::Fillet));
    let x = break_at(&e);
    let path = placed_path(&e);
    let far = path.iter().map(|s| s.bounds()).reduce(Bounds::joined).unwrap().max.x;
    // So far that the second set-up cuts where the first one still has its uncut stock.
    let reached = x - 20.0;
    e.setups = vec![Vector::zeros(), Vector::new(reached - far, 0.0)];
    let texts = shifted_programs(&e, x, [e.setups[0], e.setups[1]]).map(|text| begun(&text));
    assert!(far - 1.0 > x + 20.0, "the second set-up cuts what the first one does not reach");
    // Where the stock's end lay in the first set-up nothing is cut: it is cut nearer, in the
    // second.
    e.clamps = vec![clamp(far - 1.0, 0.0, far + 50.0, 400.0)];
    assert_eq!(together(&texts, &e).findings, []);
    e.clamps = vec![clamp(reached - 1.0, 0.0, reached + 5.0, 400.0)];
    let hits = told(&together(&texts, &e));
    let is_second =
        |(code, place): &(&str, String)| *code == "clamp-hit" && place.contains("p-2.nc");
    assert!(hits.iter().any(is_second), "{hits:?}");
}

#[test]
#[ignore = "a measurement; run it in release"]
fn a_sheet_of_sixty_pieces_is_proven_well_within_a_second() {
    let job = job_of("router-table", 8);
    let mut e = expectation(&job, Corners::Bisector);
    let size = e.pieces[0].part.bounds();
    let at = |i: usize| {
        let (column, row) = ((i % 6) as f64, (i / 6) as f64);
        Placement::translation(
            60.0 + column * (size.width() + 30.0),
            60.0 + row * (size.height() + 30.0),
        )
    };
    e.pieces[0].placement = Placements::Given((0..60).map(at).collect());
    (e.stock.length_mm, e.stock.width_mm) = (20_000.0, 10_000.0);
    (e.spacing_mm, e.margin_mm) = (20.0, 20.0);
    e.clamps = (0..10).map(|i| f64::from(i) * 1000.0).map(|x| clamp(x, 0.0, x, 0.0)).collect();
    let mut machine = job.cut.machine.clone();
    machine.travel = [crate::units::Length::mm(20_000.0); 3];
    assert!(machine.tool.cutter().is_some());
    e.machine = &machine;
    let e = tied(e);
    let text = begun(&sheet_program(&e));
    let start = std::time::Instant::now();
    let v = verdict(&text, &e);
    let took = start.elapsed();
    assert_eq!(v.findings, []);
    eprintln!(
        "60 pieces, {} lines: {took:?}, gouge {}, left {}",
        text.lines().count(),
        v.gouge_mm,
        v.left_mm
    );
    assert!(took.as_secs_f64() < 0.5);
}
