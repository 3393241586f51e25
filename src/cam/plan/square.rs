//! The program of the test squares: the hole first, while all hangs on the whole sheet, then round
//! the small square, then round the large one. Tabs stand in the first third of a side, so that
//! calipers find the rest of it clean.

use super::hold::Bench;
use super::lead::Lead;
use super::program::{Draft, Placed, Program, Step, Task};
use super::round::Round;
use super::router::{self, Depth, Entry, Rough};
use super::tabs::Tab;
use super::{by_tool, clamps, laser};
use crate::cam::compensate::PathRole;
use crate::cam::square::Sizes;
use crate::check::{Lie, Room, StockBox, fit, profile_sense};
use crate::diagnostics::codes::{self, LeadIn, ToHold};
use crate::diagnostics::{Finding, Outcome, Refusals, Warned};
use crate::geometry::{
    Bounds, Contour, Edge, Follows, Placement, Point, Segment, Vector, offset_outside,
};
use crate::profile::{Form, Hold, Machine, Material, TabEnds, TabSizes};
use crate::stair::outline::Role;
use crate::units::Length;

/// The planned test squares.
#[derive(Clone, Debug)]
pub struct SquareProgram {
    /// How large they are.
    pub sizes: Sizes,
    /// The machine as it holds them: by tabs with square ends, for its sides are short.
    pub machine: Machine,
    /// The material as it lies on the machine.
    pub material: Material,
    /// The program; the large square is its first piece, the small one its second.
    pub program: Program,
}

/// A wider cutter leaves no room for the way in and the tabs beside it, in inches.
const WIDEST_IN: f64 = 0.625;
/// Where the round begins, as a share of the side on which it does.
const OUTSIDE_START: f64 = 0.34;
const INSIDE_START: f64 = 0.55;
/// Where the middle of a tab stands on its side, as a share of it from the lower or left end.
const TAB_SHARE: f64 = 0.22;
/// From a corner, of the hole as the cutter leaves it round, to a tab.
const FROM_ROUND_MM: f64 = 1.0;

/// Plans the test squares on a material of the size that lies on the machine, and what there is to
/// say about it.
///
/// # Errors
/// The refusals, if the machine cannot make it.
pub fn plan_square(machine: &Machine, material: &Material) -> Outcome<SquareProgram> {
    let square_ends = TabSizes { shape: TabEnds::Square, ..TabSizes::default() };
    // What it measures is the cutter on the line: that goes all the way by itself.
    let unroughed = not_roughed(machine);
    let machine = machine.clone().without_roughing();
    let machine = machine.holding(Hold::Tabs(square_ends)).cutting(material.thickness);
    let machine = &machine;
    let material = &Material { form: Form::Sheet, ..material.clone() };
    let sizes = Sizes::of(machine.units);
    let mut refusals = by_tool::unable(machine, material);
    refusals.extend(wide(machine));
    let all_round = by_tool::room(machine, material);
    let room = Room { along: all_round, across: all_round, of_material: all_round };
    // Room for the kerfs of both and the way in of one, and a web that holds.
    let apart = all_round + (machine.tool.width() + machine.tool.allowance()).as_mm();
    let (large, small) = (sizes.outside.as_mm(), sizes.small.as_mm());
    let both = Bounds { min: Point::origin(), max: Point::new(large + apart + small, large) };
    let fitted = fit(both, room, machine, material);
    let (lie, stock) = match fitted {
        Ok(fitted) if refusals.is_empty() => fitted,
        Ok(_) => return Err(refusals.into()),
        Err(misfits) => return Err([refusals, misfits.into_findings()].concat().into()),
    };
    // Neither is turned, so that what is measured along X lies along X.
    let beside = match lie {
        Lie::AlongX => Vector::new(large + apart, 0.0),
        Lie::AlongY => Vector::new(0.0, large + apart),
    };
    let at = Vector::repeat(all_round);
    let placed = |at: Vector| Placement::translation(at.x, at.y);
    let laid = Laid { machine, large: placed(at), small: placed(at + beside), stock };
    let draft = laid.draft(&sizes)?;
    let named =
        |name: &str, placement| Placed { name: name.to_string(), ..Placed::alone(placement) };
    let program = Program {
        tabs: draft.tabs,
        leads: draft.leads,
        ways: draft.ways,
        ..Program::of_steps(
            Task::Cut,
            stock,
            vec![
                named("large square", laid.large),
                Placed { kind: 1, ..named("small square", laid.small) },
            ],
            draft.steps,
            machine,
        )
    };
    let program = clamps::kept_clear(program, &[], machine)?;
    Warned::unless_refused(laid.loose(&sizes, &program))?.and_then(|()| {
        let (machine, material) = (machine.clone(), material.clone());
        let odd = profile_sense(&machine, &material);
        Ok(Warned::new(SquareProgram { sizes, machine, material, program }, odd).and_say(unroughed))
    })
}

fn not_roughed(machine: &Machine) -> Option<Finding> {
    let (rough, cutter) = (machine.tool.rough()?.cutter, machine.tool.width());
    Some(codes::SquareNotRoughed { rough, cutter }.at("router.rough"))
}

fn wide(machine: &Machine) -> Option<Finding> {
    let (measured, limit) = (machine.tool.width(), Length::inches(WIDEST_IN));
    (measured > limit).then(|| codes::SquareCutterWide { measured, limit }.at("cutter"))
}

/// The squares where they lie.
struct Laid<'a> {
    machine: &'a Machine,
    large: Placement,
    small: Placement,
    stock: StockBox,
}

impl Laid<'_> {
    fn draft(&self, sizes: &Sizes) -> Result<Draft, Refusals> {
        let radius = self.machine.tool_radius().as_mm();
        let off = self.machine.tool.finish().map(|finish| radius + finish.allowance.as_mm());
        let hole = Lanes {
            is_hole: true,
            on_line: self.inside(sizes, radius),
            off_line: off.map(|off| self.inside(sizes, off)),
        };
        let around = |piece: &Contour<Role>, placement: &Placement| {
            let outside = |off| outside(piece, placement, off);
            let off_line = off.map(outside).transpose()?;
            Ok::<Lanes, Refusals>(Lanes { is_hole: false, on_line: outside(radius)?, off_line })
        };
        let large = around(&sizes.piece(), &self.large)?;
        let small = around(&sizes.small_piece(), &self.small)?;
        let mut draft =
            Draft { steps: Vec::new(), tabs: Vec::new(), leads: Vec::new(), ways: Vec::new() };
        if self.machine.tool.lifts() {
            draft.steps.push(Step::RapidZ(self.machine.safe_height.as_mm()));
        }
        draft.steps.push(Step::ToolOn);
        self.round(&mut draft, "HOLE", hole, INSIDE_START)?;
        self.round(&mut draft, "SMALL SQUARE", small, OUTSIDE_START)?;
        self.round(&mut draft, "OUTSIDE", large, OUTSIDE_START)?;
        draft.steps.extend([Step::ToolOff, Step::RapidXy(Point::origin())]);
        Ok(draft)
    }

    /// The path in the hole, waste to its left.
    fn inside(&self, sizes: &Sizes, radius: f64) -> Vec<Edge<PathRole>> {
        let hole = sizes.hole().placed(&self.large);
        let middle = nalgebra::center(&hole.bounds().min, &hole.bounds().max);
        let half = sizes.inside.as_mm() / 2.0;
        let inward = |p: Point| middle + (p - middle) * ((half - radius) / half);
        let side = |edge: &Edge<Role>| {
            let (from, to) = (inward(edge.segment.from()), inward(edge.segment.to()));
            Edge { segment: Segment::Line { from, to }, role: Follows::Along(edge.role) }
        };
        hole.edges().iter().map(side).collect()
    }

    /// Once round from the lower side.
    fn round(
        &self,
        draft: &mut Draft,
        name: &str,
        lanes: Lanes,
        start: f64,
    ) -> Result<(), Refusals> {
        let (machine, edges, is_hole) = (self.machine, lanes.on_line, lanes.is_hole);
        let lowest = |edge: &Edge<PathRole>| edge.segment.bounds().max.y;
        let first = (0..edges.len())
            .min_by(|a, b| lowest(&edges[*a]).total_cmp(&lowest(&edges[*b])))
            .ok_or_else(no_room)?;
        let length = edges[first].segment.length();
        let round = Round::starting(edges, first, start * length, machine.arcs);
        draft.steps.push(Step::Say(name.to_string()));
        let Some(depth) = Depth::of(&machine.tool, self.stock.thickness) else {
            let reach = machine.tool.lead().as_mm().min(length / 4.0);
            let lead = Lead::new(&round, reach, laser::OVERRUN_MM);
            let rounds = machine.tool.rounds();
            draft.steps.extend(laser::piece(&round, &lead, machine.arcs, rounds));
            draft.leads.push(lead.way_in);
            draft.ways.push(lead.way_in);
            return Ok(());
        };
        let beside = lanes
            .off_line
            .map(|edges| Round::beside(edges, machine.arcs, round.start()).ok_or_else(no_room));
        let beside = beside.transpose()?;
        let (entry, rough) =
            entered((&round, beside), length, depth.cutter / 2.0, is_hole).ok_or_else(no_room)?;
        let tabs = tabs(&round, depth, length, is_hole);
        let way = (&round, &entry, rough.as_ref());
        draft.steps.extend(router::piece(way, &tabs, depth, machine));
        draft.leads.extend(entry.leads());
        draft.ways.extend(entry.ways());
        draft.ways.extend(rough.iter().flat_map(|rough| rough.ways(&entry)));
        draft.tabs.extend(tabs);
        Ok(())
    }

    /// What comes loose.
    fn loose(&self, sizes: &Sizes, program: &Program) -> Vec<Finding> {
        let machine = self.machine;
        let Some(depth) = Depth::of(&machine.tool, self.stock.thickness) else {
            return Vec::new();
        };
        let sides = |of: Contour<Role>, placement: &Placement| -> Vec<Segment> {
            of.placed(placement).edges().iter().map(|edge| edge.segment).collect()
        };
        let large = [sides(sizes.piece(), &self.large), sides(sizes.hole(), &self.large)].concat();
        let small = sides(sizes.small_piece(), &self.small);
        let bench = Bench {
            stock: self.stock,
            form: Form::Sheet,
            clamps: Vec::new(),
            setups: vec![Vector::zeros()],
            radius: machine.tool_radius(),
            pieces: vec![
                ("the large square".to_string(), large),
                ("the small square".to_string(), small),
            ],
            remedy: ToHold::Tab(Length::mm(depth.shape.edge(depth.cutter))),
        };
        bench.refusals(&program.steps, None)
    }
}

/// The path round a piece so far off it, waste to its left.
fn outside(
    piece: &Contour<Role>,
    placement: &Placement,
    off: f64,
) -> Result<Vec<Edge<PathRole>>, Refusals> {
    let around = offset_outside(piece, off).map_err(|_| no_room())?.placed(placement);
    let backwards = around.edges().iter().rev();
    Ok(backwards.map(|e| Edge { segment: e.segment.reversed(), role: e.role }).collect())
}

fn no_room() -> Refusals {
    codes::NoLeadRoom { how: LeadIn::Start }.at("path").into()
}

/// The path on the line, and that of the passes which stay off it where some do.
struct Lanes {
    /// Whether what lies inside is the waste.
    is_hole: bool,
    on_line: Vec<Edge<PathRole>>,
    off_line: Option<Vec<Edge<PathRole>>>,
}

/// The way in onto the line, and the other round with its own: beside both, else on both.
fn entered(
    (round, beside): (&Round, Option<Round>),
    length: f64,
    radius: f64,
    is_hole: bool,
) -> Option<(Entry, Option<Rough>)> {
    let in_waste = |round: &Round| entry_beside(round, length, radius, is_hole);
    let Some(beside) = beside else {
        return Some((in_waste(round).or_else(|| Entry::on_path(round))?, None));
    };
    let both = in_waste(round).zip(in_waste(&beside));
    let (entry, off) = both.or_else(|| Entry::on_path(round).zip(Entry::on_path(&beside)))?;
    Some((entry, Some(Rough::entered(beside, off))))
}

/// Beside the path where the way in and out stays off the other sides of the hole.
fn entry_beside(round: &Round, length: f64, radius: f64, is_hole: bool) -> Option<Entry> {
    if !is_hole {
        return Entry::beside(round, radius);
    }
    let entry = Entry::beside_within(round, radius, radius + FROM_ROUND_MM)?;
    let ahead = (entry.leaves() - round.start()).dot(&round.direction());
    let is_free = ahead + radius + FROM_ROUND_MM <= length - round.straight_behind();
    is_free.then_some(entry)
}

/// One tab on each side round the square; in the hole one to the left and one to the right, for
/// what falls out of it is small.
fn tabs(round: &Round, depth: Depth, side: f64, is_hole: bool) -> Vec<Tab> {
    let shape = depth.shape;
    let mut tabs: Vec<Tab> = Vec::new();
    for (start, edge) in round.edges() {
        let (Follows::Along(role), Segment::Line { from, to }) = (edge.role, edge.segment) else {
            continue;
        };
        let across = (to.y - from.y).abs() > (to.x - from.x).abs();
        let length = edge.segment.length();
        if is_hole && !across {
            continue;
        }
        // The side on which the round begins is in two parts: its tab stands on the longer one.
        if length < side / 2.0 {
            continue;
        }
        // In the hole the sides of passes off the line end by the allowance sooner.
        let from_end = FROM_ROUND_MM + if is_hole { depth.allowance } else { 0.0 };
        let low = (side * TAB_SHARE).max(shape.level / 2.0 + from_end);
        let is_forward = (to - from).x + (to - from).y > 0.0;
        let along = if is_forward { low } else { length - low };
        // The round goes on past its start and leaves by an arc into the waste, a cutter wide:
        // nothing would hang there, and a side that is too short for both has no tab.
        let is_begun = !is_hole && start <= 0.0;
        // Of what the cutter runs level above its own width is no wood.
        if is_begun && along < router::overlap() + (shape.level + depth.cutter) / 2.0 {
            continue;
        }
        let at = edge.segment.point_at(along / length);
        tabs.push(Tab::steep(at, start + along, role, shape));
    }
    tabs
}
