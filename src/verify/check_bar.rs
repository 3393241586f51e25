//! The bar that people check a drawing's scale by: as long as the text beside it says.

use super::contents::{Drawing, Figure, Shown, Words};
use super::findings::Findings;
use super::layers::judged;
use super::limits::MOST_PAIRS;
use crate::diagnostics::Millimetres;
use crate::diagnostics::codes::{self, BarDrawn, Tangle};
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Point, Segment, Vector, cross};
use crate::units::{Bare, read_length};

/// How far from where its words begin a bar has an end, in heights of their letters.
const BESIDE: f64 = 1.5;
/// A bar runs as its words do, within this slope.
const ALONG: f64 = 1e-3;
/// The most words that a length is written in: `10 1/4 in`.
const MOST_WORDS: usize = 3;

/// Tells each text that says how long a bar is that is not.
pub(super) fn tell(drawing: &Drawing, findings: &mut Findings<'_>) {
    let of_part: Vec<usize> = judged(drawing).map(|figure| figure.line).collect();
    let is_beside = |figure: &&Figure| of_part.binary_search(&figure.line).is_err();
    let bars: Vec<(Point, Point)> =
        drawing.figures.iter().filter(is_beside).filter_map(straight).collect();
    let told: Vec<(&Words, Shown, f64)> = drawing.words.iter().filter_map(seen).collect();
    if told.len().saturating_mul(bars.len()) > MOST_PAIRS {
        findings.at_file(codes::TooTangled { what: Tangle::OtherLayers });
        return;
    }
    for (words, shown, said) in told {
        if let Some(drawn) = off(said, shown, &bars) {
            let words_told = words.text.escape_debug().to_string();
            findings.at_line(codes::DrawingBarOff { words: words_told, drawn }, words.line);
        }
    }
}

/// Words that are seen and say how long a bar is, in mm.
fn seen(words: &Words) -> Option<(&Words, Shown, f64)> {
    Some((words, words.shown?, bar_said(words)?))
}

/// What is drawn instead of a bar of a length: the one beside the words, or none anywhere.
fn off(said_mm: f64, shown: Shown, bars: &[(Point, Point)]) -> Option<BarDrawn> {
    let is_off = |(from, to): &(Point, Point)| ((to - from).norm() - said_mm).abs() > PROOF_MM;
    let turn = shown.turn_deg.to_radians();
    let way = Vector::new(turn.cos(), turn.sin());
    let is_along =
        |(from, to): &(Point, Point)| cross(to - from, way).abs() <= ALONG * (to - from).norm();
    let beside = |(from, to): &(Point, Point)| {
        let far = shown.at.map(|at| (from - at).norm().min((to - at).norm()));
        far.is_some_and(|far| far <= BESIDE * shown.height)
    };
    let mut near = bars.iter().filter(|bar| beside(bar) && is_along(bar)).peekable();
    if near.peek().is_none() {
        return bars.iter().all(is_off).then_some(BarDrawn::Missing);
    }
    let (from, to) = near.find(|bar| is_off(bar))?;
    Some(BarDrawn::Long(Millimetres((to - from).norm())))
}

/// The length in mm that words say a bar has.
fn bar_said(words: &Words) -> Option<f64> {
    let text = words.text.to_ascii_lowercase();
    let split: Vec<&str> =
        text.split([' ', ':', '=', ';', '(', ')']).filter(|word| !word.is_empty()).collect();
    let of_bar = split.contains(&"bar") || split.contains(&"below") && split.contains(&"long");
    if !of_bar || words.is_title() {
        return None;
    }
    let length = |from: usize| {
        let ends = (from + 1..=split.len().min(from + MOST_WORDS)).rev();
        let mut read = ends.map(|to| read_length(&split[from..to].join(" "), Bare::Refused));
        read.find_map(Result::ok).map(|reading| reading.length.as_mm())
    };
    (0..split.len()).find_map(length)
}

/// The ends of a figure that is one straight line.
fn straight(figure: &Figure) -> Option<(Point, Point)> {
    let (from, to) = (figure.segments.first()?.from(), figure.segments.last()?.to());
    let is_on = |p: Point| cross(p - from, to - from).abs() <= PROOF_MM * (to - from).norm();
    let is_line =
        |segment: &Segment| matches!(segment, Segment::Line { .. }) && is_on(segment.to());
    ((to - from).norm() > PROOF_MM && figure.segments.iter().all(is_line)).then_some((from, to))
}
