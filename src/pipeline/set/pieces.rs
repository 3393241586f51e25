//! Every piece of a set by its number: that of its sheet or board among all of them, and its own on
//! it. The same number stands on pictures, lists and labels.

use std::fmt;

use super::{SawnBoards, Set, SheetRun};
use crate::cam::mark::Hole;
use crate::geometry::Contour;
use crate::job::Makes;
use crate::pipeline::proof::cleat_holes_of;
use crate::profile::weight_kg;
use crate::stair::outline::Role;
use crate::units::Length;

/// What a piece is cut from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CutOf {
    /// A sheet, or stock of its own.
    Sheet,
    /// A board.
    Board,
}

impl CutOf {
    /// The number of a piece by its sheet or board and its place there. It begins with a letter:
    /// two figures with a stroke between them are a date to a spreadsheet.
    pub fn number(self, stock: usize, place: usize) -> String {
        match self {
            Self::Sheet => format!("S{stock}-{place}"),
            Self::Board => format!("B{stock}-{place}"),
        }
    }

    pub(super) fn numbers(self, (first, last): (usize, usize), place: usize) -> String {
        let [first, last] = [first, last].map(|stock| self.number(stock, place));
        if first == last { first } else { format!("{first} to {last}") }
    }
}

/// A piece at one place of a layout, which may be cut from several sheets or boards alike.
#[derive(Clone, Debug)]
pub struct NumberedPiece {
    /// The job that it belongs to.
    pub member: usize,
    /// What it is of that job: pattern, stringer, layer A.
    pub part: String,
    /// The sides of its box as it lies along the board.
    pub length: Length,
    /// Across that.
    pub width: Length,
    /// What it weighs, in kg; none where nobody published how heavy its material is.
    pub weight_kg: Option<f64>,
    /// What it is cut from.
    pub from: CutOf,
    /// Whether that is an offcut of a sheet.
    pub of_offcut: bool,
    /// What is written on its board, where that has a name.
    pub board: Option<String>,
    /// The first sheet or board that it is cut from, among all of the set, from 1.
    pub first: usize,
    /// From how many like that.
    pub times: usize,
    /// How many there are in all.
    pub of: usize,
    /// Its own number there, from 1.
    pub place: usize,
}

impl NumberedPiece {
    /// Its number on one of the sheets or boards that it is cut from.
    pub fn number_on(&self, stock: usize) -> String {
        self.from.number(stock, self.place)
    }

    /// Its numbers, one for each sheet or board.
    pub fn numbers(&self) -> String {
        self.from.numbers((self.first, self.first + self.times - 1), self.place)
    }

    /// The sheets or boards that it is cut from.
    pub fn stock(&self) -> std::ops::Range<usize> {
        self.first..self.first + self.times
    }
}

/// The numbers of the sheets of one layout, from 1, and how many all layouts have.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SheetNumbers {
    /// The first of the layout.
    pub first: usize,
    /// The last of the layout.
    pub last: usize,
    /// How many are cut in all.
    pub of: usize,
    /// The size of the offcut out of the rack that it is, along the grain and across.
    pub offcut: Option<[Length; 2]>,
    /// Whether its own length, and its grain, lie along X.
    pub lies_along: bool,
}

impl SheetNumbers {
    /// The numbers of the piece at a place of the layout, one for each sheet.
    pub fn of_place(self, place: usize) -> String {
        CutOf::Sheet.numbers((self.first, self.last), place)
    }
}

impl fmt::Display for SheetNumbers {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { first, last, of, .. } = self;
        match first == last {
            true => write!(f, "Sheet {first} of {of}"),
            false => write!(f, "Sheets {first} to {last} of {of}"),
        }
    }
}

impl SheetRun {
    /// The job that each of its pieces is of, in the order in which they are cut.
    pub fn members(&self) -> impl Iterator<Item = usize> {
        self.programs.cut.pieces.iter().map(|piece| self.kinds[piece.kind].member)
    }

    /// The job of its first piece, whose material the sheet is of.
    ///
    /// # Panics
    /// Never: no sheet is laid without a piece.
    pub fn first_member(&self) -> usize {
        self.members().next().expect("a sheet that is cut has a piece")
    }
}

impl Set {
    /// How many sheets are cut, each by itself.
    pub fn sheet_count(&self) -> usize {
        self.sheets.iter().map(|run| run.times).sum()
    }

    /// The sheets of a layout among all that are cut.
    pub fn sheet_numbers(&self, layout: usize) -> SheetNumbers {
        let before: usize = self.sheets[..layout].iter().map(|run| run.times).sum();
        let last = before + self.sheets[layout].times;
        let run = &self.sheets[layout];
        let (offcut, lies_along) = (run.offcut.map(|of| of.size), run.lies_along);
        SheetNumbers { first: before + 1, last, of: self.sheet_count(), offcut, lies_along }
    }

    /// Every piece, those of sheets first, in the order in which they are cut.
    pub fn numbered(&self) -> Vec<NumberedPiece> {
        let mut all = self.on_sheets();
        all.extend(self.sawn());
        all.extend(self.alone());
        all
    }

    /// The numbers of a job's pieces that are cut one after the other by one program, which cannot
    /// mark each with its own; in the order in which they are cut. None of what comes out of
    /// sheets, or is one alone.
    pub fn one_by_one(&self, member: usize) -> Vec<String> {
        let all = self.in_turn().into_iter().filter(|(of, _)| *of == member);
        let all: Vec<String> = all.map(|(_, number)| number).collect();
        if all.len() < 2 { Vec::new() } else { all }
    }

    /// The same as stretches, `B1-1 to B1-3`, none of which passes over a piece of another job:
    /// where several share boards, the numbers between two of one job's may be of another's.
    pub fn one_by_one_in_stretches(&self, member: usize) -> Vec<String> {
        let all = self.in_turn();
        let own = all.chunk_by(|(a, _), (b, _)| (*a == member) == (*b == member));
        let own = own.filter(|of| of[0].0 == member);
        let told = |of: &[(usize, String)]| match of {
            [(_, first), .., (_, last)] => format!("{first} to {last}"),
            [.., (_, only)] => only.clone(),
            [] => String::new(),
        };
        if self.one_by_one(member).is_empty() { Vec::new() } else { own.map(told).collect() }
    }

    /// Every piece that is cut by itself, the job that it is of and its number, board after board.
    fn in_turn(&self) -> Vec<(usize, String)> {
        let pieces = self.sawn().into_iter().chain(self.alone());
        let on_each = |of: NumberedPiece| {
            of.stock().map(move |stock| (stock, of.place, of.member, of.number_on(stock)))
        };
        let mut all: Vec<_> = pieces.flat_map(on_each).collect();
        all.sort_by_key(|(stock, place, ..)| (*stock, *place));
        all.into_iter().map(|(.., member, number)| (member, number)).collect()
    }

    fn on_sheets(&self) -> Vec<NumberedPiece> {
        let mut all = Vec::new();
        for (layout, run) in self.sheets.iter().enumerate() {
            let numbers = self.sheet_numbers(layout);
            for (i, placed) in run.programs.cut.pieces.iter().enumerate() {
                let kind = &run.kinds[placed.kind];
                let title = &self.members[kind.member].job().title;
                let name = &kind.tooled.name;
                let part = name.strip_suffix(&format!(" of {title}")).unwrap_or(name);
                let (length, width) = sides(&kind.tooled.piece);
                all.push(NumberedPiece {
                    member: kind.member,
                    part: part.to_string(),
                    length,
                    width,
                    weight_kg: self.weight_of(kind.member, &kind.tooled.piece, &kind.tooled.holes),
                    from: CutOf::Sheet,
                    of_offcut: run.offcut.is_some(),
                    board: None,
                    first: numbers.first,
                    times: run.times,
                    of: numbers.of,
                    place: i + 1,
                });
            }
        }
        all
    }

    fn sawn(&self) -> Vec<NumberedPiece> {
        let of = self.boards_in_turn().map(|(.., of)| of.times).sum();
        let mut all = Vec::new();
        for (first, plan, SawnBoards { blanks, times, known, .. }) in self.boards_in_turn() {
            for (i, blank) in blanks.iter().enumerate() {
                let member = self.boards[plan].blanks[*blank].member;
                let piece = self.piece_of(member);
                all.extend(piece.map(|((length, width), weight_kg)| NumberedPiece {
                    member,
                    part: "stringer".to_string(),
                    length,
                    width,
                    weight_kg,
                    from: CutOf::Board,
                    of_offcut: false,
                    board: known.name.clone(),
                    first,
                    times: *times,
                    of,
                    place: i + 1,
                }));
            }
        }
        all
    }

    /// The pieces of a job that shares its material with nothing.
    fn alone(&self) -> Vec<NumberedPiece> {
        let [only] = &self.members[..] else { return Vec::new() };
        if !self.sheets.is_empty() || !self.boards.is_empty() {
            return Vec::new();
        }
        let part = match only.job().cut.makes {
            Makes::Pattern(_) => "pattern",
            Makes::Stringers => "stringer",
        };
        let piece = self.piece_of(0).into_iter();
        piece
            .map(|((length, width), weight_kg)| NumberedPiece {
                member: 0,
                part: part.to_string(),
                length,
                width,
                weight_kg,
                from: CutOf::Sheet,
                of_offcut: false,
                board: None,
                first: 1,
                times: only.pieces(),
                of: only.pieces(),
                place: 1,
            })
            .collect()
    }

    /// The sides of a job's piece, and its weight.
    fn piece_of(&self, member: usize) -> Option<((Length, Length), Option<f64>)> {
        let workup = &self.members[member].workup;
        let piece = workup.planned.as_ref()?.path.piece();
        Some((sides(piece), self.weight_of(member, piece, &cleat_holes_of(workup))))
    }

    fn weight_of(&self, member: usize, piece: &Contour<Role>, holes: &[Hole]) -> Option<f64> {
        let material = &self.members[member].job().cut.material;
        let area_mm2 = piece.area() - holes.iter().map(Hole::area_mm2).sum::<f64>();
        Some(weight_kg(material.density.as_ref()?.kg_m3, area_mm2, material.thickness))
    }
}

fn sides(piece: &Contour<Role>) -> (Length, Length) {
    let bounds = piece.bounds();
    (Length::mm(bounds.width()), Length::mm(bounds.height()))
}
