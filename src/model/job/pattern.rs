//! From the job file to the job: a pattern or the stringers themselves, what follows a pattern, and
//! how much is marked on it.

use serde::Deserialize;
use toml::Spanned;

use super::job_file::{CutFile, JobFile, MakesFile, WithFile};
use super::parts::{Follow, Long, Makes};
use super::resolve::Resolver;
use super::short_forms::FollowShort;
use crate::diagnostics::{Error, ErrorKind};
use crate::profile::Form;

const USUAL_LEAD: (f64, f64) = (1.0 / 32.0, 0.8);

/// How much is marked: on a pattern, or on the stringers themselves.
#[derive(Clone, Copy, Debug, Default, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum MarksAsked {
    /// Numbers, ends, lines, check lengths, title and dimensions.
    #[default]
    Full,
    /// Numbers, ends, lines, check lengths and the job's own number.
    Short,
    /// Nothing.
    None,
    /// Of stringers: the number of each on its sheet, and the job's title where it fits.
    Number,
}

impl Resolver<'_> {
    /// How much is marked: all sorts of things on a pattern, numbers alone on stringers that come
    /// out of sheets.
    pub(super) fn marks(
        &self,
        job: &JobFile,
        raw: &CutFile,
        form: Form,
    ) -> Result<MarksAsked, Error> {
        let Some(asked) = &raw.marks else { return Ok(MarksAsked::default()) };
        let error = |what: &str, found: &str| {
            Error::new(ErrorKind::Input, what).at(self.place(asked.span())).found(found)
        };
        let number = *asked.get_ref() == MarksAsked::Number;
        match (raw.makes, number) {
            (MakesFile::Pattern, false) => Ok(*asked.get_ref()),
            (MakesFile::Pattern, true) => Err(error(
                "cut.marks = \"number\" is for stringers: a pattern is one of a kind",
                "marks = \"number\" beside makes = \"pattern\"",
            )
            .allowed("\"full\", \"short\" or \"none\" on a pattern")
            .hint("marks = \"short\"")),
            (MakesFile::Stringers, false) => Err(error(
                "cut.marks: stringers are marked with their number alone",
                "other marks beside makes = \"stringers\"",
            )
            .allowed("marks = \"number\" beside makes = \"stringers\"")
            .hint("marks = \"number\", or remove marks")),
            (MakesFile::Stringers, true) => {
                let alone =
                    form == Form::Board || job.housed.is_some() || raw.long == Some(Long::Index);
                if !alone {
                    return Ok(MarksAsked::Number);
                }
                Err(error(
                    "cut.marks = \"number\" is for stringers out of a sheet: any other has a \
                    program of its own, which is run once for each",
                    "a board, a housed stringer or long = \"index\"",
                )
                .allowed("a sheet as material, with several stringers")
                .hint(
                    "remove marks: the top of the program and the run order say which number to \
                    write on each by hand",
                ))
            }
        }
    }

    /// A pattern, with what will follow it, or the stringers themselves.
    pub(super) fn makes(&mut self, raw: &CutFile) -> Result<Makes, Error> {
        match (raw.makes, &raw.follow) {
            (MakesFile::Pattern, None) => Ok(Makes::Pattern(Follow::Edge)),
            (MakesFile::Pattern, Some(follow)) => self.follow(follow).map(Makes::Pattern),
            (MakesFile::Stringers, None) => Ok(Makes::Stringers),
            (MakesFile::Stringers, Some(follow)) => Err(Error::new(
                ErrorKind::Input,
                "cut.follow is for a pattern only: a stringer itself is followed by nothing",
            )
            .at(self.place(follow.span()))
            .found("follow with makes = \"stringers\"")
            .allowed("follow with makes = \"pattern\"")
            .hint("remove follow, or makes = \"pattern\"")),
        }
    }

    fn follow(&mut self, raw: &Spanned<FollowShort>) -> Result<Follow, Error> {
        let FollowShort(file) = raw.get_ref();
        match (file.with, &file.lead, &file.outside, &file.bit) {
            (WithFile::Edge, None, None, None) => Ok(Follow::Edge),
            (WithFile::BearingBit, None, None, None) => Ok(Follow::BearingBit),
            (WithFile::Pencil, None, None, None) => {
                Ok(Follow::Pencil { lead: self.usual("cut.follow.lead", USUAL_LEAD) })
            }
            (WithFile::Pencil, Some(lead), None, None) => {
                Ok(Follow::Pencil { lead: self.positive("cut.follow.lead", lead, 10.0)? })
            }
            (WithFile::Bushing, None, Some(outside), Some(bit)) => {
                let outside_length = self.positive("cut.follow.outside", outside, 100.0)?;
                let bit = self.positive("cut.follow.bit", bit, 100.0)?;
                if bit >= outside_length {
                    let allowed = format!("more than the bit's {bit}");
                    return Err(self.refuse(
                        "cut.follow.outside",
                        outside.span(),
                        outside_length.to_string(),
                        &allowed,
                    ));
                }
                Ok(Follow::Bushing { outside: outside_length, bit })
            }
            _ => Err(Error::new(ErrorKind::Input, "cut.follow has keys that do not go together")
                .at(self.place(raw.span()))
                .found("a missing key, or one of another way of following")
                .allowed(
                    "edge and bearing-bit: no further key; pencil: lead, or nothing; bushing: \
                    outside and bit",
                )
                .hint(
                    "give what follows the pattern just the keys that stand behind its name above, \
                    as measured",
                )),
        }
    }
}
