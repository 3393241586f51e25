//! Every limit of every rule set, held from both sides: the figures are written here by hand, from
//! the clauses that the sets name, and have to be those of the profiles, all of them and no others.
//! Each is driven through the whole job just inside and just outside of it.

use std::collections::BTreeSet;

use crate::common::Stair;
use seatcut::check::check;
use seatcut::diagnostics::{Finding, Severity};
use seatcut::pipeline::workup::Workup;
use seatcut::profile::{Held, Limit, Measure, Risers, Rules, SawnTo, embedded, names_of};
use seatcut::site::answers::{OnSite, fit};
use seatcut::stair::outline::Outline;
use seatcut::stair::{Flight, chosen_count};
use seatcut::units::{Bare, Length, read_length};

/// Beyond a limit by this, in mm, degrees or shares of a slope: a thousand times what is forgiven.
const BESIDE: f64 = 1e-3;

/// A row a limit: least..most, `w` for one that warns and `a` for advice (all others refuse), and
/// in brackets where it holds.
const IRC: &str = "unit-rise ..7 3/4 in | unit-run 10 in.. | riser-spread ..3/8 in | run-spread \
    ..3/8 in
    nosing 3/4 in.. (run<11 in) | nosing ..1 1/4 in | flight-rise ..151 in | open-gap ..4 in \
    (above 30 in)
    w tread-slope ..1:48 | w landing-slope ..1:48 | headroom 80 in.. | w clear-width 36 in..
    throat 5 in.. (at-ends) | w throat 5 in.. (along) | w stringer-span ..72 in (cut) | w \
    stringer-spacing ..18 in (cut)
    w stringer-span ..159 in (solid) | a step-sum 24 in..25 in | w rail-height 34 in.. (risers 4)
    a rail-height ..38 in (risers 4) | w baluster-opening ..4 3/8 in (above 30 in)";
const IBC: &str =
    "riser-spread ..3/8 in | run-spread ..3/8 in | nosing ..1 1/4 in | open-gap ..4 in
    flight-rise ..144 in | w tread-slope ..1:48 | w landing-slope ..1:48 | headroom 80 in.. | w \
    clear-width 36 in..";
const DECK_GUIDE: &str = "w throat 5 in.. | w stringer-span ..72 in (cut) | w stringer-spacing \
    ..18 in (cut) | w stringer-span ..159 in (solid)";
const HANDRAIL: &str = "w rail-height 34 in.. | a rail-height ..38 in";
const ENGLAND: &str =
    "step-sum 550 mm..700 mm | riser-spread ..5 mm | run-spread ..5 mm | headroom 2000 mm..";
const ENGLAND_OTHER: &str = "open-gap ..0 mm | nosing ..25 mm | w clear-width 1000 mm.. | w \
    rail-height 900 mm.. | a rail-height ..1000 mm
    a baluster-opening ..100 mm (above 600 mm)";
const CANADA: &str =
    "riser-step ..5 mm | riser-spread ..10 mm | run-step ..5 mm | run-spread ..10 mm
    tread-over-run ..25 mm | w tread-slope ..1:50 | w landing-slope ..1:50 | flight-rise ..3.7 m
    w rail-height 900 mm.. (above 600 mm) | w baluster-opening ..100 mm (above 600 mm)
    throat 90 mm.. | board-depth 235 mm.. | w board-thickness 38 mm.. (at-ends)
    w board-thickness 25 mm.. (along)";
const CANADA_HOUSE: &str = "w rail-height 865 mm.. (risers 3) | a rail-height ..1070 mm (risers 3)
    unit-rise 125 mm..200 mm | unit-run 255 mm..355 mm | headroom 1950 mm..
    w clear-width 860 mm.. | stringer-spacing ..900 mm (open) | a stringer-spacing ..900 mm (closed)
    stringer-spacing ..1200 mm (closed) | tread-thickness 25 mm..
    tread-thickness 38 mm.. (open, spacing>750 mm)";
const AUSTRALIA: &str = "unit-rise 115 mm..190 mm | step-sum 550 mm..700 mm | riser-step ..5 mm
    riser-spread ..10 mm | run-step ..5 mm | run-spread ..10 mm | riser-count 2..18 | open-gap \
    ..125 mm
    headroom 2000 mm.. | w rail-height 865 mm.. (above 1 m) | w baluster-opening ..125 mm (above 1 \
    m)";
const NEW_ZEALAND: &str = "w rail-height 900 mm.. | a rail-height ..1000 mm
    riser-spread ..5 mm | run-spread ..5 mm | riser-count 2.. | nosing ..25 mm | open-gap ..100 mm";
const GERMANY: &str = "w rail-height 800 mm.. (risers 3) | a rail-height ..1150 mm (risers 3)
    w rail-height 900 mm.. (above 1 m) | step-sum 590 mm..650 mm | riser-step ..5 mm | \
    riser-spread ..10 mm | run-step ..5 mm
    run-spread ..10 mm | riser-count ..18 | w riser-count 3.. | nosing 30 mm.. (open) | nosing 30 \
    mm.. (closed, run<260 mm)
    open-gap ..120 mm | w tread-slope ..1:100 | headroom 2000 mm..";

const TABLE: &[(&str, &[&str])] = &[
    ("us-irc-2018", &[IRC]),
    ("us-irc-2021", &[IRC]),
    ("us-irc-2024", &[IRC]),
    ("us-ibc", &["unit-rise 4 in..7 in | unit-run 11 in..", IBC, DECK_GUIDE, HANDRAIL]),
    (
        "us-ibc-dwelling",
        &[
            "unit-rise 4 in..7 3/4 in | unit-run 10 in.. | nosing 3/4 in.. (run<11 in, closed)",
            IBC,
            DECK_GUIDE,
            HANDRAIL,
        ],
    ),
    (
        "us-access",
        &[
            "unit-rise 4 in..7 in | unit-run 11 in.. | riser-step ..3/16 in | riser-spread ..3/8 in
             run-step ..3/16 in | run-spread ..3/8 in | open-gap ..0 in | nosing ..1 1/2 in | \
             tread-slope ..1:48",
            DECK_GUIDE,
            HANDRAIL,
        ],
    ),
    (
        "us-osha",
        &[
            "unit-rise ..9 1/2 in | unit-run 9 1/2 in.. | pitch 30..50 | riser-spread ..1/4 in
             run-spread ..1/4 in | headroom 80 in.. | w clear-width 22 in.. | w rail-height 42 \
             in.. (risers 4)",
            DECK_GUIDE,
        ],
    ),
    (
        "us-osha-site",
        &[
            "pitch 30..50 | riser-spread ..1/4 in | run-spread ..1/4 in | flight-rise ..12 ft",
            DECK_GUIDE,
        ],
    ),
    (
        "uk-private",
        &[
            "unit-rise 150 mm..220 mm | unit-run 220 mm..300 mm | pitch ..42 | overlap 16 mm..
             open-gap ..100 mm | riser-count ..36 | a clear-width 800 mm.. | w rail-height 900 \
             mm.. (above 600 mm)
             a rail-height ..1000 mm (above 600 mm) | w baluster-opening ..100 mm (above 600 mm)",
            ENGLAND,
        ],
    ),
    (
        "uk-utility",
        &[
            "unit-rise 150 mm..190 mm | unit-run 250 mm..400 mm | riser-count 2..16",
            ENGLAND,
            ENGLAND_OTHER,
        ],
    ),
    (
        "uk-general",
        &[
            "unit-rise 150 mm..170 mm | unit-run 250 mm..400 mm | riser-count 2..12",
            ENGLAND,
            ENGLAND_OTHER,
        ],
    ),
    ("ca-private", &[CANADA, CANADA_HOUSE]),
    ("ca-on-private", &[CANADA, CANADA_HOUSE]),
    (
        "ca-public",
        &[
            CANADA,
            "unit-rise 125 mm..180 mm | unit-run 280 mm..355 mm | headroom 2050 mm.. | w \
                clear-width 900 mm..
             open-gap ..0 mm | stringer-spacing ..600 mm | w rail-height 865 mm.. | a rail-height \
             ..1070 mm",
        ],
    ),
    ("au-private", &[AUSTRALIA, "unit-run 240 mm..355 mm"]),
    ("au-public", &[AUSTRALIA, "unit-run 250 mm..355 mm | w clear-width 1000 mm.."]),
    (
        "nz-private",
        &[
            NEW_ZEALAND,
            "unit-rise ..190 mm | unit-run 280 mm.. | pitch ..37 | flight-rise ..4 m | headroom \
                2000 mm..
             w clear-width 850 mm..",
        ],
    ),
    (
        "nz-private-secondary",
        &[
            NEW_ZEALAND,
            "unit-rise ..200 mm | unit-run 250 mm.. | pitch ..41 | flight-rise ..4 m | headroom \
                2000 mm..
             w clear-width 850 mm..",
        ],
    ),
    (
        "nz-common",
        &[
            NEW_ZEALAND,
            "unit-rise ..190 mm | unit-run 280 mm.. | pitch ..37 | flight-rise ..2.5 m | headroom \
                2100 mm..
             w clear-width 900 mm..",
        ],
    ),
    (
        "ie-private",
        &["unit-rise ..220 mm | unit-run 220 mm.. | pitch ..42 | step-sum 550 mm..700 mm | \
            riser-spread ..5 mm
           run-spread ..5 mm | overlap 16 mm.. | open-gap ..100 mm | riser-count ..16 | headroom \
           2000 mm..
           w clear-width 800 mm.. | w rail-height 900 mm.. (above 600 mm) | a rail-height ..1000 \
           mm (above 600 mm)
           w baluster-opening ..100 mm (above 600 mm)"],
    ),
    (
        "de-private",
        &[GERMANY, "unit-rise 140 mm..200 mm | unit-run 230 mm..370 mm | w clear-width 800 mm.."],
    ),
    (
        "de-general",
        &[GERMANY, "unit-rise 140 mm..190 mm | unit-run 260 mm..370 mm | w clear-width 1000 mm.."],
    ),
];

/// A figure as the table writes it: a length in mm, degrees or a count, a slope.
fn figure(text: &str) -> f64 {
    match text.split_once(':') {
        Some((_, over)) => 1.0 / over.parse::<f64>().unwrap(),
        None => text.parse().unwrap_or_else(|_| {
            read_length(text, Bare::Refused).unwrap_or_else(|_| panic!("{text}")).length.as_mm()
        }),
    }
}

/// One row in the words of a profile, so that the two can be held against each other.
fn of_table(row: &str) -> String {
    let (row, brackets) = row.split_once(" (").unwrap_or((row, ")"));
    let (severity, row) = match row.split_at(2) {
        ("w ", rest) => (Severity::Warning, rest),
        ("a ", rest) => (Severity::Advice, rest),
        _ => (Severity::Refusal, row),
    };
    let (measure, figures) = row.split_once(' ').unwrap();
    let (least, most) = figures.split_once("..").unwrap();
    let side = |text: &str| match text {
        "" => "none".to_string(),
        text => format!("{:.9}", figure(text)),
    };
    let mut where_it_holds: Vec<String> = brackets
        .trim_end_matches(')')
        .split(", ")
        .filter(|condition| !condition.is_empty())
        .map(|condition| match condition.split_once(['<', '>', ' ']) {
            Some((what, over)) => format!("{what} {:.6}", figure(over)),
            None => condition.to_string(),
        })
        .collect();
    where_it_holds.sort();
    format!("{measure} {} {} {severity} {where_it_holds:?}", side(least), side(most))
}

/// One limit of a profile in the same words.
fn of_profile(limit: &Limit) -> String {
    let side = |figure: Option<f64>| match figure {
        None => "none".to_string(),
        Some(figure) => format!("{figure:.9}"),
    };
    let when = &limit.when;
    let length =
        |what: &str, over: Option<Length>| over.map(|over| format!("{what} {:.6}", over.as_mm()));
    let risers = when.risers.map(|risers| match risers {
        Risers::Open => "open".to_string(),
        Risers::Closed => "closed".to_string(),
    });
    let held = when.held.map(|held| match held {
        Held::AtEnds => "at-ends".to_string(),
        Held::Along => "along".to_string(),
    });
    let sawn = when.stringers.map(|sawn| match sawn {
        SawnTo::Cut => "cut".to_string(),
        SawnTo::Solid => "solid".to_string(),
    });
    let from = when.from_risers.map(|risers| format!("risers {:.6}", risers as f64));
    let mut where_it_holds: Vec<String> = [
        length("run", when.run_below),
        length("above", when.higher_than),
        length("spacing", when.spacing_over),
        risers,
        held,
        sawn,
        from,
    ]
    .into_iter()
    .flatten()
    .collect();
    where_it_holds.sort();
    let (measure, severity) = (name(limit.measure), limit.severity);
    let (least, most) = (side(limit.at_least), side(limit.at_most));
    format!("{measure} {least} {most} {severity} {where_it_holds:?}")
}

/// The name of a measure as a rule set writes it: that of its finding less the side.
fn name(measure: Measure) -> &'static str {
    match measure {
        Measure::LandingSlope => "landing-slope",
        other => other.codes().0.name().trim_end_matches("-low"),
    }
}

fn rules(name: &str) -> Rules {
    let source = embedded(Some("rules"), name).unwrap_or_else(|| panic!("no rule set {name}"));
    Rules::read(name, &source.file, &source.text).unwrap_or_else(|e| panic!("{e}"))
}

fn names() -> BTreeSet<&'static str> {
    names_of("rules").into_iter().collect()
}

#[test]
fn the_table_has_every_limit_of_every_rule_set_and_no_other() {
    assert_eq!(names(), TABLE.iter().map(|(name, _)| *name).collect::<BTreeSet<_>>());
    assert!(TABLE.len() >= 15);
    for (set, rows) in TABLE {
        let mut written: Vec<String> = rows
            .iter()
            .flat_map(|rows| rows.split(['|', '\n']))
            .map(|row| of_table(row.trim()))
            .collect();
        let mut read: Vec<String> = rules(set).limits.iter().map(of_profile).collect();
        written.sort();
        read.sort();
        assert_eq!(written, read, "{set}");
    }
}

#[test]
fn every_limit_says_its_clause_and_every_set_what_is_to_be_looked_at_and_its_edition() {
    for set in names() {
        let rules = rules(set);
        for limit in &rules.limits {
            let source = &limit.source;
            let clause = source.chars().any(|c| c.is_ascii_digit());
            assert!(clause || source.starts_with("AWC DCA 6"), "{set}: {source}");
            assert!(!source.contains("memory"), "what is printed says check locally: {source}");
        }
        for item in &rules.unchecked {
            assert!(item.source.chars().any(|c| c.is_ascii_digit()), "{set}: {}", item.source);
        }
        let file = embedded(Some("rules"), set).unwrap().text;
        let memory = file.matches("from memory").count();
        let told = file.matches("from memory, check locally").count();
        let comments =
            file.lines().filter(|line| line.starts_with('#') && line.contains("from memory"));
        assert!(told + comments.count() >= memory, "{set}: {told} of {memory}");
        assert!(rules.unchecked.len() >= 4, "{set}: {} to look at", rules.unchecked.len());
        assert!(rules.edition.is_some(), "{set}");
    }
}

#[test]
fn a_limit_that_nothing_could_break_is_refused() {
    let read = |measure: &str, most: &str| {
        let text = format!(
            "kind = \"rules\"\nabout = \"invented\"\naim = \"7 in\"\n[[limit]]\nmeasure \
                = \"{measure}\"\n\
             at_most = {most}\nseverity = \"refusal\"\nsource = \"invented\"\n"
        );
        Rules::read("own", "own.toml", &text).map(|_| ())
    };
    for measure in ["pitch", "riser-count"] {
        read(measure, "42").unwrap();
        for most in ["nan", "inf", "-1", "1e9"] {
            let error = read(measure, most).unwrap_err().to_string();
            assert!(error.contains("limit.at_most") && error.contains("0 to 1000"), "{error}");
        }
    }
}

#[test]
fn rule_sets_of_the_united_states_are_spelled_as_there() {
    for set in names().into_iter().filter(|name| name.starts_with("us-")) {
        let text = embedded(Some("rules"), set).unwrap().text;
        for word in ["centre", "colour", "metre", "grey", "mould", "storey", "levelled"] {
            assert!(!text.contains(word), "{set}: {word}");
        }
    }
}

/// What a stair is asked to be; everything else about it is odd on purpose, so that no other limit
/// lies where this one does.
#[derive(Clone, Debug)]
struct Asked {
    risers: usize,
    rise: f64,
    run: f64,
    overhang: f64,
    thickness: f64,
    open: bool,
    width: f64,
    board: f64,
    tables: String,
    ground: Option<f64>,
}

impl Asked {
    fn new() -> Self {
        Self {
            risers: 4,
            rise: 163.37,
            run: 281.73,
            overhang: 33.31,
            thickness: 41.13,
            open: false,
            width: 331.71,
            board: 43.17,
            tables: String::new(),
            ground: None,
        }
    }

    fn stair(&self, set: &str) -> Stair {
        let mm = |key: &str, figure: f64| format!("{key} = \"{figure:.7} mm\"\n");
        let riser_board = if self.open { 0.0 } else { 17.9 };
        let rise = match self.ground {
            None => mm("total", self.rise * self.risers as f64),
            Some(_) => String::new(),
        };
        let ground = self.ground.map(|fall| {
            let (drop, over) = (mm("drop", fall * 10_000.0), mm("over", 10_000.0));
            format!("[ground]\n{}{drop}{over}", mm("at_head", 600.0))
        });
        Stair {
            rules: set.into(),
            rise: format!("{rise}risers = {}", self.risers),
            tread: mm("cut", self.run)
                + &mm("overhang", self.overhang)
                + &mm("thickness", self.thickness)
                + &mm("riser_board", riser_board),
            head: self.head(riser_board),
            board: mm("width", self.width) + &mm("thickness", self.board),
            cut: "makes = \"pattern\"\nmachine = \"router-table\"\nmaterial \
                = \"hardboard-6\"\ncorners \
                = \"fillet\""
                .into(),
            waive: self.tables.clone() + &ground.unwrap_or_default(),
            ..Stair::default()
        }
    }
}

impl Asked {
    /// One riser is a flight only where its tread lies level with the floor.
    fn head(&self, riser_board: f64) -> String {
        let meets = match self.risers {
            1 | 2 => format!("meets = \"flush\"\ntop_tread = \"{:.7} mm\"", self.run),
            _ => "meets = \"one-down\"".to_string(),
        };
        format!("{meets}\nfinish = \"1 in\"\nriser_board = \"{riser_board} mm\"")
    }
}

/// A stair whose figure of the limit's measure is `figure`; `None` where a stair as planned has
/// none of its own.
fn stair_at(limit: &Limit, figure: f64) -> Option<Asked> {
    let mut asked = Asked::new();
    let when = &limit.when;
    if let Some(run) = when.run_below {
        asked.run = run.as_mm() - 7.77;
    }
    asked.open = when.risers == Some(Risers::Open);
    if when.higher_than.is_some() {
        asked.risers = 9;
    }
    let stair = "[stair]\nwidth = \"3 m\"\n";
    if let Some(held) = when.held {
        let held = if held == Held::Along { "along" } else { "at-ends" };
        asked.tables = format!("{stair}held = \"{held}\"\n");
    }
    if let Some(over) = when.spacing_over {
        let apart = over.as_mm() + 31.3;
        asked.tables = spaced(apart, asked.board);
    }
    let pitch = |asked: &Asked| (asked.rise / asked.run).atan();
    match limit.measure {
        Measure::UnitRise => asked.rise = figure,
        Measure::UnitRun => asked.run = figure,
        Measure::Nosing | Measure::TreadOverRun => asked.overhang = figure,
        Measure::Overlap => (asked.open, asked.overhang) = (true, figure),
        Measure::TreadThickness => asked.thickness = figure,
        Measure::FlightRise => {
            asked.risers = (figure / asked.rise).round() as usize;
            asked.rise = figure / asked.risers as f64;
        }
        Measure::Pitch => asked.run = asked.rise / figure.to_radians().tan(),
        Measure::StepSum => asked.run = figure - 2.0 * asked.rise,
        Measure::OpenGap if figure <= 0.0 => {}
        Measure::OpenGap => (asked.open, asked.thickness) = (true, asked.rise - figure),
        Measure::RiserCount => asked.risers = figure.round() as usize,
        Measure::Throat => asked.width = figure + asked.rise * pitch(&asked).cos(),
        Measure::BoardDepth => asked.width = figure,
        Measure::BoardThickness => asked.board = figure,
        Measure::StringerSpan => {
            let is_solid = when.stringers == Some(SawnTo::Solid);
            asked.risers = if is_solid { 15 } else { 8 };
            asked.run = figure / (asked.risers as f64 - 1.0);
            if is_solid {
                asked.tables = "[cleat]\nthickness = \"30 mm\"\nheight = \"30 mm\"\n".into();
            }
        }
        Measure::RailHeight => asked.tables = rail(figure, ""),
        // One baluster in each opening between posts of 20 mm over treads next to each other.
        Measure::BalusterOpening => {
            let (clear, most) = (asked.run - 20.0, figure + 0.5);
            let baluster = clear - 2.0 * figure;
            asked.tables = rail(
                950.0,
                &format!(
                    "most_apart = \"{:.7} mm\"\nbaluster = \"{baluster:.7} mm\"\nmost_gap \
                        = \"{most:.7} \
                    mm\"\n",
                    asked.run
                ),
            );
        }
        Measure::StringerSpacing => asked.tables = spaced(figure, asked.board),
        Measure::ClearWidth => asked.tables = format!("{stair}clear_width = \"{figure:.7} mm\"\n"),
        Measure::Headroom => asked.tables = format!("{stair}headroom = \"{figure:.7} mm\"\n"),
        Measure::LandingSlope => asked.ground = Some(figure),
        Measure::RiserSpread
        | Measure::RunSpread
        | Measure::RiserStep
        | Measure::RunStep
        | Measure::TreadSlope
        | Measure::RiseRunSum => return None,
    }
    Some(asked)
}

/// A rail so high.
fn rail(height: f64, more: &str) -> String {
    format!("[rail]\nheight = \"{height:.7} mm\"\npost = \"20 mm\"\n{more}")
}

/// Two stringers this far apart, centre to centre.
fn spaced(apart: f64, thickness: f64) -> String {
    let most = apart + 1.0;
    format!("[stair]\nwidth = \"{:.7} mm\"\nmost_spacing = \"{most:.7} mm\"\n", apart + thickness)
}

/// The limits of a set that a stair breaks: code and source.
fn broken(findings: &[Finding], rules: &Rules) -> BTreeSet<(String, String)> {
    let of_limits: BTreeSet<&str> = rules
        .limits
        .iter()
        .flat_map(|limit| [limit.measure.codes().0.name(), limit.measure.codes().1.name()])
        .collect();
    let found = findings.iter().filter(|f| of_limits.contains(f.code.name()));
    found.map(|f| (f.code.name().to_string(), f.source.clone())).collect()
}

fn planned(set: &str, asked: &Asked) -> Result<Vec<Finding>, String> {
    let job = asked.stair(set).try_job().map_err(|error| error.to_string())?;
    Ok(Workup::of(&job).findings)
}

/// Holds one side of a limit: what is broken just outside of it and not just inside is this limit
/// and nothing else.
fn holds(set: &str, rules: &Rules, limit: &Limit, least: bool) -> Result<(), String> {
    let bound = if least { limit.at_least } else { limit.at_most }.unwrap();
    let code = if least { limit.measure.codes().0 } else { limit.measure.codes().1 };
    let expected = BTreeSet::from([(code.name().to_string(), limit.source.clone())]);
    let outwards = if least { -1.0 } else { 1.0 };
    let beside = match limit.measure {
        Measure::RiserCount => 1.0,
        Measure::LandingSlope | Measure::TreadSlope => bound * BESIDE,
        _ => BESIDE,
    };
    let (inside, outside) = match limit.measure {
        Measure::RiserCount => (bound, bound + outwards),
        _ => (bound - outwards * beside, bound + outwards * beside),
    };
    let said = |figure: f64| -> Result<_, String> {
        let found = match limit.measure {
            Measure::RunSpread | Measure::RunStep => runs(set, limit, figure),
            Measure::TreadSlope => sloped(set, figure),
            // Open risers where none are allowed.
            Measure::OpenGap if bound <= 0.0 => {
                planned(set, &Asked { open: figure > 0.0, ..Asked::new() })?
            }
            _ => planned(set, &stair_at(limit, figure).ok_or("no such stair")?)?,
        };
        Ok(broken(&found, rules))
    };
    let (inside, outside) = (said(inside)?, said(outside)?);
    let added: BTreeSet<_> = outside.difference(&inside).cloned().collect();
    let gone: BTreeSet<_> = inside.difference(&outside).collect();
    if added == expected && gone.is_empty() {
        return Ok(());
    }
    Err(format!("outside adds {added:?} and takes {gone:?}; inside there is {inside:?}"))
}

/// A flight whose runs differ: none is planned so, but one can be given so.
fn runs(set: &str, limit: &Limit, figure: f64) -> Vec<Finding> {
    let job = Asked::new().stair(set).job();
    let mut flight = Flight::new(&job, 8);
    let first = flight.finished_runs[0];
    let steps = if limit.measure == Measure::RunStep { 1 } else { 4 };
    for (k, run) in flight.finished_runs.iter_mut().enumerate() {
        *run = first + Length::mm(figure * k.min(steps) as f64 / steps as f64);
    }
    let outline = Outline::of(&job, &flight);
    check(&job, &flight, outline.as_ref())
}

/// A stair whose treads come to slope by so much.
fn sloped(set: &str, slope: f64) -> Vec<Finding> {
    let job = Asked::new().stair(set).job();
    let flight = Flight::new(&job, chosen_count(&job).0);
    seatcut::check::breaches(&job, &flight, Measure::TreadSlope, slope)
}

#[test]
fn every_limit_is_kept_just_inside_and_broken_just_outside() {
    let (mut sides, mut wrong) = (0, Vec::new());
    for (set, _) in TABLE {
        let rules = rules(set);
        let of_the_flight =
            |limit: &&Limit| !matches!(limit.measure, Measure::RiserSpread | Measure::RiserStep);
        for limit in rules.limits.iter().filter(of_the_flight) {
            for least in [true, false] {
                if (if least { limit.at_least } else { limit.at_most }).is_some() {
                    let held = holds(set, &rules, limit, least);
                    wrong.extend(held.err().map(|why| format!("{set} {limit:?}: {why}")));
                    sides += 1;
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} of {sides}:\n{}", wrong.len(), wrong.join("\n"));
    assert!(sides > 300, "{sides}");
}

/// Heights of treads over risers of these figures in mm, the last riser reaching the upper floor.
fn built(risers: &[f64]) -> String {
    let mut height = 0.0;
    let mut heights = Vec::new();
    for riser in risers {
        height += riser;
        heights.push(format!("\"{height:.7} mm\""));
    }
    let upper = heights.pop().unwrap();
    format!("[built]\nheights = [{}]\nupper = {upper}\n", heights.join(", "))
}

fn as_built(set: &str, risers: &[f64]) -> BTreeSet<(String, String)> {
    let stair = Asked { risers: risers.len(), tables: built(risers), ..Asked::new() }.stair(set);
    let site = OnSite::of(&stair.job()).unwrap();
    let found = fit(&site, site.job.around.built.as_ref().unwrap()).unwrap();
    let limits = found.findings.iter().filter(|f| f.code.name() != "built-none-does");
    limits.map(|f| (f.code.name().to_string(), f.source.clone())).collect()
}

/// The limits on how far risers may differ, on a flight as it was built.
#[test]
fn risers_as_built_keep_the_limits_just_inside_and_break_them_just_outside() {
    for (set, _) in TABLE {
        let rules = rules(set);
        let spread = rules.limits_on(Measure::RiserSpread).next();
        let spread = spread.unwrap_or_else(|| panic!("{set} says nothing of how risers differ"));
        let most = spread.at_most.unwrap();
        let climbing = |by: f64| [0.0, 0.25, 0.5, 0.75, 1.0].map(|share| 160.0 + by * share);
        assert_eq!(as_built(set, &climbing(most - BESIDE)), BTreeSet::new(), "{set}");
        let broken = BTreeSet::from([("built-spread".to_string(), spread.source.clone())]);
        assert_eq!(as_built(set, &climbing(most + BESIDE)), broken, "{set}");
        for step in rules.limits_on(Measure::RiserStep) {
            let most = step.at_most.unwrap();
            let odd = |by: f64| [160.0, 160.0, 160.0 + by, 160.0 + by];
            assert_eq!(as_built(set, &odd(most - BESIDE)), BTreeSet::new(), "{set}");
            let broken = BTreeSet::from([("built-step".to_string(), step.source.clone())]);
            assert_eq!(as_built(set, &odd(most + BESIDE)), broken, "{set}");
        }
        for limit in rules.limits_on(Measure::UnitRise) {
            let even = |figure: f64| [figure; 4];
            let of = |code: &str| BTreeSet::from([(code.to_string(), limit.source.clone())]);
            for (bound, outwards, code) in [
                (limit.at_least, -BESIDE, "built-riser-low"),
                (limit.at_most, BESIDE, "built-riser-high"),
            ] {
                let Some(bound) = bound else { continue };
                assert_eq!(as_built(set, &even(bound - outwards)), BTreeSet::new(), "{set}");
                assert_eq!(as_built(set, &even(bound + outwards)), of(code), "{set}");
            }
        }
    }
}

/// The bottom riser on a floor out of level differs from all the others: the tighter of the limits
/// on neighbours and on the whole flight holds.
#[test]
fn the_bottom_riser_on_a_floor_out_of_level_keeps_the_same_limits() {
    for (set, _) in TABLE {
        let rules = rules(set);
        let limits = rules
            .limits
            .iter()
            .filter(|limit| matches!(limit.measure, Measure::RiserSpread | Measure::RiserStep));
        let tightest = limits.min_by(|a, b| a.at_most.partial_cmp(&b.at_most).unwrap()).unwrap();
        let most = tightest.at_most.unwrap();
        let across = |off: f64| {
            let asked = Asked::new();
            let total = asked.rise * asked.risers as f64;
            let reading = |offset: &str, total: f64| {
                format!("[[across]]\noffset = \"{offset}\"\ntotal = \"{total:.7} mm\"\n")
            };
            let tables = "[stair]\nwidth = \"3 m\"\n".to_string()
                + &reading("0 mm", total)
                + &reading("3 m", total - off);
            let found = planned(set, &Asked { tables, ..asked }).unwrap();
            let found = found.into_iter().filter(|f| f.code.name().starts_with("bottom-riser"));
            found.map(|f| (f.code.name().to_string(), f.source)).collect::<Vec<_>>()
        };
        assert_eq!(across(most - BESIDE), [], "{set}");
        let broken = ("bottom-riser-spread".to_string(), tightest.source.clone());
        assert_eq!(across(most + BESIDE), [broken], "{set}");
    }
}
