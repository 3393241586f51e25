//! A pattern in two pieces: together they are the whole, and each can be made.

use crate::common::{Stair, tread};
use geo::{Area, BooleanOps, Polygon};
use proptest::prelude::*;
use seatcut::cam::compensate::compensate_piece;
use seatcut::cam::plan::{longest_piece, split_pattern};
use seatcut::diagnostics::Warned;
use seatcut::geometry::{Contour, Point, distance_to_segment, inset_sharp};
use seatcut::job::Job;
use seatcut::pipeline::workup::Workup;
use seatcut::stair::outline::{NoSplit, Outline, Role, Split, Splitting, split};
use seatcut::stair::{Flight, chosen_count};
use seatcut::units::Length;

/// Fourteen risers of an invented stair: longer than a sheet of eight feet.
fn long_stair() -> Stair {
    Stair { rise: "total = \"102 3/4 in\"\nrisers = 14".into(), ..Stair::default() }
}

fn outline(job: &Job) -> Outline {
    let flight = Flight::new(job, chosen_count(job).0);
    Outline::new(&flight, job.plate()).expect("a stringer")
}

fn polygon(contour: &Contour<Role>) -> Polygon<f64> {
    let ring: Vec<(f64, f64)> = contour.vertices().iter().map(|p| (p.x, p.y)).collect();
    Polygon::new(ring.into(), vec![])
}

/// The farthest vertex of one ring from the edges of any of the others.
fn farthest(vertices: &[Point], rings: &[&Contour<Role>]) -> f64 {
    let to = |p: &Point| {
        let edges = rings.iter().flat_map(|ring| ring.edges());
        edges.map(|edge| distance_to_segment(*p, &edge.segment)).fold(f64::INFINITY, f64::min)
    };
    vertices.iter().map(to).fold(0.0, f64::max)
}

/// Checks what every split promises.
fn holds(whole: &Contour<Role>, split: &Split, longest: Length) {
    let gap = split.clearance.as_mm();
    let (foot, head) = (&split.foot, &split.head);
    // Closed: the union is the whole, by area and by where the boundary lies; nothing lies twice.
    assert!((foot.joined.area() + head.joined.area() - whole.area()).abs() < 1e-6 * whole.area());
    let (a, b, all) = (polygon(&foot.joined), polygon(&head.joined), polygon(whole));
    assert!(a.intersection(&b).unsigned_area() < 1e-3);
    assert!(a.union(&b).xor(&all).unsigned_area() < 0.0254 * 1.0);
    assert!(farthest(&whole.vertices(), &[&foot.joined, &head.joined]) < 0.0254);
    // As cut: never over each other, nowhere more than the gap apart.
    assert!(polygon(&foot.contour).intersection(&polygon(&head.contour)).unsigned_area() < 1e-9);
    for (cut, joined) in [(&foot.contour, &foot.joined), (&head.contour, &head.joined)] {
        // The other library computes on a grid of some 3e-6 mm, all round the contour.
        let beyond = polygon(cut).difference(&polygon(joined)).unsigned_area();
        assert!(beyond < 1e-5 * joined.perimeter(), "{beyond}");
        let lost = joined.area() - cut.area();
        let along: f64 = joined
            .edges()
            .iter()
            .filter(|e| e.role == Role::Joint)
            .map(|e| e.segment.length())
            .sum();
        assert!((lost - along * gap / 2.0).abs() < gap * gap * 4.0, "{lost} against {along}");
        assert!(cut.bounds().width() <= longest.as_mm() + 1e-6);
    }
    for piece in split.pieces() {
        assert!(piece.dowels.len() == if piece.name == "STRAP" { 4 } else { 2 });
        for hole in &piece.dowels {
            let near = farthest_in(&piece.contour, hole.center);
            assert!(
                near - hole.radius.as_mm() >= split.dowel.as_mm(),
                "{near} at a hole of {}",
                piece.name
            );
        }
        let others = piece.dowels.iter().all(|hole| split.strap.dowels.contains(hole));
        assert!(others, "the strap has every hole where its piece has it");
    }
    assert!(split.dowels_apart >= Length::inches(8.0));
    for check in &split.checks {
        assert!(((check.head - check.foot).norm() - check.length.as_mm()).abs() < 1e-9);
        assert!((check.length.as_inches() - check.length.as_inches().round()).abs() < 1e-9);
        assert!(
            farthest_in(&foot.contour, check.foot) > 12.0
                && farthest_in(&head.contour, check.head) > 12.0
        );
    }
}

/// Distance of a point to a ring, negative outside.
fn farthest_in(ring: &Contour<Role>, p: Point) -> f64 {
    use geo::Contains;
    let near = ring
        .edges()
        .iter()
        .map(|e| distance_to_segment(p, &e.segment))
        .fold(f64::INFINITY, f64::min);
    if polygon(ring).contains(&geo::Point::new(p.x, p.y)) { near } else { -near }
}

#[test]
fn a_pattern_of_fourteen_risers_is_split_near_its_middle_and_each_piece_has_a_path() {
    let job = long_stair().job();
    let outline = outline(&job);
    let Warned { value: split, findings: said } = split_pattern(&job, &outline).expect("a split");
    let whole = outline.in_board_frame();
    holds(&whole, &split, longest_piece(&job));
    assert!((split.dowels_apart.as_inches() - 20.0).abs() < 1e-9);
    let middle = whole.bounds().width() / 2.0;
    assert!(
        (split.strap.joined.bounds().min.x + split.strap.joined.bounds().width() / 2.0 - middle)
            .abs()
            < 200.0
    );
    assert_eq!(split.checks.len(), 2);
    assert_eq!(said[0].code.name(), "split-wander");
    // Two joints of 2 x 0.001 / 20, over the longer piece.
    let longer = split.foot.joined.bounds().width().max(split.head.joined.bounds().width()) / 25.4;
    assert!((split.wander().as_inches() - 2.0 * 2.0 * 0.001 / 20.0 * longer).abs() < 1e-9);
    for piece in split.pieces() {
        let path =
            compensate_piece(&job, &piece.contour, outline.pitch_rad()).expect("a path").value;
        let radius = path.radius().as_mm();
        let reliefs = path.contour().perimeter() - piece.contour.perimeter();
        assert!(reliefs.is_finite());
        for vertex in path.contour().vertices() {
            let near = piece
                .contour
                .edges()
                .iter()
                .map(|e| distance_to_segment(vertex, &e.segment))
                .fold(f64::MAX, f64::min);
            assert!(near <= radius * 2_f64.sqrt() + 1e-6, "{near}");
        }
    }
}

#[test]
fn of_all_places_that_find_room_the_joint_takes_the_one_nearest_the_middle() {
    let outline = outline(&long_stair().job());
    let whole = outline.in_board_frame();
    let splitting = Splitting::new(Length::inches(200.0), Length::inches(0.25), Length::ZERO);
    let split = split(&outline, &splitting).unwrap();
    let middle = |of: &Contour<Role>| (of.bounds().min.x + of.bounds().max.x) / 2.0;
    // Every tread has a place, and they are a step along the pitch apart.
    let step = 12.8 * 25.4;
    let off = middle(&split.strap.joined) - middle(&whole);
    assert!(off.abs() <= step / 2.0, "{off}");
}

#[test]
fn every_inside_corner_of_a_joint_is_cleared_even_where_the_others_are_left_round() {
    let job = long_stair().job();
    let outline = outline(&job);
    let split = split_pattern(&job, &outline).unwrap().value;
    for piece in [&split.foot, &split.head] {
        let path = compensate_piece(&job, &piece.contour, outline.pitch_rad()).unwrap().value;
        let radius = path.radius().as_mm();
        let vertices =
            piece.contour.edges().iter().zip(piece.contour.edges().iter().cycle().skip(1));
        let mut inside = 0;
        for (a, b) in vertices.filter(|(a, b)| a.role == Role::Joint && b.role == Role::Joint) {
            let (u, v) = (a.segment.direction_at(0.0), b.segment.direction_at(0.0));
            if u.x * v.y - u.y * v.x > 0.0 {
                continue;
            }
            inside += 1;
            let corner = b.segment.from();
            let near = path
                .contour()
                .vertices()
                .iter()
                .map(|p| (p - corner).norm())
                .fold(f64::MAX, f64::min);
            assert!(
                (near - radius).abs() < 1e-6,
                "the cutter reaches the corner and goes no further: {near}"
            );
        }
        assert_eq!(inside, 2, "{}", piece.name);
    }
}

#[test]
fn a_stringer_is_never_split() {
    let stair = Stair {
        cut: "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"board-2x12\"\nlong \
            = \"split\""
            .into(),
        ..long_stair()
    };
    let job = stair.job();
    let refusals = split_pattern(&job, &outline(&job)).unwrap_err();
    assert_eq!(refusals.findings()[0].code.name(), "split-stringer");
    assert!(refusals.findings()[0].refuses());
    let long = Stair {
        cut: stair.cut.replace("board-2x12", "plywood-18"),
        rise: "total = \"170 in\"\nrisers = 23".into(),
        ..stair
    };
    let workup = Workup::of(&long.job());
    assert!(
        workup
            .findings
            .iter()
            .any(|finding| finding.code.name() == "split-stringer" && finding.refuses())
    );
    assert!(workup.refused());
}

#[test]
fn a_pattern_with_too_little_wood_under_its_notches_is_refused() {
    let job =
        Stair { board: "width = \"9 1/4 in\"\nthickness = \"1 1/2 in\"".into(), ..long_stair() }
            .job();
    let outline = outline(&job);
    let splitting = Splitting::new(Length::inches(94.0), Length::inches(1.0), Length::ZERO);
    assert!(matches!(split(&outline, &splitting), Err(NoSplit::Narrow { .. })));
    let short = Splitting::new(Length::inches(30.0), Length::inches(0.25), Length::ZERO);
    let job = long_stair().job();
    assert!(matches!(split(&self::outline(&job), &short), Err(NoSplit::NoPlace { .. })));
    let machine = crate::common::profile_with(
        "machine",
        "router-table",
        &[("x = \"96 in\", y = \"48 in\"", "x = \"40 in\", y = \"48 in\"")],
    );
    let files = vec![("small.toml".into(), machine)];
    let cut = "makes = \"pattern\"\nmachine = \"./small.toml\"\nmaterial = \"hardboard-6\"\nlong \
        = \"split\""
        .into();
    let files = files
        .into_iter()
        .map(|(_, text): (String, String)| ("./small.toml".to_string(), text))
        .collect();
    let job = Stair { cut, files, ..long_stair() }.job();
    assert_eq!(
        split_pattern(&job, &self::outline(&job)).unwrap_err().findings()[0].code.name(),
        "split-no-room"
    );
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_stair_is_split_into_pieces_that_make_the_whole_or_not_at_all(
        rise in 500.0..4000.0_f64,
        risers in 2_usize..22,
        run in 150.0..400.0_f64,
        board in 200.0..400.0_f64,
        tie in prop::option::of((5.0..150.0_f64, 5.0..60.0_f64, prop_oneof![Just(0.0), 0.0..120.0_f64])),
        longest in 1000.0..3500.0_f64,
        cutter in 0.1..14.0_f64,
        inset in prop_oneof![Just(0.0), 0.1..4.0_f64],
    ) {
        let stair = Stair {
            rise: format!("total = \"{rise:.3} mm\"\nrisers = {risers}"),
            tread: tread(&format!("{run:.3} mm"), "25 mm", "25 mm", "19 mm"),
            tie_plate: tie.map_or(String::new(), |(w, h, s)| format!("width = \"{w:.3} \
                mm\"\nheight = \"{h:.3} mm\"\nset_back = \"{s:.3} mm\"")),
            board: format!("width = \"{board:.3} mm\"\nthickness = \"38 mm\""),
            ..Stair::default()
        };
        let job = stair.job();
        let flight = Flight::new(&job, chosen_count(&job).0);
        let Ok(outline) = Outline::new(&flight, job.plate()) else { return Ok(()) };
        let splitting = Splitting::new(Length::mm(longest), Length::mm(cutter), Length::mm(inset));
        let Ok(split) = split(&outline, &splitting) else { return Ok(()) };
        let whole = if inset > 0.0 { inset_sharp(outline.contour(), inset).unwrap() } else { outline.contour().clone() };
        holds(&whole.placed(&outline.to_board()), &split, Length::mm(longest));
        for piece in split.pieces() {
            // A path or a refusal with its reason, never a panic.
            if let Err(refusals) = compensate_piece(&job, &piece.contour, outline.pitch_rad()) {
                prop_assert!(refusals.findings().iter().any(|finding| finding.refuses()));
            }
        }
    }
}
