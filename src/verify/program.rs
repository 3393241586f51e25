//! A program held against what is expected.

use super::boundary::{Boundary, Feature, NoBoundary};
use super::expectation::{Expectation, Placements, Task};
use super::farthest::TooTangled;
use super::findings::Findings;
use super::levels::{Levels, last_digit_mm};
use super::limits::FEWEST_TABS;
use super::marks::{MarkRules, Marked};
use super::motion::read_motion;
use super::moves::Motion;
use super::placing::{Sides, candidate_boxes, fitting, fitting_with_leads, misfit};
use super::proof::{Gouging, Reach, Target, gouging, left_at, reach};
use super::shape::Shape;
use super::stroke::{Stroke, strokes, through};
use super::tabs::{Low, Sorted, TabRules, sort};
use super::verdict::{PlacedAt, Recognised, Verdict};
use super::{codes, laser, passes, router, travel};
use crate::error::Error;
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Bounds, Placement};
use crate::measure::Corners;
use crate::outline::Role;
use crate::profile::{Form, Tool};

/// Holds a program against what is expected. `file` names it in errors and findings.
///
/// # Errors
/// Only if the text cannot be read as a program at all; everything else is a finding.
pub fn verify_program(text: &[u8], file: &str, e: &Expectation) -> Result<Verdict, Error> {
    let mut findings = Findings::new(file);
    let motion = read_motion(text, file, e.machine, &mut findings)?;
    let levels = Levels::new(e);
    let strokes = strokes(&motion, e.machine, &levels);
    travel::check(e, &motion, &strokes, &mut findings);
    travel::check_feeds(e, &motion, &strokes, &mut findings);
    match &e.machine.tool {
        Tool::Router(tool) => router::check(e, tool, &motion, &levels, &mut findings),
        Tool::Laser(tool) => laser::check(tool, &motion, &mut findings),
    }
    Ok(Program { e, motion, levels, through: through(&strokes, &levels), strokes }.proven(findings))
}

struct Program<'a> {
    e: &'a Expectation<'a>,
    motion: Motion,
    levels: Levels,
    strokes: Vec<Stroke>,
    through: Vec<Stroke>,
}

/// The proof at one set of placements.
struct Proven {
    placements: Vec<Placement>,
    target: Target,
    marked: Marked,
    gouging: Gouging,
    reach: Reach,
    /// Ranks placements: how much is wrong.
    wrong_mm: f64,
}

impl Program<'_> {
    fn proven(&self, mut findings: Findings) -> Verdict {
        let extent = self.e.part.bounds().width().hypot(self.e.part.bounds().height());
        let unproven = |findings: Findings| Verdict::unproven(Recognised::Program, findings.finish(), extent);
        if let (Tool::Router(tool), Err(TooTangled)) = (&self.e.machine.tool, self.check_passes(&mut findings)) {
            findings.at_file(codes::TOO_TANGLED, tool_name(tool), "");
            return unproven(findings);
        }
        let boundary = match Boundary::new(self.e) {
            Ok(boundary) => boundary.with_hole(self.e.hole),
            Err(NoBoundary { code, place, measured, limit }) => {
                findings.at(code, place, measured, limit);
                return unproven(findings);
            }
        };
        if self.through.is_empty() && self.e.task.cuts() {
            let limit = format!("down to {:.3} mm", self.levels.bottom);
            findings.at_file(codes::NOTHING_CUT, "no cut through the material", limit);
            return unproven(findings);
        }
        match self.best(&boundary, &mut findings) {
            Ok(Some(proven)) => {
                self.verdict(&boundary, proven, findings).unwrap_or_else(|(TooTangled, mut findings)| {
                    findings.at_file(codes::TOO_TANGLED, "too many crossings", "");
                    unproven(findings)
                })
            }
            Ok(None) => unproven(findings),
            Err(TooTangled) => {
                findings.at_file(codes::TOO_TANGLED, "too many crossings", "");
                unproven(findings)
            }
        }
    }

    fn check_passes(&self, findings: &mut Findings) -> Result<(), TooTangled> {
        match &self.e.machine.tool {
            // A mark is let down into the face: its depth is held against the declared one.
            Tool::Router(_) if !self.e.task.cuts() => Ok(()),
            Tool::Router(tool) => passes::check(tool, &self.strokes, &self.levels, self.e.stock.bounds(), findings),
            Tool::Laser(_) => Ok(()),
        }
    }

    fn radius(&self) -> f64 {
        match &self.e.task {
            Task::Marks(marks) => marks.width_mm / 2.0,
            Task::Cut | Task::Both(_) => self.e.machine.tool_radius().as_mm(),
        }
    }

    /// The placements as given, or the ones that fit best; `None` with a finding if none fits.
    fn best(&self, boundary: &Boundary, findings: &mut Findings) -> Result<Option<Proven>, TooTangled> {
        let tries = match &self.e.placement {
            Placements::Given(placements) => vec![placements.clone()],
            Placements::Any if !self.e.task.cuts() => self.fitting_marks().into_iter().map(|p| vec![p]).collect(),
            Placements::Any => self.fitting(boundary).into_iter().map(|p| vec![p]).collect(),
        };
        let mut best: Option<Proven> = None;
        for placements in tries {
            let proven = self.prove(boundary, placements)?;
            if best.as_ref().is_none_or(|best| proven.wrong_mm < best.wrong_mm) {
                best = Some(proven);
            }
        }
        if best.is_none() {
            let grown = Shape::new(boundary.edges.iter().map(|edge| edge.segment).collect()).bounds();
            let drawn = candidate_boxes(if self.e.task.cuts() { &self.through } else { &self.strokes });
            if let (Some(part), Some(&drawn)) = (grown.map(|b| b.grown(self.radius())), drawn.first()) {
                let (measured, limit) = misfit(drawn, part);
                findings.at_file(codes::NOT_THIS_PART, measured, limit);
            }
        }
        Ok(best)
    }

    fn fitting(&self, boundary: &Boundary) -> Vec<Placement> {
        let sides = match self.e.form {
            Form::Sheet => Sides::All,
            Form::Board => Sides::NotTheLower,
        };
        let turned = |turn: &Placement| boundary.placed(turn).iter().map(|e| e.segment.bounds()).reduce(Bounds::joined);
        let boxes = candidate_boxes(&self.through);
        let whole = boxes.last().copied();
        let mut fits = boxes.into_iter().map(|drawn| fitting(turned, self.radius(), drawn, sides));
        let exact = fits.find(|placements| !placements.is_empty());
        let with_leads = || whole.map(|drawn| fitting_with_leads(turned, self.radius(), drawn)).unwrap_or_default();
        exact.unwrap_or_else(with_leads)
    }

    /// Where the box of the declared marks fits the box of the strokes.
    fn fitting_marks(&self) -> Vec<Placement> {
        let points = || self.e.task.marks().into_iter().flat_map(|marks| marks.strokes.iter().flatten());
        let turned = |turn: &Placement| Bounds::around(points().map(|p| turn * p));
        let drawn = self.strokes.iter().map(|stroke| stroke.path.bounds()).reduce(Bounds::joined);
        drawn.map(|drawn| fitting(turned, 0.0, drawn, Sides::All)).unwrap_or_default()
    }

    fn prove(&self, boundary: &Boundary, placements: Vec<Placement>) -> Result<Proven, TooTangled> {
        let edges = placements.iter().flat_map(|placement| boundary.placed(placement)).collect();
        let target = Target::new(edges, boundary.edges.len());
        let marked = self.marked(&target, &placements)?;
        let gouging = gouging(&target, &marked.cuts, self.radius())?;
        let paths = Shape::new(self.through.iter().map(|stroke| stroke.path).collect());
        let reach = reach(&target, &paths, self.radius(), |feature| self.needs_cut(feature))?;
        let uncut: f64 = reach.uncut.iter().map(|u| (u.to - u.from) * target.edges[u.edge].segment.length()).sum();
        let gouged = gouging.gouges.iter().map(|gouge| gouge.depth_mm).sum::<f64>();
        let wrong_mm = gouged + uncut + marked.wrong_mm;
        Ok(Proven { placements, target, marked, gouging, reach, wrong_mm })
    }

    fn marked(&self, target: &Target, placements: &[Placement]) -> Result<Marked, TooTangled> {
        let Some(marks) = self.e.task.marks() else { return Ok(Marked::none(&self.strokes)) };
        let rules = MarkRules { e: self.e, marks, levels: self.levels, placements };
        rules.sort(&self.strokes, self.e.task.cuts().then_some(target))
    }

    fn needs_cut(&self, feature: Feature) -> bool {
        self.e.task.cuts() && (self.e.form == Form::Sheet || feature != Feature::Edge(Role::LowerEdge))
    }

    fn verdict<'f>(
        &self,
        boundary: &Boundary,
        proven: Proven,
        mut findings: Findings<'f>,
    ) -> Result<Verdict, (TooTangled, Findings<'f>)> {
        let Proven { placements, target, marked, gouging, reach, .. } = proven;
        marked.tell(&mut findings);
        for gouge in &gouging.gouges {
            let measured = format!("{:.4} mm deep by line {}", gouge.depth_mm, gouge.line);
            findings.at(codes::GOUGE, target.place(gouge.edge), measured, format!("{PROOF_MM:.4} mm"));
        }
        let sorted = sort(&self.tab_rules(), &target, &marked.cuts, reach.uncut, &mut findings);
        let paths = Shape::new(self.through.iter().map(|stroke| stroke.path).collect());
        let left_mm = match left_at(&target, &paths, self.radius(), sorted.uncut.iter().copied()) {
            Ok(left) => left.max(reach.left_mm),
            Err(tangled) => return Err((tangled, findings)),
        };
        self.check_stands(&target, &mut findings);
        self.check_hold(&sorted, placements.len(), &mut findings);
        Ok(Verdict {
            gouge_mm: gouging.deepest_mm,
            left_mm,
            boundary_uncut_mm: sorted.tabs.iter().map(|tab| tab.length_mm).sum(),
            fillets: if self.e.corners == Corners::Fillet { boundary.inside_corners * placements.len() } else { 0 },
            tabs: sorted.tabs,
            marks: marked.found,
            what: Recognised::Program,
            placements: placements.iter().map(PlacedAt::from).collect(),
            findings: findings.finish(),
        })
    }

    fn tab_rules(&self) -> TabRules<'_> {
        let low = match self.e.machine.tool {
            Tool::Router(_) => Low::Needed,
            Tool::Laser(_) => Low::Impossible,
        };
        let (levels, radius, digit) = (self.levels, self.radius(), last_digit_mm(self.e.machine));
        TabRules { tabs: &self.e.tabs, levels, radius, digit, low }
    }

    fn check_stands(&self, target: &Target, findings: &mut Findings) {
        if let Tool::Laser(_) = &self.e.machine.tool {
            let clear = self.radius() - PROOF_MM;
            let is_waste = |p| !target.shape.holds(p) && target.shape.nearest(p).is_none_or(|(_, d)| d >= clear);
            laser::check_stands(&self.motion.stands, is_waste, findings);
        }
    }

    /// A part cut free of a sheet by a cutter is held by its tabs.
    fn check_hold(&self, sorted: &Sorted, parts: usize, findings: &mut Findings) {
        if !self.e.task.cuts() || self.e.form != Form::Sheet || matches!(self.e.machine.tool, Tool::Laser(_)) {
            return;
        }
        for part in 0..parts {
            let count = sorted.parts.iter().filter(|&&p| p == part).count();
            if count < FEWEST_TABS {
                let place = format!("part {}", part + 1);
                findings.at(codes::LOOSE_PART, place, format!("{count} tabs"), format!("{FEWEST_TABS} tabs"));
            }
        }
    }
}

fn tool_name(router: &crate::profile::Router) -> String {
    format!("too many crossings for a cutter of {}", router.cutter)
}
