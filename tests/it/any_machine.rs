//! Any machine whose profile keeps the ranges: what it is asked to make is made and proven, or
//! refused; never a program that does not pass its own proof. `SEATCUT_MACHINES` sets the number of
//! routers (lasers are three fifths of it); the long run of DEVELOPERS.md sets it to 500.
//! `SEATCUT_MACHINE` makes things on the one of that number alone, and prints its profile.

use crate::common::{Stair, profile_with, tread};
use seatcut::bundle::{Bundle, SquareSet};
use seatcut::cam::plan::plan_square;
use seatcut::diagnostics::{ErrorKind, Finding};
use seatcut::job::Job;
use seatcut::output::dxf::DxfVersion;
use seatcut::output::page::Size;
use seatcut::pipeline::set::{Entry, Set};
use seatcut::profile::{Machine, Material};
use std::collections::{BTreeMap, BTreeSet};

/// Numbers from a seed, the same on every machine: splitmix64.
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn share(&mut self) -> f64 {
        (self.roll() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// As often near the least as near the most, whatever lies between.
    fn between(&mut self, least: f64, most: f64) -> f64 {
        (least.ln() + (most.ln() - least.ln()) * self.share()).exp().clamp(least, most)
    }

    fn one_of<'a>(&mut self, choices: &[&'a str]) -> &'a str {
        choices[self.roll() as usize % choices.len()]
    }

    /// True once in so many times.
    fn once_in(&mut self, times: u64) -> bool {
        self.roll().is_multiple_of(times)
    }

    /// Mostly from the usual choices, sometimes anything of the range, now and then one of its
    /// ends. In mm.
    fn length(&mut self, usual: &[&str], least: f64, most: f64) -> String {
        match self.roll() % 10 {
            0..=5 => self.one_of(usual).to_string(),
            6..=8 => format!("{:.4} mm", self.between(least, most)),
            _ if self.once_in(2) => format!("{least} mm"),
            _ => format!("{most} mm"),
        }
    }
}

/// The table of a control's own words, half of its keys left out.
fn words(dice: &mut Dice, takes_arcs: bool, is_router: bool) -> String {
    let mut text = "[program]\n".to_string();
    let mut say = |dice: &mut Dice, key: &str, values: &[&str]| {
        if dice.once_in(2) {
            text += &format!("{key} = {}\n", dice.one_of(values));
        }
    };
    say(dice, "extension", &["\"tap\"", "\"ngc\"", "\"gcode\""]);
    say(dice, "line_numbers", &["1", "5", "100"]);
    say(dice, "line_ends", &["\"lf\"", "\"crlf\""]);
    match dice.roll() % 3 {
        0 => say(dice, "path", &["\"exact\""]),
        1 => say(dice, "path_blend", &["\"0.00025 in\"", "\"0.001 mm\""]),
        _ => {}
    }
    say(dice, "work_offset", &["\"G54\"", "\"G55\"", "\"G59\""]);
    say(dice, "air", &["\"M7\"", "\"M8\""]);
    if !is_router {
        say(dice, "beam", &["{ steady = \"M4\", follows_speed = \"M3\" }"]);
    }
    if takes_arcs {
        say(dice, "arc_centres", &["\"from-start\"", "\"absolute\"", "\"radius\""]);
        if is_router {
            say(dice, "helices", &["true", "false"]);
        }
    }
    text
}

/// What routers and lasers share, up to their own table.
fn frame(dice: &mut Dice, is_router: bool) -> String {
    let units = dice.one_of(&["in", "mm"]);
    let decimals = if units == "in" { 4 } else { 3 } + dice.roll() % 3;
    let travel = |dice: &mut Dice, usual: &[&str]| dice.one_of(usual).to_string();
    let x = travel(dice, &["96 in", "1300 mm", "2500 mm", "60 in", "50 in", "37 in"]);
    let y = travel(dice, &["48 in", "900 mm", "2500 mm", "1300 mm", "30 in"]);
    let chords = match dice.roll() % 2 {
        0 => String::new(),
        _ => {
            let usual = [
                "0.0005 in",
                "0.001 in",
                "0.002 in",
                "0.004 in",
                "0.01 in",
                "0.005 mm",
                "0.02 mm",
                "0.1 mm",
            ];
            format!("chord_tolerance = \"{}\"\n", dice.length(&usual, 0.002, 0.508))
        }
    };
    let words = words(dice, chords.is_empty(), is_router);
    format!(
        "kind = \"machine\"\nabout = \"any\"\ntravel = {{ x = \"{x}\", y = \"{y}\", z = \"{}\" \
            }}\nunits = \"{units}\"\n\
         decimals = {}\ncomments = \"{}\"\npercent_lines = {}\nsays_incremental_centres = \
         {}\ndwell = \"{}\"\nend = \"{}\"\n\
         z_zero = \"{}\"\nsafe_height = \"{}\"\nrapid = \"{}\"\nmax_feed = \"{}\"\nacceleration \
         = \"{}\"\n\
         corner_slack = \"{}\"\n{chords}{words}",
        dice.length(&["6 in", "150 mm"], 60.0, 400.0),
        decimals.min(6),
        dice.one_of(&["parentheses", "semicolon"]),
        dice.once_in(2),
        dice.once_in(2),
        dice.one_of(&["seconds", "milliseconds"]),
        dice.one_of(&["M2", "M30"]),
        dice.one_of(&["stock-top", "bed"]),
        dice.length(&["1/2 in", "12 mm", "1/4 in"], 1.0, 60.0),
        dice.one_of(&["600 in/min", "15 m/min", "100 mm/s", "1 in/min"]),
        dice.one_of(&["400 in/min", "12 m/min", "30 m/min"]),
        dice.one_of(&["20 in/s2", "500 mm/s2", "1 mm/s2"]),
        dice.one_of(&["0.0004 in", "0.01 mm", "0.0001 mm", "5 mm"]),
    )
}

fn router(dice: &mut Dice) -> String {
    let mark = match dice.roll() % 3 {
        0 => String::new(),
        _ => {
            let width = dice.length(&["1/32 in", "0.8 mm", "0.5 mm"], 0.05, 5.0);
            let feed = match dice.roll() % 2 {
                0 => String::new(),
                _ => format!(", feed = \"{}\"", dice.one_of(&["50 in/min", "1 in/min", "2 m/min"])),
            };
            let lift = match dice.roll() % 2 {
                0 => String::new(),
                _ => format!(", lift = \"{}\"", dice.length(&["1 mm", "1/16 in"], 0.3, 25.0)),
            };
            format!(
                "mark = {{ width = \"{width}\", depth = \"{}\"{feed}{lift} }}\n",
                dice.length(&["0.02 in", "0.5 mm"], 0.05, 10.0)
            )
        }
    };
    let z = match dice.roll() % 3 {
        0 => String::new(),
        _ => format!(
            "rapid_z = \"{}\"\nacceleration_z = \"{}\"\n",
            dice.one_of(&["200 in/min", "3 m/min", "1 in/min"]),
            dice.one_of(&["10 in/s2", "100 mm/s2", "1 mm/s2"])
        ),
    };
    let mut frame = frame(dice, true).replacen("z_zero", &format!("{z}z_zero"), 1);
    if dice.once_in(2) {
        frame = frame.replacen("z_zero", "vacuum = true\nz_zero", 1);
    }
    let tops = dice.once_in(2);
    if tops {
        frame += "machine_top = true\n";
    }
    if dice.once_in(2) {
        let pointed = if mark.is_empty() { "" } else { "pointed = 17, " };
        frame += &format!("tools = {{ cutter = 1, {pointed}length = true }}\n");
    }
    let far = far_travels(dice, tops);
    let text = format!(
        "{frame}[router]\ncutter = \"{}\"\nflute_length = \"{}\"\nflutes = {}\nspeed_rpm = \
            {:.2}\nmax_speed_rpm = {}\n\
         chip_load = \"{}\"\npass_depth = \"{}\"\nramp_deg = {:.3}\ncut_through \
         = \"{}\"\nspin_up_s = {:.3}\n{mark}",
        dice.length(
            &["1/4 in", "6 mm", "1/8 in", "3/8 in", "8 mm", "1/16 in", "1/2 in", "3/16 in"],
            0.5,
            20.0
        ),
        dice.one_of(&["1 5/8 in", "42 mm", "25 mm", "2 in", "60 mm"]),
        1 + dice.roll() % 12,
        dice.between(500.0, 30_000.0),
        dice.one_of(&["24000", "30000", "18000"]),
        dice.length(&["0.006 in", "0.1 mm", "0.003 in", "0.25 mm"], 0.001, 2.0),
        dice.length(&["1/4 in", "6 mm", "1/8 in", "3 mm", "1/2 in"], 0.254, 40.0),
        if dice.once_in(2) { 3.0 } else { dice.between(0.5, 45.0) },
        dice.length(&["0.02 in", "0.5 mm", "0.2 mm"], 0.01, 6.0),
        60.0 * dice.share().powi(3),
    );
    let mut said = feeds(dice, &text);
    let mut text = text;
    if !said.contains("finish = ") && dice.once_in(3) {
        said += &rough(dice, &text);
        text = text.replace("tools = { cutter = 1, ", "tools = { cutter = 1, rough = 5, ");
    }
    // Heights that do not go with the safe height or the travel of this machine are no profile.
    let whole = format!("{far}{text}{said}");
    match Machine::read("any", "any.toml", &whole) {
        Ok(_) => whole,
        Err(_) => text + &said,
    }
}

/// The feeds of a router beside its cutting feed, half of them left out: none above it.
fn feeds(dice: &mut Dice, router: &str) -> String {
    let machine = Machine::read("any", "any.toml", router).expect("a profile inside its ranges");
    let feed = machine.tool.feed_mm_min();
    let mut said = String::new();
    for key in ["entry_feed", "plunge_feed", "last_pass_feed"] {
        if dice.once_in(2) && feed >= 25.5 {
            said += &format!("{key} = \"{:.3} mm/min\"\n", dice.between(25.4, feed - 0.01));
        }
    }
    let most = machine.tool_radius().as_mm().min(3.175) * 0.99;
    if dice.once_in(3) && most > 0.1 {
        let own = match dice.once_in(2) && feed >= 25.5 {
            true => format!(", feed = \"{:.3} mm/min\"", dice.between(25.4, feed - 0.01)),
            false => String::new(),
        };
        let allowance = dice.between(0.1, most);
        said += &format!("finish = {{ allowance = \"{allowance:.4} mm\"{own} }}\n");
    }
    said
}

/// A roughing cutter before the one of a router, its feeds left out or given: within what that one
/// may follow.
fn rough(dice: &mut Dice, router: &str) -> String {
    let machine = Machine::read("any", "any.toml", &router.replace("tools = ", "# tools = "));
    let cutter = 2.0 * machine.expect("a profile inside its ranges").tool_radius().as_mm();
    let wide = (cutter * dice.between(1.05, 3.99)).min(59.9);
    let allowance = dice.between(0.1, (0.2499 * cutter).clamp(0.1001, 3.17));
    let (speed, flutes) = (dice.between(2_000.0, 24_000.0), 1 + dice.roll() % 4);
    let chip = dice.between(0.02, 0.3);
    let feed = speed * flutes as f64 * chip;
    let entry = match dice.once_in(2) {
        true => format!(", entry_feed = \"{:.3} mm/min\"", dice.between(25.4, feed - 0.01)),
        false => String::new(),
    };
    format!(
        "rough = {{ cutter = \"{wide:.4} mm\", flute_length = \"{}\", flutes = {flutes}, speed_rpm \
        = {speed:.2}, chip_load = \"{chip:.4} mm\", pass_depth = \"{}\", allowance \
        = \"{allowance:.4} \
        mm\"{entry} }}\n",
        dice.one_of(&["1 3/4 in", "45 mm", "2 in"]),
        dice.length(&["1/2 in", "12 mm", "1/4 in"], 2.0, 20.0),
    )
}

/// How high a router travels far and where it parks, each half of the time.
fn far_travels(dice: &mut Dice, tops: bool) -> String {
    let mut keys = String::new();
    if dice.once_in(2) {
        keys += &format!("clear_height = \"{}\"\n", dice.length(&["2 in", "60 mm"], 60.0, 200.0));
    }
    if dice.once_in(3) {
        keys += &format!("pin_play = \"{}\"\n", dice.length(&["0.002 in", "0.1 mm"], 0.01, 0.508));
    }
    if dice.once_in(3) {
        keys += &format!("pin_depth = \"{}\"\n", dice.length(&["1/4 in", "6 mm"], 3.2, 8.0));
    }
    if dice.once_in(2) {
        let z = if tops || dice.once_in(2) { "" } else { ", z = \"60 mm\"" };
        let y = dice.one_of(&["0 in", "20 in", "29.5 in", "700 mm"]);
        keys +=
            &format!("park = {{ x = \"{}\", y = \"{y}\"{z} }}\n", dice.one_of(&["0 mm", "30 in"]));
    }
    keys
}

fn laser(dice: &mut Dice) -> String {
    let mark_power = match dice.roll() % 3 {
        0 => None,
        _ => Some(dice.between(0.15, 0.5)),
    };
    let mark = mark_power.map_or(String::new(), |power| format!("mark_power = {power:.4}\n"));
    let mut frame = frame(dice, false);
    if dice.once_in(3) {
        frame = format!("park = {{ x = \"20 in\", y = \"700 mm\" }}\n{frame}");
    }
    let feed = dice.between(25.4, 6_000.0);
    let most = dice.one_of(&["6.5 mm", "12 mm", "1/2 in"]).to_string();
    let (alike, rows) = match dice.roll() % 2 {
        0 => (format!("feed = \"{feed:.3} mm/min\"\nmax_thickness = \"{most}\"\n"), String::new()),
        _ => (String::new(), rows(dice, feed, &most, mark_power.unwrap_or(0.15))),
    };
    format!(
        "{frame}[laser]\nkerf = \"{}\"\n{alike}full_power = {:.3}\npower = \"{}\"\n\
         pierce_feed = \"{:.3} mm/min\"\nlead = \"{}\"\n{mark}{rows}",
        dice.length(&["0.2 mm", "0.008 in", "0.15 mm", "0.3 mm"], 0.02, 2.54),
        dice.between(10.0, 100_000.0),
        dice.one_of(&["steady", "follows-speed"]),
        dice.between(25.4, feed.max(25.5)).min(feed),
        dice.length(&["3 mm", "1/8 in", "2 mm"], 0.1, 20.0),
    )
}

/// How a beam cuts thin material and thick, none slower than `feed` mm a minute, with twice the
/// power that it scores with or more.
fn rows(dice: &mut Dice, feed: f64, most: &str, mark_power: f64) -> String {
    let row = |dice: &mut Dice, thickness: &str, passes: u64| {
        let feed = dice.between(feed, 6_000.1);
        let power = dice.between((2.0 * mark_power + 0.001).min(1.0), 1.0);
        format!(
            "[[laser.cut]]\nthickness = \"{thickness}\"\nfeed = \"{feed:.3} mm/min\"\npower = \
            {power:.3}\npasses = {passes}\n"
        )
    };
    let thin = dice.one_of(&["3.2 mm", "1/8 in", "6 mm"]).to_string();
    let (few, many) = (1 + dice.roll() % 2, 1 + dice.roll() % 5);
    row(dice, &thin, few) + &row(dice, most, many)
}

/// What is asked of every machine, by name. A router's long parts are longer than its travel, or
/// not.
fn asked(tool: &str) -> Vec<(&'static str, Stair)> {
    let cut = |makes: &str, material: &str, rest: &str| {
        // Where Z0 is on the bed marks want a measured thickness.
        let measured = if makes == "pattern" { "thickness = \"6.3 mm\"\n" } else { "" };
        format!(
            "makes = \"{makes}\"\nmachine = \"./any.toml\"\nmaterial \
                = \"{material}\"\n{measured}{rest}"
        )
    };
    let thin = "hardboard-6";
    let short = Stair {
        rules: "us-osha".into(),
        rise: "total = \"21 in\"\nrisers = 3".into(),
        tread: tread("10 1/2 in", "1 in", "1 in", "3/4 in"),
        ..Stair::default()
    };
    let with = |cut: String| Stair { cut, ..short.clone() };
    // What lies on the machine is as thick as the stringer, or as a layer of it.
    let board = |thickness: &str| format!("width = \"11 1/4 in\"\nthickness = \"{thickness}\"");
    let thick = |thickness: &str, cut: String| Stair { board: board(thickness), ..with(cut) };
    let of = |risers: &str| Stair { rise: risers.into(), ..Stair::default() };
    let long = of("total = \"102 3/4 in\"\nrisers = 14");
    // No sheet takes it whole, and its halves go on many machines.
    let longish = of("total = \"66 1/8 in\"\nrisers = 9");
    let tie = "width = \"3 1/2 in\"\nheight = \"1 1/2 in\"\nclearance = \"1/16 in\"";
    let mut asked = vec![
        ("pattern", with(cut("pattern", thin, "corners = \"bisector\""))),
        (
            "pattern for a bushing",
            Stair {
                rise: "total = \"29 in\"\nrisers = 4".into(),
                tie_plate: tie.into(),
                cut: cut(
                    "pattern",
                    thin,
                    "follow = { with = \"bushing\", outside = \"3/4 in\", bit = \"1/2 in\" }",
                ),
                ..Stair::default()
            },
        ),
        ("sheet", thick("1/4 in", cut("stringers", thin, "quantity = 4\ncorners = \"riser\""))),
        (
            "tight sheet",
            thick("1/4 in", cut("stringers", thin, "quantity = 4\nspacing = \"1/4 in\"")),
        ),
        (
            "numbered sheet",
            thick(
                "1/4 in",
                cut("stringers", thin, "quantity = 4\nthickness = \"6.3 mm\"\nmarks = \"number\""),
            ),
        ),
        ("split", Stair { cut: cut("pattern", thin, "long = \"split\""), ..longish }),
    ];
    if tool == "router" {
        asked.extend([
            (
                "layers",
                with(cut(
                    "stringers",
                    "plywood-18",
                    "quantity = 2\nlayers = 2\ndowel = \"3/8 in\"",
                )),
            ),
            ("skin", with(cut("pattern", thin, "skin = \"0.5 mm\""))),
            ("no marks", with(cut("pattern", thin, "marks = \"none\""))),
            ("short marks", with(cut("pattern", thin, "marks = \"short\""))),
            ("no tabs", thick("1/4 in", cut("stringers", thin, "quantity = 2\ntabs = \"none\""))),
            (
                "square tabs",
                with(cut(
                    "pattern",
                    thin,
                    "tabs = { count = 5, height = \"2 mm\", width = \"8 mm\", shape = \"square\" }",
                )),
            ),
            ("board", with(cut("stringers", "board-2x12", "corners = \"fillet\""))),
            (
                "index",
                Stair {
                    board: board("12 mm"),
                    cut: cut("stringers", "./long.toml", "long = \"index\""),
                    ..long.clone()
                },
            ),
            (
                "housed",
                Stair {
                    board: "width = \"14 in\"\nthickness = \"1 1/4 in\"\n[housed]\nhand \
                        = \"left\"\ndepth \
                        = \"1/2 in\"\nwedge = \"3/8 in\""
                        .into(),
                    ..with(cut("stringers", "./thick.toml", "corners = \"bisector\""))
                },
            ),
        ]);
    } else {
        let layers = cut("stringers", thin, "quantity = 2\nlayers = 2\ndowel = \"3/8 in\"");
        asked.push(("layers", thick("1/2 in", layers)));
    }
    asked
}

/// What came of a job: made, or refused with these codes.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum End {
    Made,
    Refused(String),
}

fn refused<'f>(findings: impl Iterator<Item = &'f Finding>) -> Result<End, String> {
    let codes: BTreeSet<&str> =
        findings.filter(|finding| finding.refuses()).map(|finding| finding.code.name()).collect();
    let words = codes.into_iter().collect::<Vec<_>>().join(" ");
    if words.is_empty() {
        Err("neither made nor refused".to_string())
    } else {
        Ok(End::Refused(words))
    }
}

/// As `make` does: every file of the set is written and held against what it must be.
fn proven(job: Job) -> Result<End, String> {
    let set = Set::of(vec![Entry { job, times: 1 }], 0).map_err(|error| error.to_string())?;
    if set.refused() {
        return refused(set.all_findings());
    }
    let proven = Bundle::of(&set, DxfVersion::R2000)
        .and_then(|bundle| bundle.proven(|artifact| Ok(artifact.bytes.clone())));
    match proven {
        Ok(programs) if programs.is_empty() => Err("no program".to_string()),
        Ok(_) => Ok(End::Made),
        Err(error) if error.kind() == ErrorKind::Refused => Ok(End::Refused(error.to_string())),
        Err(error) => Err(error.to_string()),
    }
}

/// One job on one machine; an error names what is wrong.
fn made(stair: &Stair, machine: &str) -> Result<End, String> {
    let thick = profile_with("material", "plywood-18", &[("\"18 mm\"", "\"1 1/4 in\"")]);
    let long = profile_with("material", "plywood-12", &[("\"2440 mm\"", "\"6000 mm\"")]);
    let files =
        [("./any.toml", machine.to_string()), ("./thick.toml", thick), ("./long.toml", long)];
    let files = files.map(|(name, text)| (name.to_string(), text)).to_vec();
    match (Stair { files, ..stair.clone() }).try_job() {
        Ok(job) => proven(job),
        Err(error) if error.kind() == ErrorKind::Input => {
            Err(format!("a profile inside its ranges: {error}"))
        }
        Err(error) => Err(error.to_string()),
    }
}

fn count() -> usize {
    std::env::var("SEATCUT_MACHINES").ok().and_then(|count| count.parse().ok()).unwrap_or(12)
}

/// Makes everything on so many machines, tells how often what came of it, and fails with every
/// fault.
fn run(tool: &str, count: usize, machine: impl Fn(&mut Dice) -> String) {
    let mut ends: BTreeMap<(&str, End), usize> = BTreeMap::new();
    let mut faults = Vec::new();
    let one = std::env::var("SEATCUT_MACHINE").ok().and_then(|one| one.parse().ok());
    for number in one.map_or(0..count, |one| one..one + 1) {
        let text = machine(&mut Dice(number as u64));
        if one.is_some() {
            println!("{text}");
        }
        for (name, stair) in asked(tool) {
            match made(&stair, &text) {
                Ok(end) => *ends.entry((name, end)).or_default() += 1,
                Err(fault) => faults.push(format!("{tool} {number}, {name}: {fault}")),
            }
        }
    }
    for ((name, end), times) in &ends {
        println!("{count} {tool}s, {name}: {times} {end:?}");
    }
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
    for (name, _) in asked(tool) {
        let made = ends.get(&(name, End::Made)).copied().unwrap_or(0);
        assert!(made * 12 >= count, "{name}: only {made} of {count} made");
    }
}

#[test]
fn any_router_makes_what_it_is_asked_or_refuses_it() {
    run("router", count(), router);
}

#[test]
fn any_laser_makes_what_it_is_asked_or_refuses_it() {
    run("laser", count() * 3 / 5, laser);
}

/// Everything but the sheet whose spacing is the cutter's own width, which chords overstep, is
/// made.
fn all_made_without_arcs(tool: &str, name: &str, arcs: &str) {
    for tolerance in ["0.002 mm", "0.0005 in", "0.002 in", "0.01 in", "0.02 in"] {
        let text =
            profile_with("machine", name, &[(arcs, &format!("chord_tolerance = \"{tolerance}\""))]);
        // Each piece of a split pattern goes on it.
        let text = text.replace("x = \"1300 mm\"", "x = \"2400 mm\"");
        // A table without vacuum does not do without tabs.
        let but = ["tight sheet", "skin", "no tabs"];
        for (asked, stair) in asked(tool).into_iter().filter(|(asked, _)| !but.contains(asked)) {
            assert_eq!(made(&stair, &text), Ok(End::Made), "{name}, {tolerance}: {asked}");
        }
    }
}

#[test]
fn a_machine_without_arcs_makes_everything_with_every_chord_tolerance() {
    all_made_without_arcs("router", "router-table", "# chord_tolerance = \"0.002 in\"  ");
    all_made_without_arcs("laser", "laser-lines", "chord_tolerance = \"0.005 mm\"");
}

#[test]
fn pieces_as_near_as_the_cutter_is_wide_are_refused_where_chords_overstep_their_corners() {
    let (_, tight) =
        asked("router").into_iter().find(|(asked, _)| *asked == "tight sheet").unwrap();
    let arcs = profile_with("machine", "router-table", &[]);
    let chords = profile_with(
        "machine",
        "router-table",
        &[("# chord_tolerance = \"0.002 in\"  ", "chord_tolerance = \"0.01 in\"")],
    );
    assert_eq!(made(&tight, &arcs), Ok(End::Made));
    assert_eq!(made(&tight, &chords), Ok(End::Refused("spacing-below-cutter".to_string())));
    let wider = Stair { cut: tight.cut.replace("1/4 in", "0.2601 in"), ..tight };
    assert_eq!(made(&wider, &chords), Ok(End::Made));
}

/// A lead is far longer than its beam is wide: whatever lies on it is seen.
#[test]
fn a_long_lead_of_a_thin_beam_keeps_off_the_next_piece() {
    for (kerf, lead) in [
        ("0.15 mm", "15.391 mm"),
        ("0.008 in", "13.0781 mm"),
        ("0.008 in", "8.8827 mm"),
        ("0.06 mm", "20 mm"),
    ] {
        let changes = [
            ("kerf = \"0.2 mm\"", format!("kerf = \"{kerf}\"")),
            ("lead = \"3 mm\"", format!("lead = \"{lead}\"")),
        ];
        let changes = changes.each_ref().map(|(from, to)| (*from, to.as_str()));
        for machine in ["laser", "laser-lines"] {
            let text = profile_with("machine", machine, &changes);
            for (name, stair) in
                asked("laser").into_iter().filter(|(name, _)| name.contains("sheet"))
            {
                assert_eq!(made(&stair, &text), Ok(End::Made), "{machine}, {kerf}, {lead}: {name}");
            }
        }
    }
}

/// With a thin beam the spur into a bisected corner is shorter than two drawings of one line are
/// apart.
#[test]
fn a_spur_shorter_than_lines_agree_is_no_line_drawn_twice() {
    for kerf in ["0.0614 mm", "0.0648 mm", "0.08 mm", "0.0987 mm", "0.0995 mm"] {
        let text = profile_with(
            "machine",
            "laser",
            &[("kerf = \"0.2 mm\"", &format!("kerf = \"{kerf}\""))],
        );
        let (_, pattern) = asked("laser").swap_remove(0);
        assert_eq!(made(&pattern, &text), Ok(End::Made), "{kerf}");
    }
}

/// As `square` does: a test square is proven, or refused with codes.
fn squared(text: &str) -> Result<End, String> {
    let source = seatcut::profile::embedded(Some("material"), "hardboard-6").unwrap();
    let material = Material::read("hardboard-6", &source.file, &source.text).unwrap();
    let machine = Machine::read("any", "any.toml", text).map_err(|error| error.to_string())?;
    match plan_square(&machine, &material) {
        Err(refusals) => refused(refusals.into_findings().iter()),
        Ok(square) => {
            let set = SquareSet::of(&square.value, Size::A4, "any").map_err(|e| e.to_string())?;
            let proven = set.proven(|artifact| Ok(artifact.bytes.clone()));
            proven.map(|_| End::Made).map_err(|error| error.to_string())
        }
    }
}

#[test]
fn a_test_square_whose_passes_beside_the_line_leave_a_foil_is_made_or_refused() {
    // Drawn once: its passes off the line leave so little at the bottom that the proof takes it for
    // cut.
    let end = squared(&router(&mut Dice(118)));
    assert!(end.is_ok(), "{end:?}");
}

#[test]
fn any_machine_cuts_a_test_square_or_refuses_it() {
    let mut made = 0;
    for number in 0..5 * count() as u64 {
        for (tool, text) in
            [("router", router(&mut Dice(number))), ("laser", laser(&mut Dice(number)))]
        {
            let end = squared(&text).unwrap_or_else(|fault| panic!("{tool} {number}: {fault}"));
            made += usize::from(end == End::Made);
        }
    }
    assert!(made >= count(), "only {made} made");
}

/// Drawn once: passes off the line stop so far from the corners of a test square's hole that a tab
/// beside one of them went round it.
const WIDE_ALLOWANCE: &str = r#"kind = "machine"
about = "any"
travel = { x = "37 in", y = "48 in", z = "6 in" }
units = "in"
decimals = 5
comments = "semicolon"
percent_lines = true
says_incremental_centres = true
dwell = "milliseconds"
end = "M2"
vacuum = true
z_zero = "stock-top"
safe_height = "1/2 in"
rapid = "15 m/min"
max_feed = "30 m/min"
acceleration = "20 in/s2"
corner_slack = "0.0001 mm"
[program]
extension = "tap"
arc_centres = "absolute"
[router]
cutter = "1/2 in"
flute_length = "1 5/8 in"
flutes = 2
speed_rpm = 4791.63
max_speed_rpm = 18000
chip_load = "0.006 in"
pass_depth = "12.8932 mm"
ramp_deg = 3.000
cut_through = "0.5 mm"
spin_up_s = 1.279
mark = { width = "0.05 mm", depth = "0.05 mm", feed = "1 in/min", lift = "1 mm" }
entry_feed = "70.591 mm/min"
finish = { allowance = "1.8294 mm", feed = "691.037 mm/min" }
"#;

#[test]
fn a_test_square_with_a_wide_allowance_is_made() {
    assert_eq!(squared(WIDE_ALLOWANCE), Ok(End::Made));
}

/// Drawn once: its cut through the stock ends between two printed digits, so that a helix of chords
/// that ended a bit off it was one digit lower than the round at its foot.
const BETWEEN_DIGITS: &str = r#"kind = "machine"
about = "any"
travel = { x = "60 in", y = "900 mm", z = "157.8017 mm" }
units = "mm"
decimals = 3
comments = "semicolon"
percent_lines = false
says_incremental_centres = false
dwell = "seconds"
end = "M2"
z_zero = "bed"
safe_height = "12 mm"
rapid = "15 m/min"
max_feed = "12 m/min"
acceleration = "1 mm/s2"
corner_slack = "0.0001 mm"
[program]
extension = "gcode"
line_numbers = 1
line_ends = "crlf"
air = "M8"
tools = { cutter = 1, pointed = 17, length = true }
[router]
cutter = "1/16 in"
flute_length = "2 in"
flutes = 10
speed_rpm = 6474.73
max_speed_rpm = 24000
chip_load = "0.006 in"
pass_depth = "6 mm"
ramp_deg = 39.527
cut_through = "0.3775 mm"
spin_up_s = 2.151
mark = { width = "0.1571 mm", depth = "0.5524 mm", feed = "50 in/min", lift = "24.1768 mm" }
entry_feed = "3136.901 mm/min"
finish = { allowance = "0.1837 mm" }
"#;
/// Drawn once: it goes in a thirtieth as quickly as it goes round, on a ramp so flat that a chord
/// goes down by one digit.
const FLAT_AND_SLOW: &str = r#"clear_height = "60 mm"
park = { x = "0 mm", y = "29.5 in", z = "60 mm" }
kind = "machine"
about = "any"
travel = { x = "96 in", y = "2500 mm", z = "230.2177 mm" }
units = "in"
decimals = 4
comments = "parentheses"
percent_lines = true
says_incremental_centres = false
dwell = "seconds"
end = "M30"
vacuum = true
z_zero = "bed"
safe_height = "12 mm"
rapid = "1 in/min"
max_feed = "30 m/min"
acceleration = "500 mm/s2"
corner_slack = "0.0004 in"
chord_tolerance = "0.1 mm"
[program]
extension = "tap"
line_numbers = 100
tools = { cutter = 1, length = true }
[router]
cutter = "1/4 in"
flute_length = "42 mm"
flutes = 8
speed_rpm = 3788.59
max_speed_rpm = 18000
chip_load = "0.25 mm"
pass_depth = "6 mm"
ramp_deg = 0.634
cut_through = "0.5 mm"
spin_up_s = 54.572
entry_feed = "26.533 mm/min"
plunge_feed = "2384.494 mm/min"
last_pass_feed = "717.773 mm/min"
"#;

#[test]
fn machines_that_once_ended_as_bugs_make_what_they_are_asked() {
    for (machine, names) in [
        (BETWEEN_DIGITS, ["pattern", "no marks", "square tabs"]),
        (FLAT_AND_SLOW, ["split", "layers", "index"]),
    ] {
        for (name, stair) in asked("router").into_iter().filter(|(name, _)| names.contains(name)) {
            assert_eq!(made(&stair, machine), Ok(End::Made), "{name}");
        }
    }
    // Drawn by these numbers: a finishing pass begun a little beside the line, the inside corners
    // of a joint that a roughing cutter leaves, a cutter that goes straight down faster than on a
    // ramp.
    for (number, wanted) in
        [(108, "square tabs"), (157, "housed"), (302, "split"), (431, "pattern")]
    {
        let machine = router(&mut Dice(number));
        let (_, stair) = asked("router").into_iter().find(|(name, _)| *name == wanted).unwrap();
        assert_eq!(made(&stair, &machine), Ok(End::Made), "{number}, {wanted}");
    }
}
