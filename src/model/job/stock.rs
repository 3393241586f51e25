//! The stock file: which boards and sheets lie in the rack, what they cost, and what of an offcut
//! is worth keeping.

use std::ops::Range;

use serde::Deserialize;
use toml::Spanned;

use crate::diagnostics::Error;
use crate::diagnostics::visible::is_hidden;
use crate::profile::TextKind;
use crate::profile::reader::{Len, Reader};
use crate::units::{Length, Tape};

/// What a shop has, and what it can buy.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// What prices are in; empty where nobody said.
    pub currency: String,
    /// What an hour of a machine costs.
    pub hour: Option<f64>,
    /// The least offcut of a board that is kept; none is kept where it is not said.
    pub keep: Option<Length>,
    /// The least shorter side of an offcut of a sheet that is kept; none is kept where it is not
    /// said.
    pub keep_sheet: Option<Length>,
    /// Added to every blank, against a saw that wanders.
    pub reserve: Length,
    /// The boards, in the order of the file.
    pub boards: Vec<Held>,
    /// The sheets.
    pub sheets: Vec<Held>,
    /// The tape that it is typed by; none where no length stands in it.
    pub tape: Option<Tape>,
    /// The file as it was typed.
    pub text: String,
}

/// Boards of one length, or the sheets of a material.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// The material's name, as jobs call it.
    pub material: String,
    /// How long a board is, or an offcut of a sheet along its grain; none of a whole sheet, for its
    /// material says it.
    pub length: Option<Length>,
    /// What tells it from other boards of its length.
    pub known: KnownBy,
    /// How many there are; none: as many as are wanted can be bought.
    pub count: Option<usize>,
    /// What one costs.
    pub price: Option<f64>,
    /// Where the count stands in the text.
    pub(super) at: Range<usize>,
}

impl Held {
    /// Of a sheet that is an offcut its size, along the grain and across.
    pub fn size(&self) -> Option<[Length; 2]> {
        Some([self.length?, self.known.width?])
    }
}

/// What tells a board from others of its length.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct KnownBy {
    /// How wide it is at its narrowest, as measured; none where nobody did, and it is as wide as
    /// jobs ask for.
    pub width: Option<Length>,
    /// What is written on it.
    pub name: Option<String>,
}

impl KnownBy {
    /// Whether it matters which of the boards of its length is sawn into what.
    pub fn is_told_apart(&self) -> bool {
        self.width.is_some() || self.name.is_some()
    }
}

/// The most kinds of boards, and of sheets: more is no list that anybody keeps.
pub const MOST_KINDS: usize = 60;
/// The most boards that are told apart by a width or a name.
pub const MOST_TOLD_APART: usize = 400;
/// The most of one kind.
const MOST_OF_A_KIND: i64 = 100_000;
/// The highest price of a board, a sheet or an hour.
const MOST_PRICE: f64 = 100_000.0;
/// The longest board, in mm.
const LONGEST_MM: f64 = 20_000.0;
/// The widest board, in mm.
const WIDEST_MM: f64 = 2_000.0;
/// The greatest reserve, in mm.
const MOST_RESERVE_MM: f64 = 50.0;
/// The longest name of a material, in characters.
const LONGEST_NAME: usize = 200;
/// The longest that is written on a board, in characters.
const LONGEST_MARK: usize = 24;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StockFile {
    currency: Option<Spanned<String>>,
    hour: Option<Spanned<f64>>,
    keep: Option<Len>,
    keep_sheet: Option<Len>,
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
    width: Option<Len>,
    name: Option<Spanned<String>>,
    count: Option<Spanned<i64>>,
    price: Option<Spanned<f64>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SheetFile {
    material: Spanned<String>,
    length: Option<Len>,
    width: Option<Len>,
    count: Option<Spanned<i64>>,
    price: Option<Spanned<f64>>,
}

impl StockFile {
    /// What the others are typed like: a board's length, an offcut's, or the least that is kept.
    fn first_length(&self) -> Option<&Len> {
        let board = self.board.first().map(|of| &of.length);
        let sheet = || self.sheet.iter().find_map(|of| of.length.as_ref());
        board.or_else(sheet).or(self.keep_sheet.as_ref()).or(self.keep.as_ref())
    }
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
        of.few_kinds(&raw)?;
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
            keep_sheet: raw
                .keep_sheet
                .as_ref()
                .map(|raw| reader.positive("keep_sheet", raw))
                .transpose()?,
            reserve,
            tape: raw.first_length().and_then(|first| reader.tape_of(first)),
            boards: raw.board.iter().map(|raw| of.board(raw)).collect::<Result<_, _>>()?,
            sheets: raw.sheet.iter().map(|raw| of.sheet(raw)).collect::<Result<_, _>>()?,
            text: text.to_string(),
        };
        of.one_name_each(&raw)?;
        Ok(stock)
    }

    /// The boards of a material.
    pub fn boards_of<'a>(&'a self, material: &'a str) -> impl Iterator<Item = &'a Held> {
        self.boards.iter().filter(move |of| of.material == material)
    }

    /// The whole sheets of a material.
    pub fn sheets_of<'a>(&'a self, material: &'a str) -> impl Iterator<Item = &'a Held> {
        self.sheets.iter().filter(move |of| of.material == material && of.size().is_none())
    }

    /// Counts some of an entry of its sheets as used.
    pub fn take_sheets(&mut self, entry: usize, times: usize) {
        let count = &mut self.sheets[entry].count;
        *count = count.map(|count| count.saturating_sub(times));
    }

    /// The offcuts of sheets of a material that there are some of, each with its place in the file.
    pub fn sheet_offcuts_of<'a>(
        &'a self,
        material: &'a str,
    ) -> impl Iterator<Item = (usize, &'a Held)> {
        let all = self.sheets.iter().enumerate();
        all.filter(move |(_, of)| {
            of.material == material && of.size().is_some() && of.count != Some(0)
        })
    }
}

struct Of<'r, 'a> {
    reader: &'r Reader<'a>,
}

impl Of<'_, '_> {
    fn few_kinds(&self, raw: &StockFile) -> Result<(), Error> {
        let is_told_apart = |of: &&BoardFile| of.name.is_some() || of.width.is_some();
        let (told, plain): (Vec<&BoardFile>, _) = raw.board.iter().partition(is_told_apart);
        let told = (held(told.iter().map(|of| &of.count)), MOST_TOLD_APART);
        let plain = (held(plain.iter().map(|of| &of.count)), MOST_KINDS);
        let sheets = (held(raw.sheet.iter().map(|of| &of.count)), MOST_KINDS);
        let first_board = raw.board.first().map(|of| of.material.span());
        let first_sheet = raw.sheet.first().map(|of| of.material.span());
        for (what, (kinds, most), first) in [
            ("board", plain, first_board.clone()),
            ("board", told, first_board),
            ("sheet", sheets, first_sheet),
        ] {
            if let Some(first) = first.filter(|_| kinds > most) {
                let apart =
                    if most == MOST_TOLD_APART { " told apart by a width or a name" } else { "" };
                let (found, allowed) =
                    (format!("{kinds} kinds{apart}"), format!("{most} kinds{apart} at most"));
                return Err(self.reader.out_of_range(what, first, &found, &allowed));
            }
        }
        Ok(())
    }

    /// A name says which board is meant.
    fn one_name_each(&self, raw: &StockFile) -> Result<(), Error> {
        let names: Vec<&Spanned<String>> =
            raw.board.iter().filter_map(|of| of.name.as_ref()).collect();
        let before = |i: usize, of: &Spanned<String>| {
            names[..i].iter().any(|other| other.get_ref().trim() == of.get_ref().trim())
        };
        let Some((_, again)) = names.iter().enumerate().find(|(i, of)| before(*i, of)) else {
            return Ok(());
        };
        let found = format!("\"{}\" a second time", again.get_ref().trim());
        let allowed =
            "another name for every line of boards: it says which of them is sawn into what";
        Err(self.reader.out_of_range("board.name", again.span(), &found, allowed))
    }

    fn board(&self, raw: &BoardFile) -> Result<Held, Error> {
        let length = self.extent("board.length", &raw.length, LONGEST_MM, "20 m at most")?;
        let width = raw.width.as_ref();
        let width = width
            .map(|raw| self.extent("board.width", raw, WIDEST_MM, "2 m at most"))
            .transpose()?;
        let name = raw.name.as_ref().map(|raw| self.words("board.name", raw, LONGEST_MARK));
        let name = name.transpose()?;
        if let (Some(raw), None) = (&raw.name, &raw.count) {
            let allowed = "a count beside the name, mostly count = 1: what has a name lies at hand";
            return Err(self.reader.out_of_range("board.name", raw.span(), raw.get_ref(), allowed));
        }
        let plain = self.held("board", &raw.material, (&raw.count, &raw.price))?;
        Ok(Held { length: Some(length), known: KnownBy { width, name }, ..plain })
    }

    /// A whole sheet, or an offcut of one.
    fn sheet(&self, raw: &SheetFile) -> Result<Held, Error> {
        let plain = self.held("sheet", &raw.material, (&raw.count, &raw.price))?;
        let (length, width) = match (&raw.length, &raw.width) {
            (None, None) => return Ok(plain),
            (Some(length), Some(width)) => (length, width),
            (Some(one), None) | (None, Some(one)) => {
                let allowed = "both length and width of an offcut, along the grain and across; of \
                    a whole sheet neither: its material says them";
                let found = one.get_ref().typed();
                return Err(self.reader.out_of_range("sheet", one.span(), &found, allowed));
            }
        };
        if raw.count.is_none() {
            let allowed = "a count beside the size, mostly count = 1: an offcut lies at hand";
            let found = length.get_ref().typed();
            return Err(self.reader.out_of_range("sheet.length", length.span(), &found, allowed));
        }
        let length = self.extent("sheet.length", length, LONGEST_MM, "20 m at most")?;
        let width = self.extent("sheet.width", width, LONGEST_MM, "20 m at most")?;
        Ok(Held {
            length: Some(length),
            known: KnownBy { width: Some(width), name: None },
            ..plain
        })
    }

    fn extent(&self, key: &str, raw: &Len, most: f64, allowed: &str) -> Result<Length, Error> {
        let length = self.reader.positive(key, raw)?;
        if length.as_mm() <= most {
            return Ok(length);
        }
        let found = raw.get_ref().typed();
        Err(self.reader.out_of_range(key, raw.span(), &found, allowed))
    }

    fn held(
        &self,
        what: &str,
        material: &Spanned<String>,
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
            length: None,
            known: KnownBy::default(),
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
fn held<'a>(counts: impl Iterator<Item = &'a Option<Spanned<i64>>>) -> usize {
    counts.filter(|count| count.as_ref().is_none_or(|count| *count.get_ref() != 0)).count()
}

#[cfg(test)]
mod tests {
    use super::super::stock_taken::{Offcut, Taken, taken_off};
    use super::*;

    const RACK: &str = "# the rack by the door\nkeep = \"24 in\"\nreserve = \"1/16 in\"\ncurrency \
        = \"USD\"\n\n\
        [[board]]\nmaterial = \"board-2x12\"\nlength = \"16 ft\"   # straight ones\ncount = \
        5\nprice = 31.5\n\
        [[board]]\nmaterial = \"board-2x12\"\nlength = \"4.8 m\"\nprice = 30.0\n\
        [[sheet]]\nmaterial = \"plywood-18\"\ncount = 12\nprice = 62.5\n";

    fn read(text: &str) -> Result<Stock, Error> {
        Stock::read("rack.toml", text)
    }

    #[test]
    fn what_is_used_comes_off_and_what_is_left_is_put_back_and_nothing_else_changes() {
        let stock = read(RACK).unwrap();
        assert_eq!(stock.boards[1].length, Some(Length::mm(4800.0)));
        let offcut = |inches: f64, count| Offcut {
            material: "board-2x12".to_string(),
            length: Length::inches(inches),
            width: None,
            count,
        };
        let taken = Taken {
            boards: vec![2, 3],
            sheets: vec![12],
            offcuts: vec![offcut(30.1, 2), offcut(23.9, 4), offcut(40.0625, 1)],
            sheet_offcuts: Vec::new(),
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
            Taken { boards: vec![0, 0, 1, 0], offcuts: vec![offcut(30.1, 3)], ..Taken::default() };
        let later = read(&taken_off(&again, &after, &more, Tape::Inches).unwrap()).unwrap();
        assert_eq!((later.boards.len(), later.boards[2].count), (4, Some(4)));
        let too_many = Taken { boards: vec![6, 0], ..taken };
        assert!(taken_off(&stock, RACK, &too_many, Tape::Inches).is_err());
    }

    #[test]
    fn a_board_that_was_measured_keeps_its_width_and_its_offcut_has_it_too() {
        let text = "keep = \"24 in\"\n[[board]]\nmaterial = \"board-2x12\"\nlength = \"16 \
            ft\"\nwidth = \"11 5/64 in\"\n\
                    name = \"A\"\ncount = 1\n";
        let stock = read(text).unwrap();
        let width = stock.boards[0].known.width;
        assert!(
            width.is_some_and(|width| width.is_within(Length::mm(1e-9), Length::inches(11.078125)))
        );
        assert_eq!(stock.boards[0].known.name.as_deref(), Some("A"));
        let left = |width| Offcut {
            material: "board-2x12".to_string(),
            length: Length::inches(40.0),
            width,
            count: 1,
        };
        // Of one length, but not of one width: no offcut stands for the other.
        let taken =
            Taken { boards: vec![1], offcuts: vec![left(width), left(None)], ..Taken::default() };
        let after = taken_off(&stock, text, &taken, Tape::Inches).unwrap();
        let again = read(&after).unwrap();
        assert_eq!(again.boards.len(), 3, "{after}");
        assert_eq!((again.boards[0].count, again.boards[2].known.width), (Some(0), None));
        let kept = again.boards[1].known.width.unwrap();
        assert!(kept.is_within(Length::mm(1e-4), Length::inches(11.078125)), "{after}");
        assert!(again.boards[1].known.name.is_none());
    }

    #[test]
    fn an_offcut_of_a_sheet_is_listed_by_its_size_and_a_new_one_put_back() {
        let text = "keep_sheet = \"10 in\"\n[[sheet]]\nmaterial = \"plywood-18\"\ncount = 3\n\
            [[sheet]]\nmaterial = \"plywood-18\"\nlength = \"48 in\"\nwidth = \"20 in\"\n\
            count = 2\nprice = 0.0\n";
        let stock = read(text).unwrap();
        assert_eq!(stock.sheets_of("plywood-18").count(), 1);
        let (at, offcut) = stock.sheet_offcuts_of("plywood-18").next().unwrap();
        assert_eq!((at, offcut.size()), (1, Some([48.0, 20.0].map(Length::inches))));
        let left = |length: f64, width: f64| Offcut {
            material: "plywood-18".to_string(),
            length: Length::inches(length),
            width: Some(Length::inches(width)),
            count: 1,
        };
        let taken = Taken {
            sheets: vec![1, 1],
            sheet_offcuts: vec![left(48.01, 20.05), left(30.0, 9.9), left(12.03, 40.0)],
            ..Taken::default()
        };
        let after = taken_off(&stock, text, &taken, Tape::Inches).unwrap();
        let again = read(&after).unwrap();
        let told: Vec<_> = again.sheets.iter().map(|of| (of.size(), of.count)).collect();
        let size = |length, width| Some([length, width].map(Length::inches));
        // The one that was taken stands for the like of it that is left.
        assert_eq!(
            told,
            [(None, Some(2)), (size(48.0, 20.0), Some(2)), (size(12.0, 40.0), Some(1))],
            "{after}"
        );
        for (from, to, says) in [
            ("length = \"48 in\"\n", "", "both length and width"),
            ("count = 2\n", "", "an offcut lies at hand"),
            ("48 in", "30 m", "20 m at most"),
        ] {
            let error = read(&text.replacen(from, to, 1)).unwrap_err().to_string();
            assert!(error.contains(says), "{from}: {error}");
        }
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
            (
                RACK.replace("count = 5", "count = 5\nwidth = \"0 in\""),
                "board.width is out of its range",
            ),
            (RACK.replace("count = 5", "count = 5\nwidth = \"3 m\""), "2 m at most"),
            (RACK.replace("count = 5", "count = 5\nname = \"\""), "board.name is out of its range"),
            (RACK.replace("count = 5", "name = \"A\""), "a count beside the name"),
            (
                RACK.replace("price = 30.0", "count = 1\nname = \"A\"")
                    .replace("count = 5", "count = 5\nname = \"A\""),
                "a second time",
            ),
            (many(401).replace("8 ft\"", "8 ft\"\nwidth = \"11 in\""), "401 kinds told apart"),
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
