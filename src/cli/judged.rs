//! A verdict as the report of `verify` gives it.

use crate::bundle::proven_figures;
use crate::output::judged_report::{FoundTabReport, JudgedReport};
use crate::output::report::PlacementReport;
use crate::verify::{FoundTab, PlacedAt, Recognised, Verdict};

/// What came of a file.
pub(super) fn report(
    file: &str,
    (skirt, step, stage): (Option<String>, Option<String>, Option<&'static str>),
    verdict: &Verdict,
) -> JudgedReport {
    JudgedReport {
        file: file.to_string(),
        is_this_part: verdict.is_this_part(),
        taken_for: Some(taken_for(verdict.what)),
        skirt,
        step,
        stage,
        placements: verdict.placements.iter().enumerate().map(|(i, at)| placement(i, at)).collect(),
        tabs: verdict.tabs.iter().map(found_tab).collect(),
        verified: Some(proven_figures(verdict)),
    }
}

/// What came of a set's frame: no part, and nothing to prove.
pub(super) fn frame(file: &str) -> JudgedReport {
    JudgedReport { taken_for: Some("frame"), ..unread(file) }
}

/// What came of a file that could not be read as what it seems to be.
pub(super) fn unread(file: &str) -> JudgedReport {
    let (placements, tabs) = (Vec::new(), Vec::new());
    JudgedReport {
        file: file.to_string(),
        is_this_part: false,
        taken_for: None,
        skirt: None,
        step: None,
        stage: None,
        placements,
        tabs,
        verified: None,
    }
}

fn taken_for(what: Recognised) -> &'static str {
    match what {
        Recognised::Program => "program",
        Recognised::Marks => "marks",
        Recognised::NominalDrawing => "nominal-drawing",
        Recognised::CompensatedDrawing => "compensated-drawing",
    }
}

fn placement(number: usize, at: &PlacedAt) -> PlacementReport {
    PlacementReport {
        part: format!("part {}", number + 1),
        x_mm: at.x_mm,
        y_mm: at.y_mm,
        turn_deg: at.turn_deg,
    }
}

fn found_tab(tab: &FoundTab) -> FoundTabReport {
    FoundTabReport {
        edge: tab.edge.clone(),
        x_mm: tab.at.x,
        y_mm: tab.at.y,
        length_mm: tab.length_mm,
        height_mm: tab.height_mm,
    }
}
