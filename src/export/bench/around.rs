//! What the job asks beyond the stringer, for the bench: the ground, the head joint, strength, movement with moisture.

use super::sheet::{Figure, Section, Table, TableRows, Topic};
use crate::site::SeatLies;
use crate::strength::CAUTION;
use crate::surround::{Beam, GroundFit, HeadComparison, Movement, Sizes, Surroundings};
use crate::units::{decimal, trimmed};

/// The sections that the job asks for.
pub(super) fn sections(around: &Surroundings) -> Vec<Section> {
    let mut sections = Vec::new();
    sections.extend(around.ground.as_ref().map(ground));
    sections.extend(around.beam.as_ref().map(strength));
    sections.extend(around.movement.as_ref().map(movement));
    sections
}

fn table(caption: &str, rows: Vec<Figure>) -> Table {
    Table { caption: caption.to_string(), rows: TableRows::Figures(rows) }
}

fn ground(fit: &GroundFit) -> Section {
    let landing = &fit.landed.landing;
    let mut rows = vec![
        Figure::new("from the head out to the first riser", landing.out_from_head).note("level, from the plumb line"),
        Figure::new("rise to measure there", landing.rise_to_bare).note("down to what the stringer will stand on"),
        Figure::new("total rise", landing.total_rise).note("finished to finished"),
    ];
    rows.extend(match fit.seat.lies {
        SeatLies::Level => vec![Figure::new("to dig away at the heel", fit.seat.at_heel).note("for a level seat")],
        SeatLies::WithGround => vec![
            Figure::new("bevel of the seat", format!("{} deg", trimmed(fit.seat.angle_deg, 2)))
                .note("scribe by hand: the seat is cut level"),
            Figure::new("off the seat at the toe", fit.seat.at_toe),
            Figure::new("off the seat at the heel", fit.seat.at_heel),
        ],
    });
    let notes = vec![
        format!("The ground goes {}: the total rise is solved for where the flight lands.", fit.ground.grade()),
        "Measure there again before you cut: if it reads otherwise, the ground does not fall evenly.".to_string(),
    ];
    Section { topic: Topic::Ground, notes, tables: vec![table("Where the flight lands", rows)] }
}

fn strength(beam: &Beam) -> Section {
    let strength = &beam.strength;
    let loads = &beam.input.loads;
    let checks = strength.checks.iter().map(|check| {
        let places = if check.quantity.unit() == "in" { 3 } else { 0 };
        let figure = |value: f64| format!("{} {}", decimal(value, places), check.quantity.unit());
        Figure::new(format!("{}, {}", check.quantity, check.case), figure(check.demand)).note(format!(
            "of {}: {} times what it may be",
            figure(check.capacity),
            decimal(check.utilisation(), 2)
        ))
    });
    let remedies = strength.remedies.iter().map(|remedy| {
        let share = remedy.utilisation.map_or("no figure".to_string(), |share| decimal(share, 2));
        Figure::new(remedy.what.as_str(), share).note(if remedy.suffices() { "would do" } else { "" })
    });
    let notes = vec![
        CAUTION.to_string(),
        format!(
            "{} {}; live {} psf [{}]; dead {} psf [{}].",
            beam.input.wood.species,
            beam.input.wood.grade,
            trimmed(loads.live_psf, 2),
            loads.source,
            trimmed(loads.dead_psf, 2),
            beam.dead_source
        ),
    ];
    let tables = vec![
        table("Beam checks on the line that governs", checks.collect()),
        table("What would lower it, as a share of what it may be", remedies.collect()),
    ];
    Section { topic: Topic::Strength, notes, tables }
}

fn movement(movement: &Movement) -> Section {
    let (before, moved) = (&movement.before, &movement.moved);
    let rows = vec![
        Figure::new("width of the board then", moved.width),
        Figure::new("throat then", moved.throat),
        Figure::new("first riser cut then", moved.first_riser_cut),
        Figure::new("first riser off the others then", moved.riser_spread(before)),
        Figure::new("treads slope then", format!("{} deg", decimal(moved.tread_tilt_rad.to_degrees(), 3)))
            .note("more than 0: down toward the nose"),
    ];
    let share = decimal(moved.change.share * 100.0, 2);
    let notes = vec![format!("{}: {share} % across the grain [{}].", moved.wood, moved.change.method.source())];
    Section { topic: Topic::Moisture, notes, tables: vec![table("Once the board has its moisture in service", rows)] }
}

/// Every head joint in figures, that of the job first.
pub(super) fn head_joints(head: &HeadComparison) -> Table {
    let rows = head.rows.iter().map(|row| {
        let joint = &row.joint;
        let contact = joint.contact.map_or("contact: rim depth not given".to_string(), |c| format!("contact {c}"));
        let whose = match row.sizes {
            Sizes::Asked => "of this job; ",
            Sizes::Usual => "usual sizes; ",
        };
        let figures = format!(
            "bearing {}; run lost {}; height lost {}; wood above {}",
            joint.bearing, joint.run_lost, joint.height_lost, joint.wood_above
        );
        let pieces = if row.pieces.is_empty() { String::new() } else { format!("{}; ", row.pieces) };
        Figure::new(joint.kind.to_string(), contact).note(format!("{whose}{pieces}{figures}"))
    });
    table("Ways for the head to meet the framing", rows.collect())
}
