//! Refusals that the owner takes on, with a reason.

use crate::diagnostics::codes::{self, WaiverIdle};
use crate::diagnostics::{Finding, Severity, Waivable, table};
use crate::measure::Waiver;

/// Writes each waiver's reason on the refusals it names, and says which waivers did nothing.
pub fn apply_waivers(findings: &mut Vec<Finding>, waivers: &[Waiver]) {
    for waiver in waivers {
        let row = table::named(&waiver.rule);
        let never = row.is_some_and(|code| code.row().waivable == Waivable::Never);
        let mut used = false;
        let named = findings.iter_mut().filter(|f| f.severity == Severity::Refusal && Some(f.code) == row);
        for finding in named.filter(|_| !never) {
            finding.waived = Some(waiver.reason.clone());
            used = true;
        }
        if !used {
            let why = if never { WaiverIdle::CannotBe } else { WaiverIdle::NothingRefuses };
            findings.push(codes::WaiverUnused { why }.at(format!("waive {}", waiver.rule)));
        }
    }
}
