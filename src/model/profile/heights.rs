//! How high the tool travels far, and where it stands once a program is done.

use serde::Deserialize;

use super::ranges::{PIN_DEPTH, PIN_PLAY, SAFE_HEIGHT};
use super::reader::{Len, Reader};
use super::tool::Tool;
use super::words::Words;
use crate::diagnostics::Error;
use crate::units::Length;

/// Where the tool goes at the end of a program: from X0 Y0 on, beside or over the stock.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Park {
    /// Along X.
    pub x: Length,
    /// Along Y.
    pub y: Length,
    /// Over the stock's top; `None`: as high as it travels far.
    pub z: Option<Length>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ParkFile {
    x: Len,
    y: Len,
    z: Option<Len>,
}

/// The heights of a machine that reads them: the tool goes up and down.
pub(super) struct Heights<'a> {
    pub reader: &'a Reader<'a>,
    pub travel: [Length; 3],
    pub safe: Length,
    pub lifts: bool,
}

impl Heights<'_> {
    /// The height of long travels: no lower than the safe height, no higher than the machine goes.
    pub(super) fn clear(&self, raw: Option<&Len>) -> Result<Option<Length>, Error> {
        let Some(raw) = raw else { return Ok(None) };
        self.lifted("clear_height")?;
        self.height("clear_height", raw).map(Some)
    }

    /// How much wider than its pin a hole comes out; a beam shifts nothing.
    pub(super) fn pin_play(&self, raw: Option<&Len>) -> Result<Option<Length>, Error> {
        let Some(raw) = raw else { return Ok(None) };
        self.lifted("pin_play")?;
        self.reader.length_in("pin_play", raw, PIN_PLAY).map(Some)
    }

    /// How deep the table is bored for a pin: no deeper than the cutter is long.
    pub(super) fn pin_depth(
        &self,
        raw: Option<&Len>,
        tool: &Tool,
    ) -> Result<Option<Length>, Error> {
        let Some(raw) = raw else { return Ok(None) };
        self.lifted("pin_depth")?;
        let depth = self.reader.length_in("pin_depth", raw, PIN_DEPTH)?;
        match tool.cutter().map(|cutter| cutter.flute_length) {
            Some(longest) if depth > longest => {
                let allowed = format!("up to the router.flute_length of this machine, {longest}");
                let found = raw.get_ref().typed();
                Err(self.reader.out_of_range("pin_depth", raw.span(), &found, &allowed))
            }
            _ => Ok(Some(depth)),
        }
    }

    /// A height over the stock that is safe and that the machine reaches.
    fn height(&self, key: &str, raw: &Len) -> Result<Length, Error> {
        let height = self.reader.length_in(key, raw, SAFE_HEIGHT)?;
        let [.., most] = self.travel;
        if height >= self.safe && height <= most {
            return Ok(height);
        }
        let allowed =
            format!("the safe_height, {}, up to the travel.z, {most}, of this machine", self.safe);
        Err(self.reader.out_of_range(key, raw.span(), &height.to_string(), &allowed))
    }

    /// A beam's head keeps the height it cuts at.
    fn lifted(&self, key: &str) -> Result<(), Error> {
        if self.lifts {
            return Ok(());
        }
        Err(self
            .reader
            .error(
                &format!("{key} does nothing beside [laser]: its head is not lifted"),
                &format!("{key} beside [laser]"),
                &format!("the profile without {key}"),
            )
            .allowed(format!("{key} in the profile of a machine with [router]")))
    }

    /// Where the tool is parked: over the table, and no lower than is safe.
    pub(super) fn park(
        &self,
        raw: Option<&ParkFile>,
        words: &Words,
    ) -> Result<Option<Park>, Error> {
        let Some(raw) = raw else { return Ok(None) };
        let z = match &raw.z {
            None => None,
            Some(_) if words.machine_top => {
                return Err(self.reader.error(
                    "park.z and program.machine_top are two heights to end at",
                    "park with z beside machine_top = true",
                    "park = { x = \"0 in\", y = \"0 in\" } with machine_top = true, or z without \
                    it",
                ));
            }
            Some(z) => {
                self.lifted("park.z")?;
                Some(self.height("park.z", z)?)
            }
        };
        Ok(Some(Park {
            x: self.across("park.x", &raw.x, 0)?,
            y: self.across("park.y", &raw.y, 1)?,
            z,
        }))
    }

    fn across(&self, key: &str, raw: &Len, axis: usize) -> Result<Length, Error> {
        let (at, most) = (self.reader.length(key, raw)?, self.travel[axis]);
        if at <= most {
            return Ok(at);
        }
        let allowed = format!("0 to the {most} that the machine travels, counted from X0 Y0");
        Err(self.reader.out_of_range(key, raw.span(), &at.to_string(), &allowed))
    }
}
