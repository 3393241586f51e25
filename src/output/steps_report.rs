//! Treads, riser boards and skirts in the report. Lengths in mm.

#![allow(missing_docs, reason = "the names are the report's own and carry their units")]

use serde::Serialize;

use crate::job::SkirtKind;
use crate::pipeline::steps::{SideSkirt, StepBoards};
use crate::pipeline::workup::Workup;
use crate::stair::outline::{Met, Wedge, WedgeUnder, wedges};
use crate::stair::{Bay, Post, RailLine, StepPiece};
use crate::units::Length;

/// What a stair has beside its stringers, where the job asks for it.
#[derive(Clone, Debug, Serialize)]
pub struct StairPiecesReport {
    /// Treads, riser boards and skirts as pieces.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub steps: Option<BesideReport>,
    /// Posts, rail and balusters.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rail: Option<RailReport>,
}

impl StairPiecesReport {
    pub(super) fn of(workup: &Workup) -> Self {
        Self { steps: BesideReport::of(workup), rail: RailReport::of(workup) }
    }
}

/// Pieces of the steps of one stair, the skirts, and what to buy for all stairs.
#[derive(Clone, Debug, Serialize)]
pub struct BesideReport {
    pub pieces: Vec<StepPieceReport>,
    /// Of one housed stringer.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub wedges: Vec<WedgeReport>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub skirts: Vec<SkirtReport>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub boards: Vec<StepBoardsReport>,
}

/// Posts, rail and balusters: level places from the face of the first riser.
#[derive(Clone, Debug, Serialize)]
pub struct RailReport {
    pub rake_deg: f64,
    pub height_mm: f64,
    pub square_height_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub off_corner_mm: Option<f64>,
    /// From a post's side to the middle of the next hole of a cleat.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub off_holes_mm: Option<f64>,
    /// The farthest two posts beside each other, middle to middle, level.
    pub posts_apart_mm: f64,
    pub posts: Vec<PostReport>,
    pub bays: Vec<BayReport>,
}

/// A post over the middle of a tread cut.
#[derive(Clone, Debug, Serialize)]
pub struct PostReport {
    pub tread: usize,
    pub at_mm: f64,
    pub over_tread_mm: f64,
    pub over_lower_edge_mm: f64,
    /// On the upper edge of a solid board, from the toe end of the blank.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub along_edge_mm: Option<f64>,
    /// On its level cut at the head, from the corner where the upper edge ends.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub along_level_cut_mm: Option<f64>,
}

/// Between two posts.
#[derive(Clone, Debug, Serialize)]
pub struct BayReport {
    pub treads: [usize; 2],
    pub clear_mm: f64,
    pub balusters: usize,
    pub gap_mm: f64,
}

impl RailReport {
    /// That of a job that asks for a rail.
    fn of(workup: &Workup) -> Option<Self> {
        let (line, asked) = (RailLine::of(&workup.job, &workup.flight)?, workup.job.rail?);
        let post = |of: &Post| PostReport {
            tread: of.tread,
            at_mm: of.at.as_mm(),
            over_tread_mm: of.over_tread.as_mm(),
            over_lower_edge_mm: of.over_lower_edge.as_mm(),
            along_edge_mm: match of.mark {
                Some(Met::Edge(along)) => Some(along.as_mm()),
                Some(Met::LevelCut(_)) | None => None,
            },
            along_level_cut_mm: match of.mark {
                Some(Met::LevelCut(along)) => Some(along.as_mm()),
                Some(Met::Edge(_)) | None => None,
            },
        };
        let bay = |of: &Bay| BayReport {
            treads: [of.treads.0, of.treads.1],
            clear_mm: of.clear.as_mm(),
            balusters: of.balusters,
            gap_mm: of.gap.as_mm(),
        };
        Some(Self {
            rake_deg: line.rake_rad.to_degrees(),
            height_mm: asked.height.as_mm(),
            square_height_mm: line.square_height.as_mm(),
            off_corner_mm: line.off_corner.map(Length::as_mm),
            off_holes_mm: line.off_holes.map(Length::as_mm),
            posts_apart_mm: line.most_apart().as_mm(),
            posts: line.posts.iter().map(post).collect(),
            bays: line.bays.iter().map(bay).collect(),
        })
    }
}

/// Pieces of one size.
#[derive(Clone, Debug, Serialize)]
pub struct StepPieceReport {
    pub what: &'static str,
    pub count: usize,
    /// Across the stair; none where its width is not known.
    pub length_mm: Option<f64>,
    pub width_mm: f64,
    pub thickness_mm: f64,
}

/// A wedge under a tread or behind a riser board, counted from 1 at the foot.
#[derive(Clone, Debug, Serialize)]
pub struct WedgeReport {
    pub under: &'static str,
    pub number: usize,
    pub length_mm: f64,
    pub width_mm: f64,
    pub thin_mm: f64,
    pub thick_mm: f64,
}

/// One skirt: its outline in the elevation frame of its face.
#[derive(Clone, Debug, Serialize)]
pub struct SkirtReport {
    pub side: &'static str,
    pub kind: &'static str,
    pub blank_length_mm: f64,
    pub board_width_mm: f64,
    pub vertices_mm: Vec<[f64; 2]>,
    pub roles: Vec<String>,
}

/// Boards of one size: what is sawn from them, what to buy.
#[derive(Clone, Debug, Serialize)]
pub struct StepBoardsReport {
    pub what: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wood: Option<String>,
    pub width_mm: f64,
    pub thickness_mm: f64,
    pub pieces: Vec<CountedReport>,
    pub buy: Vec<CountedReport>,
    pub proven: bool,
    /// Bought once with those of other jobs, whose `step_boards` of the set say how.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub with_others: bool,
}

/// How many of a length.
#[derive(Clone, Debug, Serialize)]
pub struct CountedReport {
    pub length_mm: f64,
    pub count: usize,
}

impl BesideReport {
    /// That of a job that asks for the steps or for skirts as pieces.
    fn of(workup: &Workup) -> Option<Self> {
        let (job, beside) = (&workup.job, &workup.beside);
        (job.steps.is_some() || job.skirts.is_some()).then(|| Self {
            pieces: beside.pieces.iter().map(piece).collect(),
            wedges: wedges(job, &workup.flight).iter().map(wedge).collect(),
            skirts: beside.skirts.iter().map(|of| skirt(workup, of)).collect(),
            boards: beside.boards.iter().map(boards).collect(),
        })
    }
}

fn piece(of: &StepPiece) -> StepPieceReport {
    StepPieceReport {
        what: of.what.key(),
        count: of.count,
        length_mm: of.length.map(Length::as_mm),
        width_mm: of.width.as_mm(),
        thickness_mm: of.thickness.as_mm(),
    }
}

fn wedge(of: &Wedge) -> WedgeReport {
    let (under, number) = match of.under {
        WedgeUnder::Tread(k) => ("tread", k),
        WedgeUnder::Riser(k) => ("riser", k),
    };
    WedgeReport {
        under,
        number,
        length_mm: of.length.as_mm(),
        width_mm: of.width.as_mm(),
        thin_mm: of.thin.as_mm(),
        thick_mm: of.thick.as_mm(),
    }
}

fn skirt(workup: &Workup, of: &SideSkirt) -> SkirtReport {
    let edges = of.skirt.contour().edges();
    SkirtReport {
        side: of.side.name(),
        kind: match of.kind {
            SkirtKind::Open => "open",
            SkirtKind::Wall => "wall",
        },
        blank_length_mm: of.skirt.outline().blank_length().as_mm(),
        board_width_mm: of.board_width(&workup.job).as_mm(),
        vertices_mm: edges
            .iter()
            .map(|edge| edge.segment.from())
            .map(|p| [p.x + 0.0, p.y + 0.0])
            .collect(),
        roles: edges.iter().map(|edge| edge.role.to_string()).collect(),
    }
}

pub(super) fn boards(of: &StepBoards) -> StepBoardsReport {
    let counted = |of: &[(Length, usize)]| {
        let one = |(length, count): &(Length, usize)| CountedReport {
            length_mm: length.as_mm(),
            count: *count,
        };
        of.iter().map(one).collect()
    };
    StepBoardsReport {
        what: of.what,
        wood: of.wood.clone(),
        width_mm: of.width.as_mm(),
        thickness_mm: of.thickness.as_mm(),
        pieces: counted(&of.pieces),
        buy: counted(&of.buy),
        proven: of.proven,
        with_others: of.with_others,
    }
}
