//! The bench sheet: its values against sums of their own, its page as bytes.

use crate::common::{Stair, profile_with, set_of, tread};
use seatcut::bundle::Bundle;
use seatcut::output::Stamp;
use seatcut::output::bench::{Played, page};
use seatcut::output::content::{BenchSheet, Check, Mark, RunOf, TableRows, Topic, bench_sheet};
use seatcut::output::dxf::DxfVersion;
use seatcut::output::gcode::gcode_and_lines;
use seatcut::pipeline::numbers::Value;
use seatcut::pipeline::set::Set;
use seatcut::pipeline::workup::Workup;
use seatcut::units::sixteenths;

fn worked(stair: &Stair) -> (BenchSheet, Workup) {
    let job = stair.job();
    let workup = Workup::of(&job);
    (bench_sheet(&workup), workup)
}

fn sheet(stair: &Stair) -> BenchSheet {
    worked(stair).0
}

/// The marks of every table of the section, in order.
fn marks(sheet: &BenchSheet) -> Vec<Vec<Mark>> {
    let tables = &sheet.section(Topic::Marks).unwrap().tables;
    tables
        .iter()
        .map(
            |t| {
                if let TableRows::Marks(rows) = &t.rows { rows.clone() } else { panic!("no marks") }
            },
        )
        .collect()
}

fn checks(sheet: &BenchSheet) -> Vec<Check> {
    let TableRows::Checks(rows) = &sheet.section(Topic::FitCard).unwrap().tables[0].rows else {
        panic!("no checks")
    };
    rows.clone()
}

/// The value of the check whose label begins so, in inches.
fn predicted(sheet: &BenchSheet, label: &str) -> f64 {
    let checks = checks(sheet);
    let found = checks.iter().find(|c| c.label.starts_with(label));
    let labels: Vec<&String> = checks.iter().map(|c| &c.label).collect();
    found.unwrap_or_else(|| panic!("no `{label}` in {labels:?}")).predicted.as_inches()
}

/// The words or the tape reading of a figure whose label begins so, from any section.
fn figure(sheet: &BenchSheet, topic: Topic, label: &str) -> Option<Value> {
    let tables = sheet.section(topic).unwrap().tables.iter();
    let rows = tables
        .filter_map(|t| if let TableRows::Figures(rows) = &t.rows { Some(rows) } else { None })
        .flatten();
    rows.clone().find(|row| row.label.starts_with(label)).map(|row| row.value.clone())
}

fn close(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-9, "{a} for {b}");
}

/// Two boards' worth of figures by hand: rise and run of one step, treads, tread thickness, finish
/// to come, head run.
struct ByHand {
    r: f64,
    g: f64,
    m: f64,
    t: f64,
    b: f64,
    last: f64,
    w: f64,
}

impl ByHand {
    /// The seat ends where the lower edge, the board's depth below the nose line, reaches the
    /// floor: by similar triangles.
    fn heel(&self) -> f64 {
        let first = self.r - self.t + self.b;
        (self.w * self.r.hypot(self.g) / self.g - first) * self.g / self.r
    }

    fn cut(&self, k: f64) -> f64 {
        k * self.r - self.t + self.b
    }

    fn head_x(&self) -> f64 {
        (self.m - 1.0) * self.g + self.last
    }
}

#[test]
fn the_predicted_values_are_those_of_a_triangle_worked_by_hand() {
    let one_down = Stair {
        head: "meets = \"one-down\"\nfinish = \"1 in\"\nspacer = \"1 1/2 in\"".into(),
        ..Stair::default()
    };
    let flush = Stair {
        rise: "total = \"51 3/8 in\"\nrisers = 7\nfinish_to_come = \"1/2 in\"".into(),
        head: "meets = \"flush\"\nfinish = \"3/4 in\"\ntop_tread = \"9 in\"".into(),
        board: "width = \"12 in\"\nthickness = \"1 1/2 in\"\ntip_inset = \"1/8 in\"".into(),
        ..Stair::default()
    };
    let r = 51.375 / 7.0;
    let cases = [
        (one_down, ByHand { r, g: 10.25, m: 6.0, t: 1.0, b: 0.0, last: 10.25 - 1.5, w: 11.25 }),
        (flush, ByHand { r, g: 10.25, m: 7.0, t: 1.0, b: 0.5, last: 9.0, w: 12.0 - 0.125 }),
    ];
    for (stair, hand) in cases {
        let sheet = sheet(&stair);
        assert!((6..=10).contains(&checks(&sheet).len()), "{}", checks(&sheet).len());
        let top_x = (hand.m - 1.0) * hand.g;
        let top_y = hand.cut(hand.m);
        close(predicted(&sheet, "tread cut 1 above"), hand.cut(1.0));
        close(predicted(&sheet, &format!("tread cut {} above", hand.m)), top_y);
        close(predicted(&sheet, "toe to heel"), hand.heel());
        close(predicted(&sheet, "nose 1 to nose 2"), hand.r.hypot(hand.g));
        close(predicted(&sheet, "toe to nose"), top_x.hypot(top_y));
        close(predicted(&sheet, "heel to nose"), (top_x - hand.heel()).hypot(top_y));
        close(predicted(&sheet, "first riser cut to top plumb cut"), hand.head_x());
        let lower_edge_at_head = (hand.head_x() - hand.heel()) * hand.r / hand.g;
        close(predicted(&sheet, "top plumb cut"), top_y - lower_edge_at_head);
        close(predicted(&sheet, &format!("tread cut {}, back", hand.m)), 0.0);
        assert!(
            checks(&sheet).iter().all(|c| c.on_pattern.is_none()),
            "a pattern of the part's size is the part"
        );
    }
}

#[test]
fn the_contact_stands_on_the_card_where_the_rim_is_known_and_the_hang_line_where_it_is_not() {
    let known = Stair {
        head: "meets = \"one-down\"\nfinish = \"1 in\"\nrim_depth = \"9 1/4 in\"".into(),
        ..Stair::default()
    };
    // One riser down and level with the framing less what the tread has over the finish: the rim's
    // depth less the hang line.
    close(predicted(&sheet(&known), "contact height"), 9.25 - 51.375 / 7.0);
    close(predicted(&sheet(&Stair::default()), "hang line"), 51.375 / 7.0);
}

#[test]
fn a_notch_at_the_toe_moves_the_checks_to_what_is_left() {
    let stair = Stair {
        tie_plate:
            "width = \"3 1/2 in\"\nheight = \"1 1/2 in\"\nset_back = \"0 in\"\nclearance = \"1/16 \
            in\""
                .into(),
        ..Stair::default()
    };
    let (with, without) = (sheet(&stair), sheet(&Stair::default()));
    close(predicted(&with, "plate notch to heel"), predicted(&without, "toe to heel") - 3.5625);
    let (x, y): (f64, f64) = (5.0 * 10.25, 6.0 * 51.375 / 7.0 - 1.0);
    close(predicted(&with, "lower end of the first riser cut to nose 6"), x.hypot(y - 1.5625));
    close(predicted(&with, "tread cut 1 above"), predicted(&without, "tread cut 1 above"));
}

#[test]
fn a_stair_of_one_tread_has_a_card_too() {
    let stair = Stair { rise: "total = \"14 in\"\nrisers = 2".into(), ..Stair::default() };
    let sheet = sheet(&stair);
    assert!((6..=10).contains(&checks(&sheet).len()));
    close(predicted(&sheet, "toe to top of the plumb cut"), 10.25_f64.hypot(6.0));
}

#[test]
fn a_smaller_pattern_has_values_of_its_own() {
    let d = 0.125;
    let stair = Stair {
        cut: "makes = \"pattern\"\nmachine = \"router-table\"\nmaterial = \"plywood-12\"\n\
              follow = { with = \"bushing\", outside = \"3/4 in\", bit = \"1/2 in\" }"
            .into(),
        ..Stair::default()
    };
    let sheet = sheet(&stair);
    let pattern = |label: &str| {
        let check = checks(&sheet).into_iter().find(|c| c.label.starts_with(label)).unwrap();
        check.on_pattern.unwrap().as_inches()
    };
    // Faces that look opposite ways come closer by twice the inset, corners of one kind keep their
    // distance.
    close(pattern("tread cut 1 above"), predicted(&sheet, "tread cut 1 above") - 2.0 * d);
    close(pattern("first riser cut to top"), predicted(&sheet, "first riser cut to top") - 2.0 * d);
    close(pattern("nose 1 to nose 2"), predicted(&sheet, "nose 1 to nose 2"));
}

#[test]
fn marks_come_from_exact_values_and_their_residuals_say_what_the_tape_loses() {
    let sheet =
        sheet(&Stair { rise: "total = \"51 3/8 in\"\nrisers = 7".into(), ..Stair::default() });
    let [edge, finished, cuts] = &marks(&sheet)[..] else { panic!("three tables of marks") };
    let (r, g) = (51.375 / 7.0, 10.25);
    let pitch = f64::atan2(r, g);
    for (i, mark) in edge[..6].iter().enumerate() {
        close(mark.at.as_inches(), (r - 1.0) * pitch.sin() + i as f64 * r.hypot(g));
    }
    for (i, mark) in finished.iter().enumerate() {
        close(mark.at.as_inches(), (i + 1) as f64 * r);
    }
    for (i, mark) in cuts[..6].iter().enumerate() {
        close(mark.at.as_inches(), (i + 1) as f64 * r - 1.0);
    }
    for mark in marks(&sheet).iter().flatten() {
        close(mark.on_tape().as_inches() - mark.residual().as_inches(), mark.at.as_inches());
        assert!(mark.residual().as_inches().abs() <= 1.0 / 32.0 + 1e-9, "{mark:?}");
        let count = mark.on_tape().as_inches() * 16.0;
        close(count, count.round());
    }
    // Step by step the printed marks differ by what the residuals differ: over the whole pole they
    // sum to the rise.
    let steps: f64 =
        finished.windows(2).map(|p| (p[1].on_tape() - p[0].on_tape()).as_inches()).sum();
    let lost: f64 =
        finished.windows(2).map(|p| (p[1].residual() - p[0].residual()).as_inches()).sum();
    close(finished[0].on_tape().as_inches() + steps, 51.375);
    close(finished[0].residual().as_inches() + lost, 0.0);
    // Summing the rounded rise would not have come there.
    let rounded = 7.0 * (r * 16.0).round() / 16.0;
    assert!((rounded - 51.375).abs() > 0.1, "{rounded}");
}

/// Common practice, no source: 108 in over 14, rounded to 1/16 and stepped off, loses 3/8 in.
#[test]
fn the_sheet_says_what_stepping_off_a_rounded_rise_would_lose() {
    let stair = Stair { rise: "total = \"108 in\"\nrisers = 14".into(), ..Stair::default() };
    let notes = sheet(&stair).section(Topic::Poles).unwrap().notes.join(" ");
    assert!(notes.contains("7 11/16 in 14 times would end 0.375 in too low"), "{notes}");
}

#[test]
fn the_story_pole_of_a_flush_flight_ends_at_the_upper_finish() {
    let stair = Stair {
        head: "meets = \"flush\"\nfinish = \"1 in\"\ntop_tread = \"10 in\"".into(),
        ..Stair::default()
    };
    let finished = marks(&sheet(&stair))[1].clone();
    assert_eq!(finished.len(), 7);
    assert!(finished[6].label.contains("level with the upper finish"));
    close(finished[6].at.as_inches(), 51.375);
}

#[test]
fn the_cut_list_counts_along_the_stair_and_invents_nothing_across_it() {
    let stair = Stair {
        cut: "makes = \"stringers\"\nquantity = 3\nmachine = \"router-table\"\nmaterial \
            = \"plywood-18\""
            .into(),
        ..Stair::default()
    };
    let sheet = sheet(&stair);
    let tables = &sheet.section(Topic::CutList).unwrap().tables;
    let TableRows::Pieces(pieces) = &tables[0].rows else { panic!("no pieces") };
    let piece =
        |what: &str| pieces.iter().find(|p| p.what == what).unwrap_or_else(|| panic!("no {what}"));
    assert_eq!(piece("stringers").count, Value::Count(3));
    assert_eq!(piece("treads").count, Value::Count(6));
    assert_eq!(piece("riser boards").count, Value::Count(5));
    assert_eq!(piece("lowest riser board").count, Value::Count(1));
    assert_eq!(piece("treads").length, Value::Words("width of the stair".into()));
    let Value::Length(width) = piece("treads").width else { panic!("a width") };
    close(width.as_inches(), 11.25);
    // Beside a tread that butts, down to its cut; the lowest stands on the floor.
    let Value::Length(height) = piece("riser boards").width else { panic!("a height") };
    close(height.as_inches(), 51.375 / 7.0);
    let Value::Length(lowest) = piece("lowest riser board").width else { panic!("a height") };
    close(lowest.as_inches(), 51.375 / 7.0 - 1.0);
    assert_eq!(piece("strongback").count, Value::Words("decide".into()));
    // Cut from sheets: no board is listed for it.
    assert_eq!(figure(&sheet, Topic::CutList, "stock of 8 ft"), None);
    assert_eq!(figure(&sheet, Topic::CutList, "plywood-18"), Some(Value::Count(3)));
    let marked = Stair::default();
    let (marked_sheet, marked_workup) = worked(&marked);
    // A blank of some 73 in: 8 ft is the shortest that holds it.
    let blank = marked_workup.outline.unwrap().blank_length();
    let Some(Value::Length(slack)) = figure(&marked_sheet, Topic::CutList, "stock of 8 ft") else {
        panic!("no 8 ft")
    };
    close((slack + blank).as_inches(), 96.0);
    let widths = sheet.section(Topic::Positions).unwrap();
    assert!(format!("{widths:?}").contains("not given"));
}

/// What an item says it is about decides where it stands, not its wording.
#[test]
fn the_rule_sets_word_on_width_and_spacing_stands_with_the_positions() {
    let item = |about: &str, what: &str| {
        format!(
            "[[unchecked]]\nabout = \"{about}\"\nwhat = \"{what}\"\nlimit = \"of {about}\"\nsource \
            = \"invented\"\n"
        )
    };
    let items = [
        ("handrail", "width and spacing"),
        ("clear-width", "breadth"),
        ("stringer-spacing", "how far apart"),
    ];
    let items: String = items.map(|(about, what)| item(about, what)).concat();
    let rules = format!("kind = \"rules\"\nabout = \"invented\"\naim = \"7 in\"\n{items}");
    let stair = Stair {
        rules: "own.toml".into(),
        files: vec![("own.toml".into(), rules)],
        ..Stair::default()
    };
    let said = |label: &str| figure(&sheet(&stair), Topic::Positions, label);
    assert_eq!(said("rule set: breadth"), Some(Value::Words("of clear-width".into())));
    assert_eq!(said("rule set: how far apart"), Some(Value::Words("of stringer-spacing".into())));
    assert_eq!(said("rule set: width"), None);
}

#[test]
fn a_blank_longer_than_any_board_is_said_to_be() {
    let stair = Stair { rise: "total = \"151 in\"\nrisers = 20".into(), ..Stair::default() };
    assert_eq!(figure(&sheet(&stair), Topic::CutList, "stock"), Some(Value::Words("none".into())));
}

#[test]
fn treads_laid_of_boards_are_counted_by_boards() {
    let boards =
        "boards = { count = 3, width = \"3 1/2 in\", gap = \"1/4 in\", gap_at_riser = true }";
    let stair = Stair {
        tread: tread("10 1/4 in", "1 in", "1 in", "3/4 in").replace("cut = \"10 1/4 in\"", boards),
        ..Stair::default()
    };
    let sheet = sheet(&stair);
    let TableRows::Pieces(pieces) = &sheet.section(Topic::CutList).unwrap().tables[0].rows else {
        panic!("no pieces")
    };
    assert!(pieces.iter().any(|p| p.what == "tread boards" && p.count == Value::Count(18)));
}

#[test]
fn a_waiver_stands_on_the_sheet_with_its_reason() {
    let stair = Stair {
        tread: tread("9 3/4 in", "1 in", "1 in", "3/4 in"),
        waive: "[[waive]]\nrule = \"unit-run-low\"\nreason = \"invented: an attic <ladder>\""
            .into(),
        ..Stair::default()
    };
    let (sheet, workup) = worked(&stair);
    let cautions = format!("{:?}", sheet.section(Topic::Cautions).unwrap());
    assert!(cautions.contains("WAIVED unit-run-low") && cautions.contains("an attic <ladder>"));
    let html = html(&workup);
    assert!(html.contains("an attic &lt;ladder&gt;") && !html.contains("<ladder>"));
}

/// The page of a piece on stock of its own, with its programs as they are run.
fn html(workup: &Workup) -> String {
    let job = &workup.job;
    let planned = workup.planned.as_ref().unwrap();
    let stamp = Stamp::of(workup);
    let played = |(i, program)| {
        let (text, lines) =
            gcode_and_lines(&stamp, &job.cut.machine, planned.path.ledger(), program);
        let run = RunOf {
            file: format!("program-{}.nc", i + 1),
            is_frame: false,
            is_own: true,
            machine: &job.cut.machine,
            material: &job.cut.material.name,
            program,
            times: 1,
            numbers: Vec::new(),
        };
        Played { run, text, lines, pieces: vec![planned.piece_on_stock()] }
    };
    let played: Vec<Played<'_>> = planned.programs().enumerate().map(played).collect();
    page(&bench_sheet(workup), &played)
}

#[test]
fn the_page_is_one_file_that_asks_for_nothing_and_is_the_same_every_time() {
    let stair = long_stair();
    let (sheet, workup) = worked(&stair);
    assert_eq!(workup.flight.treads, 14);
    let html = html(&workup);
    assert!(html.len() < 1_000_000, "{} bytes", html.len());
    assert_eq!(html, self::html(&Workup::of(&stair.job())));
    for word in [
        "http:",
        "https:",
        "url(",
        "@import",
        "import(",
        "eval(",
        "innerHTML",
        "Function(",
        "fetch(",
        "onclick",
        "NaN",
        "inf,",
    ] {
        let namespace = html.replace("http://www.w3.org/2000/svg", "");
        assert!(!namespace.contains(word), "{word}");
    }
    for section in &sheet.sections {
        assert!(html.contains(&format!("<section id=\"{}\"", section.topic.name())));
        assert!(html.contains(&format!("href=\"#{}\"", section.topic.name())));
    }
    assert!(html.contains(&sixteenths(workup.flight.unit_rise)));
    let boxes = sheet.section(Topic::FitCard).unwrap().tables.iter();
    let boxes = boxes.map(|table| match &table.rows {
        TableRows::Checks(rows) => rows.len(),
        _ => 0,
    });
    assert_eq!(html.matches("type=\"text\"").count(), boxes.sum::<usize>());
    let ids: Vec<&str> =
        html.split(" id=\"").skip(1).filter_map(|of| of.split('"').next()).collect();
    let distinct: std::collections::BTreeSet<&&str> = ids.iter().collect();
    assert_eq!(distinct.len(), ids.len(), "no id stands twice: {ids:?}");
}

/// The rows of the run order, cell by cell.
fn run_rows(sheet: &BenchSheet) -> Vec<Vec<String>> {
    let section = sheet.section(Topic::RunOrder).unwrap();
    let TableRows::Plain { rows, .. } = &section.tables[0].rows else { panic!("no run order") };
    rows.iter().map(|row| row.iter().map(ToString::to_string).collect()).collect()
}

#[test]
fn the_run_order_has_every_program_with_its_tool_and_sums_their_times() {
    let stair = long_stair();
    let (sheet, workup) = worked(&stair);
    let rows = run_rows(&sheet);
    let programs: Vec<_> = workup.planned.as_ref().unwrap().programs().collect();
    assert_eq!(programs.len(), 2, "marks and the cut");
    assert_eq!(rows.len(), programs.len() + 1);
    assert!(rows[0][2].starts_with("pointed cutter") && rows[1][2].starts_with("straight cutter"));
    assert!(rows[1][2].contains("1/4 in"), "{:?}", rows[1]);
    let seconds = |text: &str| {
        let words: Vec<&str> = text.split(' ').collect();
        words
            .chunks(2)
            .map(|pair| match *pair {
                [count, "min"] => 60 * count.parse::<u64>().unwrap(),
                [count, "s"] => count.parse::<u64>().unwrap(),
                _ => panic!("{text}"),
            })
            .sum::<u64>()
    };
    for (row, program) in rows.iter().zip(&programs) {
        assert_eq!(seconds(&row[5]), program.time_s.round() as u64, "{row:?}");
        let steps: f64 = program.step_times_s(&workup.job.cut.machine).iter().sum();
        close(steps, program.time_s);
    }
    let sum: u64 = rows[..2].iter().map(|row| seconds(&row[7])).sum();
    assert_eq!(seconds(&rows[2][7]), sum);
    let machine = format!("{:?}", sheet.section(Topic::Machine).unwrap());
    for file in ["program-1.nc", "program-2.nc", "pointed cutter"] {
        assert!(machine.contains(file), "the machine sheet leaves out {file}");
    }
}

/// What a set's own files say: every program on its bench sheet, the frame first.
#[test]
fn a_set_tells_every_program_in_the_order_they_are_run() {
    let samples = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("output-samples");
    for entry in std::fs::read_dir(samples).unwrap() {
        let dir = entry.unwrap().path();
        let html = std::fs::read_to_string(dir.join("bench.html")).unwrap();
        // Laid out by hand: nothing is run.
        if !dir.join("frame.nc").exists() {
            assert!(!html.contains("id=\"run-order\""), "{}", dir.display());
            continue;
        }
        let part = |id: &str| {
            let from = html.find(&format!("<section id=\"{id}\"")).unwrap();
            &html[from..from + html[from..].find("</section>").unwrap()]
        };
        let mut files: Vec<String> = std::fs::read_dir(&dir)
            .unwrap()
            .map(|file| file.unwrap().file_name().into_string().unwrap())
            .filter(|file| file.ends_with(".nc"))
            .collect();
        files.sort();
        assert_eq!(files[0], "frame.nc");
        let order = part("run-order");
        let places: Vec<_> = files.iter().map(|file| order.find(&format!(">{file}<"))).collect();
        assert!(places.iter().all(Option::is_some), "{files:?}: {places:?}");
        assert!(places.windows(2).all(|pair| pair[0] < pair[1]), "{files:?}: {places:?}");
        // The page of several jobs has the order alone; each has a bench sheet to print of its own.
        if !html.contains("id=\"test-fit\"") {
            assert!(dir.join("corner-deck-stair-flight-1-of-2/bench.pdf").exists());
            continue;
        }
        assert!(html.find("id=\"run-order\"") < html.find("id=\"test-fit\""), "near the beginning");
        for file in &files[1..] {
            assert!(part("machine").contains(file.as_str()), "{}: {file}", dir.display());
        }
        if let Ok(picture) = std::fs::read_to_string(dir.join("sheet-1.svg")) {
            for words in [files[1].as_str(), "cut once", "offcut ", "front edge of the table"] {
                assert!(picture.contains(words), "{}: {words}", dir.display());
            }
            assert_eq!(picture.matches("#ffffff").count(), 1, "only the paper is white");
        }
    }
}

fn long_stair() -> Stair {
    Stair {
        rise: "total = \"107 in\"\nrisers = 15".into(),
        cut: "makes = \"pattern\"\nmachine = \"./m.toml\"\nmaterial = \"./s.toml\"\ncorners \
            = \"riser\""
            .into(),
        files: vec![
            (
                "./m.toml".into(),
                profile_with("machine", "router-table", &[("x = \"96 in\"", "x = \"240 in\"")]),
            ),
            (
                "./s.toml".into(),
                profile_with(
                    "material",
                    "plywood-12",
                    &[("length = \"2440 mm\"", "length = \"200 in\"")],
                ),
            ),
        ],
        ..Stair::default()
    }
}

#[test]
fn every_step_knows_its_lines_of_the_program() {
    for stair in [long_stair(), Stair::default()] {
        let job = stair.job();
        let workup = Workup::of(&job);
        let planned = workup.planned.as_ref().unwrap();
        let (stamp, machine, ledger) =
            (Stamp::of(&workup), &job.cut.machine, planned.path.ledger());
        let (text, lines) = gcode_and_lines(&stamp, machine, ledger, &planned.program);
        assert_eq!(lines.len(), planned.program.steps.len());
        assert!(
            lines.windows(2).all(|pair| pair[0].end == pair[1].start),
            "the lines follow each other"
        );
        assert_eq!(
            lines.last().unwrap().end,
            text.lines().count(),
            "after the last step comes the end word"
        );
        let first = text.lines().nth(lines[0].start - 1).unwrap();
        assert!(first.starts_with("G0 Z"), "{first}");
    }
}

#[test]
fn a_program_that_is_run_for_each_piece_says_which_number_to_write_on_by_hand() {
    let with = |quantity: usize| {
        let cut = format!(
            "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial \
                = \"board-2x12\"\nquantity \
            = {quantity}"
        );
        set_of(Stair { cut, ..Stair::default() }.job())
    };
    let of = |set: &Set, name: &str| {
        let bundle = Bundle::of(set, DxfVersion::R2000).unwrap();
        let artifact = bundle.artifacts().iter().find(|of| of.name == name).expect("it is there");
        String::from_utf8(artifact.bytes.clone()).unwrap()
    };
    let three = with(3);
    let numbers: Vec<String> = three
        .numbered()
        .iter()
        .flat_map(|of| of.stock().map(|stock| of.number_on(stock)).collect::<Vec<String>>())
        .collect();
    assert_eq!(numbers.len(), 3, "{numbers:?}");
    let program = of(&three, "program.nc");
    assert!(program.contains("Write its number on it by hand"), "{program}");
    let page = of(&three, "bench.html");
    for number in &numbers {
        assert_eq!(page.matches(&format!(">{number}<")).count(), 1, "{number}");
    }
    assert_eq!(page.matches("[   ]").count(), 3);
    assert!(page.contains("program.nc, run by run"));
    let one = with(1);
    assert!(!of(&one, "program.nc").contains("by hand"));
    assert!(!of(&one, "bench.html").contains("run by run"));
}
