//! The general library `dxf` reads what we write.

use crate::common::Stair;
use dxf::entities::EntityType;
use seatcut::geometry::Segment;
use seatcut::output::Stamp;
use seatcut::output::dxf::{DxfVersion, compensated, nominal};
use seatcut::pipeline::workup::Workup;
use seatcut::profile::ProgramUnits;

/// Vertices with bulges of the one closed polyline on layer CUT, as the library reads them.
fn cut_polyline(text: &str) -> Vec<(f64, f64, f64)> {
    let drawing = dxf::Drawing::load(&mut text.as_bytes()).unwrap();
    let on_cut: Vec<_> = drawing.entities().filter(|e| e.common.layer == "CUT").collect();
    assert_eq!(on_cut.len(), 1);
    match &on_cut[0].specific {
        EntityType::LwPolyline(line) => {
            assert!(line.is_closed());
            line.vertices.iter().map(|v| (v.x, v.y, v.bulge)).collect()
        }
        EntityType::Polyline(line) => {
            assert!(line.is_closed());
            line.vertices().map(|v| (v.location.x, v.location.y, v.bulge)).collect()
        }
        other => panic!("{other:?}"),
    }
}

fn same_as(read: &[(f64, f64, f64)], segments: &[Segment], unit: f64) {
    assert_eq!(read.len(), segments.len());
    for ((x, y, bulge), segment) in read.iter().zip(segments) {
        assert!(
            (x * unit - segment.from().x).abs() < 1e-6 * 25.4
                && (y * unit - segment.from().y).abs() < 1e-6 * 25.4
        );
        assert!((bulge - segment.bulge()).abs() < 1e-8);
    }
}

#[test]
fn both_versions_of_both_drawings_hold_the_same_vertices_and_bulges() {
    let stair = Stair {
        cut:
            "makes = \"pattern\"\nmachine = \"router-table\"\nmaterial = \"hardboard-6\"\ncorners \
            = \"bisector\""
                .into(),
        ..Stair::default()
    };
    let job = stair.job();
    let workup = Workup::of(&job);
    let (outline, planned) = (workup.outline.as_ref().unwrap(), workup.planned.as_ref().unwrap());
    let part: Vec<Segment> = outline.in_board_frame().edges().iter().map(|e| e.segment).collect();
    let path: Vec<Segment> = planned.path.contour().edges().iter().map(|e| e.segment).collect();
    let stamp = Stamp::of(&workup);
    for units in [ProgramUnits::Inches, ProgramUnits::Millimetres] {
        for version in [DxfVersion::R12, DxfVersion::R2000] {
            same_as(
                &cut_polyline(&nominal(&stamp, outline, units).write(version)),
                &part,
                units.in_mm(),
            );
            let text = compensated(&stamp, &planned.path, &planned.program, units).write(version);
            same_as(&cut_polyline(&text), &path, units.in_mm());
        }
    }
}
