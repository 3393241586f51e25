//! What a program cuts beside what it must: every stroke in material is accounted for.
//!
//! A stroke is along a piece where its centre lies within R + tau of the piece's outline with sharp
//! corners, the finishing allowance of the machine added, or what a roughing cutter leaves, or
//! within what chords in place of arcs may be off: so is the way into an inside corner that is
//! cleared. It is in a hole if all that it sweeps is. What is left is on a declared way in or out,
//! or it is a cut in the waste: one that nobody planned, or, in a file of others, one that has to
//! stay clear of tabs. On which side of the outline a stroke lies is not asked here: inside the
//! part it is a gouge.

use std::collections::BTreeMap;

use super::boundary::Boundary;
use super::expectation::{Expectation, Hole, Laid, Waste};
use super::farthest::{Farthest, TooTangled};
use super::findings::Findings;
use super::levels::{Levels, last_digit_mm};
use super::limits::{GAP_MM, TAB_WEB_CUTTERS};
use super::pair::least_distance;
use super::shape::Shape;
use super::stroke::Stroke;
use super::verdict::FoundTab;
use crate::diagnostics::{Millimetres, codes};
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Point, Segment};
use crate::profile::{Arcs, Machine};

/// Ways in and out are no longer than this, all together, in mm: nothing is said of them.
const LEADS_MM: f64 = 100.0;

/// What a planned way may be off by: the proof's tolerance, chords in place of arcs, printed
/// numbers.
pub(super) fn off_by(machine: &Machine) -> f64 {
    let chords = match machine.arcs {
        Arcs::Taken => 0.0,
        Arcs::Chords(tolerance) => tolerance.as_mm(),
    };
    PROOF_MM + chords + 2.0 * last_digit_mm(machine)
}

/// What strokes are held against.
pub(super) struct Accounts<'a> {
    pub e: &'a Expectation<'a>,
    pub boundaries: &'a [Boundary],
    pub laid: &'a [Laid],
    pub levels: &'a Levels,
    pub radius: f64,
}

/// The strokes that are accounted for, and what is not.
#[derive(Default)]
pub(super) struct Accounted {
    /// Wholly along a piece, and on no way in or out.
    pub along: Vec<Stroke>,
    /// In holes, and on ways in and out.
    pub apart: Vec<Stroke>,
    /// Of those in holes the ones along their edges, by hole, with its circumference in mm.
    pub round_holes: BTreeMap<usize, (f64, Vec<Stroke>)>,
    /// Stretches that lie elsewhere.
    pub elsewhere: Vec<Stroke>,
}

impl<'a> Accounts<'a> {
    /// Sorts strokes that are neither marks nor in pockets.
    pub(crate) fn sort(&self, strokes: &[Stroke]) -> Result<Accounted, TooTangled> {
        let tool = &self.e.machine.tool;
        let (slack, beside) = (off_by(self.e.machine), (tool.allowance() + tool.leaves()).as_mm());
        let (ways, outlines, holes) =
            (Shape::new(self.ways()), Shape::new(self.outlines()), self.holes());
        let (mut edges, mut on_ways) = (Farthest::new(&outlines), Farthest::new(&ways));
        let mut found = Accounted::default();
        for stroke in strokes {
            let slack = slack + stroke.off_mm;
            let reach = |hole: &Hole| hole.radius_mm - self.radius + slack;
            let inside = |hole: &Hole| is_in(&stroke.path, *hole, reach(hole));
            if let Some((at, hole)) = holes.iter().enumerate().find(|(_, hole)| inside(hole)) {
                found.apart.push(*stroke);
                let middle = stroke.path.point_at(0.5);
                let ends = [stroke.path.from(), middle, stroke.path.to()];
                let is_at_edge =
                    |p: &Point| (p - hole.center).norm() >= hole.radius_mm - self.radius - slack;
                if ends.iter().all(is_at_edge) {
                    let round = std::f64::consts::TAU * hole.radius_mm;
                    let of_hole = found.round_holes.entry(at).or_insert((round, Vec::new()));
                    of_hole.1.push(*stroke);
                }
                continue;
            }
            let off = stretches(&mut edges, &stroke.path, self.radius + beside + slack)?;
            let off = beyond_all(&mut on_ways, off, slack)?;
            if off.is_empty() {
                let is_way = stretches(&mut on_ways, &stroke.path, slack)?.is_empty();
                if is_way { &mut found.apart } else { &mut found.along }.push(*stroke);
            }
            found.elsewhere.extend(off.into_iter().map(|path| Stroke { path, ..*stroke }));
        }
        Ok(found)
    }

    fn ways(&self) -> Vec<Segment> {
        match &self.e.waste {
            Waste::Planned(ways) => ways.clone(),
            Waste::Free => Vec::new(),
        }
    }

    fn outlines(&self) -> Vec<Segment> {
        let of = |copy: &'a Laid| {
            self.boundaries[copy.piece].ring.iter().map(|edge| edge.placed(&copy.placement))
        };
        self.laid.iter().flat_map(of).collect()
    }

    /// The holes of all copies, and those of pins, where they lie.
    fn holes(&self) -> Vec<Hole> {
        let of = |copy: &'a Laid| {
            let placed = move |hole: &Hole| Hole { center: copy.placement * hole.center, ..*hole };
            self.e.pieces[copy.piece].holes.iter().map(placed)
        };
        self.laid.iter().flat_map(of).chain(self.e.pins.iter().map(|pin| pin.hole)).collect()
    }

    /// Tells what is not accounted for.
    pub(crate) fn tell(&self, found: &Accounted, tabs: &[FoundTab], findings: &mut Findings<'_>) {
        match self.e.waste {
            Waste::Planned(_) => {
                for stroke in &found.elsewhere {
                    findings.at_line(unplanned(stroke, self.levels), stroke.line);
                }
            }
            Waste::Free => self.tell_free(&found.elsewhere, tabs, findings),
        }
    }

    fn tell_free(&self, elsewhere: &[Stroke], tabs: &[FoundTab], findings: &mut Findings<'_>) {
        let through: Vec<Stroke> =
            elsewhere.iter().filter_map(|s| s.cut_at(self.levels.through())).collect();
        let length: f64 = through.iter().map(|stroke| stroke.path.length()).sum();
        if let Some(first) = through.first().filter(|_| length > LEADS_MM) {
            let at = first.path.from();
            let (measured, x, y) = (Millimetres(length), Millimetres(at.x), Millimetres(at.y));
            findings.at_line(codes::CutInWaste { measured, x, y }, first.line);
        }
        let web = TAB_WEB_CUTTERS * 2.0 * self.radius;
        let shape = Shape::of_strokes(elsewhere);
        let mut near = Vec::new();
        for tab in tabs {
            shape.near(tab.along.bounds().grown(2.0 * self.radius + web), &mut near);
            // Wood behind a tab that is lower than the tab is a tab no longer.
            let top = self.levels.bottom + tab.height_mm - self.levels.near;
            near.retain(|&at| elsewhere[at].lowest() < top);
            let beside =
                |&at: &usize| elsewhere[at].cut_at(top).map_or(elsewhere[at].path, |s| s.path);
            let stands = |at: &usize| least_distance(&tab.along, &beside(at)).0 - 2.0 * self.radius;
            let worst = near.iter().min_by(|a, b| stands(a).total_cmp(&stands(b)));
            if let Some((at, wood)) =
                worst.map(|at| (at, stands(at))).filter(|(_, wood)| *wood < web)
            {
                let (measured, limit) = (Millimetres(wood.max(0.0)), Millimetres(web));
                let found = codes::CutBesideTab { measured, edge: tab.edge.clone(), limit };
                findings.at_line(found, elsewhere[*at].line);
            }
        }
    }
}

fn unplanned(stroke: &Stroke, levels: &Levels) -> codes::CutUnplanned {
    let at = stroke.path.from();
    codes::CutUnplanned {
        measured: Millimetres(stroke.path.length()),
        deep: Millimetres(levels.top - stroke.lowest()),
        x: Millimetres(at.x),
        y: Millimetres(at.y),
    }
}

/// The stretches of a path that lie farther than `reach` from a shape; a path of no length is
/// itself.
fn stretches(
    farthest: &mut Farthest<'_>,
    path: &Segment,
    reach: f64,
) -> Result<Vec<Segment>, TooTangled> {
    if path.length() <= GAP_MM {
        let is_near = farthest.nearest(path.from()).is_some_and(|distance| distance <= reach);
        return Ok(if is_near { Vec::new() } else { vec![*path] });
    }
    Ok(farthest.beyond(path, reach)?.into_iter().map(|(from, to)| path.piece(from, to)).collect())
}

fn beyond_all(
    farthest: &mut Farthest<'_>,
    paths: Vec<Segment>,
    reach: f64,
) -> Result<Vec<Segment>, TooTangled> {
    let mut all = Vec::new();
    for path in paths {
        all.extend(stretches(farthest, &path, reach)?);
    }
    Ok(all)
}

/// Whether no point of a path is farther than `reach` from the middle of a hole.
fn is_in(path: &Segment, hole: Hole, reach: f64) -> bool {
    farthest_from(path, hole.center) <= reach
}

fn farthest_from(path: &Segment, p: Point) -> f64 {
    let ends = (path.from() - p).norm().max((path.to() - p).norm());
    let Segment::Arc { center, .. } = *path else { return ends };
    let away = center - p;
    if away.norm() <= GAP_MM || path.covers(away) {
        ends.max(away.norm() + path.radius())
    } else {
        ends
    }
}
