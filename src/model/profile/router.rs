//! A rotating cutter as a machine profile gives it.

use serde::Deserialize;

use super::hold::Hold;
use super::ranges::*;
use super::reader::{Len, Rate, Reader};
use super::rough::{Rough, RoughFile};
use crate::diagnostics::Error;
use crate::units::{Length, feed, on_tape, trimmed};

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
    /// Feed on ramps, on helices and down the flank of a tab, in mm/min.
    pub entry_feed_mm_min: f64,
    /// Feed straight down, in mm/min.
    pub plunge_feed_mm_min: f64,
    /// Feed along the path in the pass that goes through, in mm/min.
    pub last_pass_feed_mm_min: f64,
    /// How long the spindle is given to reach its speed, in seconds.
    pub spin_up_s: f64,
    /// The pass along the line after those that stay off it, if there is one.
    pub finish: Option<Finish>,
    /// The larger cutter that goes first, if there is one.
    pub rough: Option<Box<Rough>>,
    /// What it leaves beside the line for another cutter, in the waste; zero but of a roughing one.
    pub leaves: Length,
    /// The pointed cutter for marks, if there is one.
    pub mark: Option<MarkTool>,
    /// What holds the pieces: a job says it, not the profile.
    pub hold: Hold,
}

/// A last pass along the line, after passes that stay off it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Finish {
    /// What the other passes leave standing beside the line, in the waste.
    pub allowance: Length,
    /// Feed along the path, in mm/min.
    pub feed_mm_min: f64,
}

/// A pointed cutter and the stroke it leaves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MarkTool {
    /// Width of the stroke.
    pub width: Length,
    /// Depth of the stroke.
    pub depth: Length,
    /// Feed along the strokes, in mm/min.
    pub feed_mm_min: f64,
    /// Height over the material's top from one stroke to another that is near.
    pub lift: Length,
}

impl MarkTool {
    /// Angle of a point that leaves such a stroke, in degrees: tan(angle / 2) = width / 2 / depth.
    pub fn angle_deg(self) -> f64 {
        2.0 * (self.width / 2.0).as_mm().atan2(self.depth.as_mm()).to_degrees()
    }
}

impl Router {
    /// The feed in mm/min: speed x cutting edges x chip load (the chip-load formula).
    pub fn feed_mm_min(&self) -> f64 {
        feed_of(self.speed_rpm, self.flutes, self.chip_load)
    }

    /// How far the last pass goes below the material; less than 0 where a skin stays.
    pub fn below(&self) -> Length {
        self.hold.skin().map_or(self.cut_through, |skin| Length::ZERO - skin)
    }

    /// The same cutter where the pieces are held otherwise.
    pub(super) fn holding(self, hold: Hold) -> Self {
        Self { hold, ..self }
    }
}

/// Speed x cutting edges x chip load, in mm/min.
pub(super) fn feed_of(speed_rpm: f64, flutes: u32, chip_load: Length) -> f64 {
    speed_rpm * f64::from(flutes) * chip_load.as_mm()
}

/// The feed on the way in, where a profile does not say it, as a share of the cutting feed (common
/// practice, no source).
const USUAL_ENTRY: f64 = 0.5;
/// The feed straight down, as a share of the cutting feed (common practice, no source).
const USUAL_PLUNGE: f64 = 0.25;

/// The feeds of a cutter that are no faster than it cuts, in mm/min.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Feeds {
    pub entry: f64,
    pub plunge: f64,
    pub last_pass: f64,
}

impl Feeds {
    /// Of a table of a profile, as they are given there in this order, else their usual shares of
    /// the cutting feed in mm/min.
    pub(super) fn resolved(
        reader: &Reader<'_>,
        table: &str,
        [entry, plunge, last_pass]: [Option<&Rate>; 3],
        cutting: f64,
    ) -> Result<Self, Error> {
        // A share of a feed that is no feed itself is told by the plan, by speed and chip load.
        let usual = |share: f64| (cutting * share).max(cutting.min(SLOWEST_MM_MIN));
        let slower = |key: &str, raw: Option<&Rate>, share| match raw {
            Some(raw) => at_most_cutting(reader, &format!("{table}.{key}"), raw, cutting),
            None => Ok(usual(share)),
        };
        Ok(Self {
            entry: slower("entry_feed", entry, USUAL_ENTRY)?,
            plunge: slower("plunge_feed", plunge, USUAL_PLUNGE)?,
            last_pass: slower("last_pass_feed", last_pass, 1.0)?,
        })
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
    entry_feed: Option<Rate>,
    plunge_feed: Option<Rate>,
    last_pass_feed: Option<Rate>,
    spin_up_s: f64,
    finish: Option<FinishFile>,
    rough: Option<RoughFile>,
    mark: Option<MarkFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FinishFile {
    allowance: Len,
    feed: Option<Rate>,
}

impl FinishFile {
    /// Of a cutter with a cutting feed and, where nothing else is said, a feed for this pass.
    fn resolved(
        &self,
        reader: &Reader<'_>,
        cutter: Length,
        (cutting_mm_min, usual_mm_min): (f64, f64),
    ) -> Result<Finish, Error> {
        let key = "router.finish.allowance";
        let allowance = reader.length_in(key, &self.allowance, FINISH_ALLOWANCE)?;
        if allowance >= cutter / 2.0 {
            let most = format!("less than half of the cutter, {}", on_tape(cutter / 2.0));
            return Err(reader.out_of_range(
                key,
                self.allowance.span(),
                &self.allowance.get_ref().typed(),
                &most,
            ));
        }
        let feed_mm_min = match &self.feed {
            Some(raw) => at_most_cutting(reader, "router.finish.feed", raw, cutting_mm_min)?,
            None => usual_mm_min,
        };
        Ok(Finish { allowance, feed_mm_min })
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MarkFile {
    width: Len,
    depth: Len,
    angle: Option<f64>,
    feed: Option<Rate>,
    lift: Option<Len>,
}

/// How far a pointed cutter is lifted from stroke to stroke where nothing is said, in mm: over what
/// a sheet is off flat on so short a way (common practice, no source).
const USUAL_LIFT_MM: f64 = 1.0;
/// The angle of a point may differ so much from what width and depth make of it, in degrees: points
/// are sold in steps, and a stroke is measured with a ruler.
const ANGLE_SLACK_DEG: f64 = 10.0;

impl MarkFile {
    fn resolved(&self, reader: &Reader<'_>, cutting_mm_min: f64) -> Result<MarkTool, Error> {
        let tool = MarkTool {
            width: reader.length_in("router.mark.width", &self.width, MARK_WIDTH)?,
            depth: reader.length_in("router.mark.depth", &self.depth, MARK_DEPTH)?,
            feed_mm_min: match &self.feed {
                Some(feed) => reader.rate_in("router.mark.feed", feed, SPEED)?,
                None => cutting_mm_min,
            },
            lift: match &self.lift {
                Some(lift) => reader.length_in("router.mark.lift", lift, MARK_LIFT)?,
                None => Length::mm(USUAL_LIFT_MM),
            },
        };
        self.check_angle(reader, tool)?;
        Ok(tool)
    }

    /// Width, depth and angle of a stroke are two figures, not three.
    fn check_angle(&self, reader: &Reader<'_>, tool: MarkTool) -> Result<(), Error> {
        let Some(angle) = self.angle else { return Ok(()) };
        let key = "router.mark.angle";
        let angle = reader.number(key, angle, MARK_ANGLE_DEG.0, MARK_ANGLE_DEG.1)?;
        let makes = tool.angle_deg();
        if (angle - makes).abs() <= ANGLE_SLACK_DEG {
            return Ok(());
        }
        Err(reader
            .error(
                &format!("{key} makes no stroke of that width at that depth"),
                &format!("angle = {angle}"),
                &format!("angle = {}, or another width or depth", trimmed(makes, 0)),
            )
            .allowed(format!(
                "{} degrees, which is what width and depth make, give or take {}",
                trimmed(makes, 0),
                trimmed(ANGLE_SLACK_DEG, 0)
            )))
    }
}

impl RouterFile {
    pub(super) fn resolved(&self, reader: &Reader<'_>) -> Result<Router, Error> {
        let rpm = |key: &str, value: f64| reader.number(key, value, SPINDLE_RPM.0, SPINDLE_RPM.1);
        let length = |key: &str, raw: &Len, range| reader.length_in(key, raw, range);
        let flutes = reader.number("router.flutes", f64::from(self.flutes), 1.0, 12.0)? as u32;
        let speed_rpm = rpm("router.speed_rpm", self.speed_rpm)?;
        let chip_load = length("router.chip_load", &self.chip_load, CHIP_LOAD)?;
        let feed = feed_of(speed_rpm, flutes, chip_load);
        let given = [&self.entry_feed, &self.plunge_feed, &self.last_pass_feed].map(Option::as_ref);
        let own = Feeds::resolved(reader, "router", given, feed)?;
        let cutter = length("router.cutter", &self.cutter, CUTTER)?;
        let feeds = (feed, own.last_pass);
        let finish = self.finish.as_ref().map(|finish| finish.resolved(reader, cutter, feeds));
        self.check_once_finished(reader)?;
        let rough = self.rough.as_ref().map(|rough| rough.resolved(reader, cutter)).transpose()?;
        Ok(Router {
            cutter,
            flute_length: length("router.flute_length", &self.flute_length, FLUTE_LENGTH)?,
            flutes,
            speed_rpm,
            max_speed_rpm: rpm("router.max_speed_rpm", self.max_speed_rpm)?,
            chip_load,
            pass_depth: length("router.pass_depth", &self.pass_depth, PASS_DEPTH)?,
            ramp_deg: reader.number("router.ramp_deg", self.ramp_deg, 0.5, 45.0)?,
            cut_through: length("router.cut_through", &self.cut_through, CUT_THROUGH)?,
            entry_feed_mm_min: own.entry,
            plunge_feed_mm_min: own.plunge,
            last_pass_feed_mm_min: own.last_pass,
            spin_up_s: reader.number("router.spin_up_s", self.spin_up_s, 0.0, 60.0)?,
            finish: finish.transpose()?,
            rough: rough.map(Box::new),
            leaves: Length::ZERO,
            mark: self.mark.as_ref().map(|mark| mark.resolved(reader, feed)).transpose()?,
            hold: Hold::default(),
        })
    }
}

impl RouterFile {
    /// An allowance is left once: for a pass of the same cutter, or for another cutter.
    fn check_once_finished(&self, reader: &Reader<'_>) -> Result<(), Error> {
        if self.finish.is_none() || self.rough.is_none() {
            return Ok(());
        }
        Err(reader
            .error(
                "router.finish and router.rough both leave an allowance beside the line",
                "finish beside rough in [router]",
                "[router] without finish, or without rough",
            )
            .allowed(
                "one of the two: a last pass with the same cutter, or a larger cutter first"
                    .to_string(),
            ))
    }
}

/// A cutter goes nowhere faster than it cuts.
fn at_most_cutting(
    reader: &Reader<'_>,
    key: &str,
    raw: &Rate,
    feed_mm_min: f64,
) -> Result<f64, Error> {
    let rate = reader.rate_in(key, raw, SPEED)?;
    if rate <= feed_mm_min * (1.0 + 1e-9) {
        return Ok(rate);
    }
    let most =
        format!("at most the cutting feed, speed_rpm x flutes x chip_load: {}", feed(feed_mm_min));
    Err(reader.out_of_range(key, raw.span(), raw.get_ref(), &most))
}
