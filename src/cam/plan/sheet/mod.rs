//! One sheet with several pieces: marks first, then holes, then outlines, each begun where its lead
//! hurts nothing, in the order that takes the least rapid travel.

mod around;
mod begin;
mod marking;
mod place;
mod route;
pub(super) mod said;
mod tie;

use around::Around;
use begin::{Begin, begins};
use route::{Errand, Route, route};
use tie::Tied;

use super::clamps::{ClampBox, kept_clear};
use super::hold::Bench;
use super::marks::{DEEPEST, Marking, no_tool, too_deep};
use super::program::{Placed, Program, Step, Task};
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
    /// How hard to search.
    pub effort: u32,
}

/// The programs of one sheet.
#[derive(Clone, Debug)]
pub struct SheetPrograms {
    /// Marks alone, before the cut: only where another tool makes them.
    pub marks: Option<Program>,
    /// The cut.
    pub cut: Program,
}

impl SheetPrograms {
    /// The programs in the order they are run: marks before the cut.
    pub fn programs(&self) -> impl Iterator<Item = &Program> {
        self.marks.iter().chain([&self.cut])
    }
}

/// Wood that stays between two kerfs at the default spacing, at least, in inches; as much as the
/// tool is wide if that is more (common practice, no source).
const WEB_IN: f64 = 0.375;

/// The least distance between pieces at which wood stays between two kerfs, and a beam finds room
/// for its lead.
pub fn roomy_spacing(machine: &Machine) -> Length {
    let width = machine.tool_radius() * 2.0;
    let overshoot = machine.arcs.overshoot() + machine.tool.allowance();
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
    let around = Around::new(sheet, kinds, &pieces);
    let errands = errands(sheet, kinds, &pieces, &around)?;
    let route = route(&errands, sheet.effort);
    let tool = &sheet.machine.tool;
    let tabs = match Depth::of(tool, sheet.material.thickness) {
        Some(depth) if tool.ties() => {
            let chosen = route.chosen_rounds(&errands, pieces.len());
            let center = |piece: &Placed| piece.placement * center_of(&kinds[piece.kind].piece);
            let centers = pieces.iter().map(center).collect();
            Tied::new(&around, depth, chosen, centers).tabs(&pieces)?
        }
        Some(_) | None => Warned::plain(vec![Vec::new(); pieces.len()]),
    };
    tabs.and_then(|tabs| programs(sheet, kinds, &pieces, (&errands, &route, tabs)))
}

/// The programs that make errands in the order of a route, over the tabs of every piece.
fn programs(
    sheet: &Sheet<'_>,
    kinds: &[Tooled],
    pieces: &[Placed],
    (errands, route, mut tabs): (&[Errand], &Route, Vec<Vec<Tab>>),
) -> Outcome<SheetPrograms> {
    let strokes = marking::placed(kinds, pieces);
    let mut cut = Draft::new(sheet, pieces);
    cut.steps.extend(marking::scored(sheet, &strokes, &mut cut.marking));
    for visit in &route.visits {
        cut.visit(sheet, &errands[visit.stop], visit.way, &mut tabs);
    }
    marked_alone(sheet, pieces, strokes)?.and_then(|marks| {
        let cut = cut
            .finished(sheet, marks.is_some(), (route.length_mm, route.bound_mm))
            .within_length()?;
        let cut = kept_clear(cut, sheet.clamps, sheet.machine)?;
        Ok(Warned::unless_refused(loose(sheet, kinds, &cut))?
            .map(|()| SheetPrograms { marks, cut }))
    })
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
fn loose(sheet: &Sheet<'_>, kinds: &[Tooled], cut: &Program) -> Vec<Finding> {
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
        remedy: ToHold::Spacing(roomy_spacing(sheet.machine)),
    };
    bench.refusals(&cut.steps)
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
        errands.extend(kind.holes.iter().map(|hole| {
            let hole = Hole { center: piece.placement * hole.center, ..*hole };
            Errand::Hole {
                hole,
                enter: by_tool::enters(hole, sheet.machine),
                leave: hole::leaves(hole, sheet.machine),
            }
        }));
        let ways = begins(sheet, kind, &piece.placement, around);
        if ways.is_empty() {
            let place = Place::NthNamed(Numbered::Piece, i + 1, piece.name.clone());
            refusals.push(codes::NoLeadRoom { how: LeadIn::OnSheet }.at(place));
        }
        errands.push(Errand::Outline { piece: i, ways });
    }
    if refusals.is_empty() { Ok(errands) } else { Err(refusals.into()) }
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
        marks_first: bool,
        (rapid_xy_mm, rapid_bound_mm): (f64, f64),
    ) -> Program {
        if marks_first {
            let words = [
                "MARKS COME FIRST, IN A PROGRAM OF THEIR OWN",
                "SAME X0 Y0, Z0 SET ANEW FOR THIS CUTTER",
            ];
            self.steps.splice(0..0, words.map(|words| Step::Say(words.to_string())));
        }
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
