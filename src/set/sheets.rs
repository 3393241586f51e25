//! The sheets of a set: pieces nested, each different sheet planned once and cut as often as it comes.

use super::share::{Shapes, Shared};
use super::{Kind, Set, kinds};
use crate::check::StockBox;
use crate::diagnostics::{Finding, Fine, codes};
use crate::error::{Error, ErrorKind};
use crate::geometry::tolerance::LEAST_WEB_MM;
use crate::geometry::{Bounds, Placement, Point, Vector};
use crate::measure::{Clamp, Job};
use crate::optimise::nesting::{self, Effort, Nesting, NestingError, Piece, Problem, Rotations, SheetSize};
use crate::plan::{ClampBox, FROM_CLAMP_MM, Placed, Sheet, SheetPrograms, beside_stock, plan_sheet, roomy_spacing};
use crate::profile::{Form, Grain, Machine, Material, Tool};
use crate::units::Length;

/// One layout of a sheet, planned.
#[derive(Clone, Debug)]
pub struct SheetRun {
    /// How many sheets are cut like this.
    pub times: usize,
    /// The kinds of pieces that a piece of its programs names by number.
    pub kinds: Vec<Kind>,
    /// Its programs.
    pub programs: SheetPrograms,
    /// How the layout was found.
    pub method: &'static str,
    /// What stays of the sheet in one rectangle, in the stock frame.
    pub remnant: Bounds,
    /// Where nothing may be cut.
    pub clamps: Vec<ClampBox>,
    /// What two pieces keep from each other.
    pub spacing: Length,
}

/// How well sheets of one kind are used.
#[derive(Clone, Debug)]
pub struct NestFigures {
    /// The material's name.
    pub material: String,
    /// How many sheets.
    pub sheets: usize,
    /// How many are needed at least.
    pub bound_sheets: usize,
    /// Whether that was reached.
    pub proven: bool,
    /// How many sheets plain bounding boxes would take.
    pub boxes_sheets: Option<usize>,
    /// Area of the pieces against that of the sheets.
    pub yield_share: f64,
    /// The best share that the area alone would allow: the pieces' area against that of the fewest sheets.
    pub bound_share: f64,
    /// What two pieces keep from each other.
    pub spacing: Length,
    /// The effort of the search.
    pub effort: u32,
}

/// Lays out the members of a group; all share machine and material.
pub(super) fn lay_out(set: &mut Set, group: &[usize], effort: u32) -> Result<(), Error> {
    let first = &set.members[group[0]].job;
    let (machine, material) = (first.cut.machine.clone(), first.cut.material.clone());
    let clamps = agreed_clamps(set, group)?;
    let spacing = spacing(set, group, &machine);
    if let Some(refusal) = too_close(spacing, &machine) {
        set.findings.push(refusal);
        return Ok(());
    }
    let mut all = Vec::new();
    for &i in group {
        match kinds(i, &set.members[i], &mut set.findings) {
            Ok(kinds) => all.extend(kinds),
            Err(refusals) => set.findings.extend(refusals),
        }
    }
    if set.refused() {
        return Ok(());
    }
    let mut kinds: Vec<Kind> = all;
    if set.members.len() > 1 {
        for kind in &mut kinds {
            kind.tooled.name = format!("{} of {}", kind.tooled.name, set.members[kind.member].job.title);
        }
    }
    let table = Table::new(&machine, &material, &clamps);
    let beside = beside_stock(&table.clamps, &table.stock);
    if !beside.is_empty() {
        set.findings.extend(beside);
        return Ok(());
    }
    let shapes = Shapes::of(&kinds);
    let pieces = shapes.pieces(&kinds, rotations(&material));
    let mut nested = match nested(&pieces, &table, spacing, effort) {
        Ok(nested) => nested,
        Err(problem) => {
            set.findings.push(no_room(&problem, &kinds, &shapes, &table));
            return Ok(());
        }
    };
    if let Tool::Router(_) = &machine.tool {
        let gain = drawn_apart(spacing, &machine);
        if let Ok(problem) = Problem::new(pieces.clone(), table.size(), spacing.as_mm()) {
            nested.sheets.iter_mut().for_each(|sheet| nesting::spread(&problem, gain, sheet));
        }
    }
    set.findings.extend(table.trimmed());
    set.findings.extend(tight(spacing, &machine));
    set.nests.push(figures(&nested, &kinds, &table, spacing, effort));
    let sheet = Sheet { machine: &machine, material: &material, stock: table.stock, clamps: &table.clamps, effort };
    let tooled: Vec<_> = kinds.iter().map(|kind| kind.tooled.clone()).collect();
    let mut tied = false;
    for Shared { times, lying, layout } in shapes.shared(&kinds, &nested.sheets) {
        let placed = lying.iter().map(|(kind, placement)| Placed {
            kind: *kind,
            name: kinds[*kind].tooled.name.clone(),
            placement: table.to_stock * placement,
        });
        match plan_sheet(&sheet, &tooled, placed.collect()) {
            Ok((programs, said)) => {
                tied |= said.iter().any(|finding| finding.is::<codes::TiesBetweenPieces>());
                keep_new(&mut set.findings, said);
                set.sheets.push(SheetRun {
                    times,
                    kinds: kinds.clone(),
                    programs,
                    method: layout.method,
                    remnant: table.to_stock_box(layout.remnant),
                    clamps: table.clamps.clone(),
                    spacing,
                });
            }
            Err(refusals) => keep_new(&mut set.findings, refusals),
        }
    }
    if tied {
        let roomy = roomy_spacing(&machine);
        let wider = self::nested(&pieces, &table, roomy, effort.min(1));
        set.findings.push(cost_of_room(&nested, wider.ok().as_ref(), roomy));
    }
    Ok(())
}

fn nested(pieces: &[Piece], table: &Table, spacing: Length, effort: u32) -> Result<Nesting, NestingError> {
    let problem = Problem::new(pieces.to_vec(), table.size(), spacing.as_mm())?;
    nesting::nest(&problem, Effort { level: effort, seed: 1 })
}

fn keep_new(findings: &mut Vec<Finding>, said: Vec<Finding>) {
    for finding in said {
        if !findings.contains(&finding) {
            findings.push(finding);
        }
    }
}

fn agreed_clamps(set: &Set, group: &[usize]) -> Result<Vec<Clamp>, Error> {
    let clamps = |i: usize| &set.members[i].job.cut.sharing.clamps;
    let different = group.iter().find(|&&i| clamps(i) != clamps(group[0]));
    match different {
        None => Ok(clamps(group[0]).clone()),
        Some(&i) => Err(Error::new(ErrorKind::Input, "jobs that share a sheet place different clamps")
            .found(format!("\"{}\" and \"{}\"", set.members[group[0]].job.title, set.members[i].job.title))
            .allowed("the same cut.clamps in every job of one material and machine")
            .hint("copy the clamps of one job to the others")),
    }
}

/// The widest that a job asks for, or room for the tool and for wood between two cuts.
fn spacing(set: &Set, group: &[usize], machine: &Machine) -> Length {
    let asked = group.iter().filter_map(|&i| set.members[i].job.cut.sharing.spacing);
    asked.reduce(Length::max).unwrap_or_else(|| roomy_spacing(machine))
}

/// What is worth giving beyond the spacing where the sheet has room, in mm: enough for a web that holds between two cuts,
/// up to an inch of it.
fn drawn_apart(spacing: Length, machine: &Machine) -> (f64, f64) {
    let more = |web: Length| (machine.tool_radius() * 4.0 + web - spacing).as_mm().max(0.0);
    (more(Length::mm(LEAST_WEB_MM * MORE_RIM)), more(Length::inches(1.0)))
}

fn too_close(spacing: Length, machine: &Machine) -> Option<Finding> {
    let overshoot = machine.arcs.overshoot();
    let limit = machine.tool_radius() * 2.0 + overshoot;
    let found = || codes::SpacingBelowCutter { measured: spacing, limit, chords: Fine(overshoot) }.at("cut.spacing");
    (spacing < limit).then(found)
}

/// Said where less wood than holds may stay between two cuts: where the sheet is full, they lie no farther apart.
fn tight(spacing: Length, machine: &Machine) -> Option<Finding> {
    let web = spacing - machine.tool_radius() * 4.0;
    let is_router = matches!(machine.tool, Tool::Router(_));
    let holds = Length::mm(LEAST_WEB_MM);
    let found = || {
        let (web, roomy) = (web.max(Length::ZERO), roomy_spacing(machine));
        codes::SpacingTight { measured: spacing, web, holds, roomy }.at("cut.spacing")
    };
    (is_router && web < holds).then(found)
}

/// Where the material has a grain, a piece lies along it.
fn rotations(material: &Material) -> Rotations {
    match material.grain {
        Grain::None => Rotations::Any,
        Grain::Lengthwise => Rotations::Half,
    }
}

/// A sheet on the machine: nested along its own length, which lies along X or along Y.
struct Table<'a> {
    material: &'a Material,
    /// The sheet on the machine.
    stock: StockBox,
    /// From the sheet's own frame, its length along X, to the stock frame.
    to_stock: Placement,
    /// On it.
    clamps: Vec<ClampBox>,
    /// What stays between a piece and the sheet's edge, in mm.
    margin: f64,
    /// What a clamp keeps from a piece, in mm.
    clear: f64,
}

/// How much wider than the least web wood is planned at least: rows and printed numbers cost a little.
const MORE_RIM: f64 = 1.25;

impl<'a> Table<'a> {
    fn new(machine: &Machine, material: &'a Material, clamps: &[Clamp]) -> Table<'a> {
        let [x, y] = [machine.travel[0], machine.travel[1]];
        let (length, width) = (material.length, material.width);
        let area = |a: Length, b: Length| a.as_mm() * b.as_mm();
        let along = (length.min(x), width.min(y));
        let across = (width.min(x), length.min(y));
        let lies_along = area(along.0, along.1) >= area(across.0, across.1);
        let (stock_x, stock_y) = if lies_along { along } else { across };
        let to_stock = if lies_along {
            Placement::identity()
        } else {
            Placement::new(Vector::new(stock_x.as_mm(), 0.0), std::f64::consts::FRAC_PI_2)
        };
        // What the tool takes beside a piece, at its corners too where chords stand for arcs.
        let width = 2.0 * machine.tool_radius().as_mm() + machine.arcs.overshoot().as_mm();
        // A cutter leaves a rim that holds what is tied to it.
        let (lead, rim) = match &machine.tool {
            Tool::Router(_) => (0.0, LEAST_WEB_MM * MORE_RIM),
            Tool::Laser(beam) => (beam.lead.as_mm(), 0.0),
        };
        Table {
            material,
            stock: StockBox { length: stock_x, width: stock_y, thickness: material.thickness },
            to_stock,
            clamps: ClampBox::all(clamps),
            margin: material.margin.as_mm().max(rim) + width + lead,
            clear: width + FROM_CLAMP_MM,
        }
    }

    /// As the nest sees it, its length along X.
    fn size(&self) -> SheetSize {
        let to_sheet = self.to_stock.inverse();
        let stock = (self.stock.length.as_mm(), self.stock.width.as_mm());
        let turned = self.to_stock.rotation.angle().abs() > 1e-9;
        let (length, width) = if turned { (stock.1, stock.0) } else { stock };
        SheetSize {
            length,
            width,
            margin: self.margin,
            keep_out: self.clamps.iter().map(|clamp| moved_box(self.taken(clamp), &to_sheet)).collect(),
        }
    }

    /// What a clamp takes of the sheet: itself, what holds it, and room for the tool.
    fn taken(&self, clamp: &ClampBox) -> Bounds {
        let standing = clamp.standing(&self.stock);
        let end = Point::new(self.stock.length.as_mm(), self.stock.width.as_mm());
        Bounds { min: standing.min.sup(&Point::origin()), max: standing.max.inf(&end) }.grown(self.clear)
    }

    fn to_stock_box(&self, bounds: Bounds) -> Bounds {
        moved_box(bounds, &self.to_stock)
    }

    fn trimmed(&self) -> Option<Finding> {
        let (a, b) = (self.material.length.as_mm(), self.material.width.as_mm());
        let (x, y) = (self.stock.length.as_mm(), self.stock.width.as_mm());
        let found = codes::SheetTrimmed { along_x: self.stock.length, along_y: self.stock.width };
        (x * y < a * b * LEAST_TRIM).then(|| found.at("material"))
    }
}

/// A sheet may lie over the table's edge by this share of its area before it is said to be too large.
const LEAST_TRIM: f64 = 0.99;

fn moved_box(bounds: Bounds, by: &Placement) -> Bounds {
    let corners = [bounds.min, bounds.max].map(|p| by * p);
    Bounds { min: corners[0].inf(&corners[1]), max: corners[0].sup(&corners[1]) }
}

fn no_room(problem: &NestingError, kinds: &[Kind], shapes: &Shapes, table: &Table) -> Finding {
    let (length, width) = (table.stock.length, table.stock.width);
    match problem {
        NestingError::TooLarge(i) | NestingError::NoPolygon(i) => {
            let kind = &kinds[shapes.first(*i)];
            let bounds = kind.tooled.piece.bounds();
            let found = codes::NoPlaceOnSheet {
                length: Length::mm(bounds.width()),
                width: Length::mm(bounds.height()),
                sheet_length: length,
                sheet_width: width,
                margin: Length::mm(table.margin),
            };
            found.at(kind.tooled.name.clone())
        }
        NestingError::NoSheet | NestingError::Covered => codes::SheetCovered { length, width }.at("cut.clamps"),
    }
}

fn figures(nested: &Nesting, kinds: &[Kind], table: &Table, spacing: Length, effort: u32) -> NestFigures {
    let sheets: usize = nested.sheets.iter().map(|sheet| sheet.times).sum();
    let area: f64 = kinds.iter().map(|kind| kind.tooled.piece.area() * kind.count as f64).sum();
    let sheet = table.stock.length.as_mm() * table.stock.width.as_mm();
    let bound_sheets = nested.figures.bound_sheets;
    NestFigures {
        material: table.material.name.clone(),
        sheets,
        bound_sheets,
        proven: sheets == bound_sheets,
        boxes_sheets: nested.figures.sheets_by_boxes,
        yield_share: area / (sheet * sheets.max(1) as f64),
        bound_share: area / (sheet * bound_sheets.max(1) as f64),
        spacing,
        effort,
    }
}

/// What a spacing that leaves room for ties to the sheet would cost.
fn cost_of_room(nested: &Nesting, wider: Option<&Nesting>, roomy: Length) -> Finding {
    let count = |nest: &Nesting| nest.sheets.iter().map(|sheet| sheet.times).sum::<usize>();
    let measured = codes::SheetsTaken(wider.map(count));
    codes::RoomForTies { roomy, measured, now: count(nested).into() }.at("cut.spacing")
}

/// Whether any job of a set is cut from sheets.
pub fn on_sheets(job: &Job) -> bool {
    job.cut.material.form == Form::Sheet
}
