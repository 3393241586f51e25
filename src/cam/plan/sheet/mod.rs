//! One sheet with several pieces: marks first, then holes, then outlines, each begun where its lead
//! hurts nothing, in the order that takes the least rapid travel.

mod around;
mod begin;
mod marking;
mod place;
mod rough;
mod route;
pub(super) mod said;
mod tie;

use around::Around;
use begin::{Begin, begins};
use rough::Roughed;
use route::{Errand, Route, route};
use tie::Tied;

use super::clamps::{ClampBox, kept_clear};
use super::hold::Bench;
use super::marks::{DEEPEST, Marking, no_tool, too_deep};
use super::program::{Placed, Program, Step, Task};
use super::rough::{AFTER_MARKS, AFTER_ROUGHING, Roughing};
use super::router::{self, Depth};
use super::span::center_of;
use super::tabs::Tab;
use super::{by_tool, hole, laser};
use crate::cam::compensate::ToolPath;
use crate::cam::mark::Hole;
use crate::check::StockBox;
use crate::diagnostics::codes::{self, LeadIn, ToHold};
use crate::diagnostics::{Finding, Numbered, Outcome, Place, Refusals, Warned};
use crate::geometry::{Contour, Point, Segment, Vector};
use crate::profile::{Machine, Material};
use crate::stair::outline::Role;
use crate::units::Length;

/// One kind of piece and what the tool does to it, in its board frame.
#[derive(Clone, Debug)]
pub struct Tooled {
    /// What it is called.
    pub name: String,
    /// The piece itself, before the tool's radius.
    pub piece: Contour<Role>,
    /// The path of the tool's centre.
    pub path: ToolPath,
    /// What is marked on it.
    pub strokes: Vec<Vec<Point>>,
    /// What is cut through it.
    pub holes: Vec<Hole>,
}

/// What lies on the machine, and how hard to look for a short way.
#[derive(Clone, Copy, Debug)]
pub struct Sheet<'a> {
    /// The machine.
    pub machine: &'a Machine,
    /// The material.
    pub material: &'a Material,
    /// Its size on the machine.
    pub stock: StockBox,
    /// Where nothing may be cut.
    pub clamps: &'a [ClampBox],
    /// Whether somebody asked for just this spacing of the pieces.
    pub asks_spacing: bool,
    /// How hard to search.
    pub effort: u32,
}

/// The programs of one sheet.
#[derive(Clone, Debug)]
pub struct SheetPrograms {
    /// Marks alone, before the cut: only where another tool makes them.
    pub marks: Option<Program>,
    /// What a roughing cutter takes before the cut, where the machine has one.
    pub rough: Option<Roughing>,
    /// The cut.
    pub cut: Program,
}

impl SheetPrograms {
    /// The programs in the order they are run: marks before the cut, roughing before the line.
    pub fn programs(&self) -> impl Iterator<Item = &Program> {
        let rough = self.rough.iter().map(|rough| &rough.program);
        self.marks.iter().chain(rough).chain([&self.cut])
    }

    /// The machine as a program has it, by that of the sheet.
    pub fn machine_of<'a>(&'a self, program: &Program, sheet: &'a Machine) -> &'a Machine {
        self.rough.as_ref().filter(|_| program.roughs).map_or(sheet, |rough| &rough.machine)
    }
}

/// Wood that stays between two kerfs at the default spacing, at least, in inches; as much as the
/// tool is wide if that is more (common practice, no source).
const WEB_IN: f64 = 0.375;

/// The least distance between pieces at which wood stays between two kerfs, and a beam finds room
/// for its lead.
pub fn roomy_spacing(machine: &Machine) -> Length {
    let width = machine.tool.widest();
    let overshoot = machine.arcs.overshoot() + machine.tool.stands_off();
    if machine.tool.pushes() {
        width * 2.0 + width.max(Length::inches(WEB_IN)) + overshoot * 2.0
    } else {
        machine.tool.lead() + width * 3.0 + overshoot
    }
}

/// Plans a sheet.
///
/// # Errors
/// The refusals, if the tool finds no way in to a piece.
pub fn plan_sheet(
    sheet: &Sheet<'_>,
    kinds: &[Tooled],
    pieces: Vec<Placed>,
) -> Outcome<SheetPrograms> {
    let Some(machine) = sheet.machine.roughing() else {
        let all = (kinds, &pieces[..]);
        return toured(sheet, all)?.and_then(|tour| programs(sheet, all, (tour, None)));
    };
    let its_sheet = Sheet { machine: &machine, ..*sheet };
    let its_kinds = rough::kinds(&its_sheet, kinds)?;
    let its_pieces = rough::unmarked(&pieces);
    toured(&its_sheet, (&its_kinds, &its_pieces))?.and_then(|tour| {
        let on_line = rough::on_the_line(sheet, kinds, &pieces, &tour)?;
        let (kinds_of_it, pieces_of_it) = (&its_kinds, &its_pieces);
        let rough = Roughed { sheet: &its_sheet, kinds: kinds_of_it, pieces: pieces_of_it, tour };
        programs(sheet, (kinds, &pieces), (on_line, Some(rough)))
    })
}

/// What is done on a sheet, in which order, over which tabs of every piece.
struct Tour {
    errands: Vec<Errand>,
    route: Route,
    tabs: Vec<Vec<Tab>>,
}

/// Finds the ways round the pieces, their order and their tabs.
fn toured(sheet: &Sheet<'_>, (kinds, pieces): (&[Tooled], &[Placed])) -> Outcome<Tour> {
    let around = Around::new(sheet, kinds, pieces);
    let errands = errands(sheet, kinds, pieces, &around)?;
    let route = route(&errands, sheet.effort);
    let tool = &sheet.machine.tool;
    let tabs = match Depth::of(tool, sheet.material.thickness) {
        Some(depth) if tool.ties() => {
            let chosen = route.chosen_rounds(&errands, pieces.len());
            let center = |piece: &Placed| piece.placement * center_of(&kinds[piece.kind].piece);
            let centers = pieces.iter().map(center).collect();
            Tied::new(&around, depth, chosen, centers).tabs(pieces)?
        }
        Some(_) | None => Warned::plain(vec![Vec::new(); pieces.len()]),
    };
    Ok(tabs.map(|tabs| Tour { errands, route, tabs }))
}

/// The programs of a tour, after what a roughing cutter does.
fn programs(
    sheet: &Sheet<'_>,
    (kinds, pieces): (&[Tooled], &[Placed]),
    (tour, rough): (Tour, Option<Roughed<'_>>),
) -> Outcome<SheetPrograms> {
    let strokes = marking::placed(kinds, pieces);
    marked_alone(sheet, pieces, strokes.clone())?.and_then(|marks| {
        let words = match (&rough, &marks) {
            (Some(_), _) => &AFTER_ROUGHING[..],
            (None, Some(_)) => &AFTER_MARKS[..],
            (None, None) => &[],
        };
        let rough = rough.map(|rough| rough.program(marks.is_some())).transpose()?;
        let cut = cut_of(sheet, pieces, tour, (&strokes, words)).within_length()?;
        let cut = kept_clear(cut, sheet.clamps, sheet.machine)?;
        let loose = loose(sheet, kinds, (&cut, rough.as_ref()));
        Ok(Warned::unless_refused(loose)?.map(|()| SheetPrograms { marks, rough, cut }))
    })
}

/// The program that makes errands in the order of a route, over the tabs of every piece, and says
/// words at its top; what a beam scores comes first.
fn cut_of(
    sheet: &Sheet<'_>,
    pieces: &[Placed],
    Tour { errands, route, mut tabs }: Tour,
    (strokes, words): (&[Vec<Point>], &[&str]),
) -> Program {
    let mut cut = Draft::new(sheet, pieces);
    cut.steps.extend(marking::scored(sheet, strokes, &mut cut.marking));
    for visit in &route.visits {
        cut.visit(sheet, &errands[visit.stop], visit.way, &mut tabs);
    }
    cut.finished(sheet, words, (route.length_mm, route.bound_mm))
}

/// The program of a pointed cutter, where one is to mark.
fn marked_alone(
    sheet: &Sheet<'_>,
    pieces: &[Placed],
    strokes: Vec<Vec<Point>>,
) -> Outcome<Option<Program>> {
    let (tool, thickness) = (&sheet.machine.tool, sheet.material.thickness);
    match tool.point() {
        _ if tool.scores() || strokes.is_empty() => Ok(Warned::plain(None)),
        None => Ok(Warned::new(None, vec![no_tool(&strokes)])),
        Some(tool) if tool.depth > thickness * DEEPEST => Err(too_deep(tool, thickness).into()),
        Some(tool) => {
            let marked = marking::engraved(sheet, pieces, strokes, tool);
            Ok(Warned::plain(Some(kept_clear(marked, sheet.clamps, sheet.machine)?)))
        }
    }
}

/// What a planned program cuts loose, where the tool pushes it.
fn loose(
    sheet: &Sheet<'_>,
    kinds: &[Tooled],
    (cut, rough): (&Program, Option<&Roughing>),
) -> Vec<Finding> {
    if !sheet.machine.tool.ties() {
        return Vec::new();
    }
    let piece = |(i, piece): (usize, &Placed)| {
        let ring = kinds[piece.kind].piece.placed(&piece.placement);
        let ring = ring.edges().iter().map(|edge| edge.segment).collect();
        (format!("piece {}, {}", i + 1, piece.name), ring)
    };
    let bench = Bench {
        stock: sheet.stock,
        form: sheet.material.form,
        clamps: sheet.clamps.iter().map(|clamp| clamp.place).collect(),
        setups: vec![Vector::zeros()],
        radius: sheet.machine.tool_radius(),
        pieces: cut.pieces.iter().enumerate().map(piece).collect(),
        remedy: to_hold(sheet),
    };
    let before = rough.map(|rough| (&rough.program.steps[..], rough.machine.tool_radius()));
    bench.refusals(&cut.steps, before)
}

/// What to type where a piece or an offcut comes loose: of a spacing only where there is one.
fn to_hold(sheet: &Sheet<'_>) -> ToHold {
    let roomy = roomy_spacing(sheet.machine);
    if sheet.asks_spacing { ToHold::Spacing(roomy) } else { ToHold::MoreThanUsual(roomy) }
}

/// What is to be done on the sheet besides marks: every hole and every outline, with its ways.
fn errands(
    sheet: &Sheet<'_>,
    kinds: &[Tooled],
    pieces: &[Placed],
    around: &Around<'_>,
) -> Result<Vec<Errand>, Refusals> {
    let mut errands = Vec::new();
    let mut refusals = Vec::new();
    for (i, piece) in pieces.iter().enumerate() {
        let kind = &kinds[piece.kind];
        errands.extend(holes(sheet, kind, piece));
        let ways = begins(sheet, kind, &piece.placement, around);
        if ways.is_empty() {
            let place = Place::NthNamed(Numbered::Piece, i + 1, piece.name.clone());
            refusals.push(codes::NoLeadRoom { how: LeadIn::OnSheet }.at(place));
        }
        errands.push(Errand::Outline { piece: i, ways });
    }
    if refusals.is_empty() { Ok(errands) } else { Err(refusals.into()) }
}

/// Every hole of a piece, with its way.
fn holes<'a>(
    sheet: &'a Sheet<'_>,
    kind: &'a Tooled,
    piece: &'a Placed,
) -> impl Iterator<Item = Errand> + 'a {
    kind.holes.iter().map(|hole| {
        let hole = Hole { center: piece.placement * hole.center, ..*hole };
        Errand::Hole {
            hole,
            enter: by_tool::enters(hole, sheet.machine),
            leave: hole::leaves(hole, sheet.machine),
        }
    })
}

/// A cutting program being put together.
struct Draft {
    pieces: Vec<Placed>,
    steps: Vec<Step>,
    tabs: Vec<Tab>,
    leads: Vec<Segment>,
    ways: Vec<Segment>,
    holes: Vec<Hole>,
    marking: Option<Marking>,
}

impl Draft {
    fn new(sheet: &Sheet<'_>, pieces: &[Placed]) -> Self {
        let mut steps = Vec::new();
        if sheet.machine.tool.lifts() {
            steps.push(Step::RapidZ(sheet.machine.safe_height.as_mm()));
        }
        steps.push(Step::ToolOn);
        Self {
            pieces: pieces.to_vec(),
            steps,
            tabs: Vec::new(),
            leads: Vec::new(),
            ways: Vec::new(),
            holes: Vec::new(),
            marking: None,
        }
    }

    fn visit(&mut self, sheet: &Sheet<'_>, errand: &Errand, way: usize, tabs: &mut [Vec<Tab>]) {
        match errand {
            Errand::Hole { hole, .. } => {
                self.holes.push(*hole);
                let thickness = sheet.material.thickness;
                self.steps.extend(by_tool::hole(*hole, "HOLE", sheet.machine, thickness));
            }
            Errand::Outline { piece, ways } => {
                let Placed { name, .. } = &self.pieces[*piece];
                self.steps.push(Step::Say(format!("PIECE {}, {}", piece + 1, name.to_uppercase())));
                self.outline(sheet, &ways[way], std::mem::take(&mut tabs[*piece]));
            }
        }
    }

    fn outline(&mut self, sheet: &Sheet<'_>, begin: &Begin, tabs: Vec<Tab>) {
        match begin {
            Begin::Cutter { round, entry, rough, depth } => {
                let way = (round, entry, rough.as_deref());
                self.steps.extend(router::piece(way, &tabs, *depth, sheet.machine));
                self.leads.extend(entry.leads());
                self.ways.extend(entry.ways());
                self.ways.extend(rough.iter().flat_map(|rough| rough.ways(entry)));
            }
            Begin::Beam { round, lead } => {
                self.steps.extend(laser::piece(
                    round,
                    lead,
                    sheet.machine.arcs,
                    sheet.machine.tool.rounds(),
                ));
                self.leads.push(lead.way_in);
                self.ways.push(lead.way_in);
            }
        }
        self.tabs.extend(tabs);
    }

    fn finished(
        mut self,
        sheet: &Sheet<'_>,
        words: &[&str],
        (rapid_xy_mm, rapid_bound_mm): (f64, f64),
    ) -> Program {
        self.steps.splice(0..0, words.iter().map(|words| Step::Say((*words).to_string())));
        self.steps.extend([Step::ToolOff, Step::RapidXy(Point::origin())]);
        Program {
            marking: self.marking,
            holes: self.holes,
            tabs: self.tabs,
            leads: self.leads,
            ways: self.ways,
            rapid_bound_mm: Some((rapid_xy_mm, rapid_bound_mm)),
            ..Program::of_steps(Task::Cut, sheet.stock, self.pieces, self.steps, sheet.machine)
        }
    }
}
