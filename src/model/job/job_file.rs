//! The job file's form, key by key. What it means is [`super::Job`].

use serde::Deserialize;
use toml::Spanned;

use super::around_file::{
    AcrossFile, BuiltFile, GroundFile, JointFile, LandingFile, LoadFile, MoistureFile, OpeningFile,
    RailFile, SkirtsFile, StairFile, StepsFile,
};
use super::cleat::{CleatHoles, CleatWith};
use super::housed::Hand;
use super::parts::{Corners, Long, Meets};
use super::pattern::MarksAsked;
use super::short_forms::{FollowShort, board};
use super::stock_boards::Narrow;
use crate::profile::reader::Len;
use crate::units::Tape;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct JobFile {
    pub title: Option<Spanned<String>>,
    pub rules: Option<Spanned<String>>,
    pub stairs: Option<Spanned<i64>>,
    pub units: Option<UnitsFile>,
    #[serde(default)]
    pub rise: Option<Spanned<RiseFile>>,
    pub tread: TreadFile,
    pub head: HeadFile,
    #[serde(default)]
    pub foot: FootFile,
    pub housed: Option<Spanned<HousedFile>>,
    pub cleat: Option<Spanned<CleatFile>>,
    #[serde(deserialize_with = "board")]
    pub board: BoardFile,
    pub boards: Option<StockBoardsFile>,
    pub cut: Option<CutFile>,
    #[serde(default)]
    pub waive: Vec<WaiveFile>,
    pub ground: Option<Spanned<GroundFile>>,
    #[serde(default)]
    pub across: Vec<Spanned<AcrossFile>>,
    #[serde(default)]
    pub landing: Vec<Spanned<LandingFile>>,
    pub opening: Option<OpeningFile>,
    pub stair: Option<Spanned<StairFile>>,
    pub steps: Option<Spanned<StepsFile>>,
    pub skirts: Option<Spanned<SkirtsFile>>,
    pub rail: Option<Spanned<RailFile>>,
    pub load: Option<Spanned<LoadFile>>,
    pub moisture: Option<Spanned<MoistureFile>>,
    pub built: Option<Spanned<BuiltFile>>,
}

#[derive(Clone, Copy, Deserialize)]
pub(super) enum UnitsFile {
    #[serde(rename = "in")]
    Inches,
    #[serde(rename = "mm")]
    Millimetres,
}

impl UnitsFile {
    pub(super) fn tape(self) -> Tape {
        match self {
            Self::Inches => Tape::Inches,
            Self::Millimetres => Tape::Metric,
        }
    }
}

/// A table that is left out where the ground gives the rise.
const NO_RISE: &RiseFile =
    &RiseFile { total: None, rough: None, risers: None, aim: None, finish_to_come: None };

impl JobFile {
    /// The rise; of a job without the table one that says nothing.
    pub(super) fn rise(&self) -> &RiseFile {
        self.rise.as_ref().map_or(NO_RISE, Spanned::get_ref)
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RiseFile {
    pub total: Option<Len>,
    pub rough: Option<Len>,
    pub risers: Option<Spanned<i64>>,
    pub aim: Option<Len>,
    pub finish_to_come: Option<Len>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TreadFile {
    pub cut: Option<Len>,
    pub boards: Option<Spanned<BoardsFile>>,
    pub overhang: Option<Len>,
    pub thickness: Len,
    pub riser_board: Option<Len>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BoardsFile {
    pub count: Spanned<i64>,
    pub width: Len,
    pub gap: Len,
    pub gap_at_riser: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct HeadFile {
    pub meets: Option<Meets>,
    pub finish: Len,
    pub riser_board: Option<Len>,
    pub spacer: Option<Len>,
    pub rim_depth: Option<Len>,
    pub top_tread: Option<Len>,
    pub overhang: Option<Len>,
    pub joint: Option<Spanned<JointFile>>,
}

#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FootFile {
    pub tie_plate: Option<TieFile>,
    pub stands_on: Option<StandsOnFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct StandsOnFile {
    pub what: Spanned<String>,
    pub height: Len,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TieFile {
    pub width: Len,
    pub height: Len,
    pub set_back: Option<Len>,
    pub clearance: Option<Len>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct HousedFile {
    pub hand: Hand,
    pub depth: Len,
    pub clearance: Option<Len>,
    pub wedge: Option<Len>,
    pub edge_above: Option<Len>,
    pub land: Option<Len>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CleatFile {
    pub with: Option<CleatWith>,
    pub thickness: Len,
    pub height: Len,
    pub leg: Option<Len>,
    pub length: Option<Len>,
    pub set_back: Option<Len>,
    pub edge_above: Option<Len>,
    pub hand: Option<Hand>,
    pub holes: Option<CleatHoles>,
    pub hole: Option<Len>,
    pub count: Option<Spanned<i64>>,
    pub end: Option<Len>,
    pub edge: Option<Len>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BoardFile {
    /// What it is called, where that is all that is said of it.
    #[serde(skip)]
    pub called: Option<String>,
    pub width: Len,
    pub thickness: Len,
    pub tip_inset: Option<Len>,
    pub species: Option<Spanned<String>>,
    pub grade: Option<Spanned<String>>,
    pub wet: Option<bool>,
    pub incised: Option<bool>,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum MakesFile {
    Pattern,
    Stringers,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum WithFile {
    Edge,
    Pencil,
    BearingBit,
    Bushing,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FollowFile {
    pub with: WithFile,
    pub lead: Option<Len>,
    pub outside: Option<Len>,
    pub bit: Option<Len>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CutFile {
    pub makes: MakesFile,
    pub quantity: Option<Spanned<i64>>,
    pub machine: Spanned<String>,
    pub material: Spanned<String>,
    pub thickness: Option<Len>,
    pub corners: Option<Corners>,
    pub long: Option<Long>,
    pub follow: Option<Spanned<FollowShort>>,
    pub spacing: Option<Len>,
    #[serde(default)]
    pub clamps: Vec<ClampFile>,
    pub layers: Option<Spanned<i64>>,
    pub dowel: Option<Len>,
    pub tabs: Option<Spanned<TabsShort>>,
    pub skin: Option<Len>,
    pub marks: Option<Spanned<MarksAsked>>,
    pub doubled_outsides: Option<Spanned<bool>>,
}

/// The tabs, or that there are none.
pub(super) enum TabsShort {
    None,
    Sizes(TabsFile),
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TabsFile {
    pub count: Option<Spanned<i64>>,
    pub height: Option<Len>,
    pub width: Option<Len>,
    pub shape: Option<TabEndsFile>,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum TabEndsFile {
    Flanks,
    Square,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ClampFile {
    pub x: Len,
    pub y: Len,
    pub length: Len,
    pub width: Len,
    pub height: Option<Len>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct StockBoardsFile {
    pub lengths: Option<Vec<Len>>,
    pub kerf: Option<Len>,
    pub end_trim: Option<Len>,
    pub narrow: Option<Narrow>,
    #[serde(default)]
    pub measured: Vec<MeasuredFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MeasuredFile {
    pub width: Len,
    pub crown: Len,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct WaiveFile {
    pub rule: Spanned<String>,
    pub reason: Spanned<String>,
}
