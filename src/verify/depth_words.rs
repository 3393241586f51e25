//! The depth of pockets, which lines do not say: the words of a drawing held against the job's.

use super::contents::{Drawing, Words};
use super::expectation::Pocket;
use super::findings::Findings;
use super::verdict::Recognised;
use crate::diagnostics::codes::{self, DepthWords};

/// Tells where no words say the depth of the pockets, and which say another.
pub(super) fn tell(
    drawing: &Drawing,
    pockets: &[Pocket],
    what: Recognised,
    findings: &mut Findings<'_>,
) {
    let depth_mm = pockets.iter().map(|pocket| pocket.depth_mm).fold(0.0, f64::max);
    let lines = match what {
        Recognised::CompensatedDrawing => "path of the tool centre along the sides of pockets",
        Recognised::NominalDrawing | Recognised::Program => "sides of pockets",
    };
    let wanted = format!("POCKET: {lines}, {depth_mm:.4} mm deep from this face, cleared between");
    let mut is_said = false;
    for words in drawing.words.iter().filter(|words| says_a_depth(words)) {
        if words.text == wanted {
            is_said = true;
            continue;
        }
        let how = DepthWords::Other(words.text.escape_debug().to_string());
        findings.at_line(codes::PocketDepthWords { how, words: wanted.clone() }, words.line);
    }
    if !is_said {
        findings.at_file(codes::PocketDepthWords { how: DepthWords::Missing, words: wanted });
    }
}

/// Whether words give a depth: a figure beside the word, or in a line on pockets. The line of the
/// job's title, which is anybody's, does not.
fn says_a_depth(words: &Words) -> bool {
    let text = words.text.to_ascii_lowercase();
    let says = text.contains("deep") || text.contains("depth") || text.starts_with("pocket");
    says && text.chars().any(|c| c.is_ascii_digit()) && !words.is_title()
}
