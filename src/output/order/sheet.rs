//! What is ordered, part by part: one model for every form of the sheet.

use super::weight::{OrderWeight, steps_density};
use crate::cam::mark::Hole;
use crate::diagnostics::{Finding, PRACTICE, Severity};
use crate::geometry::Contour;
use crate::job::{CleatHoles, Corners, Follow, Job, Makes, Stringer};
use crate::output::dxf::HolesOf;
use crate::output::{Stamp, file_report};
use crate::pipeline::workup::Workup;
use crate::profile::{Form, ProgramUnits, weight_kg};
use crate::stair::StepPiece;
use crate::stair::outline::{Outline, Role};
use crate::units::{Length, decimal, on_tape, trimmed};

/// A whole order. Every line of it is of one revision.
#[derive(Clone, Debug)]
pub struct OrderSheet {
    /// The job's title.
    pub title: String,
    /// Name and version of this program.
    pub tool: &'static str,
    /// The job's fingerprint: one on every file of the order.
    pub revision: String,
    /// The parts.
    pub lines: Vec<OrderLine>,
    /// What the whole order weighs, and what it does not count.
    pub weight: Option<OrderWeight>,
    /// What can go wrong.
    pub cautions: Vec<String>,
    /// Refusals that the owner took on, with what was found and the reason.
    pub waivers: Vec<String>,
}

/// Which part of the flight a drawing shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OrderedPart {
    /// The stringer, or the pattern for it.
    Stringer,
    /// The finished board over its outer face.
    Skirt,
    /// A tread, a riser board or a skirt that is cut from the sheet of the stringers.
    OfSheet,
}

/// What a drawing has to hold.
#[derive(Clone, Copy, Debug)]
pub enum OrderShape<'a> {
    /// The stringer or a skirt.
    Part(&'a Outline),
    /// A piece beside them, in its own frame.
    Piece(&'a Contour<Role>),
}

impl OrderShape<'_> {
    /// Its outline as it is drawn.
    pub fn contour(self) -> Contour<Role> {
        match self {
            Self::Part(outline) => outline.in_board_frame(),
            Self::Piece(contour) => contour.clone(),
        }
    }
}

/// A kind of piece that a drawing is cut from, and how many.
#[derive(Clone, Debug, PartialEq)]
pub struct OrderedPiece {
    /// What it is.
    pub name: String,
    /// How many are cut.
    pub count: usize,
    /// The holes through it, in the board frame.
    pub holes: Vec<Hole>,
}

/// The drawing of a part, and the part it must hold.
#[derive(Clone, Debug)]
pub struct OrderDrawing<'a> {
    /// Which part it shows.
    pub part: OrderedPart,
    /// The part itself.
    pub shape: OrderShape<'a>,
    /// The kinds of pieces that are cut from it; none where the job does not say.
    pub pieces: Vec<OrderedPiece>,
    /// The file, by name.
    pub file: (String, Vec<u8>),
}

/// One part of an order.
#[derive(Clone, Debug)]
pub struct OrderLine {
    /// What it is.
    pub part: String,
    /// How many; `None` where the job does not say.
    pub quantity: Option<u32>,
    /// What it is made of; `None` where the job does not say.
    pub material: Option<String>,
    /// How thick; `None` where the job does not say.
    pub thickness: Option<Length>,
    /// Extent along the pitch.
    pub length: Length,
    /// Extent across it.
    pub width: Length,
    /// The enclosed area in square millimetres.
    pub area_mm2: f64,
    /// The way round it.
    pub perimeter: Length,
    /// What one weighs, in kg; none where nobody published how heavy its material is.
    pub weight_kg: Option<f64>,
    /// How far an edge may lie from the drawing.
    pub tolerance: Length,
    /// What was compensated in the drawing.
    pub ledger: String,
    /// What is wanted at inside corners.
    pub inside_corners: &'static str,
    /// Of how many layers a stringer is glued, this piece one of them; 1 where it is whole.
    pub layers: u32,
    /// The holes, cut through.
    pub holes: Vec<Hole>,
    /// What they are for.
    pub holes_of: HolesOf,
    /// Its drawing; none of what is sawn to size from boards.
    pub file: Option<OrderFile>,
}

/// The drawing that a line is cut from.
#[derive(Clone, Debug)]
pub struct OrderFile {
    /// Its name.
    pub name: String,
    /// The unit of its coordinates.
    pub units: ProgramUnits,
    /// Its digest in hex.
    pub sha256: String,
}

/// An edge may lie off by an inch over this, either way (common practice, no source).
const TOLERANCE_OF_INCH: f64 = 64.0;

/// Printed on every order.
const CAUTIONS: [&str; 2] = [
    "People can be hurt by stairs: local code and licensed practice decide, these figures are \
    advice.",
    "Cut one, try it in place at every position, then cut the others.",
];

const SKIRT: &str = "The skirt's quantity, material and thickness are not in the job: fill them \
    in, or strike the skirt out.";
const SKIRTS: &str = "Skirts are drawn as seen on the face that shows";
const SKIRTS_MITRED: &str =
    "Skirts are drawn as seen on the face that shows, an open one to the long side of its mitres";
const SKIRTS_OF: &str = "what they are made of is not in the job: fill it in";
const SAWN: &str =
    "Treads and riser boards without a drawing are sawn to size from boards, with square corners";
const SAWN_OF: &str =
    "which wood is not in the job (steps.wood, steps.riser_wood), write it beside them";
const CLEATS: &str = "The cleats or angles of the stringers are not in this order: the bench sheet \
    has their places and sizes.";
const NO_HOLES: &str = "Nor are their holes: they are marked and drilled at the bench.";
const NO_SKIRT: &str =
    "No skirt is drawn: its first riser would have no height over the finish to come.";

impl OrderSheet {
    /// The order of a worked-up job.
    pub fn of(workup: &Workup, drawings: &[OrderDrawing<'_>]) -> Self {
        let job = &workup.job;
        let skirt = drawings.iter().find(|drawing| drawing.part == OrderedPart::Skirt);
        let mut cautions = cautions(job, &workup.findings);
        cautions.push(match (&job.skirts, skirt) {
            (Some(skirts), skirt) => {
                let drawn = if skirts.is_mitred() { SKIRTS_MITRED } else { SKIRTS };
                let of = skirt.map_or(String::new(), |_| format!("; {SKIRTS_OF}"));
                format!("{drawn}{of}.")
            }
            (None, Some(_)) => SKIRT.to_string(),
            (None, None) => match &job.stringer {
                Stringer::Cut | Stringer::Housed(_) => NO_SKIRT.to_string(),
                Stringer::Cleated(of) if of.holes == CleatHoles::Drilled => CLEATS.to_string(),
                Stringer::Cleated(_) => format!("{CLEATS} {NO_HOLES}"),
            },
        });
        let sawn: Vec<OrderLine> = sawn(workup);
        cautions.extend((!sawn.is_empty()).then(|| sawn_of(workup)));
        let drawn = drawings.iter().flat_map(|drawing| lines(job, drawing));
        let lines: Vec<OrderLine> = drawn.chain(sawn).collect();
        let weight = OrderWeight::of(job, &lines);
        cautions.extend(weight.as_ref().map(OrderWeight::caution));
        Self {
            title: job.title.clone(),
            tool: Stamp::tool(),
            revision: workup.fingerprint.to_string(),
            lines,
            weight,
            cautions,
            waivers: workup
                .findings
                .iter()
                .filter(|f| f.waived.is_some())
                .map(Finding::to_string)
                .collect(),
        }
    }
}

/// A line for every kind of piece of a drawing; one where the job says nothing of them.
fn lines(job: &Job, drawing: &OrderDrawing<'_>) -> Vec<OrderLine> {
    match &drawing.pieces[..] {
        [] => vec![line(job, drawing, None)],
        pieces => pieces.iter().map(|piece| line(job, drawing, Some(piece))).collect(),
    }
}

/// What is said of treads and riser boards that are sawn from boards; and where the job does not
/// say of which wood.
fn sawn_of(workup: &Workup) -> String {
    let is_said = |of: &StepPiece| of.wood(&workup.job).is_some();
    match workup.beside.sawn().all(is_said) {
        true => format!("{SAWN}."),
        false => format!("{SAWN}: {SAWN_OF}."),
    }
}

/// A line for every size of tread and riser board that is sawn from boards, where the job asks for
/// them as pieces.
fn sawn(workup: &Workup) -> Vec<OrderLine> {
    let job = &workup.job;
    let line = |of: &StepPiece| {
        let length = of.length?;
        Some(OrderLine {
            part: of.what.name().to_string(),
            quantity: Some((of.count as u32) * job.cut.stairs),
            material: Some(format!(
                "{}board {} x {}, or wider",
                of.wood(job).map_or_else(String::new, |wood| format!("{wood}: ")),
                on_tape(of.width),
                on_tape(of.thickness)
            )),
            thickness: Some(of.thickness),
            length,
            width: of.width,
            area_mm2: length.as_mm() * of.width.as_mm(),
            weight_kg: steps_density(job)
                .map(|kg_m3| weight_kg(kg_m3, length.as_mm() * of.width.as_mm(), of.thickness)),
            perimeter: (length + of.width) * 2.0,
            tolerance: Length::inches(1.0 / TOLERANCE_OF_INCH),
            ledger: "finished size: nothing is added for trimming to fit".to_string(),
            inside_corners: "none",
            layers: 1,
            holes: Vec::new(),
            holes_of: HolesOf::of(job),
            file: None,
        })
    };
    let asked = job.steps.is_some();
    workup.beside.sawn().filter(|_| asked).filter_map(line).collect()
}

fn line(job: &Job, drawing: &OrderDrawing<'_>, piece: Option<&OrderedPiece>) -> OrderLine {
    let part = drawing.part;
    let (name, bytes) = &drawing.file;
    let contour = drawing.shape.contour();
    let bounds = contour.bounds();
    let made_of = made_of(job, part);
    let holes = piece.map(|piece| piece.holes.clone()).unwrap_or_default();
    let wood_mm2 = contour.area() - holes.iter().map(Hole::area_mm2).sum::<f64>();
    let density = job.cut.material.density.as_ref().filter(|_| part != OrderedPart::Skirt);
    let thick = made_of.as_ref().map(|(_, thickness)| *thickness);
    OrderLine {
        part: piece.map_or("skirt".to_string(), |piece| piece.name.clone()),
        quantity: piece.map(|piece| piece.count as u32),
        thickness: match (part, &job.skirts) {
            (OrderedPart::Skirt, Some(skirts)) => Some(skirts.thickness),
            _ => thick,
        },
        material: made_of.map(|(material, _)| material),
        length: Length::mm(bounds.width()),
        width: Length::mm(bounds.height()),
        area_mm2: contour.area(),
        weight_kg: density.zip(thick).map(|(of, thick)| weight_kg(of.kg_m3, wood_mm2, thick)),
        perimeter: Length::mm(contour.perimeter()),
        tolerance: Length::inches(1.0 / TOLERANCE_OF_INCH),
        ledger: ledger(job, part),
        inside_corners: inside_corners(job.cut.corners),
        layers: if part == OrderedPart::Stringer { job.cut.sharing.layers } else { 1 },
        holes,
        holes_of: HolesOf::of(job),
        file: Some(OrderFile {
            name: name.clone(),
            units: job.cut.machine.units,
            sha256: file_report(name, bytes).sha256,
        }),
    }
}

impl OrderFile {
    /// The unit of its coordinates.
    pub fn unit(&self) -> &'static str {
        match self.units {
            ProgramUnits::Inches => "in",
            ProgramUnits::Millimetres => "mm",
        }
    }
}

impl OrderLine {
    /// The holes in words: how many, how wide, where.
    pub fn hole_words(&self) -> String {
        let Some((first, file)) = self.holes.first().zip(self.file.as_ref()) else {
            return "none".to_string();
        };
        let wide = first.radius * 2.0;
        format!(
            "{} {}, {wide} wide, cut through, at {} {} from the lower left corner of the part's \
            box; circles on layer DRILL of {}",
            self.holes.len(),
            match self.holes_of {
                HolesOf::Dowels => "dowel holes",
                HolesOf::Cleats => "holes for the fasteners of the cleats",
            },
            self.hole_places(),
            file.unit(),
            file.name
        )
    }

    /// Where the middles of the holes are, in the drawing's unit.
    pub fn hole_places(&self) -> String {
        let unit = self.file.as_ref().map_or(1.0, |file| file.units.in_mm());
        let figure = |mm: f64| trimmed(mm / unit, 4);
        let place =
            |hole: &Hole| format!("X {} Y {}", figure(hole.center.x), figure(hole.center.y));
        self.holes.iter().map(place).collect::<Vec<_>>().join(" and ")
    }

    /// What the piece is of its stringer, where that is glued of layers.
    pub fn layer_words(&self) -> String {
        format!(
            "{} glued to one stringer, one piece of each kind; this is one of them",
            self.layers
        )
    }

    /// The tolerance in words.
    pub fn tolerance_words(&self) -> String {
        let mm = decimal(self.tolerance.as_mm(), 1);
        format!(
            "1/{TOLERANCE_OF_INCH} in ({mm} mm) either way on every edge, unless agreed otherwise \
            ({PRACTICE})"
        )
    }
}

/// A pattern, a layer and a stringer out of a sheet are made of what lies on the machine, any other
/// stringer of the job's board; of the skirt the job says nothing.
fn made_of(job: &Job, part: OrderedPart) -> Option<(String, Length)> {
    match (part, job.cut.makes) {
        (OrderedPart::Skirt, _) => None,
        (OrderedPart::OfSheet, _) => Some(of_sheet(job)),
        (OrderedPart::Stringer, Makes::Stringers) if job.cut.sharing.layers == 1 => {
            Some((stringer(job), job.board.thickness))
        }
        (OrderedPart::Stringer, _) => Some(of_sheet(job)),
    }
}

/// What lies on the machine.
fn of_sheet(job: &Job) -> (String, Length) {
    let material = &job.cut.material;
    (format!("{}: {}", material.name, material.about), material.thickness)
}

/// What a whole stringer is of: the sheet, or a board of this size, and what the job says of the
/// wood.
fn stringer(job: &Job) -> String {
    let board = &job.board;
    let size = match job.cut.material.form {
        Form::Sheet => of_sheet(job).0,
        Form::Board => {
            format!("board {} x {} as measured", on_tape(board.width), on_tape(board.thickness))
        }
    };
    let flag = |told: Option<bool>, words: &str| (told == Some(true)).then(|| words.to_string());
    let more = [
        board.species.clone(),
        board.grade.as_ref().map(|grade| format!("grade {grade}")),
        flag(board.wet, "for use where it gets wet"),
        flag(board.incised, "incised"),
    ];
    [Some(size)].into_iter().chain(more).flatten().collect::<Vec<String>>().join(", ")
}

fn ledger(job: &Job, part: OrderedPart) -> String {
    let mut words = "nothing compensated: apply your own kerf".to_string();
    let inset = inset(job);
    if part == OrderedPart::Stringer && inset > Length::ZERO {
        words.push_str(&format!(
            "; NOT made smaller for what follows the pattern ({inset} all round)"
        ));
    }
    words
}

/// How much smaller than the drawing a pattern has to be, all round, for what will follow it.
fn inset(job: &Job) -> Length {
    match job.cut.makes {
        Makes::Pattern(follow) => follow.inset(),
        Makes::Stringers => Length::ZERO,
    }
}

fn inside_corners(corners: Corners) -> &'static str {
    match corners {
        Corners::Fillet => "the cutter's round may stay; say its radius",
        Corners::Bisector => "clear the sharp corner along its bisector, no deeper than needed",
        Corners::Riser => "clear the sharp corner into the riser face, no deeper than needed",
        Corners::Tread => "clear the sharp corner into the tread face, no deeper than needed",
    }
}

/// What there is to know of layers and doublers.
fn layered(job: &Job) -> Option<String> {
    let (layers, quantity) = (job.cut.sharing.layers, job.cut.quantity);
    let doublers = match job.cut.doublers() {
        0 => String::new(),
        count => format!(" and {count} doublers, one for each outside stringer"),
    };
    if layers > 1 {
        let letters = "layers are cut alike: write its letter on each piece as it comes off, the \
            letters are not in the drawing";
        return Some(format!(
            "The pieces make {quantity} stringers{doublers}, each glued of {layers} layers. The \
            {letters}."
        ));
    }
    (!doublers.is_empty())
        .then(|| format!("The pieces make {quantity} stringers{doublers}, cut alike."))
}

fn cautions(job: &Job, findings: &[Finding]) -> Vec<String> {
    let mut cautions: Vec<String> = CAUTIONS.map(str::to_string).into();
    let unit = match job.cut.machine.units {
        ProgramUnits::Inches => "inches",
        ProgramUnits::Millimetres => "millimetres",
    };
    cautions.insert(
        1,
        format!(
            "The drawings are in {unit}, 1:1: before cutting hold the size of each against the \
            size given here."
        ),
    );
    let with = match job.cut.makes {
        Makes::Pattern(Follow::Pencil { .. }) => "a pencil",
        Makes::Pattern(Follow::Bushing { .. }) => "a bushing",
        _ => "",
    };
    cautions.extend(layered(job));
    if inset(job) > Length::ZERO {
        cautions.push(format!(
            "This pattern will be followed with {with}: agree with the shop that it is cut {} \
            smaller all round than the drawing, or follow it with nothing between its edge and the \
            cut.",
            inset(job)
        ));
    }
    cautions.extend(
        findings.iter().filter(|f| f.severity == Severity::Warning).map(Finding::to_string),
    );
    cautions
}
