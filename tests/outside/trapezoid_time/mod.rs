//! The time model's check values: outline of 7 treads (r 7, g 10-1/2, W 11-1/4, t 1 in), 214.1 in,
//! 17 vertices; from a prototype in another language.

use super::flight;
use crate::common::{Stair, tread};
use nalgebra::Vector3;
use seatcut::cam::plan::{Leg, Motion, chain_time_s};
use seatcut::stair::outline::Outline;

const INCH: f64 = 25.4;

#[test]
fn the_outline_of_seven_treads_takes_the_times_of_the_prototype() {
    let stair = Stair {
        tread: tread("10 1/2 in", "1 in", "1 in", "3/4 in"),
        rise: "total = \"56 in\"\nrisers = 8".into(),
        ..Stair::default()
    };
    let outline = Outline::new(&flight(&stair), None).unwrap();
    let contour = outline.contour();
    assert!((contour.perimeter() / INCH - 214.1).abs() < 0.05, "{}", contour.perimeter() / INCH);
    assert_eq!(contour.edges().len(), 17);
    for (feed, acceleration, seconds) in
        [(100.0, 10.0, 130.93), (200.0, 10.0, 69.53), (400.0, 10.0, 43.08), (400.0, 40.0, 34.76)]
    {
        let legs: Vec<Leg> = contour
            .edges()
            .iter()
            .map(|edge| {
                let d = edge.segment.direction_at(0.0);
                let direction = Vector3::new(d.x, d.y, 0.0);
                Leg {
                    length_mm: edge.segment.length(),
                    speed_mm_s: feed * INCH / 60.0,
                    starts: direction,
                    ends: direction,
                    radius_mm: f64::INFINITY,
                }
            })
            .collect();
        let motion = Motion {
            acceleration_mm_s2: acceleration * INCH,
            acceleration_z_mm_s2: acceleration * INCH,
            deviation_mm: 0.0004 * INCH,
        };
        let time = chain_time_s(&legs, motion);
        assert!(
            (time - seconds).abs() < 0.05,
            "{feed} in/min, {acceleration} in/s2: {time} s, not {seconds} s"
        );
    }
}
