//! The tool of a machine, and what can be asked of it.

use super::hold::Hold;
use super::laser::{Laser, LaserFile};
use super::reader::Reader;
use super::rough::Rough;
use super::router::{Finish, MarkTool, Router, RouterFile};
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
        match (self.rough().is_some(), tools.rough.is_some()) {
            (true, false) => {
                return Err(reader.error(
                    "the roughing cutter of router.rough has no number in the changer",
                    "[program] tools without rough",
                    "tools = { cutter = 1, rough = 2 }, or no router.rough",
                ));
            }
            (false, true) => {
                return Err(reader.error(
                    "the changer has a number for a roughing cutter that router.rough does not \
                    describe",
                    "[program] tools with rough, and no router.rough",
                    "tools without rough, or a table [router.rough]",
                ));
            }
            _ => {}
        }
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

    /// The same tool where a job holds its pieces otherwise; a beam holds none.
    pub(super) fn holding(self, hold: Hold) -> Self {
        match self {
            Self::Router(router) => Self::Router(router.holding(hold)),
            Self::Laser(_) => self,
        }
    }

    /// The same tool as it cuts a thickness: a beam by its table, a cutter as it is.
    pub(super) fn cutting(self, thickness: Length) -> Self {
        match self {
            Self::Laser(laser) => Self::Laser(laser.cutting(thickness)),
            Self::Router(_) => self,
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

    /// The pass along the line after those that stay off it, of a cutter whose profile asks for
    /// one.
    pub fn finish(&self) -> Option<Finish> {
        self.cutter().and_then(|cutter| cutter.finish)
    }

    /// The larger cutter that goes first, of a router whose profile has one.
    pub fn rough(&self) -> Option<Rough> {
        self.cutter().and_then(|cutter| cutter.rough.as_deref().copied())
    }

    /// The roughing cutter as a tool of its own, if there is one.
    pub(super) fn roughing(&self) -> Option<Self> {
        self.cutter().and_then(Router::roughing).map(Self::Router)
    }

    /// The same tool where no roughing cutter goes first.
    pub(super) fn without_roughing(self) -> Self {
        match self {
            Self::Router(router) => Self::Router(Router { rough: None, ..router }),
            Self::Laser(_) => self,
        }
    }

    /// What it leaves beside the line for another cutter; zero but of a roughing cutter.
    pub fn leaves(&self) -> Length {
        self.cutter().map_or(Length::ZERO, |cutter| cutter.leaves)
    }

    /// Width of the widest cut round a piece: the roughing cutter's where there is one.
    pub fn widest(&self) -> Length {
        self.rough().map_or(self.width(), |rough| rough.cutter)
    }

    /// How far that cut stays off the line: what is left for a last pass or for another cutter.
    pub fn stands_off(&self) -> Length {
        self.rough().map_or(self.allowance() + self.leaves(), |rough| rough.allowance)
    }

    /// What its passes leave beside the line for the one that finishes; zero where none does.
    pub fn allowance(&self) -> Length {
        self.finish().map_or(Length::ZERO, |finish| finish.allowance)
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

    /// How far it goes below the material; less than 0 where it leaves a skin.
    pub fn through(&self) -> Length {
        self.cutter().map_or(Length::ZERO, Router::below)
    }

    /// Whether the pieces must hang on wood that it leaves: it pushes them, and the table does not
    /// hold them by vacuum, so that a job could do without tabs.
    pub fn ties(&self) -> bool {
        self.cutter().is_some_and(|cutter| cutter.hold.tabs().is_some())
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

    /// How many times a beam goes round; a cutter's passes follow from its depth.
    pub fn rounds(&self) -> u32 {
        self.beam().map_or(1, |beam| beam.passes)
    }

    /// Its feed along the path, in mm/min.
    pub fn feed_mm_min(&self) -> f64 {
        match self {
            Self::Router(router) => router.feed_mm_min(),
            Self::Laser(laser) => laser.feed_mm_min,
        }
    }

    /// Its feed on the way in, in mm/min: of a cutter that goes down while it moves, or of a beam
    /// that pierces.
    pub fn entry_feed_mm_min(&self) -> f64 {
        match self {
            Self::Router(router) => router.entry_feed_mm_min,
            Self::Laser(laser) => laser.pierce_feed_mm_min,
        }
    }

    /// Its feed straight down, in mm/min; of a beam, which never stands, the one it pierces with.
    pub fn plunge_feed_mm_min(&self) -> f64 {
        self.cutter().map_or(self.entry_feed_mm_min(), |router| router.plunge_feed_mm_min)
    }

    /// The feed of its pointed cutter along a mark, in mm/min; its own where it has none.
    pub fn mark_feed_mm_min(&self) -> f64 {
        self.point().map_or(self.feed_mm_min(), |point| point.feed_mm_min)
    }

    /// Its feed along the path in the last pass, in mm/min.
    pub fn last_pass_feed_mm_min(&self) -> f64 {
        self.cutter().map_or(self.feed_mm_min(), |router| router.last_pass_feed_mm_min)
    }

    /// Its feed along the path in the pass that finishes, in mm/min; its own where none does.
    pub fn finish_feed_mm_min(&self) -> f64 {
        self.finish().map_or(self.feed_mm_min(), |finish| finish.feed_mm_min)
    }

    /// The greatest S word: of the spindle's speed or of the beam's power.
    pub fn most_s(&self) -> f64 {
        match self {
            Self::Router(router) => router.max_speed_rpm,
            Self::Laser(laser) => laser.full_power,
        }
    }
}
