//! A stock file's text with what a run uses taken off its counts, and its offcuts put back.

use std::ops::Range;

use super::stock::{Held, MOST_KINDS, MOST_TOLD_APART, Stock};
use crate::diagnostics::{Error, ErrorKind};
use crate::units::{Length, MM_PER_INCH, Tape, trimmed};

/// What a run takes of the stock and gives back.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Taken {
    /// How many of each entry of `boards`.
    pub boards: Vec<usize>,
    /// How many of each entry of `sheets`.
    pub sheets: Vec<usize>,
    /// Offcuts of boards.
    pub offcuts: Vec<Offcut>,
    /// Offcuts of sheets, each with its width.
    pub sheet_offcuts: Vec<Offcut>,
}

/// Offcuts of boards or of sheets that are alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Offcut {
    /// The material's name.
    pub material: String,
    /// What is left of the board's length; of a sheet along its grain.
    pub length: Length,
    /// A board's width, where that was measured; a sheet's.
    pub width: Option<Length>,
    /// How many.
    pub count: usize,
}

/// A stock file's text with what was used taken off its counts, and the offcuts that are kept
/// behind it, by the tape that its boards are typed by; everything else of it stays as it was
/// typed.
///
/// # Errors
/// If more is taken than there is, or there would be more kinds than a stock file lists.
pub fn taken_off(stock: &Stock, text: &str, taken: &Taken, tape: Tape) -> Result<String, Error> {
    let tape = stock.tape.unwrap_or(tape);
    let both = stock.boards.iter().zip(&taken.boards).chain(stock.sheets.iter().zip(&taken.sheets));
    let mut changes: Vec<(Range<usize>, usize)> = Vec::new();
    for (held, used) in both.filter(|(_, used)| **used > 0) {
        let Some(count) = held.count else { continue };
        let left = count.checked_sub(*used).ok_or_else(|| {
            Error::new(ErrorKind::Internal, "more is taken from the stock than there is")
                .found(format!("{used} of {count}: {}", held.material))
        })?;
        changes.push((held.at.clone(), left));
    }
    let mut kinds = kinds_left(stock, taken);
    let mut added = String::new();
    let [boards, sheets] = put_back(stock, taken, tape);
    let boards = boards.into_iter().map(|of| (&stock.boards, of));
    let sheets = sheets.into_iter().map(|of| (&stock.sheets, of));
    for (held, of) in boards.chain(sheets) {
        let again = |held: &&Held| {
            let is_one = (held.price, held.length, held.known.width)
                == (Some(0.0), Some(of.length), of.width);
            held.material == of.material && is_one && held.known.name.is_none()
        };
        let same = held.iter().find(again);
        match same.and_then(|held| Some((held.at.clone(), held.count?))) {
            Some((at, before)) => match changes.iter_mut().find(|(of, _)| *of == at) {
                Some((_, left)) => *left += of.count,
                None => changes.push((at, before + of.count)),
            },
            None => {
                let is_sheet = std::ptr::eq(held, &raw const stock.sheets);
                kinds[if is_sheet { 2 } else { usize::from(of.width.is_some()) }] += 1;
                added.push_str(&entry(if is_sheet { "sheet" } else { "board" }, &of, tape));
            }
        }
    }
    few_enough(kinds)?;
    changes.sort_by_key(|(at, _)| std::cmp::Reverse(at.start));
    let mut text = text.to_string();
    for (at, left) in changes {
        text.replace_range(at, &left.to_string());
    }
    if !added.is_empty() && !text.ends_with('\n') {
        text.push('\n');
    }
    Ok(text + &added)
}

/// The lines of an offcut.
fn entry(table: &str, of: &Offcut, tape: Tape) -> String {
    let width =
        of.width.map_or_else(String::new, |width| format!("width = \"{}\"\n", finely(width, tape)));
    format!(
        "\n[[{table}]]   # an offcut\nmaterial = {}\nlength = \"{}\"\n{width}count = {}\nprice = \
            0.0\n",
        toml::Value::String(of.material.clone()),
        typed(of.length, tape),
        of.count
    )
}

/// How many kinds there is something left of: boards of one length, those told apart, sheets.
fn kinds_left(stock: &Stock, taken: &Taken) -> [usize; 3] {
    let is_left = |(held, used): &(&Held, &usize)| held.count != Some(**used);
    let left = || stock.boards.iter().zip(&taken.boards).filter(is_left);
    let told_apart = left().filter(|(held, _)| held.known.is_told_apart()).count();
    let sheets = stock.sheets.iter().zip(&taken.sheets).filter(is_left).count();
    [left().count() - told_apart, told_apart, sheets]
}

fn few_enough([plain, told_apart, sheets]: [usize; 3]) -> Result<(), Error> {
    let most = [(plain, MOST_KINDS), (told_apart, MOST_TOLD_APART), (sheets, MOST_KINDS)];
    let Some((kinds, most)) = most.into_iter().find(|(kinds, most)| kinds > most) else {
        return Ok(());
    };
    Err(Error::new(
        ErrorKind::Refused,
        "with its offcuts put back the stock file would list more kinds than are read",
    )
    .found(format!("{kinds} kinds"))
    .allowed(format!("{most} kinds that there is something of"))
    .hint(
        "raise keep = or keep_sheet = in the stock file, so that fewer offcuts are put back, or \
            take kinds out of \
        it that nobody will use",
    ))
}

/// The offcuts that are put back: of boards, and of sheets.
pub fn put_back(stock: &Stock, taken: &Taken, tape: Tape) -> [Vec<Offcut>; 2] {
    let tape = stock.tape.unwrap_or(tape);
    [kept(stock, &taken.offcuts, tape), kept_sheets(stock, &taken.sheet_offcuts, tape)]
}

/// The offcuts that are worth keeping, as long as can be relied on: to the whole sixteenth or
/// millimetre below, less the reserve; those of one length and width together.
fn kept(stock: &Stock, offcuts: &[Offcut], tape: Tape) -> Vec<Offcut> {
    let Some(least) = stock.keep else { return Vec::new() };
    let shorter = |of: &Offcut| {
        let length = whole_below(of.length - stock.reserve, tape);
        (length >= least).then(|| Offcut { length, ..of.clone() })
    };
    together(offcuts.iter().filter_map(shorter))
}

/// Those of sheets that are worth keeping, in the same way, both sides.
fn kept_sheets(stock: &Stock, offcuts: &[Offcut], tape: Tape) -> Vec<Offcut> {
    let Some(least) = stock.keep_sheet else { return Vec::new() };
    let smaller = |of: &Offcut| {
        let [length, width] =
            [of.length, of.width?].map(|side| whole_below(side - stock.reserve, tape));
        let is_kept = length.min(width) >= least;
        is_kept.then(|| Offcut { length, width: Some(width), ..of.clone() })
    };
    together(offcuts.iter().filter_map(smaller))
}

/// Those of one size counted together.
fn together(offcuts: impl Iterator<Item = Offcut>) -> Vec<Offcut> {
    let mut kept: Vec<Offcut> = Vec::new();
    for of in offcuts {
        let is_same = |one: &&mut Offcut| {
            (&one.material, one.length, one.width) == (&of.material, of.length, of.width)
        };
        match kept.iter_mut().find(is_same) {
            Some(one) => one.count += of.count,
            None => kept.push(of),
        }
    }
    kept
}

/// Sixteenths in an inch.
const SIXTEENTHS: f64 = 16.0;

fn whole_below(length: Length, tape: Tape) -> Length {
    // What is a line but for the rounding of a double stays on it.
    match tape {
        Tape::Inches => {
            Length::inches((length.as_inches() * SIXTEENTHS + 1e-6).floor() / SIXTEENTHS)
        }
        Tape::Metric => Length::mm((length.as_mm() + 1e-6).floor()),
    }
}

/// A length of whole sixteenths or millimetres as a stock file has it.
fn typed(length: Length, tape: Tape) -> String {
    match tape {
        Tape::Inches => format!("{} in", trimmed(length.as_mm() / MM_PER_INCH, 4)),
        Tape::Metric => format!("{} mm", trimmed(length.as_mm(), 0)),
    }
}

/// A width that was measured as a stock file has it, as fine as anybody measures.
fn finely(width: Length, tape: Tape) -> String {
    match tape {
        Tape::Inches => format!("{} in", trimmed(width.as_mm() / MM_PER_INCH, 6)),
        Tape::Metric => format!("{} mm", trimmed(width.as_mm(), 4)),
    }
}
