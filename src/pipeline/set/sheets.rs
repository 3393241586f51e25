//! The sheets of a set: pieces nested, each different sheet planned once and cut as often as it
//! comes.

use super::hanging::{is_loose, where_all_hangs};
use super::share::{Shapes, Shared};
use super::{Kind, Member, each_once, kinds};
use crate::cam::mark::{Numbering, number_marks};
use crate::cam::plan::{
    ClampBox, FROM_CLAMP_MM, Placed, Sheet, SheetPrograms, Tooled, beside_stock, plan_sheet,
    roomy_spacing,
};
use crate::check::StockBox;
use crate::diagnostics::{Error, ErrorKind, Finding, Fine, Outcome, Warned, codes, gathered};
use crate::geometry::tolerance::LEAST_WEB_MM;
use crate::geometry::{Bounds, Placement, Point, Vector};
use crate::job::{Clamp, Job, MarksAsked};
pub use crate::optimise::nesting::BoundBy;
use crate::optimise::nesting::{
    self, Effort, Figures, Nesting, NestingError, Piece, Problem, Rotations, SheetSize, Watch,
};
use crate::profile::{Form, Grain, Machine, Material, Rough};
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
    /// What that is by.
    pub bound_by: BoundBy,
    /// Whether that was reached.
    pub proven: bool,
    /// How many sheets plain bounding boxes would take, packed together.
    pub boxes_sheets: Option<usize>,
    /// Area of the pieces against that of the sheets.
    pub yield_share: f64,
    /// The best share that the area alone would allow: the pieces' area against that of the fewest
    /// sheets.
    pub bound_share: f64,
    /// What two pieces keep from each other.
    pub spacing: Length,
    /// The effort of the search.
    pub effort: u32,
}

/// What comes of the members that share a kind of sheet.
pub(super) struct LaidOut {
    /// How well the sheets are used.
    pub nest: NestFigures,
    /// The sheets with their programs.
    pub sheets: Vec<SheetRun>,
}

/// Lays out the members of a group; all share machine and material, and nothing refuses one of
/// them.
///
/// # Errors
/// If they place different clamps.
pub(super) fn lay_out(
    members: &[Member],
    group: &[usize],
    effort: u32,
    watch: &Watch<'_>,
) -> Result<Outcome<LaidOut>, Error> {
    let cut = &members[group[0]].job().cut;
    let clamps = agreed_clamps(members, group)?;
    let asked = asked_spacing(members, group);
    let laid_out = |spacing| {
        let table = Table::new(&cut.machine, &cut.material, &clamps);
        let (machine, asks_spacing) = (&cut.machine, asked.is_some());
        Together { members, group, machine, spacing, asks_spacing, table, effort, watch }.laid_out()
    };
    let Some(asked) = asked else {
        return Ok(where_all_hangs(roomy_spacing(&cut.machine), laid_out));
    };
    Ok(laid_out(asked))
}

/// What is laid out together, and on what.
struct Together<'a> {
    members: &'a [Member],
    group: &'a [usize],
    machine: &'a Machine,
    spacing: Length,
    /// Whether a job asks for it.
    asks_spacing: bool,
    table: Table<'a>,
    effort: u32,
    watch: &'a Watch<'a>,
}

impl Together<'_> {
    fn laid_out(&self) -> Outcome<LaidOut> {
        let too_close = too_close(self.spacing, self.machine);
        Warned::unless_refused(too_close.into_iter().collect())?
            .and_then(|()| self.kinds())?
            .and_then(|kinds| {
                let beside = beside_stock(&self.table.clamps, &self.table.stock);
                Ok(Warned::unless_refused(beside)?.map(|()| kinds))
            })?
            .and_then(|kinds| self.cut_from_sheets(&kinds))
    }

    /// The kinds of pieces of all members, each named after its job where there are several.
    fn kinds(&self) -> Outcome<Vec<Kind>> {
        let (mut all, mut findings) = (Vec::new(), Vec::new());
        for &i in self.group {
            all.extend(gathered(kinds(i, &self.members[i]), &mut findings).into_iter().flatten());
        }
        if self.members.len() > 1 {
            for kind in &mut all {
                kind.tooled.name =
                    format!("{} of {}", kind.tooled.name, self.members[kind.member].job().title);
            }
        }
        Ok(Warned::unless_refused(findings)?.map(|()| all))
    }

    /// Nests the pieces and plans every sheet.
    fn cut_from_sheets(&self, kinds: &[Kind]) -> Outcome<LaidOut> {
        let shapes = Shapes::of(kinds);
        let pieces = shapes.pieces(kinds, rotations(self.table.material));
        let nested = self.nested(&pieces, self.spacing, self.effort);
        let nested = nested.map_err(|problem| no_room(&problem, kinds, &shapes, &self.table))?;
        let (nested, sheets) =
            self.drawn_apart(nested, |nested| self.sheets(kinds, &shapes, nested));
        let said = self.table.trimmed().into_iter().chain(tight(self.spacing, self.machine));
        let said = said.chain(ended(&nested));
        let nest = figures(&nested, kinds, &self.table, self.spacing, self.effort);
        let laid_out = |sheets| LaidOut { nest, sheets };
        let sheets = Warned::plain(()).and_say(said).and_then(|()| sheets)?;
        let tied = sheets.findings.iter().any(|finding| finding.is::<codes::TiesBetweenPieces>());
        let cost = tied.then(|| self.cost_of_room(&nested, &pieces));
        Ok(sheets.and_say(cost).map(laid_out))
    }

    fn nested(
        &self,
        pieces: &[Piece],
        spacing: Length,
        effort: u32,
    ) -> Result<Nested, NestingError> {
        let problem = Problem::new(pieces.to_vec(), self.table.size(), spacing.as_mm())?;
        let effort = Effort { level: effort, seed: 1 };
        let nesting = nesting::nest_watched(&problem, effort, self.watch)?;
        Ok(Nested { problem, nesting })
    }

    /// The pieces farther from each other where the sheet has room, planned: a tool that pushes
    /// leaves wood between them then. Where something would come loose so, they are drawn less far
    /// apart, or not at all.
    fn drawn_apart<T>(
        &self,
        Nested { problem, nesting }: Nested,
        planned: impl Fn(&Nesting) -> Outcome<T>,
    ) -> (Nesting, Outcome<T>) {
        let (least, most) = worth_giving(self.spacing, self.machine);
        let gains: &[f64] = if self.machine.tool.pushes() { &[1.0, 0.5, 0.0] } else { &[0.0] };
        let drawn = |share: &f64| {
            let mut drawn = nesting.clone();
            if *share > 0.0 {
                let gain = (least * share, most * share);
                drawn.sheets.iter_mut().for_each(|sheet| nesting::spread(&problem, gain, sheet));
            }
            let planned = planned(&drawn);
            (drawn, planned)
        };
        let first = drawn(&gains[0]);
        if !first.1.as_ref().is_err_and(|refusals| refusals.are_all(is_loose)) {
            return first;
        }
        gains[1..].iter().map(drawn).find(|(_, planned)| planned.is_ok()).unwrap_or(first)
    }

    /// Every layout with its programs; what is said of several is said once.
    fn sheets(&self, kinds: &[Kind], shapes: &Shapes, nested: &Nesting) -> Outcome<Vec<SheetRun>> {
        let tooled: Vec<_> = kinds.iter().map(|kind| kind.tooled.clone()).collect();
        let (mut sheets, mut findings) = (Vec::new(), Vec::new());
        for shared in shapes.shared(kinds, &nested.sheets) {
            sheets.extend(gathered(self.sheet(kinds, &tooled, shared), &mut findings));
        }
        Ok(Warned::unless_refused(each_once(findings))?.map(|()| sheets))
    }

    /// One layout with its programs.
    fn sheet(&self, kinds: &[Kind], tooled: &[Tooled], shared: Shared<'_>) -> Outcome<SheetRun> {
        let table = &self.table;
        let Shared { times, lying, layout } = shared;
        let placed = lying.iter().enumerate().map(|(i, (kind, placement))| Placed {
            kind: *kind,
            name: tooled[*kind].name.clone(),
            placement: table.to_stock * placement,
            strokes: self.numbered(&kinds[*kind], i + 1),
        });
        let sheet = Sheet {
            machine: self.machine,
            material: table.material,
            stock: table.stock,
            clamps: &table.clamps,
            asks_spacing: self.asks_spacing,
            effort: self.effort,
        };
        let programs = plan_sheet(&sheet, tooled, placed.collect())?;
        Ok(programs.map(|programs| SheetRun {
            times,
            kinds: kinds.to_vec(),
            programs,
            method: layout.method,
            remnant: table.to_stock_box(layout.remnant),
            clamps: table.clamps.clone(),
            spacing: self.spacing,
        }))
    }

    /// The number of a piece on its sheet, where its job asks for it.
    fn numbered(&self, kind: &Kind, number: usize) -> Vec<Vec<Point>> {
        let job = self.members[kind.member].job();
        if job.cut.marks != MarksAsked::Number {
            return Vec::new();
        }
        let tool = (self.machine.tool_radius(), self.machine.tool.stroke_width());
        let taken = (&kind.tooled.holes[..], &kind.tooled.strokes[..]);
        number_marks(&kind.tooled.piece, taken, Numbering { number, title: &job.title }, tool)
    }

    /// What a spacing that leaves room for ties to the sheet would cost.
    fn cost_of_room(&self, nested: &Nesting, pieces: &[Piece]) -> Finding {
        let roomy = roomy_spacing(self.machine);
        let count = |nest: &Nesting| nest.sheets.iter().map(|sheet| sheet.times).sum::<usize>();
        // Where nothing can be laid out so far apart, that is what is said.
        let wider = self.nested(pieces, roomy, self.effort.min(1)).ok();
        let measured = codes::SheetsTaken(wider.map(|wider| count(&wider.nesting)));
        codes::RoomForTies { roomy, measured, now: count(nested).into() }.at("cut.spacing")
    }
}

/// A nest, and the problem that it solves.
struct Nested {
    problem: Problem,
    nesting: Nesting,
}

/// Said where the search was ended before it was through.
fn ended(nested: &Nesting) -> Option<Finding> {
    let Figures { sheets, bound_sheets, .. } = nested.figures;
    let found =
        || codes::SearchEnded { measured: sheets.into(), limit: bound_sheets.into() }.at("sheets");
    (nested.stopped && sheets > bound_sheets).then(found)
}

fn agreed_clamps(members: &[Member], group: &[usize]) -> Result<Vec<Clamp>, Error> {
    let clamps = |i: usize| &members[i].job().cut.sharing.clamps;
    let different = group.iter().find(|&&i| clamps(i) != clamps(group[0]));
    match different {
        None => Ok(clamps(group[0]).clone()),
        Some(&i) => {
            Err(Error::new(ErrorKind::Input, "jobs that share a sheet place different clamps")
                .found(format!(
                    "\"{}\" and \"{}\"",
                    members[group[0]].job().title,
                    members[i].job().title
                ))
                .allowed("the same cut.clamps in every job of one material and machine")
                .hint("copy the clamps of one job to the others"))
        }
    }
}

/// The widest that a job asks for.
fn asked_spacing(members: &[Member], group: &[usize]) -> Option<Length> {
    let asked = group.iter().filter_map(|&i| members[i].job().cut.sharing.spacing);
    asked.reduce(Length::max)
}

/// What is worth giving beyond the spacing where the sheet has room, in mm: enough for a web that
/// holds between two cuts, up to an inch of it.
fn worth_giving(spacing: Length, machine: &Machine) -> (f64, f64) {
    let more = |web: Length| (kerfs(machine) + web - spacing).as_mm().max(0.0);
    (more(Length::mm(LEAST_WEB_MM * MORE_RIM)), more(Length::inches(1.0)))
}

/// What the cuts round two pieces take between them.
fn kerfs(machine: &Machine) -> Length {
    (machine.tool.widest() + machine.tool.stands_off()) * 2.0
}

fn too_close(spacing: Length, machine: &Machine) -> Option<Finding> {
    let (overshoot, allowance) = (machine.arcs.overshoot(), machine.tool.stands_off());
    let cutter = machine.tool.widest() + overshoot;
    let limit = cutter + allowance * 2.0;
    let found = if let Some(Rough { cutter, .. }) = machine.tool.rough() {
        codes::SpacingBelowRough { measured: spacing, limit, cutter, allowance }.at("cut.spacing")
    } else if spacing < cutter {
        codes::SpacingBelowCutter { measured: spacing, limit, chords: Fine(overshoot) }
            .at("cut.spacing")
    } else {
        codes::SpacingBelowFinish { measured: spacing, limit, allowance }.at("cut.spacing")
    };
    (spacing < limit).then_some(found)
}

/// Said where less wood than holds may stay between two cuts: where the sheet is full, they lie no
/// farther apart.
fn tight(spacing: Length, machine: &Machine) -> Option<Finding> {
    let web = spacing - kerfs(machine);
    let holds = Length::mm(LEAST_WEB_MM);
    let found = || {
        let (web, roomy) = (web.max(Length::ZERO), roomy_spacing(machine));
        codes::SpacingTight { measured: spacing, web, holds, roomy }.at("cut.spacing")
    };
    (machine.tool.pushes() && web < holds).then(found)
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

/// How much wider than the least web wood is planned at least: rows and printed numbers cost a
/// little.
const MORE_RIM: f64 = 1.25;

impl<'a> Table<'a> {
    fn new(machine: &Machine, material: &'a Material, clamps: &[Clamp]) -> Self {
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
        let width = machine.tool.widest() + machine.arcs.overshoot();
        let width = (width + machine.tool.stands_off()).as_mm();
        // A tool that pushes leaves a rim that holds what is tied to it.
        let rim = if machine.tool.pushes() { LEAST_WEB_MM * MORE_RIM } else { 0.0 };
        Table {
            material,
            stock: StockBox { length: stock_x, width: stock_y, thickness: material.thickness },
            to_stock,
            clamps: ClampBox::all(clamps),
            margin: material.margin.as_mm().max(rim) + width + machine.tool.lead().as_mm(),
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
            keep_out: self
                .clamps
                .iter()
                .map(|clamp| moved_box(self.taken(clamp), &to_sheet))
                .collect(),
        }
    }

    /// What a clamp takes of the sheet: itself, what holds it, and room for the tool.
    fn taken(&self, clamp: &ClampBox) -> Bounds {
        let standing = clamp.standing(&self.stock);
        let end = Point::new(self.stock.length.as_mm(), self.stock.width.as_mm());
        Bounds { min: standing.min.sup(&Point::origin()), max: standing.max.inf(&end) }
            .grown(self.clear)
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

/// A sheet may lie over the table's edge by this share of its area before it is said to be too
/// large.
const LEAST_TRIM: f64 = 0.99;

fn moved_box(bounds: Bounds, by: &Placement) -> Bounds {
    let corners = [bounds.min, bounds.max].map(|p| by * p);
    Bounds { min: corners[0].inf(&corners[1]), max: corners[0].sup(&corners[1]) }
}

fn no_room(problem: &NestingError, kinds: &[Kind], shapes: &Shapes, table: &Table<'_>) -> Finding {
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
        NestingError::NoSheet | NestingError::Covered => {
            codes::SheetCovered { length, width }.at("cut.clamps")
        }
    }
}

fn figures(
    nested: &Nesting,
    kinds: &[Kind],
    table: &Table<'_>,
    spacing: Length,
    effort: u32,
) -> NestFigures {
    let sheets: usize = nested.sheets.iter().map(|sheet| sheet.times).sum();
    let area: f64 = kinds.iter().map(|kind| kind.tooled.piece.area() * kind.count as f64).sum();
    let sheet = table.stock.length.as_mm() * table.stock.width.as_mm();
    let bound_sheets = nested.figures.bound_sheets;
    NestFigures {
        material: table.material.name.clone(),
        sheets,
        bound_sheets,
        bound_by: nested.figures.bound_by,
        proven: sheets == bound_sheets,
        boxes_sheets: nested.figures.sheets_by_boxes,
        yield_share: area / (sheet * sheets.max(1) as f64),
        bound_share: area / (sheet * bound_sheets.max(1) as f64),
        spacing,
        effort,
    }
}

/// Whether any job of a set is cut from sheets.
pub fn on_sheets(job: &Job) -> bool {
    job.cut.material.form == Form::Sheet
}
