//! Figures of a job held against their bounds: all that lie outside are told in one run.

use std::ops::Range;

use toml::Spanned;

use super::resolve::Resolver;
use crate::diagnostics::Error;
use crate::profile::reader::Len;
use crate::profile::typing::MOST_SLIPS;
use crate::units::Length;

/// Why a text was not read.
pub(super) enum Unread {
    /// For figures that cannot be read, or lie outside their range: everything else was read on.
    Figures(Vec<Error>),
    /// For this, and nothing behind it was looked at.
    Other(Error),
}

impl Unread {
    /// All of it as one error.
    pub(super) fn into_error(self) -> Error {
        match self {
            Self::Figures(figures) => {
                told_together(figures).expect("figures are told where there are some")
            }
            Self::Other(error) => error,
        }
    }
}

/// Slips in the order of their lines, as many as are told at once.
pub(super) fn told_together(mut slips: Vec<Error>) -> Option<Error> {
    slips.sort_by_key(|slip| slip.place().and_then(|place| place.line_column));
    slips.truncate(MOST_SLIPS);
    Error::all_of(slips)
}

impl Resolver<'_> {
    /// What is read of a text; where figures cannot be read or lie outside their range, all of
    /// those, and nothing that only follows from them.
    ///
    /// # Errors
    /// Those, or what `read` ends with.
    pub(super) fn through<T>(
        mut self,
        read: impl FnOnce(&mut Self) -> Result<T, Error>,
    ) -> Result<T, Unread> {
        let read = read(&mut self);
        let figures = self.outside.into_inner();
        if figures.is_empty() { read.map_err(Unread::Other) } else { Err(Unread::Figures(figures)) }
    }

    /// Notes a figure outside its range.
    fn is_outside(&self, key: &str, span: Range<usize>, found: String, allowed: &str) {
        self.outside.borrow_mut().push(self.refuse(key, span, found, allowed));
    }

    /// A length, if it can be read; it is noted where it cannot.
    fn noted(&mut self, key: &str, raw: &Len) -> Option<Length> {
        match self.length(key, raw) {
            Ok(length) => Some(length),
            Err(unreadable) => {
                self.outside.borrow_mut().push(unreadable);
                None
            }
        }
    }

    pub(super) fn within(
        &mut self,
        key: &str,
        raw: &Len,
        least: Length,
        most: Length,
    ) -> Result<Length, Error> {
        let Some(length) = self.noted(key, raw) else { return Ok(most) };
        if length < least || length > most {
            self.is_outside(key, raw.span(), length.to_string(), &format!("{least} to {most}"));
            return Ok(if length < least { least } else { most });
        }
        Ok(length)
    }

    /// A length of more than 0, up to `most_mm`.
    pub(super) fn positive(&mut self, key: &str, raw: &Len, most_mm: f64) -> Result<Length, Error> {
        let Some(length) = self.noted(key, raw) else { return Ok(Length::mm(most_mm)) };
        if length <= Length::ZERO || length > Length::mm(most_mm) {
            let allowed = format!("more than 0, at most {}", Length::mm(most_mm));
            self.is_outside(key, raw.span(), length.to_string(), &allowed);
            return Ok(Length::mm(most_mm));
        }
        Ok(length)
    }

    /// A length from 0 to `most_mm`, or `default` where the key is left out.
    pub(super) fn optional(
        &mut self,
        key: &str,
        raw: &Option<Len>,
        most_mm: f64,
        default: Length,
    ) -> Result<Length, Error> {
        match raw {
            Some(raw) => self.within(key, raw, Length::ZERO, Length::mm(most_mm)),
            None => Ok(default),
        }
    }

    pub(super) fn count(
        &self,
        key: &str,
        raw: &Spanned<i64>,
        least: i64,
        most: i64,
    ) -> Result<u32, Error> {
        let value = *raw.get_ref();
        if !(least..=most).contains(&value) {
            let allowed = format!("{least} to {most}");
            self.is_outside(key, raw.span(), value.to_string(), &allowed);
        }
        Ok(value.min(most).max(least) as u32)
    }
}
