//! The stock file: which boards and sheets lie in the rack, what they cost, and what of an offcut is
//! worth keeping. And the same text with what was used taken off.

use std::ops::Range;

use serde::Deserialize;
use toml::Spanned;

use crate::diagnostics::visible::is_hidden;
use crate::diagnostics::{Error, ErrorKind};
use crate::profile::TextKind;
use crate::profile::reader::{Len, Reader};
use crate::units::{Length, MM_PER_INCH, Tape, trimmed};

/// What a shop has, and what it can buy.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// What prices are in; empty where nobody said.
    pub currency: String,
    /// What an hour of a machine costs.
    pub hour: Option<f64>,
    /// The least offcut of a board that is kept; none is kept where it is not said.
    pub keep: Option<Length>,
    /// Added to every blank, against a saw that wanders.
    pub reserve: Length,
    /// The boards, in the order of the file.
    pub boards: Vec<Held>,
    /// The sheets.
    pub sheets: Vec<Held>,
    /// The tape that its boards are typed by; none where no board is listed.
    pub tape: Option<Tape>,
}

/// Boards of one length, or the sheets of a material.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// The material's name, as jobs call it.
    pub material: String,
    /// How long a board is; of a sheet none, for its material says it.
    pub length: Option<Length>,
    /// How many there are; none: as many as are wanted can be bought.
    pub count: Option<usize>,
    /// What one costs.
    pub price: Option<f64>,
    /// Where the count stands in the text.
    at: Range<usize>,
}

/// The most kinds of boards, and of sheets: more is no list that anybody keeps.
pub const MOST_KINDS: usize = 60;
/// The most of one kind.
const MOST_OF_A_KIND: i64 = 100_000;
/// The highest price of a board, a sheet or an hour.
const MOST_PRICE: f64 = 100_000.0;
/// The longest board, in mm.
const LONGEST_MM: f64 = 20_000.0;
/// The greatest reserve, in mm.
const MOST_RESERVE_MM: f64 = 50.0;
/// The longest name, in characters.
const LONGEST_NAME: usize = 200;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StockFile {
    currency: Option<Spanned<String>>,
    hour: Option<Spanned<f64>>,
    keep: Option<Len>,
    reserve: Option<Len>,
    #[serde(default)]
    board: Vec<BoardFile>,
    #[serde(default)]
    sheet: Vec<SheetFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BoardFile {
    material: Spanned<String>,
    length: Len,
    count: Option<Spanned<i64>>,
    price: Option<Spanned<f64>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SheetFile {
    material: Spanned<String>,
    count: Option<Spanned<i64>>,
    price: Option<Spanned<f64>>,
}

impl Stock {
    /// Reads a stock file.
    ///
    /// # Errors
    /// With file, line and column, if a key is unknown, missing or out of its range.
    pub fn read(file: &str, text: &str) -> Result<Self, Error> {
        let reader = Reader::new(file, text);
        reader.wants(TextKind::Stock)?;
        let raw: StockFile = reader.parse("stock file")?;
        let of = Of { reader: &reader };
        if raw.board.is_empty() && raw.sheet.is_empty() {
            return Err(reader
                .error(
                    "this stock file lists nothing",
                    "no [[board]] and no [[sheet]]",
                    "a table [[board]] with material, length and count",
                )
                .allowed("boards or sheets"));
        }
        for (what, count, first) in [
            (
                "board",
                held(&raw.board, |of| &of.count),
                raw.board.first().map(|of| of.material.span()),
            ),
            (
                "sheet",
                held(&raw.sheet, |of| &of.count),
                raw.sheet.first().map(|of| of.material.span()),
            ),
        ] {
            if let Some(first) = first.filter(|_| count > MOST_KINDS) {
                let allowed = format!("{MOST_KINDS} kinds at most");
                return Err(reader.out_of_range(what, first, &format!("{count} kinds"), &allowed));
            }
        }
        let board = |raw: &BoardFile| {
            let length = reader.positive("board.length", &raw.length)?;
            if length.as_mm() > LONGEST_MM {
                let found = raw.length.get_ref().typed();
                return Err(reader.out_of_range(
                    "board.length",
                    raw.length.span(),
                    &found,
                    "20 m at most",
                ));
            }
            of.held("board", &raw.material, Some(length), (&raw.count, &raw.price))
        };
        let sheet =
            |raw: &SheetFile| of.held("sheet", &raw.material, None, (&raw.count, &raw.price));
        let reserve = raw.reserve.as_ref().map(|len| (len, reader.length("reserve", len)));
        let reserve = match reserve {
            Some((len, length)) => {
                let length = length?;
                if length.as_mm() > MOST_RESERVE_MM {
                    let found = len.get_ref().typed();
                    return Err(reader.out_of_range("reserve", len.span(), &found, "2 in at most"));
                }
                length
            }
            None => Length::ZERO,
        };
        let stock = Self {
            currency: match &raw.currency {
                Some(raw) => of.words("currency", raw, 8)?,
                None => String::new(),
            },
            hour: raw.hour.as_ref().map(|raw| of.price("hour", raw)).transpose()?,
            keep: raw.keep.as_ref().map(|raw| reader.positive("keep", raw)).transpose()?,
            reserve,
            tape: raw.board.first().and_then(|first| reader.tape_of(&first.length)),
            boards: raw.board.iter().map(board).collect::<Result<_, _>>()?,
            sheets: raw.sheet.iter().map(sheet).collect::<Result<_, _>>()?,
        };
        Ok(stock)
    }

    /// The boards of a material.
    pub fn boards_of<'a>(&'a self, material: &'a str) -> impl Iterator<Item = &'a Held> {
        self.boards.iter().filter(move |of| of.material == material)
    }

    /// The sheets of a material.
    pub fn sheets_of<'a>(&'a self, material: &'a str) -> impl Iterator<Item = &'a Held> {
        self.sheets.iter().filter(move |of| of.material == material)
    }
}

struct Of<'r, 'a> {
    reader: &'r Reader<'a>,
}

impl Of<'_, '_> {
    fn held(
        &self,
        what: &str,
        material: &Spanned<String>,
        length: Option<Length>,
        (count, price): (&Option<Spanned<i64>>, &Option<Spanned<f64>>),
    ) -> Result<Held, Error> {
        let material = self.words(&format!("{what}.material"), material, LONGEST_NAME)?;
        let number = count.as_ref().map(|raw| {
            let found = *raw.get_ref();
            if (0..=MOST_OF_A_KIND).contains(&found) {
                return Ok(found as usize);
            }
            let allowed = format!("0 to {MOST_OF_A_KIND}");
            Err(self.reader.out_of_range(
                &format!("{what}.count"),
                raw.span(),
                &found.to_string(),
                &allowed,
            ))
        });
        Ok(Held {
            material,
            length,
            count: number.transpose()?,
            price: price
                .as_ref()
                .map(|raw| self.price(&format!("{what}.price"), raw))
                .transpose()?,
            at: count.as_ref().map_or(0..0, Spanned::span),
        })
    }

    fn price(&self, key: &str, raw: &Spanned<f64>) -> Result<f64, Error> {
        let found = *raw.get_ref();
        if (0.0..=MOST_PRICE).contains(&found) {
            return Ok(found);
        }
        let allowed = format!("0 to {MOST_PRICE}, in one currency");
        Err(self.reader.out_of_range(key, raw.span(), &found.to_string(), &allowed))
    }

    fn words(&self, key: &str, raw: &Spanned<String>, most: usize) -> Result<String, Error> {
        let text = raw.get_ref().trim();
        if (1..=most).contains(&text.chars().count()) && !text.chars().any(is_hidden) {
            return Ok(text.to_string());
        }
        let allowed = format!("one line of 1 to {most} characters");
        Err(self.reader.out_of_range(key, raw.span(), raw.get_ref(), &allowed))
    }
}

/// How many kinds there is something of; those used up stand in the file for another day.
fn held<T>(kinds: &[T], count: impl Fn(&T) -> &Option<Spanned<i64>>) -> usize {
    let is_there = |of: &&T| count(of).as_ref().is_none_or(|count| *count.get_ref() != 0);
    kinds.iter().filter(is_there).count()
}

/// What a run takes of the stock and gives back.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Taken {
    /// How many of each entry of `boards`.
    pub boards: Vec<usize>,
    /// How many of each entry of `sheets`.
    pub sheets: Vec<usize>,
    /// Offcuts of boards: material, length, how many.
    pub offcuts: Vec<(String, Length, usize)>,
}

/// A stock file's text with what was used taken off its counts, and the offcuts that are kept behind
/// it, by the tape that its boards are typed by; everything else of it stays as it was typed.
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
    let is_left = |(held, used): &(&Held, &usize)| held.count != Some(**used);
    let mut kinds = stock.boards.iter().zip(&taken.boards).filter(is_left).count();
    let mut added = String::new();
    for (material, length, count) in kept(stock, &taken.offcuts, tape) {
        let again = |held: &&Held| {
            held.material == material && held.price == Some(0.0) && held.length == Some(length)
        };
        match stock.boards.iter().find(again).and_then(|held| Some((held.at.clone(), held.count?)))
        {
            Some((at, before)) => match changes.iter_mut().find(|(of, _)| *of == at) {
                Some((_, left)) => *left += count,
                None => changes.push((at, before + count)),
            },
            None => {
                kinds += 1;
                added.push_str(&format!(
                    "\n[[board]]   # an offcut\nmaterial = {}\nlength = \"{}\"\ncount = {count}\nprice = 0.0\n",
                    toml::Value::String(material),
                    typed(length, tape)
                ));
            }
        }
    }
    if kinds > MOST_KINDS {
        return Err(Error::new(
            ErrorKind::Refused,
            "with its offcuts put back the stock file would list more kinds of boards than are read",
        )
        .found(format!("{kinds} kinds"))
        .allowed(format!("{MOST_KINDS} kinds that there is something of"))
        .hint("raise keep = in the stock file, so that fewer offcuts are put back, or take kinds out of it that nobody will use"));
    }
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

/// The offcuts that are worth keeping, as long as can be relied on: to the whole sixteenth or
/// millimetre below, less the reserve; those of one length together.
fn kept(
    stock: &Stock,
    offcuts: &[(String, Length, usize)],
    tape: Tape,
) -> Vec<(String, Length, usize)> {
    let Some(least) = stock.keep else { return Vec::new() };
    let mut kept: Vec<(String, Length, usize)> = Vec::new();
    for (material, left, count) in offcuts {
        let length = whole_below(*left - stock.reserve, tape);
        if length < least {
            continue;
        }
        match kept.iter_mut().find(|(of, same, _)| of == material && *same == length) {
            Some((.., sum)) => *sum += count,
            None => kept.push((material.clone(), length, *count)),
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

#[cfg(test)]
mod tests {
    use super::*;

    const RACK: &str = "# the rack by the door\nkeep = \"24 in\"\nreserve = \"1/16 in\"\ncurrency = \"USD\"\n\n\
        [[board]]\nmaterial = \"board-2x12\"\nlength = \"16 ft\"   # straight ones\ncount = 5\nprice = 31.5\n\
        [[board]]\nmaterial = \"board-2x12\"\nlength = \"4.8 m\"\nprice = 30.0\n\
        [[sheet]]\nmaterial = \"plywood-18\"\ncount = 12\nprice = 62.5\n";

    fn read(text: &str) -> Result<Stock, Error> {
        Stock::read("rack.toml", text)
    }

    #[test]
    fn what_is_used_comes_off_and_what_is_left_is_put_back_and_nothing_else_changes() {
        let stock = read(RACK).unwrap();
        assert_eq!(stock.boards[1].length, Some(Length::mm(4800.0)));
        let offcut = |inches: f64, count| ("board-2x12".to_string(), Length::inches(inches), count);
        let taken = Taken {
            boards: vec![2, 3],
            sheets: vec![12],
            offcuts: vec![offcut(30.1, 2), offcut(23.9, 4), offcut(40.0625, 1)],
        };
        let after = taken_off(&stock, RACK, &taken, Tape::Inches).unwrap();
        let again = read(&after).unwrap();
        assert_eq!(again.boards[0].count, Some(3));
        assert_eq!(again.boards[1].count, None);
        assert_eq!(again.sheets[0].count, Some(0));
        // 30.1 less 1/16 is 30 and no whole sixteenth more; 23.9 is not worth keeping.
        let back: Vec<(Length, Option<usize>)> =
            again.boards[2..].iter().map(|held| (held.length.unwrap(), held.count)).collect();
        assert_eq!(back, [(Length::inches(30.0), Some(2)), (Length::inches(40.0), Some(1))]);
        for line in RACK.lines().filter(|line| !line.starts_with("count")) {
            assert!(after.contains(line), "{line}\n{after}");
        }
        // The same offcut again is counted with the first.
        let more =
            Taken { boards: vec![0, 0, 1, 0], sheets: vec![0], offcuts: vec![offcut(30.1, 3)] };
        let later = read(&taken_off(&again, &after, &more, Tape::Inches).unwrap()).unwrap();
        assert_eq!((later.boards.len(), later.boards[2].count), (4, Some(4)));
        let too_many = Taken { boards: vec![6, 0], ..taken };
        assert!(taken_off(&stock, RACK, &too_many, Tape::Inches).is_err());
    }

    #[test]
    fn kinds_that_are_used_up_fill_no_file() {
        let used_up =
            "[[board]]\nmaterial = \"a\"\nlength = \"8 ft\"\ncount = 0\n".repeat(MOST_KINDS);
        assert_eq!(read(&format!("{RACK}{used_up}")).unwrap().boards.len(), MOST_KINDS + 2);
    }

    #[test]
    fn what_a_stock_file_cannot_mean_is_told_with_its_line() {
        let many = |count: usize| {
            "[[board]]\nmaterial = \"board-2x12\"\nlength = \"8 ft\"\n".repeat(count)
        };
        assert_eq!(read(&many(MOST_KINDS)).unwrap().boards.len(), MOST_KINDS);
        for (text, says) in [
            (many(MOST_KINDS + 1), "61 kinds"),
            (RACK.replace("31.5", "-1.0"), "board.price is out of its range"),
            (RACK.replace("count = 5", "count = -5"), "board.count is out of its range"),
            (RACK.replace("count = 12", "count = \"12\""), "count"),
            (RACK.replace("16 ft", "0 ft"), "board.length is out of its range"),
            (RACK.replace("16 ft", "300 ft"), "board.length is out of its range"),
            (RACK.replace("1/16 in", "3 in"), "reserve is out of its range"),
            (RACK.replace("price = 62.5", "prise = 62.5"), "prise"),
            (RACK.replace("\"plywood-18\"", "\"\""), "sheet.material is out of its range"),
            ("keep = \"2 ft\"\n".to_string(), "lists nothing"),
            ("[[board]\n".to_string(), "line 1"),
        ] {
            let error = read(&text).unwrap_err().to_string();
            assert!(error.contains(says) && error.contains("rack.toml"), "{text}\n{error}");
        }
    }
}
