//! How much a cutter takes at once: the depth of each pass below what was cut before on the same
//! line, and straight plunges.

use super::farthest::TooTangled;
use super::findings::Findings;
use super::levels::Levels;
use super::limits::{GAP_MM, MOST_PAIRS, PLUNGE_MM, SAME_LINE_MM};
use super::pair::{cover, gaps, nearest_share};
use super::shape::Shape;
use super::stroke::Stroke;
use crate::diagnostics::{Millimetres, codes};
use crate::geometry::{Bounds, Point, distance_to_segment};
use crate::profile::Router;

/// Looks at every stroke, in order, against those before it on the same line. A stroke beside an
/// earlier one, not on it, counts as cutting full material: that errs on the safe side. `material`
/// is the box of the material in X and Y; `bores` are the middles of holes as wide as the cutter,
/// which nothing but a plunge makes.
pub(super) fn check(
    router: &Router,
    strokes: &[Stroke],
    levels: &Levels,
    (material, bores): (Bounds, &[Point]),
    findings: &mut Findings<'_>,
) -> Result<(), TooTangled> {
    let radius = router.cutter.as_mm() / 2.0;
    let pass = router.pass_depth.as_mm();
    let mut history =
        History { strokes, levels, paths: None, boxes: Vec::new(), near: Vec::new(), pairs: 0 };
    let (mut told, mut plunged) = (0, 0);
    for (i, stroke) in strokes.iter().enumerate() {
        if told != stroke.line && history.takes_more_than(i, pass + levels.near)? {
            told = stroke.line;
            let (measured, limit) = (depth(stroke, levels), Millimetres(pass));
            findings.at_line(codes::PassTooDeep { measured, limit }, stroke.line);
        }
        // Beside the material the cutter is let down in the air.
        let over = material.distance(stroke.path.from()) < radius
            || material.distance(stroke.path.to()) < radius;
        let in_bore = |p: Point| bores.iter().any(|bore| (bore - p).norm() <= SAME_LINE_MM);
        let bored = in_bore(stroke.path.from()) && in_bore(stroke.path.to());
        let steep = over && !bored && stroke.from_z - stroke.to_z > stroke.path.length();
        if steep && plunged != stroke.line && history.takes_more_than(i, PLUNGE_MM)? {
            plunged = stroke.line;
            let (measured, limit) = (depth(stroke, levels), Millimetres(PLUNGE_MM));
            findings.at_line(codes::Plunge { measured, limit }, stroke.line);
        }
    }
    Ok(())
}

fn depth(stroke: &Stroke, levels: &Levels) -> Millimetres {
    Millimetres(levels.top - stroke.lowest())
}

struct History<'a> {
    strokes: &'a [Stroke],
    levels: &'a Levels,
    /// Made when first needed: in thin material it never is.
    paths: Option<Shape>,
    boxes: Vec<Bounds>,
    near: Vec<usize>,
    pairs: usize,
}

impl History<'_> {
    /// Whether stroke `i` anywhere goes more than `allowed` below the top and below every earlier
    /// stroke on its line.
    fn takes_more_than(&mut self, i: usize, allowed: f64) -> Result<bool, TooTangled> {
        let stroke = &self.strokes[i];
        let Some(deep) = stroke.cut_at(self.levels.top - allowed - GAP_MM) else {
            return Ok(false);
        };
        if deep.path.length() <= GAP_MM {
            return self.point_takes_more_than(i, &deep, allowed);
        }
        let mut supported = Vec::new();
        // The pass before leaves the least and lies a few strokes back: mostly nothing else has to
        // be looked for.
        if self.boxes.is_empty() {
            self.boxes = self.strokes.iter().map(|stroke| stroke.path.bounds()).collect();
        }
        let (around, first) = (deep.path.bounds().grown(SAME_LINE_MM), i.saturating_sub(RECENT));
        for at in (first..i).rev().filter(|&at| self.boxes[at].touches(around)) {
            self.pairs += 1;
            support(&deep, &self.strokes[at], allowed + GAP_MM, &mut supported);
            if supported.last().is_some_and(|&(from, to)| from <= 0.0 && to >= 1.0) {
                return Ok(false);
            }
        }
        let ignore = SAME_LINE_MM / deep.path.length();
        if gaps(&mut supported, ignore).is_empty() {
            return Ok(false);
        }
        self.find_before(first, &deep)?;
        for &at in &self.near {
            support(&deep, &self.strokes[at], allowed + GAP_MM, &mut supported);
        }
        Ok(!gaps(&mut supported, ignore).is_empty())
    }

    /// As [`History::takes_more_than`] for a stroke straight down.
    fn point_takes_more_than(
        &mut self,
        i: usize,
        deep: &Stroke,
        allowed: f64,
    ) -> Result<bool, TooTangled> {
        self.find_before(i, deep)?;
        let (p, earlier) = (deep.path.from(), self.near.iter().map(|&at| &self.strokes[at]));
        let reached = earlier.filter_map(|e| z_beside(e, p)).fold(self.levels.top, f64::min);
        Ok(deep.lowest() < reached - allowed - GAP_MM)
    }

    /// Finds the strokes before number `end` that come near to one.
    fn find_before(&mut self, end: usize, deep: &Stroke) -> Result<(), TooTangled> {
        let strokes = self.strokes;
        let paths = self
            .paths
            .get_or_insert_with(|| Shape::new(strokes.iter().map(|stroke| stroke.path).collect()));
        paths.near(deep.path.bounds().grown(SAME_LINE_MM), &mut self.near);
        self.pairs += self.near.len();
        self.near.truncate(self.near.partition_point(|&at| at < end));
        if self.pairs > MOST_PAIRS { Err(TooTangled) } else { Ok(()) }
    }
}

/// Looked at one by one before all others are: more strokes than one pass has, or one level of a
/// pocket.
const RECENT: usize = 400;

/// How deep an earlier stroke went at a point, if it passed there. A move along Z went as deep as
/// its lower end.
fn z_beside(earlier: &Stroke, p: Point) -> Option<f64> {
    if distance_to_segment(p, &earlier.path) > SAME_LINE_MM {
        return None;
    }
    if earlier.path.length() <= GAP_MM {
        return Some(earlier.lowest());
    }
    Some(earlier.z_at(nearest_share(&earlier.path, p)))
}

/// Adds the stretches of `deep`, as shares, where an earlier stroke on its line leaves it no more
/// than `allowed`. Both heights change evenly along the line, so on each common stretch the
/// difference does too.
fn support(deep: &Stroke, earlier: &Stroke, allowed: f64, supported: &mut Vec<(f64, f64)>) {
    let mut common = Vec::new();
    cover(&deep.path, &earlier.path, SAME_LINE_MM, &mut common);
    for (start, end) in common {
        let over = |share: f64| {
            let before =
                z_beside(earlier, deep.path.point_at(share)).unwrap_or_else(|| earlier.lowest());
            before - deep.z_at(share) - allowed
        };
        let (a, b) = (over(start), over(end));
        match (a <= 0.0, b <= 0.0) {
            (true, true) => supported.push((start, end)),
            (true, false) => supported.push((start, start + (end - start) * a / (a - b))),
            (false, true) => supported.push((start + (end - start) * a / (a - b), end)),
            (false, false) => {}
        }
    }
}
