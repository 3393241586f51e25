//! The findings of one file as they are collected: all of them, but a flood of one kind is counted,
//! not listed.

use std::collections::BTreeMap;

use super::limits::{MOST_ALIKE, MOST_OF_A_CODE};
use crate::diagnostics::{Code, Figure, Finding, Kind, Place};

/// A growing list of findings about one file.
pub(super) struct Findings<'a> {
    file: &'a str,
    all: Vec<Finding>,
    counts: BTreeMap<Code, usize>,
}

impl<'a> Findings<'a> {
    pub(crate) fn new(file: &'a str) -> Self {
        Findings { file, all: Vec::new(), counts: BTreeMap::new() }
    }

    /// Findings about the same file, for what is looked at beside this.
    pub(crate) fn beside(&self) -> Self {
        Self::new(self.file)
    }

    /// What was found beside this comes after it.
    pub(crate) fn append(&mut self, beside: Self) {
        let unlisted = beside.unlisted();
        beside.all.into_iter().for_each(|finding| self.add(finding));
        for (code, more) in unlisted {
            *self.counts.entry(code).or_insert(0) += more;
        }
    }

    /// A finding at a line of the file.
    pub(crate) fn at_line(&mut self, kind: impl Kind, line: usize) {
        self.at(kind, Place::Line { file: self.file.to_string(), line });
    }

    /// A finding about the whole file.
    pub(crate) fn at_file(&mut self, kind: impl Kind) {
        self.at(kind, self.file);
    }

    /// A finding at a place on the part.
    pub(crate) fn at(&mut self, kind: impl Kind, place: impl Into<Place>) {
        self.add(kind.found(place.into()));
    }

    /// A finding that was made where the file is not known.
    pub(crate) fn add(&mut self, finding: Finding) {
        let count = self.counts.entry(finding.code).or_insert(0);
        *count += 1;
        let is_told = matches!(finding.place, Place::Line { .. })
            && self.all.iter().filter(|told| told.says_as(&finding)).count() >= MOST_ALIKE;
        // Never is what refuses among what is only counted.
        let refuses = || !self.all.iter().any(|told| told.code == finding.code && told.refuses());
        if *count <= MOST_OF_A_CODE && !is_told || finding.refuses() && refuses() {
            self.all.push(finding);
        }
    }

    /// How many of each kind came and are not listed.
    fn unlisted(&self) -> BTreeMap<Code, usize> {
        let mut more = self.counts.clone();
        for finding in &self.all {
            *more.entry(finding.code).or_insert(1) -= 1;
        }
        more.retain(|_, more| *more > 0);
        more
    }

    /// All findings; a kind that came too often ends with how many more there were.
    pub(crate) fn finish(mut self) -> Vec<Finding> {
        for (code, more) in self.unlisted() {
            if let Some(last) = self.all.iter().rposition(|finding| finding.code == code) {
                self.all[last] = self.all[last].clone().and_more(more);
            }
        }
        self.all
    }
}

/// A spindle's speed.
pub(super) fn rpm(value: f64) -> Figure {
    Figure { value, unit: "rpm", digits: 1 }
}

/// A time.
pub(super) fn seconds(value: f64) -> Figure {
    Figure { value, unit: "s", digits: 3 }
}

/// A figure that has no unit, as the S word of a beam.
pub(super) fn bare(value: f64) -> Figure {
    Figure { value, unit: "", digits: 3 }
}
