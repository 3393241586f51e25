//! What a rule set asks for that only the site can show, and when.

use serde::Deserialize;

use crate::diagnostics::Error;
use crate::profile::reader::{Len, Reader, printed};
use crate::units::Length;

/// What a requirement is about that only the site can show.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SiteMatter {
    /// Width of the stair between what stands beside it.
    ClearWidth,
    /// Height over the nose line.
    Headroom,
    /// A rail to hold on to.
    Handrail,
    /// What keeps people from falling off the side.
    Guards,
    /// Level floor at foot and head.
    Landing,
    /// Slope of the landing.
    LandingSlope,
    /// Distance between stringers.
    StringerSpacing,
    /// What the stair is to carry.
    LiveLoad,
    /// Light on the treads.
    Lighting,
    /// How the treads hold a foot.
    TreadSurface,
    /// Shape and colour of the treads' front edges.
    NosingShape,
    /// The other flights of the stair.
    OtherFlights,
    /// Whose stair it is, and where it stands: what the rule set is for.
    Use,
    /// Anything else, which the item's `what` says.
    Other,
}

impl SiteMatter {
    /// As it is said.
    pub fn words(self) -> &'static str {
        match self {
            Self::ClearWidth => "clear width",
            Self::Headroom => "headroom",
            Self::Handrail => "handrail",
            Self::Guards => "guards",
            Self::Landing => "landing",
            Self::LandingSlope => "landing slope",
            Self::StringerSpacing => "stringer spacing",
            Self::LiveLoad => "live load",
            Self::Lighting => "lighting",
            Self::TreadSurface => "tread surface",
            Self::NosingShape => "shape of the nosings",
            Self::OtherFlights => "other flights",
            Self::Use => "use of the stair",
            Self::Other => "on site",
        }
    }
}

/// A requirement that no measurement in the job can show.
#[derive(Clone, Debug)]
pub struct Unchecked {
    /// What it is about: the one thing about it that the code goes by.
    pub about: SiteMatter,
    /// What to look at on site, where the rule set has words of its own for it.
    what: Option<String>,
    /// What it must be.
    pub limit: String,
    /// Edition and clause.
    pub source: String,
    /// It is asked of flights of this many risers or more only.
    pub from_risers: Option<usize>,
    /// It is asked of flights that rise further than this only.
    pub above: Option<Length>,
}

impl Unchecked {
    /// What to look at on site, for people.
    pub fn what(&self) -> &str {
        self.what.as_deref().unwrap_or(self.about.words())
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct UncheckedFile {
    about: SiteMatter,
    what: Option<String>,
    limit: String,
    source: String,
    from_risers: Option<usize>,
    above: Option<Len>,
}

impl UncheckedFile {
    pub(super) fn resolved(self, reader: &Reader<'_>) -> Result<Unchecked, Error> {
        if self.about == SiteMatter::Other && self.what.is_none() {
            return Err(reader.error(
                "an unchecked item that does not say what to look at",
                "about = \"other\" without `what`",
                "what = \"gate at the head\"",
            ));
        }
        let above = self.above.as_ref();
        Ok(Unchecked {
            about: self.about,
            what: self.what,
            limit: self.limit,
            source: printed(&self.source),
            from_risers: self.from_risers,
            above: above.map(|above| reader.length("unchecked.above", above)).transpose()?,
        })
    }
}
