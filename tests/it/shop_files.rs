//! Drawing files as a shop takes them: in an order nothing but what is made, beside a program small
//! words inside the part, and no header word that the version does not know.

use crate::common::Stair;
use seatcut::geometry::Point;
use seatcut::output::page::{Item, Path, Text};
use seatcut::output::sheet_picture::{SheetFacts, sheet_picture};
use seatcut::pipeline::set::{Entry, Set};
use seatcut::profile::Grain;
use seatcut::units::Length;
use std::fs;
use std::process::Command;

/// Layers of two that are glued, with their dowel holes.
fn layered() -> Stair {
    Stair {
        rise: "total = \"29 in\"\nrisers = 4".into(),
        board: "width = \"11 1/4 in\"\nthickness = \"36 mm\"".into(),
        cut: "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial \
            = \"plywood-18\"\nquantity \
            = 2\nlayers = 2\ndowel = \"3/8 in\""
            .into(),
        ..Stair::default()
    }
}

/// Group codes and what stands behind them.
type Pairs = Vec<(i32, String)>;

/// The pairs of one drawing that a command writes.
fn pairs(command: &str, more: &[&str]) -> Pairs {
    let dir = tempfile::tempdir().unwrap();
    let (job, out) = (dir.path().join("job.toml"), dir.path().join("out"));
    fs::write(&job, layered().toml()).unwrap();
    let run = Command::new(env!("CARGO_BIN_EXE_seatcut"))
        .args([command, job.to_str().unwrap(), "-o", out.to_str().unwrap()])
        .args(more)
        .output()
        .unwrap();
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let text = fs::read_to_string(out.join("nominal.dxf")).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    let pair = |two: &[&str]| (two[0].trim().parse().unwrap(), two[1].to_string());
    lines.chunks_exact(2).map(pair).collect()
}

/// Every entity: its kind, its layer, and its pairs.
fn entities(pairs: &[(i32, String)]) -> Vec<(String, String, Pairs)> {
    let begins = pairs.iter().position(|pair| *pair == (2, "ENTITIES".into())).unwrap();
    let mut found: Vec<(String, String, Pairs)> = Vec::new();
    for (code, value) in &pairs[begins + 1..] {
        match (code, value.as_str()) {
            (0, "ENDSEC") => break,
            (0, kind) => found.push((kind.to_string(), String::new(), Vec::new())),
            (8, layer) => found.last_mut().unwrap().1 = layer.to_string(),
            _ => found.last_mut().unwrap().2.push((*code, value.clone())),
        }
    }
    found
}

#[test]
fn an_order_holds_the_outline_and_holes_as_circles_and_nothing_else_unless_it_is_asked_for() {
    for version in ["r12", "r2000"] {
        let plain = entities(&pairs("order", &["--dxf", version]));
        let is_outline =
            |kind: &str| ["POLYLINE", "VERTEX", "SEQEND", "LWPOLYLINE"].contains(&kind);
        for (kind, layer, _) in &plain {
            let right = match layer.as_str() {
                "CUT" => is_outline(kind),
                "DRILL" => kind == "CIRCLE",
                _ => false,
            };
            assert!(right, "{version}: {kind} on {layer}");
        }
        let count = |kind: &str| plain.iter().filter(|(other, ..)| other == kind).count();
        assert_eq!((count("POLYLINE") + count("LWPOLYLINE"), count("CIRCLE")), (1, 2));
        let asked = entities(&pairs("order", &["--dxf", version, "--reference"]));
        assert!(asked.iter().any(|(kind, layer, _)| kind == "TEXT" && layer == "REF"));
    }
}

#[test]
fn bar_and_words_of_a_part_lie_inside_its_box_and_the_file_is_as_large_as_the_part() {
    let all = pairs("make", &[]);
    let entities = entities(&all);
    let numbers = |pairs: &[(i32, String)], code: i32| -> Vec<f64> {
        let of = pairs.iter().filter(|(other, _)| *other == code);
        of.map(|(_, value)| value.parse().unwrap()).collect()
    };
    let (_, _, outline) = entities.iter().find(|(_, layer, _)| layer == "CUT").unwrap();
    let ends = |values: &[f64]| {
        let fold = |start: f64, of: fn(f64, f64) -> f64| values.iter().copied().fold(start, of);
        (fold(f64::INFINITY, f64::min), fold(f64::NEG_INFINITY, f64::max))
    };
    let (x, y) = (ends(&numbers(outline, 10)), ends(&numbers(outline, 20)));
    let mut said = 0;
    for (kind, layer, pairs) in entities.iter().filter(|(_, layer, _)| layer == "REF") {
        let words = pairs.iter().find(|(code, _)| *code == 1).map_or("", |(_, words)| words);
        let height = numbers(pairs, 40).first().copied().unwrap_or(0.0);
        // No letter is drawn wider than it is high.
        let wide = if kind == "TEXT" { words.len() as f64 * height } else { 0.0 };
        said += usize::from(kind == "TEXT");
        for (at_x, at_y) in numbers(pairs, 10).into_iter().zip(numbers(pairs, 20)) {
            assert!(at_x >= x.0 && at_x + wide <= x.1, "{layer} {kind} {words}");
            assert!(at_y >= y.0 && at_y + height <= y.1, "{layer} {kind} {words}");
        }
    }
    assert!(said >= 3, "{said}");
    let extents = |name: &str| {
        let at = all.iter().position(|pair| *pair == (9, name.into())).unwrap();
        (all[at + 1].1.parse::<f64>().unwrap(), all[at + 2].1.parse::<f64>().unwrap())
    };
    let near = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).abs() + (a.1 - b.1).abs() < 1e-6;
    assert!(near(extents("$EXTMIN"), (x.0, y.0)) && near(extents("$EXTMAX"), (x.1, y.1)));
    let bar = entities.iter().find(|(kind, layer, _)| layer == "REF" && kind != "TEXT").unwrap();
    let (from, to) = ends(&numbers(&bar.2, 10));
    let told = format!("The bar below is {} in long", to - from);
    assert!(entities.iter().any(|(.., pairs)| pairs.contains(&(1, told.clone()))), "{told}");
}

#[test]
fn a_file_of_the_old_version_has_only_header_words_that_it_knows_and_says_its_unit_in_a_comment() {
    let words = |pairs: &[(i32, String)]| {
        let names = pairs.iter().filter(|(code, _)| *code == 9);
        names.map(|(_, name)| name.clone()).collect::<Vec<_>>()
    };
    let old = pairs("order", &["--dxf", "r12"]);
    assert_eq!(words(&old), ["$ACADVER", "$EXTMIN", "$EXTMAX", "$LUNITS", "$LUPREC"]);
    assert_eq!(old[0], (999, "Coordinates in inches, 1:1".into()));
    let new = pairs("order", &["--dxf", "r2000"]);
    assert!(words(&new).contains(&"$INSUNITS".to_string()));
    // Whose it is both say in comments, where nobody cuts it.
    for pairs in [&old, &new] {
        let said = |(code, words): &(i32, String)| *code == 999 && words.contains("| job ");
        assert_eq!(pairs.iter().filter(|pair| said(pair)).count(), 1);
    }
}

/// On the picture of a sheet of patterns every piece has its number, and beside the words that are
/// marked on it, never over them.
#[test]
fn a_pieces_number_on_a_sheets_picture_stands_clear_of_its_marks() {
    let cut =
        "makes = \"pattern\"\nquantity = 2\nmachine = \"router-table\"\nmaterial = \"hardboard-6\"";
    let job = Stair { cut: cut.into(), ..Stair::default() }.job();
    let set = Set::of(vec![Entry { job, times: 1 }], 0).unwrap();
    let run = &set.sheets[0];
    let facts = SheetFacts {
        title: "Sheet 1 of 1",
        whose: "Order 114, customer Harbour Inn, due May 4",
        numbers: set.sheet_numbers(0),
        programs: vec!["program-1.nc"],
        grain: Grain::None,
    };
    let page = sheet_picture(run, &facts);
    assert!(page.texts().any(|text| text.content == facts.whose));
    let of_marks = |item: &Item| match item {
        Item::Stroke { path: Path::Open(points), .. } if points.len() > 2 => points.clone(),
        _ => Vec::new(),
    };
    let marks: Vec<Point> = page.items().flat_map(of_marks).collect();
    let numbers: Vec<&Text> = page.texts().filter(|text| text.content.starts_with("S1-")).collect();
    assert!(marks.len() > 100 && numbers.len() == 2, "{} {numbers:?}", marks.len());
    for text in numbers {
        let [a, b, _, d] = text.corners();
        let (along, up) = (b - a, d - a);
        let lies_in = |p: &&Point| {
            let from = **p - a;
            let share = |way: &seatcut::geometry::Vector| from.dot(way) / way.norm_squared();
            (0.0..=1.0).contains(&share(&along)) && (0.0..=1.0).contains(&share(&up))
        };
        assert!(!marks.iter().any(|p| lies_in(&p)), "{text:?} lies on a mark");
    }
}

/// Where a sheet lies with its length away from the front edge, its grain runs that way.
#[test]
fn the_grains_arrow_runs_along_the_sheets_own_length() {
    let arrow = |x: f64, y: f64| {
        let cut = "makes = \"pattern\"\nquantity = 2\nmachine = \"router-table\"\nmaterial \
            = \"hardboard-6\"";
        let mut job = Stair { cut: cut.into(), ..Stair::default() }.job();
        job.cut.machine.travel[0] = Length::inches(x);
        job.cut.machine.travel[1] = Length::inches(y);
        let set = Set::of(vec![Entry { job, times: 1 }], 0).unwrap();
        let facts = SheetFacts {
            title: "Sheet 1 of 1",
            whose: "",
            numbers: set.sheet_numbers(0),
            programs: vec!["program.nc"],
            grain: Grain::Lengthwise,
        };
        let page = sheet_picture(&set.sheets[0], &facts);
        let words = page.texts().find(|text| text.content == "grain").unwrap().at;
        let near = |p: &Point| (p - words).norm() < 40.0;
        let lines = page.items().filter_map(|item| match item {
            Item::Stroke { path: Path::Open(points), .. } if points.len() == 2 => {
                Some((points[0], points[1]))
            }
            _ => None,
        });
        let longest = lines
            .filter(|(a, b)| near(a) && near(b))
            .max_by(|(a, b), (c, d)| (b - a).norm().total_cmp(&(d - c).norm()));
        let (a, b) = longest.unwrap();
        (set.sheets[0].lies_along, (b.x - a.x).abs() > (b.y - a.y).abs())
    };
    assert_eq!(arrow(96.5, 48.5), (true, true));
    assert_eq!(arrow(48.5, 96.5), (false, false));
}
