//! What came of making a set: how it ended, its report, what people are told.

use std::path::{Path, PathBuf};

use super::Ending;
use super::console::Console;
use super::table::named;
use crate::diagnostics::Error;
use crate::diagnostics::{Code, Finding, Severity};

/// What came of making a set.
pub(super) struct Made {
    pub ending: Ending,
    /// The report.
    pub json: String,
    /// What is printed instead, for people.
    pub words: String,
    /// Why nothing was written.
    pub complaint: Option<String>,
    /// What refused it.
    pub refused: Option<RefusedBy>,
    /// Where it was put, if it was.
    pub place: Option<PathBuf>,
}

/// The codes of what refused a set, and what they say.
pub(super) struct RefusedBy {
    pub codes: String,
    pub say: String,
}

/// What could not be printed, of a set that is in its place all the same.
pub(super) fn in_place_all_the_same(error: Error, place: &Path) -> Error {
    Error::new(error.kind(), format!("{}; the set was put in place all the same", error.what()))
        .in_file(&place.display().to_string())
        .hint("nothing is missing but the text; report.json of a `make` holds what it says")
}

impl Made {
    /// A set that was written and proven.
    pub(super) fn written(json: String, words: String, place: &Path) -> Self {
        let place = Some(place.to_path_buf());
        Self { ending: Ending::Done, json, words, complaint: None, refused: None, place }
    }

    /// Nothing was written.
    pub(super) fn unwritten(
        ending: Ending,
        json: String,
        words: String,
        findings: &[Finding],
    ) -> Self {
        let weighs = |finding: &&Finding| match ending {
            Ending::DeniedWarnings => finding.severity == Severity::Warning,
            _ => finding.refuses(),
        };
        let mut codes: Vec<Code> = Vec::new();
        for finding in findings.iter().filter(weighs) {
            if !codes.contains(&finding.code) {
                codes.push(finding.code);
            }
        }
        let codes = named(&codes);
        let complaint = format!(
            "refused, nothing was written: {codes}; `seatcut explain CODE` says what to do"
        );
        let says = |f: &Finding| format!("{}: {}", f.subject(), f.sentence());
        let say: Vec<String> = findings.iter().filter(weighs).map(says).collect();
        let refused = Some(RefusedBy { codes, say: say.join("; ") });
        Self { ending, json, words, complaint: Some(complaint), refused, place: None }
    }

    /// Prints it.
    pub(super) fn tell(self, as_json: bool, console: &Console) -> Result<Ending, Error> {
        let printed = console.print(if as_json { &self.json } else { &self.words });
        printed.map_err(|error| match &self.place {
            Some(place) => in_place_all_the_same(error, place),
            None => error,
        })?;
        if let Some(complaint) = &self.complaint {
            console.tell(complaint);
        }
        Ok(self.ending)
    }
}
