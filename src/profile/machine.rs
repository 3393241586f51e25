//! A machine, described by what it can do.

use serde::Deserialize;

use super::reader::{Accel, Len, Rate, Reader};
use crate::error::Error;
use crate::units::Length;

/// What the tool is: everything that differs between a cutter and a beam.
#[derive(Clone, Debug)]
pub enum Tool {
    /// A rotating cutter.
    Router(Router),
    /// A beam.
    Laser(Laser),
}

/// A rotating cutter and how it may be driven.
#[derive(Clone, Debug)]
pub struct Router {
    /// Diameter of the cutter.
    pub cutter: Length,
    /// How deep the cutter can cut.
    pub flute_length: Length,
    /// Number of cutting edges.
    pub flutes: u32,
    /// Spindle speed in revolutions a minute.
    pub speed_rpm: f64,
    /// The fastest the spindle turns, in revolutions a minute.
    pub max_speed_rpm: f64,
    /// Thickness of the chip that one cutting edge takes.
    pub chip_load: Length,
    /// The deepest single pass.
    pub pass_depth: Length,
    /// Angle at which the cutter is let down while it moves, in degrees.
    pub ramp_deg: f64,
    /// How far the last pass goes below the material.
    pub cut_through: Length,
    /// How long the spindle is given to reach its speed, in seconds.
    pub spin_up_s: f64,
    /// The pointed cutter for marks, if there is one.
    pub mark: Option<MarkTool>,
}

/// A pointed cutter and the stroke it leaves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MarkTool {
    /// Width of the stroke.
    pub width: Length,
    /// Depth of the stroke.
    pub depth: Length,
}

impl Router {
    /// The feed in mm/min: speed x cutting edges x chip load (the chip-load formula).
    pub fn feed_mm_min(&self) -> f64 {
        self.speed_rpm * f64::from(self.flutes) * self.chip_load.as_mm()
    }
}

/// A beam and how it may be driven.
#[derive(Clone, Debug)]
pub struct Laser {
    /// Full width of what the beam takes away.
    pub kerf: Length,
    /// Cutting feed in mm/min.
    pub feed_mm_min: f64,
    /// The S word of full power.
    pub power: f64,
    /// M3 (constant) or M4 (power follows the speed).
    pub beam_on: BeamWord,
    /// Feed along the lead-in, in mm/min: slow enough to pierce while moving, for the beam never stands still.
    pub pierce_feed_mm_min: f64,
    /// Distance of the pierce from the part's edge, and radius of the lead-in.
    pub lead: Length,
    /// The thickest material it cuts in one pass.
    pub max_thickness: Length,
    /// Share of full power that scores a mark and does not cut.
    pub mark_power: f64,
}

/// The share of full power that scores, where a profile does not say (common practice, no source).
const USUAL_MARK_POWER: f64 = 0.15;
/// The width of a stroke on a drawing for a machine without a pointed cutter, in inches.
const USUAL_STROKE_IN: f64 = 1.0 / 32.0;

/// Which word lights the beam.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum BeamWord {
    /// Constant power.
    M3,
    /// Power that follows the speed.
    M4,
}

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
    /// Millimetres in one unit.
    pub fn in_mm(self) -> f64 {
        match self {
            ProgramUnits::Inches => crate::units::MM_PER_INCH,
            ProgramUnits::Millimetres => 1.0,
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

/// A machine: lengths in their type, speeds in mm/min, acceleration in mm/s2.
#[derive(Clone, Debug)]
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
    /// Rapid speed in mm/min.
    pub rapid_mm_min: f64,
    /// The fastest feed in mm/min.
    pub max_feed_mm_min: f64,
    /// Acceleration in mm/s2.
    pub acceleration_mm_s2: f64,
    /// How far a corner may be cut by the motion control, for the time estimate.
    pub junction_deviation: Length,
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
        match &self.tool {
            Tool::Router(router) => router.cutter / 2.0,
            Tool::Laser(laser) => laser.kerf / 2.0,
        }
    }

    /// Width of the strokes that marks are made of: the pointed cutter's, or the kerf.
    pub fn stroke_width(&self) -> Length {
        match &self.tool {
            Tool::Router(router) => router.mark.map_or(Length::inches(USUAL_STROKE_IN), |mark| mark.width),
            Tool::Laser(laser) => laser.kerf,
        }
    }

    /// Reads a machine profile.
    ///
    /// # Errors
    /// With the place in `file`, what was found, what is allowed and what to type.
    pub fn read(name: &str, file: &str, text: &str) -> Result<Machine, Error> {
        let reader = Reader::new(file, text);
        let raw: MachineFile = reader.parse("machine")?;
        let tool = match (&raw.router, &raw.laser) {
            (Some(router), None) => Tool::Router(router.resolved(&reader)?),
            (None, Some(laser)) => Tool::Laser(laser.resolved(&reader)?),
            _ => {
                return Err(reader.error(
                    "a machine has one tool",
                    "both or none",
                    "a table [router] or a table [laser]",
                ));
            }
        };
        Ok(Machine {
            name: name.to_string(),
            about: raw.about,
            travel: [
                reader.positive("travel.x", &raw.travel.x)?,
                reader.positive("travel.y", &raw.travel.y)?,
                reader.positive("travel.z", &raw.travel.z)?,
            ],
            units: raw.units,
            decimals: reader.number("decimals", raw.decimals.into_inner() as f64, fewest_decimals(raw.units), 6.0)?
                as usize,
            arcs: match &raw.chord_tolerance {
                None => Arcs::Taken,
                Some(tolerance) => Arcs::Chords(reader.positive("chord_tolerance", tolerance)?),
            },
            comments: raw.comments,
            percent_lines: raw.percent_lines,
            says_incremental_centres: raw.says_incremental_centres,
            dwell: raw.dwell,
            end: raw.end,
            z_zero: raw.z_zero,
            safe_height: reader.positive("safe_height", &raw.safe_height)?,
            rapid_mm_min: reader.rate("rapid", &raw.rapid)?,
            max_feed_mm_min: reader.rate("max_feed", &raw.max_feed)?,
            acceleration_mm_s2: reader.acceleration("acceleration", &raw.acceleration)?,
            junction_deviation: reader.positive("junction_deviation", &raw.junction_deviation)?,
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
    rapid: Rate,
    max_feed: Rate,
    acceleration: Accel,
    junction_deviation: Len,
    router: Option<RouterFile>,
    laser: Option<LaserFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Travel {
    x: Len,
    y: Len,
    z: Len,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RouterFile {
    cutter: Len,
    flute_length: Len,
    flutes: u32,
    speed_rpm: f64,
    max_speed_rpm: f64,
    chip_load: Len,
    pass_depth: Len,
    ramp_deg: f64,
    cut_through: Len,
    spin_up_s: f64,
    mark: Option<MarkFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MarkFile {
    width: Len,
    depth: Len,
}

impl MarkFile {
    fn resolved(&self, reader: &Reader) -> Result<MarkTool, Error> {
        Ok(MarkTool {
            width: reader.positive("router.mark.width", &self.width)?,
            depth: reader.positive("router.mark.depth", &self.depth)?,
        })
    }
}

impl RouterFile {
    fn resolved(&self, reader: &Reader) -> Result<Router, Error> {
        Ok(Router {
            cutter: reader.positive("router.cutter", &self.cutter)?,
            flute_length: reader.positive("router.flute_length", &self.flute_length)?,
            flutes: reader.number("router.flutes", f64::from(self.flutes), 1.0, 12.0)? as u32,
            speed_rpm: reader.number("router.speed_rpm", self.speed_rpm, 1.0, 100_000.0)?,
            max_speed_rpm: reader.number("router.max_speed_rpm", self.max_speed_rpm, 1.0, 100_000.0)?,
            chip_load: reader.positive("router.chip_load", &self.chip_load)?,
            pass_depth: reader.positive("router.pass_depth", &self.pass_depth)?,
            ramp_deg: reader.number("router.ramp_deg", self.ramp_deg, 0.5, 45.0)?,
            cut_through: reader.positive("router.cut_through", &self.cut_through)?,
            spin_up_s: reader.number("router.spin_up_s", self.spin_up_s, 0.0, 60.0)?,
            mark: self.mark.as_ref().map(|mark| mark.resolved(reader)).transpose()?,
        })
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LaserFile {
    kerf: Len,
    feed: Rate,
    power: f64,
    beam_on: BeamWord,
    pierce_feed: Rate,
    lead: Len,
    max_thickness: Len,
    mark_power: Option<f64>,
}

impl LaserFile {
    fn resolved(&self, reader: &Reader) -> Result<Laser, Error> {
        Ok(Laser {
            kerf: reader.positive("laser.kerf", &self.kerf)?,
            feed_mm_min: reader.rate("laser.feed", &self.feed)?,
            power: reader.number("laser.power", self.power, 1.0, 100_000.0)?,
            beam_on: self.beam_on,
            pierce_feed_mm_min: reader.rate("laser.pierce_feed", &self.pierce_feed)?,
            lead: reader.positive("laser.lead", &self.lead)?,
            max_thickness: reader.positive("laser.max_thickness", &self.max_thickness)?,
            mark_power: reader.number("laser.mark_power", self.mark_power.unwrap_or(USUAL_MARK_POWER), 0.001, 0.9)?,
        })
    }
}
