//! What holds every piece while it is cut: tabs to wood that hangs on what is clamped, and where
//! none stays between two pieces, ties from one to the other that both cuts leave. Waste that would
//! come loose is tied as well.
//!
//! The wood between the cuts falls into parts. From the part that is clamped on, pieces get their
//! tabs to what hangs already, then waste a tie to a piece that does, and so on: every chain of
//! ties ends at the clamps.

use super::around::Around;
use super::begin::Begin;
use super::place::{On, Place, Places};
use super::said;
use crate::cam::plan::program::Placed;
use crate::cam::plan::router::Depth;
use crate::cam::plan::span::spanning;
use crate::cam::plan::tabs::Spot;
use crate::cam::plan::tabs::{Tab, TabShape};
use crate::diagnostics::{Outcome, Warned};
use crate::geometry::Point;

/// Waste from this area on gets a second tie where there is room, in square millimetres: eight
/// square inches.
const LARGE_MM2: f64 = 5000.0;
/// More ties than this do not hold waste better.
const MOST_TIES: usize = 2;

/// The chosen rounds with what lies round them, and the tabs as they are found.
pub(super) struct Tied<'a> {
    places: Places<'a>,
    centers: Vec<Point>,
    shape: TabShape,
    tabs: Vec<Vec<Tab>>,
    /// How many links from the clamps every piece and every part of the wood hangs; none where it
    /// does not.
    piece_links: Vec<Option<usize>>,
    wood_links: Vec<Option<usize>>,
    /// The pieces that hold each part of the wood.
    holders: Vec<Vec<usize>>,
    /// Piece to piece.
    ties: Vec<(usize, usize)>,
}

impl<'a> Tied<'a> {
    /// Looks at every place where a tab may stand. `centers` are the pieces' centres of area.
    pub(super) fn new(
        around: &'a Around<'a>,
        depth: Depth,
        begins: Vec<&'a Begin>,
        centers: Vec<Point>,
    ) -> Self {
        let count = begins.len();
        let places = Places::new(around, depth, begins);
        let wood_links: Vec<Option<usize>> =
            places.wood.held.iter().map(|held| held.then_some(0)).collect();
        Tied {
            holders: vec![Vec::new(); wood_links.len()],
            wood_links,
            places,
            centers,
            shape: depth.shape,
            tabs: vec![Vec::new(); count],
            piece_links: vec![None; count],
            ties: Vec::new(),
        }
    }

    /// The tabs of every piece, and what there is to say about them.
    ///
    /// # Errors
    /// A refusal where a piece finds no room for as many as the job asks for.
    pub(super) fn tabs(mut self, pieces: &[Placed]) -> Outcome<Vec<Vec<Tab>>> {
        while self.hang_pieces() || self.hang_waste() {}
        for piece in 0..self.tabs.len() {
            if self.piece_links[piece].is_some() {
                self.add(piece, |tied, place| tied.is_support(piece, place));
            }
        }
        for tabs in &mut self.tabs {
            tabs.sort_by(|a, b| a.along_mm.total_cmp(&b.along_mm));
        }
        let findings = said::about(
            pieces,
            &self.tabs,
            &self.centers,
            &self.ties,
            (self.places.around.machine(), self.shape),
        );
        let tabs = std::mem::take(&mut self.tabs).into_iter().enumerate();
        let eased = tabs.map(|(piece, tabs)| self.places.eased(piece, tabs)).collect();
        Ok(Warned::unless_refused(findings)?.map(|()| eased))
    }

    /// Gives every piece that has a place beside what hangs its tabs there; whether there was one.
    fn hang_pieces(&mut self) -> bool {
        let links = self.links();
        let mut hung = Vec::new();
        for piece in 0..self.tabs.len() {
            if self.piece_links[piece].is_some() {
                continue;
            }
            self.add(piece, |tied, place| tied.link(place).is_some_and(|link| link < links));
            if !self.tabs[piece].is_empty()
                && self.places.of[piece].iter().any(|place| self.is_used(piece, place))
            {
                hung.push(piece);
            }
        }
        hung.iter().for_each(|&piece| self.piece_links[piece] = Some(links));
        !hung.is_empty()
    }

    /// One more than any link so far.
    fn links(&self) -> usize {
        let all = self.piece_links.iter().chain(&self.wood_links);
        all.filter_map(|link| *link).max().map_or(0, |most| most + 1)
    }

    /// Whether a tab stands at a place beside something that hangs.
    fn is_used(&self, piece: usize, place: &Place) -> bool {
        let is_there = |tab: &Tab| (tab.along_mm - place.spot.tab.along_mm).abs() < 1e-9;
        self.link(place).is_some() && self.tabs[piece].iter().any(is_there)
    }

    fn link(&self, place: &Place) -> Option<usize> {
        match place.on {
            On::Wood(part) => self.wood_links[part],
            On::Piece { piece, .. } => self.piece_links[piece],
        }
    }

    /// Whether what lies behind a place holds a piece, and does not hang on that piece itself.
    fn is_support(&self, piece: usize, place: &Place) -> bool {
        let own = self.piece_links[piece];
        let by_others = match place.on {
            On::Wood(part) => {
                self.holders[part].iter().any(|&by| by != piece && self.piece_links[by] <= own)
            }
            On::Piece { .. } => false,
        };
        self.link(place).is_some() && (self.link(place) <= own || by_others)
    }

    /// Adds the tabs that hold a piece, at those of its places that are taken.
    fn add(&mut self, piece: usize, takes: impl Fn(&Tied<'_>, &Place) -> bool) {
        let open = |place: &&Place| takes(self, place) && self.is_free(place);
        let places: Vec<Place> = self.places.of[piece].iter().filter(open).copied().collect();
        let spots: Vec<Spot> = places.iter().map(|place| place.spot).collect();
        for tab in spanning(&spots, &self.tabs[piece], self.shape.asked(), self.centers[piece]) {
            let place =
                places.iter().find(|place| (place.spot.tab.along_mm - tab.along_mm).abs() < 1e-9);
            if let Some(place) = place.filter(|place| self.is_free(place)) {
                self.put(piece, *place);
            }
        }
    }

    /// Whether the tab on the neighbour's path, where there must be one, keeps off those that stand
    /// there.
    fn is_free(&self, place: &Place) -> bool {
        match place.on {
            On::Wood(_) => true,
            On::Piece { piece, twin } => self.is_apart(piece, &twin),
        }
    }

    fn is_apart(&self, piece: usize, tab: &Tab) -> bool {
        self.tabs[piece]
            .iter()
            .all(|other| (other.along_mm - tab.along_mm).abs() >= self.shape.apart() - 1e-6)
    }

    fn put(&mut self, piece: usize, place: Place) {
        self.tabs[piece].push(place.spot.tab);
        if let On::Piece { piece: neighbour, twin } = place.on {
            self.tabs[neighbour].push(twin);
            self.ties.push((piece, neighbour));
        }
    }

    /// Ties all waste larger than a coin that does not hang yet and lies beside a piece that does;
    /// whether there was some.
    fn hang_waste(&mut self) -> bool {
        let links = self.links();
        let mut any = false;
        for part in 0..self.wood_links.len() {
            if self.wood_links[part].is_none() && self.places.wood.must_hang[part] {
                let large = self.places.wood.parts.all()[part].area > LARGE_MM2;
                for _ in 0..if large { MOST_TIES } else { 1 } {
                    self.tie_waste(part);
                }
                if !self.holders[part].is_empty() {
                    self.wood_links[part] = Some(links);
                    any = true;
                }
            }
        }
        any
    }

    /// One tie from a piece that hangs to a part of the wood, on as welcome an edge as can be, far
    /// from other ties of it.
    fn tie_waste(&mut self, part: usize) {
        let mut best: Option<(usize, f64, usize, Place)> = None;
        for piece in (0..self.tabs.len()).filter(|&piece| self.piece_links[piece].is_some()) {
            let beside = self.places.of[piece]
                .iter()
                .filter(|place| matches!(place.on, On::Wood(on) if on == part));
            for place in beside.filter(|place| self.is_apart(piece, &place.spot.tab)) {
                let middle = self.places.wood.parts.all()[part].bounds;
                let off = (place.spot.tab.at - nalgebra::center(&middle.min, &middle.max)).norm();
                let far = if self.holders[part].contains(&piece) { off + LARGE_MM2 } else { off };
                if best.is_none_or(|(rank, least, ..)| (place.spot.rank, far) < (rank, least)) {
                    best = Some((place.spot.rank, far, piece, *place));
                }
            }
        }
        if let Some((_, _, piece, place)) = best {
            self.put(piece, place);
            self.holders[part].push(piece);
        }
    }
}
