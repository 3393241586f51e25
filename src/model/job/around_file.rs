//! The form of the tables about what lies around the stringer. What they mean is [`super::Around`].

use serde::Deserialize;
use toml::Spanned;

use super::around::{BoardGrain, Seat};
use super::housed::Hand;
use super::job_file::UnitsFile;
use super::landing::{NextOn, TurnWord};
use super::parts::Outsides;
use super::steps::{Back, SkirtKind, SkirtRisers};
use crate::profile::Held;
use crate::profile::reader::Len;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct GroundFile {
    pub at_head: Len,
    pub slope: Option<Spanned<String>>,
    pub drop: Option<Len>,
    pub over: Option<Len>,
    pub edge_out: Option<Len>,
    pub seat: Option<Seat>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct AcrossFile {
    pub offset: Len,
    pub total: Len,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LandingFile {
    pub after: Spanned<i64>,
    pub depth: Len,
    pub finish: Len,
    pub turn: TurnWord,
    pub hand: Option<Spanned<Hand>>,
    pub well: Option<Len>,
    pub next_on: Option<NextOn>,
    pub rim_depth: Option<Len>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct OpeningFile {
    pub length: Len,
    pub from_head: Option<Len>,
    pub depth: Len,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct StepsFile {
    pub back: Option<Back>,
    pub past_sides: Option<Len>,
    pub lengths: Option<Vec<Len>>,
    pub riser_lengths: Option<Vec<Len>>,
    pub from_sheet: Option<bool>,
    pub density: Option<Spanned<String>>,
    pub wood: Option<Spanned<String>>,
    pub riser_wood: Option<Spanned<String>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SkirtsFile {
    pub left: Option<SkirtKind>,
    pub right: Option<SkirtKind>,
    pub thickness: Len,
    pub width: Option<Len>,
    pub at_risers: Option<SkirtRisers>,
    pub above: Option<Len>,
    pub lengths: Option<Vec<Len>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RailFile {
    pub height: Len,
    pub post: Len,
    pub most_apart: Option<Len>,
    pub baluster: Option<Len>,
    pub most_gap: Option<Len>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct StairFile {
    pub width: Len,
    pub most_spacing: Option<Len>,
    pub outsides: Option<Outsides>,
    pub clear_width: Option<Len>,
    pub headroom: Option<Len>,
    pub held: Option<Held>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct JointFile {
    pub with: JointWord,
    pub thickness: Option<Len>,
    pub depth: Option<Len>,
    pub width: Option<Len>,
    pub height: Option<Len>,
    pub below: Option<Len>,
    pub bearing: Option<Len>,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum JointWord {
    AgainstRim,
    HangerBoard,
    LedgerNotch,
    DroppedHeader,
    TopOver,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LoadFile {
    pub live: Option<Spanned<String>>,
    pub dead: Option<Spanned<String>>,
    pub mid_support: Option<bool>,
    pub clear_span: Option<Len>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MoistureFile {
    pub now: Spanned<f64>,
    pub service: Spanned<f64>,
    pub sawn: Option<BoardGrain>,
}

/// A file of as-built measurements on their own.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FitFile {
    pub units: Option<UnitsFile>,
    pub built: Spanned<BuiltFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BuiltFile {
    #[serde(default)]
    pub heights: Vec<Len>,
    pub upper: Option<Len>,
    pub finish_to_come: Option<Len>,
    pub upper_finish_to_come: Option<Len>,
    pub shim_most: Option<Len>,
    pub trim_most: Option<Len>,
    #[serde(default)]
    pub room: Vec<RoomFile>,
    pub neighbours_most: Option<Len>,
    pub pattern: Option<PatternFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RoomFile {
    pub tread: Spanned<i64>,
    pub shim: Option<Len>,
    pub trim: Option<Len>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PatternFile {
    pub along: RemeasuredFile,
    pub across: RemeasuredFile,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RemeasuredFile {
    pub marked: Len,
    pub measured: Len,
}
