//! A program held against what is expected.

use super::boundary::{Boundary, Feature, NoBoundary};
use super::expectation::{Expectation, Laid, Piece, Task, Waste};
use super::farthest::TooTangled;
use super::findings::Findings;
use super::finishing;
use super::levels::{Levels, last_digit_mm};
use super::limits::FEWEST_TABS;
use super::marks::{MarkRules, Marked};
use super::moves::Motion;
use super::placing::{Sides, candidate_boxes, fitting, fitting_with_leads, misfit};
use super::pockets::{self, Pocketed};
use super::proof::{Gouging, Reach, Target, gouging, left_at, reach};
use super::roughing::First;
use super::sections::{Sections, in_stock_frame};
use super::shape::Shape;
use super::stroke::{Stroke, parting, strokes, through};
use super::tabs::{Low, Sorted, TabRules, sort};
use super::verdict::{Holding, Judged, PlacedAt, Recognised, Verdict};
use super::waste::{Accounted, Accounts, off_by};
use super::{balance, clamps, hangs, laser, layout, passes, pins, router, travel, travels};
use crate::diagnostics::codes::{self, Gouger, Tangle};
use crate::diagnostics::{Count, Millimetres};
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Bounds, Placement, Point, Segment};
use crate::job::Corners;
use crate::profile::Form;
use crate::stair::outline::Role;

/// What is done to the stock: the motion, and what a roughing program has cut before.
pub(super) struct Cut {
    pub motion: Motion,
    pub first: Option<First>,
}

/// What the motion of all of it comes to, its lines counted through.
pub(super) fn held(
    file: &str,
    e: &Expectation<'_>,
    Cut { motion, first }: Cut,
    sections: Sections,
    mut findings: Findings<'_>,
) -> Verdict {
    if let Some(why) = e.unclear() {
        findings.at_file(codes::ExpectationUnclear { why });
        return unproven(e, findings);
    }
    let levels = Levels::new(e);
    travel::check_extents(e, &motion, &mut findings);
    clamps::check_clamps(e, &motion, &levels, &mut findings);
    clamps::check_reach(e, &motion, &mut findings);
    clamps::check_first(e, (&motion, &sections), &levels, &mut findings);
    travels::check(e, &motion, &levels, &mut findings);
    let Some(motion) = in_stock_frame(e, motion, &sections, &mut findings) else {
        return unproven(e, findings);
    };
    clamps::check_zone(e, &motion, &mut findings);
    let strokes = strokes(&motion, e.machine, &levels);
    travel::check_stock(e, &strokes, &mut findings);
    travel::check_feeds(e, &motion, &strokes, &mut findings);
    if let Some(cutter) = e.machine.tool.cutter() {
        router::check(e, cutter, &motion, &levels, &mut findings);
    }
    if let Some(beam) = e.machine.tool.beam() {
        laser::check(beam, e.machine.beam_word(beam), &motion, &mut findings);
    }
    let Ok(through) = through(&strokes, &levels, e.machine) else {
        findings.at_file(codes::TooTangled { what: Tangle::Crossings });
        return unproven(e, findings).settled(file);
    };
    let parting = parting(&strokes, &levels);
    let program = Program { e, file, motion, sections, levels, through, parting, strokes, first };
    clamps::check_margin(e, &program.strokes, program.radius(), &mut findings);
    program.proven(findings)
}

fn unproven(e: &Expectation<'_>, findings: Findings<'_>) -> Verdict {
    Verdict::unproven(Recognised::Program, findings.finish(), e.extent_mm())
}

/// A program in the stock frame.
struct Program<'a> {
    e: &'a Expectation<'a>,
    file: &'a str,
    motion: Motion,
    sections: Sections,
    levels: Levels,
    strokes: Vec<Stroke>,
    through: Vec<Stroke>,
    /// Where nothing is left that holds.
    parting: Vec<Stroke>,
    /// What a roughing program has cut before.
    first: Option<First>,
}

/// The proof at one layout.
struct Proven {
    laid: Vec<Laid>,
    target: Target,
    marked: Marked,
    pocketed: Pocketed,
    gouging: Gouging,
    reach: Reach,
    /// Ranks layouts: how much is wrong.
    wrong_mm: f64,
}

impl Program<'_> {
    fn proven(&self, mut findings: Findings<'_>) -> Verdict {
        let mut beside = findings.beside();
        // The passes on both threads' time: neither looks at what the other finds.
        let (passes, judged) =
            rayon::join(|| self.check_passes(&mut findings), || self.judged(&mut beside));
        if passes.is_err() {
            findings.at_file(codes::TooTangled { what: Tangle::Crossings });
            return unproven(self.e, findings);
        }
        findings.append(beside);
        match judged {
            Ok(Some(verdict)) => Verdict { findings: findings.finish(), ..verdict },
            Ok(None) => unproven(self.e, findings),
            Err(TooTangled) => {
                findings.at_file(codes::TooTangled { what: Tangle::Crossings });
                unproven(self.e, findings)
            }
        }
    }

    /// The outlines that are wanted.
    fn boundaries(&self) -> Result<Vec<Boundary>, NoBoundary> {
        let radius = self.e.machine.tool_radius().as_mm();
        let boundary = |piece: &Piece| {
            let wanted = self.e.wanted(piece);
            let boundary = Boundary::new(&wanted)?.with_openings(&piece.openings, &wanted)?;
            let boundary = boundary.with_holes(&piece.holes);
            Ok(Boundary {
                pockets: pockets::sides(&piece.pockets, piece.corners, radius)?,
                ..boundary
            })
        };
        self.e.pieces.iter().map(boundary).collect()
    }

    /// The verdict without its findings; `None` where nothing fits.
    fn judged(&self, findings: &mut Findings<'_>) -> Result<Option<Verdict>, TooTangled> {
        let boundaries = match self.boundaries() {
            Ok(boundaries) => boundaries,
            Err(NoBoundary(finding)) => {
                findings.add(*finding);
                return Ok(None);
            }
        };
        if self.through.is_empty() && self.e.cuts() {
            findings.at_file(codes::NothingCut { limit: Millimetres(self.levels.bottom) });
            return Ok(None);
        }
        let boundaries = boundaries.as_slice();
        let Some(proven) = self.best(boundaries, findings)? else { return Ok(None) };
        layout::check(self.e, boundaries, &proven.laid, findings)?;
        self.verdict(boundaries, proven, findings).map(Some)
    }

    fn check_passes(&self, findings: &mut Findings<'_>) -> Result<(), TooTangled> {
        // A mark is let down into the face: its depth is held against the declared one.
        let Some(cutter) = self.e.machine.tool.cutter().filter(|_| self.e.cuts()) else {
            return Ok(());
        };
        passes::check(self.e, cutter, &self.strokes, &self.levels, findings)
    }

    /// Of the cut, or of the widest mark in a program that only marks.
    fn radius(&self) -> f64 {
        let half = |piece: &Piece| match &piece.task {
            Task::Marks(marks) => marks.width_mm / 2.0,
            Task::Cut | Task::Both(_) => 0.0,
        };
        match self.e.cuts() {
            true => self.e.machine.tool_radius().as_mm(),
            false => self.e.pieces.iter().map(half).fold(0.0, f64::max),
        }
    }

    /// The layout as given, or the one that fits best; `None` with a finding if none fits.
    fn best(
        &self,
        boundaries: &[Boundary],
        findings: &mut Findings<'_>,
    ) -> Result<Option<Proven>, TooTangled> {
        let anywhere = |placements: Vec<Placement>| {
            placements.into_iter().map(|placement| vec![Laid { piece: 0, placement }]).collect()
        };
        let tries: Vec<Vec<Laid>> = match (self.e.laid(), boundaries.first()) {
            (Some(laid), _) => vec![laid],
            (None, Some(boundary)) if self.e.cuts() => anywhere(self.fitting(boundary)),
            (None, _) => anywhere(self.fitting_marks()),
        };
        let mut best: Option<Proven> = None;
        for laid in tries {
            let proven = self.prove(boundaries, laid)?;
            if best.as_ref().is_none_or(|best| proven.wrong_mm < best.wrong_mm) {
                best = Some(proven);
            }
        }
        if best.is_none() {
            self.tell_misfit(boundaries, findings);
        }
        Ok(best)
    }

    /// Tells that nothing fits: by both sizes, or that there is nothing to fit.
    fn tell_misfit(&self, boundaries: &[Boundary], findings: &mut Findings<'_>) {
        let nothing = Bounds { min: Point::origin(), max: Point::origin() };
        let edges = boundaries.iter().take(1).flat_map(|boundary| &boundary.edges);
        let part = Shape::new(edges.map(|edge| edge.segment).collect()).bounds();
        let drawn = candidate_boxes(if self.e.cuts() { &self.through } else { &self.strokes });
        let drawn = drawn.first().copied().unwrap_or(nothing);
        findings.at_file(misfit(drawn, part.map_or(nothing, |part| part.grown(self.radius()))));
    }

    fn fitting(&self, boundary: &Boundary) -> Vec<Placement> {
        let sides = match self.e.form {
            Form::Sheet => Sides::All,
            Form::Board => Sides::NotTheLower,
        };
        let turned = |turn: &Placement| {
            boundary.placed(turn).iter().map(|e| e.segment.bounds()).reduce(Bounds::joined)
        };
        let boxes = candidate_boxes(&self.through);
        let whole = boxes.last().copied();
        let mut fits = boxes.into_iter().map(|drawn| fitting(turned, self.radius(), drawn, sides));
        let exact = fits.find(|placements| !placements.is_empty());
        let with_leads = || {
            whole.map(|drawn| fitting_with_leads(turned, self.radius(), drawn)).unwrap_or_default()
        };
        exact.unwrap_or_else(with_leads)
    }

    /// Where the box of the declared marks fits the box of the strokes.
    fn fitting_marks(&self) -> Vec<Placement> {
        let points = || {
            self.e
                .pieces
                .iter()
                .filter_map(|p| p.task.marks())
                .flat_map(|marks| marks.strokes.iter().flatten())
        };
        let turned = |turn: &Placement| Bounds::around(points().map(|p| turn * p));
        let drawn = self.strokes.iter().map(|stroke| stroke.path.bounds()).reduce(Bounds::joined);
        drawn.map(|drawn| fitting(turned, 0.0, drawn, Sides::All)).unwrap_or_default()
    }

    fn prove(&self, boundaries: &[Boundary], laid: Vec<Laid>) -> Result<Proven, TooTangled> {
        let copies =
            laid.iter().map(|copy| boundaries[copy.piece].placed(&copy.placement)).collect();
        let target = Target::new(copies, self.e.labels(&laid));
        let marked = self.marked(&target, &laid)?;
        let pocketed =
            pockets::check(self.e, boundaries, &laid, &marked.cuts, (&self.levels, self.file))?;
        let gouging = gouging(&target, &pocketed.rest, self.radius())?;
        let needs_lower = layout::lower_needs_cut(self.e, &target);
        let reach = reach(&target, &self.paths(), self.radius(), |feature| {
            self.needs_cut(feature, needs_lower)
        })?;
        let uncut: f64 = reach
            .uncut
            .iter()
            .map(|u| (u.to - u.from) * target.edges[u.edge].segment.length())
            .sum();
        let gouged = gouging.gouges.iter().map(|gouge| gouge.depth_mm).sum::<f64>();
        let wrong_mm = gouged + uncut + marked.wrong_mm + pocketed.wrong_mm;
        Ok(Proven { laid, target, marked, pocketed, gouging, reach, wrong_mm })
    }

    /// The path that goes through.
    fn paths(&self) -> Shape {
        Shape::of_strokes(&self.through)
    }

    fn marked(&self, target: &Target, laid: &[Laid]) -> Result<Marked, TooTangled> {
        if self.e.pieces.iter().all(|piece| piece.task.marks().is_none()) {
            return Ok(Marked::none(&self.strokes));
        }
        let rules = MarkRules { e: self.e, levels: self.levels, laid, file: self.file };
        rules.sort(&self.strokes, self.e.cuts().then_some(target))
    }

    fn needs_cut(&self, feature: Feature, needs_lower: bool) -> bool {
        self.e.cuts()
            && !matches!(feature, Feature::Beside(_))
            && (needs_lower || feature != Feature::Edge(Role::LowerEdge))
    }

    /// Tells what is wrong; the verdict has no findings yet.
    fn verdict(
        &self,
        boundaries: &[Boundary],
        proven: Proven,
        findings: &mut Findings<'_>,
    ) -> Result<Verdict, TooTangled> {
        let Proven { laid, target, marked, pocketed, gouging, reach, .. } = proven;
        clamps::check_zone_on(self.e, &self.motion, &laid, findings);
        marked.tell(findings);
        if self.e.machine.tool.beam().is_some() {
            laser::check_marks(&marked.marks, findings)?;
        }
        pocketed.tell(findings);
        for gouge in &gouging.gouges {
            let (measured, limit) = (Millimetres(gouge.depth_mm), Millimetres(PROOF_MM));
            let by = Gouger::Line(self.sections.own(gouge.line));
            findings.at(codes::Gouge { by, measured, limit }, target.place(gouge.edge));
        }
        let sorted = sort(&self.tab_rules(), &target, &pocketed.rest, reach.uncut, findings);
        let paths = self.paths();
        let left_mm = left_at(&target, &paths, self.radius(), sorted.uncut.iter().copied())?;
        let pins =
            pins::check(self.e, &pocketed.rest, (&paths, &self.sections), self.radius(), findings)?;
        self.check_stands(&target, findings);
        self.check_hold(&sorted, &target, laid.len(), findings);
        self.account(boundaries, &laid, &pocketed.rest, &sorted, findings)?;
        let cut = finishing::Cut { strokes: &pocketed.rest, moves: &self.motion.moves };
        finishing::check(self.e, (&laid, &target), &cut, &self.levels, findings)?;
        self.check_pieces(&gouging, &sorted, &target, laid.len(), findings);
        self.check_balance(boundaries, &laid, &target, &sorted, findings)?;
        let holding = self.holding(boundaries, &laid, &target, findings)?;
        Ok(Verdict {
            findings: Vec::new(),
            gouge_mm: gouging.deepest_mm.max(pins.gouge_mm).max(pocketed.gouge_mm),
            left_mm: left_mm.max(reach.left_mm).max(pins.left_mm).max(pocketed.left_mm),
            boundary_uncut_mm: sorted.tabs.iter().map(|tab| tab.length_mm).sum(),
            fillets: laid.iter().map(|copy| self.fillets(boundaries, copy.piece)).sum(),
            tabs: sorted.tabs,
            marks: marked.found,
            pockets: pocketed.found,
            what: if self.e.cuts() { Recognised::Program } else { Recognised::Marks },
            placements: laid.iter().map(|copy| PlacedAt::from(&copy.placement)).collect(),
            judged: Judged::ToTheEnd,
            holding,
        })
    }

    /// Everything that is cut beside what must be is looked at. A program that only marks has no
    /// such thing: what is no mark there was told.
    fn account(
        &self,
        boundaries: &[Boundary],
        laid: &[Laid],
        strokes: &[Stroke],
        sorted: &Sorted,
        findings: &mut Findings<'_>,
    ) -> Result<(), TooTangled> {
        if !self.e.cuts() {
            return Ok(());
        }
        let accounts =
            Accounts { e: self.e, boundaries, laid, levels: &self.levels, radius: self.radius() };
        let found: Accounted = accounts.sort(strokes)?;
        accounts.tell(&found, &sorted.tabs, findings);
        if let Some(beam) = self.e.machine.tool.beam() {
            laser::check_fire(beam, &self.strokes, findings);
            laser::check_energy(beam, &found.along, findings);
            laser::check_holes(beam, &found.round_holes, findings)?;
            let starts = 1 + match &self.e.waste {
                Waste::Planned(ways) => ways.len() + laid.len(),
                Waste::Free => laid.len(),
            };
            laser::check_rounds(beam, (&found.along, &found.apart), starts, findings)?;
            let placed = |copy: &Laid| {
                let ring = boundaries[copy.piece].ring.iter();
                ring.map(|side| side.placed(&copy.placement)).collect()
            };
            let rings: Vec<Vec<Segment>> = laid.iter().map(placed).collect();
            let beside = self.radius() + off_by(self.e.machine);
            laser::check_order(&rings, (&found.along, beside), &self.strokes, findings)?;
        }
        Ok(())
    }

    /// Where some of several pieces are made and others are not, says which.
    fn check_pieces(
        &self,
        gouging: &Gouging,
        sorted: &Sorted,
        target: &Target,
        pieces: usize,
        findings: &mut Findings<'_>,
    ) {
        let mut made = vec![true; pieces];
        let gouged = gouging.gouges.iter().map(|gouge| gouge.edge);
        let wrong = gouged.chain(sorted.uncut.iter().map(|uncut| uncut.edge));
        let owners = wrong.map(|edge| target.owner(edge)).chain(sorted.untied.iter().copied());
        owners.for_each(|owner| made[owner] = false);
        let named = |wanted: bool| {
            let labels =
                (0..pieces).filter(|&piece| made[piece] == wanted).map(|piece| target.label(piece));
            labels.collect::<Vec<_>>()
        };
        let (right, wrong) = (named(true), named(false));
        if !right.is_empty() && !wrong.is_empty() {
            let (measured, limit) = (Count::from(right.len()), Count::from(pieces));
            let (made, missing) = (right.join(", "), wrong.join(", "));
            findings.at_file(codes::NotAllPieces { measured, limit, made, missing });
        }
    }

    fn fillets(&self, boundaries: &[Boundary], piece: usize) -> usize {
        let is_left = self.e.pieces[piece].corners == Corners::Fillet;
        if is_left { boundaries[piece].inside_corners } else { 0 }
    }

    fn tab_rules(&self) -> TabRules<'_> {
        let low = if self.e.machine.tool.lifts() { Low::Needed } else { Low::Impossible };
        let (levels, radius, digit) = (self.levels, self.radius(), last_digit_mm(self.e.machine));
        let cutter = self.e.machine.tool.cutter();
        let ramp = cutter.map_or(0.0, |cutter| 1.0 / cutter.ramp_deg.to_radians().tan());
        let allowance = self.e.machine.tool.allowance().as_mm();
        TabRules { tabs: &self.e.tabs, levels, radius, allowance, digit, ramp, low }
    }

    fn check_stands(&self, target: &Target, findings: &mut Findings<'_>) {
        if let Some(beam) = self.e.machine.tool.beam() {
            let clear = self.radius() - PROOF_MM;
            let is_waste = |p| {
                !target.shape.holds(p) && target.shape.nearest(p).is_none_or(|(_, d)| d >= clear)
            };
            laser::check_stands(&self.motion.stands, is_waste, findings);
            let off = |p| target.shape.nearest(p).map_or(f64::INFINITY, |(_, d)| d);
            laser::check_pierces(beam, &self.motion, off, findings);
        }
    }

    /// Whether what it cuts is pushed and no vacuum holds it, so that it must hang on something;
    /// marks cut nothing.
    fn must_hold(&self) -> bool {
        self.e.cuts() && self.e.machine.tool.ties()
    }

    /// What hangs together.
    fn holding(
        &self,
        boundaries: &[Boundary],
        laid: &[Laid],
        target: &Target,
        findings: &mut Findings<'_>,
    ) -> Result<Option<Holding>, TooTangled> {
        if !self.must_hold() {
            return Ok(None);
        }
        let first = self.first.as_ref();
        let cuts = hangs::Cuts { parting: &self.parting, sections: &self.sections, first };
        hangs::check(self.e, boundaries, laid, target, &cuts, findings).map(Some)
    }

    /// Tabs hold a part round its centre of area; on a board the part itself is clamped.
    fn check_balance(
        &self,
        boundaries: &[Boundary],
        laid: &[Laid],
        target: &Target,
        sorted: &Sorted,
        findings: &mut Findings<'_>,
    ) -> Result<(), TooTangled> {
        if !self.must_hold() || self.e.form != Form::Sheet {
            return Ok(());
        }
        let rings = hangs::rings(boundaries, laid);
        balance::check(self.e, &rings, target, (sorted, &self.parting), findings)
    }

    /// A part cut free of a sheet by a cutter is held by its tabs.
    fn check_hold(
        &self,
        sorted: &Sorted,
        target: &Target,
        parts: usize,
        findings: &mut Findings<'_>,
    ) {
        if !self.must_hold() || self.e.form != Form::Sheet {
            return;
        }
        for part in 0..parts {
            let count = sorted.parts.iter().filter(|&&p| p == part).count();
            if count < FEWEST_TABS {
                let (measured, limit) = (Count::from(count), Count::from(FEWEST_TABS));
                findings
                    .at(codes::LoosePart { measured, to: "the stock", limit }, target.label(part));
            }
        }
    }
}
