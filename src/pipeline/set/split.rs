//! A pattern longer than its sheet: two pieces and the strap that joins them, each with its marks.

use super::{Kind, Member};
use crate::cam::compensate::compensate_piece;
use crate::cam::mark::{Hole, Marks, clearance};
use crate::cam::plan::{Tooled, split_pattern};
use crate::diagnostics::{Finding, Outcome, Warned, codes};
use crate::geometry::stroke_font;
use crate::geometry::{Bounds, Contour, Point, Segment, Vector, distance_to_segment};
use crate::stair::outline::{CheckAcross, Outline, Role, Split, SplitPiece};
use crate::units::{Length, Tape, trimmed};

/// The height of a piece's name, in mm (common practice, no source).
const NAME_MM: f64 = 8.0;
/// The height of a check length beside its cross, in mm.
const LENGTH_MM: f64 = 6.0;
/// Half the width of a cross, in mm.
const CROSS_MM: f64 = 4.0;
/// From one tried place or looked-at point to the next, in mm.
const STEP_MM: f64 = 3.0;
/// What two marks keep from each other, in mm.
const APART_MM: f64 = 5.0;

/// The kinds of pieces of a split pattern.
///
/// # Errors
/// The refusals: it cannot be split, or a tool cannot make a piece.
pub(super) fn split_kinds(member: usize, of: &Member, outline: &Outline) -> Outcome<Vec<Kind>> {
    split_pattern(of.job(), outline)?.and_then(|split| kinds_of(&split, member, of, outline))
}

fn kinds_of(split: &Split, member: usize, of: &Member, outline: &Outline) -> Outcome<Vec<Kind>> {
    let count = of.job().cut.quantity as usize * of.times;
    let machine = &of.job().cut.machine;
    let clear = clearance(machine.tool_radius(), machine.tool.stroke_width());
    let marks = of.tooling.as_ref().and_then(|tooling| tooling.marks.as_ref());
    let mut kept: Vec<&str> = Vec::new();
    let path = |piece: &SplitPiece| compensate_piece(of.job(), &piece.contour, outline.pitch_rad());
    let paths = Warned::all(split.pieces().into_iter().map(path))?;
    let mut kinds = Vec::new();
    for (piece, path) in split.pieces().into_iter().zip(paths.value) {
        let mut holes: Vec<Hole> = piece
            .dowels
            .iter()
            .map(|dowel| Hole { center: dowel.center, radius: dowel.radius })
            .collect();
        let is_strap = piece.name == split.strap.name;
        let hanging = marks
            .and_then(|marks| marks.hole)
            .filter(|hole| !is_strap && is_clear(&piece.contour, hole, clear));
        holes.extend(hanging);
        let face = Face { piece: &piece.contour, holes: &holes, clear };
        let mut strokes = crosses(split, piece);
        strokes.extend(lengths(&face, split, piece, &strokes));
        if let Some(marks) = marks.filter(|_| !is_strap) {
            strokes.extend(face.whole_marks(marks, &strokes, &mut kept));
        }
        // Anywhere: what is marked has its place.
        strokes.extend(name(&face, piece.name, &strokes));
        let tooled = Tooled {
            name: piece.name.to_lowercase(),
            piece: piece.contour.clone(),
            path,
            strokes,
            holes,
        };
        kinds.push(Kind {
            member,
            tooled,
            part: piece.contour.clone(),
            inset: Length::ZERO,
            count,
        });
    }
    // Of the whole it was said already.
    let said = paths.findings.into_iter().filter(|finding| !of.workup.findings.contains(finding));
    Ok(Warned::new(kinds, said.collect()).and_say(marks.and_then(|marks| left_out(marks, &kept))))
}

/// The face of one piece.
struct Face<'a> {
    piece: &'a Contour<Role>,
    holes: &'a [Hole],
    clear: f64,
}

impl Face<'_> {
    /// Whether a point of a stroke keeps away from the edges and the holes.
    fn has(&self, p: Point) -> bool {
        let edges = || self.piece.edges().iter();
        self.piece.holds(p)
            && edges().all(|edge| distance_to_segment(p, &edge.segment) >= self.clear)
            && self
                .holes
                .iter()
                .all(|hole| (p - hole.center).norm() >= hole.radius.as_mm() + self.clear)
    }

    fn has_all(&self, strokes: &[Vec<Point>]) -> bool {
        strokes.iter().flat_map(|stroke| points_along(stroke)).all(|p| self.has(p))
    }

    /// The marks of the whole that lie on this piece, each with all its strokes.
    fn whole_marks<'m>(
        &self,
        marks: &'m Marks,
        before: &[Vec<Point>],
        kept: &mut Vec<&'m str>,
    ) -> Vec<Vec<Point>> {
        let mut found: Vec<Vec<Point>> = Vec::new();
        for name in names(marks) {
            let own: Vec<Vec<Point>> = marks
                .strokes
                .iter()
                .filter(|s| s.part_of == name)
                .map(|s| s.points.clone())
                .collect();
            if !kept.contains(&name) && self.has_all(&own) && are_apart(&own, before) {
                kept.push(name);
                found.extend(own);
            }
        }
        found
    }
}

/// What the marks of a pattern are parts of, each once.
fn names(marks: &Marks) -> Vec<&str> {
    let mut names: Vec<&str> = Vec::new();
    for stroke in &marks.strokes {
        if !names.contains(&stroke.part_of.as_str()) {
            names.push(&stroke.part_of);
        }
    }
    names
}

fn left_out(marks: &Marks, kept: &[&str]) -> Option<Finding> {
    let lost: Vec<String> = names(marks)
        .into_iter()
        .filter(|name| !kept.contains(name))
        .map(|name| format!("\"{name}\""))
        .collect();
    (!lost.is_empty()).then(|| codes::SplitMarkLeftOut { marks: lost.join(", ") }.at("joint"))
}

/// Where the check lengths across the joint have their crosses on a piece, each with its words: how
/// long it is, by the tape that the job is written in, and to which piece.
fn checks_on(split: &Split, piece: &SplitPiece) -> Vec<(Point, String)> {
    let far = |length: Length| match Tape::in_hand() {
        Tape::Inches => format!("{} IN", trimmed(length.as_inches(), 3)),
        Tape::Metric => format!("{} MM", trimmed(length.as_mm(), 1)),
    };
    let on = |check: &CheckAcross| match piece.name {
        name if name == split.foot.name => {
            Some((check.foot, format!("{} TO HEAD", far(check.length))))
        }
        name if name == split.head.name => {
            Some((check.head, format!("{} TO FOOT", far(check.length))))
        }
        _ => None,
    };
    split.checks.iter().filter_map(on).collect()
}

/// The crosses of the check lengths on a piece of a split.
fn crosses(split: &Split, piece: &SplitPiece) -> Vec<Vec<Point>> {
    let mut strokes = Vec::new();
    for (at, _) in checks_on(split, piece) {
        for arm in [Vector::new(CROSS_MM, 0.0), Vector::new(0.0, CROSS_MM)] {
            strokes.push(vec![at - arm, at + arm]);
        }
    }
    strokes
}

/// The words of each check length beside its cross, where they find room.
fn lengths(
    face: &Face<'_>,
    split: &Split,
    piece: &SplitPiece,
    crosses: &[Vec<Point>],
) -> Vec<Vec<Point>> {
    let mut strokes = Vec::new();
    for (cross, words) in checks_on(split, piece) {
        let (width, away) = (stroke_font::width(&words, LENGTH_MM), CROSS_MM + APART_MM + 1.0);
        let below = Vector::new(-width / 2.0, -away - LENGTH_MM);
        let beside =
            [Vector::new(-away - width, -LENGTH_MM / 2.0), Vector::new(away, -LENGTH_MM / 2.0)];
        let offsets = [beside[0], beside[1], below, Vector::new(-width / 2.0, away)];
        let letters =
            stroke_font::strokes(&words, LENGTH_MM).expect("figures and capitals have letters");
        let written = |by: &Vector| -> Vec<Vec<Point>> {
            letters.iter().map(|s| s.iter().map(|p| cross + by + p.coords).collect()).collect()
        };
        let fits = |by: &&Vector| face.has_all(&written(by)) && are_apart(&written(by), crosses);
        strokes.extend(offsets.iter().find(fits).map(written).unwrap_or_default());
    }
    strokes
}

/// A piece's name where it finds room; nothing where it finds none.
fn name(face: &Face<'_>, name: &str, before: &[Vec<Point>]) -> Vec<Vec<Point>> {
    let letters =
        stroke_font::strokes(name, NAME_MM).expect("a piece of a split is named in capitals");
    let bounds = face.piece.bounds();
    let width = stroke_font::width(name, NAME_MM);
    let rows = (bounds.height() / STEP_MM) as usize;
    let columns = ((bounds.width() - width).max(0.0) / STEP_MM) as usize;
    let places = (0..=columns).flat_map(|i| (0..=rows).map(move |j| (i, j)));
    let tried: Vec<Point> =
        places.map(|(i, j)| bounds.min + Vector::new(i as f64, j as f64) * STEP_MM).collect();
    let written = |at: Point| {
        letters.iter().map(|s| s.iter().map(|p| at + p.coords).collect()).collect::<Vec<_>>()
    };
    let frame = |at: Point| {
        let (right, up) = (Vector::new(width, 0.0), Vector::new(0.0, NAME_MM));
        vec![vec![at, at + right, at + right + up, at + up, at]]
    };
    // Off the boxes of all strokes first, which are quickly looked at; where none is, between them.
    let boxes: Vec<Bounds> =
        before.iter().filter_map(|stroke| Bounds::around(stroke.iter().copied())).collect();
    let is_off_boxes = |at: Point| {
        let own = Bounds { min: at, max: at + Vector::new(width, NAME_MM) }.grown(APART_MM);
        !boxes.iter().any(|of| of.touches(own))
    };
    let off = tried.iter().find(|at| is_off_boxes(**at) && face.has_all(&frame(**at)));
    let between = || {
        let is_apart = |at: Point| are_apart(&frame(at), before) && face.has_all(&frame(at));
        tried.iter().find(|at| is_apart(**at))
    };
    off.or_else(between).copied().map(written).unwrap_or_default()
}

fn points_along(stroke: &[Point]) -> Vec<Point> {
    let between = |pair: &[Point]| {
        let (from, way) = (pair[0], pair[1] - pair[0]);
        let steps = (way.norm() / STEP_MM).ceil().max(1.0) as usize;
        (0..=steps).map(move |i| from + way * (i as f64 / steps as f64)).collect::<Vec<_>>()
    };
    stroke.windows(2).flat_map(between).collect()
}

/// Whether no stroke of one mark comes near to one of another. Only those about it are looked at:
/// a name looks for its place among thousands of strokes.
fn are_apart(strokes: &[Vec<Point>], others: &[Vec<Point>]) -> bool {
    let Some(own) = Bounds::around(strokes.iter().flatten().copied()) else { return true };
    let about = own.grown(APART_MM);
    let lines: Vec<Segment> = others
        .iter()
        .filter(|stroke| Bounds::around(stroke.iter().copied()).is_some_and(|of| of.touches(about)))
        .flat_map(|stroke| stroke.windows(2))
        .map(|pair| Segment::Line { from: pair[0], to: pair[1] })
        .collect();
    let points = || strokes.iter().flat_map(|stroke| points_along(stroke));
    points().all(|p| lines.iter().all(|line| distance_to_segment(p, line) >= APART_MM))
}

fn is_clear(piece: &Contour<Role>, hole: &Hole, clear: f64) -> bool {
    let keep = hole.radius.as_mm() + clear;
    piece.holds(hole.center)
        && piece.edges().iter().all(|e| distance_to_segment(hole.center, &e.segment) >= keep)
}
