//! What the job asks of the place the stair stands in: the ground, the floor, the head joint,
//! moisture.

use super::section::{Figure, Section, Table, Topic};
use crate::job::Seat;
use crate::pipeline::numbers::Value;
use crate::site::answers::{GroundFit, HeadComparison, JointRow, Movement, Sizes};
use crate::site::{AcrossFit, Landing};
use crate::units::{Length, decimal};

pub(super) fn ground(fit: &GroundFit) -> Section {
    let landing = &fit.landed.landing;
    let mut rows = vec![
        Figure::new("lands, out from the head", landing.out_from_head)
            .note("level, from the rim's face to the face of the first riser"),
    ];
    if landing.out_from_line != landing.out_from_head {
        rows.push(
            Figure::new("the same from the plumb line", landing.out_from_line)
                .note("where at_head was measured, out from the rim"),
        );
    }
    rows.extend([
        Figure::new("total rise there", landing.total_rise).note("finished to finished"),
        Figure::new("rise to measure there", landing.rise_to_bare)
            .note("down to what the stringer will stand on"),
        Figure::new("count", format!("{}: {}", landing.risers, fit.landed.reason)),
    ]);
    let seat = &fit.seat;
    rows.extend(match seat.lies {
        Seat::Level => {
            vec![Figure::new("to dig away at the heel", seat.at_heel).note("for a level seat")]
        }
        Seat::Follow => vec![
            Figure::new("bevel of the seat", Value::Degrees(seat.angle_deg)).note("cut so"),
            Figure::new("off a level seat at the toe", seat.at_toe),
            Figure::new("off a level seat at the heel", seat.at_heel),
            Figure::new("length of the seat", seat.along()).note("along it"),
            Figure::new("the same, level", seat.length),
        ],
    });
    let notes = vec![
        format!(
            "The ground goes {}: the total rise is solved for where the flight lands.",
            fit.ground.grade()
        ),
        "Measure there again before you cut: if it reads otherwise, the ground does not fall \
        evenly."
            .to_string(),
    ];
    let counts = Table::plain(
        "Where each count would land",
        &[
            ("Risers", 12.0),
            ("Out from the head", 30.0),
            ("Total rise", 30.0),
            ("Unit rise", 30.0),
            ("Standing", 20.0),
        ],
        fit.landed.counts.iter().map(|other| landing_row(other, landing.risers)).collect(),
    );
    Section {
        topic: Topic::Ground,
        notes,
        tables: vec![Table::figures("Where the flight lands", rows), counts],
    }
}

fn landing_row(landing: &Landing, chosen: usize) -> Vec<Value> {
    let standing = match landing.allowed {
        _ if landing.risers == chosen => "chosen",
        true => "",
        false => "not allowed",
    };
    let figures = [landing.out_from_head, landing.total_rise, landing.unit_rise].map(Value::Length);
    [vec![landing.risers.into()], figures.to_vec(), vec![standing.into()]].concat()
}

pub(super) fn across(fit: &AcrossFit, follows: bool) -> Section {
    let mut rows = vec![
        Figure::new("greatest rise", fit.greatest).note("the pattern is made for it"),
        Figure::new("least rise", fit.least),
    ];
    rows.extend(fit.trims.iter().map(|trim| {
        let label = format!("off the bottom, centre {} from the left", trim.position);
        let along = if follows { "measured plumb, sawn along the seat" } else { "level" };
        Figure::new(label, trim.trim).note(match trim.notch_top {
            Some(top) if trim.trim > Length::ZERO => {
                let plumb = if follows { ", plumb" } else { "" };
                format!(
                    "{along}; then the plate is let in again, to {top} over the pattern's \
                    seat{plumb}"
                )
            }
            _ => along.to_string(),
        })
    }));
    rows.extend(fit.bottoms.iter().map(|bottom| {
        let label = format!("bottom riser {}: off the others", bottom.place);
        Figure::new(label, bottom.spread).note(format!("finished {}", bottom.riser))
    }));
    let half = (fit.greatest - fit.least) / 2.0;
    let mut notes = vec![
        "One pattern, made for the greatest rise; wood only ever comes off.".to_string(),
        format!(
            "Shared between the sides, which is not done here, the bottom riser would be {half} \
            off at either side."
        ),
    ];
    if fit.lower_by != Length::ZERO {
        notes.push(format!(
            "The readings are those under the head; where the flight lands every rise is {} more: \
            measure it there again.",
            fit.lower_by
        ));
    }
    let tables =
        vec![Table::figures("What comes off the bottom of each stringer on this floor", rows)];
    Section { topic: Topic::Across, notes, tables }
}

/// Every head joint in figures, that of the job first.
pub(super) fn head_joints(head: &HeadComparison) -> Section {
    let notes = vec![
        "Contact and wood are figures, no strength: hangers, bolts and screws are the maker's and \
        the code's matter."
            .to_string(),
    ];
    let table = Table::plain(
        "Ways for the head to meet the framing",
        &[
            ("Joint", 24.0),
            ("Contact", 20.0),
            ("Bearing", 20.0),
            ("Run lost", 20.0),
            ("Height lost", 20.0),
            ("Wood above", 20.0),
            ("Note", 30.0),
        ],
        head.rows.iter().map(joint).collect(),
    );
    Section { topic: Topic::HeadJoints, notes, tables: vec![table] }
}

fn joint(row: &JointRow) -> Vec<Value> {
    let joint = &row.joint;
    let contact = joint.contact.map_or(Value::from("rim depth not given"), Value::Length);
    let figures =
        [joint.bearing, joint.run_lost, joint.height_lost, joint.wood_above].map(Value::Length);
    let mut words = vec![match row.sizes {
        Sizes::Asked => "of this job",
        Sizes::Usual => "usual sizes",
    }];
    words.extend((!row.pieces.is_empty()).then_some(row.pieces.as_str()));
    words.extend(row.codes.iter().map(|code| code.name()));
    [vec![joint.kind.to_string().into(), contact], figures.to_vec(), vec![words.join("; ").into()]]
        .concat()
}

pub(super) fn movement(movement: &Movement) -> Section {
    let (before, moved) = (&movement.before, &movement.moved);
    let row =
        |what: &str, now: Length, then: Length| vec![Value::from(what), now.into(), then.into()];
    let sizes = Table::plain(
        "Once the board has its moisture in service",
        &[("What", 40.0), ("Now", 40.0), ("In service", 40.0)],
        vec![
            row("width of the board", before.width, moved.width),
            row("throat", before.throat, moved.throat),
            row("first riser cut", before.first_riser_cut, moved.first_riser_cut),
        ],
    );
    let slope = format!("{} deg", decimal(moved.tread_tilt_rad.to_degrees(), 3));
    let rows = vec![
        Figure::new("treads will slope", slope).note("more than 0: down toward the nose"),
        Figure::new("first riser changes by", moved.first_riser_change(before))
            .note("every tread goes with it; the last riser, up to the floor, the other way"),
        Figure::new("risers then differ by", moved.riser_spread(before)),
    ];
    let share = decimal(moved.change.share * 100.0, 2);
    let notes = vec![
        format!("{}: {share} % across the grain [{}].", moved.wood, moved.change.method.source()),
        format!("Source of the wood's figures: {}.", trimmed_end(&moved.source)),
    ];
    Section { topic: Topic::Moisture, notes, tables: vec![sizes, Table::figures("Then", rows)] }
}

fn trimmed_end(source: &str) -> &str {
    source.trim_end_matches('.')
}
