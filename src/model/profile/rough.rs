//! A second, larger cutter that takes most of the wood before the profile's own goes along the
//! line.

use serde::Deserialize;

use super::ranges::*;
use super::reader::{Len, Rate, Reader};
use super::router::{Feeds, Router, feed_of};
use crate::diagnostics::Error;
use crate::units::{Length, on_tape};

/// A roughing cutter and how it may be driven; ramp, depth through and spindle are the router's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rough {
    /// Diameter of the cutter.
    pub cutter: Length,
    /// How deep the cutter can cut.
    pub flute_length: Length,
    /// Number of cutting edges.
    pub flutes: u32,
    /// Spindle speed in revolutions a minute.
    pub speed_rpm: f64,
    /// Thickness of the chip that one cutting edge takes.
    pub chip_load: Length,
    /// The deepest single pass.
    pub pass_depth: Length,
    /// What it leaves standing beside the line, in the waste.
    pub allowance: Length,
    /// Its feeds on the way in, straight down and in the pass that goes through.
    feeds: Feeds,
}

/// A wider roughing cutter leaves more in an inside corner than one round of the finishing cutter
/// takes: of a square corner (sqrt 2 - 1) of its radius and sqrt 2 of the allowance along the
/// bisector, of which the finishing cutter reaches (1 + sqrt 2) of its own.
const MOST_CUTTERS: f64 = 4.0;
/// The most allowance, as a share of the finishing cutter, by the same figures.
const MOST_ALLOWANCE: f64 = 0.25;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RoughFile {
    cutter: Len,
    flute_length: Len,
    flutes: u32,
    speed_rpm: f64,
    chip_load: Len,
    pass_depth: Len,
    allowance: Len,
    entry_feed: Option<Rate>,
    plunge_feed: Option<Rate>,
    last_pass_feed: Option<Rate>,
}

impl RoughFile {
    /// Before a finishing cutter of a diameter.
    pub(super) fn resolved(&self, reader: &Reader<'_>, finishing: Length) -> Result<Rough, Error> {
        let cutter = reader.length_in("router.rough.cutter", &self.cutter, CUTTER)?;
        let outside = |key: &str, raw: &Len, allowed: &str| {
            Err(reader.out_of_range(key, raw.span(), &raw.get_ref().typed(), allowed))
        };
        let most = finishing * MOST_CUTTERS;
        if cutter <= finishing || cutter > most {
            let allowed = format!(
                "wider than router.cutter, which finishes, {}, and at most {MOST_CUTTERS} times \
                that, {}: a wider one leaves more in inside corners than that cutter takes out",
                on_tape(finishing),
                on_tape(most)
            );
            return outside("router.rough.cutter", &self.cutter, &allowed);
        }
        let allowance =
            reader.length_in("router.rough.allowance", &self.allowance, FINISH_ALLOWANCE)?;
        let most = finishing * MOST_ALLOWANCE;
        if allowance > most {
            let allowed =
                format!("at most a quarter of router.cutter, which finishes: {}", on_tape(most));
            return outside("router.rough.allowance", &self.allowance, &allowed);
        }
        let flutes =
            reader.number("router.rough.flutes", f64::from(self.flutes), 1.0, 12.0)? as u32;
        let speed_rpm = reader.number(
            "router.rough.speed_rpm",
            self.speed_rpm,
            SPINDLE_RPM.0,
            SPINDLE_RPM.1,
        )?;
        let chip_load = reader.length_in("router.rough.chip_load", &self.chip_load, CHIP_LOAD)?;
        let given = [&self.entry_feed, &self.plunge_feed, &self.last_pass_feed].map(Option::as_ref);
        let cutting = feed_of(speed_rpm, flutes, chip_load);
        Ok(Rough {
            cutter,
            flute_length: reader.length_in(
                "router.rough.flute_length",
                &self.flute_length,
                FLUTE_LENGTH,
            )?,
            flutes,
            speed_rpm,
            chip_load,
            pass_depth: reader.length_in(
                "router.rough.pass_depth",
                &self.pass_depth,
                PASS_DEPTH,
            )?,
            allowance,
            feeds: Feeds::resolved(reader, "router.rough", given, cutting)?,
        })
    }
}

impl Router {
    /// The roughing cutter as a router of its own on the same spindle, if there is one: it marks
    /// nothing, and leaves its allowance.
    pub(super) fn roughing(&self) -> Option<Self> {
        let rough = self.rough.as_deref()?;
        Some(Self {
            cutter: rough.cutter,
            flute_length: rough.flute_length,
            flutes: rough.flutes,
            speed_rpm: rough.speed_rpm,
            chip_load: rough.chip_load,
            pass_depth: rough.pass_depth,
            entry_feed_mm_min: rough.feeds.entry,
            plunge_feed_mm_min: rough.feeds.plunge,
            last_pass_feed_mm_min: rough.feeds.last_pass,
            finish: None,
            rough: None,
            leaves: rough.allowance,
            mark: None,
            ..self.clone()
        })
    }
}
