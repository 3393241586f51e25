//! Kinds of one shape are laid out as one, and shared out over the places afterwards.

use super::Kind;
use crate::geometry::Placement;
use crate::optimise::nesting::{Piece, Placed, Rotations, SheetLayout};

/// Kinds by their shape.
pub(super) struct Shapes {
    /// The kinds of every shape.
    kinds: Vec<Vec<usize>>,
}

/// A layout with a kind of piece at every place.
pub(super) struct Shared<'a> {
    /// How many sheets are like this.
    pub times: usize,
    /// What lies where.
    pub lying: Vec<(usize, Placement)>,
    /// The layout that it is of.
    pub layout: &'a SheetLayout,
}

/// Corners closer than this are one corner, in mm.
const SAME_MM: f64 = 1e-9;

impl Shapes {
    /// The shapes of kinds.
    pub(super) fn of(all: &[Kind]) -> Self {
        let mut kinds: Vec<Vec<usize>> = Vec::new();
        for (i, kind) in all.iter().enumerate() {
            match kinds.iter_mut().find(|of| is_same(&all[of[0]], kind)) {
                Some(of) => of.push(i),
                None => kinds.push(vec![i]),
            }
        }
        Self { kinds }
    }

    /// One piece a shape, as many as all its kinds together.
    pub(super) fn pieces(&self, all: &[Kind], rotations: Rotations) -> Vec<Piece> {
        let piece = |of: &Vec<usize>| Piece {
            outline: all[of[0]].tooled.piece.vertices(),
            count: of.iter().map(|&kind| all[kind].count).sum(),
            rotations,
        };
        self.kinds.iter().map(piece).collect()
    }

    /// The first kind of a shape.
    pub(super) fn first(&self, shape: usize) -> usize {
        self.kinds[shape][0]
    }

    /// The layouts with their kinds: sheets that were laid out alike stay alike where the counts
    /// allow.
    pub(super) fn shared<'a>(&self, all: &[Kind], layouts: &'a [SheetLayout]) -> Vec<Shared<'a>> {
        let mut left: Vec<usize> = all.iter().map(|kind| kind.count).collect();
        let mut shared: Vec<Shared<'_>> = Vec::new();
        for layout in layouts {
            if let Some(lying) = self.given(&layout.placed, &mut left, layout.times) {
                shared.push(Shared { times: layout.times, lying, layout });
                continue;
            }
            for _ in 0..layout.times {
                let lying = self.given(&layout.placed, &mut left, 1);
                let lying = lying.expect("a nest has a place for every piece and no place more");
                let kinds_of = |lying: &[(usize, Placement)]| {
                    lying.iter().map(|(kind, _)| *kind).collect::<Vec<_>>()
                };
                match shared.last_mut() {
                    Some(last)
                        if std::ptr::eq(last.layout, layout)
                            && kinds_of(&last.lying) == kinds_of(&lying) =>
                    {
                        last.times += 1;
                    }
                    _ => shared.push(Shared { times: 1, lying, layout }),
                }
            }
        }
        shared
    }

    /// A kind for every place, the same on `times` sheets; `None`, and nothing taken, where that
    /// does not come out.
    fn given(
        &self,
        lying: &[Placed],
        left: &mut [usize],
        times: usize,
    ) -> Option<Vec<(usize, Placement)>> {
        let mut after = left.to_vec();
        let mut given = Vec::with_capacity(lying.len());
        for place in lying {
            let kind =
                self.kinds[place.piece].iter().copied().find(|&kind| after[kind] >= times)?;
            after[kind] -= times;
            given.push((kind, place.placement));
        }
        left.copy_from_slice(&after);
        Some(given)
    }
}

fn is_same(a: &Kind, b: &Kind) -> bool {
    let (a, b) = (a.tooled.piece.vertices(), b.tooled.piece.vertices());
    a.len() == b.len() && a.iter().zip(&b).all(|(p, q)| (p - q).norm() <= SAME_MM)
}
