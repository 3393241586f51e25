//! The findings of one file as they are collected: all of them, but a flood of one kind is counted, not listed.

use std::collections::BTreeMap;

use super::limits::MOST_OF_A_CODE;
use crate::diagnostics::{Code, Finding, Place};

/// A growing list of findings about one file.
pub(super) struct Findings<'a> {
    file: &'a str,
    all: Vec<Finding>,
    counts: BTreeMap<Code, usize>,
}

impl<'a> Findings<'a> {
    pub fn new(file: &'a str) -> Findings<'a> {
        Findings { file, all: Vec::new(), counts: BTreeMap::new() }
    }

    /// A finding at a line of the file.
    pub fn at_line(&mut self, code: Code, line: usize, measured: impl Into<String>, limit: impl Into<String>) {
        self.at(code, format!("{}:{line}", self.file), measured, limit);
    }

    /// A finding about the whole file.
    pub fn at_file(&mut self, code: Code, measured: impl Into<String>, limit: impl Into<String>) {
        self.at(code, self.file.to_string(), measured, limit);
    }

    /// A finding at a place on the part.
    pub fn at(&mut self, code: Code, place: impl Into<Place>, measured: impl Into<String>, limit: impl Into<String>) {
        let count = self.counts.entry(code).or_insert(0);
        *count += 1;
        if *count <= MOST_OF_A_CODE {
            let finding = Finding::about(code, place).figures(measured, limit);
            self.all.push(finding);
        }
    }

    /// All findings; a kind that came too often ends with how many more there were.
    pub fn finish(mut self) -> Vec<Finding> {
        for (code, count) in &self.counts {
            let more = count.saturating_sub(MOST_OF_A_CODE);
            let last = self.all.iter().rposition(|finding| finding.code == *code);
            if let (Some(last), true) = (last, more > 0) {
                self.all[last] = self.all[last].clone().and_more(more);
            }
        }
        self.all
    }
}
