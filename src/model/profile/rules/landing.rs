//! How deep a landing between two flights has to be.

use serde::Deserialize;

use crate::diagnostics::Error;
use crate::profile::reader::{Len, Reader, printed};
use crate::units::Length;

/// What a rule set asks of a landing's depth, level and along the flight that arrives. The deeper
/// of its figures counts.
#[derive(Clone, Debug, PartialEq)]
pub struct LandingRule {
    least_depth: Length,
    as_wide: AsWide,
    /// Edition and clause.
    pub source: String,
}

/// Whether a landing has to be as deep as the stair is wide.
#[derive(Clone, Copy, Debug, PartialEq)]
enum AsWide {
    /// No.
    Any,
    /// Yes, however wide it is.
    Always,
    /// Yes, but of a wide stair no deeper than this.
    UpTo(Length),
}

impl LandingRule {
    /// The least depth of a landing of a stair of this width.
    pub fn least(&self, width: Length) -> Length {
        let by_width = match self.as_wide {
            AsWide::Any => Length::ZERO,
            AsWide::Always => width,
            AsWide::UpTo(most) => width.min(most),
        };
        self.least_depth.max(by_width)
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LandingFile {
    least_depth: Option<Len>,
    as_wide: Option<bool>,
    as_wide_up_to: Option<Len>,
    source: String,
}

impl LandingFile {
    pub(super) fn resolved(&self, reader: &Reader<'_>) -> Result<LandingRule, Error> {
        let least = self.least_depth.as_ref();
        let least = least.map(|raw| reader.positive("landing.least_depth", raw)).transpose()?;
        let as_wide = match (self.as_wide, &self.as_wide_up_to) {
            (Some(_), Some(_)) => {
                return Err(reader.error(
                    "a landing of two depths by the width of the stair",
                    "as_wide and as_wide_up_to",
                    "as_wide_up_to alone where a wide stair asks for no deeper landing",
                ));
            }
            (Some(true), None) => AsWide::Always,
            (_, Some(most)) => AsWide::UpTo(reader.positive("landing.as_wide_up_to", most)?),
            (_, None) => AsWide::Any,
        };
        if least.is_none() && as_wide == AsWide::Any {
            return Err(reader.error(
                "a landing without a depth",
                "neither least_depth nor as_wide nor as_wide_up_to",
                "least_depth = \"36 in\"",
            ));
        }
        let least_depth = least.unwrap_or(Length::ZERO);
        Ok(LandingRule { least_depth, as_wide, source: printed(&self.source) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rule(text: &str) -> Result<LandingRule, String> {
        let file: LandingFile = toml::from_str(text).unwrap();
        file.resolved(&Reader::new("rules.toml", text)).map_err(|error| error.to_string())
    }

    #[test]
    fn the_deeper_of_its_figures_counts() {
        let inches = Length::inches;
        for (text, width, least) in [
            ("least_depth = \"36 in\"", 60.0, 36.0),
            ("as_wide = true", 31.0, 31.0),
            ("as_wide_up_to = \"48 in\"", 44.0, 44.0),
            ("as_wide_up_to = \"48 in\"", 60.0, 48.0),
            ("least_depth = \"30 in\"\nas_wide = true", 22.0, 30.0),
        ] {
            let rule = rule(&format!("{text}\nsource = \"invented\"")).unwrap();
            assert_eq!(rule.least(inches(width)), inches(least), "{text} {width}");
        }
    }

    #[test]
    fn one_that_asks_for_nothing_or_twice_is_refused() {
        let refused = |text: &str| rule(&format!("{text}\nsource = \"invented\"")).unwrap_err();
        assert!(refused("as_wide = false").contains("without a depth"));
        assert!(refused("").contains("without a depth"));
        let twice = "as_wide = true\nas_wide_up_to = \"48 in\"";
        assert!(refused(twice).contains("two depths"));
        assert!(refused("least_depth = \"0 in\"").contains("least_depth"));
    }
}
