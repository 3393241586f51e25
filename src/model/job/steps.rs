//! Treads, riser boards and skirts as pieces that are cut to size. From the job file to the job.

use std::ops::Range;

use serde::Deserialize;
use toml::Spanned;

use super::around::StairWidth;
use super::around_file::{SkirtsFile, StepsFile};
use super::housed::Hand;
use super::parts::{Job, Tread};
use super::resolve::Resolver;
use super::stock_boards::StockBoards;
use super::stringer::Stringer;
use crate::diagnostics::{Error, ErrorKind};
use crate::profile::reader::Len;
use crate::profile::{DENSITIES, read_density};
use crate::units::Length;

/// The most that treads run past the outer stringers at each side, in mm.
const MOST_PAST_SIDES_MM: f64 = 300.0;
/// The thickest skirt, in mm.
const MOST_SKIRT_MM: f64 = 100.0;
/// The most that a wall skirt stands over the nosings, in mm.
const MOST_ABOVE_MM: f64 = 500.0;
/// How far a wall skirt stands over the nosings where nothing is said, in inches (common practice,
/// no source).
const USUAL_ABOVE_IN: f64 = 1.5;

/// How treads and riser boards are cut, and out of what.
#[derive(Clone, Debug, PartialEq)]
pub struct Steps {
    /// What the back of a tread does.
    pub back: Back,
    /// How far treads run past the outer stringers, at each side.
    pub past_sides: Length,
    /// The lengths that tread boards are sold in.
    pub lengths: Vec<Length>,
    /// The lengths that riser boards are sold in.
    pub riser_lengths: Vec<Length>,
    /// Whether what is as thick as the sheet that stringers are cut from is cut from it too.
    pub from_sheet: bool,
    /// What the wood weighs, in kg a cubic metre, where that is known.
    pub density_kg_m3: Option<f64>,
    /// Which wood the treads are sawn of, where the job says it.
    pub wood: Option<String>,
    /// Which the riser boards are; that of the treads where only that is said.
    pub riser_wood: Option<String>,
}

/// What the back of a tread does where a riser board stands behind it.
#[derive(Clone, Copy, Debug, Default, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum Back {
    /// It butts against the riser board, which stands on the tread cut behind it.
    #[default]
    Butt,
    /// It runs under the riser board, which stands on it.
    Under,
}

/// The skirts at the sides of a stair.
#[derive(Clone, Debug, PartialEq)]
pub struct Skirts {
    /// What covers the left side, for somebody who climbs.
    pub left: Option<SkirtKind>,
    /// What covers the right side.
    pub right: Option<SkirtKind>,
    /// How thick they are.
    pub thickness: Length,
    /// The width of the board that a wall skirt is.
    pub width: Option<Length>,
    /// How an open skirt meets the riser boards.
    pub at_risers: SkirtRisers,
    /// How far a wall skirt stands over the line through the nosings, square to it.
    pub above: Length,
    /// The lengths that skirt boards are sold in.
    pub lengths: Vec<Length>,
}

/// What a skirt is like.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum SkirtKind {
    /// It follows the steps and covers a stringer's outer face.
    Open,
    /// A board with a straight top between the stair and a wall.
    Wall,
}

/// How an open skirt meets the riser boards.
#[derive(Clone, Copy, Debug, Default, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum SkirtRisers {
    /// Its plumb cuts stand flush with the stringer's, and the riser boards run past it.
    #[default]
    Butt,
    /// Its plumb cuts and the ends of the riser boards are mitred, so that no end grain shows.
    Mitre,
}

impl Skirts {
    /// Both sides, the left one first.
    pub fn sides(&self) -> [Option<SkirtKind>; 2] {
        [self.left, self.right]
    }

    /// What is at a side.
    pub fn side(&self, side: Hand) -> Option<SkirtKind> {
        match side {
            Hand::Left => self.left,
            Hand::Right => self.right,
        }
    }

    /// Whether riser boards are mitred to a skirt of it.
    pub fn is_mitred(&self) -> bool {
        self.at_risers == SkirtRisers::Mitre && self.count(SkirtKind::Open) > 0
    }

    /// How many sides have a skirt of this kind.
    pub fn count(&self, kind: SkirtKind) -> usize {
        self.sides().into_iter().filter(|side| *side == Some(kind)).count()
    }
}

/// What is as thick as a sheet but for this is cut from it, in inches: what a tape tells apart
/// (common practice, no source).
const AS_THICK_IN: f64 = 1.0 / 64.0;

impl Job {
    /// Whether a tread, riser board or skirt this thick is cut from the sheet of the stringers.
    pub fn cuts_from_sheet(&self, thickness: Length) -> bool {
        let asked = self.steps.as_ref().is_some_and(|steps| steps.from_sheet);
        asked && self.cut.material.thickness.is_within(Length::inches(AS_THICK_IN), thickness)
    }
}

impl Resolver<'_> {
    /// How treads and riser boards are cut, where the job asks for them.
    pub(super) fn steps(
        &mut self,
        raw: Option<&Spanned<StepsFile>>,
        (tread, stringer): (&Tread, &Stringer),
        (stair, boards): (Option<&StairWidth>, &StockBoards),
        is_on_sheet: bool,
    ) -> Result<Option<Steps>, Error> {
        let Some(raw) = raw else { return Ok(None) };
        let (raw, span) = (raw.get_ref(), raw.span());
        self.needs_width("[steps]", &span, stair)?;
        let back = raw.back.unwrap_or_default();
        if back == Back::Under && tread.boards.is_some() {
            return Err(Error::new(
                ErrorKind::Input,
                "boards with gaps do not run under a riser board",
            )
            .at(self.place(span.clone()))
            .found("tread.boards, and steps.back = \"under\"")
            .allowed("steps.back = \"butt\" where treads are laid of boards")
            .hint("leave out steps.back"));
        }
        if !stringer.has_steps() && raw.past_sides.is_some() {
            return Err(Error::new(
                ErrorKind::Input,
                format!("treads of a {} end between the boards", stringer.name()),
            )
            .at(self.place(span.clone()))
            .found(format!("both {} and steps.past_sides", stringer.table()))
            .allowed("steps.past_sides beside cut stringers")
            .hint("leave out steps.past_sides"));
        }
        let past_sides =
            self.optional("steps.past_sides", &raw.past_sides, MOST_PAST_SIDES_MM, Length::ZERO)?;
        let lengths = self.sold("steps.lengths", raw.lengths.as_deref(), &boards.lengths, &span)?;
        let riser_lengths =
            self.sold("steps.riser_lengths", raw.riser_lengths.as_deref(), &lengths, &span)?;
        let from_sheet = raw.from_sheet.unwrap_or(false);
        if from_sheet && !is_on_sheet {
            return Err(Error::new(ErrorKind::Input, "no sheet is cut that steps could come from")
                .at(self.place(span.clone()))
                .found("steps.from_sheet = true")
                .allowed("cut stringers of one layer out of a sheet: cut.makes = \"stringers\"")
                .hint("leave out steps.from_sheet, and the cut list says which boards to buy"));
        }
        let density = raw.density.as_ref().map(|raw| {
            read_density(raw.get_ref()).ok_or_else(|| {
                Error::new(ErrorKind::Input, "steps.density is no weight of wood")
                    .at(self.place(raw.span()))
                    .found(raw.get_ref().as_str())
                    .allowed(format!("{DENSITIES}; 100 to 1500 kg/m3"))
                    .hint("look at steps.density again, in one of the forms that are allowed")
            })
        });
        let density_kg_m3 = density.transpose()?;
        let wood = self.wood_called("steps.wood", &raw.wood)?;
        let riser_wood =
            self.wood_called("steps.riser_wood", &raw.riser_wood)?.or_else(|| wood.clone());
        Ok(Some(Steps {
            back,
            past_sides,
            lengths,
            riser_lengths,
            from_sheet,
            density_kg_m3,
            wood,
            riser_wood,
        }))
    }

    /// A wood by the name that people call it by.
    fn wood_called(
        &self,
        key: &str,
        raw: &Option<Spanned<String>>,
    ) -> Result<Option<String>, Error> {
        raw.as_ref().map(|raw| self.line_of(key, raw)).transpose()
    }

    /// The skirts, where the job has some.
    pub(super) fn skirts(
        &mut self,
        raw: Option<&Spanned<SkirtsFile>>,
        (tread, stringer): (&Tread, &Stringer),
        boards: &StockBoards,
    ) -> Result<Option<Skirts>, Error> {
        let Some(raw) = raw else { return Ok(None) };
        let (raw, span) = (raw.get_ref(), raw.span());
        if !stringer.has_steps() {
            let name = stringer.table().trim_matches(['[', ']']);
            return Err(Error::new(
                ErrorKind::Input,
                format!(
                    "a {} is a solid board that covers the ends of treads and riser boards itself: \
                    a skirt beside it would cover nothing",
                    stringer.name()
                ),
            )
            .at(self.place(span.clone()))
            .found(format!("both {} and [skirts]", stringer.table()))
            .allowed("[skirts] beside a cut stringer")
            .hint(format!(
                "leave out [skirts]: the board itself shows, along a wall too; {name}.edge_above \
                lets it stand over the nosings as a wall skirt does"
            )));
        }
        if raw.left.is_none() && raw.right.is_none() {
            return Err(Error::new(ErrorKind::Input, "[skirts] names no side")
                .at(self.place(span.clone()))
                .found("neither left nor right")
                .allowed("left, right or both, each \"open\" or \"wall\"")
                .hint(
                    "left = \"wall\" where the stair stands along a wall, \"open\" where one sees \
                    its side",
                ));
        }
        if raw.at_risers == Some(SkirtRisers::Mitre) && tread.riser_board <= Length::ZERO {
            return Err(Error::new(
                ErrorKind::Input,
                "without riser boards nothing is mitred to a skirt",
            )
            .at(self.place(span.clone()))
            .found("skirts.at_risers = \"mitre\", and no riser boards")
            .allowed("skirts.at_risers = \"butt\"")
            .hint("leave out skirts.at_risers, or say how thick tread.riser_board is"));
        }
        let width = raw
            .width
            .as_ref()
            .map(|width| self.positive("skirts.width", width, 2_000.0))
            .transpose()?;
        if width.is_none() && [raw.left, raw.right].contains(&Some(SkirtKind::Wall)) {
            return Err(Error::new(
                ErrorKind::Input,
                "the width of a wall skirt is missing: skirts.width",
            )
            .at(self.place(span.clone()))
            .found("a side that is \"wall\" and no width")
            .allowed("the width of the board that the wall skirt is made of")
            .hint("below [skirts] a line width, as your tape says"));
        }
        Ok(Some(Skirts {
            left: raw.left,
            right: raw.right,
            thickness: self.positive("skirts.thickness", &raw.thickness, MOST_SKIRT_MM)?,
            width,
            at_risers: raw.at_risers.unwrap_or_default(),
            above: self.optional(
                "skirts.above",
                &raw.above,
                MOST_ABOVE_MM,
                Length::inches(USUAL_ABOVE_IN),
            )?,
            lengths: self.sold("skirts.lengths", raw.lengths.as_deref(), &boards.lengths, &span)?,
        }))
    }

    /// The lengths that boards are sold in: those of the stringers' where nothing is said.
    fn sold(
        &mut self,
        key: &'static str,
        raw: Option<&[Len]>,
        usual: &[Length],
        span: &Range<usize>,
    ) -> Result<Vec<Length>, Error> {
        let Some(raw) = raw else { return Ok(usual.to_vec()) };
        self.few(key, raw.len())?;
        if raw.is_empty() {
            return Err(Error::new(ErrorKind::Input, format!("{key} names no length"))
                .at(self.place(span.clone()))
                .found("an empty list")
                .allowed("one length or more")
                .hint("the lengths as they are sold, or leave the key out"));
        }
        raw.iter().map(|length| self.positive(key, length, 20_000.0)).collect()
    }

    /// The width of the stair, which a table cannot do without.
    pub(super) fn needs_width<'s>(
        &self,
        table: &str,
        span: &Range<usize>,
        stair: Option<&'s StairWidth>,
    ) -> Result<&'s StairWidth, Error> {
        stair.ok_or_else(|| {
            Error::new(
                ErrorKind::Input,
                format!("{table} needs the width of the stair, stair.width"),
            )
            .at(self.place(span.clone()))
            .found("no stair.width")
            .allowed("the table [stair] with its width")
            .hint("a line [stair], and below it width: as measured over the outer stringers")
        })
    }
}
