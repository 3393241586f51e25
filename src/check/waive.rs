//! Refusals that the owner takes on, with a reason.

use crate::diagnostics::codes::{self, WaiverIdle};
use crate::diagnostics::{Finding, Severity, Waivable, table};
use crate::job::Waiver;

/// Writes each waiver's reason on the refusals it names, and says which waivers did nothing.
pub fn apply_waivers(findings: &mut Vec<Finding>, waivers: &[Waiver]) {
    for waiver in waivers {
        let row = table::named(&waiver.rule);
        let never = row.is_some_and(|code| code.row().waivable == Waivable::Never);
        let mut used = false;
        let named =
            findings.iter_mut().filter(|f| f.severity == Severity::Refusal && Some(f.code) == row);
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostics::Code;

    fn refused(code: Code, waived: &str) -> Vec<Finding> {
        let waiver = Waiver { rule: waived.to_string(), reason: "invented".to_string() };
        let mut findings = vec![Finding::of_row(code).weighing(Severity::Refusal)];
        apply_waivers(&mut findings, &[waiver]);
        findings
    }

    fn can_refuse(code: &Code) -> bool {
        code.row().severity == Severity::Refusal || code.row().waivable == Waivable::Waivable
    }

    #[test]
    fn a_waiver_takes_on_every_refusal_that_can_be_and_of_every_other_says_that_it_cannot() {
        let (mut taken, mut kept) = (0, 0);
        for code in table::all().filter(can_refuse) {
            let findings = refused(code, code.name());
            match code.row().waivable {
                Waivable::Waivable => {
                    assert!(findings.len() == 1 && !findings[0].refuses(), "{findings:?}");
                    assert_eq!(findings[0].waived.as_deref(), Some("invented"));
                    taken += 1;
                }
                Waivable::Never => {
                    assert!(findings.len() == 2 && findings[0].refuses(), "{findings:?}");
                    assert!(findings[1].is::<codes::WaiverUnused>(), "{findings:?}");
                    assert_eq!(findings[1].value("why"), Some(&WaiverIdle::CannotBe.into()));
                    kept += 1;
                }
            }
        }
        assert!(taken > 30 && kept > 30, "{taken} {kept}");
    }

    #[test]
    fn a_waiver_of_something_else_takes_on_nothing_and_says_so() {
        for (other, why) in [
            ("unit-run-low", WaiverIdle::NothingRefuses),
            ("no-such-row", WaiverIdle::NothingRefuses),
            ("no-throat", WaiverIdle::CannotBe),
        ] {
            let findings = refused(codes::UnitRiseHigh::CODE, other);
            assert!(findings.len() == 2 && findings[0].refuses(), "{findings:?}");
            assert_eq!(findings[1].value("why"), Some(&why.into()));
        }
    }
}
