//! The sheets of a set: pieces nested, each different sheet planned once and cut as often as it
//! comes.

use super::hanging::{is_loose, where_all_hangs};
use super::nested::{NestFigures, Nested, figures};
use super::offcuts::{OnOffcut, Search, SheetOffcut};
use super::share::{Shapes, Shared};
use super::table::{MORE_RIM, Table};
use super::{Kind, Member, each_once, kinds};
use crate::cam::mark::{Numbering, number_marks};
use crate::cam::plan::{
    ClampBox, Placed, Sheet, SheetPrograms, Tooled, beside_stock, plan_sheet, roomy_spacing,
};
use crate::diagnostics::{Error, ErrorKind, Finding, Fine, Outcome, Warned, codes, gathered};
use crate::geometry::tolerance::LEAST_WEB_MM;
use crate::geometry::{Bounds, Point};
use crate::job::{Clamp, Job, MarksAsked, Stock};
use crate::optimise::nesting::{
    self, Effort, Figures, Nesting, NestingError, Piece, Problem, Rotations, SheetLayout, Watch,
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
    /// The offcut that it is cut from; none: whole sheets.
    pub offcut: Option<SheetOffcut>,
    /// What stays of the sheet in one rectangle, in the stock frame.
    pub remnant: Bounds,
    /// The size of that, along the grain and across.
    pub remnant_size: [Length; 2],
    /// Whether the sheet's own length, and its grain, lie along X.
    pub lies_along: bool,
    /// Where nothing may be cut.
    pub clamps: Vec<ClampBox>,
    /// What two pieces keep from each other.
    pub spacing: Length,
}

/// What comes of the members that share a kind of sheet.
pub(super) struct LaidOut {
    /// How well the sheets are used.
    pub nest: NestFigures,
    /// The sheets with their programs.
    pub sheets: Vec<SheetRun>,
}

/// Lays out the members of a group; all share machine and material, and nothing refuses one of
/// them. First whole sheets, then each offcut of the rack that is used.
///
/// # Errors
/// If they place different clamps.
pub(super) fn lay_out(
    members: &[Member],
    group: &[usize],
    effort: u32,
    (rack, watch): (Option<&Stock>, &Watch<'_>),
) -> Result<Outcome<Vec<LaidOut>>, Error> {
    let cut = &members[group[0]].job().cut;
    let clamps = agreed_clamps(members, group)?;
    let asked = asked_spacing(members, group);
    let laid_out = |spacing| {
        let table = Table::new(&cut.machine, &cut.material, &clamps);
        let (machine, asks_spacing) = (&cut.machine, asked.is_some());
        let how = (effort, rack, watch);
        Together { members, group, machine, spacing, asks_spacing, table, how }.laid_out()
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
    /// How hard it is searched, what lies in the rack, and who watches.
    how: (u32, Option<&'a Stock>, &'a Watch<'a>),
}

impl<'a> Together<'a> {
    fn laid_out(&self) -> Outcome<Vec<LaidOut>> {
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
    fn cut_from_sheets(&self, kinds: &[Kind]) -> Outcome<Vec<LaidOut>> {
        let shapes = Shapes::of(kinds);
        let pieces = shapes.pieces(kinds, rotations(self.table.material));
        let nested = self.nested(&pieces, self.spacing, self.how.0);
        let nested = nested.map_err(|problem| no_room(&problem, kinds, &shapes, &self.table))?;
        if let Some((whole, offcuts)) = self.with_offcuts(&nested, &pieces) {
            let with_offcuts = self.planned(kinds, (&shapes, &pieces), whole, offcuts);
            // What cannot be made so is made of whole sheets.
            if with_offcuts.is_ok() {
                return with_offcuts;
            }
        }
        self.planned(kinds, (&shapes, &pieces), nested, Vec::new())
    }

    /// The nest with pieces on offcuts of the rack, where those are worth it. Clamps stand where a
    /// whole sheet lies.
    fn with_offcuts(
        &self,
        nested: &Nested,
        pieces: &[Piece],
    ) -> Option<(Nested, Vec<OnOffcut<'a>>)> {
        let (effort, rack, watch) = self.how;
        let rack = rack.filter(|_| self.table.clamps.is_empty())?;
        let search = Search { table: &self.table, pieces, spacing: self.spacing, effort, watch };
        let mut whole = nested.clone();
        let offcuts = search.relieved(&mut whole, rack);
        (!offcuts.is_empty()).then_some((whole, offcuts))
    }

    /// Said where offcuts lie there and clamps keep them from being used.
    fn clamped_offcuts(&self) -> Option<Finding> {
        let material = self.table.material_name();
        let lies_there = |rack: &&Stock| rack.sheet_offcuts_of(material).next().is_some();
        self.how.1.filter(|_| !self.table.clamps.is_empty()).filter(lies_there)?;
        Some(codes::OffcutsClamped { material: material.to_string() }.at("cut.clamps"))
    }

    fn planned(
        &self,
        kinds: &[Kind],
        (shapes, pieces): (&Shapes, &[Piece]),
        nested: Nested,
        offcuts: Vec<OnOffcut<'a>>,
    ) -> Outcome<Vec<LaidOut>> {
        let said = self.table.trimmed().into_iter().chain(tight(self.spacing, self.machine));
        let said = said.chain(self.clamped_offcuts());
        let said: Vec<Finding> = said.chain(ended(&nested.nesting)).collect();
        let (figures, sheets) = self.drawn_apart((nested, offcuts), |nested, offcuts| {
            let sheets = self.sheets(kinds, shapes, (nested, offcuts));
            (self.figures(kinds, shapes, (nested, offcuts)), sheets)
        });
        let sheets = Warned::plain(()).and_say(said).and_then(|()| sheets)?;
        let tied = sheets.findings.iter().any(|finding| finding.is::<codes::TiesBetweenPieces>());
        let count = |nest: &NestFigures| nest.offcut.is_none().then_some(nest.sheets);
        let now = figures.iter().filter_map(count).sum();
        let cost = tied.then(|| self.cost_of_room(now, pieces));
        Ok(sheets.and_say(cost).map(|sheets| laid_out(figures, sheets)))
    }

    fn nested(
        &self,
        pieces: &[Piece],
        spacing: Length,
        effort: u32,
    ) -> Result<Nested, NestingError> {
        let problem = Problem::new(pieces.to_vec(), self.table.size(), spacing.as_mm())?;
        let effort = Effort { level: effort, seed: 1 };
        let nesting = nesting::nest_watched(&problem, effort, self.how.2)?;
        Ok(Nested { problem, nesting })
    }

    /// The pieces farther from each other where the sheet has room, planned: a tool that pushes
    /// leaves wood between them then. Where something would come loose so, they are drawn less far
    /// apart, or not at all.
    fn drawn_apart<T, F>(
        &self,
        (nested, mut offcuts): (Nested, Vec<OnOffcut<'a>>),
        planned: impl Fn(&Nested, &[OnOffcut<'a>]) -> (F, Outcome<T>),
    ) -> (F, Outcome<T>) {
        let (least, most) = worth_giving(self.spacing, self.machine);
        let gains: &[f64] = if self.machine.tool.pushes() { &[1.0, 0.5, 0.0] } else { &[0.0] };
        let as_laid: Vec<Nesting> = offcuts.iter().map(|of| of.nested.nesting.clone()).collect();
        let mut drawn = |share: &f64| {
            let gain = (least * share, most * share);
            let mut whole = nested.clone();
            whole.spread(gain);
            for (of, as_laid) in offcuts.iter_mut().zip(&as_laid) {
                of.nested.nesting = as_laid.clone();
                of.nested.spread(gain);
            }
            planned(&whole, &offcuts)
        };
        let first = drawn(&gains[0]);
        if !first.1.as_ref().is_err_and(|refusals| refusals.are_all(is_loose)) {
            return first;
        }
        gains[1..].iter().map(drawn).find(|(_, planned)| planned.is_ok()).unwrap_or(first)
    }

    /// Every layout with its programs, whole sheets first; what is said of several is said once.
    fn sheets(
        &self,
        kinds: &[Kind],
        shapes: &Shapes,
        (nested, offcuts): (&Nested, &[OnOffcut<'a>]),
    ) -> Outcome<Vec<SheetRun>> {
        let tooled: Vec<_> = kinds.iter().map(|kind| kind.tooled.clone()).collect();
        // Where the search for sheets had to end, nobody waits for shorter ways on them either.
        let effort = if ended(&nested.nesting).is_some() { 0 } else { self.how.0 };
        let (mut sheets, mut findings) = (Vec::new(), Vec::new());
        let whole = nested.nesting.sheets.iter().map(|layout| (layout, None));
        let on_offcuts = offcuts
            .iter()
            .flat_map(|of| of.nested.nesting.sheets.iter().map(move |layout| (layout, Some(of))));
        let (layouts, on): (Vec<SheetLayout>, Vec<Option<&OnOffcut<'_>>>) =
            whole.chain(on_offcuts).map(|(layout, on)| (layout.clone(), on)).unzip();
        for shared in shapes.shared(kinds, &layouts) {
            let own = layouts.iter().zip(&on).find(|(of, _)| std::ptr::eq(*of, shared.layout));
            let on = own.and_then(|(_, on)| *on);
            let sheet = self.sheet(kinds, (&tooled, effort), shared, on);
            sheets.extend(gathered(sheet, &mut findings));
        }
        Ok(Warned::unless_refused(each_once(findings))?.map(|()| sheets))
    }

    /// One layout with its programs.
    fn sheet(
        &self,
        kinds: &[Kind],
        (tooled, effort): (&[Tooled], u32),
        shared: Shared<'_>,
        on: Option<&OnOffcut<'_>>,
    ) -> Outcome<SheetRun> {
        let table = on.map_or(&self.table, |on| &on.table);
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
            effort,
        };
        let programs = plan_sheet(&sheet, tooled, placed.collect())?;
        Ok(programs.map(|programs| SheetRun {
            times,
            kinds: kinds.to_vec(),
            programs,
            method: layout.method,
            offcut: on.map(|on| on.offcut),
            remnant: table.to_stock_box(layout.remnant),
            remnant_size: [layout.remnant.width(), layout.remnant.height()].map(Length::mm),
            lies_along: table.lies_along(),
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

    /// What a spacing that leaves room for ties to the sheet would cost, of so many whole sheets.
    fn cost_of_room(&self, now: usize, pieces: &[Piece]) -> Finding {
        let roomy = roomy_spacing(self.machine);
        let count = |nest: &Nesting| nest.sheets.iter().map(|sheet| sheet.times).sum::<usize>();
        // Where nothing can be laid out so far apart, that is what is said.
        let wider = self.nested(pieces, roomy, self.how.0.min(1)).ok();
        let measured = codes::SheetsTaken(wider.map(|wider| count(&wider.nesting)));
        codes::RoomForTies { roomy, measured, now: now.into() }.at("cut.spacing")
    }

    /// How well the whole sheets are used, where there are any, and each offcut.
    fn figures(
        &self,
        kinds: &[Kind],
        shapes: &Shapes,
        (nested, offcuts): (&Nested, &[OnOffcut<'a>]),
    ) -> Vec<NestFigures> {
        let how = (self.spacing, self.how.0);
        let area = |layout: &SheetLayout| {
            let area = |piece| kinds[shapes.first(piece)].tooled.piece.area();
            layout.placed.iter().map(|of| area(of.piece)).sum::<f64>() * layout.times as f64
        };
        let of = |nested: &Nested, table: &Table<'_>, offcut| {
            let sheets = &nested.nesting.sheets;
            let area: f64 = sheets.iter().map(area).sum();
            let is_whole = offcuts.is_empty();
            let of_nest = (area, is_whole);
            (!sheets.is_empty()).then(|| figures(&nested.nesting, of_nest, table, how, offcut))
        };
        let whole = of(nested, &self.table, None);
        let each = offcuts.iter().filter_map(|on| of(&on.nested, &on.table, Some(on.offcut)));
        whole.into_iter().chain(each).collect()
    }
}

/// What is said of sheets with those that it is said of.
fn laid_out(figures: Vec<NestFigures>, mut sheets: Vec<SheetRun>) -> Vec<LaidOut> {
    let own = |nest: NestFigures| {
        let (own, rest) = sheets.drain(..).partition(|run| run.offcut == nest.offcut);
        sheets = rest;
        LaidOut { nest, sheets: own }
    };
    figures.into_iter().map(own).collect()
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

/// Whether any job of a set is cut from sheets.
pub fn on_sheets(job: &Job) -> bool {
    job.cut.material.form == Form::Sheet
}
