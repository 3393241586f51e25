//! The report: all that was solved, found, planned and proven, as JSON of the schema
//! `seatcut.report/1`.

#![allow(missing_docs, reason = "the names are the report's own and carry their units")]

pub use super::program_report::{
    HoleReport, LedgerReport, MarksReport, PlacementReport, ProgramReport, RapidReport,
    SetUpReport, StockReport, TabReport,
};
use serde::{Deserialize, Serialize, Serializer, ser::SerializeMap};

use super::around_report::AroundReport;
use super::cost_report::CostReport;
use super::drawing::Paper;
use super::dxf::DxfVersion;
use super::judged_report::JudgedReport;
use super::report_build::file_report;
use super::set_report::{BoardsReport, NestReport, SheetReport};
use super::steps_report::StairPiecesReport;
use super::whole_report::OpeningReport;
use crate::diagnostics::Finding;
use crate::diagnostics::visible::is_hidden;
use crate::job::{Fingerprint, Job, OrderHead};
use crate::pipeline::numbers::Number;
use crate::pipeline::set::{Asked, OrderFacts};

/// The whole report. Key order is stable: it is the order of the fields.
#[derive(Clone, Debug, Serialize)]
pub struct Report {
    /// Name and version of the schema.
    pub schema: &'static str,
    /// Name and version of this program.
    pub tool: &'static str,
    /// What job it is about.
    pub job: JobReport,
    /// The figures of the flight.
    pub flight: FlightReport,
    /// Every feasible riser count.
    pub choices: Vec<ChoiceReport>,
    /// The finished part; none where the flight has no stringer.
    pub outline: Option<OutlineReport>,
    /// What the job asks beyond the stringer: a key each.
    #[serde(flatten)]
    pub around: AroundReport,
    /// The clear height under the floor that the flight goes up through.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub opening: Option<OpeningReport>,
    /// Treads, riser boards and skirts, posts and balusters: a key each.
    #[serde(flatten)]
    pub stair: StairPiecesReport,
    /// Everything there is to say.
    pub findings: Vec<Finding>,
    /// How well sheets are used, where pieces share them.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub nests: Vec<NestReport>,
    /// How each sheet lies.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sheets: Vec<SheetReport>,
    /// The boards to buy, where several pieces are sawn from boards.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub boards: Vec<BoardsReport>,
    /// What it costs, where it is cut from a rack with prices.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cost: Option<CostReport>,
    /// How long the machines run for all of it, frames included.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub machine_time_s: Option<f64>,
    /// The programs.
    pub programs: Vec<ProgramReport>,
    /// Of `verify`: each file that was held against the job, and what came of it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub judged: Vec<JudgedReport>,
    /// What the files are made of.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub asked: Option<AskedReport>,
    /// The files written.
    pub files: Vec<FileReport>,
    /// The seal of a report that is a file itself; see [`seal_holds`].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub digest: Option<&'static str>,
}

/// Name and version of the report's schema.
pub const SCHEMA: &str = "seatcut.report/1";

/// What job a report is about.
#[derive(Clone, Debug, Serialize)]
pub struct JobReport {
    /// The job's title.
    pub title: String,
    /// 16 hex digits.
    pub fingerprint: String,
    /// What it is cut from; none where it is laid out by hand.
    pub material: Option<String>,
}

impl JobReport {
    /// A job and its fingerprint.
    pub fn of(job: &Job, fingerprint: &Fingerprint) -> Self {
        Self {
            title: job.title.clone(),
            fingerprint: fingerprint.to_string(),
            material: (!job.by_hand).then(|| job.cut.material.name.clone()),
        }
    }
}

/// What a set is made of: where the same is asked of the same version, the files are the same.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct AskedReport {
    pub jobs: Vec<AskedJob>,
    pub effort: u32,
    pub dxf: String,
    /// The paper of the drawings; none where it goes with the tape.
    pub paper: Option<String>,
    /// Whose each of the jobs is.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub orders: Vec<OrderHead>,
    /// The stock file, in 16 hex digits.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stock: Option<String>,
}

/// One job as it was read, in 16 hex digits, and how many times its own quantity is made.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct AskedJob {
    pub as_read: String,
    pub times: usize,
}

impl AskedReport {
    /// What is asked of a set, and of its files.
    pub fn of(asked: &Asked, (dxf, paper): (DxfVersion, Option<Paper>)) -> Self {
        let job = |(as_read, times): &(Fingerprint, usize)| AskedJob {
            as_read: as_read.to_string(),
            times: *times,
        };
        let said = asked.order.iter().filter(|order| order.says_anything());
        Self {
            jobs: asked.jobs.iter().map(job).collect(),
            effort: asked.effort,
            dxf: dxf.name().to_string(),
            paper: paper.map(|paper| paper.name().to_string()),
            orders: said.flat_map(OrderFacts::lines).cloned().collect(),
            stock: asked.rack.as_ref().map(ToString::to_string),
        }
    }
}

/// The figures of a flight, in mm and degrees: the layout numbers under [`FLIGHT_KEYS`], in that
/// order.
#[derive(Clone, Debug)]
pub struct FlightReport {
    /// All layout numbers.
    pub numbers: Vec<Number>,
    /// The height of every finished riser.
    pub finished_risers_mm: Vec<f64>,
}

/// The layout numbers that the schema has.
pub const FLIGHT_KEYS: [&str; 18] = [
    "risers",
    "treads",
    "total_rise_mm",
    "unit_rise_mm",
    "unit_run_mm",
    "tread_finish_mm",
    "total_run_mm",
    "pitch_deg",
    "first_riser_cut_mm",
    "drop_mm",
    "hang_line_mm",
    "head_cut_x_mm",
    "throat_mm",
    "throat_cut_mm",
    "blank_length_mm",
    "seat_length_mm",
    "head_cut_length_mm",
    "contact_height_mm",
];

impl Serialize for FlightReport {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(None)?;
        for key in FLIGHT_KEYS {
            let value = self
                .numbers
                .iter()
                .find(|number| number.key == key)
                .and_then(|number| number.value.as_ref());
            map.serialize_entry(key, &value)?;
        }
        map.serialize_entry("finished_risers_mm", &self.finished_risers_mm)?;
        map.end()
    }
}

/// One riser count.
#[derive(Clone, Debug, Serialize)]
pub struct ChoiceReport {
    pub risers: usize,
    pub unit_rise_mm: f64,
    pub unit_run_mm: f64,
    pub pitch_deg: f64,
    pub throat_mm: f64,
    pub blank_length_mm: Option<f64>,
    pub chosen: bool,
    pub reason: Option<String>,
    pub findings: Vec<&'static str>,
}

/// The finished part in the elevation frame, counter-clockwise, first vertex not repeated.
#[derive(Clone, Debug, Serialize)]
pub struct OutlineReport {
    pub vertices_mm: Vec<[f64; 2]>,
    pub roles: Vec<String>,
    /// The pockets of a housed stringer; its frame runs toward the lower floor where its hand is
    /// the right one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub housed: Option<HousedReport>,
    /// The cleats of a solid stringer, in the frame of its outline.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cleated: Option<CleatedReport>,
}

/// The cleats of a solid stringer; its frame runs toward the lower floor where its hand is the
/// right one.
#[derive(Clone, Debug, Serialize)]
pub struct CleatedReport {
    pub hand: &'static str,
    /// A cleat or a steel angle.
    pub with: &'static str,
    pub height_mm: f64,
    pub stands_out_mm: f64,
    pub hole_mm: f64,
    /// Whether the holes are drilled, marked or left to the bench.
    pub holes: &'static str,
    pub cleats: Vec<CleatReport>,
}

/// One cleat: the corners of its side on the board, front and back of its underside first, and the
/// middles of its holes.
#[derive(Clone, Debug, Serialize)]
pub struct CleatReport {
    pub tread: usize,
    pub corners_mm: [[f64; 2]; 4],
    pub holes_mm: Vec<[f64; 2]>,
    /// Where its line meets the upper edge, along the board from the toe end of the blank.
    pub along_mm: f64,
    /// From there along its line to its front.
    pub front_mm: f64,
}

/// The pockets of a housed stringer, in the frame of its outline.
#[derive(Clone, Debug, Serialize)]
pub struct HousedReport {
    pub hand: &'static str,
    pub pockets: Vec<PocketReport>,
}

/// One pocket, its corners sharp, counter-clockwise.
#[derive(Clone, Debug, Serialize)]
pub struct PocketReport {
    pub depth_mm: f64,
    pub vertices_mm: Vec<[f64; 2]>,
    pub roles: Vec<String>,
}

/// The proof's figures; `marks` is the number of strokes in place and depth, `pockets` that of
/// pockets as declared.
#[derive(Clone, Debug, Serialize)]
pub struct VerifiedReport {
    pub gouge_mm: f64,
    pub left_mm: f64,
    pub boundary_uncut_mm: f64,
    pub marks: usize,
    #[serde(skip_serializing_if = "is_zero")]
    pub pockets: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub holding: Option<HoldingReport>,
}

/// What hangs together when a program has run: of several set-ups at the end of the last, or of the
/// first in which something is held by nothing.
#[derive(Clone, Debug, Serialize)]
pub struct HoldingReport {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub setup: Option<usize>,
    pub least_web_mm: f64,
    pub coin_mm2: f64,
    pub held_by: &'static str,
    pub pieces: Vec<HeldReport>,
    pub components: Vec<ComponentReport>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub by_thin_wood: Vec<ComponentReport>,
}

/// Whether a piece hangs on what holds the stock.
#[derive(Clone, Debug, Serialize)]
pub struct HeldReport {
    pub name: String,
    pub held: bool,
}

/// A stretch of the stock that hangs together: its area to about a hundredth, its box (x, y, x, y)
/// to a millimetre.
#[derive(Clone, Debug, Serialize)]
pub struct ComponentReport {
    pub area_mm2: f64,
    pub box_mm: [f64; 4],
    pub held: bool,
}

fn is_zero(count: &usize) -> bool {
    *count == 0
}

/// One file of the set.
#[derive(Clone, Debug, Serialize)]
pub struct FileReport {
    pub name: String,
    pub bytes: usize,
    pub sha256: String,
}

impl Report {
    /// The report as indented JSON with a newline at its end.
    pub fn to_json(&self) -> String {
        json(self)
    }
}

/// A report as indented JSON with a newline at its end. What does not print is spelled as JSON
/// spells it, so that the text can be shown anywhere.
pub(in crate::output) fn json(report: &impl Serialize) -> String {
    let mut text = serde_json::to_string_pretty(report)
        .expect("plain types with names for keys are always written");
    text.push('\n');
    // Beyond the line feeds between keys, such characters stand in strings only.
    let spelled = |c: char| c != '\n' && is_hidden(c);
    if !text.is_ascii() || text.contains(|c: char| c != '\n' && c.is_ascii_control()) {
        text = text
            .chars()
            .map(|c| if spelled(c) { json_spelled(c) } else { c.to_string() })
            .collect();
    }
    sealed(text)
}

/// The seal of a report that is yet to be sealed: as many zeros as a digest has digits.
pub const UNSEALED: &str = "0000000000000000000000000000000000000000000000000000000000000000";

/// Where a sealed report ends before its seal, and behind it.
const BEFORE_SEAL: &str = "\"digest\": \"";
const BEHIND_SEAL: &str = "\"\n}\n";

/// A report whose last key is its seal: what stands before the seal, and the seal.
fn parted(text: &str) -> Option<(&str, &str)> {
    let text = text.strip_suffix(BEHIND_SEAL)?;
    let (before, seal) = text.split_at_checked(text.len().checked_sub(UNSEALED.len())?)?;
    before.ends_with(BEFORE_SEAL).then_some((before, seal))
}

fn sealed(text: String) -> String {
    match parted(&text) {
        Some((before, UNSEALED)) => {
            format!("{before}{}{BEHIND_SEAL}", file_report("", text.as_bytes()).sha256)
        }
        _ => text,
    }
}

/// The version that wrote a report, and what it is made of; none where it does not say.
pub fn asked_of(report: &str) -> Option<(String, AskedReport)> {
    #[derive(Deserialize)]
    struct Read {
        tool: String,
        asked: AskedReport,
    }
    let read: Read = serde_json::from_str(report).ok()?;
    Some((read.tool, read.asked))
}

/// Whether a report is still as it was written: its last key, `digest`, is the SHA-256 of the file
/// with 64 zeros in its place. One without such a key was never sealed, or is written anew by
/// another program.
pub fn seal_holds(text: &str) -> bool {
    parted(text).is_some_and(|(before, seal)| {
        let unsealed = format!("{before}{UNSEALED}{BEHIND_SEAL}");
        file_report("", unsealed.as_bytes()).sha256 == seal
    })
}

fn json_spelled(c: char) -> String {
    c.encode_utf16(&mut [0; 2]).iter().map(|unit| format!("\\u{unit:04x}")).collect()
}
