//! Refusals that the owner takes on, with a reason.

use crate::finding::{Finding, Severity};
use crate::measure::Waiver;

/// What cannot be waived: there is no part or no program without it, or somebody would be hurt.
const NEVER: &[&str] = &[
    "no-first-riser",
    "no-throat",
    "no-seat",
    "no-top-tread",
    "top-tread-long",
    "notch-beyond-seat",
    "notch-reaches-tread",
    "housed-no-pocket",
    "housed-thin",
    "housed-laser",
    "housed-pattern",
    "housed-board",
    "housed-plate",
    "housed-several",
    "pocket-narrow",
    "beyond-stock",
    "beyond-travel",
    "laser-on-treated",
    "laser-too-thick",
    "cutter-too-wide",
    "cutter-too-short",
    "interference",
    "relief-overlap",
    "no-lead-room",
    "feed-too-fast",
    "feed-too-slow",
    "power-too-high",
    "program-long",
    "speed-too-fast",
    "travel-too-low",
    "bit-too-wide",
    "mark-too-deep",
    "mark-unknown-character",
    "dowel-too-small",
    "no-dowel-room",
    "clamp-in-cut",
    "clamp-in-the-way",
    "clamp-off-sheet",
    "piece-loose",
    "offcut-loose",
    "index-no-break",
    "index-no-pins",
    "index-router-only",
    "split-stringer",
    "split-no-room",
    "spacing-below-cutter",
    "sheet-covered",
    "board-too-short",
    "not-worked-out",
];

/// Writes each waiver's reason on the refusals it names, and says which waivers did nothing.
pub fn apply_waivers(findings: &mut Vec<Finding>, waivers: &[Waiver]) {
    for waiver in waivers {
        let never = NEVER.contains(&waiver.rule.as_str());
        let mut used = false;
        for finding in
            findings.iter_mut().filter(|f| f.severity == Severity::Refusal && f.code == waiver.rule && !never)
        {
            finding.waived = Some(waiver.reason.clone());
            used = true;
        }
        if !used {
            let words = if never { "this refusal cannot be waived" } else { "no such refusal here" };
            let finding = Finding::new("waiver-unused", Severity::Warning, format!("waive {}", waiver.rule));
            findings.push(finding.figures(words, "the code of a refusal of this job"));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_never_waived_is_what_can_be_found() {
        for name in NEVER {
            assert!(crate::cli::explanations().any(|explained| explained.code == *name), "{name}");
        }
    }

    #[test]
    fn a_bit_wider_than_the_notch_it_must_cut_is_not_waived() {
        let mut findings = vec![Finding::new("bit-too-wide", Severity::Refusal, "plate notch")];
        let waiver = Waiver { rule: "bit-too-wide".to_string(), reason: "by hand".to_string() };
        apply_waivers(&mut findings, &[waiver]);
        assert!(findings[0].refuses() && findings[1].code == "waiver-unused", "{findings:?}");
    }
}
