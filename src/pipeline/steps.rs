//! Treads, riser boards and skirts: the skirts of a job, and which boards to buy for all of them.

use crate::diagnostics::{Warned, codes};
use crate::geometry::{Contour, Point};
use crate::job::{Hand, Job, SkirtKind};
use crate::optimise::cutting_stock::{self, Effort, Problem, Saw, StockLength, Wanted};
use crate::pipeline::set::counted_up;
use crate::stair::outline::{Role, SHOWN, Skirt};
use crate::stair::{Flight, StepPiece, StepWhat, step_pieces};
use crate::units::Length;

/// Thicknesses that differ by less are one: the rounding of a double, in mm.
const SAME_MM: f64 = 1e-6;

/// The skirt at one side.
#[derive(Clone, Debug)]
pub struct SideSkirt {
    /// Of which side, for somebody who climbs.
    pub side: Hand,
    /// What it is like.
    pub kind: SkirtKind,
    /// The board, seen on the face that shows.
    pub skirt: Skirt,
}

impl SideSkirt {
    /// What it is called.
    pub fn name(&self) -> String {
        let kind = match self.kind {
            SkirtKind::Open => "open skirt",
            SkirtKind::Wall => "wall skirt",
        };
        format!("{kind}, {} side", self.side.name())
    }

    /// What its piece on a sheet is called: a name there has no comma.
    pub fn sheet_name(&self) -> String {
        self.name().replace(',', "")
    }

    /// The width of the board that it is sawn from: that of a wall skirt as it is bought, of an
    /// open one what its steps take.
    pub fn board_width(&self, job: &Job) -> Length {
        let bought = job.skirts.as_ref().and_then(|skirts| skirts.width);
        bought.filter(|_| self.kind == SkirtKind::Wall).unwrap_or_else(|| self.skirt.depth())
    }
}

/// Boards of one thickness, and what is sawn from them for all stairs of a job.
#[derive(Clone, Debug)]
pub struct StepBoards {
    /// What the pieces are, in a few words.
    pub what: &'static str,
    /// Which wood they are of, where the job says it.
    pub wood: Option<String>,
    /// The width of the widest: boards have to be as wide, or wider.
    pub width: Length,
    /// Their thickness.
    pub thickness: Length,
    /// How many pieces of which length.
    pub pieces: Vec<(Length, usize)>,
    /// The boards to buy: how many of which length; none where nothing sold is long enough.
    pub buy: Vec<(Length, usize)>,
    /// Whether no purchase takes less.
    pub proven: bool,
    /// The lengths that they are sold in.
    pub sold: Vec<Length>,
    /// Whether they are bought together with those of other jobs of a set, and nothing by
    /// themselves.
    pub with_others: bool,
}

/// A piece of the steps that is cut from the sheet of the stringers.
#[derive(Clone, Debug)]
pub struct SheetPiece {
    /// What it is called.
    pub name: String,
    /// Which tread or riser board; none of a skirt.
    pub what: Option<StepWhat>,
    /// Its outline: a tread or a riser board along its length, a skirt along its board.
    pub contour: Contour<Role>,
    /// What it is turned by against the elevation.
    pub turn_rad: f64,
    /// How many one stair has.
    pub count: usize,
}

/// What a job has beside its stringers: skirts, pieces of the steps, boards for both.
#[derive(Clone, Debug, Default)]
pub struct BesideStringers {
    /// The skirts, the left one first.
    pub skirts: Vec<SideSkirt>,
    /// Treads and riser boards of one stair.
    pub pieces: Vec<StepPiece>,
    /// What of them is cut from the sheet of the stringers.
    pub from_sheet: Vec<SheetPiece>,
    /// What to buy for the others; nothing where the job does not ask for it.
    pub boards: Vec<StepBoards>,
}

impl BesideStringers {
    /// Treads and riser boards that are sawn from boards.
    pub fn sawn(&self) -> impl Iterator<Item = &StepPiece> {
        let is_cut = |of: &StepPiece| self.from_sheet.iter().any(|cut| cut.what == Some(of.what));
        self.pieces.iter().filter(move |of| !is_cut(of))
    }

    /// Whether a skirt is cut from the sheet of the stringers.
    pub fn is_cut_from_sheet(&self, skirt: &SideSkirt) -> bool {
        let name = skirt.sheet_name();
        self.from_sheet.iter().any(|cut| cut.what.is_none() && cut.name == name)
    }

    /// The same where all of it is made so many times: what to buy is for all of them.
    pub fn times(self, job: &Job, times: usize) -> Warned<Self> {
        let mut findings = Vec::new();
        let saw = saw(job);
        let buy = |boards: StepBoards| {
            let Warned { value, findings: found } = boards.bought(saw);
            findings.extend(found);
            value
        };
        let boards = wanted(job, &self.pieces, &self.skirts, times).into_iter().map(buy).collect();
        Warned::new(Self { boards, ..self }, findings)
    }

    /// What a job has where its flight has this many risers.
    pub fn of(job: &Job, flight: &Flight) -> Warned<Self> {
        let skirts: Vec<SideSkirt> =
            Hand::BOTH.into_iter().filter_map(|side| side_skirt(job, flight, side)).collect();
        let pieces = step_pieces(job, flight);
        let from_sheet = from_sheet(job, &pieces, &skirts);
        Self { skirts, pieces, from_sheet, boards: Vec::new() }.times(job, 1)
    }
}

/// The upper edge of a wall skirt shows: tabs stand elsewhere.
fn tied_off_its_top(skirt: &Contour<Role>) -> Contour<Role> {
    let role = |role| if role == Role::UpperEdge { Role::PieceSide(SHOWN[1]) } else { role };
    let vertices: Vec<(Point, Role)> =
        skirt.edges().iter().map(|edge| (edge.segment.from(), role(edge.role))).collect();
    Contour::polygon(&vertices).expect("the same points are the same contour")
}

fn from_sheet(job: &Job, pieces: &[StepPiece], skirts: &[SideSkirt]) -> Vec<SheetPiece> {
    let rectangle = |of: &StepPiece| {
        let (sides, name) = match of.what {
            what if what.is_tread() => (["back", "right end", SHOWN[0], "left end"], what.name()),
            what => (["foot", "right end", SHOWN[1], "left end"], what.name()),
        };
        let (length, width) = (of.length?.as_mm(), of.width.as_mm());
        let corners = [(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)];
        let named = |i: usize| (Point::new(corners[i].0, corners[i].1), Role::PieceSide(sides[i]));
        let contour = Contour::polygon(&[0, 1, 2, 3].map(named)).ok()?;
        let (name, what) = (name.to_string(), Some(of.what));
        Some(SheetPiece { name, what, contour, turn_rad: 0.0, count: of.count })
    };
    let own = pieces.iter().filter(|of| job.cuts_from_sheet(of.thickness));
    let mut all: Vec<SheetPiece> = own.filter_map(rectangle).collect();
    let thick = job.skirts.as_ref().map(|skirts| skirts.thickness);
    if thick.is_some_and(|thick| job.cuts_from_sheet(thick)) {
        all.extend(skirts.iter().map(|of| SheetPiece {
            name: of.sheet_name(),
            what: None,
            contour: tied_off_its_top(&of.skirt.in_board_frame()),
            turn_rad: of.skirt.outline().turn_rad(),
            count: 1,
        }));
    }
    all
}

fn side_skirt(job: &Job, flight: &Flight, side: Hand) -> Option<SideSkirt> {
    let kind = job.skirts.as_ref()?.side(side)?;
    let skirt = Skirt::at(job, flight, side)?.ok()?;
    Some(SideSkirt { side, kind, skirt })
}

/// The boards that pieces are wanted from, those of one thickness together, each with the lengths
/// it is sold in: they are as wide as the widest, and the others are ripped.
fn wanted(job: &Job, pieces: &[StepPiece], skirts: &[SideSkirt], times: usize) -> Vec<StepBoards> {
    let stairs = job.cut.stairs as usize * times;
    let mut all: Vec<StepBoards> = Vec::new();
    let mut add =
        |(what, wood): Named<'_>, (width, thickness): (Length, Length), piece, sold: &[Length]| {
            let own = StepBoards {
                what,
                wood: wood.map(str::to_string),
                width,
                thickness,
                pieces: vec![piece],
                buy: Vec::new(),
                proven: false,
                sold: sold.to_vec(),
                with_others: false,
            };
            match all.iter_mut().find(|of| of.is_sold_as(&own)) {
                Some(of) => of.add(&own),
                None => all.push(own),
            }
        };
    if let Some(steps) = &job.steps {
        for piece in pieces.iter().filter(|piece| !job.cuts_from_sheet(piece.thickness)) {
            let Some(length) = piece.length else { continue };
            let (what, sold) = match piece.what.is_tread() {
                true => ("treads", &steps.lengths),
                false => ("riser boards", &steps.riser_lengths),
            };
            add(
                (what, piece.wood(job)),
                (piece.width, piece.thickness),
                (length, piece.count * stairs),
                sold,
            );
        }
    }
    if let Some(asked) = job.skirts.as_ref().filter(|of| !job.cuts_from_sheet(of.thickness)) {
        for of in skirts {
            let size = (of.board_width(job), asked.thickness);
            add(
                ("skirts", None),
                size,
                (of.skirt.outline().blank_length(), stairs),
                &asked.lengths,
            );
        }
    }
    all
}

/// What boards are for, and of which wood, where that is said.
type Named<'a> = (&'static str, Option<&'a str>);

/// What a job's saw takes of a board.
pub fn saw(job: &Job) -> Saw {
    Saw { kerf: job.boards.kerf, end_trim: job.boards.end_trim }
}

impl StepBoards {
    /// Whether others are of one thickness and wood with these, for the same pieces and sold in the
    /// same lengths.
    pub fn is_sold_as(&self, other: &Self) -> bool {
        let same_thickness = self.thickness.is_within(Length::mm(SAME_MM), other.thickness);
        self.what == other.what
            && self.wood == other.wood
            && same_thickness
            && self.sold == other.sold
    }

    /// Takes the pieces of others too: boards are then as wide as the wider of the two.
    pub fn add(&mut self, other: &Self) {
        self.width = self.width.max(other.width);
        let all = self.pieces.iter().chain(&other.pieces).copied().collect::<Vec<_>>();
        self.pieces = counted_up(all);
    }

    /// Buys nothing by themselves, for they are bought together with those of other jobs.
    pub fn leave_to_all(&mut self) {
        self.buy.clear();
        (self.proven, self.with_others) = (false, true);
    }

    /// The fewest feet of board that hold the pieces.
    pub fn bought(self, saw: Saw) -> Warned<Self> {
        let longest_piece = self.pieces.iter().map(|of| of.0).reduce(Length::max);
        let longest = self.sold.iter().copied().reduce(Length::max).unwrap_or(Length::ZERO);
        let usable = longest - saw.end_trim * 2.0;
        let what = self.what.to_string();
        if let Some(length) = longest_piece.filter(|piece| *piece > usable) {
            let found = codes::StepBoardShort { what, length, longest }.at("boards");
            return Warned::new(self, vec![found]);
        }
        let pieces: Vec<Wanted> =
            self.pieces.iter().map(|&(length, count)| Wanted::of(length, count)).collect();
        let offer: Vec<StockLength> =
            self.sold.iter().map(|&of| StockLength::by_the_foot(of)).collect();
        let purchase = Problem::new(&pieces, &offer, saw)
            .and_then(|problem| cutting_stock::buy(&problem, Effort { level: 1, seed: 1 }));
        match purchase {
            Ok(purchase) => {
                let sawn = purchase.boards.iter().map(|of| (offer[of.stock].length, of.times));
                let (buy, proven) = (counted_up(sawn), purchase.proven);
                Warned::plain(Self { buy, proven, ..self })
            }
            Err(problem) => {
                let found = codes::StepBoardsUnplanned { what, why: problem.to_string() };
                Warned::new(self, vec![found.at("boards")])
            }
        }
    }
}
