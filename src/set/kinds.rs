//! The kinds of pieces that a job is cut into: pattern, stringers, doublers, layers.

use super::Member;
use crate::finding::Finding;
use crate::mark::layer_marks;
use crate::measure::{Makes, Outsides};
use crate::plan::Tooled;

/// One kind of piece of a set.
#[derive(Clone, Debug)]
pub struct Kind {
    /// Which member it belongs to.
    pub member: usize,
    /// What the tool does to it.
    pub tooled: Tooled,
    /// How many are wanted.
    pub count: usize,
}

/// The kinds of pieces of one member on sheets; none where it has no tooling.
///
/// # Errors
/// A refusal if the layers of a stringer cannot be brought over each other.
pub fn kinds(member: usize, of: &Member) -> Result<Vec<Kind>, Finding> {
    let Some(tooling) = &of.tooling else { return Ok(Vec::new()) };
    let path = &tooling.path;
    let bare = |name: &str| Tooled {
        name: name.to_string(),
        piece: path.piece().clone(),
        path: path.clone(),
        strokes: Vec::new(),
        holes: Vec::new(),
    };
    let cut = &of.job.cut;
    let quantity = cut.quantity as usize * of.times;
    let doublers = match cut.sharing.outsides {
        Outsides::Single => 0,
        Outsides::Doubled => cut.quantity.min(2) as usize * of.times,
    };
    if let Makes::Pattern(_) = cut.makes {
        let marked = Tooled {
            strokes: tooling.marks.iter().flat_map(|m| m.strokes.iter().map(|s| s.points.clone())).collect(),
            holes: tooling.marks.iter().filter_map(|m| m.hole).collect(),
            ..bare("pattern")
        };
        return Ok(vec![Kind { member, tooled: marked, count: quantity }]);
    }
    if cut.sharing.layers == 1 {
        let all = [("stringer", quantity), ("doubler", doublers)];
        let some = all.into_iter().filter(|(_, count)| *count > 0);
        return Ok(some.map(|(name, count)| Kind { member, tooled: bare(name), count }).collect());
    }
    let layer = |i: u32| {
        let letter = char::from(b'A' + i as u8);
        let (radius, stroke) = (cut.machine.tool_radius(), cut.machine.stroke_width());
        let marks = layer_marks(path.piece(), letter, &of.job.title, cut.sharing.dowel, radius, stroke)?;
        let tooled = Tooled { strokes: marks.strokes, holes: marks.holes, ..bare(&format!("layer {letter}")) };
        Ok(Kind { member, tooled, count: quantity + doublers })
    };
    (0..cut.sharing.layers).map(layer).collect()
}
