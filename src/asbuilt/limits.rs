//! What a rule set asks of risers that stand already.

use crate::diagnostics::{Finding, Severity, codes};
use crate::profile::{Limit, Measure, ON_THE_LIMIT, Rules};
use crate::units::{Length, trimmed};

/// One limit with what a breach weighs and where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Bound {
    /// The figure.
    pub figure: Length,
    /// What a breach weighs.
    pub severity: Severity,
    /// Edition and clause.
    pub source: String,
}

/// The limits that hold for risers as built; one that the rule set does not have is left out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RiserLimits {
    /// The least riser.
    pub least: Option<Bound>,
    /// The most riser.
    pub most: Option<Bound>,
    /// The most by which the largest exceeds the smallest.
    pub spread: Option<Bound>,
    /// The most by which two neighbours differ.
    pub step: Option<Bound>,
}

impl RiserLimits {
    /// The tightest limits of a rule set; limits that are mere advice are left out, for a schedule would chase them.
    /// A rule set has no measure for neighbouring risers: [`RiserLimits::with_step`] adds one.
    pub fn of(rules: &Rules) -> RiserLimits {
        let binding = |measure| rules.limits_on(measure).filter(|limit| limit.severity > Severity::Advice);
        RiserLimits {
            least: tightest(binding(Measure::UnitRise), |limit| limit.at_least, |a, b| a > b),
            most: tightest(binding(Measure::UnitRise), |limit| limit.at_most, |a, b| a < b),
            spread: tightest(binding(Measure::RiserSpread), |limit| limit.at_most, |a, b| a < b),
            step: None,
        }
    }

    /// With a limit on the difference of two neighbouring risers.
    pub fn with_step(mut self, figure: Length, severity: Severity, source: impl Into<String>) -> RiserLimits {
        self.step = Some(Bound { figure, severity, source: source.into() });
        self
    }

    /// Every breach, riser by riser from the bottom, then the flight's; each says by how much.
    pub fn findings(&self, risers: &[Length]) -> Vec<Finding> {
        let mut findings = Vec::new();
        for (k, &riser) in risers.iter().enumerate() {
            let place = format!("riser {}", k + 1);
            findings.extend(below(&self.least, riser).map(|by| {
                let (bound, words) = by;
                told(Finding::about(codes::BuiltRiserLow::CODE, &place).weighing(bound.severity), riser, &words, bound)
            }));
            findings.extend(above(&self.most, riser).map(|by| {
                let (bound, words) = by;
                told(Finding::about(codes::BuiltRiserHigh::CODE, &place).weighing(bound.severity), riser, &words, bound)
            }));
        }
        for (k, pair) in risers.windows(2).enumerate() {
            let step = (pair[1] - pair[0]).max(pair[0] - pair[1]);
            findings.extend(above(&self.step, step).map(|(bound, words)| {
                let place = format!("risers {} and {}", k + 1, k + 2);
                told(Finding::about(codes::BuiltStep::CODE, place).weighing(bound.severity), step, &words, bound)
            }));
        }
        let spread = spread(risers);
        findings.extend(above(&self.spread, spread).map(|(bound, words)| {
            told(
                Finding::about(codes::BuiltSpread::CODE, extremes(risers)).weighing(bound.severity),
                spread,
                &words,
                bound,
            )
        }));
        findings
    }

    /// Whether all risers keep all limits, to [`ON_THE_LIMIT`].
    pub fn hold(&self, risers: &[Length]) -> bool {
        self.findings(risers).is_empty()
    }
}

/// Largest riser less smallest.
pub(super) fn spread(risers: &[Length]) -> Length {
    let largest = risers.iter().copied().reduce(Length::max).unwrap_or(Length::ZERO);
    let smallest = risers.iter().copied().reduce(Length::min).unwrap_or(Length::ZERO);
    largest - smallest
}

/// The largest difference of two neighbouring risers.
pub(super) fn largest_step(risers: &[Length]) -> Length {
    let steps = risers.windows(2).map(|pair| (pair[1] - pair[0]).max(pair[0] - pair[1]));
    steps.fold(Length::ZERO, Length::max)
}

fn tightest<'a>(
    limits: impl Iterator<Item = &'a Limit>,
    figure: impl Fn(&Limit) -> Option<f64>,
    tighter: impl Fn(f64, f64) -> bool,
) -> Option<Bound> {
    let all = limits.filter_map(|limit| figure(limit).map(|figure| (figure, limit)));
    let best = all.reduce(|best, next| if tighter(next.0, best.0) { next } else { best });
    best.map(|(figure, limit)| Bound {
        figure: Length::mm(figure),
        severity: limit.severity,
        source: limit.source.clone(),
    })
}

/// The bound that `measured` lies below, and the limit in words.
fn below(bound: &Option<Bound>, measured: Length) -> Option<(&Bound, String)> {
    let bound = bound.as_ref().filter(|bound| measured < bound.figure - Length::mm(ON_THE_LIMIT))?;
    Some((bound, format!("at least {}; short by {}", bound.figure, exactly(bound.figure - measured))))
}

fn above(bound: &Option<Bound>, measured: Length) -> Option<(&Bound, String)> {
    let bound = bound.as_ref().filter(|bound| measured > bound.figure + Length::mm(ON_THE_LIMIT))?;
    Some((bound, format!("at most {}; over by {}", bound.figure, exactly(measured - bound.figure))))
}

fn told(finding: Finding, measured: Length, limit: &str, bound: &Bound) -> Finding {
    finding.figures(exactly(measured), limit).source(bound.source.as_str())
}

/// A length as a tape reads it, and to a ten-thousandth of an inch.
pub(super) fn exactly(length: Length) -> String {
    format!("{length}, exactly {} in", trimmed(length.as_inches(), 4))
}

/// `risers 3 (largest) and 1 (smallest)`; the first of several.
fn extremes(risers: &[Length]) -> String {
    let at =
        |wanted: Length| risers.iter().position(|r| r.is_within(Length::mm(ON_THE_LIMIT), wanted)).unwrap_or(0) + 1;
    let largest = risers.iter().copied().reduce(Length::max).unwrap_or(Length::ZERO);
    let smallest = risers.iter().copied().reduce(Length::min).unwrap_or(Length::ZERO);
    format!("risers {} (largest) and {} (smallest)", at(largest), at(smallest))
}
