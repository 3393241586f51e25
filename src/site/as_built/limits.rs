//! What a rule set asks of risers that stand already.

use crate::diagnostics::{Exact, Finding, Numbered, Place, Severity, codes};
use crate::profile::{Limit, Measure, ON_THE_LIMIT, Rules};
use crate::stair::{largest_and_smallest, spread};
use crate::units::Length;

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

impl Bound {
    /// A breach of it, with its weight and its source.
    pub(in crate::site) fn weighed(&self, finding: Finding) -> Finding {
        finding.weighing(self.severity).source(self.source.as_str())
    }

    /// Whether a figure lies above it, by more than [`ON_THE_LIMIT`].
    pub(in crate::site) fn is_exceeded_by(&self, measured: Length) -> bool {
        measured > self.figure + Length::mm(ON_THE_LIMIT)
    }
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
    /// The tightest limits of a rule set; limits that are mere advice are left out, for a schedule
    /// would chase them.
    pub fn of(rules: &Rules) -> Self {
        let binding =
            |measure| rules.limits_on(measure).filter(|limit| limit.severity > Severity::Advice);
        Self {
            least: tightest(binding(Measure::UnitRise), |limit| limit.at_least, |a, b| a > b),
            most: tightest(binding(Measure::UnitRise), |limit| limit.at_most, |a, b| a < b),
            spread: tightest(binding(Measure::RiserSpread), |limit| limit.at_most, |a, b| a < b),
            step: tightest(binding(Measure::RiserStep), |limit| limit.at_most, |a, b| a < b),
        }
    }

    /// With a limit on the difference of two neighbouring risers, where it is tighter than the one
    /// that is there.
    pub fn with_step(
        mut self,
        figure: Length,
        severity: Severity,
        source: impl Into<String>,
    ) -> Self {
        if self.step.as_ref().is_none_or(|step| figure < step.figure) {
            self.step = Some(Bound { figure, severity, source: source.into() });
        }
        self
    }

    /// The most by which one riser may differ where all the others are alike.
    pub fn one_off(&self) -> Option<&Bound> {
        let both = [&self.spread, &self.step].into_iter().flatten();
        both.min_by(|a, b| a.figure.as_mm().total_cmp(&b.figure.as_mm()))
    }

    /// Every breach, riser by riser from the bottom, then the flight's; each says by how much.
    pub fn findings(&self, risers: &[Length]) -> Vec<Finding> {
        let each = risers.iter().enumerate().flat_map(|(k, &riser)| self.of_riser(k + 1, riser));
        let steps = risers
            .windows(2)
            .enumerate()
            .filter_map(|(k, pair)| self.of_step(k + 1, pair[0], pair[1]));
        each.chain(steps).chain(self.of_spread(risers)).collect()
    }

    fn of_riser(&self, number: usize, riser: Length) -> Vec<Finding> {
        let place = Place::Nth(Numbered::Riser, number);
        let measured = Exact(riser);
        let low = below(&self.least, riser).map(|(bound, by)| {
            let found = codes::BuiltRiserLow { measured, limit: bound.figure, by: Exact(by) };
            bound.weighed(found.at(place.clone()))
        });
        let high = above(&self.most, riser).map(|(bound, by)| {
            let found = codes::BuiltRiserHigh { measured, limit: bound.figure, by: Exact(by) };
            bound.weighed(found.at(place.clone()))
        });
        low.into_iter().chain(high).collect()
    }

    /// About the riser of this number and the one above it.
    fn of_step(&self, number: usize, lower: Length, upper: Length) -> Option<Finding> {
        let step = (upper - lower).max(lower - upper);
        let (bound, by) = above(&self.step, step)?;
        let found = codes::BuiltStep { measured: Exact(step), limit: bound.figure, by: Exact(by) };
        Some(bound.weighed(found.at(Place::Pair(Numbered::Riser, number, number + 1))))
    }

    fn of_spread(&self, risers: &[Length]) -> Option<Finding> {
        let spread = spread(risers);
        let (bound, by) = above(&self.spread, spread)?;
        let [largest, smallest] = extremes(risers);
        let found = codes::BuiltSpread {
            largest: largest.into(),
            smallest: smallest.into(),
            measured: Exact(spread),
            limit: bound.figure,
            by: Exact(by),
        };
        Some(bound.weighed(found.at(Place::Pair(Numbered::Riser, largest, smallest))))
    }

    /// Whether all risers keep all limits, to [`ON_THE_LIMIT`].
    pub fn hold(&self, risers: &[Length]) -> bool {
        self.findings(risers).is_empty()
    }
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

/// The bound that `measured` lies below, and by how much.
fn below(bound: &Option<Bound>, measured: Length) -> Option<(&Bound, Length)> {
    let bound =
        bound.as_ref().filter(|bound| measured < bound.figure - Length::mm(ON_THE_LIMIT))?;
    Some((bound, bound.figure - measured))
}

fn above(bound: &Option<Bound>, measured: Length) -> Option<(&Bound, Length)> {
    let bound = bound.as_ref().filter(|bound| bound.is_exceeded_by(measured))?;
    Some((bound, measured - bound.figure))
}

/// The numbers of the largest and of the smallest riser; the first of several.
fn extremes(risers: &[Length]) -> [usize; 2] {
    largest_and_smallest(risers).map(|wanted| {
        let place = risers.iter().position(|r| r.is_within(Length::mm(ON_THE_LIMIT), wanted));
        place.expect("the largest and the smallest of risers that differ are among them") + 1
    })
}
