//! The cleats of a solid stringer: their holes, and the lines that they are set to.

use super::hole::Hole;
use super::layout::{MarkStroke, Marks, clearance};
use super::shape::Shape;
use super::sheet::Sheet;
use crate::diagnostics::{Finding, Warned, codes};
use crate::geometry::Point;
use crate::job::{CleatHoles, Job, Makes};
use crate::stair::outline::{Cleat, Outline};
use crate::units::Length;

/// Half an arm of the cross at a hole that is marked, in mm (common practice, no source).
const ARM_MM: f64 = 4.0;
/// A line too near to the edge is drawn shorter, down to this share of it.
const LEAST_SHARE: f64 = 0.3;
/// From one tried share to the next.
const SHORTER: f64 = 0.05;
/// What marks of two cleats keep from each other, in mm.
const APART_MM: f64 = 2.0;

/// The holes of the cleats that are cut through the part, in the board frame; none where they are
/// marked or left to the bench, and none on another stringer.
pub fn cleat_holes(job: &Job, outline: &Outline) -> Vec<Hole> {
    let is_cut = job.stringer.cleated().is_some_and(|of| of.holes == CleatHoles::Drilled);
    if is_cut { cleat_places(job, outline) } else { Vec::new() }
}

/// The holes of the cleats, whether they are cut or marked: what a pattern hangs by keeps off them.
pub(super) fn cleat_places(job: &Job, outline: &Outline) -> Vec<Hole> {
    let Some(cleated) = job.stringer.cleated() else { return Vec::new() };
    let radius = cleated.hole / 2.0;
    let cleats = outline.cleats_in_board_frame();
    cleats.iter().flat_map(|of| &of.holes).map(|p| Hole { center: *p, radius }).collect()
}

/// What marks keep off: the holes.
pub(super) fn keep_off(sheet: &mut Sheet, holes: &[Hole], clear: f64) {
    for hole in holes {
        sheet.keep_off(vec![hole.center], hole.radius.as_mm() + clear);
    }
}

/// The lines of every cleat, from front to back at its top and down at both ends, and a cross at
/// each hole that is marked; the names of those that find no room.
pub(super) fn lines(job: &Job, cleats: &[Cleat], sheet: &Sheet) -> (Vec<Shape>, Vec<String>) {
    let is_marked = job.stringer.cleated().is_some_and(|of| of.holes == CleatHoles::Marked);
    let (mut shapes, mut missed) = (Vec::new(), Vec::new());
    for cleat in cleats {
        let [low_front, low_back, back, front] = cleat.corners;
        let middle = front + (back - front) / 2.0;
        let name = |what: &str| format!("CLEAT {}{what}", cleat.number);
        let top = [front, back].map(|end| (middle, end));
        let whole = shorter(sheet, &top).map(|ends| (ends[0], ends[1]));
        let sides = [(" FRONT", front, low_front), (" BACK", back, low_back)];
        let sides = sides.map(|(what, from, to)| {
            (name(what), shorter(sheet, &[(from, to)]).map(|ends| (from, ends[0])))
        });
        let drawn = [(name(""), whole)].into_iter().chain(sides);
        for (name, line) in drawn {
            match line {
                Some((from, to)) => shapes.push(stroke(name, from, to)),
                None => missed.push(name),
            }
        }
        for hole in cleat.holes.iter().filter(|_| is_marked) {
            let cross = cross(name(" HOLE"), *hole, (back - front).normalize());
            if sheet.fits(&cross.hull) { shapes.push(cross) } else { missed.push(cross.name) }
        }
    }
    (shapes, missed)
}

/// The far ends of lines that have one beginning or go on from each other, all of them as much
/// shorter as it takes; none where too little would be left.
fn shorter(sheet: &Sheet, lines: &[(Point, Point)]) -> Option<Vec<Point>> {
    let mut share = 1.0;
    while share >= LEAST_SHARE {
        let end = |(from, to): &(Point, Point)| from + (to - from) * share;
        let fits = |line: &(Point, Point)| sheet.fits(&[line.0, end(line)]);
        if lines.iter().all(fits) {
            return Some(lines.iter().map(end).collect());
        }
        share -= SHORTER;
    }
    None
}

fn stroke(name: String, from: Point, to: Point) -> Shape {
    Shape { name, strokes: vec![vec![from, to]], hull: vec![from, to] }
}

/// A cross along a cleat and square to it.
fn cross(name: String, at: Point, along: crate::geometry::Vector) -> Shape {
    let arms = [along, crate::geometry::left_of(along)].map(|arm| arm * ARM_MM);
    let strokes = arms.map(|arm| vec![at - arm, at + arm]).to_vec();
    let [a, b] = arms;
    Shape { name, strokes, hull: vec![at - a, at - b, at + a, at + b] }
}

/// What is marked on a stringer itself: the lines of its cleats and their holes, where the holes
/// are asked for as marks; else nothing.
pub fn stringer_marks(job: &Job, outline: &Outline, stroke_width: Length) -> Warned<Option<Marks>> {
    let asked = job.stringer.cleated().is_some_and(|of| of.holes == CleatHoles::Marked);
    if !asked || job.cut.makes != Makes::Stringers {
        return Warned::plain(None);
    }
    let clear = clearance(job.cut.machine.tool_radius(), stroke_width);
    let sheet = Sheet::new(&outline.in_board_frame(), clear, APART_MM, APART_MM);
    let (shapes, missed) = lines(job, &outline.cleats_in_board_frame(), &sheet);
    let strokes = shapes.into_iter().flat_map(|shape| {
        let name = shape.name;
        shape.strokes.into_iter().map(move |points| MarkStroke { points, part_of: name.clone() })
    });
    let findings: Vec<Finding> =
        missed.into_iter().map(|what| codes::MarkLeftOut {}.at(what)).collect();
    let marks = Marks { strokes: strokes.collect(), hole: None, stroke_width };
    Warned::new(Some(marks), findings)
}
