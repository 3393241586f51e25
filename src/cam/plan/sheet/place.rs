//! The places where tabs may stand on the rounds of a sheet, and what wood lies behind each.

use super::around::{Around, has_room};
use super::begin::Begin;
use crate::cam::plan::hold::{MORE_WASTE, MORE_WEB_MM};
use crate::cam::plan::round::Round;
use crate::cam::plan::router::{Depth, Entry};
use crate::cam::plan::tabs::{self, Keep, Spot, Tab};
use crate::geometry::hanging::held_parts;
use crate::geometry::remains::{Parts, Remains};
use crate::geometry::tolerance::{COIN_MM2, LEAST_WEB_MM};
use crate::geometry::{Point, Segment, Vector, distance_to_segment};

/// How far the two cuts of a tie may be from square over each other, in mm.
const SQUARE_MM: f64 = 1.0;
/// How far a tie's wood on one cut may lie from that on the other, along either, where each runs in
/// the other's kerf, in mm: what the proof lets a tab be off.
const ASIDE_MM: f64 = 0.01;
/// From one point that is looked at to the next across a tab, in mm.
const STEP_MM: f64 = 1.0;
/// How far behind a kerf wood is looked for, beyond half a web, in mm.
const BEHIND_MM: f64 = 6.0;
/// What other cuts keep from the path where a tab stands, beside the tool's width, in mm.
const CLEAR_MM: f64 = 0.1;
/// What a look from point to point may miss of that, in mm.
const MISSED_MM: f64 = 0.005;
/// What just keeps off is taken to keep off, in mm.
const FITS_MM: f64 = 1e-9;

/// What a tab ties its piece to.
#[derive(Clone, Copy, Debug)]
pub(super) enum On {
    /// A part of the wood between the cuts.
    Wood(usize),
    /// Another piece, where its cut leaves this tab.
    Piece {
        /// Which piece.
        piece: usize,
        /// The tab on its path.
        twin: Tab,
    },
}

/// A place for a tab with what lies behind it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    pub spot: Spot,
    pub on: On,
}

/// The wood between the cuts, before there are tabs.
pub(super) struct Wood {
    pub parts: Parts,
    /// Which of its parts are clamped on.
    pub held: Vec<bool>,
    /// Which are larger than a coin.
    pub must_hang: Vec<bool>,
}

/// All places of all pieces.
pub(super) struct Places<'a> {
    pub around: &'a Around<'a>,
    pub wood: Wood,
    /// The places of every piece, the most welcome first.
    pub of: Vec<Vec<Place>>,
    depth: Depth,
    begins: Vec<&'a Begin>,
    /// What is cut beside the rounds: ways in and out, holes.
    beside: Vec<Segment>,
}

impl<'a> Places<'a> {
    pub(super) fn new(around: &'a Around<'a>, depth: Depth, begins: Vec<&'a Begin>) -> Self {
        let beside: Vec<Segment> = begins.iter().flat_map(|begin| ways_beside(begin)).collect();
        let rounds = begins.iter().flat_map(|begin| begin.rounds());
        let rounds = rounds.flat_map(|round| round.edges().map(|(_, edge)| edge.segment));
        let ways: Vec<Segment> = rounds.chain(beside.iter().copied()).collect();
        let wood = Wood::between(around, &ways, depth.cutter / 2.0);
        let mut places = Places { around, wood, of: Vec::new(), depth, begins, beside };
        let spots: Vec<Vec<Spot>> =
            (0..places.begins.len()).map(|piece| places.spots(piece)).collect();
        places.of = (0..spots.len()).map(|piece| places.places(piece, &spots)).collect();
        places
    }

    fn spots(&self, piece: usize) -> Vec<Spot> {
        let keep_clear = self.keep_clear(piece);
        tabs::spots(self.round(piece), self.depth.shape, self.depth.cutter, keep_clear)
    }

    fn keep_clear(&self, piece: usize) -> (f64, f64) {
        let entry = entry(self.begins[piece]);
        entry.map_or((0.0, 0.0), |entry| entry.keep_clear(self.depth.cutter / 2.0))
    }

    /// The tabs of a piece, in the order of its round, with ramps behind them where no cut of
    /// another piece and no way in or out takes their wood away.
    pub(super) fn eased(&self, piece: usize, tabs: Vec<Tab>) -> Vec<Tab> {
        let cutter = self.depth.cutter;
        let is_clear = |down: &Segment| {
            let far = 0.5 * cutter + self.kerfs() + CLEAR_MM;
            self.keeps_from_ways(down, cutter + CLEAR_MM + self.depth.allowance)
                && self.keeps_from_pieces(down, &[piece], far)
        };
        let keep = Keep { end: self.keep_clear(piece).0, zones: &[], is_clear: &is_clear };
        tabs::eased(tabs, self.round(piece), self.depth.shape, cutter, &keep)
    }

    fn places(&self, piece: usize, spots: &[Vec<Spot>]) -> Vec<Place> {
        let own = spots[piece].iter().filter(|spot| self.is_clear(spot));
        own.filter_map(|spot| Some(Place { spot: *spot, on: self.behind(piece, spot, spots)? }))
            .collect()
    }

    /// Half a web and a little, in mm.
    fn half_web() -> f64 {
        (LEAST_WEB_MM + MORE_WEB_MM) / 2.0
    }

    /// A kerf, with what passes off the line take more on both of its sides: from this path to that
    /// of a neighbour.
    fn kerfs(&self) -> f64 {
        self.depth.cutter + 2.0 * self.depth.allowance
    }

    /// The way of the tool's middle over a tab.
    fn footprint(&self, spot: &Spot) -> Segment {
        let half = self.depth.shape.footprint() / 2.0;
        Segment::Line { from: spot.beside(-half), to: spot.beside(half) }
    }

    /// Whether no way in, way out or hole comes near the path anywhere along a tab, and no clamp.
    fn is_clear(&self, spot: &Spot) -> bool {
        let over = self.footprint(spot);
        let (cutter, radius) = (self.depth.cutter, self.depth.cutter / 2.0);
        self.keeps_from_ways(&over, cutter + CLEAR_MM + self.depth.allowance)
            && self.has_room(&over, |p| self.around.to_clamp(p) - radius)
    }

    /// What wood a tab would tie its piece to: a strip as wide as a web leads from the piece to it.
    fn behind(&self, piece: usize, spot: &Spot, spots: &[Vec<Spot>]) -> Option<On> {
        let radius = self.depth.cutter / 2.0;
        if self.keeps_from_pieces(&self.footprint(spot), &[piece], self.kerfs() + CLEAR_MM) {
            let reach = radius + self.depth.allowance + Places::half_web();
            let at = |out: f64| spot.tab.at + spot.out() * out;
            if self.is_free(&Segment::Line { from: at(0.0), to: at(reach) }, &[piece]) {
                let mut wood =
                    steps(reach, reach + BEHIND_MM).filter_map(|out| self.wood.parts.at(at(out)));
                if let Some(part) = wood.next() {
                    return Some(On::Wood(part));
                }
            }
        }
        self.twin(piece, spot, spots)
    }

    /// Whether other pieces lie farther from a way than their kerf and half a web reach, and other
    /// cuts too.
    fn is_free(&self, way: &Segment, but: &[usize]) -> bool {
        let (radius, half_web) = (self.depth.cutter / 2.0, Places::half_web());
        self.keeps_from_pieces(way, but, self.kerfs() + half_web)
            && self.keeps_from_ways(way, radius + half_web)
    }

    fn keeps_from_pieces(&self, way: &Segment, but: &[usize], reach: f64) -> bool {
        self.has_room(way, |p| self.around.beyond(p, but, reach))
    }

    fn keeps_from_ways(&self, way: &Segment, reach: f64) -> bool {
        let to_nearest = |p: Point| {
            let distances = self.beside.iter().map(|way| distance_to_segment(p, way));
            distances.fold(f64::INFINITY, f64::min)
        };
        self.has_room(way, |p| to_nearest(p) - reach)
    }

    fn has_room(&self, way: &Segment, room: impl Fn(Point) -> f64) -> bool {
        has_room(way, (self.depth.cutter / 2.0, MISSED_MM), |p| room(p) + FITS_MM)
    }

    /// The tab on the neighbour's path that leaves the same wood.
    fn twin(&self, piece: usize, spot: &Spot, spots: &[Vec<Spot>]) -> Option<On> {
        let reach = self.depth.cutter + self.kerfs() + 2.0 * Places::half_web();
        let neighbour = self.around.nearest(spot.tab.at, piece, reach)?;
        let (at, along_mm, role) = self.round(neighbour).foot(spot.tab.at)?;
        // Its whole footprint must stand where tabs may stand: between two spots of the same edge.
        let off =
            |s: &Spot| if s.tab.role == role { s.tab.along_mm - along_mm } else { f64::INFINITY };
        let before =
            spots[neighbour].iter().find(|s| off(s) <= 1e-6 && off(s) >= -tabs::LOOK_MM)?;
        spots[neighbour].iter().find(|s| off(s) >= -1e-6 && off(s) <= tabs::LOOK_MM)?;
        let facing = before.out().dot(&spot.out()) < 0.0;
        let square = self.round(neighbour).is_square(spot.tab.at, along_mm, SQUARE_MM);
        let between = Segment::Line { from: spot.tab.at, to: at };
        let both = [piece, neighbour];
        let twin = Tab { at, top: at, along_mm, role, ..spot.tab };
        let on_it = Spot { tab: twin, ..*before };
        let clear = self.is_clear(&on_it);
        let holds = facing
            && square
            && clear
            && self.leaves_alike(spot, &on_it)
            && self.is_free(&between, &both)
            && self.keeps_from_pieces(&self.footprint(spot), &both, self.kerfs() + CLEAR_MM);
        holds.then_some(On::Piece { piece: neighbour, twin })
    }

    /// Whether each of two tabs of a tie leaves the wood that the other stands in, where their cuts
    /// run in each other's kerfs: cuts that are turned against each other leave it farther on.
    fn leaves_alike(&self, spot: &Spot, twin: &Spot) -> bool {
        let half = self.depth.shape.footprint() / 2.0;
        let kerf = (self.depth.cutter / 2.0).max(self.depth.allowance) + CLEAR_MM;
        [-half, half].into_iter().all(|along| {
            // The neighbour's cut comes the other way.
            let over: Vector = twin.beside(-along) - spot.beside(along);
            let is_in_kerf = [spot, twin].iter().any(|cut| over.dot(&cut.out()).abs() < kerf);
            !is_in_kerf || [spot, twin].iter().all(|cut| over.dot(&cut.ahead).abs() <= ASIDE_MM)
        })
    }

    fn round(&self, piece: usize) -> &Round {
        self.begins[piece].round()
    }
}

/// Distances from one to another, both among them.
fn steps(from: f64, to: f64) -> impl Iterator<Item = f64> {
    let count = ((to - from) / STEP_MM).ceil().max(1.0);
    (0..=count as usize).map(move |i| from + (to - from) * i as f64 / count)
}

fn entry(begin: &Begin) -> Option<&Entry> {
    match begin {
        Begin::Cutter { entry, .. } => Some(entry),
        Begin::Beam { .. } => None,
    }
}

/// The ways of the tool that are not on its round, taken as cut through all along.
fn ways_beside(begin: &Begin) -> Vec<Segment> {
    let Some(entry) = entry(begin) else { return Vec::new() };
    let mut ways = entry.leads();
    if let Entry::Beside { lead, ramp_end, .. } = entry {
        ways.push(Segment::Line { from: lead.entry, to: *ramp_end });
        ways.push(Segment::Line { from: lead.way_out.to(), to: lead.entry });
    }
    if let Begin::Cutter { rough: Some(rough), .. } = begin {
        ways.extend(rough.ways(entry));
    }
    ways
}

impl Wood {
    /// What stays between ways that are cut through.
    fn between(around: &Around<'_>, ways: &[Segment], radius: f64) -> Self {
        let web = 2.0 * Places::half_web();
        let plate = around.plate();
        let remains = Remains::of(plate.grown(-web / 2.0), ways, radius + web / 2.0);
        let parts = remains.map_or_else(Parts::none, Remains::parts);
        let held = held_parts(&parts, around.anchor(), web);
        let must_hang =
            parts.all().iter().map(|part| part.with_rim(web) > COIN_MM2 * MORE_WASTE).collect();
        Self { parts, held, must_hang }
    }
}
