//! Cumulative marks: every one from its exact value, so that no rounding adds up.

use super::corners::Corners;
use super::section::{Mark, Section, Table, TableRows, Topic};
use crate::job::Stringer;
use crate::pipeline::workup::Workup;
use crate::stair::Flight;
use crate::stair::outline::{Outline, cleat_marks};
use crate::units::{Length, Tape, on_tape, trimmed};

/// What goes with the drawn poles.
pub(super) fn poles(workup: &Workup) -> Section {
    let notes = vec![
        "Every mark is measured from the beginning, not from the mark before it.".to_string(),
        stepping_off(&workup.flight),
    ];
    Section { topic: Topic::Poles, notes, tables: Vec::new() }
}

/// Marks along the board's edge and up a story pole.
pub(super) fn marks(workup: &Workup) -> Section {
    let flight = &workup.flight;
    let mut tables = Vec::new();
    if let Some(outline) = &workup.outline {
        let toe = "Along the board's upper edge, hooked over the toe end of the blank, parallel to \
            the pitch";
        tables.push(match workup.job.stringer {
            Stringer::Cut => table(toe, along_edge(outline)),
            Stringer::Cleated(_) => table(toe, cleats(workup, outline)),
            Stringer::Housed(_) => table(
                "Along the board's upper edge, inner face up, hooked over the left end of the \
                blank",
                nosings(outline),
            ),
        });
    }
    tables.push(table(
        "Story pole: finished heights above the finished lower surface",
        finished(flight),
    ));
    tables.push(table(
        "Story pole: cuts above the surface that the stringer stands on",
        cuts(workup),
    ));
    let notes = vec![
        "Every mark is measured from the beginning, not from the mark before it.".to_string(),
        "Off: how much the nearest line of the tape is too far (+) or too near (-).".to_string(),
    ];
    Section { topic: Topic::Marks, notes, tables }
}

fn table(caption: &str, marks: Vec<Mark>) -> Table {
    Table { caption: caption.to_string(), rows: TableRows::Marks(marks) }
}

/// What stepping off the rounded rise would lose by the top.
fn stepping_off(flight: &Flight) -> String {
    let tape = Tape::in_hand();
    let rounded = tape.nearest_line(flight.unit_rise);
    let lost = (rounded - flight.unit_rise) * flight.risers as f64;
    let off = trimmed(tape.count(lost).abs(), 3);
    let (rise, risers) = (on_tape(rounded), flight.risers);
    if off == "0" {
        return format!("Stepping off a rise of {rise} {risers} times ends at the upper finish.");
    }
    let words = if lost < Length::ZERO { "too low" } else { "too high" };
    format!("Stepping off a rise of {rise} {risers} times would end {off} {} {words}.", tape.unit())
}

/// Where the lines of the cleats meet the edge, and the upper end, from the toe end of the blank.
fn cleats(workup: &Workup, outline: &Outline) -> Vec<Mark> {
    let name = workup.job.stringer.cleated().map_or("cleat", |of| of.with.name());
    let marks = cleat_marks(&workup.job, &workup.flight).into_iter();
    let mut marks: Vec<Mark> = marks
        .map(|of| Mark { label: format!("line of {name} {}", of.number), at: of.along })
        .collect();
    marks.push(Mark { label: "upper end of the blank".to_string(), at: outline.blank_length() });
    marks
}

/// The nosings' pockets and the other end, from the left end of the blank.
fn nosings(outline: &Outline) -> Vec<Mark> {
    let corners = outline.nosings_in_board_frame().into_iter().enumerate();
    let mut marks: Vec<Mark> = corners
        .map(|(i, corner)| Mark { label: format!("nosing {}", i + 1), at: Length::mm(corner.x) })
        .collect();
    marks.sort_by(|a, b| a.at.as_mm().total_cmp(&b.at.as_mm()));
    marks.push(Mark { label: "right end of the blank".to_string(), at: outline.blank_length() });
    marks
}

/// The nose points and the upper end, from the toe end of the blank.
fn along_edge(outline: &Outline) -> Vec<Mark> {
    let corners = Corners::of(&outline.in_board_frame());
    let mark = |label: String, mm: f64| Mark { label, at: Length::mm(mm) };
    let noses = corners.noses.iter().enumerate();
    let mut marks: Vec<Mark> =
        noses.map(|(i, nose)| mark(format!("nose {}", i + 1), nose.x)).collect();
    marks.push(mark("upper end of the blank".to_string(), outline.blank_length().as_mm()));
    marks
}

fn finished(flight: &Flight) -> Vec<Mark> {
    let mut marks: Vec<Mark> = (1..=flight.treads)
        .map(|k| {
            let level = if k == flight.risers { ", level with the upper finish" } else { "" };
            Mark { label: format!("tread {k}{level}"), at: flight.unit_rise * k as f64 }
        })
        .collect();
    if flight.treads < flight.risers {
        marks.push(Mark { label: "upper finish".to_string(), at: flight.total_rise });
    }
    marks
}

/// What the stringer is laid out by, step by step, up to the top of the framing.
fn cuts(workup: &Workup) -> Vec<Mark> {
    let flight = &workup.flight;
    let (what, up) = match workup.job.stringer {
        Stringer::Cut => ("tread cut", Length::ZERO),
        Stringer::Cleated(_) => ("top of cleat", Length::ZERO),
        Stringer::Housed(_) => ("pocket's upper side", flight.tread_thickness),
    };
    let mark = |k| Mark { label: format!("{what} {k}"), at: flight.tread_cut_y(k) + up };
    let mut marks: Vec<Mark> = (1..=flight.treads).map(mark).collect();
    marks.push(Mark { label: "top of the framing".to_string(), at: flight.framing_top_y() });
    // A flush stair's top cut may lie over its framing.
    marks.sort_by(|a, b| a.at.as_mm().total_cmp(&b.at.as_mm()));
    marks
}
