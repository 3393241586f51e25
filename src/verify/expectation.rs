//! What a file is held against.

use crate::geometry::{Bounds, Contour, Placement, Point, Segment, Vector};
use crate::job::Corners;
use crate::profile::{Form, Machine};
use crate::stair::outline::{PocketRole, Role};
use crate::units::Length;

/// What a file is held against: the pieces, the tool and the material; nothing of how the file came
/// about.
#[derive(Clone, Debug)]
pub struct Expectation<'a> {
    /// The kinds of pieces that are made, each with where its copies lie.
    pub pieces: Vec<Piece>,
    /// The machine; its tool radius is the R of the proof.
    pub machine: &'a Machine,
    /// What lies on the machine.
    pub stock: StockBox,
    /// Sheet or board: on a board the lower edge is the board's own and needs no cut.
    pub form: Form,
    /// Which tabs may stand, those of all pieces together.
    pub tabs: Tabs,
    /// What may be cut beside the pieces.
    pub waste: Waste,
    /// What the tool must not touch, cutting or not. A tool whose height is not known counts as
    /// low. They stand on the table: a shift takes the stock along and leaves them. Pieces cut out
    /// of a sheet in one set-up stay off them too.
    pub clamps: Vec<Clamp>,
    /// Where a board is clamped on the piece itself, with what holds those clamps beyond its edges,
    /// in the stock frame: no tool comes there at any height.
    pub clamp_zone: Option<Bounds>,
    /// The placement of the piece that the zone was told with, where it may lie elsewhere: the zone
    /// lies on the piece, and goes with it.
    pub zone_of: Option<Placement>,
    /// How far pieces, and cuts with the tool's whole width, stay from the stock's edges, in mm; 0:
    /// not looked at.
    pub margin_mm: f64,
    /// The least distance between any two pieces, in mm; 0: they must not touch.
    pub spacing_mm: f64,
    /// Round holes in the waste, in the stock frame: cut just so, and off every piece.
    pub pins: Vec<Pin>,
    /// From the stock frame to the machine frame of each section of the program: machine = stock +
    /// shift. Sections end at M0 where there are several; with one set-up M0 is only a stop.
    pub setups: Vec<Vector>,
    /// The box that all its motion stays in, rapids too, from the machine's X0 Y0 on, where one was
    /// planned: what a frame is run round, and what is cleared before.
    pub reach: Option<Bounds>,
}

/// A clamp on the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clamp {
    /// With what holds it beyond the stock's edges: what no tool may touch. In the machine frame,
    /// which is the stock frame of the first set-up.
    pub place: Bounds,
    /// What it presses on of the stock that lies under it, in the same frame.
    pub pad: Bounds,
    /// Over the material's top, in mm; `None` where it is not known: nothing passes over it.
    pub height_mm: Option<f64>,
}

/// One kind of piece and where its copies lie.
#[derive(Clone, Debug)]
pub struct Piece {
    /// What findings call it where there are several kinds.
    pub name: String,
    /// The finished part in the board frame, uncompensated, with sharp corners.
    pub part: Contour<Role>,
    /// Openings with straight sides and square corners that are cut through the part, each round
    /// its waste, in the board frame. Drawings are not held against them.
    pub openings: Vec<Contour<Role>>,
    /// How much smaller than the part the piece on the machine is all round; 0 for the parts
    /// themselves.
    pub inset: Length,
    /// What a roughing program leaves beside it, all round, for the one after it: as far off its
    /// corners too. 0 of any other.
    pub left: Length,
    /// What is done at inside corners.
    pub corners: Corners,
    /// The round holes that are cut through the part, in the board frame.
    pub holes: Vec<Hole>,
    /// The holes that a drawing of the part has on layer DRILL, in the board frame.
    pub drilled: Vec<Hole>,
    /// The pockets in the part's face, in the board frame.
    pub pockets: Vec<Pocket>,
    /// What a drawing of it may have on its layer MARK.
    pub drawn: Drawn,
    /// What the program does to the part. Pieces of one program agree on whether it cuts them out.
    pub task: Task,
    /// Where its copies lie on the machine.
    pub placement: Placements,
}

impl Piece {
    /// A piece as large as the part, without holes and marks, that is cut out.
    pub fn new(
        name: impl Into<String>,
        part: Contour<Role>,
        corners: Corners,
        placement: Placements,
    ) -> Self {
        let (inset, left) = (Length::ZERO, Length::ZERO);
        let (holes, drilled) = (Vec::new(), Vec::new());
        let openings = Vec::new();
        let (pockets, task, drawn) = (Vec::new(), Task::Cut, Drawn::default());
        Self {
            name: name.into(),
            part,
            openings,
            inset,
            left,
            corners,
            holes,
            drilled,
            pockets,
            drawn,
            task,
            placement,
        }
    }
}

impl<'a> Expectation<'a> {
    /// One piece without tabs, in one set-up, with nothing else to mind on the stock.
    pub fn of(piece: Piece, machine: &'a Machine, stock: StockBox, form: Form) -> Self {
        Expectation {
            pieces: vec![piece],
            machine,
            stock,
            form,
            tabs: Tabs::Declared(Vec::new()),
            waste: Waste::Free,
            clamps: Vec::new(),
            clamp_zone: None,
            zone_of: None,
            margin_mm: 0.0,
            spacing_mm: 0.0,
            pins: Vec::new(),
            setups: vec![Vector::zeros()],
            reach: None,
        }
    }

    /// Whether the pieces are cut out.
    pub(super) fn cuts(&self) -> bool {
        self.pieces.iter().all(|piece| piece.task.cuts())
    }

    /// Where all copies lie; `None` if that is left open.
    pub(super) fn laid(&self) -> Option<Vec<Laid>> {
        let mut all = Vec::new();
        for (piece, Piece { placement, .. }) in self.pieces.iter().enumerate() {
            let Placements::Given(placements) = placement else { return None };
            all.extend(placements.iter().map(|&placement| Laid { piece, placement }));
        }
        Some(all)
    }

    /// What findings call each copy; empty for the only one.
    pub(super) fn labels(&self, laid: &[Laid]) -> Vec<String> {
        let mut numbers = vec![0; self.pieces.len()];
        let label = |(i, copy): (usize, &Laid)| {
            numbers[copy.piece] += 1;
            let name = &self.pieces[copy.piece].name;
            let copies = laid.iter().filter(|other| other.piece == copy.piece).take(2).count();
            match (self.pieces.len(), laid.len(), copies) {
                (_, 1, _) => String::new(),
                (1, ..) => format!("part {}", i + 1),
                (.., 1) => name.clone(),
                _ => format!("{name} {}", numbers[copy.piece]),
            }
        };
        laid.iter().enumerate().map(label).collect()
    }

    /// Why no program can be held against this; `None` if one can.
    pub(super) fn unclear(&self) -> Option<&'static str> {
        let is_open = |piece: &Piece| matches!(piece.placement, Placements::Any);
        let cut = self.pieces.iter().filter(|piece| piece.task.cuts()).count();
        if self.pieces.is_empty() && self.pins.is_empty() {
            Some("no piece")
        } else if cut > 0 && cut < self.pieces.len() {
            Some("pieces to cut beside pieces only to mark")
        } else if self.pieces.len() > 1 && self.pieces.iter().any(is_open) {
            Some("several pieces, and no place for one of them")
        } else if self.setups.is_empty() {
            Some("no set-up")
        } else {
            None
        }
    }

    /// The longest diagonal of a piece, in mm.
    pub(super) fn extent_mm(&self) -> f64 {
        self.pieces
            .iter()
            .map(|piece| piece.part.bounds())
            .map(|b| b.width().hypot(b.height()))
            .fold(0.0, f64::max)
    }

    /// One kind of piece on this machine.
    pub(super) fn wanted<'p>(&self, piece: &'p Piece) -> Wanted<'p>
    where
        'a: 'p,
    {
        let Piece { part, inset, left, corners, .. } = piece;
        let (inset, left, corners) = (*inset, *left, *corners);
        Wanted { part, inset, left, corners, machine: self.machine, form: self.form }
    }
}

/// One copy of a piece where it lies.
#[derive(Clone, Copy, Debug)]
pub(super) struct Laid {
    /// Which of the expected pieces.
    pub piece: usize,
    pub placement: Placement,
}

/// One kind of piece and the machine that makes it: what a boundary follows from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wanted<'a> {
    pub part: &'a Contour<Role>,
    pub inset: Length,
    pub left: Length,
    pub corners: Corners,
    pub machine: &'a Machine,
    pub form: Form,
}

/// A round hole: of a piece in the board frame, where it lies where the piece lies, or of the waste
/// in the stock frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hole {
    /// Its middle.
    pub center: Point,
    /// Its finished radius, in mm.
    pub radius_mm: f64,
}

/// A hole of the waste for a pin of the table, in the stock frame, that locates the stock in the
/// next set-up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pin {
    /// The hole.
    pub hole: Hole,
    /// The set-up in which it is cut, counted from 0: in any other a pin may stand in it.
    pub setup: usize,
}

/// A part of the face that is cut down to one depth and no deeper; nothing else of the face is
/// touched.
#[derive(Clone, Debug)]
pub struct Pocket {
    /// Its sides with sharp corners, in the board frame; the pocket lies to the left.
    pub boundary: Contour<PocketRole>,
    /// How deep it is, in mm.
    pub depth_mm: f64,
}

/// What a drawing may have on its layer MARK, in the board frame: any of it, and nothing else on
/// the part.
#[derive(Clone, Debug, Default)]
pub struct Drawn {
    /// The points of every stroke.
    pub strokes: Vec<Vec<Point>>,
    /// The round holes, as circles: as large as they are, or as the way of the tool's centre.
    pub holes: Vec<Hole>,
}

/// What a program may cut beside what it must.
#[derive(Clone, Debug)]
pub enum Waste {
    /// Nothing but along these ways in and out of the cut, in the stock frame: whatever else is cut
    /// is not what was planned. They only permit: what they touch of a piece is a gouge all the
    /// same.
    Planned(Vec<Segment>),
    /// Anything in the waste, away from the outer sides of tabs. For files of others.
    Free,
}

/// What a program does to the part. A drawing is always held against the cut.
#[derive(Clone, Debug)]
pub enum Task {
    /// It cuts the part out and makes no mark on it.
    Cut,
    /// It makes these marks and cuts nothing.
    Marks(Marks),
    /// It makes these marks and cuts the part out.
    Both(Marks),
}

/// Shallow strokes on the part's face.
#[derive(Clone, Debug)]
pub struct Marks {
    /// The points of every stroke, in the board frame.
    pub strokes: Vec<Vec<Point>>,
    /// How deep a cutter makes them, in mm. A beam makes them with the share of its power that the
    /// profile names.
    pub depth_mm: f64,
    /// Width of a stroke, in mm.
    pub width_mm: f64,
}

impl Task {
    /// The marks that belong on the part.
    pub(super) fn marks(&self) -> Option<&Marks> {
        match self {
            Self::Cut => None,
            Self::Marks(marks) | Self::Both(marks) => Some(marks),
        }
    }

    /// Whether the part is cut out.
    pub(super) fn cuts(&self) -> bool {
        !matches!(self, Self::Marks(_))
    }
}

/// The material in the stock frame: from 0,0 along program X and Y.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StockBox {
    /// Extent along program X, in mm.
    pub length_mm: f64,
    /// Extent along program Y, in mm.
    pub width_mm: f64,
    /// Thickness, in mm.
    pub thickness_mm: f64,
}

impl StockBox {
    /// Its box in X and Y.
    pub(super) fn bounds(self) -> Bounds {
        Bounds { min: Point::origin(), max: Point::new(self.length_mm, self.width_mm) }
    }
}

/// Where the copies of a piece lie on the machine.
#[derive(Clone, Debug)]
pub enum Placements {
    /// One part at each of these placements, from the board frame to the stock frame.
    Given(Vec<Placement>),
    /// One part, somewhere, turned by quarters of a turn; only where it is the only piece.
    Any,
}

/// Which tabs may stand.
#[derive(Clone, Debug)]
pub enum Tabs {
    /// These, all of them, and no others.
    Declared(Vec<DeclaredTab>),
    /// Any that are low and short, on a straight edge and away from its corners. For files of
    /// others.
    ByRule,
}

/// A tab as it was declared.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DeclaredTab {
    /// The middle of the gap, on the tool centre's path, in the stock frame.
    pub at: Point,
    /// Length of path along which the tool stays above its full depth, in mm.
    pub length_mm: f64,
    /// Where it stands at its full height, on the tool centre's path.
    pub top: Point,
    /// Length of path about [`Self::top`] along which it stands at its full height, in mm.
    pub level_mm: f64,
    /// What stands above the material's bottom, in mm.
    pub height_mm: f64,
}

impl DeclaredTab {
    /// One that is alike on both sides of its middle, half of it at its full height; lengths in mm.
    pub fn even(at: Point, length_mm: f64, height_mm: f64) -> Self {
        Self { at, length_mm, top: at, level_mm: length_mm / 2.0, height_mm }
    }
}
