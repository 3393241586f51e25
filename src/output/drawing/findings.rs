//! Findings as a drawing tells them: what stops or warns in sentences, what only the site can show
//! as a list to tick.

use crate::diagnostics::{Finding, Severity};

/// What is to be looked at on site, each once: `headroom: 80 in at least`.
pub(super) fn check_on_site(findings: &[Finding]) -> Vec<String> {
    let mut boxes: Vec<String> = Vec::new();
    for item in findings.iter().filter_map(Finding::site_item) {
        let text = match item.what.split_once(": ") {
            Some((place, asks)) => format!("{place}: {}", shortly(asks)),
            None => item.what,
        };
        if !boxes.contains(&text) {
            boxes.push(text);
        }
    }
    boxes
}

/// All else: its weight and place, its sentence; refusals first.
pub(super) fn sentences(findings: &[Finding]) -> Vec<(String, String)> {
    let mut told: Vec<&Finding> =
        findings.iter().filter(|finding| finding.site_item().is_none()).collect();
    told.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
    told.into_iter().map(sentence).collect()
}

fn sentence(finding: &Finding) -> (String, String) {
    let weight = match (&finding.waived, finding.severity) {
        (Some(_), _) => "Refusal, WAIVED",
        (None, Severity::Refusal) => "Refusal",
        (None, Severity::Warning) => "Warning",
        (None, Severity::Advice) => "Note",
    };
    let mut text = finding.sentence();
    if let Some(reason) = &finding.waived {
        text = format!("{text}; taken on by the owner: {reason}");
    }
    (format!("{weight}, {}", finding.place), text)
}

/// `at least 80 in (2032.0 mm)` as a rule reads it: `80 in at least`.
fn shortly(asks: &str) -> String {
    let parts = asks.split(", ").map(|part| {
        let part = without_mm(part);
        let turned = ["at least", "at most"].into_iter().find_map(|bound| {
            part.strip_prefix(bound).map(|figure| format!("{} {bound}", figure.trim()))
        });
        turned.unwrap_or(part)
    });
    parts.collect::<Vec<_>>().join(", ")
}

/// Without the millimetres in brackets behind a length in inches.
fn without_mm(part: &str) -> String {
    match part.split_once(" (") {
        Some((before, rest)) => match rest.split_once(" mm)") {
            Some((figure, after)) if figure.parse::<f64>().is_ok() => format!("{before}{after}"),
            _ => part.to_string(),
        },
        None => part.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostics::codes;
    use crate::units::Length;

    #[test]
    fn what_the_site_shows_is_a_short_list_and_all_else_a_sentence() {
        let looks = |place: &str, asks: &str| {
            codes::NotChecked { asks: asks.into(), shown: codes::Shown::NotInJob }.at(place)
        };
        let findings = [
            looks("headroom", "at least 80 in (2032.0 mm)"),
            looks("landing slope", "at most 1:48"),
            looks("headroom", "at least 80 in (2032.0 mm)"),
            codes::HeadOverhangAssumed { overhang: Length::inches(1.0) }.at("head"),
        ];
        assert_eq!(
            check_on_site(&findings),
            ["headroom: 80 in at least", "landing slope: 1:48 at most"]
        );
        let told = sentences(&findings);
        assert_eq!(told.len(), 1);
        assert_eq!(told[0].0, "Note, head");
    }

    #[test]
    fn words_in_brackets_that_are_no_millimetres_stay() {
        assert_eq!(shortly("34 to 38 in high (both sides)"), "34 to 38 in high (both sides)");
        assert_eq!(shortly("at least 36 in (914.4 mm) clear"), "36 in clear at least");
    }
}
