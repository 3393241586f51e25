//! The order for a fabrication shop: its files, digests, fields, refusals.

use crate::common::{GARDEN_STEPS, Stair, code, seatcut};
use sha2::{Digest, Sha256};
use std::collections::HashMap;
use std::fs;
use std::path::PathBuf;
use std::process::{Command, Output};

const SET: [&str; 6] =
    ["SHA256SUMS", "nominal.dxf", "order.csv", "order.pdf", "order.txt", "skirt.dxf"];

fn err(run: &Output) -> String {
    String::from_utf8_lossy(&run.stderr).into_owned()
}

/// A scratch directory with a job in it.
struct Bench {
    dir: tempfile::TempDir,
}

impl Bench {
    fn new(job: &str) -> Self {
        let bench = Self { dir: tempfile::tempdir().unwrap() };
        fs::write(bench.path("job.toml"), job).unwrap();
        bench
    }

    fn starter() -> Self {
        Self::new(GARDEN_STEPS)
    }

    fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    fn run(&self, command: &str, more: &[&str]) -> Output {
        let (job, out) =
            (self.path("job.toml").display().to_string(), self.path("out").display().to_string());
        seatcut(&[&[command, &job, "-o", &out], more].concat())
    }

    fn ordered(job: &str) -> Self {
        let bench = Self::new(job);
        let run = bench.run("order", &[]);
        assert_eq!(code(&run), 0, "{}", err(&run));
        bench
    }

    fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path("out").join(name)).unwrap()
    }

    fn names(&self, dir: &str) -> Vec<String> {
        let entries = fs::read_dir(self.path(dir)).unwrap();
        let mut names: Vec<String> =
            entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    /// The table, each row by the names of its header.
    fn table(&self) -> Vec<HashMap<String, String>> {
        let table = self.read("order.csv");
        // It says its alphabet first.
        let mut records = records(table.strip_prefix('\u{feff}').unwrap());
        let header = records.remove(0);
        let row = |record: Vec<String>| {
            assert_eq!(record.len(), header.len(), "{record:?}");
            header.iter().cloned().zip(record).collect()
        };
        records.into_iter().map(row).collect()
    }
}

/// The records of a table by RFC 4180, read character by character.
fn records(text: &str) -> Vec<Vec<String>> {
    let mut records = vec![vec![String::new()]];
    let mut quoted = false;
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        let field = records.last_mut().unwrap().last_mut().unwrap();
        match c {
            '"' if quoted && chars.peek() == Some(&'"') => field.push(chars.next().unwrap()),
            '"' => quoted = !quoted,
            ',' if !quoted => records.last_mut().unwrap().push(String::new()),
            '\r' if !quoted => {
                assert_eq!(chars.next(), Some('\n'), "a row ends with CR LF");
                records.push(vec![String::new()]);
            }
            '\n' if !quoted => panic!("a bare line feed outside quotes"),
            other => field.push(other),
        }
    }
    assert_eq!(records.pop(), Some(vec![String::new()]), "the last row ends too");
    records
}

fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The starter with a line replaced.
fn starter_with(from: &str, to: &str) -> String {
    assert!(GARDEN_STEPS.contains(from), "{from}");
    GARDEN_STEPS.replacen(from, to, 1)
}

fn number(row: &HashMap<String, String>, key: &str) -> f64 {
    row[key].parse().unwrap_or_else(|_| panic!("{key}: {:?}", row[key]))
}

#[test]
fn an_order_is_the_whole_set_of_one_revision_and_the_same_bytes_every_time() {
    let bench = Bench::ordered(GARDEN_STEPS);
    assert_eq!(bench.names("out"), SET);
    let revision = bench.table()[0]["revision"].clone();
    assert_eq!(revision.len(), 16);
    for name in ["nominal.dxf", "skirt.dxf", "order.txt", "order.csv"] {
        let text = bench.read(name);
        assert!(
            text.contains(&revision)
                && text.contains("Garden steps")
                && text.contains("seatcut 0."),
            "{name}"
        );
    }
    let again = Bench::ordered(GARDEN_STEPS);
    for name in SET {
        let bytes = |bench: &Bench| fs::read(bench.path("out").join(name)).unwrap();
        assert!(bytes(&bench) == bytes(&again), "{name}");
    }
    let made = Bench::starter();
    assert_eq!(code(&made.run("make", &[])), 0);
    // The same outline; a pattern's marks and its hole are no part of what a shop cuts.
    let (ordered, made) = (bench.read("nominal.dxf"), made.read("nominal.dxf"));
    let outline = |text: &str| {
        let from = text.find("\nLWPOLYLINE\n").unwrap();
        text[from..].split("\n  0\n").next().unwrap().to_string()
    };
    assert!(outline(&ordered).contains("\nCUT\n"));
    assert_eq!(outline(&ordered), outline(&made));
    assert!(!ordered.contains("hanging hole") && made.contains("hanging hole"));
}

#[test]
fn every_digest_is_that_of_its_file() {
    let bench = Bench::ordered(GARDEN_STEPS);
    let sums = bench.read("SHA256SUMS");
    let mut listed: Vec<&str> = Vec::new();
    for line in sums.lines() {
        let (digest, name) = line.split_once("  ").unwrap();
        assert_eq!(digest, sha256(&fs::read(bench.path("out").join(name)).unwrap()), "{name}");
        listed.push(name);
    }
    listed.sort_unstable();
    assert_eq!(listed, SET[1..]);
    for row in bench.table() {
        assert_eq!(row["sha256"], sha256(bench.read(&row["file"]).as_bytes()));
        assert!(bench.read("order.txt").contains(&row["sha256"]));
    }
}

#[test]
fn sha256sum_accepts_the_digests_and_refuses_a_changed_file() {
    let bench = Bench::ordered(GARDEN_STEPS);
    let check = || {
        Command::new("sha256sum").args(["-c", "SHA256SUMS"]).current_dir(bench.path("out")).output()
    };
    let Ok(run) = check() else {
        eprintln!("no sha256sum here: the digests are checked by another test");
        return;
    };
    assert!(run.status.success(), "{}", err(&run));
    fs::write(bench.path("out/nominal.dxf"), bench.read("nominal.dxf") + " ").unwrap();
    assert!(!check().unwrap().status.success());
}

#[test]
fn the_table_tells_what_the_drawings_hold() {
    let bench = Bench::ordered(GARDEN_STEPS);
    let table = bench.table();
    assert_eq!(
        table.iter().map(|row| row["part"].as_str()).collect::<Vec<_>>(),
        ["stringer pattern", "skirt"]
    );
    for row in &table {
        let (area, length, width, round) = drawn(&bench.path("out").join(&row["file"]));
        assert!((number(row, "area_in2") - area).abs() < 0.01, "{area}: {row:?}");
        assert!((number(row, "length_in") - length).abs() < 1e-3, "{length}: {row:?}");
        assert!((number(row, "width_in") - width).abs() < 1e-3, "{width}: {row:?}");
        assert!((number(row, "perimeter_in") - round).abs() < 1e-3, "{round}: {row:?}");
        assert!((number(row, "length_mm") - length * 25.4).abs() < 0.02);
        assert!((number(row, "area_mm2") - area * 645.16).abs() < 5.0);
        assert_eq!(row["dxf_units"], "in");
        assert_eq!(row["tolerance_in"], "0.015625");
        assert!(row["tolerance_note"].contains("1/64 in (0.4 mm)"));
        assert!(row["tolerance_note"].contains("common practice, no source"));
        assert_eq!(row["ledger"], "nothing compensated: apply your own kerf");
        assert_eq!(row["holes"], "none");
    }
}

/// A pound by its definition, in kg.
const POUND: f64 = 0.45359237;

#[test]
fn an_order_says_what_it_weighs_where_somebody_published_how_heavy_its_material_is() {
    let bench = Bench::ordered(GARDEN_STEPS);
    let (table, sheet) = (bench.table(), bench.read("order.txt"));
    let row = &table[0];
    let (area, ..) = drawn(&bench.path("out").join(&row["file"]));
    let kg = 1020.0 * area * 25.4 * 25.4 * number(row, "thickness_mm") * 1e-9;
    assert!(kg > 1.0 && (number(row, "weight_kg") - kg).abs() < 0.01, "{kg}: {row:?}");
    assert!((number(row, "weight_lb") - kg / POUND).abs() < 0.02, "{kg}: {row:?}");
    // What the skirt is made of nobody said: it is in no sum, and that is said.
    assert_eq!(table[1]["weight_kg"], "");
    let whole = format!("{:.1} lb ({kg:.1} kg), without skirt", kg / POUND);
    assert!(sheet.contains("THE WHOLE ORDER WEIGHS") && sheet.contains(&whole), "{whole}: {sheet}");
    assert!(sheet.contains("EN 1991-1-1:2002 Table A.3, hardboard"), "{sheet}");
    // Boards are of some species: nobody said which, and nothing is guessed.
    let boards = Bench::ordered(&crate::orders::of_boards(3));
    assert_eq!(boards.table()[0]["weight_kg"], "");
    assert!(
        !boards.read("order.txt").to_lowercase().contains("weigh"),
        "{}",
        boards.read("order.txt")
    );
    // A copy of the profile that says it is believed, each of three and all of them.
    let own = |lines: &str| {
        let boards = Bench::new(&crate::orders::of_boards(3).replace("board-2x12", "./own.toml"));
        let profile = crate::common::profile_with("material", "board-2x12", &[]);
        fs::write(boards.path("own.toml"), format!("{profile}\n{lines}\n")).unwrap();
        (boards.run("order", &[]), boards)
    };
    let (run, said) = own("density = \"560 kg/m3\"\ndensity_source = \"weighed in the shop\"");
    assert_eq!(code(&run), 0, "{}", err(&run));
    let row = &said.table()[0];
    let each = 560.0 * number(row, "area_mm2") * number(row, "thickness_mm") * 1e-9;
    assert!((number(row, "weight_kg") - each).abs() < 0.01, "{each}: {row:?}");
    let all = format!("({:.1} kg) all 3", 3.0 * each);
    assert!(said.read("order.txt").contains(&all), "{all}: {}", said.read("order.txt"));
    for (lines, found) in [
        ("density = \"560 kg/m3\"", "a figure without its source is a guess"),
        ("density_source = \"weighed\"", "both density and density_source"),
        ("density = \"5600 kg/m3\"\ndensity_source = \"weighed\"", "100 to 1500 kg/m3"),
        ("density = \"heavy\"\ndensity_source = \"weighed\"", "density"),
        ("density = \"560 kg/m3\"\ndensity_source = \" \"", "density_source"),
    ] {
        let (run, _) = own(lines);
        assert!(code(&run) == 3 && err(&run).contains(found), "{lines}: {}", err(&run));
    }
}

/// Area, length, width and way round of the one closed polyline of a drawing, by a reader that is
/// not this project's.
pub(crate) fn drawn(path: &std::path::Path) -> (f64, f64, f64, f64) {
    let drawing = dxf::Drawing::load_file(path).unwrap();
    let points: Vec<(f64, f64)> = drawing
        .entities()
        .filter(|e| e.common.layer == "CUT")
        .find_map(|e| match &e.specific {
            dxf::entities::EntityType::LwPolyline(line) => {
                Some(line.vertices.iter().map(|v| (v.x, v.y)).collect())
            }
            _ => None,
        })
        .unwrap();
    let next = points.iter().cycle().skip(1);
    let sides: Vec<_> = points.iter().zip(next).collect();
    let area = sides.iter().map(|(a, b)| a.0 * b.1 - a.1 * b.0).sum::<f64>() / 2.0;
    let round = sides.iter().map(|(a, b)| (a.0 - b.0).hypot(a.1 - b.1)).sum();
    let span = |values: Vec<f64>| {
        values.iter().copied().fold(f64::MIN, f64::max)
            - values.iter().copied().fold(f64::MAX, f64::min)
    };
    let (xs, ys) = points.iter().copied().unzip();
    (area, span(xs), span(ys), round)
}

#[test]
fn a_pattern_and_a_stringer_of_a_sheet_are_ordered_in_that_material() {
    let pattern = &Bench::ordered(GARDEN_STEPS).table()[0];
    assert!(pattern["material"].starts_with("hardboard-6"), "{pattern:?}");
    assert_eq!(pattern["thickness_mm"], "6.35");
    assert_eq!(pattern["quantity"], "1");
    let job = starter_with("makes = \"pattern\"", "makes = \"stringers\"")
        .replacen("quantity = 1", "quantity = 3", 1)
        .replacen("hardboard-6", "plywood-18", 1)
        .replacen("# species = ", "species = ", 1)
        .replacen(
            "thickness = \"1 1/2 in\"",
            "thickness = \"3/4 in\"\nspecies = \"southern-pine\"\nwet = true",
            1,
        );
    let table = Bench::ordered(&job).table();
    assert_eq!(table[0]["part"], "stringer");
    assert_eq!(table[0]["quantity"], "3");
    assert_eq!(
        table[0]["material"],
        "plywood-18: plywood, 18 mm, 2440 x 1220 mm, southern-pine, for use where it gets wet"
    );
    assert_eq!(table[0]["thickness_in"], "0.75");
    // Of the skirt the job does not say how many of what.
    for key in ["quantity", "material", "thickness_in", "thickness_mm"] {
        assert_eq!(table[1][key], "", "{key}");
    }
}

/// Stringers glued of layers out of a sheet, invented.
fn glued(cut: &str) -> String {
    let stair = Stair {
        rules: "us-osha".into(),
        rise: "total = \"28 in\"\nrisers = 4".into(),
        tread: crate::common::tread("10 1/2 in", "1 in", "1 in", "3/4 in"),
        board: "width = \"11 1/4 in\"\nthickness = \"36 mm\"".into(),
        cut: format!(
            "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"plywood-18\"\n{cut}"
        ),
        ..Stair::default()
    };
    stair.toml()
}

#[test]
fn layers_are_ordered_a_line_each_with_the_thickness_of_one_and_its_dowel_holes() {
    let cut = "quantity = 3\nlayers = 2\ndoubled_outsides = true\ndowel = \"1/2 in\"";
    for version in ["r2000", "r12"] {
        let bench = Bench::new(&glued(cut));
        let run = bench.run("order", &["--dxf", version]);
        assert_eq!(code(&run), 0, "{}", err(&run));
        let table = bench.table();
        let parts: Vec<(&str, &str)> =
            table.iter().map(|row| (&*row["part"], &*row["quantity"])).collect();
        assert_eq!(parts, [("stringer, layer A", "5"), ("stringer, layer B", "5"), ("skirt", "")]);
        let drawing = dxf::Drawing::load_file(bench.path("out/nominal.dxf")).unwrap();
        let circles: Vec<(f64, f64, f64)> = drawing
            .entities()
            .filter(|entity| entity.common.layer == "DRILL")
            .map(|entity| match &entity.specific {
                dxf::entities::EntityType::Circle(circle) => {
                    (circle.center.x, circle.center.y, circle.radius)
                }
                other => panic!("{other:?}"),
            })
            .collect();
        assert_eq!(circles.len(), 2);
        for row in &table[..2] {
            assert!(
                (number(row, "thickness_mm") - 18.0).abs() < 0.2
                    && row["material"].starts_with("plywood-18"),
                "{row:?}"
            );
            assert_eq!(
                (&*row["layers"], &*row["hole_count"], &*row["hole_width_in"]),
                ("2", "2", "0.5")
            );
            for (x, y, radius) in &circles {
                let inside = (0.25..number(row, "length_in")).contains(x)
                    && (0.25..number(row, "width_in")).contains(y);
                assert!(inside && (radius - 0.25).abs() < 1e-9, "{x} {y} {radius}");
                assert!(
                    row["hole_places"].contains(&format!("X {}", seatcut::units::trimmed(*x, 4))),
                    "{row:?}"
                );
            }
        }
        let text = bench.read("order.txt");
        for words in [
            "STRINGER, LAYER A",
            "2 dowel holes, 1/2 in",
            "3 stringers and 2 doublers",
            "glued of 2 layers",
        ] {
            assert!(text.contains(words), "{words}: {text}");
        }
        // The holes are held against the job: the file as it is, one hole gone, moved, grown, one
        // too many.
        let verify = |text: &str| {
            fs::write(bench.path("shop.dxf"), text).unwrap();
            let (job, file) = (
                bench.path("job.toml").display().to_string(),
                bench.path("shop.dxf").display().to_string(),
            );
            let run = seatcut(&["verify", &job, &file, "--effort", "0"]);
            (code(&run), String::from_utf8_lossy(&run.stdout).into_owned())
        };
        let good = bench.read("nominal.dxf");
        let verdict = verify(&good);
        assert_eq!(verdict.0, 0, "{}", verdict.1);
        let from = good.find("\nCIRCLE\n").unwrap();
        let (head, tail) = good.split_at(from - 3);
        let (circle, rest) = tail.split_at(tail[5..].find("\n  0\n").unwrap() + 6);
        assert!(circle.starts_with("  0\nCIRCLE\n"), "{circle}");
        let grown = circle.replace(" 40\n0.25\n", " 40\n0.26\n");
        assert_ne!(grown, circle);
        let moved = circle.replace(" 10\n", " 10\n1");
        for (what, middle) in [
            ("gone", ""),
            ("grown", &*grown),
            ("moved", &*moved),
            ("twice", &*[circle, &moved].concat()),
        ] {
            let (code, told) = verify(&[head, middle, rest].concat());
            assert!(code == 6 && told.contains("hole-drawn-off"), "{what}: {code} {told}");
        }
    }
}

#[test]
fn what_make_refuses_of_layers_is_not_ordered_either() {
    for (dowel, word) in [("3/16 in", "dowel-too-small"), ("1 3/4 in", "no-dowel-room")] {
        let bench = Bench::new(&glued(&format!("quantity = 2\nlayers = 2\ndowel = \"{dowel}\"")));
        let run = bench.run("order", &[]);
        assert!(code(&run) == 4 && err(&run).contains(word), "{}", err(&run));
        assert_eq!(bench.names("."), ["job.toml"]);
    }
}

#[test]
fn doublers_are_a_line_of_their_own() {
    let job = glued("quantity = 3\ndoubled_outsides = true").replace("36 mm", "18 mm");
    let table = Bench::ordered(&job).table();
    let parts: Vec<(&str, &str)> =
        table.iter().map(|row| (&*row["part"], &*row["quantity"])).collect();
    assert_eq!(parts, [("stringer", "3"), ("doubler", "2"), ("skirt", "")]);
    assert!(table[..2].iter().all(|row| row["holes"] == "none" && row["layers"] == "1"));
}

#[test]
fn what_will_follow_the_pattern_is_told_and_not_taken_off() {
    let bushing = "follow = { with = \"bushing\", outside = \"3/4 in\", bit = \"1/2 in\" }";
    let bench = Bench::ordered(&starter_with("quantity = 1", &format!("quantity = 1\n{bushing}")));
    let table = bench.table();
    assert!(
        table[0]["ledger"]
            .contains("NOT made smaller for what follows the pattern (1/8 in (3.2 mm) all round)")
    );
    assert_eq!(table[1]["ledger"], "nothing compensated: apply your own kerf");
    assert!(bench.read("order.txt").contains("followed with a bushing"));
}

#[test]
fn waivers_and_warnings_and_the_wanted_corners_are_printed() {
    let job = starter_with("cut = \"10 1/4 in\"", "cut = \"9 7/8 in\"").replacen(
        "\"fillet\"",
        "\"riser\"",
        1,
    ) + "\n[[waive]]\nrule = \"unit-run-low\"\nreason = \"invented: \\\"agreed\\\", in writing\"\n";
    let bench = Bench::ordered(&job);
    let (text, table) = (bench.read("order.txt"), bench.table());
    assert!(
        text.contains("REFUSALS TAKEN ON BY THE OWNER")
            && text.contains("invented: \"agreed\", in writing"),
        "{text}"
    );
    assert!(
        table[0]["waivers"].contains("unit-run-low")
            && table[0]["waivers"].contains("\"agreed\", in writing")
    );
    assert!(table[0]["inside_corners"].contains("into the riser face"));
    assert!(text.contains("local code and licensed practice decide"));
    let report: serde_json::Value =
        serde_json::from_slice(&bench.run("order", &["--force", "--json"]).stdout).unwrap();
    for finding in report["findings"].as_array().unwrap() {
        let warns = finding["severity"] == "warning";
        assert!(
            !warns || table[0]["cautions"].contains(finding["code"].as_str().unwrap()),
            "{finding}"
        );
    }
    assert!(!Bench::ordered(GARDEN_STEPS).read("order.txt").contains("TAKEN ON"));
}

#[test]
fn a_title_that_a_spreadsheet_would_compute_stays_a_text() {
    let bench = Bench::ordered(&starter_with("\"Garden steps\"", "\"=1+1, \\\"steps\\\"\""));
    assert_eq!(bench.table()[0]["title"], "'=1+1, \"steps\"");
    assert!(bench.read("order.csv").contains("\"'=1+1, \"\"steps\"\"\""));
}

#[test]
fn without_room_for_a_skirt_the_order_says_so() {
    let job = Stair {
        rise: "total = \"51 3/8 in\"\nrisers = 7\nfinish_to_come = \"2 in\"".into(),
        tread: crate::common::tread("10 1/4 in", "1 in", "7 1/2 in", "3/4 in"),
        ..Stair::default()
    };
    let bench = Bench::ordered(&job.toml());
    assert_eq!(
        bench.names("out"),
        ["SHA256SUMS", "nominal.dxf", "order.csv", "order.pdf", "order.txt"]
    );
    assert!(bench.read("order.txt").contains("No skirt is drawn"));
    assert_eq!(bench.table().len(), 1);
}

#[test]
fn json_prints_the_report_with_the_files_of_the_order() {
    let bench = Bench::starter();
    let run = bench.run("order", &["--json", "--dxf", "r12"]);
    let report: serde_json::Value = serde_json::from_slice(&run.stdout).unwrap();
    assert_eq!(report["schema"], "seatcut.report/1");
    assert!(report["programs"].as_array().unwrap().is_empty());
    for file in report["files"].as_array().unwrap() {
        let bytes = fs::read(bench.path("out").join(file["name"].as_str().unwrap())).unwrap();
        assert_eq!(file["sha256"], sha256(&bytes));
    }
    assert_eq!(report["files"].as_array().unwrap().len(), SET.len());
    assert!(
        bench.read("nominal.dxf").contains("AC1009") && bench.read("skirt.dxf").contains("AC1009")
    );
}

#[test]
fn the_dimensioned_drawing_is_of_large_sheets_with_everything_on_them() {
    for job in [GARDEN_STEPS.to_string(), starter_with("risers = 7", "risers = 8")] {
        let job = seatcut::job::read_job("job", &job, &|name: &str| panic!("{name}")).unwrap();
        let workup = seatcut::pipeline::workup::Workup::of(&job);
        let of = seatcut::output::drawing::Subject::of(&workup, workup.outline.as_ref().unwrap());
        let subject = seatcut::output::drawing::Subject { pattern: None, ..of };
        let sheets = seatcut::output::drawing::sheets(&subject, None);
        assert_eq!(sheets.len(), 2);
        for sheet in sheets {
            let paper = sheet.paper();
            let size = [paper.max.x / 25.4, paper.max.y / 25.4];
            assert!((size[0] - 17.0).abs() < 1e-9 && (size[1] - 11.0).abs() < 1e-9);
            assert!(sheet.boxes().len() > 100);
            for part in sheet.boxes() {
                assert!(part.min.x > 0.0 && part.min.y > 0.0);
                assert!(part.max.x < paper.max.x && part.max.y < paper.max.y);
            }
            // The face of print has a letter for every character of its own words.
            let has_letter = |c: char| matches!(c, ' '..='~' | '\u{a0}'..='\u{ff}');
            assert!(sheet.texts().all(|text| text.content.chars().all(has_letter)));
        }
    }
    let (one, two) = (Bench::starter(), Bench::starter());
    assert_eq!([code(&one.run("order", &[])), code(&two.run("order", &[]))], [0, 0]);
    let bytes = fs::read(one.path("out/order.pdf")).unwrap();
    assert!(bytes == fs::read(two.path("out/order.pdf")).unwrap() && bytes.len() < 400_000);
    assert!(bytes.windows(18).any(|part| part == b"/PrintScaling /Non"));
}

#[test]
fn an_existing_order_is_replaced_only_by_force_and_other_files_stay() {
    let bench = Bench::ordered(GARDEN_STEPS);
    let before = bench.read("order.txt");
    fs::write(bench.path("out/notes.txt"), "mine").unwrap();
    fs::write(bench.path("job.toml"), starter_with("risers = 7", "risers = 8")).unwrap();
    let refused = bench.run("order", &[]);
    assert_eq!(code(&refused), 7);
    assert!(err(&refused).contains("--force"), "{}", err(&refused));
    assert_eq!(bench.read("order.txt"), before);
    assert_eq!(code(&bench.run("order", &["--force"])), 0);
    assert_ne!(bench.read("order.txt"), before);
    assert_eq!(bench.names("out"), [&SET[..2], &["notes.txt"], &SET[2..]].concat());
    // A set of the other kind would leave two revisions in one place, or take the order away: it
    // goes elsewhere.
    let other = bench.run("make", &["--force"]);
    assert!(code(&other) == 7 && err(&other).contains("holds a set of `order`"), "{}", err(&other));
    assert_eq!(bench.names("out"), [&SET[..2], &["notes.txt"], &SET[2..]].concat());
    assert_eq!(bench.names("."), ["job.toml", "out"]);
}

#[test]
fn what_is_refused_or_cannot_be_read_is_not_ordered() {
    let not_ordered = |job: &str, more: &[&str], wanted: i32, word: &str| {
        let bench = Bench::new(job);
        let run = bench.run("order", more);
        assert_eq!(code(&run), wanted, "{}", err(&run));
        assert!(err(&run).contains(word), "{}", err(&run));
        assert_eq!(bench.names("."), ["job.toml"]);
    };
    not_ordered(&starter_with("cut = \"10 1/4 in\"", "cut = \"9 in\""), &[], 4, "unit-run-low");
    not_ordered(&starter_with("width = \"11 1/4 in\"", "width = \"5 in\""), &[], 4, "no-throat");
    not_ordered(GARDEN_STEPS, &["--deny-warnings"], 5, "nothing was written");
    not_ordered(&starter_with("overhang = ", "overhnag = "), &[], 3, "unknown key");
    not_ordered("", &[], 3, "this is an empty file");
    not_ordered(GARDEN_STEPS, &["--colour"], 2, "--colour");
    let missing = seatcut(&["order", "nowhere.toml", "-o", "nowhere"]);
    assert_eq!(code(&missing), 7);
    assert_eq!(code(&seatcut(&["order", "job.toml"])), 2);
}

/// An invented closet stair of plywood: treads and riser boards as thick as its sheets.
const CLOSET: &str = include_str!("../outside/jobs/set-steps-sheet-fillet.toml");

#[test]
fn treads_and_riser_boards_of_the_sheet_are_ordered_each_with_its_drawing() {
    let bench = Bench::ordered(CLOSET);
    let table = bench.table();
    let line = |part: &str| {
        let row = table.iter().find(|row| row["part"] == part);
        row.unwrap_or_else(|| panic!("{part}: {table:?}"))
    };
    // By hand: 30 in wide, 1 1/4 in past the open side and none at the wall; 10 1/4 in and the
    // overhang of 1 in; three of them. Riser boards run to the face of the open skirt, 18 mm.
    let sizes = [
        ("tread", "tread.dxf", "3", 31.25, 11.25),
        ("riser board", "riser.dxf", "2", 30.0 + 18.0 / 25.4, 7.5),
        ("lowest riser board", "lowest-riser.dxf", "1", 30.0 + 18.0 / 25.4, 7.5 - 18.0 / 25.4),
        ("riser board at the head", "head-riser.dxf", "1", 30.0, 7.5 - 1.0 + 18.0 / 25.4),
    ];
    for (part, file, quantity, length, width) in sizes {
        let row = line(part);
        assert_eq!((&*row["file"], &*row["quantity"]), (file, quantity), "{row:?}");
        assert!((number(row, "length_in") - length).abs() < 1e-3, "{length}: {row:?}");
        assert!((number(row, "width_in") - width).abs() < 1e-3, "{width}: {row:?}");
        assert!(row["material"].starts_with("plywood-18"), "{row:?}");
        assert_eq!(row["thickness_mm"], "18");
        let bytes = fs::read(bench.path("out").join(file)).unwrap();
        assert_eq!(row["sha256"], sha256(&bytes));
        assert!(bench.read("SHA256SUMS").contains(&format!("{}  {file}", sha256(&bytes))));
        let (area, long, wide, round) = drawn(&bench.path("out").join(file));
        assert!((long - length).abs() < 1e-3 && (wide - width).abs() < 1e-3, "{long} x {wide}");
        assert!((area - long * wide).abs() < 1e-3 && (round - 2.0 * (long + wide)).abs() < 1e-3);
        // And who gets it can hold it against the job.
        let [job, file] = [bench.path("job.toml"), bench.path("out").join(file)];
        let held = seatcut(&["verify", &job.display().to_string(), &file.display().to_string()]);
        let said = String::from_utf8_lossy(&held.stdout).into_owned();
        assert_eq!(code(&held), 0, "{said}");
        let is_told = said.contains("is one of this job's pieces") && said.contains(part);
        assert!(is_told && !said.contains("text of it"), "{said}");
    }
    // The stringers are of the sheet as well.
    assert!(line("stringer")["material"].starts_with("plywood-18"), "{:?}", line("stringer"));
    // The skirts are cut from the sheet too.
    assert!(line("open skirt, left side")["material"].starts_with("plywood-18"));
    assert!(!bench.read("order.txt").contains("what they are made of is not in the job"));
    // For two stairs twice as many.
    let two = CLOSET.replace("title", "stairs = 2\ntitle").replace("quantity = 3", "quantity = 6");
    let two = Bench::ordered(&two);
    let treads = two.table().into_iter().find(|row| row["part"] == "tread").unwrap();
    assert_eq!(treads["quantity"], "6");
}

#[test]
fn treads_and_riser_boards_of_boards_are_lines_of_the_sheet_without_a_file() {
    let bench = Bench::ordered(&CLOSET.replace("from_sheet = true", ""));
    let names = bench.names("out");
    assert!(
        !names.iter().any(|name| name.contains("tread") || name.contains("riser")),
        "{names:?}"
    );
    let table = bench.table();
    let of = |part: &str| table.iter().find(|row| row["part"] == part).unwrap();
    for (part, quantity) in [("tread", "3"), ("riser board", "2"), ("lowest riser board", "1")] {
        let row = of(part);
        assert_eq!((&*row["quantity"], &*row["file"], &*row["sha256"]), (quantity, "", ""));
        assert!(row["material"].starts_with("board "), "{row:?}");
    }
    assert!((number(of("tread"), "length_in") - 31.25).abs() < 1e-3);
    let text = bench.read("order.txt");
    assert!(text.contains("none: sawn to size") && text.contains("which wood is not in the job"));
    // Where the job says the wood, the order does.
    let own =
        "past_sides = \"1 1/4 in\"\nwood = \"white oak\"\nriser_wood = \"poplar, to be painted\"";
    let own = CLOSET.replace("from_sheet = true", "").replace("past_sides = \"1 1/4 in\"", own);
    let bench = Bench::ordered(&own);
    let table = bench.table();
    for (part, begins) in
        [("tread", "white oak: board "), ("riser board", "poplar, to be painted: board ")]
    {
        let row = table.iter().find(|row| row["part"] == part).unwrap();
        assert!(row["material"].starts_with(begins), "{row:?}");
    }
    assert!(!bench.read("order.txt").contains("which wood is not in the job"));
    // Of one alone the other is as it.
    let one = own.replace("\nriser_wood = \"poplar, to be painted\"", "");
    let table = Bench::ordered(&one).table();
    assert!(
        table
            .iter()
            .filter(|row| row["file"].is_empty())
            .all(|row| row["material"].starts_with("white oak: "))
    );
    // A job that does not ask for them as pieces orders none.
    let plain: String =
        CLOSET.replace("[steps]\npast_sides = \"1 1/4 in\"\nfrom_sheet = true\n", "");
    assert!(plain.len() < CLOSET.len());
    assert!(Bench::ordered(&plain).table().iter().all(|row| !row["part"].contains("tread")));
}

#[test]
fn every_drawing_of_an_order_is_taken_by_verify() {
    for job in ["entry-one-riser-flush", "garden-board-fillet", "attic-metric-pencil-tread"] {
        let job = format!("{}/tests/outside/jobs/{job}.toml", env!("CARGO_MANIFEST_DIR"));
        let dir = tempfile::tempdir().unwrap();
        let out = dir.path().join("order").display().to_string();
        let run = |arguments: &[&str]| {
            let run =
                std::process::Command::new(env!("CARGO_BIN_EXE_seatcut")).args(arguments).output();
            let run = run.unwrap();
            (run.status.code(), String::from_utf8_lossy(&run.stdout).into_owned())
        };
        let (code, said) = run(&["order", &job, "-o", &out]);
        assert_eq!(code, Some(0), "{said}");
        let drawn = std::fs::read_dir(&out).unwrap().map(|entry| entry.unwrap().path());
        let mut count = 0;
        for drawing in drawn.filter(|path| path.extension().is_some_and(|e| e == "dxf")) {
            let (code, said) = run(&["verify", &job, &drawing.display().to_string()]);
            assert_eq!(code, Some(0), "{}: {said}", drawing.display());
            count += 1;
        }
        assert!(count >= 1, "{job}");
    }
}
