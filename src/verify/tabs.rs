//! Tabs: short stretches of a straight edge over which the tool passes without going through.

use super::boundary::Feature;
use super::expectation::{DeclaredTab, Tabs};
use super::findings::Findings;
use super::holding::uncut_from;
use super::levels::Levels;
use super::limits::{GAP_MM, LONGEST_TAB_MM, TAB_MM, TALLEST_TAB};
use super::pair::gaps;
use super::proof::{Target, Uncut};
use super::shape::Shape;
use super::stroke::{Stroke, Work};
use super::tab_wood::TabWood;
use super::verdict::FoundTab;
use crate::diagnostics::Millimetres;
use crate::diagnostics::codes::{self, Left, TabGone, TabMeasure, TabRule};
use crate::geometry::tolerance::{LEAST_WEB_MM, PROOF_MM};
use crate::geometry::{Bounds, Point, Segment, Vector, distance_to_segment};

/// What tabs are judged by.
pub(super) struct TabRules<'a> {
    pub tabs: &'a Tabs,
    pub levels: Levels,
    /// Radius of the tool.
    pub radius: f64,
    /// How far beside that passes off the line run, in mm: a tab stands in their way too.
    pub allowance: f64,
    /// What the last digit of the program is worth, in mm.
    pub digit: f64,
    /// Run over rise of the profile's ramp; 0 of a beam.
    pub ramp: f64,
    /// Whether the tool is a cutter, which leaves tabs by height, or a beam, which leaves them
    /// whole.
    pub low: Low,
}

/// How high on a tab its length is looked at, as shares of its height.
const SHARES: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 0.95];
/// In how many steps along a gap wood that holds is looked for.
const PLACES: usize = 16;

/// Whether a tab must be low.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Low {
    Needed,
    Impossible,
}

/// What came of all tabs and uncut stretches.
pub(super) struct Sorted {
    pub tabs: Vec<FoundTab>,
    /// Which part each accepted tab holds.
    pub parts: Vec<usize>,
    /// Stretches that no accepted tab explains.
    pub uncut: Vec<Uncut>,
    /// Which parts lack a tab that was declared.
    pub untied: Vec<usize>,
}

/// A gap of the through-going path opposite one straight edge. Positions along the edge in mm.
#[derive(Clone, Copy, Debug)]
struct Gap {
    edge: usize,
    /// Where the tool leaves the material's bottom and where it comes back.
    bottom: (f64, f64),
    /// Where it leaves its full depth and where it comes back.
    full: (f64, f64),
    height: f64,
}

/// Sorts every uncut stretch and every declared tab.
pub(super) fn sort(
    rules: &TabRules<'_>,
    target: &Target,
    strokes: &[Stroke],
    uncut: Vec<Uncut>,
    findings: &mut Findings<'_>,
) -> Sorted {
    let search = Search { rules, target, strokes, paths: Shape::of_strokes(strokes) };
    let (mut accepted, untied) = match rules.tabs {
        Tabs::Declared(declared) => search.declared(declared, findings),
        Tabs::ByRule => (search.by_rule(&uncut, findings), Vec::new()),
    };
    accepted.sort_by(|a, b| a.edge.cmp(&b.edge).then(a.bottom.0.total_cmp(&b.bottom.0)));
    let explains = |gap: &Gap, stretch: &Uncut| {
        let length = search.length(stretch.edge);
        let slack = PROOF_MM + rules.digit;
        gap.bottom.0 <= stretch.from * length + slack && stretch.to * length <= gap.bottom.1 + slack
    };
    let at = |edge: usize| accepted.partition_point(|gap| gap.edge < edge);
    let of = |edge: usize| &accepted[at(edge)..at(edge + 1)];
    let is_unexplained =
        |stretch: &Uncut| !of(stretch.edge).iter().any(|gap| explains(gap, stretch));
    let unexplained = uncut.into_iter().filter(is_unexplained);
    let uncut: Vec<Uncut> = unexplained.collect();
    for stretch in &uncut {
        search.tell(stretch, findings);
    }
    Sorted {
        tabs: accepted.iter().map(|gap| search.found(gap)).collect(),
        parts: accepted.iter().map(|gap| target.owner(gap.edge)).collect(),
        uncut,
        untied,
    }
}

struct Search<'a> {
    rules: &'a TabRules<'a>,
    target: &'a Target,
    strokes: &'a [Stroke],
    paths: Shape,
}

/// A stretch of stroke opposite an edge: where along the edge, in mm, and how high at both ends.
#[derive(Clone, Copy)]
struct Over {
    at: (f64, f64),
    z: (f64, f64),
}

impl Search<'_> {
    fn length(&self, edge: usize) -> f64 {
        self.target.edges[edge].segment.length()
    }

    /// Every cutting line that runs along a straight edge at the tool's radius, projected on it.
    fn along(&self, edge: usize) -> Vec<Over> {
        let segment = self.target.edges[edge].segment;
        let (from, direction) = (segment.from(), segment.direction_at(0.0));
        let reach = self.rules.radius + self.rules.allowance + PROOF_MM;
        let mut near = Vec::new();
        self.paths.near(segment.bounds().grown(reach), &mut near);
        let beside = |p: Point| {
            let out = p - from;
            let side = out.x * direction.y - out.y * direction.x;
            side > 0.0 && side <= reach
        };
        let lines = near.iter().map(|&i| &self.strokes[i]).filter(|stroke| {
            let path = &stroke.path;
            let straight = matches!(path, Segment::Line { .. }) && path.length() > GAP_MM;
            stroke.work == Work::Cutting && straight && beside(path.from()) && beside(path.to())
        });
        lines
            .map(|stroke| {
                let along = |p: Point| (p - from).dot(&direction);
                let (a, b) = (along(stroke.path.from()), along(stroke.path.to()));
                let (z, at) = ((stroke.from_z, stroke.to_z), (a, b));
                if a <= b { Over { at, z } } else { Over { at: (b, a), z: (z.1, z.0) } }
            })
            .collect()
    }

    /// The stretch about `position`, in mm along an edge, that no line covers at `level` or deeper.
    fn gap_at(&self, over: &[Over], edge: usize, position: f64, level: f64) -> Option<(f64, f64)> {
        let gaps = self.gaps_at(over, edge, level);
        gaps.into_iter().find(|(from, to)| *from <= position && position <= *to)
    }

    /// Every stretch of an edge, in mm, that no line covers at `level` or deeper.
    fn gaps_at(&self, over: &[Over], edge: usize, level: f64) -> Vec<(f64, f64)> {
        let length = self.length(edge);
        let low = over.iter().filter_map(|o| {
            let stroke = Stroke {
                path: Segment::Line { from: Point::origin(), to: Point::origin() },
                from_z: o.z.0,
                to_z: o.z.1,
                line: 0,
                work: Work::Cutting,
                off_mm: 0.0,
                energy: 1.0,
            };
            let (a, b) = stroke.below(level)?;
            let share = |s: f64| (o.at.0 + (o.at.1 - o.at.0) * s) / length;
            Some((share(a), share(b)))
        });
        let mut covered: Vec<(f64, f64)> = low.collect();
        let gaps = gaps(&mut covered, GAP_MM / length);
        gaps.into_iter().map(|(from, to)| (from * length, to * length)).collect()
    }

    /// Whether a gap is no longer than a tab: at its foot and higher up, where it may be longer by
    /// one way down on a ramp.
    fn is_short(&self, gap: &Gap) -> bool {
        let over = self.along(gap.edge);
        SHARES.iter().all(|share| {
            let level = self.rules.levels.through() + gap.height * share;
            let within = |(from, to): (f64, f64)| to.min(gap.bottom.1) - from.max(gap.bottom.0);
            let stretches = self.gaps_at(&over, gap.edge, level).into_iter().map(within);
            let length: f64 = stretches.filter(|length| *length > 0.0).sum();
            length <= LONGEST_TAB_MM + gap.height * (1.0 - share) * self.rules.ramp
        })
    }

    /// The gap of an edge about a position.
    fn gap(&self, edge: usize, position: f64) -> Option<Gap> {
        let levels = &self.rules.levels;
        let over = self.along(edge);
        let full_depth = over.iter().map(|o| o.z.0.min(o.z.1)).fold(f64::INFINITY, f64::min);
        let bottom = self.gap_at(&over, edge, position, levels.through())?;
        let full = self
            .gap_at(&over, edge, position, full_depth.min(levels.through()) + GAP_MM)
            .unwrap_or(bottom);
        Some(Gap { edge, bottom, full, height: self.height(&over, bottom) })
    }

    /// What stands in a gap above the bottom, nowhere underestimated: on each stretch between ends
    /// of strokes the lowest stroke counts by its higher end.
    fn height(&self, over: &[Over], gap: (f64, f64)) -> f64 {
        let levels = &self.rules.levels;
        let over: Vec<&Over> = over.iter().filter(|o| o.at.1 > gap.0 && o.at.0 < gap.1).collect();
        let ends =
            over.iter().flat_map(|o| [o.at.0, o.at.1]).filter(|&at| gap.0 < at && at < gap.1);
        let mut cuts: Vec<f64> = ends.chain([gap.0, gap.1]).collect();
        cuts.sort_unstable_by(f64::total_cmp);
        let mut height = 0.0;
        for pair in cuts.windows(2).filter(|pair| pair[1] - pair[0] > GAP_MM) {
            let middle = f64::midpoint(pair[0], pair[1]);
            let z = |o: &Over, at: f64| {
                let share = ((at - o.at.0) / (o.at.1 - o.at.0)).clamp(0.0, 1.0);
                o.z.0 + (o.z.1 - o.z.0) * share
            };
            let passing = over.iter().filter(|o| o.at.0 <= middle && middle <= o.at.1);
            let lowest =
                passing.map(|o| z(o, pair[0]).max(z(o, pair[1]))).fold(levels.top, f64::min);
            height = f64::max(height, lowest - levels.bottom);
        }
        height
    }

    /// The declared tabs that are there as declared, and which parts lack one.
    fn declared(
        &self,
        declared: &[DeclaredTab],
        findings: &mut Findings<'_>,
    ) -> (Vec<Gap>, Vec<usize>) {
        let slack = TAB_MM + 2.0 * self.rules.digit;
        let (mut accepted, mut untied) = (Vec::new(), Vec::new());
        for tab in declared {
            let place = format!("x {:.2} y {:.2} mm", tab.at.x, tab.at.y);
            let nearest = self.target.shape.nearest(tab.at);
            let edge = nearest.filter(|&(edge, distance)| {
                self.is_straight(edge) && (distance - self.rules.radius).abs() <= PROOF_MM + slack
            });
            let Some((edge, _)) = edge else {
                untied.extend(nearest.map(|(edge, _)| self.target.owner(edge)));
                findings.at(missing(tab, TabGone::NoEdge), place);
                continue;
            };
            let place = format!("{}, {place}", self.target.place(edge));
            let segment = self.target.edges[edge].segment;
            let position = (tab.at - segment.from()).dot(&segment.direction_at(0.0));
            let Some(gap) = self.gap(edge, position) else {
                untied.push(self.target.owner(edge));
                findings.at(missing(tab, TabGone::CutAway), place);
                continue;
            };
            match self
                .difference(tab, position, &gap, slack)
                .or_else(|| self.too_low(tab, &segment, slack))
            {
                Some(differs) => {
                    untied.push(self.target.owner(edge));
                    findings.at(differs, place);
                }
                None => {
                    accepted.push(gap);
                    accepted.extend(self.across(tab, edge, slack));
                }
            }
        }
        (accepted, untied)
    }

    /// The gaps that one tab leaves on the edges of other copies, where one cut frees both: it ties
    /// part to part.
    fn across(&self, tab: &DeclaredTab, edge: usize, slack: f64) -> Vec<Gap> {
        let mut near = Vec::new();
        let reach = self.rules.radius + PROOF_MM + slack;
        self.target.shape.near(Bounds { min: tab.at, max: tab.at }.grown(reach), &mut near);
        let beside = near.into_iter().filter(|&other| {
            let segment = &self.target.edges[other].segment;
            self.target.owner(other) != self.target.owner(edge)
                && self.is_straight(other)
                && distance_to_segment(tab.at, segment) <= reach
        });
        let gaps = beside.filter_map(|other| {
            let segment = self.target.edges[other].segment;
            let position = (tab.at - segment.from()).dot(&segment.direction_at(0.0));
            self.gap(other, position)
                .filter(|gap| self.difference(tab, position, gap, slack).is_none())
        });
        gaps.collect()
    }

    fn is_straight(&self, edge: usize) -> bool {
        matches!(self.target.edges[edge].role, Feature::Edge(_))
    }

    /// In what a gap is not the tab that was declared. Each end of a ramped tab lies between where
    /// the tool leaves its full depth and where it leaves the material's bottom.
    fn difference(
        &self,
        tab: &DeclaredTab,
        position: f64,
        gap: &Gap,
        slack: f64,
    ) -> Option<codes::TabDiffers> {
        let (start, end) = (position - tab.length_mm / 2.0, position + tab.length_mm / 2.0);
        let starts = start >= gap.full.0 - slack && start <= gap.bottom.0 + slack;
        let ends = end <= gap.full.1 + slack && end >= gap.bottom.1 - slack;
        if !(starts && ends) {
            let at_start =
                !starts && (ends || (gap.bottom.0 - start).abs() >= (gap.bottom.1 - end).abs());
            return Some(if at_start {
                differs(TabMeasure::Start, gap.bottom.0, start, TabRule::Declared)
            } else {
                differs(TabMeasure::End, gap.bottom.1, end, TabRule::Declared)
            });
        }
        if self.rules.low == Low::Needed
            && (gap.height - tab.height_mm).abs() > slack + self.rules.levels.near
        {
            return Some(differs(TabMeasure::Height, gap.height, tab.height_mm, TabRule::Declared));
        }
        self.too_tall(gap).or_else(|| self.at_corner(gap, 0.0))
    }

    /// Whether wood stands somewhere in a gap that is as wide and high as what holds.
    fn is_wood(&self, gap: &Gap) -> bool {
        let levels = &self.rules.levels;
        let edge = self.target.edges[gap.edge].segment;
        let length = LEAST_WEB_MM + 2.0 * self.rules.radius;
        let room = (gap.bottom.1 - gap.bottom.0 - length).max(0.0);
        let stands = |place: usize| {
            let along = f64::midpoint(gap.bottom.0, gap.bottom.1)
                + room * (place as f64 / PLACES as f64 - 0.5);
            let at = edge.from() + edge.direction_at(0.0) * along;
            let height_mm = levels.parting() - levels.bottom;
            let least = DeclaredTab { at, top: at, length_mm: length, level_mm: length, height_mm };
            self.taken(&least, &edge, 0.0) <= 0.0
        };
        (0..=PLACES).any(stands)
    }

    /// All of a declared tab's wood stands, whatever strokes come there; a beam leaves all of it.
    fn too_low(&self, tab: &DeclaredTab, edge: &Segment, slack: f64) -> Option<codes::TabDiffers> {
        let levels = &self.rules.levels;
        let whole = DeclaredTab {
            level_mm: tab.length_mm,
            top: tab.at,
            height_mm: levels.top - levels.bottom,
            ..*tab
        };
        let asked = if self.rules.low == Low::Needed { tab } else { &whole };
        let taken = self.taken(asked, edge, slack);
        let stands = asked.height_mm - taken;
        (taken > 0.0)
            .then(|| differs(TabMeasure::WoodHeight, stands, asked.height_mm, TabRule::Declared))
    }

    /// The most that a stroke takes of a tab's wood, in mm.
    fn taken(&self, tab: &DeclaredTab, edge: &Segment, slack: f64) -> f64 {
        let reach = (self.rules.radius, self.rules.allowance);
        let wood = TabWood::new(tab, edge, reach, &self.rules.levels, slack);
        let mut near = Vec::new();
        let around = Bounds { min: tab.at, max: tab.at };
        self.paths.near(around.grown(tab.length_mm + 2.0 * self.rules.radius), &mut near);
        near.iter().map(|&i| wood.taken(&self.strokes[i])).fold(0.0, f64::max)
    }

    fn too_tall(&self, gap: &Gap) -> Option<codes::TabDiffers> {
        let levels = &self.rules.levels;
        let most = (levels.top - levels.bottom) * TALLEST_TAB + levels.near;
        (self.rules.low == Low::Needed && gap.height > most)
            .then(|| differs(TabMeasure::Height, gap.height, most, TabRule::Most))
    }

    fn at_corner(&self, gap: &Gap, margin: f64) -> Option<codes::TabDiffers> {
        let room = gap.bottom.0.min(self.length(gap.edge) - gap.bottom.1);
        let least = margin.max(GAP_MM);
        (room < least).then(|| differs(TabMeasure::FromCorner, room, least, TabRule::Least))
    }

    /// The gaps that may pass for tabs where none were declared.
    fn by_rule(&self, uncut: &[Uncut], findings: &mut Findings<'_>) -> Vec<Gap> {
        let mut accepted: Vec<Gap> = Vec::new();
        for stretch in uncut.iter().filter(|stretch| self.is_straight(stretch.edge)) {
            let position = f64::midpoint(stretch.from, stretch.to) * self.length(stretch.edge);
            let Some(gap) = self.gap(stretch.edge, position) else { continue };
            let length = gap.bottom.1 - gap.bottom.0;
            let fits = self.rules.low == Low::Needed && self.is_short(&gap);
            if fits
                && self.is_wood(&gap)
                && self.too_tall(&gap).is_none()
                && self.at_corner(&gap, 2.0 * self.rules.radius).is_none()
            {
                let (measured, height) = (Millimetres(length), Millimetres(gap.height));
                let limit = Millimetres(LONGEST_TAB_MM + gap.height * self.rules.ramp);
                let found = codes::TabFound { measured, height, limit };
                findings.at(found, self.target.place(gap.edge));
                accepted.push(gap);
            }
        }
        accepted
    }

    fn found(&self, gap: &Gap) -> FoundTab {
        let segment = self.target.edges[gap.edge].segment;
        let direction = segment.direction_at(0.0);
        let out = Vector::new(direction.y, -direction.x) * self.rules.radius;
        let at = |along: f64| segment.from() + direction * along + out;
        FoundTab {
            at: at(f64::midpoint(gap.bottom.0, gap.bottom.1)),
            along: Segment::Line { from: at(gap.bottom.0), to: at(gap.bottom.1) },
            length_mm: gap.bottom.1 - gap.bottom.0,
            height_mm: gap.height,
            edge: self.target.place(gap.edge).to_string(),
        }
    }

    /// Tells of an uncut stretch, as a tab that nobody declared if it looks like one.
    fn tell(&self, stretch: &Uncut, findings: &mut Findings<'_>) {
        let segment = self.target.edges[stretch.edge].segment;
        let length = segment.length() * (stretch.to - stretch.from);
        let tablike = self.is_straight(stretch.edge)
            && self.rules.low == Low::Needed
            && matches!(self.rules.tabs, Tabs::Declared(_))
            && self
                .gap(stretch.edge, f64::midpoint(stretch.from, stretch.to) * segment.length())
                .is_some_and(|gap| {
                    self.too_tall(&gap).is_none() && self.at_corner(&gap, 0.0).is_none()
                });
        let (from, place) = (segment.point_at(stretch.from), self.target.place(stretch.edge));
        if tablike {
            let (measured, x, y) = (Millimetres(length), Millimetres(from.x), Millimetres(from.y));
            findings.at(codes::TabUndeclared { measured, x, y }, place);
        } else {
            findings.at(uncut_from(from, length, Left::ByProgram), place);
        }
    }
}

fn missing(tab: &DeclaredTab, how: TabGone) -> codes::TabMissing {
    codes::TabMissing { limit: Millimetres(tab.length_mm), how }
}

fn differs(what: TabMeasure, mm: f64, limit_mm: f64, rule: TabRule) -> codes::TabDiffers {
    codes::TabDiffers { what, measured: Millimetres(mm), limit: Millimetres(limit_mm), rule }
}
