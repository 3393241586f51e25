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
}

/// Offcuts of boards that are alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Offcut {
    /// The material's name.
    pub material: String,
    /// What is left of the board's length.
    pub length: Length,
    /// Its width, where that was measured.
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
    for Offcut { material, length, width, count } in kept(stock, &taken.offcuts, tape) {
        let again = |held: &&Held| {
            let is_one =
                (held.price, held.length, held.known.width) == (Some(0.0), Some(length), width);
            held.material == material && is_one && held.known.name.is_none()
        };
        match stock.boards.iter().find(again).and_then(|held| Some((held.at.clone(), held.count?)))
        {
            Some((at, before)) => match changes.iter_mut().find(|(of, _)| *of == at) {
                Some((_, left)) => *left += count,
                None => changes.push((at, before + count)),
            },
            None => {
                kinds[usize::from(width.is_some())] += 1;
                added.push_str(&format!(
                    "\n[[board]]   # an offcut\nmaterial = {}\nlength = \"{}\"\n{}count = \
                    {count}\nprice = 0.0\n",
                    toml::Value::String(material),
                    typed(length, tape),
                    width.map_or_else(String::new, |width| format!(
                        "width = \"{}\"\n",
                        finely(width, tape)
                    ))
                ));
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

/// How many kinds of boards there is something left of: those of one length, those told apart.
fn kinds_left(stock: &Stock, taken: &Taken) -> [usize; 2] {
    let is_left = |(held, used): &(&Held, &usize)| held.count != Some(**used);
    let left = || stock.boards.iter().zip(&taken.boards).filter(is_left);
    let told_apart = left().filter(|(held, _)| held.known.is_told_apart()).count();
    [left().count() - told_apart, told_apart]
}

fn few_enough([plain, told_apart]: [usize; 2]) -> Result<(), Error> {
    let (kinds, most) =
        if plain > MOST_KINDS { (plain, MOST_KINDS) } else { (told_apart, MOST_TOLD_APART) };
    if kinds <= most {
        return Ok(());
    }
    Err(Error::new(
        ErrorKind::Refused,
        "with its offcuts put back the stock file would list more kinds of boards than are read",
    )
    .found(format!("{kinds} kinds"))
    .allowed(format!("{most} kinds that there is something of"))
    .hint(
        "raise keep = in the stock file, so that fewer offcuts are put back, or take kinds out of \
        it that nobody will use",
    ))
}

/// The offcuts that are worth keeping, as long as can be relied on: to the whole sixteenth or
/// millimetre below, less the reserve; those of one length and width together.
fn kept(stock: &Stock, offcuts: &[Offcut], tape: Tape) -> Vec<Offcut> {
    let Some(least) = stock.keep else { return Vec::new() };
    let mut kept: Vec<Offcut> = Vec::new();
    for of in offcuts {
        let length = whole_below(of.length - stock.reserve, tape);
        if length < least {
            continue;
        }
        let is_same = |one: &&mut Offcut| {
            one.material == of.material && (one.length, one.width) == (length, of.width)
        };
        match kept.iter_mut().find(is_same) {
            Some(one) => one.count += of.count,
            None => kept.push(Offcut { length, ..of.clone() }),
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
