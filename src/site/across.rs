//! A floor out of level across the width: one pattern, and what comes off the bottom of each
//! stringer.

use crate::diagnostics::{Error, ErrorKind, Exact, Finding, codes};
use crate::job::{Job, RiseAcross};
use crate::profile::{Breach, Limit, Measure, ON_THE_LIMIT, Rules};
use crate::site::as_built::RiserLimits;
use crate::units::Length;

/// Without a limit on the spread in the rule set, readings may contradict each other by this, in
/// inches (common practice, no source).
const USUAL_SPREAD_IN: f64 = 0.375;

/// Two or three readings across the width of a stair, from left to right. Between them the rise
/// runs straight, beyond the outer ones it runs on.
#[derive(Clone, Debug, PartialEq)]
pub struct Readings {
    width: Length,
    readings: Vec<RiseAcross>,
}

/// What the unit rise is made from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// The greatest reading: the bottom riser is right where the floor is lowest, and lower
    /// elsewhere.
    Greatest,
    /// The middle between greatest and least: the bottom riser is higher on one side and lower on
    /// the other, each by half the difference.
    Middle,
}

/// What comes off one stringer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trim {
    /// Where its centre stands, from the left side.
    pub position: Length,
    /// Off its bottom, plumb, on a line along its seat; never negative.
    pub trim: Length,
    /// How high over the pattern's seat, plumb, the top of its plate notch lies, once it is let in
    /// again: deeper by the trim. None where no plate is let in.
    pub notch_top: Option<Length>,
}

/// The bottom riser at one place of the width.
#[derive(Clone, Debug, PartialEq)]
pub struct BottomRiser {
    /// In words.
    pub place: String,
    /// From the left side.
    pub offset: Length,
    /// As finished there.
    pub riser: Length,
    /// What it differs by from the other risers.
    pub spread: Length,
}

/// One pattern on a floor out of level.
#[derive(Clone, Debug, PartialEq)]
pub struct AcrossFit {
    /// Total rise that the stringers are made for: the greatest there is across the stair. Wood
    /// only ever comes off.
    pub greatest: Length,
    /// The least across the stair.
    pub least: Length,
    /// How much lower the ground lies where the flight lands than where the readings were taken;
    /// it is in every rise here.
    pub lower_by: Length,
    /// Every riser but the bottom one.
    pub unit_rise: Length,
    /// What the pattern's first riser cut has over one of equal risers. Nothing for
    /// [`Basis::Greatest`]; else the pattern is that of a job whose total rise is n unit rises,
    /// with this much more finish to come at the foot.
    pub foot_extra: Length,
    /// Each stringer.
    pub trims: Vec<Trim>,
    /// At the sides and at every reading, left to right.
    pub bottoms: Vec<BottomRiser>,
    /// What is worth saying.
    pub findings: Vec<Finding>,
}

impl Readings {
    /// Readings from left to right across a stair of this width.
    ///
    /// # Errors
    /// Where there are not two or three, one lies off the stair or means nothing, or two lie at one
    /// place; and refused where the middle one is off the line of the others by more than the rule
    /// set's spread: a hump or a slip.
    pub fn new(width: Length, readings: Vec<RiseAcross>, rules: &Rules) -> Result<Self, Error> {
        let input = |what: &str| Error::new(ErrorKind::Input, what);
        if width <= Length::ZERO {
            return Err(input("the width of the stair is nothing")
                .found(width.to_string())
                .allowed("more than 0")
                .hint("measure stair.width again"));
        }
        RiseAcross::are_enough(readings.len())?;
        for reading in &readings {
            if reading.offset < Length::ZERO
                || reading.offset > width
                || reading.total <= Length::ZERO
            {
                return Err(input("a reading means nothing")
                    .found(format!("{} at {} from the left", reading.total, reading.offset))
                    .allowed(format!("a rise of more than 0, at 0 to {width} from the left")));
            }
        }
        for pair in readings.windows(2) {
            pair[1].is_right_of(&pair[0])?;
        }
        let readings = Self { width, readings };
        readings.agree(rules).map(|()| readings)
    }

    fn agree(&self, rules: &Rules) -> Result<(), Error> {
        let [left, middle, right] = self.readings[..] else { return Ok(()) };
        let straight = on_line(left, right, middle.offset);
        let off = middle.total - straight;
        let (most, source) = match RiserLimits::of(rules).spread {
            Some(bound) => (bound.figure, bound.source),
            None => (Length::inches(USUAL_SPREAD_IN), crate::diagnostics::PRACTICE.to_string()),
        };
        if off.max(-off) <= most + Length::mm(ON_THE_LIMIT) {
            return Ok(());
        }
        Err(Error::new(ErrorKind::Refused, "the readings across the stair contradict each other")
            .found(format!(
                "{} at {}, where the outer readings give {straight}: {} off",
                middle.total, middle.offset, off
            ))
            .allowed(format!("at most {most} off ({source})"))
            .hint("measure again; if the floor is humped or hollow, level the landing first"))
    }

    /// The rise at an offset from the left side.
    pub fn rise_at(&self, offset: Length) -> Length {
        // The last pair that begins to the left of it; the first pair runs on to the left side.
        let pairs = self.readings.windows(2);
        let pair = pairs
            .clone()
            .rev()
            .find(|pair| pair[0].offset <= offset)
            .or_else(|| pairs.clone().next());
        pair.map_or(Length::ZERO, |pair| on_line(pair[0], pair[1], offset))
    }

    /// One pattern for stringers whose centres stand at `positions`, with this many risers.
    ///
    /// # Errors
    /// Where a position lies off the stair or there is no riser.
    pub fn fit(
        &self,
        job: &Job,
        risers: usize,
        positions: &[Length],
        basis: Basis,
    ) -> Result<AcrossFit, Error> {
        self.on_the_stair(risers, positions)?;
        let rises: Vec<Length> =
            self.places().iter().map(|(_, offset)| self.rise_at(*offset)).collect();
        // The rise runs straight between these places, so none in between is greater or less.
        let greatest = rises.iter().copied().fold(Length::ZERO, Length::max);
        let least = rises.iter().copied().fold(greatest, Length::min);
        let count = risers as f64;
        let unit_rise = match basis {
            Basis::Greatest => greatest / count,
            Basis::Middle => (greatest + least) / 2.0 / count,
        };
        let trims = positions.iter().map(|&position| {
            let trim = (greatest - self.rise_at(position)).max(Length::ZERO);
            Trim { position, trim, notch_top: None }
        });
        let bottoms: Vec<BottomRiser> =
            self.places().into_iter().map(|at| self.bottom(at, unit_rise, count)).collect();
        let mut findings = bottom_findings(&job.rules, &bottoms);
        findings.extend(self.beyond(positions));
        Ok(AcrossFit {
            greatest,
            least,
            lower_by: Length::ZERO,
            unit_rise,
            foot_extra: greatest - unit_rise * count,
            trims: trims.collect(),
            bottoms,
            findings,
        })
    }

    fn on_the_stair(&self, risers: usize, positions: &[Length]) -> Result<(), Error> {
        if risers == 0 {
            return Err(Error::new(ErrorKind::Input, "a flight without risers")
                .found("0")
                .allowed("1 or more"));
        }
        match positions.iter().find(|position| **position < Length::ZERO || **position > self.width)
        {
            None => Ok(()),
            Some(position) => {
                Err(Error::new(ErrorKind::Input, "a stringer does not stand under the stair")
                    .found(format!("{position} from the left side"))
                    .allowed(format!("0 to {}", self.width)))
            }
        }
    }

    /// Both sides and every reading, left to right.
    fn places(&self) -> Vec<(String, Length)> {
        let mut places = vec![("left side".to_string(), Length::ZERO)];
        let inside =
            self.readings.iter().filter(|r| r.offset > Length::ZERO && r.offset < self.width);
        places.extend(inside.map(|r| (format!("{} from the left side", r.offset), r.offset)));
        places.push(("right side".to_string(), self.width));
        places
    }

    fn bottom(
        &self,
        (place, offset): (String, Length),
        unit_rise: Length,
        count: f64,
    ) -> BottomRiser {
        let riser = self.rise_at(offset) - unit_rise * (count - 1.0);
        // A flight of one riser has no other to differ from.
        let spread =
            if count > 1.0 { (riser - unit_rise).max(unit_rise - riser) } else { Length::ZERO };
        BottomRiser { place, offset, riser, spread }
    }

    fn beyond(&self, positions: &[Length]) -> Option<Finding> {
        let (first, last) = (self.readings.first()?.offset, self.readings.last()?.offset);
        let outside = positions.iter().filter(|p| **p < first || **p > last).count();
        (outside > 0)
            .then(|| codes::ReadingBeyond { stringers: outside.into(), first, last }.at("floor"))
    }
}

fn on_line(from: RiseAcross, to: RiseAcross, offset: Length) -> Length {
    let share = (offset - from.offset).as_mm() / (to.offset - from.offset).as_mm();
    from.total + (to.total - from.total) * share
}

fn bottom_findings(rules: &Rules, bottoms: &[BottomRiser]) -> Vec<Finding> {
    let of_one = |bottom| {
        of_spread(rules, bottom).into_iter().chain(of_height(rules, bottom)).collect::<Vec<_>>()
    };
    bottoms.iter().flat_map(of_one).collect()
}

fn of_spread(rules: &Rules, bottom: &BottomRiser) -> Option<Finding> {
    let limits = RiserLimits::of(rules);
    let bound = limits.one_off()?;
    let found = codes::BottomRiserSpread {
        riser: bottom.riser,
        measured: Exact(bottom.spread),
        limit: bound.figure,
    };
    let broken = bound.is_exceeded_by(bottom.spread);
    broken.then(|| bound.weighed(found.at(bottom.place.as_str())))
}

fn of_height(rules: &Rules, bottom: &BottomRiser) -> Vec<Finding> {
    let (measured, place) = (Exact(bottom.riser), bottom.place.as_str());
    let held = |limit: &Limit| {
        let finding = match limit.breach(bottom.riser.as_mm())? {
            Breach::Below(least) => {
                codes::BottomRiserLow { measured, limit: Length::mm(least) }.at(place)
            }
            Breach::Above(most) => {
                codes::BottomRiserHigh { measured, limit: Length::mm(most) }.at(place)
            }
        };
        Some(finding.weighing(limit.severity).source(limit.source.as_str()))
    };
    rules.limits_on(Measure::UnitRise).filter_map(held).collect()
}
