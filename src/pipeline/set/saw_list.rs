//! Every board of a set with its blanks, in the order in which they are sawn off it.

use super::{CutOf, SawnBoards, Set};
use crate::job::KnownBy;
use crate::units::Length;

/// A board that is sawn, or several of which it does not matter which is which.
#[derive(Clone, Debug)]
pub struct BoardToSaw {
    /// Its number, or that of the first, among all boards of the set, from 1.
    pub first: usize,
    /// Which of the set's purchases of boards it is of, from 0.
    pub plan: usize,
    /// How many are sawn alike; 1 where it is told from others.
    pub times: usize,
    /// The material's name.
    pub material: String,
    /// How long it is.
    pub length: Length,
    /// What tells it from others of that length.
    pub known: KnownBy,
    /// Its blanks, in the order in which they are sawn off.
    pub blanks: Vec<BlankToSaw>,
    /// What is left of it.
    pub left: Length,
}

/// A blank on a board.
#[derive(Clone, Debug)]
pub struct BlankToSaw {
    /// Its place on the board, from 1.
    pub place: usize,
    /// Its number among the blanks of that purchase, from 1.
    pub number: usize,
    /// The job that it is for.
    pub member: usize,
    /// How long it is sawn.
    pub length: Length,
    /// How wide it is ripped then, where its board is wider.
    pub ripped_to: Option<Length>,
}

impl BoardToSaw {
    /// The number of the last that is sawn so.
    pub fn last(&self) -> usize {
        self.first + self.times - 1
    }

    /// The boards one by one.
    pub fn each(&self) -> impl Iterator<Item = Self> {
        (self.first..=self.last()).map(|first| Self { first, times: 1, ..self.clone() })
    }
}

impl BlankToSaw {
    /// The numbers of the pieces that are cut from it, one for each board.
    pub fn numbers(&self, board: &BoardToSaw) -> String {
        CutOf::Board.numbers((board.first, board.last()), self.place)
    }
}

impl Set {
    /// The boards that are sawn alike, each with the number of its first among all boards of the
    /// set, from 1, and of the purchase that it is of, from 0.
    pub(super) fn boards_in_turn(&self) -> impl Iterator<Item = (usize, usize, &SawnBoards)> {
        let each = self.boards.iter().enumerate();
        let each = each.flat_map(|(number, plan)| plan.boards.iter().map(move |of| (number, of)));
        each.scan(1, |next, (number, of)| {
            let first = *next;
            *next += of.times;
            Some((first, number, of))
        })
    }

    /// Every board that is sawn, numbered through all materials as pieces are. Those that were
    /// measured or have a name stand one by one, others that are sawn alike together.
    pub fn boards_to_saw(&self) -> Vec<BoardToSaw> {
        let mut all = Vec::new();
        for (first, number, of) in self.boards_in_turn() {
            let plan = &self.boards[number];
            let blank = |(i, blank): (usize, &usize)| {
                let number = blank + 1;
                let blank = &plan.blanks[*blank];
                BlankToSaw {
                    place: i + 1,
                    number,
                    member: blank.member,
                    length: blank.length,
                    ripped_to: of.ripped_to(blank),
                }
            };
            let alike = BoardToSaw {
                first,
                plan: number,
                times: of.times,
                material: plan.material.clone(),
                length: of.length,
                known: of.known.clone(),
                blanks: of.blanks.iter().enumerate().map(blank).collect(),
                left: of.left,
            };
            match of.known.is_told_apart() {
                true => all.extend(alike.each()),
                false => all.push(alike),
            }
        }
        all
    }
}
