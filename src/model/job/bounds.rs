//! Figures of a job held against their bounds: all that lie outside are told in one run.

use std::ops::Range;

use toml::Spanned;

use super::resolve::Resolver;
use crate::diagnostics::Error;
use crate::profile::reader::Len;
use crate::profile::typing::MOST_SLIPS;
use crate::units::Length;

impl Resolver<'_> {
    /// What is read of a text; where figures lie outside their range, all of those as one error,
    /// and nothing that only follows from them.
    ///
    /// # Errors
    /// Those, or what `read` ends with.
    pub(super) fn through<T>(
        mut self,
        read: impl FnOnce(&mut Self) -> Result<T, Error>,
    ) -> Result<T, Error> {
        let read = read(&mut self);
        let mut outside = self.outside.into_inner();
        outside.sort_by_key(|slip| slip.place().and_then(|place| place.line_column));
        outside.truncate(MOST_SLIPS);
        Error::all_of(outside).map_or(read, Err)
    }

    /// Notes a figure outside its range.
    fn is_outside(&self, key: &str, span: Range<usize>, found: String, allowed: &str) {
        self.outside.borrow_mut().push(self.refuse(key, span, found, allowed));
    }

    pub(super) fn within(
        &mut self,
        key: &str,
        raw: &Len,
        least: Length,
        most: Length,
    ) -> Result<Length, Error> {
        let length = self.length(key, raw)?;
        if length < least || length > most {
            self.is_outside(key, raw.span(), length.to_string(), &format!("{least} to {most}"));
            return Ok(if length < least { least } else { most });
        }
        Ok(length)
    }

    /// A length of more than 0, up to `most_mm`.
    pub(super) fn positive(&mut self, key: &str, raw: &Len, most_mm: f64) -> Result<Length, Error> {
        let length = self.length(key, raw)?;
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
