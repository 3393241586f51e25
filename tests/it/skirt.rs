//! The skirt of a flight beside its stringer.

use crate::common::{Stair, tread};
use proptest::prelude::*;
use seatcut::geometry::{Contour, Edge, Placement, distance_to_segment};
use seatcut::stair::outline::{Outline, OutlineProblem, Role, Skirt};
use seatcut::stair::{Flight, chosen_count};

fn flight(stair: &Stair) -> Flight {
    let job = stair.job();
    Flight::new(&job, chosen_count(&job).0)
}

fn stair(to_come: &str) -> Stair {
    Stair {
        rise: format!("total = \"51 3/8 in\"\nrisers = 7\nfinish_to_come = \"{to_come}\""),
        ..Stair::default()
    }
}

fn inches(mm: f64) -> f64 {
    mm / 25.4
}

/// The farthest that two contours of the same roles lie apart, vertex by vertex.
fn apart(a: &Contour<Role>, b: &Contour<Role>) -> f64 {
    let (a, b) = (a.edges(), b.edges());
    assert_eq!(
        a.iter().map(|e| e.role).collect::<Vec<_>>(),
        b.iter().map(|e| e.role).collect::<Vec<_>>()
    );
    a.iter().zip(b).map(|(a, b)| (a.segment.from() - b.segment.from()).norm()).fold(0.0, f64::max)
}

#[test]
fn with_no_finish_to_come_the_skirt_is_the_stringer_without_its_notch() {
    let flight = flight(&stair("0 in"));
    let stringer = Outline::new(&flight, None).unwrap();
    assert!(apart(Skirt::new(&flight).unwrap().contour(), stringer.contour()) < 1e-9);
}

#[test]
fn the_skirt_stands_on_the_finish_to_come_and_keeps_its_shape() {
    let lifted = flight(&stair("3/4 in"));
    let skirt = Skirt::new(&lifted).unwrap();
    let bottom = skirt.contour().bounds().min.y;
    assert!((inches(bottom) - 0.75).abs() < 1e-9);
    // What is seen of a finished stair does not depend on what lies under the finish.
    let down = skirt.contour().placed(&Placement::translation(0.0, -bottom));
    assert!(apart(&down, Skirt::new(&flight(&stair("0 in"))).unwrap().contour()) < 1e-9);
    // By hand: r = 51.375/7, first riser r - 1; seat (W L/g - (r - 1)) g/r with W = 11.25, g =
    // 10.25.
    assert!((inches(skirt.outline().seat_length().as_mm()) - 10.470_655).abs() < 1e-6);
}

#[test]
fn no_plate_notch_goes_through_a_skirt() {
    let mut with_plate = stair("1/2 in");
    with_plate.tie_plate = "width = \"3 1/2 in\"\nheight = \"1 1/2 in\"".into();
    let skirt = Skirt::new(&flight(&with_plate)).unwrap();
    assert!(skirt.contour().edges().iter().all(|e| e.role != Role::PlateNotch));
}

#[test]
fn a_first_riser_that_the_finish_covers_leaves_no_skirt() {
    let buried = Stair { tread: tread("10 1/4 in", "1 in", "7 1/2 in", "3/4 in"), ..stair("2 in") };
    let flight = flight(&buried);
    assert!(Outline::new(&flight, None).is_ok());
    assert!(matches!(Skirt::new(&flight), Err(OutlineProblem::NoFirstRiser(_))));
}

prop_compose! {
    fn any_stair()(
        rise in 100.0..4000.0_f64,
        risers in 1_usize..22,
        run in 60.0..400.0_f64,
        thickness in 5.0..60.0_f64,
        flush in any::<bool>(),
        to_come in prop_oneof![Just(0.0), 0.0..60.0_f64],
        board in 80.0..400.0_f64,
        plate in any::<bool>(),
    ) -> Stair {
        let risers = if flush { risers } else { risers.max(2) };
        let meets = if flush { "flush" } else { "one-down" };
        Stair {
            rise: format!("total = \"{rise:.3} mm\"\nrisers = {risers}\nfinish_to_come \
                = \"{to_come:.3} \
                mm\""),
            tread: tread(&format!("{run:.3} mm"), "20 mm", &format!("{thickness:.3} mm"), "18 mm"),
            head: format!("meets = \"{meets}\"\nfinish = \"20 mm\""),
            board: format!("width = \"{board:.3} mm\"\nthickness = \"38 mm\""),
            tie_plate: if plate { "width = \"40 mm\"\nheight = \"20 \
                mm\"".into() } else { String::new() },
            ..Stair::default()
        }
    }
}

/// Area of the stringer's board that lies under the finish to come: level strips from the riser cut
/// to the lower edge, or to the head where that comes first, summed in closed form.
fn area_under_finish(flight: &Flight) -> f64 {
    let (rise, run) = (flight.unit_rise.as_mm(), flight.unit_run.as_mm());
    let (depth, to_come, head) =
        (flight.board_depth.as_mm(), flight.finish_to_come.as_mm(), flight.head_cut_x.as_mm());
    let seat = (depth * rise.hypot(run) / run - flight.first_riser_cut().as_mm()) * run / rise;
    let sloping = ((head - seat) * rise / run).clamp(0.0, to_come);
    let trapezoid = sloping * (seat + sloping * run / rise / 2.0);
    if seat >= head { head * to_come } else { trapezoid + (to_come - sloping) * head }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_skirt_is_simple_and_has_the_treads_and_risers_of_its_stringer(stair in any_stair()) {
        let job = stair.job();
        let flight = Flight::new(&job, chosen_count(&job).0);
        let (Ok(stringer), Ok(skirt)) = (Outline::new(&flight, job.plate()), Skirt::new(&flight)) else {
            return Ok(());
        };
        let contour = skirt.contour();
        prop_assert!(contour.is_simple_polygon() && contour.area() > 0.0);
        let to_come = flight.finish_to_come.as_mm();
        prop_assert!((contour.bounds().min.y - to_come).abs() < 1e-9);
        for k in 1..=flight.treads {
            let find = |c: &Contour<Role>, role| c.edges().iter().find(|e| e.role == role).map(|e| e.segment);
            let (mine, his) = (find(contour, Role::Tread(k)).unwrap(), find(stringer.contour(), Role::Tread(k)).unwrap());
            prop_assert!((mine.from() - his.from()).norm() < 1e-9 && (mine.to() - his.to()).norm() < 1e-9);
            let (mine, his) = (find(contour, Role::Riser(k)).unwrap(), find(stringer.contour(), Role::Riser(k)).unwrap());
            prop_assert!((mine.from() - his.from()).norm() < 1e-9);
            // Only the lowest one ends elsewhere: on the finish, where the stringer's ends at its
            // seat or notch.
            prop_assert!(k == 1 || (mine.to() - his.to()).norm() < 1e-9);
        }
        let near = |p, e: &Edge<Role>| distance_to_segment(p, &e.segment) < 1e-6;
        for edge in contour.edges().iter().filter(|e| e.role == Role::LowerEdge) {
            for end in [edge.segment.from(), edge.segment.to()] {
                let on_his = |e: &Edge<Role>| e.role == Role::LowerEdge && near(end, e);
                prop_assert!(stringer.contour().edges().iter().any(on_his));
            }
        }
    }

    #[test]
    fn a_skirt_has_the_area_of_its_stringer_less_what_the_finish_covers(stair in any_stair()) {
        let flight = flight(&stair);
        let (Ok(stringer), Ok(skirt)) = (Outline::new(&flight, None), Skirt::new(&flight)) else { return Ok(()) };
        let wanted = stringer.contour().area() - area_under_finish(&flight);
        prop_assert!((skirt.contour().area() - wanted).abs() < 1e-6 * wanted.max(1.0));
    }
}
