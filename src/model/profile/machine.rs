//! A machine, described by what it can do.

use serde::Deserialize;

use super::heights::{Heights, Park, ParkFile};
use super::hold::Hold;
use super::laser::{BeamPower, Laser, LaserFile};
use super::ranges::*;
use super::reader::{Accel, Len, Rate, Reader};
use super::router::RouterFile;
use super::tool::Tool;
use super::words::{BeamWord, ToolTable, Words, WordsFile};
use crate::diagnostics::Error;
use crate::units::{Length, Tape};

/// The unit of a program's numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum ProgramUnits {
    /// Inches, G20.
    #[serde(rename = "in")]
    Inches,
    /// Millimetres, G21.
    #[serde(rename = "mm")]
    Millimetres,
}

impl ProgramUnits {
    /// The tape that goes with it.
    pub fn tape(self) -> Tape {
        match self {
            Self::Inches => Tape::Inches,
            Self::Millimetres => Tape::Metric,
        }
    }

    /// As it is written.
    pub fn name(self) -> &'static str {
        match self {
            Self::Inches => "in",
            Self::Millimetres => "mm",
        }
    }

    /// Millimetres in one unit.
    pub fn in_mm(self) -> f64 {
        match self {
            Self::Inches => crate::units::MM_PER_INCH,
            Self::Millimetres => 1.0,
        }
    }
}

/// Whether the controller takes G2 and G3.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Arcs {
    /// It does.
    Taken,
    /// It does not: arcs become chords that leave the part by no more than this length.
    Chords(Length),
}

impl Arcs {
    /// How far a way round the outside of a part may reach beyond the arcs that it stands for.
    pub fn overshoot(self) -> Length {
        match self {
            Self::Taken => Length::ZERO,
            Self::Chords(tolerance) => tolerance,
        }
    }
}

/// How a comment is written in a program.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CommentStyle {
    /// `(like this)`
    Parentheses,
    /// `; like this`
    Semicolon,
}

/// What the P word of a dwell counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DwellUnit {
    /// Seconds, as the standard has it.
    Seconds,
    /// Milliseconds.
    Milliseconds,
}

/// Where Z is zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ZZero {
    /// At the top face of the material.
    StockTop,
    /// At its bottom face, on the bed.
    Bed,
}

/// How much wider than its pin a hole is where the profile does not say it, in inches (common
/// practice, no source).
const USUAL_PIN_PLAY_IN: f64 = 0.002;

/// How deep the table is bored for a pin where the profile does not say it, in inches (common
/// practice, no source).
const USUAL_PIN_DEPTH_IN: f64 = 0.5;

/// A machine: lengths in their type, speeds in mm/min, acceleration in mm/s2.
#[derive(Clone, Debug, PartialEq)]
pub struct Machine {
    /// The name it was asked for by.
    pub name: String,
    /// One line about it.
    pub about: String,
    /// How far it travels along X, Y and Z.
    pub travel: [Length; 3],
    /// The unit of its programs, and of the drawings exchange files that go with them.
    pub units: ProgramUnits,
    /// Decimals of a coordinate.
    pub decimals: usize,
    /// Whether it takes arcs.
    pub arcs: Arcs,
    /// How comments are written.
    pub comments: CommentStyle,
    /// Whether a program is framed by `%` lines.
    pub percent_lines: bool,
    /// Whether G91.1 is written, for controllers that may hold arc centres absolute.
    pub says_incremental_centres: bool,
    /// What a dwell counts.
    pub dwell: DwellUnit,
    /// M2 or M30.
    pub end: EndWord,
    /// Where Z is zero.
    pub z_zero: ZZero,
    /// Height above the material's top at which rapids are safe.
    pub safe_height: Length,
    /// Height above the material's top of long travels, and of the first and the last; `None`: the
    /// safe height.
    pub clear_height: Option<Length>,
    /// Where the tool goes at the end; `None`: to X0 Y0.
    pub park: Option<Park>,
    /// How much wider than its pin a hole comes out, where the stock is shifted on pins; `None`: as
    /// is usual.
    pub pin_play: Option<Length>,
    /// How deep the spoil board on the table is bored for a pin; `None`: as is usual.
    pub pin_depth: Option<Length>,
    /// Rapid speed along X and Y in mm/min.
    pub rapid_mm_min: f64,
    /// Rapid speed along Z in mm/min; no motion goes up or down faster.
    pub rapid_z_mm_min: f64,
    /// The fastest feed in mm/min.
    pub max_feed_mm_min: f64,
    /// Acceleration along X and Y in mm/s2.
    pub acceleration_mm_s2: f64,
    /// Acceleration along Z in mm/s2.
    pub acceleration_z_mm_s2: f64,
    /// Whether its table holds sheets by vacuum, so that a job may do without tabs.
    pub vacuum: bool,
    /// How far a corner may be cut by the motion control, for the time estimate.
    pub corner_slack: Length,
    /// What else a program's words are.
    pub words: Words,
    /// The tool.
    pub tool: Tool,
}

/// Which word ends a program.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum EndWord {
    /// Ends the program.
    M2,
    /// Ends and rewinds it.
    M30,
}

impl Machine {
    /// Half the width of what the tool takes away: the cutter's radius or half the kerf.
    pub fn tool_radius(&self) -> Length {
        self.tool.width() / 2.0
    }

    /// Height of rapids over the material's top; zero of a tool that does not go up and down.
    pub fn rapid_height(&self) -> Length {
        if self.tool.lifts() { self.safe_height } else { Length::ZERO }
    }

    /// Height of the first, the last and all long travels over the material's top; zero of a tool
    /// that does not go up and down.
    pub fn travel_height(&self) -> Length {
        if self.tool.lifts() { self.clear_height.unwrap_or(self.safe_height) } else { Length::ZERO }
    }

    /// Where the tool goes at the end, from X0 Y0 on.
    pub fn parks_at(&self) -> [Length; 2] {
        self.park.map_or([Length::ZERO; 2], |park| [park.x, park.y])
    }

    /// How high over the material's top the tool stands at the end; zero of a tool that does not go
    /// up and down.
    pub fn park_height(&self) -> Length {
        self.park.and_then(|park| park.z).unwrap_or_else(|| self.travel_height())
    }

    /// How much wider than its pin a hole is.
    pub fn pin_play(&self) -> Length {
        self.pin_play.unwrap_or(Length::inches(USUAL_PIN_PLAY_IN))
    }

    /// How deep the spoil board on the table is bored for a pin: as usual no deeper than the cutter
    /// is long.
    pub fn pin_depth(&self) -> Length {
        let usual = Length::inches(USUAL_PIN_DEPTH_IN);
        let longest = self.tool.cutter().map_or(usual, |cutter| cutter.flute_length);
        self.pin_depth.unwrap_or(usual.min(longest))
    }

    /// The same machine where a job holds its pieces otherwise; a beam holds none.
    pub fn holding(self, hold: Hold) -> Self {
        Self { tool: self.tool.holding(hold), ..self }
    }

    /// The same machine with its roughing cutter in the spindle, if it has one: it marks nothing
    /// and leaves its allowance beside the line.
    pub fn roughing(&self) -> Option<Self> {
        let tool = self.tool.roughing()?;
        let words =
            Words { tools: self.words.tools.and_then(ToolTable::roughing), ..self.words.clone() };
        Some(Self { tool, words, ..self.clone() })
    }

    /// The same machine without its roughing cutter.
    pub fn without_roughing(self) -> Self {
        Self { tool: self.tool.without_roughing(), ..self }
    }

    /// The same machine as it cuts a thickness: a beam by its table, a cutter as it is.
    pub fn cutting(self, thickness: Length) -> Self {
        Self { tool: self.tool.cutting(thickness), ..self }
    }

    /// The word that lights the beam of a laser as its profile drives it.
    pub fn beam_word(&self, laser: &Laser) -> BeamWord {
        match laser.power {
            BeamPower::Steady => self.words.beam_steady,
            BeamPower::FollowsSpeed => self.words.beam_follows,
        }
    }

    /// Reads a machine profile.
    ///
    /// # Errors
    /// With the place in `file`, what was found, what is allowed and what to type.
    pub fn read(name: &str, file: &str, text: &str) -> Result<Self, Error> {
        let reader = Reader::new(file, text);
        let raw: MachineFile = reader.parse_profile("machine", "machine profile")?;
        let tool = Tool::resolved(raw.router.as_ref(), raw.laser.as_ref(), &reader)?;
        let words = match &raw.program {
            Some(program) => program.resolved(&reader, raw.chord_tolerance.is_some())?,
            None => Words::default(),
        };
        if let Some(program) = &raw.program {
            tool.check_idle(program, &reader)?;
        }
        tool.check_words(&words, &reader)?;
        let travel = [
            reader.length_in("travel.x", &raw.travel.x, TRAVEL)?,
            reader.length_in("travel.y", &raw.travel.y, TRAVEL)?,
            reader.length_in("travel.z", &raw.travel.z, TRAVEL)?,
        ];
        let safe = reader.length_in("safe_height", &raw.safe_height, SAFE_HEIGHT)?;
        let heights = Heights { reader: &reader, travel, safe, lifts: tool.lifts() };
        raw.check_idle(&tool, &reader)?;
        let rapid_mm_min = reader.rate_in("rapid", &raw.rapid, SPEED)?;
        let acceleration_mm_s2 =
            reader.acceleration_in("acceleration", &raw.acceleration, ACCELERATION)?;
        Ok(Self {
            name: name.to_string(),
            about: raw.about,
            travel,
            units: raw.units,
            decimals: reader.number(
                "decimals",
                raw.decimals.into_inner() as f64,
                fewest_decimals(raw.units),
                6.0,
            )? as usize,
            arcs: match &raw.chord_tolerance {
                None => Arcs::Taken,
                Some(raw) => {
                    Arcs::Chords(reader.length_in("chord_tolerance", raw, CHORD_TOLERANCE)?)
                }
            },
            comments: raw.comments,
            percent_lines: raw.percent_lines,
            says_incremental_centres: raw.says_incremental_centres,
            dwell: raw.dwell,
            end: raw.end,
            z_zero: raw.z_zero,
            safe_height: safe,
            clear_height: heights.clear(raw.clear_height.as_ref())?,
            park: heights.park(raw.park.as_ref(), &words)?,
            pin_play: heights.pin_play(raw.pin_play.as_ref())?,
            pin_depth: heights.pin_depth(raw.pin_depth.as_ref(), &tool)?,
            rapid_mm_min,
            rapid_z_mm_min: match &raw.rapid_z {
                Some(rate) => reader.rate_in("rapid_z", rate, SPEED)?,
                None => rapid_mm_min,
            },
            max_feed_mm_min: reader.rate_in("max_feed", &raw.max_feed, SPEED)?,
            acceleration_mm_s2,
            acceleration_z_mm_s2: match &raw.acceleration_z {
                Some(along_z) => reader.acceleration_in("acceleration_z", along_z, ACCELERATION)?,
                None => acceleration_mm_s2,
            },
            corner_slack: reader.length_in("corner_slack", &raw.corner_slack, CORNER_SLACK)?,
            vacuum: raw.vacuum.unwrap_or(false),
            words,
            tool,
        })
    }
}

/// Four decimals in inch and three in mm hold a micrometre or two.
fn fewest_decimals(units: ProgramUnits) -> f64 {
    match units {
        ProgramUnits::Inches => 4.0,
        ProgramUnits::Millimetres => 3.0,
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MachineFile {
    #[serde(rename = "kind")]
    _kind: String,
    about: String,
    travel: Travel,
    units: ProgramUnits,
    decimals: toml::Spanned<u32>,
    chord_tolerance: Option<Len>,
    comments: CommentStyle,
    #[serde(default)]
    percent_lines: bool,
    #[serde(default)]
    says_incremental_centres: bool,
    dwell: DwellUnit,
    end: EndWord,
    z_zero: ZZero,
    safe_height: Len,
    clear_height: Option<Len>,
    park: Option<ParkFile>,
    pin_play: Option<Len>,
    pin_depth: Option<Len>,
    rapid: Rate,
    rapid_z: Option<Rate>,
    max_feed: Rate,
    acceleration: Accel,
    acceleration_z: Option<Accel>,
    corner_slack: Len,
    vacuum: Option<bool>,
    program: Option<WordsFile>,
    router: Option<RouterFile>,
    laser: Option<LaserFile>,
}

impl MachineFile {
    /// What is said of Z and of what holds does something on this machine.
    fn check_idle(&self, tool: &Tool, reader: &Reader<'_>) -> Result<(), Error> {
        let given = [
            self.rapid_z.is_some().then_some("rapid_z"),
            self.acceleration_z.is_some().then_some("acceleration_z"),
            self.vacuum.is_some().then_some("vacuum"),
        ];
        match given.into_iter().flatten().next() {
            Some(key) if !tool.lifts() => Err(reader
                .error(
                    &format!(
                        "{key} does nothing beside [laser]: a beam is not lifted and does not push"
                    ),
                    &format!("{key} beside [laser]"),
                    &format!("the profile without {key}"),
                )
                .allowed(format!("{key} in the profile of a machine with [router]"))),
            _ => Ok(()),
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Travel {
    x: Len,
    y: Len,
    z: Len,
}
