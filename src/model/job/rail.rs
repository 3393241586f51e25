//! Posts, handrail and balusters of a stair. From the job file to the job.

use toml::Spanned;

use super::around_file::RailFile;
use super::resolve::Resolver;
use super::stringer::Stringer;
use crate::diagnostics::{Error, ErrorKind};
use crate::units::Length;

/// The least and the most that a rail stands over the line through the nosings, in mm.
const HEIGHTS_MM: (f64, f64) = (500.0, 1_500.0);
/// The least width of a post, a baluster and an opening, in mm: less is a slip of the unit.
const LEAST_MM: f64 = 5.0;
/// How far posts stand apart at most where nothing is said, in inches (common practice, no source).
const USUAL_APART_IN: f64 = 72.0;
/// The widest opening between balusters where nothing is said, in inches: a little under the four
/// that a ball of most rule sets has (common practice, no source: check locally).
const USUAL_GAP_IN: f64 = 3.875;

/// The rail that is asked for: figures to set posts and balusters by, no design of a guard.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rail {
    /// Top of the rail over the line through the nosings, plumb.
    pub height: Length,
    /// Width of a post along the stair.
    pub post: Length,
    /// How far posts stand apart at most, centre to centre, level.
    pub most_apart: Length,
    /// Width of a baluster along the stair; none where there are none.
    pub baluster: Option<Length>,
    /// The widest opening, level, between two balusters, or a baluster and a post.
    pub most_gap: Length,
}

impl Resolver<'_> {
    /// The rail, where the job has one.
    pub(super) fn rail(
        &mut self,
        raw: Option<&Spanned<RailFile>>,
        stringer: &Stringer,
    ) -> Result<Option<Rail>, Error> {
        let Some(raw) = raw else { return Ok(None) };
        let (raw, span) = (raw.get_ref(), raw.span());
        if stringer.housed().is_some() {
            return Err(Error::new(
                ErrorKind::Input,
                "where posts stand beside the pockets of a housed stringer is not worked out",
            )
            .at(self.place(span))
            .found(format!("both {} and [rail]", stringer.table()))
            .allowed("[rail] beside a cut stringer or one with cleats")
            .hint("leave out [rail]"));
        }
        let (least, most) = HEIGHTS_MM;
        let sized = |resolver: &mut Self, key, raw: &_| {
            resolver.within(key, raw, Length::mm(LEAST_MM), Length::mm(1_000.0))
        };
        Ok(Some(Rail {
            height: self.within("rail.height", &raw.height, Length::mm(least), Length::mm(most))?,
            post: sized(self, "rail.post", &raw.post)?,
            most_apart: match &raw.most_apart {
                Some(apart) => {
                    self.within("rail.most_apart", apart, Length::mm(100.0), Length::mm(10_000.0))?
                }
                None => Length::inches(USUAL_APART_IN),
            },
            baluster: raw
                .baluster
                .as_ref()
                .map(|width| sized(self, "rail.baluster", width))
                .transpose()?,
            most_gap: match &raw.most_gap {
                Some(gap) => sized(self, "rail.most_gap", gap)?,
                None => Length::inches(USUAL_GAP_IN),
            },
        }))
    }
}
