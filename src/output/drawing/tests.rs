use super::clear::inside;
use super::*;
use crate::GARDEN_STEPS as STARTER;
use crate::diagnostics::{Finding, Numbered, Place, Severity, Value, codes};
use crate::geometry::Bounds;
use crate::job::{Fingerprint, Job, read_job};
use crate::output::page::{Item, Path, Text, beneath, to_svg};
use crate::stair::outline::Outline;
use crate::stair::{Flight, chosen_count};
use crate::units::{Length, Tape, decimal, on_tape, sixteenths};

/// The smallest capitals that a drawing may have, in mm.
const LEAST_TEXT_MM: f64 = 2.5;

struct Drawn {
    job: Job,
    flight: Flight,
    outline: Outline,
    findings: Vec<Finding>,
}

impl Drawn {
    fn of(text: &str, findings: Vec<Finding>) -> Self {
        let job = read_job("job.toml", text, &|_| unreachable!("no profile is read from a path"))
            .unwrap();
        let flight = Flight::new(&job, chosen_count(&job).0);
        let outline = Outline::new(&flight, job.plate()).unwrap();
        Self { job, flight, outline, findings }
    }

    fn sheets(&self, paper: Paper) -> Vec<Page> {
        self.shown(|subject| sheets(subject, Some(paper)))
    }

    /// What is made of it as the subject of a drawing.
    fn shown<T>(&self, what: impl FnOnce(&Subject<'_>) -> T) -> T {
        let fingerprint = &Fingerprint::of(&self.job);
        let Self { job, flight, outline, findings } = self;
        let behind_relief = flight.behind_notches() - Length::mm(1.3);
        let (pattern, times) = (None, 1);
        what(&Subject {
            job,
            fingerprint,
            flight,
            outline,
            behind_relief,
            findings,
            pattern,
            times,
        })
    }

    /// All sheets, one beneath the other.
    fn sheet(&self) -> Page {
        beneath(&self.sheets(Paper::Tabloid))
    }

    fn svg(&self) -> String {
        to_svg(&self.sheet())
    }
}

/// The starter job with some of its lines replaced; a line is named by its beginning.
fn job(lines: &[(&str, &str)]) -> String {
    let mut out = STARTER.to_string();
    for (from, to) in lines {
        let start = out
            .find(&format!("\n{from}"))
            .unwrap_or_else(|| panic!("the starter has a line {from}"))
            + 1;
        let end = start + out[start..].find('\n').unwrap();
        out.replace_range(start..end, to);
    }
    out
}

fn without_plate(text: &str) -> String {
    let (from, to) = (text.find("[foot.tie_plate]").unwrap(), text.find("[board]").unwrap());
    format!("{}{}", &text[..from], &text[to..])
}

fn stair(total: &str, risers: usize) -> String {
    let (total, risers) = (format!("total = \"{total}\""), format!("risers = {risers}"));
    job(&[("total", &total), ("risers", &risers)])
}

fn flush_metric() -> String {
    without_plate(&job(&[
        ("total", "total = \"2520 mm\""),
        ("risers", "risers = 14"),
        ("cut", "cut = \"265 mm\""),
        ("thickness", "thickness = \"22 mm\""),
        ("meets", "meets = \"flush\""),
        ("finish =", "finish = \"30 mm\""),
        ("# top_tread", "top_tread = \"200 mm\""),
    ]))
}

fn low_flush() -> String {
    job(&[
        ("total", "total = \"7 1/2 in\""),
        ("risers", "risers = 1"),
        ("meets", "meets = \"flush\""),
        ("finish =", "finish = \"1 1/2 in\""),
        ("rim_depth", ""),
    ])
}

fn low_flush_deep_rim() -> String {
    low_flush().replace("[head]", "[head]\nrim_depth = \"9 1/4 in\"")
}

fn open_risers() -> String {
    job(&[
        ("riser_board", "riser_board = \"0 in\""),
        ("set_back", "set_back = \"3 in\""),
        ("# spacer", "spacer = \"1 1/2 in\""),
        ("# finish_to_come", "finish_to_come = \"3/4 in\""),
        ("# tip_inset", "tip_inset = \"1/8 in\""),
        ("rim_depth", ""),
    ])
}

fn many_findings() -> Vec<Finding> {
    let long = "4 15/16- in (125.1 mm) after the relief that will be cut at the inside corner of a \
        long flight";
    let of = |i: usize| {
        let severity = [Severity::Advice, Severity::Warning, Severity::Refusal][i % 3];
        let (measured, limit) = (Length::inches(4.9375), Length::inches(5.0));
        let found = codes::ThroatLow {
            measured,
            by: Value::Words(long.into()),
            limit,
            standing: codes::Standing::AskedFor,
        };
        let mut finding = found.at(Place::Nth(Numbered::Tread, i)).weighing(severity);
        if severity == Severity::Refusal {
            finding.waived = Some("doubled outside stringers ".repeat(4));
        }
        finding
    };
    (0..20).map(of).collect()
}

fn cases() -> Vec<(&'static str, Drawn)> {
    let titled = |title: &str| format!("title = \"{title}\"");
    let wide = job(&[("title", &titled(&"W".repeat(60)))]);
    let square = job(&[("title", &titled(&"\u{968e}".repeat(60)))]);
    let texts = vec![
        ("starter", STARTER.to_string()),
        ("wide title", wide),
        ("title of square letters", square),
        ("fourteen treads, flush, metric", flush_metric()),
        ("one tread", without_plate(&stair("14 3/8 in", 2))),
        ("one tread, flush, hung low", without_plate(&low_flush())),
        ("one tread with a notch", stair("14 3/8 in", 2)),
        ("two treads", stair("20 3/8 in", 3)),
        ("three treads", stair("28 1/8 in", 4)),
        ("four treads", stair("35 1/8 in", 5)),
        ("five treads", stair("42 1/8 in", 6)),
        ("twelve treads", stair("94 in", 13)),
        ("open risers, set-back notch, spacer", open_risers()),
        ("much finish to come", job(&[("# finish_to_come", "finish_to_come = \"1 3/4 in\"")])),
        (
            "a pattern for a pencil",
            job(&[("# follow", "follow = { with = \"pencil\", lead = \"1/32 in\" }")]),
        ),
        ("one tread, flush, deep rim", without_plate(&low_flush_deep_rim())),
        ("twenty-six treads", stair("195 in", 27)),
        ("fifty treads", stair("350 in", 51)),
    ];
    let empty = texts.iter().map(|(name, text)| (*name, Drawn::of(text, Vec::new())));
    let full = texts.iter().map(|(name, text)| (*name, Drawn::of(text, many_findings())));
    empty.chain(full).collect()
}

/// The box of a text, less what letters leave free of it.
fn ink_box(text: &Text) -> Bounds {
    text.bounds().grown(-0.15)
}

fn boxes_overlap(a: Bounds, b: Bounds) -> bool {
    a.min.x < b.max.x && b.min.x < a.max.x && a.min.y < b.max.y && b.min.y < a.max.y
}

#[test]
fn every_text_lies_within_the_frame_and_is_large_enough_to_read() {
    for (name, drawn) in cases() {
        for paper in [Paper::Tabloid, Paper::Letter, Paper::A3, Paper::A4] {
            for sheet in drawn.sheets(paper) {
                assert_eq!(sheet.size, paper.size());
                let frame = room(paper).grown(PAD_MM);
                for text in sheet.texts() {
                    let b = text.bounds();
                    let out = frame.distance(b.min).max(frame.distance(b.max));
                    assert!(out <= 0.0, "{name}, {paper:?}: {text:?} leaves the frame");
                    assert!(text.height_mm >= LEAST_TEXT_MM, "{name}: {text:?} is too small");
                }
            }
        }
    }
}

#[test]
fn no_text_lies_on_another() {
    for (name, drawn) in cases() {
        let sheet = drawn.sheet();
        let texts: Vec<_> = sheet.texts().map(|text| (ink_box(text), &text.content)).collect();
        for (i, (a, first)) in texts.iter().enumerate() {
            for (b, second) in &texts[i + 1..] {
                assert!(!boxes_overlap(*a, *b), "{name}: \"{first}\" on \"{second}\"");
            }
        }
    }
}

/// The straight pieces of a stroke.
fn pieces(path: &Path) -> Vec<(Point, Point)> {
    let (points, closed) = match path {
        Path::Open(points) => (points.clone(), None),
        Path::Closed(points) => (points.clone(), points.first().copied()),
        Path::Arc { .. } => return Vec::new(),
    };
    let ring: Vec<Point> = points.into_iter().chain(closed).collect();
    ring.windows(2).map(|pair| (pair[0], pair[1])).collect()
}

#[test]
fn no_line_crosses_a_text() {
    for (name, drawn) in cases() {
        let sheet = drawn.sheet();
        for text in sheet.texts() {
            let room = ink_box(text);
            for item in sheet.items() {
                let Item::Stroke { path, line } = item else { continue };
                let crosses = pieces(path).iter().any(|(a, b)| inside(*a, *b, room).is_some());
                assert!(!crosses, "{name}: {line:?} through \"{}\" at {}", text.content, text.at);
            }
        }
    }
}

#[test]
fn every_line_lies_on_the_paper() {
    for (name, drawn) in cases() {
        let sheet = drawn.sheet();
        for item in sheet.items() {
            let Item::Stroke { path, .. } = item else { continue };
            for p in pieces(path).into_iter().flat_map(|(from, to)| [from, to]) {
                assert!(sheet.paper().distance(p) <= 0.0, "{name}: a line at {p}");
            }
        }
    }
}

#[test]
fn every_step_mark_stands_on_the_sheet_in_inches_and_millimetres() {
    for (name, drawn) in cases() {
        let sheet = drawn.sheet();
        let shows = |text: &str| sheet.texts().any(|t| t.content == text);
        let to_board = drawn.outline.to_board();
        for k in 1..=drawn.flight.treads {
            let (x, y) = (drawn.flight.nose_x(k), drawn.flight.tread_cut_y(k));
            let along = Length::mm((to_board * Point::new(x.as_mm(), y.as_mm())).x);
            for value in [x, y, along] {
                assert!(
                    shows(&sixteenths(value)) && shows(&decimal(value.as_mm(), 1)),
                    "{name}: step {k}, {value}"
                );
            }
        }
    }
}

#[test]
fn the_part_is_drawn_twice_to_scale_and_never_mirrored() {
    for (name, drawn) in cases() {
        let layout = drawn.shown(|subject| Layout::of(subject, Paper::Tabloid));
        let areas = [layout.scale, layout.board]
            .map(|scale| drawn.outline.contour().area() / (scale * scale));
        let count = drawn.outline.contour().edges().len();
        let sheet = drawn.sheet();
        let parts = sheet.items().filter(|item| match item {
            Item::Stroke { path: Path::Closed(points), line: Line::VisibleEdge }
                if points.len() == count =>
            {
                let doubled: f64 = pieces(&Path::Closed(points.clone()))
                    .iter()
                    .map(|(a, b)| a.x * b.y - a.y * b.x)
                    .sum();
                areas.iter().any(|area| (doubled / 2.0 - area).abs() < 1e-6 * area)
            }
            _ => false,
        });
        assert_eq!(parts.count(), 2, "{name}");
    }
}

#[test]
fn the_largest_sheet_takes_the_longest_flight_that_is_read() {
    let longest = job(&[
        ("total", "total = \"20 m\""),
        ("risers", "risers = 200"),
        ("cut", "cut = \"1000 mm\""),
        ("rim_depth", ""),
    ]);
    let drawn = Drawn::of(&longest, many_findings());
    let sheet = drawn.sheet();
    for text in sheet.texts() {
        let b = text.bounds();
        let outside = sheet.paper().distance(b.min).max(sheet.paper().distance(b.max));
        assert!(outside <= 0.0, "{text:?} leaves the paper");
    }
}

/// Opens and closes of every element, in order; panics at the first that does not pair.
fn assert_balanced(svg: &str) {
    let mut open: Vec<String> = Vec::new();
    let body = svg.strip_prefix("<?xml version=\"1.0\" encoding=\"UTF-8\"?>").unwrap();
    for tag in body.split('<').skip(1) {
        let (tag, text) = tag.split_once('>').expect("a tag ends");
        assert!(!text.contains('"') && !text.contains("& "), "raw text: {text}");
        assert_eq!(tag.matches('"').count() % 2, 0, "quotes pair: {tag}");
        let name = tag.trim_matches('/').split_whitespace().next().unwrap().to_string();
        if tag.starts_with('/') {
            assert_eq!(open.pop().as_deref(), Some(name.as_str()));
        } else if !tag.ends_with('/') {
            open.push(name);
        }
    }
    assert!(open.is_empty());
}

#[test]
fn the_file_is_well_formed_and_special_characters_are_escaped() {
    let title = "title = \"\"\"<b>Tom's \"&\" stair</b>\"\"\"";
    let svg = Drawn::of(&job(&[("title", title)]), many_findings()).svg();
    assert_balanced(&svg);
    assert!(svg.contains("&lt;b&gt;Tom's &quot;&amp;&quot; stair&lt;/b&gt;"));
    for (_, drawn) in cases() {
        assert_balanced(&drawn.svg());
    }
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    let drawn = Drawn::of(STARTER, many_findings());
    assert_eq!(drawn.svg(), drawn.svg());
    assert_eq!(drawn.svg(), Drawn::of(STARTER, many_findings()).svg());
}

#[test]
fn no_negative_zero_no_number_that_is_none_and_no_promise() {
    for (name, drawn) in cases() {
        let svg = drawn.svg();
        for bad in ["\"-0\"", " -0 ", "-0.0 ", "NaN", "inf\"", "inf ", "-0\"", "M-0", "L-0"] {
            assert!(!svg.contains(bad), "{name}: {bad}");
        }
        assert!(!svg.to_lowercase().contains("compliant"), "{name}");
    }
}

#[test]
fn every_finding_stands_on_the_sheets_and_refusals_come_first() {
    for paper in [Paper::Tabloid, Paper::A4] {
        let drawn = Drawn::of(&flush_metric(), many_findings());
        let sheets = drawn.sheets(paper);
        let of = |word: &str| {
            let starts = |text: &&Text| text.content.starts_with(word);
            sheets.iter().flat_map(Page::texts).filter(starts).count()
        };
        assert_eq!(
            (of("Refusal, WAIVED, tread"), of("Warning, tread"), of("Note, tread")),
            (6, 7, 7)
        );
        let all: Vec<&Text> = sheets.iter().flat_map(Page::texts).collect();
        let first = |word: &str| all.iter().position(|text| text.content.starts_with(word));
        assert!(first("Refusal, WAIVED") < first("Warning"));
        assert!(all.iter().all(|text| !text.content.contains("report.json")));
    }
}

#[test]
fn the_foot_shows_the_drop_as_an_equation_and_the_square_its_settings() {
    let drawn = Drawn::of(&open_risers(), Vec::new());
    let sheet = drawn.sheet();
    let on_row_of = |name: &str| {
        let row = sheet.texts().find(|text| text.content == name).unwrap();
        let behind = sheet.texts().filter(|text| {
            (text.at.y - row.at.y).abs() < 1e-6
                && text.at.x > row.at.x
                && text.content.ends_with("in")
        });
        behind.map(|text| text.content.clone()).next().unwrap()
    };
    let flight = &drawn.flight;
    let rows = [
        ("first riser cut", flight.first_riser_cut()),
        ("tread", flight.tread_thickness),
        ("finish to come", flight.finish_to_come),
    ];
    for (name, length) in rows {
        assert_eq!(on_row_of(name), sixteenths(length), "{name}");
    }
    let sum = flight.first_riser_cut() + flight.tread_thickness - flight.finish_to_come;
    assert!((sum - flight.unit_rise).as_mm().abs() < 1e-9);
    for (name, length) in
        [("unit rise on the tongue", flight.unit_rise), ("unit run on the body", flight.unit_run)]
    {
        let row = sheet.texts().find(|text| text.content == name).unwrap();
        let value = |text: &Text| text.content == length.to_string();
        assert!(sheet.texts().any(|t| value(t) && (t.at.y - row.at.y).abs() < 1e-6), "{name}");
    }
}

#[test]
fn the_zero_stands_at_its_level_and_both_surfaces_are_named() {
    let to_come = job(&[("# finish_to_come", "finish_to_come = \"3/4 in\"")]);
    for (text, names) in [
        (STARTER.to_string(), vec!["finished floor: stringer stands here"]),
        (to_come, vec!["finished floor", "stringer stands here"]),
    ] {
        let drawn = Drawn::of(&text, Vec::new());
        let first = drawn.sheets(Paper::Tabloid).remove(0);
        for name in names {
            assert!(first.texts().any(|text| text.content == name), "{name}");
        }
        // The circles of the running dimensions: that of the heights is the leftmost.
        let circles = first.items().filter_map(|item| match item {
            Item::Stroke { path: Path::Arc { center, sweep_deg, .. }, .. }
                if *sweep_deg == 360.0 =>
            {
                Some(*center)
            }
            _ => None,
        });
        let circles: Vec<Point> = circles.collect();
        assert_eq!(circles.len(), 3);
        let level = |text: &Text, circle: &Point| {
            text.content == "0 in"
                && text.turn_deg == 0.0
                && (text.at.y + text.height_mm / 2.0 - circle.y).abs() < 1e-9
                && text.at.x < circle.x
                && circle.x - text.at.x < 6.0
        };
        assert!(first.texts().any(|text| circles.iter().any(|circle| level(text, circle))));
    }
}

#[test]
fn scales_are_those_of_the_paper_and_a_usual_flight_fills_it() {
    for (text, tape, scale) in
        [(STARTER.to_string(), Tape::Inches, 16.0), (flush_metric(), Tape::Metric, 30.0)]
    {
        let drawn = Drawn::of(&text, Vec::new());
        tape.tells(|| {
            let layout = drawn.shown(|subject| Layout::of(subject, Paper::of_tape()));
            assert!(layout.scale <= scale, "1 : {}", layout.scale);
        });
    }
}

#[test]
fn a_notch_that_was_left_out_is_not_dimensioned() {
    let with = Drawn::of(STARTER, Vec::new()).sheet();
    let too_wide = Drawn::of(&job(&[("width = \"3 1/2 in\"", "width = \"40 in\"")]), Vec::new());
    assert!(too_wide.outline.notch_problem().is_some());
    let names_notch = |sheet: &Page| sheet.texts().any(|text| text.content.starts_with("notch "));
    assert!(names_notch(&with) && !names_notch(&too_wide.sheet()));
}

#[test]
fn the_drop_and_a_pattern_that_is_smaller_are_said_in_words() {
    let says = |text: &str, words: &str| {
        Drawn::of(text, Vec::new()).sheet().texts().any(|t| t.content.contains(words))
    };
    assert!(says(STARTER, "Drop taken: 1 in (25.4 mm), once, at the foot."));
    let to_come =
        |length: &str| job(&[("# finish_to_come", &format!("finish_to_come = \"{length}\""))]);
    assert!(says(&to_come("1 3/4 in"), "The foot is higher by 3/4 in (19.1 mm)"));
    assert!(says(&to_come("1 in"), "No drop"));
    let pencil = job(&[("# follow", "follow = { with = \"pencil\", lead = \"1/32 in\" }")]);
    assert!(says(&pencil, "its pattern is 0.0156 in, 0.397 mm smaller"));
    assert!(says(STARTER, "nothing compensated"));
}

#[test]
fn the_scale_bar_is_as_long_as_it_says() {
    let sheet = Drawn::of(STARTER, Vec::new()).sheet();
    let has_bar = |length: f64| {
        sheet.items().any(|item| match item {
            Item::Stroke { path: Path::Closed(points), line: Line::Rule } => {
                Bounds::around(points.iter().copied())
                    .is_some_and(|b| (b.width() - length).abs() < 1e-9)
            }
            _ => false,
        })
    };
    assert!(has_bar(100.0) && has_bar(4.0 * 25.4));
}

/// An invented porch stair with skirts on both sides, as the job text has them.
fn with_skirts(
    (risers, metric): (usize, bool),
    sides: (&str, &str),
    at_risers: &str,
) -> crate::pipeline::workup::Workup {
    let (rise, run) = (7.25 * risers as f64, 10.25);
    let unit = |inches: f64| {
        if metric { format!("\"{:.1} mm\"", inches * 25.4) } else { format!("\"{inches} in\"") }
    };
    let text = format!(
        "title = \"Porch\"\nrules = \"us-osha\"\n[rise]\ntotal = {}\nrisers = \
            {risers}\n[tread]\ncut = {}\noverhang = {}\n\
         thickness = {}\nriser_board = {}\n[head]\nfinish = {}\nmeets \
         = \"one-down\"\n[board]\nwidth = {}\nthickness = {}\n\
         [skirts]\nleft = \"{}\"\nright = \"{}\"\nthickness = {}\nwidth = {}\nat_risers \
         = \"{at_risers}\"\n",
        unit(rise),
        unit(run),
        unit(1.0),
        unit(1.0),
        unit(0.75),
        unit(1.0),
        unit(11.25),
        unit(1.5),
        sides.0,
        sides.1,
        unit(0.75),
        unit(12.5),
    );
    let job = read_job("job.toml", &text, &|_| unreachable!()).unwrap();
    crate::pipeline::workup::Workup::of(&job)
}

#[test]
fn every_notch_of_a_skirt_has_its_figures_and_no_text_lies_on_another() {
    let papers = [Paper::Tabloid, Paper::Letter, Paper::A3, Paper::A4];
    for (risers, metric) in [(3, false), (4, true), (7, false), (13, true), (16, false)] {
        for sides in [("open", "wall"), ("open", "open"), ("wall", "open")] {
            for at_risers in ["butt", "mitre"] {
                let workup = with_skirts((risers, metric), sides, at_risers);
                let outline = workup.outline.as_ref().unwrap();
                for paper in papers {
                    let name = format!("{risers} risers, {sides:?}, {at_risers}, {paper:?}");
                    let pages = workup.job.tape.tells(|| skirts(&workup, outline, Some(paper)));
                    let frame = room(paper).grown(PAD_MM);
                    for page in &pages {
                        let texts: Vec<&Text> = page.texts().collect();
                        for (i, text) in texts.iter().enumerate() {
                            let b = text.bounds();
                            let out = frame.distance(b.min).max(frame.distance(b.max));
                            assert!(out <= 0.0, "{name}: {text:?} leaves the frame");
                            for other in &texts[i + 1..] {
                                let lies_on = boxes_overlap(ink_box(text), ink_box(other));
                                assert!(!lies_on, "{name}: {} on {}", text.content, other.content);
                            }
                        }
                    }
                    let texts: Vec<&Text> = pages.iter().flat_map(|page| page.texts()).collect();
                    let open = [sides.0, sides.1].into_iter().filter(|of| *of == "open").count();
                    let told =
                        |words: &str| texts.iter().filter(|text| text.content == words).count();
                    // The last nose point of each open skirt, from its toe, by hand.
                    let skirt = &workup
                        .beside
                        .skirts
                        .iter()
                        .find(|of| of.kind == crate::job::SkirtKind::Open);
                    let board = skirt.unwrap().skirt.in_board_frame();
                    let length = board.bounds().width();
                    let (rise, run) = (workup.flight.unit_rise, workup.flight.unit_run);
                    let pitch = rise.as_mm().hypot(run.as_mm());
                    let first = workup.flight.first_riser_cut() - workup.flight.base();
                    let first = first.as_mm() * rise.as_mm() / pitch;
                    let last = first + pitch * (workup.flight.treads as f64 - 1.0);
                    assert!(last < length, "{name}");
                    let last = workup.job.tape.tells(|| on_tape(Length::mm(last)));
                    assert_eq!(told(&last), open, "{name}: {last}");
                    // Where the paper has room for them: the rise and the run at each notch.
                    if paper == Paper::Tabloid && risers <= 7 {
                        let run = workup.job.tape.tells(|| on_tape(run));
                        assert!(told(&run) >= open * (workup.flight.treads - 1), "{name}: {run}");
                    }
                }
            }
        }
    }
}
