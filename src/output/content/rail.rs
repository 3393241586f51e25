//! Posts, rail and balusters of a flight, in figures.

use super::section::{Figure, Section, Table, Topic};
use crate::job::{Job, Rail};
use crate::pipeline::numbers::Value;
use crate::pipeline::workup::Workup;
use crate::stair::outline::Met;
use crate::stair::{Bay, Post, RailLine};
use crate::units::{Length, on_tape};

const POSTS: [(&str, f64); 4] = [
    ("Post over", 20.0),
    ("Its middle", 28.0),
    ("Rail's top over the tread", 34.0),
    ("over lower edge or floor", 34.0),
];
/// A post on the outer face of a solid board is marked from its edge too.
const POSTS_SOLID: [(&str, f64); 5] = [
    ("Post over", 18.0),
    ("Its middle", 24.0),
    ("Marked on its edge", 28.0),
    ("Rail's top over the tread", 26.0),
    ("over lower edge or floor", 26.0),
];
const BAYS: [(&str, f64); 4] = [
    ("From post to post", 26.0),
    ("Clear, level", 28.0),
    ("Balusters", 16.0),
    ("Each opening", 28.0),
];

/// The section of a job that asks for a rail.
pub(super) fn rail(workup: &Workup) -> Option<Section> {
    let (job, flight) = (&workup.job, &workup.flight);
    let (line, asked) = (RailLine::of(job, flight)?, job.rail?);
    let rows = vec![
        Figure::new("top of the rail", asked.height)
            .note("over the line through the nosings, plumb"),
        Figure::new("the same, square to the rake", line.square_height),
        Figure::new("rake", Value::Words(format!("{:.2} degrees", line.rake_rad.to_degrees())))
            .note("plumb cuts of the rail: as the stringer's"),
    ];
    let corner = line.off_corner.map(|off| {
        Figure::new("a post stays off the notch corners by", off)
            .note("level, with its middle over the middle of the tread cut")
    });
    // A post on a fastener is told as a finding: there is no distance to keep.
    let holes = line.off_holes.filter(|off| *off > Length::ZERO).map(|off| {
        Figure::new("a post stays off the cleats' fasteners by", off)
            .note("level, from its side to the middle of the next hole")
    });
    let apart = (line.posts.len() > 1).then(|| {
        Figure::new("posts stand apart, middle to middle", line.most_apart()).note(format!(
            "level, the farthest two; asked for: {} at most",
            on_tape(asked.most_apart)
        ))
    });
    let rows = rows.into_iter().chain(apart).chain(corner).chain(holes).collect();
    let solid = job.stringer.is_beside_treads();
    let columns: &[(&str, f64)] = if solid { &POSTS_SOLID } else { &POSTS };
    let posts = line.posts.iter().map(|of| post(of, solid)).collect();
    let mut tables = vec![Table::figures("Rail", rows), Table::plain("Posts", columns, posts)];
    if !line.bays.is_empty() {
        let rows = line.bays.iter().map(|of| bay(of, &asked)).collect();
        tables.push(Table::plain("Between posts", &BAYS, rows));
    }
    tables.extend(asked.baluster.into_iter().flat_map(|width| marks(&line, width)));
    let mut notes = vec![
        "Figures to set posts and balusters by, no design of a guard: how posts are fastened, and \
        what rail and openings have to bear and be, local code and licensed practice decide."
            .to_string(),
        held_against(job),
        "Middles of posts are level from the face of the first riser. The opening between tread, \
        riser and a bottom rail is to be looked at on site."
            .to_string(),
    ];
    notes.extend(solid.then(|| {
        let cleats = job.stringer.cleated().map_or("cleats", |of| of.with.names());
        format!(
            "Posts stand on the outer face of the stringer, which the treads do not reach: from \
            the mark on its upper edge, along that from the toe end of the blank, a line plumb \
            across that face; on the level cut at the head the mark is along that cut, from the \
            corner where the upper edge ends. Bolts go over or under the {cleats}, off their \
            fasteners."
        )
    }));
    Some(Section { topic: Topic::Rail, notes, tables })
}

/// What of it the rule set has figures for.
fn held_against(job: &Job) -> String {
    let mut measures: Vec<&str> = job.rules.of_rail().map(|limit| limit.measure.words()).collect();
    measures.dedup();
    match &measures[..] {
        [] => "How high a rail stands and how wide an opening is, the rule set has no figures for \
            here: check locally."
            .to_string(),
        some => format!(
            "Held against the rule set, where it asks that of this flight: {}. All else about \
            rails and guards: check locally.",
            some.join(", ")
        ),
    }
}

fn post(of: &Post, solid: bool) -> Vec<Value> {
    let along = of.mark.map(|met| match met {
        Met::Edge(along) => Value::Length(along),
        Met::LevelCut(along) => Value::Words(format!("level cut, {}", on_tape(along))),
    });
    let mut all = vec![Value::Words(format!("tread {}", of.tread)), of.at.into()];
    all.extend(along.filter(|_| solid));
    all.extend([of.over_tread.into(), of.over_lower_edge.into()]);
    all
}

fn bay(of: &Bay, asked: &Rail) -> Vec<Value> {
    let count =
        if asked.baluster.is_some() { of.balusters.into() } else { Value::Words("none".into()) };
    vec![
        Value::Words(format!("treads {} to {}", of.treads.0, of.treads.1)),
        of.clear.into(),
        count,
        of.gap.into(),
    ]
}

/// The near side of every baluster of each different bay, in one row of words.
fn marks(line: &RailLine, baluster: Length) -> Option<Table> {
    const MARKS: [(&str, f64); 2] =
        [("Bay", 22.0), ("Near side of each baluster from the lower post, level", 96.0)];
    let row = |of: &Bay| {
        let all: Vec<String> = of.marks(baluster).into_iter().map(on_tape).collect();
        vec![
            Value::Words(format!("treads {} to {}", of.treads.0, of.treads.1)),
            Value::Words(all.join(", ")),
        ]
    };
    let rows: Vec<Vec<Value>> = line.bays.iter().filter(|of| of.balusters > 0).map(row).collect();
    (!rows.is_empty()).then(|| Table::plain("Balusters", &MARKS, rows))
}
