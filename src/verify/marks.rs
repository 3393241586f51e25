//! Marks: shallow strokes on the face, held against the strokes that were declared, in place and
//! depth.
//!
//! A stretch of tool path is a mark if all of it lies within tau of declared strokes and no deeper
//! than they; only marks may lie on the part. Every point of a declared stroke lies within tau of
//! path at its depth.

use super::expectation::{Expectation, Laid, Marks};
use super::farthest::{Farthest, TooTangled};
use super::findings::Findings;
use super::levels::Levels;
use super::limits::{GAP_MM, POWER_DIGIT};
use super::proof::Target;
use super::shape::Shape;
use super::stroke::{Stroke, Work};
use crate::diagnostics::codes::{self, MarkOff};
use crate::diagnostics::{Finding, Millimetres, Place};
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Point, Segment};

/// What a stretch of tool path is beside the declared marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    /// In place and no deeper than declared.
    Mark,
    /// In place and deeper.
    Deep,
    /// Out of place and no deeper than a mark.
    Stray,
    /// Anything else.
    Cut,
}

/// The program's strokes with the marks taken out, and what is wrong with the marks.
pub(super) struct Marked {
    /// What is held against the part as a cut.
    pub cuts: Vec<Stroke>,
    /// What are marks, in place and no deeper than declared.
    pub marks: Vec<Stroke>,
    /// Declared strokes that are there.
    pub found: usize,
    wrongs: Vec<Finding>,
    /// Ranks placements.
    pub wrong_mm: f64,
}

impl Marked {
    /// Where no marks are declared every stroke is a cut.
    pub(crate) fn none(strokes: &[Stroke]) -> Self {
        Self {
            cuts: strokes.to_vec(),
            marks: Vec::new(),
            found: 0,
            wrongs: Vec::new(),
            wrong_mm: 0.0,
        }
    }

    /// Tells what is wrong.
    pub(crate) fn tell(&self, findings: &mut Findings<'_>) {
        self.wrongs.iter().for_each(|wrong| findings.add(wrong.clone()));
    }
}

/// What marks are judged by at one layout.
pub(super) struct MarkRules<'a> {
    pub e: &'a Expectation<'a>,
    pub levels: Levels,
    pub laid: &'a [Laid],
    /// The program, as findings name it.
    pub file: &'a str,
}

/// The height of a mark's bottom and how far it may be off. For a beam its power stands for depth.
#[derive(Clone, Copy)]
struct Height {
    z: f64,
    off: f64,
}

/// A stroke that was declared, where it lies.
struct Declared {
    path: Vec<Segment>,
    height: Height,
}

/// All declared strokes, to be searched by place.
struct Places {
    shape: Shape,
    heights: Vec<Height>,
}

impl Places {
    fn new(declared: &[Declared]) -> Self {
        let shape =
            Shape::new(declared.iter().flat_map(|stroke| stroke.path.iter().copied()).collect());
        let heights =
            declared.iter().flat_map(|stroke| stroke.path.iter().map(|_| stroke.height)).collect();
        Self { shape, heights }
    }

    /// The height of the mark that lies nearest to a stroke.
    fn height(&self, stroke: &Stroke) -> Option<Height> {
        self.shape.nearest(stroke.path.point_at(0.5)).map(|(at, _)| self.heights[at])
    }
}

impl MarkRules<'_> {
    fn height(&self, marks: &Marks) -> Height {
        match self.e.machine.tool.beam() {
            None => Height { z: self.levels.top - marks.depth_mm, off: self.levels.near },
            Some(beam) => Height {
                z: self.levels.beam(beam.score_share()),
                off: self.levels.near + self.e.stock.thickness_mm * POWER_DIGIT / beam.cut_s(),
            },
        }
    }

    fn declared(&self) -> Vec<Declared> {
        let mut all = Vec::new();
        for Laid { piece, placement } in self.laid {
            let Some(marks) = self.e.pieces[*piece].task.marks() else { continue };
            let line =
                |pair: &[Point]| Segment::Line { from: pair[0], to: pair[1] }.placed(placement);
            let height = self.height(marks);
            let paths = marks.strokes.iter().map(|points| points.windows(2).map(line).collect());
            all.extend(paths.map(|path| Declared { path, height }));
        }
        all
    }

    /// Sorts the strokes of a program that only marks (`target` is `None`: nothing else may touch
    /// the material), or that also cuts, where what is not in place is a stray mark only on the
    /// part.
    pub(crate) fn sort(
        &self,
        strokes: &[Stroke],
        target: Option<&Target>,
    ) -> Result<Marked, TooTangled> {
        let declared = self.declared();
        let places = Places::new(&declared);
        let kinds = kinds(strokes, &places)?;
        let mut marked = Marked {
            cuts: Vec::new(),
            marks: Vec::new(),
            found: 0,
            wrongs: Vec::new(),
            wrong_mm: 0.0,
        };
        for (stroke, kind) in strokes.iter().zip(&kinds) {
            if *kind != Kind::Mark {
                marked.cuts.push(*stroke);
                let height = places.height(stroke).map_or(self.levels.top, |height| height.z);
                if let Some(wrong) = self.wrong(stroke, *kind, height, target) {
                    marked.wrongs.push(wrong);
                    marked.wrong_mm += stroke.path.length().max(PROOF_MM);
                }
            } else {
                marked.marks.push(*stroke);
            }
        }
        let of = |wanted: &[Kind]| {
            let all = strokes.iter().zip(&kinds);
            all.filter(|(_, kind)| wanted.contains(kind))
                .map(|(stroke, _)| *stroke)
                .collect::<Vec<_>>()
        };
        marked.cover(&declared, &of(&[Kind::Mark, Kind::Deep]), &self.levels)?;
        Ok(marked)
    }
}

impl MarkRules<'_> {
    /// What is wrong with a stroke that is no mark; `height` is that of the nearest mark.
    fn wrong(
        &self,
        stroke: &Stroke,
        kind: Kind,
        height: f64,
        target: Option<&Target>,
    ) -> Option<Finding> {
        let on_part = |target: &Target| {
            [0.0, 0.5, 1.0].iter().any(|&share| target.shape.holds(stroke.path.point_at(share)))
        };
        let line = Place::Line { file: self.file.to_string(), line: stroke.line };
        match (kind, target) {
            (Kind::Deep, _) | (Kind::Cut, None) => {
                let top = self.levels.top;
                let (measured, limit) =
                    (Millimetres(top - stroke.lowest()), Millimetres(top - height));
                Some(codes::MarkDepth { measured, how: MarkOff::Deeper, limit }.at(line))
            }
            (Kind::Stray, None) => Some(stray(stroke).at(line)),
            (Kind::Stray, Some(target)) if on_part(target) => Some(stray(stroke).at(line)),
            _ => None,
        }
    }
}

fn stray(stroke: &Stroke) -> codes::MarkUndeclared {
    let at = stroke.path.from();
    codes::MarkUndeclared {
        x: Millimetres(at.x),
        y: Millimetres(at.y),
        limit: Millimetres(PROOF_MM),
    }
}

fn kinds(strokes: &[Stroke], places: &Places) -> Result<Vec<Kind>, TooTangled> {
    let mut farthest = Farthest::new(&places.shape);
    let mut kind = |stroke: &Stroke| {
        // Straight up out of a mark a rapid is right, and no other.
        let in_place = if stroke.path.length() <= GAP_MM {
            places
                .shape
                .nearest(stroke.path.from())
                .is_some_and(|(_, distance)| distance <= PROOF_MM)
        } else if stroke.work == Work::Dragging {
            false
        } else {
            farthest.beyond(&stroke.path, PROOF_MM)?.is_empty()
        };
        let shallow =
            places.height(stroke).is_some_and(|height| stroke.lowest() >= height.z - height.off);
        Ok(match (in_place, shallow) {
            (true, true) => Kind::Mark,
            (true, false) => Kind::Deep,
            (false, true) => Kind::Stray,
            (false, false) => Kind::Cut,
        })
    };
    strokes.iter().map(&mut kind).collect()
}

impl Marked {
    /// Every declared stroke is there, and at its depth.
    fn cover(
        &mut self,
        declared: &[Declared],
        there: &[Stroke],
        levels: &Levels,
    ) -> Result<(), TooTangled> {
        let drawn = Shape::new(there.iter().map(|stroke| stroke.path).collect());
        let mut drawn = Farthest::new(&drawn);
        let mut from = 0;
        // Marks of one height stand together: one search of what is at their depth serves them all.
        for alike in declared.chunk_by(|a, b| (a.height.z - b.height.z).abs() <= GAP_MM) {
            let height = alike[0].height;
            let right = |stroke: &&Stroke| {
                [stroke.from_z, stroke.to_z].iter().all(|z| (z - height.z).abs() <= height.off)
            };
            let at_depth =
                Shape::new(there.iter().filter(right).map(|stroke| stroke.path).collect());
            let mut at_depth = Farthest::new(&at_depth);
            for (i, stroke) in alike.iter().enumerate() {
                self.cover_one(from + i + 1, stroke, &mut drawn, &mut at_depth, levels)?;
            }
            from += alike.len();
        }
        Ok(())
    }

    fn cover_one(
        &mut self,
        number: usize,
        stroke: &Declared,
        drawn: &mut Farthest<'_>,
        at_depth: &mut Farthest<'_>,
        levels: &Levels,
    ) -> Result<(), TooTangled> {
        let missing = beyond_mm(drawn, &stroke.path)?;
        let unlike = beyond_mm(at_depth, &stroke.path)?;
        let Some(first) = stroke.path.first().filter(|_| unlike > 0.0) else {
            self.found += 1;
            return Ok(());
        };
        let place = format!("mark {number}, x {:.2} y {:.2} mm", first.from().x, first.from().y);
        self.wrongs.push(if missing > 0.0 {
            codes::MarkMissing { measured: Millimetres(missing) }.at(place)
        } else {
            let (measured, limit) =
                (Millimetres(unlike), Millimetres(levels.top - stroke.height.z));
            codes::MarkDepth { measured, how: MarkOff::Stretch, limit }.at(place)
        });
        self.wrong_mm += unlike;
        Ok(())
    }
}

/// How much of a stroke lies farther than tau from a shape, in mm.
fn beyond_mm(farthest: &mut Farthest<'_>, stroke: &[Segment]) -> Result<f64, TooTangled> {
    let mut all = 0.0;
    for segment in stroke.iter().filter(|segment| segment.length() > GAP_MM) {
        let gaps = farthest.beyond(segment, PROOF_MM)?;
        all += gaps.iter().map(|(from, to)| to - from).sum::<f64>() * segment.length();
    }
    Ok(all)
}
