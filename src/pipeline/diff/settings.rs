//! What a job asks for that is no dimension of the flight.

use crate::job::{
    Back, Corners, Follow, Job, Makes, Meets, Rail, RiserChoice, SkirtKind, SkirtRisers, Skirts,
    Steps,
};
use crate::profile::{Hold, Machine, TabEnds};
use crate::units::{Length, Tape, on_tape};

/// Something that is asked for otherwise in the new job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Setting {
    /// Its key, as the job file writes it.
    pub key: &'static str,
    /// In the old job.
    pub old: String,
    /// In the new job.
    pub new: String,
}

pub(super) fn changed(old: &Job, new: &Job) -> Vec<Setting> {
    let pairs = settings(old).into_iter().zip(settings(new));
    let mut changed: Vec<Setting> = pairs
        .filter(|(a, b)| a.1 != b.1)
        .map(|((key, old), (_, new))| Setting { key, old, new })
        .collect();
    changed.extend(profiles(old, new));
    let pairs = figures(old).into_iter().zip(figures(new));
    changed.extend(pairs.filter(|(a, b)| a.1 != b.1).map(|((key, _), _)| Setting {
        key,
        old: "as it was".to_string(),
        new: "other figures".to_string(),
    }));
    changed
}

/// What no figure of the flight and no edge of the outline tells, table by table and key by key, as
/// it was read: to a millionth, so that other words for the same are the same.
fn figures(job: &Job) -> Vec<(&'static str, String)> {
    let (cut, sharing) = (&job.cut, &job.cut.sharing);
    let around = &job.around;
    vec![
        ("housed", format!("{:?}", job.stringer.housed())),
        ("cleat", format!("{:?}", job.stringer.cleated())),
        ("boards", format!("{:?}", job.boards)),
        ("cut.long", format!("{:?}", cut.long)),
        ("cut.thickness", format!("{:?}", cut.thickness)),
        ("cut.spacing", format!("{:?}", sharing.spacing)),
        ("cut.clamps", format!("{:?}", sharing.clamps)),
        ("cut.layers", format!("{:?} {:?}", sharing.layers, sharing.dowel)),
        ("cut.doubled_outsides", format!("{:?}", sharing.outsides)),
        ("opening", format!("{:?}", job.opening)),
        ("landing", format!("{:?}", job.landings)),
        ("foot.stands_on", format!("{:?}", job.foot.stands_on)),
        ("across", format!("{:?}", around.across)),
        ("ground", format!("{:?}", around.ground)),
        ("stair", format!("{:?}", around.stair)),
        ("joint", format!("{:?}", around.joint)),
        ("load", format!("{:?}", around.load)),
        ("moisture", format!("{:?}", around.moisture)),
    ]
    .into_iter()
    .map(|(key, words)| (key, to_a_millionth(&words)))
    .collect()
}

/// What no list has: told where two jobs that move nothing and ask for nothing else are not the
/// same. By which tape it was typed, and how a count was chosen, is no matter.
pub(super) fn anything_else(old: &Job, new: &Job) -> Option<Setting> {
    let whole = |job: &Job| {
        let mut read = Job { reading: Vec::new(), ..job.clone() };
        read.around.built = None;
        read.around.places.clear();
        (read.rise.risers, read.tape) = (RiserChoice::Forced(0), Tape::default());
        to_a_millionth(&format!("{read:?}"))
    };
    let (key, other) = ("the job", "other figures");
    let differs = whole(old) != whole(new);
    differs.then(|| Setting { key, old: "as it was".to_string(), new: other.to_string() })
}

/// Words with every number in them to a millionth.
fn to_a_millionth(words: &str) -> String {
    let is_of_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | '-' | 'e');
    let mut told = String::with_capacity(words.len());
    for part in words.split_inclusive(|c| !is_of_number(c)) {
        let number = part.trim_end_matches(|c| !is_of_number(c));
        match number.parse::<f64>() {
            Ok(figure) => told += &format!("{figure:.6}{}", &part[number.len()..]),
            Err(_) => told += part,
        }
    }
    told
}

fn settings(job: &Job) -> Vec<(&'static str, String)> {
    let cut = &job.cut;
    let board = &job.board;
    let flag = |told: Option<bool>| told.map_or("not given".to_string(), |told| told.to_string());
    let word = |told: &Option<String>| told.clone().unwrap_or("not given".to_string());
    vec![
        ("title", job.title.clone()),
        ("rules", job.rules.name.clone()),
        ("head.meets", meets_words(job)),
        ("board.species", word(&board.species)),
        ("board.grade", word(&board.grade)),
        ("board.wet", flag(board.wet)),
        ("board.incised", flag(board.incised)),
        ("stairs", cut.stairs.to_string()),
        ("cut.makes", makes_words(job)),
        ("cut.quantity", cut.quantity.to_string()),
        ("cut.machine", machine_words(job)),
        ("cut.material", cut.material.name.clone()),
        ("cut.corners", corners_words(job)),
        ("cut.follow", follow_words(job)),
        ("cut.tabs", tabs_words(job)),
        ("cut.skin", skin_words(job)),
        ("cut.marks", format!("{:?}", cut.marks).to_lowercase()),
        ("waive", waivers_words(job)),
        ("steps", job.steps.as_ref().map_or_else(none, steps_words)),
        ("skirts", job.skirts.as_ref().map_or_else(none, skirts_words)),
        ("rail", job.rail.as_ref().map_or_else(none, rail_words)),
    ]
}

/// The machine; of a job laid out by hand none.
fn machine_words(job: &Job) -> String {
    if job.by_hand { none() } else { job.cut.machine.name.clone() }
}

fn none() -> String {
    "none".to_string()
}

fn lengths_words(lengths: &[Length]) -> String {
    lengths.iter().map(|of| on_tape(*of)).collect::<Vec<_>>().join(", ")
}

fn steps_words(steps: &Steps) -> String {
    let back = match steps.back {
        Back::Butt => "butt",
        Back::Under => "run under the riser board",
    };
    let sheet = if steps.from_sheet { ", from the sheet" } else { "" };
    let weight = steps.density_kg_m3.map_or_else(String::new, |of| format!(", {of:.1} kg/m3"));
    let woods = [("treads of", &steps.wood), ("riser boards of", &steps.riser_wood)];
    let woods = woods.map(|(of, wood)| wood.as_ref().map(|wood| format!(", {of} {wood}")));
    let woods: String = woods.into_iter().flatten().collect();
    format!(
        "treads {back}, {} past the sides{sheet}{weight}{woods}, sold in {}, risers in {}",
        on_tape(steps.past_sides),
        lengths_words(&steps.lengths),
        lengths_words(&steps.riser_lengths)
    )
}

fn skirts_words(skirts: &Skirts) -> String {
    let side = |of: Option<SkirtKind>| match of {
        Some(SkirtKind::Open) => "open",
        Some(SkirtKind::Wall) => "wall",
        None => "none",
    };
    let risers = if skirts.at_risers == SkirtRisers::Mitre { "mitred" } else { "butted" };
    format!(
        "left {}, right {}, {risers}, {} thick, {} wide, {} over the nosings, sold in {}",
        side(skirts.left),
        side(skirts.right),
        on_tape(skirts.thickness),
        skirts.width.map_or_else(|| "any".to_string(), on_tape),
        on_tape(skirts.above),
        lengths_words(&skirts.lengths)
    )
}

fn rail_words(rail: &Rail) -> String {
    format!(
        "{} high, posts {} wide and {} apart at most, balusters {}, openings {} at most",
        on_tape(rail.height),
        on_tape(rail.post),
        on_tape(rail.most_apart),
        rail.baluster.map_or_else(none, on_tape),
        on_tape(rail.most_gap)
    )
}

/// Profiles of one name that hold other figures.
fn profiles(old: &Job, new: &Job) -> Vec<Setting> {
    let texts = |job: &Job| {
        [
            ("rules", job.rules.name.clone(), format!("{:?}", job.rules)),
            ("cut.machine", machine_words(job), as_in_its_file(&job.cut.machine)),
            ("cut.material", job.cut.material.name.clone(), format!("{:?}", job.cut.material)),
        ]
    };
    let pairs = texts(old).into_iter().zip(texts(new));
    let renewed = pairs.filter(|(a, b)| a.1 == b.1 && a.2 != b.2);
    renewed
        .map(|((key, name, _), _)| Setting {
            key,
            new: format!("{name}, other figures"),
            old: name,
        })
        .collect()
}

/// A machine without what the job says of how it holds, and of how thick a material it cuts.
fn as_in_its_file(machine: &Machine) -> String {
    format!("{:?}", machine.clone().holding(Hold::default()).cutting(Length::ZERO))
}

fn meets_words(job: &Job) -> String {
    match job.head.meets {
        Meets::OneDown => "one-down",
        Meets::Flush => "flush",
    }
    .to_string()
}

fn makes_words(job: &Job) -> String {
    match job.cut.makes {
        Makes::Pattern(_) => "pattern",
        Makes::Stringers => "stringers",
    }
    .to_string()
}

pub(super) fn corners_words(job: &Job) -> String {
    match job.cut.corners {
        Corners::Fillet => "fillet",
        Corners::Bisector => "bisector",
        Corners::Riser => "riser",
        Corners::Tread => "tread",
    }
    .to_string()
}

pub(super) fn follow_words(job: &Job) -> String {
    match job.cut.makes {
        Makes::Stringers => "nothing: the part itself".to_string(),
        Makes::Pattern(Follow::Edge) => "edge".to_string(),
        Makes::Pattern(Follow::BearingBit) => "bearing-bit".to_string(),
        Makes::Pattern(Follow::Pencil { lead }) => format!("pencil, lead {lead}"),
        Makes::Pattern(Follow::Bushing { outside, bit }) => {
            format!("bushing, outside {outside}, bit {bit}")
        }
    }
}

fn tabs_words(job: &Job) -> String {
    let Some(hold) = job.cut.machine.tool.cutter().map(|cutter| cutter.hold) else {
        return "none".to_string();
    };
    let Some(sizes) = hold.tabs() else { return "none".to_string() };
    let count = sizes.count.map_or("as usual".to_string(), |count| count.to_string());
    let length = |asked: Option<Length>| asked.map_or("as usual".to_string(), |l| l.to_string());
    let ends = match sizes.shape {
        TabEnds::Flanks => "flanks",
        TabEnds::Square => "square",
    };
    format!("{count}, height {}, width {}, {ends}", length(sizes.height), length(sizes.width))
}

fn skin_words(job: &Job) -> String {
    let hold = job.cut.machine.tool.cutter().and_then(|cutter| cutter.hold.skin());
    hold.map_or("none".to_string(), |skin| skin.to_string())
}

fn waivers_words(job: &Job) -> String {
    let words: Vec<String> =
        job.waivers.iter().map(|w| format!("{}: {}", w.rule, w.reason)).collect();
    if words.is_empty() { "none".to_string() } else { words.join("; ") }
}
