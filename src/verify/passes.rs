//! How much a cutter takes at once: the depth of each pass below what was cut before on the same
//! line, and straight plunges.

use std::ops::Range;

use super::expectation::{Expectation, Laid, Tabs};
use super::farthest::TooTangled;
use super::findings::Findings;
use super::finishing;
use super::levels::Levels;
use super::limits::{GAP_MM, MOST_PAIRS, PLUNGE_MM, SAME_LINE_MM, TAB_MM};
use super::pair::{cover, gaps, nearest_share};
use super::runs::{Way, descent, runs};
use super::shape::Shape;
use super::stroke::{Stroke, Work};
use crate::diagnostics::{Millimetres, codes};
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Bounds, Point, distance_to_segment};
use crate::profile::{Router, TabEnds};

/// Where nothing but a plunge makes what is wanted.
struct Plunges {
    /// The middles of holes as wide as the cutter.
    bores: Vec<Point>,
    /// The middles of tabs with square ends, and how far from there the cutter is let down again.
    ends: Vec<(Point, f64)>,
    /// How far beside passes off the line run.
    allowance: f64,
}

impl Plunges {
    /// Of all declared holes and tabs; no holes where it is not known where pieces lie.
    fn of(e: &Expectation<'_>, router: &Router) -> Self {
        let radius = e.machine.tool_radius().as_mm();
        let bores = |copy: Laid| {
            let holes = e.pieces[copy.piece].holes.iter();
            let wide = holes.filter(move |hole| hole.radius_mm - radius <= PROOF_MM);
            wide.map(move |hole| copy.placement * hole.center).collect::<Vec<_>>()
        };
        let square = router.hold.tabs().is_some_and(|sizes| sizes.shape == TabEnds::Square);
        let ends = match &e.tabs {
            Tabs::Declared(tabs) if square => {
                tabs.iter().map(|tab| (tab.at, tab.length_mm / 2.0)).collect()
            }
            Tabs::Declared(_) | Tabs::ByRule => Vec::new(),
        };
        let bores = e.laid().into_iter().flatten().flat_map(bores).collect();
        Self { bores, ends, allowance: e.machine.tool.allowance().as_mm() }
    }

    /// Whether a stroke is such a plunge.
    fn has(&self, stroke: &Stroke) -> bool {
        let (from, to) = (stroke.path.from(), stroke.path.to());
        let in_bore = |p: Point| self.bores.iter().any(|b| (b - p).norm() <= SAME_LINE_MM);
        let at_end = |(at, off): &(Point, f64)| {
            let (away, farthest) = ((at - from).norm(), off.hypot(self.allowance));
            (off - TAB_MM..=farthest + TAB_MM).contains(&away)
        };
        let is_straight = stroke.path.length() <= GAP_MM;
        in_bore(from) && in_bore(to) || is_straight && self.ends.iter().any(at_end)
    }
}

/// Looks at every run of strokes, in order, against those before it on the same line. A stroke
/// beside an earlier one, not on it, counts as cutting full material: that errs on the safe side.
pub(super) fn check(
    e: &Expectation<'_>,
    router: &Router,
    strokes: &[Stroke],
    levels: &Levels,
    findings: &mut Findings<'_>,
) -> Result<(), TooTangled> {
    let (material, plunges) = (e.stock.bounds(), Plunges::of(e, router));
    let radius = router.cutter.as_mm() / 2.0;
    let pass = router.pass_depth.as_mm();
    let beside = e.machine.tool.finish().map(|_| finishing::widest(e.machine));
    let mut history = History {
        strokes,
        levels,
        beside: None,
        paths: None,
        boxes: Vec::new(),
        near: Vec::new(),
        pairs: 0,
    };
    let deepest = |run: &Range<usize>| {
        let lowest = strokes[run.clone()].iter().map(Stroke::lowest);
        Millimetres(levels.top - lowest.fold(f64::INFINITY, f64::min))
    };
    // A plunge where nothing else makes what is wanted is judged by itself, and so is a rapid.
    let is_itself = |of: &Stroke| of.work == Work::Dragging || plunges.has(of);
    let way = |of: &Stroke| (!is_itself(of)).then(|| of.way());
    let ways: Vec<Option<Way>> = strokes.iter().map(way).collect();
    let (mut told, mut plunged) = (0, 0);
    for run in runs(&ways) {
        let (first, last) = (&strokes[run.start], &strokes[run.end - 1]);
        history.beside = beside;
        if told != last.line && history.takes_more_than(&run, pass + levels.near)? {
            told = last.line;
            let (measured, limit) = (deepest(&run), Millimetres(pass));
            findings.at_line(codes::PassTooDeep { measured, limit }, last.line);
        }
        // Beside the material the cutter is let down in the air.
        let over = material.distance(first.path.from()) < radius
            || material.distance(last.path.to()) < radius;
        let going_down = descent(&strokes[run.clone()].iter().map(Stroke::way).collect::<Vec<_>>());
        // What it does at the bottom is no plunge.
        let plunge = run.start..run.start + going_down.moves;
        let is_plunge = going_down.down > going_down.along;
        let steep = over && is_plunge && !strokes[run.clone()].iter().all(|of| plunges.has(of));
        history.beside = None;
        if steep && plunged != last.line && history.takes_more_than(&plunge, PLUNGE_MM)? {
            plunged = last.line;
            let (measured, limit) = (deepest(&run), Millimetres(PLUNGE_MM));
            findings.at_line(codes::Plunge { measured, limit }, last.line);
        }
    }
    Ok(())
}

struct History<'a> {
    strokes: &'a [Stroke],
    levels: &'a Levels,
    /// How far beside an earlier stroke that was as deep a stroke only takes a little of its side,
    /// where the machine finishes so, in mm.
    beside: Option<f64>,
    /// Made when first needed: in thin material it never is.
    paths: Option<Shape>,
    boxes: Vec<Bounds>,
    near: Vec<usize>,
    pairs: usize,
}

impl History<'_> {
    /// Whether a run anywhere goes more than `allowed` below the top and below every stroke on its
    /// line that was before it. What lies less than a printed digit beside or ahead of the cut
    /// before does not count, once a run.
    fn takes_more_than(&mut self, run: &Range<usize>, allowed: f64) -> Result<bool, TooTangled> {
        if run.len() == 1 {
            return Ok(self.unsupported(run.start, run.start, allowed, SAME_LINE_MM)? > 0.0);
        }
        let mut whole = 0.0;
        for i in run.clone() {
            whole += self.unsupported(i, run.start, allowed, 0.0)?;
            if whole > SAME_LINE_MM {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// How much of stroke `i` goes more than `allowed` below the top and below every stroke on its
    /// line before number `end`, in mm along it; stretches up to `ignore` not counted. A stroke
    /// straight down counts as any length.
    fn unsupported(
        &mut self,
        i: usize,
        end: usize,
        allowed: f64,
        ignore: f64,
    ) -> Result<f64, TooTangled> {
        let stroke = &self.strokes[i];
        let Some(deep) = stroke.cut_at(self.levels.top - allowed - GAP_MM) else {
            return Ok(0.0);
        };
        let length = deep.path.length();
        if length <= GAP_MM {
            let too_deep = self.point_takes_more_than(end, &deep, allowed)?;
            return Ok(if too_deep { f64::INFINITY } else { 0.0 });
        }
        let mut supported = Vec::new();
        // The pass before leaves the least and lies a few strokes back: mostly nothing else has to
        // be looked for.
        if self.boxes.is_empty() {
            self.boxes = self.strokes.iter().map(|stroke| stroke.path.bounds()).collect();
        }
        let (around, first) = (deep.path.bounds().grown(SAME_LINE_MM), end.saturating_sub(RECENT));
        for at in (first..end).rev().filter(|&at| self.boxes[at].touches(around)) {
            self.pairs += 1;
            support(&deep, &self.strokes[at], allowed + GAP_MM, SAME_LINE_MM, &mut supported);
            if supported.last().is_some_and(|&(from, to)| from <= 0.0 && to >= 1.0) {
                return Ok(0.0);
            }
        }
        let left = |supported: &mut Vec<(f64, f64)>| {
            let gaps = gaps(supported, ignore / length);
            gaps.into_iter().map(|(from, to)| (to - from) * length).sum::<f64>()
        };
        if left(&mut supported) <= GAP_MM {
            return Ok(0.0);
        }
        self.find_before(first, &deep, SAME_LINE_MM)?;
        for &at in &self.near {
            support(&deep, &self.strokes[at], allowed + GAP_MM, SAME_LINE_MM, &mut supported);
        }
        let still = left(&mut supported);
        let Some(beside) = self.beside.filter(|_| still > GAP_MM) else { return Ok(still) };
        self.find_before(end, &deep, beside)?;
        for &at in &self.near {
            support(&deep, &self.strokes[at], 2.0 * self.levels.near, beside, &mut supported);
        }
        Ok(left(&mut supported))
    }

    /// As [`History::unsupported`] for a stroke straight down.
    fn point_takes_more_than(
        &mut self,
        end: usize,
        deep: &Stroke,
        allowed: f64,
    ) -> Result<bool, TooTangled> {
        let reached = self.reached_by_point(end, deep, SAME_LINE_MM)?;
        if deep.lowest() >= reached - allowed - GAP_MM {
            return Ok(false);
        }
        let Some(beside) = self.beside else { return Ok(true) };
        let reached = self.reached_by_point(end, deep, beside)?;
        Ok(deep.lowest() < reached - 2.0 * self.levels.near)
    }

    /// How deep strokes before number `end` went within `reach` of where one goes straight down.
    fn reached_by_point(
        &mut self,
        end: usize,
        deep: &Stroke,
        reach: f64,
    ) -> Result<f64, TooTangled> {
        self.find_before(end, deep, reach)?;
        let (p, earlier) = (deep.path.from(), self.near.iter().map(|&at| &self.strokes[at]));
        Ok(earlier.filter_map(|e| z_beside(e, p, reach)).fold(self.levels.top, f64::min))
    }

    /// Finds the strokes before number `end` that come within `reach` of one.
    fn find_before(&mut self, end: usize, deep: &Stroke, reach: f64) -> Result<(), TooTangled> {
        let strokes = self.strokes;
        let paths = self
            .paths
            .get_or_insert_with(|| Shape::new(strokes.iter().map(|stroke| stroke.path).collect()));
        paths.near(deep.path.bounds().grown(reach), &mut self.near);
        self.pairs += self.near.len();
        self.near.truncate(self.near.partition_point(|&at| at < end));
        if self.pairs > MOST_PAIRS { Err(TooTangled) } else { Ok(()) }
    }
}

/// Looked at one by one before all others are: more strokes than one pass has, or one level of a
/// pocket.
const RECENT: usize = 400;

/// How deep an earlier stroke went within `reach` of a point, if it passed there. A move along Z
/// went as deep as its lower end.
pub(super) fn z_beside(earlier: &Stroke, p: Point, reach: f64) -> Option<f64> {
    if distance_to_segment(p, &earlier.path) > reach {
        return None;
    }
    if earlier.path.length() <= GAP_MM {
        return Some(earlier.lowest());
    }
    Some(earlier.z_at(nearest_share(&earlier.path, p)))
}

/// Adds the stretches of `deep`, as shares, where an earlier stroke within `reach` of its line
/// leaves it no more than `allowed`. Both heights change evenly along the line, so on each common
/// stretch the difference does too.
pub(super) fn support(
    deep: &Stroke,
    earlier: &Stroke,
    allowed: f64,
    reach: f64,
    supported: &mut Vec<(f64, f64)>,
) {
    let mut common = Vec::new();
    cover(&deep.path, &earlier.path, reach, &mut common);
    for (start, end) in common {
        let over = |share: f64| {
            let before = z_beside(earlier, deep.path.point_at(share), reach)
                .unwrap_or_else(|| earlier.lowest());
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
