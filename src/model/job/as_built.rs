//! A flight as it was built, from a job file or from a file of its own.

use super::around::{AsBuilt, Remeasured, Room, TreadRoom};
use super::around_file::{BuiltFile, FitFile, RemeasuredFile};
use super::bounds::Unread;
use super::parts::{MOST_RISERS, MOST_TOTAL_RISE_MM};
use super::resolve::{ProfileLoader, Resolver};
use crate::diagnostics::{Error, ErrorKind};
use crate::profile::reader::{Len, Reader};
use crate::profile::{Source, TextKind};
use crate::units::Length;

/// The thickest finish, shim or trim, in mm.
const MOST_SHIM_MM: f64 = 300.0;

/// Reads as-built measurements from the text of a file: the table `[built]`, and `units` above it
/// if wanted.
///
/// # Errors
/// With file, line and column, what was found, what is allowed and what to type.
pub fn read_built(file: &str, text: &str) -> Result<AsBuilt, Error> {
    let reader = Reader::new(file, text);
    reader.wants(TextKind::Measurements)?;
    let raw: FitFile = reader.parse("file of as-built measurements")?;
    let nothing: ProfileLoader<'_> = &|reference: &str| -> Result<Source, Error> {
        Err(Error::new(
            ErrorKind::Internal,
            format!("as-built measurements read no profile: {reference}"),
        ))
    };
    let resolver = Resolver::new(file, text, raw.units, nothing);
    let built = resolver.through(|resolver| resolver.built(raw.built.get_ref()));
    built.map_err(Unread::into_error)
}

impl Resolver<'_> {
    pub(super) fn built(&mut self, raw: &BuiltFile) -> Result<AsBuilt, Error> {
        let mut heights = Vec::new();
        for height in &raw.heights {
            let height = self.height(height, heights.last())?;
            heights.push(height);
        }
        let shim_most =
            self.optional("built.shim_most", &raw.shim_most, MOST_SHIM_MM, Length::ZERO)?;
        let trim_most =
            self.optional("built.trim_most", &raw.trim_most, MOST_SHIM_MM, Length::ZERO)?;
        self.few("built.room", raw.room.len())?;
        let mut other_rooms = Vec::new();
        for one in &raw.room {
            let most = (heights.len() as i64).clamp(1, MOST_RISERS as i64);
            other_rooms.push(TreadRoom {
                tread: self.count("built.room.tread", &one.tread, 1, most)? as usize,
                room: Room::new(
                    self.optional("built.room.shim", &one.shim, MOST_SHIM_MM, shim_most)?,
                    self.optional("built.room.trim", &one.trim, MOST_SHIM_MM, trim_most)?,
                )?,
            });
        }
        let (come, upper_come) = (&raw.finish_to_come, &raw.upper_finish_to_come);
        let pattern = raw.pattern.as_ref();
        Ok(AsBuilt {
            heights,
            upper: raw
                .upper
                .as_ref()
                .map(|upper| self.positive("built.upper", upper, MOST_TOTAL_RISE_MM))
                .transpose()?,
            finish_to_come: self.optional(
                "built.finish_to_come",
                come,
                MOST_SHIM_MM,
                Length::ZERO,
            )?,
            upper_finish_to_come: self.optional(
                "built.upper_finish_to_come",
                upper_come,
                MOST_SHIM_MM,
                Length::ZERO,
            )?,
            room: Room::new(shim_most, trim_most)?,
            other_rooms,
            neighbours_most: match &raw.neighbours_most {
                Some(most) => Some(self.positive("built.neighbours_most", most, MOST_SHIM_MM)?),
                None => None,
            },
            pattern: match pattern {
                Some(pattern) => Some([
                    self.remeasured("built.pattern.along", &pattern.along)?,
                    self.remeasured("built.pattern.across", &pattern.across)?,
                ]),
                None => None,
            },
        })
    }

    fn height(&mut self, raw: &Len, below: Option<&Length>) -> Result<Length, Error> {
        let height = self.positive("built.heights", raw, MOST_TOTAL_RISE_MM)?;
        if let Some(below) = below.filter(|below| height <= **below) {
            let allowed =
                format!("more than {below} below it: every tread from the lower floor, bottom up");
            return Err(self.refuse("built.heights", raw.span(), height.to_string(), &allowed));
        }
        Ok(height)
    }

    fn remeasured(&mut self, key: &str, raw: &RemeasuredFile) -> Result<Remeasured, Error> {
        Ok(Remeasured {
            marked: self.positive(&format!("{key}.marked"), &raw.marked, MOST_TOTAL_RISE_MM)?,
            measured: self.positive(
                &format!("{key}.measured"),
                &raw.measured,
                MOST_TOTAL_RISE_MM,
            )?,
        })
    }
}
