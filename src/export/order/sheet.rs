//! What is ordered, part by part: one model for every form of the sheet.

use crate::export::{Stamp, file_report};
use crate::finding::{Finding, PRACTICE, Severity};
use crate::measure::{Board, Corners, Follow, Job, Makes, Outsides};
use crate::outline::Outline;
use crate::profile::ProgramUnits;
use crate::units::{Length, decimal, sixteenths};
use crate::workup::Workup;

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
}

/// The drawing of a part, and the part it must hold.
#[derive(Clone, Debug)]
pub struct OrderDrawing<'a> {
    /// Which part it shows.
    pub part: OrderedPart,
    /// The part itself.
    pub outline: &'a Outline,
    /// The file, by name.
    pub file: (String, Vec<u8>),
}

/// One part of an order.
#[derive(Clone, Debug)]
pub struct OrderLine {
    /// What it is.
    pub part: &'static str,
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
    /// How far an edge may lie from the drawing.
    pub tolerance: Length,
    /// What was compensated in the drawing.
    pub ledger: String,
    /// What is wanted at inside corners.
    pub inside_corners: &'static str,
    /// The holes.
    pub holes: &'static str,
    /// The drawing's name.
    pub file: String,
    /// The unit of its coordinates.
    pub dxf_units: &'static str,
    /// Its digest in hex.
    pub sha256: String,
}

/// An edge may lie off by an inch over this, either way (common practice, no source).
const TOLERANCE_OF_INCH: f64 = 64.0;

/// Printed on every order.
const CAUTIONS: [&str; 3] = [
    "People can be hurt by stairs: local code and licensed practice decide, these figures are advice.",
    "Check the bar in each drawing against a rule before cutting: it tells the units.",
    "Cut one, try it in place at every position, then cut the others.",
];

const SKIRT: &str =
    "The skirt's quantity, material and thickness are not in the job: fill them in, or strike the skirt out.";
const NO_SKIRT: &str = "No skirt is drawn: its first riser would have no height over the finish to come.";

impl OrderSheet {
    /// The order of a worked-up job.
    pub fn of(job: &Job, workup: &Workup, drawings: &[OrderDrawing]) -> OrderSheet {
        let skirt = drawings.iter().find(|drawing| drawing.part == OrderedPart::Skirt);
        let mut cautions = cautions(job, &workup.findings);
        cautions.push(skirt.map_or(NO_SKIRT, |_| SKIRT).to_string());
        OrderSheet {
            title: job.title.clone(),
            tool: Stamp::tool(),
            revision: workup.fingerprint.to_string(),
            lines: drawings.iter().map(|drawing| line(job, drawing)).collect(),
            cautions,
            waivers: workup.findings.iter().filter(|f| f.waived.is_some()).map(Finding::to_string).collect(),
        }
    }
}

fn line(job: &Job, drawing: &OrderDrawing) -> OrderLine {
    let part = drawing.part;
    let (name, bytes) = &drawing.file;
    let contour = drawing.outline.in_board_frame();
    let bounds = contour.bounds();
    let named = match (part, job.cut.makes) {
        (OrderedPart::Stringer, Makes::Stringers) => "stringer",
        (OrderedPart::Stringer, Makes::Pattern(_)) => "stringer pattern",
        (OrderedPart::Skirt, _) => "skirt",
    };
    let made_of = made_of(job, part);
    OrderLine {
        part: named,
        quantity: (part == OrderedPart::Stringer).then(|| job.cut.pieces() as u32),
        thickness: made_of.as_ref().map(|(_, thickness)| *thickness),
        material: made_of.map(|(material, _)| material),
        length: Length::mm(bounds.width()),
        width: Length::mm(bounds.height()),
        area_mm2: contour.area(),
        perimeter: Length::mm(contour.perimeter()),
        tolerance: Length::inches(1.0 / TOLERANCE_OF_INCH),
        ledger: ledger(job, part),
        inside_corners: inside_corners(job.cut.corners),
        holes: "none",
        file: name.clone(),
        dxf_units: match job.cut.machine.units {
            ProgramUnits::Inches => "in",
            ProgramUnits::Millimetres => "mm",
        },
        sha256: file_report(name, bytes).sha256,
    }
}

impl OrderLine {
    /// The tolerance in words.
    pub fn tolerance_words(&self) -> String {
        let mm = decimal(self.tolerance.as_mm(), 1);
        format!("1/{TOLERANCE_OF_INCH} in ({mm} mm) either way on every edge, unless agreed otherwise ({PRACTICE})")
    }
}

/// A pattern is made of what lies on the machine, a stringer of the job's board; of the skirt the job says nothing.
fn made_of(job: &Job, part: OrderedPart) -> Option<(String, Length)> {
    match (part, job.cut.makes) {
        (OrderedPart::Skirt, _) => None,
        (OrderedPart::Stringer, Makes::Stringers) => Some((board(&job.board), job.board.thickness)),
        (OrderedPart::Stringer, Makes::Pattern(_)) => {
            let material = &job.cut.material;
            Some((format!("{}: {}", material.name, material.about), material.thickness))
        }
    }
}

fn board(board: &Board) -> String {
    let size = format!("board {} x {} as measured", sixteenths(board.width), sixteenths(board.thickness));
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
        words.push_str(&format!("; NOT made smaller for what follows the pattern ({inset} all round)"));
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

fn cautions(job: &Job, findings: &[Finding]) -> Vec<String> {
    let mut cautions: Vec<String> = CAUTIONS.map(str::to_string).into();
    let with = match job.cut.makes {
        Makes::Pattern(Follow::Pencil { .. }) => "a pencil",
        Makes::Pattern(Follow::Bushing { .. }) => "a bushing",
        _ => "",
    };
    let (layers, doubled) = (job.cut.sharing.layers, job.cut.sharing.outsides == Outsides::Doubled);
    if layers > 1 || doubled {
        cautions.push(format!(
            "The quantity counts {layers} layer(s) a stringer of {}{}; dowel holes and letters of layers are not in the drawing.",
            job.cut.material.about,
            if doubled { " and a doubler for each outside stringer" } else { "" }
        ));
    }
    if inset(job) > Length::ZERO {
        cautions.push(format!(
            "This pattern will be followed with {with}: agree with the shop that it is cut {} smaller all round than the \
             drawing, or follow it with nothing between its edge and the cut.",
            inset(job)
        ));
    }
    cautions.extend(findings.iter().filter(|f| f.severity == Severity::Warning).map(Finding::to_string));
    cautions
}
