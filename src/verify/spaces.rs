//! In which space of a drawing its entities lie, and what its blocks hold.
//!
//! A reader takes an entity for model space by its flag, by its owner, or by the block that it
//! stands in: where these differ, one shop cuts what another does not see. What blocks hold is
//! drawn by whoever uses them.

use std::collections::{BTreeMap, HashMap, HashSet};

use super::contents::Drawing;
use super::entity::{Entity, Space, handle};
use super::findings::Findings;
use super::layers;
use super::skeleton::Stray;
use crate::diagnostics::Count;
use crate::diagnostics::Error;
use crate::diagnostics::codes::{self, Kinds, SpaceDoubt, StrayPlace};
use crate::geometry::Point;

/// How deep blocks in blocks are looked into.
const DEEPEST: usize = 8;
/// Of these no block says whose they are: they belong to the entity before them.
const PARTS_OF_OTHERS: [&[u8]; 3] = [b"VERTEX", b"SEQEND", b"ATTRIB"];
/// What a dimension is drawn with: nothing of it can be cut out.
const OF_DIMENSIONS: [&str; 6] = ["ARC", "LINE", "MTEXT", "POINT", "SOLID", "TEXT"];
/// What is in a block and is nothing to cut.
const WORDS: [&str; 4] = ["ATTDEF", "MTEXT", "POINT", "TEXT"];
/// What shows model space on paper.
const VIEWPORT: &str = "VIEWPORT";
/// No dimension is drawn with more lines.
const MOST_OF_A_DIMENSION: usize = 200;
/// Ends of lines so near to each other meet, in the drawing's unit.
const MEETS: f64 = 1e-3;
/// The most names of blocks that are told.
const MOST_NAMED: usize = 6;

/// What a block is for, by its name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Room {
    Model,
    /// The paper that is shown; its entities stand in the section of entities.
    Paper,
    /// Another sheet of paper; its entities stand in the block.
    OtherPaper,
    Block,
}

fn room(name: &str) -> Room {
    let is = |of: &str| name.eq_ignore_ascii_case(of);
    let begins = |of: &str| name.get(..of.len()).is_some_and(|head| head.eq_ignore_ascii_case(of));
    if is("*Model_Space") || is("$Model_Space") {
        Room::Model
    } else if is("*Paper_Space") || is("$Paper_Space") {
        Room::Paper
    } else if begins("*Paper_Space") {
        Room::OtherPaper
    } else {
        Room::Block
    }
}

/// What an entity says of where it lies.
#[derive(Debug)]
struct Claim {
    line: usize,
    entity: String,
    layer: String,
    space: Space,
    owners: Vec<Option<u64>>,
    /// The block that it stands in.
    block: Option<usize>,
}

#[derive(Debug)]
struct Block {
    name: String,
    owners: Vec<Option<u64>>,
    things: Vec<Thing>,
}

#[derive(Debug)]
struct Thing {
    kind: String,
    layer: String,
    /// The block that it draws, for those kinds that do.
    draws: Option<String>,
    /// Of a line.
    ends: Option<[Point; 2]>,
}

/// The spaces and the blocks of a drawing as they are read.
#[derive(Debug, Default)]
pub(super) struct Spaces {
    /// What each handle of a block's record is for: of two records with one handle both.
    records: HashMap<u64, Vec<Room>>,
    claims: Vec<Claim>,
    blocks: Vec<Block>,
    /// The block that is being read.
    open: Option<usize>,
    /// Names of blocks that something draws.
    drawn: HashSet<String>,
    /// What lies on paper and is more than words.
    on_paper: Vec<Stray>,
}

impl Spaces {
    /// A record of the table of blocks.
    pub(super) fn record(&mut self, record: &Entity<'_>) {
        let handle = record.first(5).and_then(|pair| handle(pair.value));
        if let (Some(handle), Some(name)) = (handle, record.first(2)) {
            let room = room(&String::from_utf8_lossy(name.value));
            self.records.entry(handle).or_default().push(room);
        }
    }

    /// An entity of the section of entities.
    ///
    /// # Errors
    /// If its flag is no number.
    pub(super) fn entity(&mut self, entity: &Entity<'_>, file: &str) -> Result<Space, Error> {
        self.claim(entity, None, file)?;
        let space = entity.space(file)?;
        if space == Space::Paper {
            self.on_paper(entity);
        }
        Ok(space)
    }

    /// Whether a block has begun that is not over.
    pub(super) fn is_in_block(&self) -> bool {
        self.open.is_some()
    }

    fn on_paper(&mut self, entity: &Entity<'_>) {
        let kind = entity.kind.as_slice();
        let is_word = WORDS.iter().chain([&VIEWPORT]).any(|word| kind == word.as_bytes());
        if !is_word && !PARTS_OF_OTHERS.contains(&kind) {
            self.on_paper.push(Stray::new(entity, StrayPlace::Paper));
        }
    }

    /// What stands in the section of blocks.
    ///
    /// # Errors
    /// If an entity's flag is no number.
    pub(super) fn in_blocks(&mut self, entity: &Entity<'_>, file: &str) -> Result<(), Error> {
        match (entity.kind.as_slice(), self.open) {
            (b"BLOCK", _) => {
                let name = entity.first(2).map(|pair| String::from_utf8_lossy(pair.value));
                let name = name.unwrap_or_default().into_owned();
                self.open = Some(self.blocks.len());
                self.blocks.push(Block { name, owners: entity.owners(), things: Vec::new() });
            }
            (b"ENDBLK", _) => self.open = None,
            (kind, Some(open)) if !PARTS_OF_OTHERS.contains(&kind) => {
                self.claim(entity, Some(open), file)?;
                if room(&self.blocks[open].name) == Room::OtherPaper {
                    self.on_paper(entity);
                }
                let kind = entity.kind.escape_ascii().to_string();
                let thing = Thing {
                    kind,
                    layer: entity.layer(),
                    draws: entity.block(),
                    ends: entity.ends(),
                };
                self.blocks[open].things.push(thing);
            }
            _ => {}
        }
        Ok(())
    }

    fn claim(
        &mut self,
        entity: &Entity<'_>,
        block: Option<usize>,
        file: &str,
    ) -> Result<(), Error> {
        self.drawn.extend(entity.block());
        if PARTS_OF_OTHERS.contains(&entity.kind.as_slice()) {
            return Ok(());
        }
        self.claims.push(Claim {
            line: entity.line,
            entity: entity.kind.escape_ascii().to_string(),
            layer: entity.layer(),
            space: entity.space(file)?,
            owners: entity.owners(),
            block,
        });
        Ok(())
    }

    /// What a handle's record is for.
    fn rooms(&self, owners: &[Option<u64>]) -> Vec<Room> {
        let known = owners.iter().flatten().filter_map(|owner| self.records.get(owner));
        known.flatten().copied().collect()
    }

    fn doubt(&self, claim: &Claim) -> Option<SpaceDoubt> {
        let rooms = self.rooms(&claim.owners);
        if claim.owners.iter().any(|owner| *owner != claim.owners[0]) {
            return Some(SpaceDoubt::TwoOwners);
        }
        if let Some(block) = claim.block.map(|block| &self.blocks[block]) {
            let of_block = self.rooms(&block.owners);
            let is_in = |of: Room| room(&block.name) == of || of_block.contains(&of);
            return if is_in(Room::Model) {
                Some(SpaceDoubt::InModelBlock)
            } else if is_in(Room::Paper) {
                Some(SpaceDoubt::InPaperBlock)
            } else {
                rooms.contains(&Room::Model).then_some(SpaceDoubt::InOtherBlock)
            };
        }
        let is_of_paper = |room: &Room| matches!(room, Room::Paper | Room::OtherPaper);
        match claim.space {
            Space::Model if rooms.iter().any(is_of_paper) => Some(SpaceDoubt::OwnedByPaper),
            Space::Model if rooms.contains(&Room::Block) => Some(SpaceDoubt::OwnedByBlock),
            Space::Paper if !rooms.iter().all(is_of_paper) => Some(SpaceDoubt::OwnedByModel),
            Space::Paper
                if rooms.is_empty() && !claim.owners.is_empty() && !self.records.is_empty() =>
            {
                Some(SpaceDoubt::OwnedByNobody)
            }
            Space::Model | Space::Paper | Space::Unclear => None,
        }
    }

    /// The names of blocks that hold more than a dimension is drawn with, or hold it on one of the
    /// layers that are judged, whose names are given in capitals.
    pub(super) fn harmful(&self, judged: &HashSet<String>) -> HashSet<String> {
        let is_cut = |layer: &str| judged.contains(&layer.to_ascii_uppercase());
        let is_plain = |thing: &Thing| {
            (thing.draws.is_some() || OF_DIMENSIONS.contains(&thing.kind.as_str()))
                && !is_cut(&thing.layer)
        };
        let name = |block: &Block| block.name.to_ascii_uppercase();
        let plain = |block: &&Block| block.things.iter().all(is_plain) && !closes(&block.things);
        let (mut left, harmful): (Vec<&Block>, Vec<&Block>) = self.blocks.iter().partition(plain);
        let mut harmful: HashSet<String> = harmful.into_iter().map(name).collect();
        for _ in 0..DEEPEST {
            let draws = |block: &&Block| {
                block
                    .things
                    .iter()
                    .any(|of| of.draws.as_ref().is_some_and(|of| harmful.contains(of)))
            };
            let (more, rest): (Vec<&Block>, Vec<&Block>) = left.into_iter().partition(draws);
            left = rest;
            if more.is_empty() {
                return harmful;
            }
            harmful.extend(more.into_iter().map(name));
        }
        let unknown =
            left.into_iter().filter(|block| block.things.iter().any(|of| of.draws.is_some()));
        harmful.extend(unknown.map(name));
        harmful
    }

    /// The blocks that nothing draws and that hold more than words: their names, and what is in
    /// them.
    fn unused(&self) -> (Vec<&str>, BTreeMap<&str, usize>) {
        let (mut names, mut kinds) = (Vec::new(), BTreeMap::new());
        let is_unused = |block: &&Block| {
            room(&block.name) == Room::Block
                && !self.drawn.contains(&block.name.to_ascii_uppercase())
        };
        for block in self.blocks.iter().filter(is_unused) {
            let things = block.things.iter().map(|thing| thing.kind.as_str());
            let before = names.len();
            for kind in things.filter(|kind| !WORDS.contains(kind)) {
                *kinds.entry(kind).or_default() += 1;
                names.truncate(before);
                names.push(block.name.as_str());
            }
        }
        (names, kinds)
    }
}

/// Whether lines of a block close a ring, end to end: that can be cut out. Lines with a loose end
/// are left out until none has one.
fn closes(things: &[Thing]) -> bool {
    let meet = |a: Point, b: Point| (a - b).norm() <= MEETS;
    let mut lines: Vec<[Point; 2]> =
        things.iter().filter_map(|thing| thing.ends).filter(|[a, b]| !meet(*a, *b)).collect();
    if lines.len() > MOST_OF_A_DIMENSION {
        return true;
    }
    loop {
        let at = |p: Point| lines.iter().flatten().filter(|end| meet(**end, p)).count();
        let left: Vec<[Point; 2]> =
            lines.iter().copied().filter(|line| line.iter().all(|end| at(*end) > 1)).collect();
        if left.len() == lines.len() {
            return !left.is_empty();
        }
        lines = left;
    }
}

/// Tells what stands where nothing is drawn, and what is on paper.
fn tell_strays(drawing: &Drawing, findings: &mut Findings<'_>) {
    let judged = layers::names_judged(drawing);
    let is_cut = |stray: &&Stray| judged.contains(&stray.layer.to_ascii_uppercase());
    let (on_cut, beside): (Vec<&Stray>, Vec<&Stray>) =
        drawing.spaces.on_paper.iter().partition(is_cut);
    for stray in drawing.strays.iter().chain(on_cut) {
        let layer = stray.layer.escape_debug().to_string();
        let (entity, place) = (stray.entity.clone(), stray.place.clone());
        findings.at_line(codes::DrawingStray { entity, layer, place }, stray.line);
    }
    if beside.is_empty() {
        return;
    }
    let mut kinds: BTreeMap<String, usize> = BTreeMap::new();
    beside.iter().for_each(|stray| *kinds.entry(stray.entity.clone()).or_default() += 1);
    let (measured, kinds) = (Count::from(beside.len()), Kinds(kinds.into_iter().collect()));
    findings.at_file(codes::DrawingPaperNotJudged { measured, kinds });
}

/// Tells what lies in two spaces at once or in none that is drawn, and which blocks were not
/// judged.
pub(super) fn tell(drawing: &Drawing, findings: &mut Findings<'_>) {
    tell_strays(drawing, findings);
    let spaces = &drawing.spaces;
    for claim in &spaces.claims {
        if let Some(doubt) = spaces.doubt(claim) {
            let (entity, layer) = (claim.entity.clone(), claim.layer.escape_debug().to_string());
            findings.at_line(codes::DrawingSpace { entity, layer, doubt }, claim.line);
        }
    }
    let (names, kinds) = spaces.unused();
    if names.is_empty() {
        return;
    }
    let more = names.len().saturating_sub(MOST_NAMED);
    let told = names.iter().take(MOST_NAMED).map(|name| name.escape_debug().to_string());
    let mut blocks = told.collect::<Vec<_>>().join(", ");
    if more > 0 {
        blocks += &format!(" and {more} more");
    }
    let kinds = Kinds(kinds.into_iter().map(|(kind, count)| (kind.to_string(), count)).collect());
    findings.at_file(codes::DrawingBlocksNotJudged {
        measured: Count::from(names.len()),
        blocks,
        kinds,
    });
}
