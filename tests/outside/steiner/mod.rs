//! Steiner's formula: the parallel body at R of a polygon has area A + P R + sum(theta) R^2 / 2
//! over its corners, an inside corner whose path stays sharp taking R^2 tan(theta / 2) away.

use super::flight;
use crate::common::Stair;
use seatcut::cam::compensate::compensate;
use seatcut::geometry::corners;
use seatcut::stair::outline::Outline;

#[test]
fn the_tool_path_of_every_corner_choice_has_the_area_of_the_formula() {
    for choice in ["fillet", "bisector", "riser", "tread"] {
        for machine in ["router-table", "router-table-large", "router-metric"] {
            let stair = Stair {
                tie_plate: "width = \"3 1/2 in\"\nheight = \"1 1/2 in\"\nset_back = \"2 in\""
                    .into(),
                cut: format!(
                    "makes = \"stringers\"\nmachine = \"{machine}\"\nmaterial \
                        = \"plywood-18\"\ncorners \
                    = \"{choice}\""
                ),
                ..Stair::default()
            };
            let job = stair.job();
            let outline = Outline::new(&flight(&stair), job.plate()).unwrap();
            let path = compensate(&job, &outline).unwrap().value;
            let (contour, r) = (outline.contour(), path.radius().as_mm());
            let at_corners: f64 =
                corners(contour)
                    .iter()
                    .map(|c| {
                        if c.turn_rad > 0.0 { c.turn_rad / 2.0 } else { -(-c.turn_rad / 2.0).tan() }
                    })
                    .sum();
            let expected = contour.area() + contour.perimeter() * r + at_corners * r * r;
            assert!((path.contour().area() - expected).abs() < 1e-6, "{choice} on {machine}");
        }
    }
}
