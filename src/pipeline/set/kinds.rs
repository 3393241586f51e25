//! The kinds of pieces that a job is cut into: pattern, stringers, doublers, layers, the pieces of
//! a split pattern.

use super::Member;
use super::split::split_kinds;
use crate::cam::compensate::compensate_piece;
use crate::cam::mark::{Bores, cleat_holes, layer_marks};
use crate::cam::plan::Tooled;
use crate::diagnostics::{Outcome, Refusals, Warned};
use crate::geometry::Contour;
use crate::job::Makes;
use crate::pipeline::steps::SheetPiece;
use crate::stair::outline::Role;
use crate::units::Length;

/// One kind of piece of a set.
#[derive(Clone, Debug)]
pub struct Kind {
    /// Which member it belongs to.
    pub member: usize,
    /// What the tool does to it.
    pub tooled: Tooled,
    /// The finished part in the board frame, with sharp corners: what it is proven against.
    pub part: Contour<Role>,
    /// How much smaller than the part the piece is, all round.
    pub inset: Length,
    /// How many are wanted.
    pub count: usize,
}

/// Treads, riser boards and skirts that are cut from the sheet of the stringers.
///
/// # Errors
/// The refusals, if the tool cannot make a piece.
fn step_kinds(member: usize, of: &Member) -> Outcome<Vec<Kind>> {
    let stairs = of.job().cut.stairs as usize * of.times;
    let kind = |piece: &SheetPiece| {
        let path = compensate_piece(of.job(), &piece.contour, piece.turn_rad)?;
        let tooled = |path| Tooled {
            name: piece.name.clone(),
            piece: piece.contour.clone(),
            path,
            strokes: Vec::new(),
            holes: Vec::new(),
        };
        Ok(path.map(|path| Kind {
            member,
            tooled: tooled(path),
            part: piece.contour.clone(),
            inset: Length::ZERO,
            count: piece.count * stairs,
        }))
    };
    let kinds = Warned::all(of.workup.beside.from_sheet.iter().map(kind))?;
    // Of the stringers it was said already.
    let said = kinds.findings.into_iter().filter(|found| !of.workup.findings.contains(found));
    Ok(Warned::new(kinds.value, said.collect()))
}

/// The kinds of pieces of one member on sheets.
///
/// # Errors
/// The refusals: its own, where it has no tooling; layers that cannot be brought over each other; a
/// pattern that cannot be split.
pub fn kinds(member: usize, of: &Member) -> Outcome<Vec<Kind>> {
    let (Some(tooling), Some(outline)) = (&of.tooling, &of.workup.outline) else {
        return Err(Refusals::new(of.workup.findings.clone()));
    };
    let cut = &of.job().cut;
    if of.is_split() {
        return split_kinds(member, of, outline);
    }
    let path = &tooling.path;
    let strokes = tooling.marks.iter().flat_map(|marks| &marks.strokes);
    let marked: Vec<_> = strokes.map(|stroke| stroke.points.clone()).collect();
    let bare = |name: &str, count: usize| Kind {
        member,
        tooled: Tooled {
            name: name.to_string(),
            piece: path.piece().clone(),
            path: path.clone(),
            strokes: marked.clone(),
            holes: cleat_holes(of.job(), outline),
        },
        part: outline.in_board_frame(),
        inset: match cut.makes {
            Makes::Pattern(follow) => follow.inset(),
            Makes::Stringers => Length::ZERO,
        },
        count,
    };
    let quantity = cut.quantity as usize * of.times;
    let doublers = cut.doublers() as usize * of.times;
    if let Makes::Pattern(_) = cut.makes {
        let mut pattern = bare("pattern", quantity);
        if let Some(marks) = &tooling.marks {
            pattern.tooled.holes.extend(marks.hole);
        }
        return Ok(Warned::plain(vec![pattern]));
    }
    if cut.sharing.layers == 1 {
        let all = [("stringer", quantity), ("doubler", doublers)];
        let some = all.into_iter().filter(|(_, count)| *count > 0);
        let stringers: Vec<Kind> = some.map(|(name, count)| bare(name, count)).collect();
        return Ok(step_kinds(member, of)?.map(|steps| [stringers, steps].concat()));
    }
    let layer = |i: u32| {
        let letter = char::from(b'A' + i as u8);
        let bores = if cut.machine.tool.lifts() { Bores::RoundOrStraight } else { Bores::Round };
        let (tool, stroke) = ((cut.machine.tool_radius(), bores), cut.machine.tool.stroke_width());
        let marks =
            layer_marks(path.piece(), letter, &of.job().title, cut.sharing.dowel, tool, stroke)?;
        Ok(marks.map(|marks| {
            let mut kind = bare(&format!("layer {letter}"), quantity + doublers);
            kind.tooled.strokes = marks.strokes;
            kind.tooled.holes = marks.holes;
            kind
        }))
    };
    Warned::all((0..cut.sharing.layers).map(layer))
}
