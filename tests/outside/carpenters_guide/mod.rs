//! The Carpenter's Guide.

use super::{flight, rising, same};
use crate::common::{Stair, tread};
use seatcut::stair::Headroom;

#[test]
fn a_hundred_and_twelve_inches_in_16_risers_is_7_with_treads_of_11_and_a_quarter() {
    let stair = Stair {
        tread: tread("10 in", "1 1/4 in", "1 in", "3/4 in"),
        ..rising("112 in", "risers = 16")
    };
    let flight = flight(&stair);
    same(flight.unit_rise.as_inches(), 7.0);
    same(flight.tread_finish.as_inches(), 11.25);
}

/// A ceiling 102 in over the lower floor that ends over the nosing of the third riser: 20 in less
/// the nosing behind the face of the first, the last face 150 in.
#[test]
fn under_a_ceiling_of_102_in_the_headroom_at_the_third_riser_is_81() {
    let stair = Stair {
        tread: tread("10 in", "1 1/4 in", "1 in", "3/4 in"),
        ..rising("112 in", "risers = 16")
    };
    let opening = "[opening]\nlength = \"131 1/4 in\"\ndepth = \"10 in\"\n[board]";
    let text = stair.toml().replace("[board]", opening);
    let job = seatcut::job::read_job("job.toml", &text, &|path| panic!("{path}")).unwrap();
    let headroom = Headroom::of(&job, &flight(&stair)).unwrap();
    same(headroom.clear.as_inches(), 81.0);
}
