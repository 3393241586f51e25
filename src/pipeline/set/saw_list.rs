//! Every board of a set with its blanks, in the order in which they are sawn off it.

use super::{CutOf, Set};
use crate::job::KnownBy;
use crate::units::Length;

/// A board that is sawn, or several of which it does not matter which is which.
#[derive(Clone, Debug)]
pub struct BoardToSaw {
    /// Its number, or that of the first, among all boards of the set, from 1.
    pub first: usize,
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
    /// Every board that is sawn, numbered through all materials as pieces are. Those that were measured or
    /// have a name stand one by one, others that are sawn alike together.
    pub fn boards_to_saw(&self) -> Vec<BoardToSaw> {
        let (mut all, mut first) = (Vec::new(), 1);
        for (plan, of) in
            self.boards.iter().flat_map(|plan| plan.boards.iter().map(move |of| (plan, of)))
        {
            let blank = |(i, number): (usize, &usize)| {
                let blank = &plan.blanks[*number];
                BlankToSaw {
                    place: i + 1,
                    member: blank.member,
                    length: blank.length,
                    ripped_to: of.ripped_to(blank),
                }
            };
            let alike = BoardToSaw {
                first,
                times: of.times,
                material: plan.material.clone(),
                length: of.length,
                known: of.known.clone(),
                blanks: of.blanks.iter().enumerate().map(blank).collect(),
                left: of.left,
            };
            first += of.times;
            match of.known.is_told_apart() {
                true => all.extend(alike.each()),
                false => all.push(alike),
            }
        }
        all
    }
}
