//! How every step of the work reports: a value with what is to be said about it, or everything that
//! refuses it.

use super::{Finding, Waivable};

/// A value, and what was found on the way that stops nobody.
#[derive(Clone, Debug)]
pub struct Warned<T> {
    /// The value.
    pub value: T,
    /// Advice, warnings, and refusals that were waived.
    pub findings: Vec<Finding>,
}

impl Warned<()> {
    /// The findings of a check: the work goes on if none of them refuses.
    ///
    /// # Errors
    /// All of them, where one refuses.
    pub fn unless_refused(findings: Vec<Finding>) -> Outcome<()> {
        if findings.iter().any(Finding::refuses) {
            Err(Refusals::new(findings))
        } else {
            Ok(Self::new((), findings))
        }
    }
}

impl<T> Warned<T> {
    /// A value, and what is to be said about it.
    pub fn new(value: T, findings: Vec<Finding>) -> Self {
        Self { value, findings }
    }

    /// A value about which nothing is to be said.
    pub fn plain(value: T) -> Self {
        Self::new(value, Vec::new())
    }

    /// What the next step makes of the value; what was said before comes before what that step
    /// says, waived or refused.
    ///
    /// # Errors
    /// Those of the step.
    pub fn and_then<U>(self, step: impl FnOnce(T) -> Outcome<U>) -> Outcome<U> {
        match step(self.value) {
            Ok(next) => Ok(Warned::new(next.value, [self.findings, next.findings].concat())),
            Err(refusals) => Err(Refusals([self.findings, refusals.0].concat())),
        }
    }

    /// The values of steps that do not depend on each other.
    ///
    /// # Errors
    /// Everything said up to the first that refuses.
    pub fn all(mut steps: impl Iterator<Item = Outcome<T>>) -> Outcome<Vec<T>> {
        steps.try_fold(Warned::plain(Vec::new()), |before, step| {
            before.and_then(|mut values| {
                let step = step?;
                values.push(step.value);
                Ok(Warned::new(values, step.findings))
            })
        })
    }

    /// The same value with more to be said about it.
    pub fn and_say(mut self, more: impl IntoIterator<Item = Finding>) -> Self {
        self.findings.extend(more);
        self
    }

    /// The same findings about something made of the value.
    pub fn map<U>(self, made: impl FnOnce(T) -> U) -> Warned<U> {
        Warned { value: made(self.value), findings: self.findings }
    }
}

/// Why there is no value: every finding, at least one of which refuses and cannot be waived, for no
/// reason that somebody gives brings the value.
#[derive(Clone, Debug, thiserror::Error)]
#[error("{}", .0.iter().map(Finding::line).collect::<Vec<_>>().join("\n"))]
pub struct Refusals(Vec<Finding>);

impl Refusals {
    /// All that was found, a refusal among it.
    ///
    /// # Panics
    /// If nothing of it refuses for good: a step that gives no value without one would leave the
    /// user without a reason, or with a waiver that does nothing.
    pub fn new(findings: Vec<Finding>) -> Self {
        assert!(findings.iter().any(Self::stops), "nothing stops for good: {findings:?}");
        Self(findings)
    }

    fn stops(finding: &Finding) -> bool {
        finding.refuses() && finding.code.row().waivable == Waivable::Never
    }

    /// Whether all that refuses is of one sort.
    pub fn are_all(&self, is: impl Fn(&Finding) -> bool) -> bool {
        self.0.iter().filter(|finding| finding.refuses()).all(is)
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

impl From<Vec<Finding>> for Refusals {
    fn from(findings: Vec<Finding>) -> Self {
        Self::new(findings)
    }
}

impl IntoIterator for Refusals {
    type Item = Finding;
    type IntoIter = std::vec::IntoIter<Finding>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl From<Finding> for Refusals {
    fn from(finding: Finding) -> Self {
        Self::new(vec![finding])
    }
}

/// What a step of the work gives. What inside a step can refuse but has nothing else to say gives a
/// plain `Result<T, Refusals>`.
pub type Outcome<T> = Result<Warned<T>, Refusals>;

/// Where everything said of a job comes together: the value of a step, if there is one; what it
/// said goes to the end of `findings`.
pub fn gathered<T>(outcome: Outcome<T>, findings: &mut Vec<Finding>) -> Option<T> {
    match outcome {
        Ok(warned) => {
            findings.extend(warned.findings);
            Some(warned.value)
        }
        Err(refusals) => {
            findings.extend(refusals);
            None
        }
    }
}
