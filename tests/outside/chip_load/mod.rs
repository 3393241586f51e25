//! The chip-load formula: 18,000 rpm, 2 cutting edges, 0.1 mm give 3600 mm/min.

use seatcut::profile::{Machine, Tool, embedded};

#[test]
fn eighteen_thousand_rpm_with_two_edges_and_a_tenth_of_a_mm_feeds_3600_mm_a_minute() {
    let source = embedded(Some("machine"), "router-metric").unwrap();
    let machine = Machine::read("router-metric", &source.file, &source.text).unwrap();
    let Tool::Router(router) = machine.tool else { panic!("the metric machine has a cutter") };
    assert_eq!((router.speed_rpm, router.flutes, router.chip_load.as_mm()), (18000.0, 2, 0.1));
    assert!((router.feed_mm_min() - 3600.0).abs() < 1e-9);
}
