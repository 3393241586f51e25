//! The tool of a machine, and what can be asked of it.

use serde::Deserialize;

use super::laser::{Laser, LaserFile};
use super::ranges::*;
use super::reader::{Len, Reader};
use super::words::{Words, WordsFile};
use crate::diagnostics::Error;
use crate::units::Length;

/// The width of a stroke on a drawing for a machine without a pointed cutter, in inches.
const USUAL_STROKE_IN: f64 = 1.0 / 32.0;

/// The tool of a machine. Whoever uses it asks what it can do and what it needs, not what it is.
#[derive(Clone, Debug, PartialEq)]
pub enum Tool {
    /// A rotating cutter.
    Router(Router),
    /// A beam.
    Laser(Laser),
}

impl Tool {
    pub(super) fn resolved(
        router: Option<&RouterFile>,
        laser: Option<&LaserFile>,
        reader: &Reader<'_>,
    ) -> Result<Self, Error> {
        match (router, laser) {
            (Some(router), None) => router.resolved(reader).map(Self::Router),
            (None, Some(laser)) => laser.resolved(reader).map(Self::Laser),
            _ => Err(reader.error(
                "a machine has one tool",
                "both or none",
                "a table [router] or a table [laser]",
            )),
        }
    }

    /// What stands in the table `[program]` does something on this machine.
    pub(super) fn check_idle(&self, program: &WordsFile, reader: &Reader<'_>) -> Result<(), Error> {
        let (beside_router, beside_laser) = program.idle();
        let (idle, table, other) = match self {
            Self::Router(_) => (&beside_router[..], "[router]", "[laser]"),
            Self::Laser(_) => (&beside_laser[..], "[laser]", "[router]"),
        };
        let Some(key) = idle.iter().copied().flatten().next() else { return Ok(()) };
        Err(reader
            .error(
                &format!("program.{key} does nothing beside {table}"),
                &format!("{key} beside {table}"),
                &format!("the table [program] without {key}"),
            )
            .allowed(format!("{key} in the profile of a machine with {other}")))
    }

    /// A changer has a number for every tool that a program calls.
    pub(super) fn check_words(&self, words: &Words, reader: &Reader<'_>) -> Result<(), Error> {
        let (Some(tools), Some(_)) = (words.tools, self.cutter()) else { return Ok(()) };
        match (self.point().is_some(), tools.pointed.is_some()) {
            (true, false) => Err(reader.error(
                "the pointed cutter of router.mark has no number in the changer",
                "[program] tools without pointed",
                "tools = { cutter = 1, pointed = 2 }, or no router.mark",
            )),
            (false, true) => Err(reader.error(
                "the changer has a number for a pointed cutter that router.mark does not describe",
                "[program] tools with pointed, and no router.mark",
                "tools without pointed, or router.mark = { width = ..., depth = ... }",
            )),
            _ => Ok(()),
        }
    }

    /// The cutter, of a tool that turns one.
    pub fn cutter(&self) -> Option<&Router> {
        match self {
            Self::Router(router) => Some(router),
            Self::Laser(_) => None,
        }
    }

    /// The beam, of a tool that burns.
    pub fn beam(&self) -> Option<&Laser> {
        match self {
            Self::Laser(laser) => Some(laser),
            Self::Router(_) => None,
        }
    }

    /// Width of what it takes away: the cutter's diameter or the kerf.
    pub fn width(&self) -> Length {
        match self {
            Self::Router(router) => router.cutter,
            Self::Laser(laser) => laser.kerf,
        }
    }

    /// Width of the strokes that marks are made of: the pointed cutter's, or the kerf.
    pub fn stroke_width(&self) -> Length {
        match self {
            Self::Router(_) => {
                self.point().map_or(Length::inches(USUAL_STROKE_IN), |mark| mark.width)
            }
            Self::Laser(laser) => laser.kerf,
        }
    }

    /// The pointed cutter that its marks are made with, in a program of their own.
    pub fn point(&self) -> Option<MarkTool> {
        self.cutter().and_then(|cutter| cutter.mark)
    }

    /// Whether it makes marks itself, in the program that cuts.
    pub fn scores(&self) -> bool {
        self.beam().is_some()
    }

    /// Whether it goes up and down: over what stands in its way, and into the material. One that
    /// does not has no height in its programs.
    pub fn lifts(&self) -> bool {
        self.cutter().is_some()
    }

    /// Whether it pushes what it cuts: that must hang on tabs then, and wood stay between two cuts.
    pub fn pushes(&self) -> bool {
        self.cutter().is_some()
    }

    /// How far it goes below the material.
    pub fn through(&self) -> Length {
        self.cutter().map_or(Length::ZERO, |cutter| cutter.cut_through)
    }

    /// How far from the path it begins to burn, and radius of the way from there; none of a cutter,
    /// which comes in from above.
    pub fn lead(&self) -> Length {
        self.beam().map_or(Length::ZERO, |beam| beam.lead)
    }

    /// How long it is given after it is switched on, in seconds.
    pub fn spin_up_s(&self) -> f64 {
        self.cutter().map_or(0.0, |cutter| cutter.spin_up_s)
    }

    /// Its feed along the path, in mm/min.
    pub fn feed_mm_min(&self) -> f64 {
        match self {
            Self::Router(router) => router.feed_mm_min(),
            Self::Laser(laser) => laser.feed_mm_min,
        }
    }

    /// Its feed on the way in, in mm/min.
    pub fn entry_feed_mm_min(&self) -> f64 {
        match self {
            Self::Router(router) => router.feed_mm_min() / 2.0,
            Self::Laser(laser) => laser.pierce_feed_mm_min,
        }
    }

    /// The greatest S word: of the spindle's speed or of the beam's power.
    pub fn most_s(&self) -> f64 {
        match self {
            Self::Router(router) => router.max_speed_rpm,
            Self::Laser(laser) => laser.full_power,
        }
    }
}

/// A rotating cutter and how it may be driven.
#[derive(Clone, Debug, PartialEq)]
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

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RouterFile {
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
    fn resolved(&self, reader: &Reader<'_>) -> Result<MarkTool, Error> {
        Ok(MarkTool {
            width: reader.length_in("router.mark.width", &self.width, MARK_WIDTH)?,
            depth: reader.length_in("router.mark.depth", &self.depth, MARK_DEPTH)?,
        })
    }
}

impl RouterFile {
    fn resolved(&self, reader: &Reader<'_>) -> Result<Router, Error> {
        Ok(Router {
            cutter: reader.length_in("router.cutter", &self.cutter, CUTTER)?,
            flute_length: reader.length_in(
                "router.flute_length",
                &self.flute_length,
                FLUTE_LENGTH,
            )?,
            flutes: reader.number("router.flutes", f64::from(self.flutes), 1.0, 12.0)? as u32,
            speed_rpm: reader.number(
                "router.speed_rpm",
                self.speed_rpm,
                SPINDLE_RPM.0,
                SPINDLE_RPM.1,
            )?,
            max_speed_rpm: reader.number(
                "router.max_speed_rpm",
                self.max_speed_rpm,
                SPINDLE_RPM.0,
                SPINDLE_RPM.1,
            )?,
            chip_load: reader.length_in("router.chip_load", &self.chip_load, CHIP_LOAD)?,
            pass_depth: reader.length_in("router.pass_depth", &self.pass_depth, PASS_DEPTH)?,
            ramp_deg: reader.number("router.ramp_deg", self.ramp_deg, 0.5, 45.0)?,
            cut_through: reader.length_in("router.cut_through", &self.cut_through, CUT_THROUGH)?,
            spin_up_s: reader.number("router.spin_up_s", self.spin_up_s, 0.0, 60.0)?,
            mark: self.mark.as_ref().map(|mark| mark.resolved(reader)).transpose()?,
        })
    }
}
