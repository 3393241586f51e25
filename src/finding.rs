//! A finding: the work went on, but look at this. Findings are data, and all of them are always returned.

use std::fmt;

/// How much a finding weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Good to know.
    Advice,
    /// Likely a mistake.
    Warning,
    /// Nothing is made unless the owner waives it with a reason.
    Refusal,
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.pad(match self {
            Severity::Advice => "advice",
            Severity::Warning => "warning",
            Severity::Refusal => "refusal",
        })
    }
}

/// One thing that was looked at and found worth saying.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Finding {
    /// The stable name, as `seatcut explain` takes it.
    pub code: &'static str,
    /// How much it weighs.
    pub severity: Severity,
    /// Where on the stair or the part: `tread 3`, `foot`, `program-1.nc:12`.
    pub place: String,
    /// What was measured, with its unit.
    pub measured: String,
    /// What the limit is, with its unit.
    pub limit: String,
    /// The published source of the limit, with its clause; or `common practice, no source`.
    pub source: String,
    /// The owner's reason, where a refusal was waived.
    pub waived: Option<String>,
}

/// The source given for a fact of the trade.
pub const PRACTICE: &str = "common practice, no source";
/// The source given for a limit that follows from the geometry of the part itself.
pub const GEOMETRY: &str = "geometry of the part";

impl Finding {
    /// A finding that is not waived.
    pub fn new(code: &'static str, severity: Severity, place: impl Into<String>) -> Finding {
        Finding {
            code,
            severity,
            place: place.into(),
            measured: String::new(),
            limit: String::new(),
            source: PRACTICE.to_string(),
            waived: None,
        }
    }

    /// With what was measured and what the limit is.
    pub fn figures(mut self, measured: impl Into<String>, limit: impl Into<String>) -> Finding {
        self.measured = measured.into();
        self.limit = limit.into();
        self
    }

    /// With the source of the limit.
    pub fn source(mut self, source: impl Into<String>) -> Finding {
        self.source = source.into();
        self
    }

    /// Whether this stops the work: a refusal that nobody took on.
    pub fn refuses(&self) -> bool {
        self.severity == Severity::Refusal && self.waived.is_none()
    }
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "{:<8} {} at {}: {}", self.severity, self.code, self.place, self.measured)?;
        if !self.limit.is_empty() {
            write!(f, "; allowed: {}", self.limit)?;
        }
        write!(f, " [{}]", self.source)?;
        match &self.waived {
            Some(reason) => write!(f, " WAIVED: {reason}"),
            None => Ok(()),
        }
    }
}

/// What a finding's code means and what to do about it, as `seatcut explain` prints it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Explanation {
    /// The code.
    pub code: &'static str,
    /// What was looked at and why it matters.
    pub meaning: &'static str,
    /// What to do.
    pub to_do: &'static str,
}

/// Shorthand for a table of explanations.
pub const fn explained(code: &'static str, meaning: &'static str, to_do: &'static str) -> Explanation {
    Explanation { code, meaning, to_do }
}
