//! The steps of a rotating cutter: ramp in the waste, even passes in the climb direction, tabs,
//! through.

use super::chords::followed;
use super::lead::Lead;
use super::program::{Draft, FeedKind, Step, at_feed_of};
use super::ramp::ramp;
use super::rough::OnLine;
use super::round::{Round, clockwise};
use super::sheet::said::of_piece;
use super::span::center_of;
use super::tab_profile::TabProfile;
use super::tabs::{self, Keep, Tab, TabShape};
use crate::cam::compensate::ToolPath;
use crate::diagnostics::codes::{self, LeadIn};
use crate::diagnostics::{Outcome, Refusals, Warned};
use crate::geometry::tolerance::LEAST_WEB_MM;
use crate::geometry::{Placement, Point, Segment};
use crate::job::Job;
use crate::profile::{Arcs, Machine, Material, Router, Tool};
use crate::units::Length;

/// How far the round goes on past its start (common practice, no source).
const OVERLAP_IN: f64 = 0.25;
/// The longest stroke of a ramp: a longer way down goes back and forth.
pub(super) const LONGEST_STROKE_MM: f64 = 50.0;
/// How much wider than the least web the wood beside a part is at least.
const MORE_RIM: f64 = 1.25;
/// The shortest stroke worth ramping on.
const SHORTEST_STROKE_MM: f64 = 5.0;

/// What stays free round the part: the kerf, the lead-in beside it, what chords reach further and
/// the material's margin, in mm.
pub(super) fn room(machine: &Machine, material: &Material) -> f64 {
    let radius = (machine.tool.widest() / 2.0).as_mm();
    // The rim left between kerf and edge is what all tabs hang on.
    let rim = material.margin.as_mm().max(LEAST_WEB_MM * MORE_RIM - 2.0 * radius);
    4.0 * radius + machine.arcs.overshoot().as_mm() + machine.tool.stands_off().as_mm() + rim
}

/// The steps for one part.
///
/// # Errors
/// A refusal if the path has no straight edge long enough to ramp beside.
pub(super) fn draft(
    job: &Job,
    router: &Router,
    path: &ToolPath,
    placement: &Placement,
) -> Outcome<Draft> {
    laid(job, router, path, placement)?.and_then(|laid| {
        let rough = match path.rough() {
            Some(rough) => {
                let line = (&laid.round, &laid.entry);
                let beside = Rough::beside(&rough, placement, line, job.cut.machine.arcs);
                Some(beside.ok_or_else(no_room)?)
            }
            None => None,
        };
        Ok(Warned::plain(laid.draft(rough.as_ref(), &job.cut.machine)))
    })
}

/// The steps of a roughing cutter on its own job and path, and those of the cutter on the line.
///
/// # Errors
/// A refusal if one of the paths has no straight edge long enough to ramp beside.
pub(super) fn drafts(
    (roughed, its_path): (&Job, &ToolPath),
    (job, path): (&Job, &ToolPath),
    placement: &Placement,
) -> Outcome<(Draft, Draft)> {
    let (its_machine, machine) = (&roughed.cut.machine, &job.cut.machine);
    let (Some(its_router), Some(depth)) =
        (its_machine.tool.cutter(), Depth::of(&machine.tool, job.cut.material.thickness))
    else {
        unreachable!("a machine with a roughing cutter turns another one too")
    };
    laid(roughed, its_router, its_path, placement)?.and_then(|laid| {
        let line = OnLine { path, placement, arcs: machine.arcs, depth };
        let line = line.beside((&laid.round, &laid.entry), &laid.tabs).ok_or_else(no_room)?;
        let (round, entry, tabs) = line;
        let own = LaidRound { round, entry, tabs, depth };
        Ok(Warned::plain((laid.draft(None, its_machine), own.draft(None, machine))))
    })
}

/// A round with its way in and its tabs.
struct LaidRound {
    round: Round,
    entry: Entry,
    tabs: Vec<Tab>,
    depth: Depth,
}

/// The round of one part, and what there is to say of its tabs.
fn laid(job: &Job, router: &Router, path: &ToolPath, placement: &Placement) -> Outcome<LaidRound> {
    let machine = &job.cut.machine;
    let lead_room = path.radius().as_mm() + LONGEST_STROKE_MM;
    let round = Round::new(path, placement, machine.arcs, lead_room).ok_or_else(no_room)?;
    let entry = Entry::beside(&round, path.radius().as_mm()).ok_or_else(no_room)?;
    let depth = Depth::with(router, job.cut.material.thickness);
    let center = placement * center_of(path.piece());
    let keep_clear = entry.keep_clear(depth.cutter / 2.0);
    let tabs = match machine.tool.ties() {
        true => tabs::place(&round, depth.shape, depth.cutter, keep_clear, center),
        false => Vec::new(),
    };
    let keep = Keep { end: keep_clear.0, zones: &[], is_clear: &|_| true };
    let tabs = tabs::eased(tabs, &round, depth.shape, depth.cutter, &keep);
    let said = Warned::unless_refused(of_piece("tabs", &tabs, center, machine, depth.shape))?;
    Ok(said.map(|()| LaidRound { round, entry, tabs, depth }))
}

impl LaidRound {
    fn draft(self, rough: Option<&Rough>, machine: &Machine) -> Draft {
        let Self { round, entry, tabs, depth } = self;
        let mut steps = vec![Step::RapidZ(machine.safe_height.as_mm()), Step::ToolOn];
        steps.extend(piece((&round, &entry, rough), &tabs, depth, machine));
        steps.extend([Step::ToolOff, Step::RapidXy(Point::origin())]);
        let rough_ways = rough.iter().flat_map(|rough| rough.ways(&entry));
        let (leads, ways) = (entry.leads(), entry.ways().into_iter().chain(rough_ways).collect());
        Draft { steps, tabs, leads, ways }
    }
}

/// Said where no straight edge is long enough to come in on.
fn no_room() -> Refusals {
    codes::NoLeadRoom { how: LeadIn::Ramp(Length::mm(SHORTEST_STROKE_MM)) }.at("path").into()
}

/// How deep a router cuts, and over which tabs; in mm.
#[derive(Clone, Copy)]
pub(super) struct Depth {
    pub shape: TabShape,
    pub cutter: f64,
    thickness: f64,
    through: f64,
    pass: f64,
    ramp_tan: f64,
    /// How far the passes before the last stay off the line, or all of a roughing cutter.
    pub allowance: f64,
}

impl Depth {
    /// Through a thickness; of a tool that has a cutter.
    pub(super) fn of(tool: &Tool, thickness: Length) -> Option<Self> {
        tool.cutter().map(|router| Self::with(router, thickness))
    }

    fn with(router: &Router, thickness: Length) -> Self {
        let (thickness, cutter) = (thickness.as_mm(), 2.0 * (router.cutter / 2.0).as_mm());
        Self {
            shape: TabShape::new(thickness, cutter, router),
            cutter,
            thickness,
            through: thickness + router.below().as_mm(),
            pass: router.pass_depth.as_mm(),
            ramp_tan: router.ramp_deg.to_radians().tan(),
            allowance: router.finish.map_or(router.leaves, |finish| finish.allowance).as_mm(),
        }
    }
}

/// How the cutter comes to its round.
pub(super) enum Entry {
    /// Let down along a stroke beside the path, in the waste, then by an arc onto it.
    Beside {
        /// The arcs.
        lead: Lead,
        /// Where the stroke turns back.
        ramp_end: Point,
        /// Its length.
        stroke: f64,
    },
    /// Let down along the path itself, which is cut again at full depth.
    OnPath {
        /// The stretch from the start of the round on that it is let down along.
        ramp: Segment,
    },
}

impl Entry {
    /// Beside the straight edge that the round starts on, behind its start.
    pub(super) fn beside(round: &Round, radius: f64) -> Option<Self> {
        Self::beside_within(round, radius, 0.0)
    }

    /// The same with so much more of that edge, in mm, kept free behind the ramp.
    pub(super) fn beside_within(round: &Round, radius: f64, kept: f64) -> Option<Self> {
        let stroke = (round.straight_behind() - radius - kept).min(LONGEST_STROKE_MM);
        let lead = Lead::new(round, radius, overlap());
        let ramp_end = lead.entry - round.direction() * stroke;
        (stroke >= SHORTEST_STROKE_MM).then_some(Self::Beside { lead, ramp_end, stroke })
    }

    /// On the straight edge that the round starts on, ahead of its start.
    pub(super) fn on_path(round: &Round) -> Option<Self> {
        let stroke = round.straight_ahead().min(LONGEST_STROKE_MM);
        let ramp =
            Segment::Line { from: round.start(), to: round.start() + round.direction() * stroke };
        (stroke >= SHORTEST_STROKE_MM).then_some(Self::OnPath { ramp })
    }

    /// Where the cutter is let down.
    pub(super) fn point(&self) -> Point {
        match self {
            Self::Beside { lead, .. } => lead.entry,
            Self::OnPath { ramp } => ramp.from(),
        }
    }

    /// Where the cutter is lifted.
    pub(super) fn leaves(&self) -> Point {
        match self {
            Self::Beside { lead, .. } => lead.way_out.to(),
            Self::OnPath { ramp } => {
                ramp.from() + ramp.direction_at(0.0) * overlap().min(ramp.length())
            }
        }
    }

    /// The ways of the cutter that are not on its round.
    pub(super) fn leads(&self) -> Vec<Segment> {
        match self {
            Self::Beside { lead, .. } => vec![lead.way_in, lead.way_out],
            Self::OnPath { .. } => Vec::new(),
        }
    }

    /// Every stretch that the cutter takes beside its round.
    pub(super) fn ways(&self) -> Vec<Segment> {
        match self {
            Self::Beside { lead, ramp_end, .. } => {
                let straight = |from, to| Segment::Line { from, to };
                let (ramp, back) =
                    (straight(lead.entry, *ramp_end), straight(lead.way_out.to(), lead.entry));
                vec![lead.way_in, lead.way_out, ramp, back]
            }
            Self::OnPath { .. } => Vec::new(),
        }
    }

    /// What tabs keep from the start, before it and after it.
    pub(super) fn keep_clear(&self, radius: f64) -> (f64, f64) {
        match self {
            Self::Beside { stroke, .. } => (2.0 * radius + stroke, overlap() + 3.0 * radius),
            Self::OnPath { ramp } => (3.0 * radius, ramp.length().max(overlap()) + 3.0 * radius),
        }
    }
}

/// The round of the passes that stay off the line by the finishing allowance.
pub(super) struct Rough {
    /// It starts beside where the round on the line does.
    pub round: Round,
    /// The way in, of the kind of that round's.
    entry: Entry,
}

impl Rough {
    /// Along the path of those passes, beside a round on the line and its way in.
    pub(super) fn beside(
        path: &ToolPath,
        placement: &Placement,
        (round, entry): (&Round, &Entry),
        arcs: Arcs,
    ) -> Option<Self> {
        let rough = Round::beside(clockwise(path, placement), arcs, round.start())?;
        let entry = match entry {
            Entry::Beside { .. } => Entry::beside(&rough, path.radius().as_mm())?,
            Entry::OnPath { .. } => Entry::on_path(&rough)?,
        };
        Some(Self { round: rough, entry })
    }

    /// A round with a way in of the kind of that on the line.
    pub(super) fn entered(round: Round, entry: Entry) -> Self {
        Self { round, entry }
    }

    /// Every stretch that the cutter takes beside the round, and the one from there to the way in
    /// of the round on the line.
    pub(super) fn ways(&self, entry: &Entry) -> Vec<Segment> {
        self.entry.ways().into_iter().chain([self.onto(entry)]).collect()
    }

    fn onto(&self, entry: &Entry) -> Segment {
        Segment::Line { from: self.entry.point(), to: entry.point() }
    }

    /// Where the cutter is let down.
    pub(super) fn point(&self) -> Point {
        self.entry.point()
    }
}

/// How far a round goes on past its start, in mm.
pub(super) fn overlap() -> f64 {
    Length::inches(OVERLAP_IN).as_mm()
}

/// The steps of one piece, from and to the safe height: the round on the line, its way in, and the
/// round of the passes that stay off it, where some do.
pub(super) fn piece(
    (round, entry, rough): (&Round, &Entry, Option<&Rough>),
    tabs: &[Tab],
    depth: Depth,
    machine: &Machine,
) -> Vec<Step> {
    let beside = rough.map_or_else(Vec::new, |rough| tabs::beside(tabs, &rough.round));
    let (way, entered, over) = match rough {
        Some(rough) => (&rough.round, &rough.entry, &beside[..]),
        None => (round, entry, tabs),
    };
    let cutting = Cutting::new(way, entered, over, depth, machine);
    let floors = pass_floors(depth.through, depth.pass);
    let count = floors.len() + usize::from(rough.is_some());
    let mut steps = vec![Step::RapidXy(entered.point()), Step::FeedZ(0.0)];
    let mut from = 0.0;
    for (number, floor) in floors.iter().enumerate() {
        steps.push(Step::Say(format!("PASS {} OF {count}", number + 1)));
        let begun = steps.len();
        let after = if number + 1 == count { After::Stop } else { After::Again };
        cutting.pass(&mut steps, from, *floor, after);
        if number + 1 == floors.len() {
            at_feed_of(FeedKind::LastPass, &mut steps[begun..]);
        }
        from = *floor;
    }
    if let Some(rough) = rough {
        steps.push(Step::Say(finishing(count)));
        let begun = steps.len();
        steps.push(Step::Cut { segment: rough.onto(entry), to_z: from, feed: FeedKind::Cut });
        Cutting::new(round, entry, tabs, depth, machine).around(&mut steps, from);
        at_feed_of(FeedKind::Finish, &mut steps[begun..]);
    }
    steps.push(Step::RapidZ(machine.safe_height.as_mm()));
    steps
}

/// What a program says before the pass on the line, which is the last of so many.
pub(super) fn finishing(count: usize) -> String {
    format!("PASS {count} OF {count}, ON THE LINE")
}

/// Depths of even passes, none deeper than `most`, the last at `depth`.
pub(super) fn pass_floors(depth: f64, most: f64) -> Vec<f64> {
    let count = (depth / most - 1e-9).ceil().max(1.0);
    (1..=count as usize).map(|k| -depth * k as f64 / count).collect()
}

/// What follows a pass.
#[derive(Clone, Copy, PartialEq, Eq)]
enum After {
    /// Back to the entry, for the next one.
    Again,
    /// Nothing: it was the last.
    Stop,
}

struct Cutting<'a> {
    round: &'a Round,
    entry: &'a Entry,
    profile: TabProfile<'a>,
    ramp_tan: f64,
    arcs: Arcs,
}

impl<'a> Cutting<'a> {
    fn new(
        round: &'a Round,
        entry: &'a Entry,
        tabs: &'a [Tab],
        depth: Depth,
        machine: &Machine,
    ) -> Self {
        let profile = TabProfile::new(tabs, depth.shape, depth.thickness);
        Cutting { round, entry, profile, ramp_tan: depth.ramp_tan, arcs: machine.arcs }
    }

    /// One pass: down, round, on past the start.
    fn pass(&self, steps: &mut Vec<Step>, from: f64, floor: f64, after: After) {
        let (stroke, end) = match self.entry {
            Entry::Beside { lead, ramp_end, .. } => {
                let stroke = Segment::Line { from: lead.entry, to: *ramp_end };
                (stroke, lead.way_out.to())
            }
            Entry::OnPath { ramp } => (*ramp, self.entry.leaves()),
        };
        steps.extend(ramp(&stroke, from, floor, self.ramp_tan));
        self.around(steps, floor);
        if after == After::Again {
            let back = Segment::Line { from: end, to: stroke.from() };
            steps.push(Step::Cut { segment: back, to_z: floor, feed: FeedKind::Cut });
        }
    }

    /// From the way in round at a floor to the way out.
    fn around(&self, steps: &mut Vec<Step>, floor: f64) {
        match self.entry {
            Entry::Beside { lead, .. } => {
                self.through_waste(steps, &lead.way_in, floor);
                self.once_round(steps, floor);
                self.through_waste(steps, &lead.way_out, floor);
            }
            Entry::OnPath { .. } => self.once_round(steps, floor),
        }
    }

    /// Round at a floor, over the tabs, and on past the start.
    fn once_round(&self, steps: &mut Vec<Step>, floor: f64) {
        steps.extend(self.profile.once_round(self.round, floor));
        let past = match self.entry {
            Entry::Beside { .. } => overlap(),
            Entry::OnPath { ramp } => overlap().min(ramp.length()),
        };
        for (segment, _) in self.round.pieces(0.0, past, &[]) {
            steps.push(Step::Cut { segment, to_z: floor, feed: FeedKind::Cut });
        }
    }

    fn through_waste(&self, steps: &mut Vec<Step>, way: &Segment, z: f64) {
        let cut = |segment| Step::Cut { segment, to_z: z, feed: FeedKind::Cut };
        steps.extend(followed(way, self.arcs).into_iter().map(cut));
    }
}
