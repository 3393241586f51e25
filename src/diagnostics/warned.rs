//! How every step of the work reports: a value with what is to be said about it, or everything that refuses it.

use super::{Finding, Waivable};

/// A value, and what was found on the way that stops nobody.
#[derive(Clone, Debug)]
pub struct Warned<T> {
    /// The value.
    pub value: T,
    /// Advice, warnings, and refusals that were waived.
    pub findings: Vec<Finding>,
}

impl<T> Warned<T> {
    /// A value about which nothing is to be said.
    pub fn plain(value: T) -> Warned<T> {
        Warned { value, findings: Vec::new() }
    }

    /// The same findings about something made of the value.
    pub fn map<U>(self, made: impl FnOnce(T) -> U) -> Warned<U> {
        Warned { value: made(self.value), findings: self.findings }
    }

    /// The value alone; its findings go to the end of `findings`.
    pub fn into_value(self, findings: &mut Vec<Finding>) -> T {
        findings.extend(self.findings);
        self.value
    }
}

/// Why there is no value: every finding, at least one of which refuses and cannot be waived, for no reason that somebody gives
/// brings the value.
#[derive(Clone, Debug)]
pub struct Refusals(Vec<Finding>);

impl Refusals {
    /// All that was found, a refusal among it.
    pub fn new(findings: Vec<Finding>) -> Refusals {
        debug_assert!(findings.iter().any(Refusals::stops), "nothing stops for good: {findings:?}");
        Refusals(findings)
    }

    fn stops(finding: &Finding) -> bool {
        finding.refuses() && finding.code.row().waivable == Waivable::Never
    }

    /// Every finding.
    pub fn findings(&self) -> &[Finding] {
        &self.0
    }

    /// Every finding, given away.
    pub fn into_findings(self) -> Vec<Finding> {
        self.0
    }
}

impl From<Finding> for Refusals {
    fn from(finding: Finding) -> Refusals {
        Refusals::new(vec![finding])
    }
}

/// What a step of the work gives.
pub type Outcome<T> = Result<Warned<T>, Refusals>;
