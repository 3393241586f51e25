//! The depth of pockets, which lines do not say: the words of a drawing held against the job's.

use super::contents::{Drawing, Words};
use super::expectation::Pocket;
use super::findings::Findings;
use super::layers::judged;
use super::verdict::Recognised;
use crate::diagnostics::codes::{self, DepthWords};
use crate::geometry::{Bounds, Segment};

/// Letters as small as this nobody sees, in mm.
const UNSEEN_MM: f64 = 0.5;

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
        Recognised::NominalDrawing | Recognised::Program | Recognised::Marks => "sides of pockets",
    };
    let wanted = format!("POCKET: {lines}, {depth_mm:.4} mm deep from this face, cleared between");
    let (mut is_said, mut unseen) = (false, None);
    let around = room(drawing);
    for words in drawing.words.iter().filter(|words| says_a_depth(words)) {
        if words.text == wanted {
            match is_seen(words, drawing, around) || is_all_there_is(words, drawing) {
                true => is_said = true,
                false => unseen = Some(words.line),
            }
            continue;
        }
        let how = DepthWords::Other(words.text.escape_debug().to_string());
        findings.at_line(codes::PocketDepthWords { how, words: wanted.clone() }, words.line);
    }
    if !is_said {
        match unseen {
            Some(line) => {
                let how = DepthWords::Unseen;
                findings.at_line(codes::PocketDepthWords { how, words: wanted }, line);
            }
            None => {
                let how = DepthWords::Missing;
                findings.at_file(codes::PocketDepthWords { how, words: wanted });
            }
        }
    }
}

/// The room that who opens the drawing has before him: as much again round the part on all sides.
fn room(drawing: &Drawing) -> Option<Bounds> {
    let all = judged(drawing).flat_map(|figure| figure.segments.iter().map(Segment::bounds));
    all.reduce(Bounds::joined).map(|all| all.grown(all.width().max(all.height())))
}

/// Whether a comment says it in a drawing that is made without words, for who cuts all that it
/// shows.
fn is_all_there_is(words: &Words, drawing: &Drawing) -> bool {
    words.layer.is_empty() && drawing.words.iter().all(|of| of.layer.is_empty())
}

/// Whether who opens the drawing reads words: they are what a shop mills by.
fn is_seen(words: &Words, drawing: &Drawing, around: Option<Bounds>) -> bool {
    let Some(shown) = words.shown else { return false };
    let is_near = shown.at.zip(around).is_some_and(|(at, room)| room.distance(at) <= 0.0);
    is_near
        && !shown.is_hidden
        && shown.height > UNSEEN_MM
        && drawing.layers.hidden(&words.layer).is_none()
}

/// Whether words give a depth: a figure beside the word, or in a line on pockets. The line of the
/// job's title, which is anybody's, does not.
fn says_a_depth(words: &Words) -> bool {
    let text = words.text.to_ascii_lowercase();
    let says = text.contains("deep") || text.contains("depth") || text.starts_with("pocket");
    says && text.chars().any(|c| c.is_ascii_digit()) && !words.is_title()
}
