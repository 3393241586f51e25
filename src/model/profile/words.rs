//! How a controller wants its program: everything that changes the file and not the part. Words of
//! RS-274/NGC (NISTIR 6556) and ISO 6983-1.

use serde::Deserialize;

use super::ranges::{BLEND, LINE_STEP, TOOL_NUMBER};
use super::reader::{Len, Reader};
use crate::diagnostics::Error;
use crate::units::Length;

/// How a program says over which place the operator brings the tool before it starts, behind it X
/// and Y as its motion has them: its first way across begins there.
pub const TOOL_OVER: &str = "TOOL OVER";

/// The words that differ from one controller to another.
#[derive(Clone, Debug, PartialEq)]
pub struct Words {
    /// What the file's name ends in, without the dot.
    pub extension: String,
    /// The step of the N words, where the lines have numbers.
    pub line_step: Option<u32>,
    /// How a line ends.
    pub line_ends: LineEnds,
    /// How an arc is written.
    pub arc_centres: ArcCentres,
    /// Whether an arc may go down while it turns.
    pub helices: bool,
    /// How the path is followed at corners, where the program says it.
    pub path: Option<PathControl>,
    /// The work offset, 54 to 59.
    pub work_offset: u8,
    /// What is switched on while the tool runs: dust collection, air at the beam.
    pub air: Option<AirWord>,
    /// The tools in the changer, where the program calls them.
    pub tools: Option<ToolTable>,
    /// Whether the tool goes up to the top of the machine's Z, in its own coordinates, at the end.
    pub machine_top: bool,
    /// The word of a beam whose power stays the same.
    pub beam_steady: BeamWord,
    /// The word of a beam whose power follows the speed.
    pub beam_follows: BeamWord,
}

impl Words {
    /// How far the control may leave the path that it is told, in mm.
    pub fn blend_mm(&self) -> f64 {
        match self.path {
            Some(PathControl::Blend(most)) => most.as_mm(),
            Some(PathControl::Exact) | None => 0.0,
        }
    }
}

impl Default for Words {
    fn default() -> Self {
        Self {
            extension: "nc".to_string(),
            line_step: None,
            line_ends: LineEnds::Lf,
            arc_centres: ArcCentres::FromStart,
            helices: false,
            path: None,
            work_offset: 54,
            air: None,
            tools: None,
            machine_top: false,
            beam_steady: BeamWord::M3,
            beam_follows: BeamWord::M4,
        }
    }
}

/// How a line ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LineEnds {
    /// A line feed.
    Lf,
    /// A carriage return and a line feed.
    #[serde(rename = "crlf")]
    CrLf,
}

/// How an arc is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ArcCentres {
    /// I and J from the arc's start.
    FromStart,
    /// I and J as places; the program says G90.1.
    Absolute,
    /// R instead of a centre: no arc of more than half a turn.
    Radius,
}

/// How the path is followed at corners.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PathControl {
    /// To the point: G61.
    Exact,
    /// Rounded by this at most: G64 P.
    Blend(Length),
}

/// A word that switches something on beside the tool; M9 switches it off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum AirWord {
    /// The first outlet.
    M7,
    /// The second.
    M8,
}

impl AirWord {
    /// As it is written.
    pub fn name(self) -> &'static str {
        match self {
            Self::M7 => "M7",
            Self::M8 => "M8",
        }
    }
}

/// The tools of a changer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ToolTable {
    /// The number of the cutter.
    pub cutter: u32,
    /// The number of the pointed cutter that marks.
    pub pointed: Option<u32>,
    /// The number of the roughing cutter.
    pub rough: Option<u32>,
    /// Whether its length is taken from the control's table: G43 H.
    pub length: bool,
}

impl ToolTable {
    /// The number of the tool that cuts, or of the pointed one that marks where there is one.
    pub fn number(self, marks: bool) -> Option<u32> {
        if marks { self.pointed } else { Some(self.cutter) }
    }

    /// The table of the programs that rough: their cutter is the roughing one.
    pub(super) fn roughing(self) -> Option<Self> {
        Some(Self { cutter: self.rough?, pointed: None, rough: None, ..self })
    }
}

/// Which word lights the beam.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum BeamWord {
    /// The word that also turns a spindle clockwise.
    M3,
    /// The word that also turns a spindle counterclockwise.
    M4,
}

/// The table `[program]` of a machine profile; every key may be left out.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct WordsFile {
    extension: Option<toml::Spanned<String>>,
    line_numbers: Option<u32>,
    line_ends: Option<LineEnds>,
    arc_centres: Option<ArcCentres>,
    helices: Option<bool>,
    path: Option<PathFile>,
    path_blend: Option<Len>,
    work_offset: Option<toml::Spanned<String>>,
    air: Option<AirWord>,
    tools: Option<ToolsFile>,
    machine_top: Option<bool>,
    beam: Option<BeamFile>,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum PathFile {
    Exact,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ToolsFile {
    cutter: u32,
    pointed: Option<u32>,
    rough: Option<u32>,
    #[serde(default)]
    length: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BeamFile {
    steady: BeamWord,
    follows_speed: BeamWord,
}

impl WordsFile {
    /// `takes_no_arcs`: whether the profile gives a chord tolerance.
    pub(super) fn resolved(
        &self,
        reader: &Reader<'_>,
        takes_no_arcs: bool,
    ) -> Result<Words, Error> {
        let arcs = self.helices == Some(true) || self.arc_centres.is_some();
        if takes_no_arcs && arcs {
            return Err(reader.error(
                "[program] says how arcs are written, and chord_tolerance that none are",
                "chord_tolerance beside helices or arc_centres",
                "chord_tolerance for a control without arcs, the others for one with arcs",
            ));
        }
        let usual = Words::default();
        let beam = self.beam.as_ref();
        if beam.is_some_and(|beam| beam.steady == beam.follows_speed) {
            return Err(reader.error(
                "[program] beam: one word cannot mean two things",
                "the same word twice",
                "steady = \"M3\", follows_speed = \"M4\", or the other way round",
            ));
        }
        Ok(Words {
            extension: self.extension(reader)?.unwrap_or(usual.extension),
            line_step: self
                .line_numbers
                .map(|step| {
                    let (least, most) = LINE_STEP;
                    reader.number("program.line_numbers", f64::from(step), least, most)
                })
                .transpose()?
                .map(|step| step as u32),
            line_ends: self.line_ends.unwrap_or(usual.line_ends),
            arc_centres: self.arc_centres.unwrap_or(usual.arc_centres),
            helices: self.helices.unwrap_or(usual.helices),
            path: self.path(reader)?,
            work_offset: self.work_offset(reader)?.unwrap_or(usual.work_offset),
            air: self.air,
            tools: self.tools(reader)?,
            machine_top: self.machine_top.unwrap_or(usual.machine_top),
            beam_steady: beam.map_or(usual.beam_steady, |beam| beam.steady),
            beam_follows: beam.map_or(usual.beam_follows, |beam| beam.follows_speed),
        })
    }

    fn path(&self, reader: &Reader<'_>) -> Result<Option<PathControl>, Error> {
        match (self.path, &self.path_blend) {
            (None, None) => Ok(None),
            (Some(PathFile::Exact), None) => Ok(Some(PathControl::Exact)),
            (None, Some(blend)) => {
                let most = reader.length_in("program.path_blend", blend, BLEND)?;
                Ok(Some(PathControl::Blend(most)))
            }
            (Some(PathFile::Exact), Some(_)) => Err(reader.error(
                "[program] follows the path to the point and rounds it",
                "path = \"exact\" beside path_blend",
                "one of the two",
            )),
        }
    }

    /// Letters and digits, eight at most: what every control's file list shows.
    fn extension(&self, reader: &Reader<'_>) -> Result<Option<String>, Error> {
        let Some(raw) = &self.extension else { return Ok(None) };
        let text = raw.get_ref();
        let right = (1..=8).contains(&text.len())
            && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
            && !TAKEN.contains(&text.as_str());
        if right {
            return Ok(Some(text.clone()));
        }
        let allowed = "1 to 8 small letters and digits, such as nc, ngc, tap; not what other files \
            of a set end in (dxf, svg, html, pdf, json, txt, csv, toml)";
        Err(reader.out_of_range("program.extension", raw.span(), text, allowed))
    }

    /// Spelled as it is written, and no other way: a sign or a zero more is another word.
    fn work_offset(&self, reader: &Reader<'_>) -> Result<Option<u8>, Error> {
        let Some(raw) = &self.work_offset else { return Ok(None) };
        let named = (54..=59).find(|number| *raw.get_ref() == format!("G{number}"));
        named.map(Some).ok_or_else(|| {
            let allowed = "\"G54\" to \"G59\"";
            reader.out_of_range("program.work_offset", raw.span(), raw.get_ref(), allowed)
        })
    }

    /// The numbers of a changer: two tools under one number are one tool to it.
    fn tools(&self, reader: &Reader<'_>) -> Result<Option<ToolTable>, Error> {
        let Some(tools) = &self.tools else { return Ok(None) };
        let number = |key: &str, value: u32| {
            Ok::<u32, Error>(
                reader.number(key, f64::from(value), TOOL_NUMBER.0, TOOL_NUMBER.1)? as u32
            )
        };
        let cutter = number("program.tools.cutter", tools.cutter)?;
        let pointed =
            tools.pointed.map(|pointed| number("program.tools.pointed", pointed)).transpose()?;
        let rough = tools.rough.map(|rough| number("program.tools.rough", rough)).transpose()?;
        let all = [("cutter", Some(cutter)), ("pointed", pointed), ("rough", rough)];
        let same = |(i, (a, number)): (usize, &(&'static str, Option<u32>))| {
            let other = all[i + 1..].iter().find(|(_, other)| number.is_some() && other == number);
            other.map(|(b, _)| (*a, *b, number.unwrap_or_default()))
        };
        if let Some((a, b, number)) = all.iter().enumerate().find_map(same) {
            return Err(reader
                .error(
                    &format!("program.tools.{a} and program.tools.{b} are the same tool"),
                    &format!("tools = {{ {a} = {number}, {b} = {number} }}"),
                    &format!(
                        "tools = {{ {a} = 1, {b} = 2 }}, the numbers of their places in the changer"
                    ),
                )
                .allowed("each its own number, 1 to 999"));
        }
        Ok(Some(ToolTable { cutter, pointed, rough, length: tools.length }))
    }

    /// The keys that are given and do nothing beside a router, and beside a laser.
    pub(super) fn idle(&self) -> ([Option<&'static str>; 1], [Option<&'static str>; 3]) {
        let given = |is: bool, key: &'static str| is.then_some(key);
        (
            [given(self.beam.is_some(), "beam")],
            [
                given(self.tools.is_some(), "tools"),
                given(self.helices.is_some(), "helices"),
                given(self.machine_top.is_some(), "machine_top"),
            ],
        )
    }
}

/// What the other files of a set end in.
const TAKEN: [&str; 8] = ["dxf", "svg", "html", "pdf", "json", "txt", "csv", "toml"];
