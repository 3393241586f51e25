//! What a drawing says of its unit and of the space that its entities lie in, its blocks, and the
//! words that are judged.

use super::dxf::read_drawing;
use super::expectation::{Expectation, Pocket};
use super::testing::{codes, drawing, edges, expectation, job, path};
use super::{drawing_words, verify_drawing};
use crate::diagnostics::Finding;
use crate::geometry::{Contour, Point};
use crate::job::Corners;
use crate::stair::outline::PocketRole;

/// What is told of a drawing of the part with these entities, and sections before it.
fn told(e: &Expectation<'_>, before: &str, more: &str) -> Vec<Finding> {
    let text = drawing(&edges(&e.pieces[0].part), "CUT", 1.0, 4)
        .replacen("0\nENDSEC\n0\nEOF", &format!("{more}0\nENDSEC\n0\nEOF"), 1)
        .replacen("0\nSECTION\n2\nENTITIES", &format!("{before}0\nSECTION\n2\nENTITIES"), 1);
    verify_drawing(text.as_bytes(), "d.dxf", e).unwrap().findings
}

/// Block records: 1F of model space, 1B of paper space, 2C of another sheet, 30 of a block.
fn records() -> String {
    let record =
        |(handle, name): (&str, &str)| format!("0\nBLOCK_RECORD\n5\n{handle}\n2\n{name}\n");
    let all =
        [("1F", "*Model_Space"), ("1B", "*PAPER_SPACE"), ("2C", "*Paper_Space0"), ("30", "B")];
    let all: String = all.into_iter().map(record).collect();
    format!("0\nSECTION\n2\nTABLES\n0\nTABLE\n2\nBLOCK_RECORD\n{all}0\nENDTAB\n0\nENDSEC\n")
}

fn block(name: &str, more: &str, body: &str) -> String {
    format!("0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\n{name}\n{more}{body}0\nENDBLK\n0\nENDSEC\n")
}

fn circle(layer: &str, more: &str) -> String {
    format!("0\nCIRCLE\n8\n{layer}\n{more}10\n160\n20\n65\n40\n4\n")
}

#[test]
fn flag_owner_and_block_say_one_space_or_the_drawing_is_refused() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let of = |before: &str, more: &str| codes(&told(&e, before, more));
    let doubted = |more: &str| of(&records(), &circle("CUT", more)).contains(&"drawing-space");
    for flag in ["1", "01", "+1", " 1"] {
        let on_paper = of(&records(), &circle("NOTES", &format!("67\n{flag}\n")));
        assert_eq!(on_paper, ["drawing-paper-not-judged"], "{flag}");
        assert!(doubted(&format!("330\n1F\n67\n{flag}\n")), "{flag}");
        assert!(!doubted(&format!("330\n01b\n67\n{flag}\n")), "{flag}");
    }
    // 2 is no flag; a reader that asks for anything but 0 has it on paper.
    assert!(of(&records(), &circle("CUT", "67\n2\n")).contains(&"drawing-entity"));
    for (more, is_doubted) in [
        ("330\n1F\n", false),
        ("330\n1f\n", false),
        ("330\n1B\n", true),
        ("330\n2C\n", true),
        ("330\n30\n", true),
        ("330\n2C\n67\n1\n", false),
        ("330\n30\n67\n1\n", true),
        ("330\nFFF\n67\n1\n", true),
        // Who reacts to it stands between braces.
        ("102\n{ACAD_REACTORS\n330\n1B\n102\n}\n330\n1F\n", false),
        ("102\n{ACAD_REACTORS\n330\n1F\n102\n}\n330\n1B\n", true),
        ("330\n1F\n330\n1B\n", true),
    ] {
        assert_eq!(doubted(more), is_doubted, "{more}");
    }
    // Where no record is, nobody is known.
    let unknown = of("", &circle("NOTES", "330\n1F\n67\n1\n"));
    assert_eq!(unknown, ["drawing-paper-not-judged"]);
    // The outline itself, owned by paper.
    let text = drawing(&edges(&e.pieces[0].part), "CUT", 1.0, 4)
        .replacen("LWPOLYLINE\n", "LWPOLYLINE\n330\n1B\n", 1)
        .replacen("0\nSECTION\n2\nENTITIES", &(records() + "0\nSECTION\n2\nENTITIES"), 1);
    let found = verify_drawing(text.as_bytes(), "d.dxf", &e).unwrap().findings;
    assert_eq!(codes(&found), ["drawing-space"]);
    let said = found[0].sentence();
    assert!(said.contains("LWPOLYLINE on layer CUT") && said.contains("paper space"), "{said}");
    // Between two sections nothing is anywhere.
    let outside = text.replacen(
        "0\nSECTION\n2\nENTITIES",
        &(circle("CUT", "") + "0\nSECTION\n2\nENTITIES"),
        1,
    );
    let error = verify_drawing(outside.as_bytes(), "d.dxf", &e).unwrap_err().to_string();
    assert!(error.contains("outside of all sections") && error.contains("CIRCLE"), "{error}");
    // In the bodies of the blocks of spaces.
    let body = circle("CUT", "");
    for (name, more) in [("*Model_Space", ""), ("*paper_space", ""), ("B", "330\n1F\n")] {
        let before = records() + &block(name, more, &body);
        assert!(of(&before, "").contains(&"drawing-space"), "{name}");
    }
    let other_paper =
        |body: &str| of(&(records() + &block("*Paper_Space0", "330\n2C\n", body)), "");
    assert_eq!(other_paper(&body), ["drawing-stray"]);
    assert_eq!(other_paper(&circle("NOTES", "")), ["drawing-paper-not-judged"]);
    let owned = circle("CUT", "330\n1F\n");
    assert!(of(&(records() + &block("B", "330\n30\n", &owned)), "").contains(&"drawing-space"));
}

#[test]
fn what_a_dimension_draws_is_nothing_to_cut_and_blocks_that_nothing_uses_are_told() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let dimension = "0\nDIMENSION\n8\nNOTES\n2\n*d1\n10\n0\n20\n0\n";
    let drawn_by = |body: &str| codes(&told(&e, &block("*D1", "", body), dimension));
    let plain = "0\nLINE\n8\n0\n10\n1\n20\n1\n0\nSOLID\n8\n0\n0\nMTEXT\n8\n0\n1\n10 in\n";
    assert_eq!(drawn_by(plain), ["drawing-layer-not-judged"]);
    for body in [circle("0", ""), circle("CUT", ""), plain.replace("LINE\n8\n0", "LINE\n8\ncut")] {
        assert_eq!(drawn_by(&body), ["drawing-entity"], "{body}");
    }
    // Where the part lies on a layer of another name, that is the one.
    let elsewhere = |body: &str, layer: &str| {
        let text = drawing(&edges(&e.pieces[0].part), "part", 1.0, 4)
            .replacen("0\nENDSEC\n0\nEOF", &format!("{dimension}0\nENDSEC\n0\nEOF"), 1)
            .replacen("8\nNOTES", &format!("8\n{layer}"), 1)
            .replacen(
                "0\nSECTION\n2\nENTITIES",
                &format!("{}0\nSECTION\n2\nENTITIES", block("*D1", "", body)),
                1,
            );
        let verdict = verify_drawing(text.as_bytes(), "d.dxf", &e).unwrap();
        (verdict.is_this_part(), codes(&verdict.findings).contains(&"drawing-entity"))
    };
    assert_eq!(elsewhere(plain, "PART"), (true, false));
    let on_it = plain.replace("LINE\n8\n0", "LINE\n8\nPART");
    assert_eq!(elsewhere(&on_it, "PART"), (false, true));
    // What is drawn by a block within counts, however deep.
    let nested = |depth: usize| {
        let within = |i: usize| {
            let next = format!("0\nINSERT\n8\n0\n2\nN{}\n", i + 1);
            let body = if i == depth { circle("0", "") } else { next };
            block(&if i == 0 { "*D1".to_string() } else { format!("N{i}") }, "", &body)
        };
        let blocks: String = (0..=depth).map(within).collect();
        codes(&told(&e, &blocks.replace("0\nENDSEC\n0\nSECTION\n2\nBLOCKS\n", ""), dimension))
    };
    assert_eq!((nested(1), nested(40)), (vec!["drawing-entity"], vec!["drawing-entity"]));
    let unused = told(&e, &block("LID", "", &circle("CUT", "")), "");
    assert_eq!(codes(&unused), ["drawing-blocks-not-judged"]);
    let said = unused[0].sentence();
    assert!(said.contains("LID") && said.contains("1 CIRCLE"), "{said}");
    assert_eq!(codes(&told(&e, &block("LID", "", "0\nTEXT\n8\n0\n1\nx\n"), "")), [""; 0]);
    // A block that is drawn is drawn by an entity that is refused, wherever it stands.
    for layer in ["CUT", "REF", "OTHER"] {
        let insert = format!("0\nINSERT\n8\n{layer}\n2\nLID\n10\n0\n20\n0\n");
        let found = told(&e, &block("LID", "", &circle("CUT", "")), &insert);
        assert!(found.iter().any(Finding::refuses), "{layer}: {:?}", codes(&found));
    }
}

#[test]
fn a_unit_is_said_once_and_is_one_that_stairs_are_drawn_in() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let text = |mm: f64, header: &str, head: &str| {
        let text = drawing(&edges(&e.pieces[0].part), "CUT", mm, 4);
        format!("{head}{}", text.replacen("9\n$INSUNITS\n70\n4\n", header, 1))
    };
    let held = |mm: f64, header: &str, head: &str| {
        let text = text(mm, header, head);
        let verdict = verify_drawing(text.as_bytes(), "d.dxf", &e).unwrap();
        (verdict.is_this_part(), verdict.findings)
    };
    let insunits = |number: i64| format!("9\n$INSUNITS\n70\n{number}\n");
    // By the published DXF reference.
    for (number, mm) in [
        (1, 25.4),
        (2, 304.8),
        (3, 1_609_344.0),
        (4, 1.0),
        (5, 10.0),
        (6, 1000.0),
        (7, 1e6),
        (9, 0.0254),
        (10, 914.4),
        (13, 0.001),
        (14, 100.0),
        (15, 1e4),
        (16, 1e5),
    ] {
        if mm > 0.01 && mm < 1e5 {
            let (is_part, found) = held(mm, &insunits(number), "");
            assert!(is_part && found.is_empty(), "{number}: {found:?}");
        }
        if number != 1 {
            let (is_part, found) = held(25.4, &insunits(number), "");
            let named = codes(&found);
            assert!(!is_part && !named.contains(&"drawing-units-assumed"), "{number}: {named:?}");
        }
    }
    let unclear = |header: &str, head: &str, words: &str| {
        let (is_part, found) = held(1.0, header, head);
        let said = found.iter().find(|f| f.code.name() == "drawing-units-unclear");
        let said = said.unwrap_or_else(|| panic!("{header}{head}: {:?}", codes(&found))).sentence();
        assert!(!is_part && said.contains(words), "{said}");
    };
    for number in [8, 11, 12, 17, 18, 19, 20] {
        unclear(&insunits(number), "", "no stair is drawn");
    }
    for number in [-1, 25, 1000] {
        unclear(&insunits(number), "", &number.to_string());
    }
    unclear(&(insunits(4) + &insunits(1)), "", "more than once");
    unclear(&(insunits(4) + &insunits(4)), "", "more than once");
    let measurement = |number: u8| format!("9\n$MEASUREMENT\n70\n{number}\n");
    unclear(&(measurement(1) + &measurement(0)), "", "more than once");
    let comment = |unit: &str| format!("999\nCoordinates in {unit}, 1:1\n");
    // The comment is the unit where the header has none, and does not gainsay it.
    for (mm, unit) in [(25.4, "inches"), (1.0, "millimetres")] {
        let (is_part, found) = held(mm, &insunits(0), &comment(unit));
        assert!(is_part, "{:?}", codes(&found));
        assert_eq!(codes(&found), ["drawing-units-assumed"]);
        assert!(found[0].sentence().contains(&format!("in {unit}, by a comment")));
        let (is_part, found) = held(26.4 - mm, "", &comment(unit));
        assert!(!is_part, "{:?}", codes(&found));
    }
    unclear("", &comment("cubits"), "cubits");
    unclear("", &(comment("millimetres") + &comment("inches")), "two units");
    unclear(&insunits(4), &comment("inches"), "millimetres and its comment inches");
    // A comment between the name and its value, and a value that is no number.
    let (is_part, found) = held(1.0, "9\n$INSUNITS\n999\nmind\n70\n4\n", "");
    assert!(is_part && found.is_empty(), "{:?}", codes(&found));
    // One value of its own group, and a name as readers look for it; the version once.
    for (header, words) in [
        ("9\n$INSUNITS\n70\n4\n70\n1\n", "2 values"),
        ("9\n$INSUNITS\n40\n4\n", "in group 70"),
        ("9\n$INSUNITS\n9\n$LUNITS\n70\n4\n", "0 values"),
        ("9\n$INSUNITS\n70\n4\n9\n$insunits\n70\n1\n", "$insunits"),
        ("9\n$ACADVER\n1\nAC1015\n1\nAC1009\n9\n$INSUNITS\n70\n4\n", "2 values"),
        ("9\n$ACADVER\n1\nAC1015\n9\n$ACADVER\n1\nAC1009\n", "twice"),
    ] {
        let text = text(1.0, header, "");
        let error = verify_drawing(text.as_bytes(), "d.dxf", &e).unwrap_err().to_string();
        assert!(error.contains(words), "{header}: {error}");
    }
    let wrong = text(1.0, "9\n$INSUNITS\n70\nmm\n", "");
    let error = verify_drawing(wrong.as_bytes(), "d.dxf", &e).unwrap_err().to_string();
    assert!(error.contains("no whole number"), "{error}");
}

#[test]
fn the_depth_of_pockets_is_said_in_words_and_no_other_depth_is() {
    let job = job();
    let mut e = expectation(&job, Corners::Fillet);
    let at = |x: f64, y: f64, role| (Point::new(x, y), role);
    let boundary = Contour::polygon(&[
        at(150.0, 50.0, PocketRole::TreadUnderside(1)),
        at(190.0, 50.0, PocketRole::TreadEnd(1)),
        at(190.0, 80.0, PocketRole::TreadTop(1)),
        at(150.0, 80.0, PocketRole::Nosing(1)),
    ]);
    e.pieces[0].pockets = vec![Pocket { boundary: boundary.unwrap(), depth_mm: 12.7 }];
    let sides = "0\nLWPOLYLINE\n8\nPOCKET\n70\n1\n10\n150\n20\n50\n10\n190\n20\n50\n10\n190\n20\n80\n10\n150\n20\n80\n";
    let text = |words: &str| format!("0\nTEXT\n8\nREF\n10\n0\n20\n0\n40\n3\n1\n{words}\n");
    let of = |before: &str, words: &[&str]| {
        let more: String = words.iter().map(|words| text(words)).collect();
        let found = told(&e, before, &(sides.to_string() + &more));
        let depth = found.iter().filter(|f| f.code.name() == "pocket-depth-words");
        depth.map(Finding::sentence).collect::<Vec<_>>()
    };
    let right = "POCKET: sides of pockets, 12.7000 mm deep from this face, cleared between";
    assert_eq!(of("", &[right]), [""; 0]);
    assert_eq!(of("", &[right, right, "NOMINAL: finished outline, 1:1"]), [""; 0]);
    // Of pockets more is said than their depth.
    let half = "path of the tool centre, half the cutter, in pockets to their inside: 3.0000 mm";
    assert_eq!(of("", &[right, half]), [""; 0]);
    // As a comment, where the file has no words to see.
    let comment = format!("999\n{right}\n");
    assert_eq!(of(&comment, &[]), [""; 0]);
    assert_eq!(of(&comment, &["NOMINAL: finished outline, 1:1"]).len(), 1);
    // A text that nobody who opens the drawing sees says nothing: invisible, turned over, tiny or
    // far away, or on a layer that a shop does not see.
    for (from, to) in [
        ("40\n3\n", "40\n0.00001\n"),
        ("40\n3\n", "40\n3\n60\n1\n"),
        ("40\n3\n", "40\n3\n230\n-1\n"),
        ("10\n0\n", "10\n1000000\n"),
        ("8\nREF\n", "8\nDEFPOINTS\n"),
    ] {
        let unseen = sides.to_string() + &text(right).replacen(from, to, 1);
        let found = told(&e, &comment, &unseen);
        let of_depth = found.iter().find(|found| found.code.name() == "pocket-depth-words");
        let said = of_depth.map(Finding::sentence).unwrap_or_default();
        assert!(said.contains("is not seen"), "{to:?}: {said}");
    }
    // The title is anybody's.
    assert_eq!(of("", &[right, "12 in deep treads | seatcut 1.0 | job 77"]), [""; 0]);
    let missing = of("", &[]);
    assert!(missing.len() == 1 && missing[0].contains(right), "{missing:?}");
    for wrong in [
        right.replace("12.7", "31.7"),
        right.replace("this", "the other"),
        right.replace("sides of pockets", "path of the tool centre along the sides of pockets"),
        "pockets 1 1/4 in".to_string(),
        "Depth = 20".to_string(),
    ] {
        let beside = of("", &[right, &wrong]);
        assert!(beside.len() == 1 && beside[0].contains(&wrong), "{wrong}: {beside:?}");
        assert_eq!(of("", &[&wrong]).len(), 2, "{wrong}");
        assert_eq!(of(&format!("999\n{wrong}\n"), &[right]).len(), 1, "{wrong}");
    }
    // A part without pockets has no depth to say.
    e.pieces[0].pockets.clear();
    assert_eq!(codes(&told(&e, "", &text("Depth = 20"))), [""; 0]);
}

#[test]
fn all_words_of_a_drawing_are_read_wherever_they_stand() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let text = drawing(&path(&e), "CUT", 1.0, 4).replacen(
        "0\nENDSEC\n0\nEOF",
        "0\nTEXT\n8\nREF\n1\none\n0\nMTEXT\n8\nA\n3\ntw\n1\no\n0\nDIMENSION\n8\nA\n67\n1\n1\nthree\n3\nSTANDARD\n0\nENDSEC\n0\nEOF",
        1,
    );
    let text = format!("999\nzero\n{text}");
    let words = drawing_words(text.as_bytes(), "d.dxf").unwrap();
    assert_eq!(
        words.iter().map(|of| &*of.text).collect::<Vec<_>>(),
        ["zero", "one", "two", "three"]
    );
    // That on layer A is counted by its layer; what is on paper, on REF or a comment is not.
    assert_eq!(words.iter().map(|of| of.told).collect::<Vec<_>>(), [false, false, true, false]);
    let read = read_drawing(text.as_bytes(), "d.dxf").unwrap();
    assert_eq!(read.words.iter().map(|words| words.line).next(), Some(2));
    assert!(drawing_words(b"no drawing", "d.dxf").is_err());
}

#[test]
fn an_entitys_own_groups_stand_outside_of_braces_and_before_what_others_add() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let outline = drawing(&edges(&e.pieces[0].part), "CUT", 1.0, 4);
    let held = |text: &str| match verify_drawing(text.as_bytes(), "d.dxf", &e) {
        Ok(verdict) => (verdict.is_this_part(), String::new()),
        Err(error) => (false, error.to_string()),
    };
    let line = |layer: &str| {
        let line = format!("0\nLINE\n{layer}10\n20\n20\n3\n11\n60\n21\n30\n");
        outline.replacen("0\nENDSEC\n0\nEOF", &format!("{line}0\nENDSEC\n0\nEOF"), 1)
    };
    assert!(held(&line("8\nREF\n")).0);
    // Whoever passes over these reads no layer, or no more corners.
    for hidden in ["102\n{X\n8\nREF\n102\n}\n", "1001\nX\n8\nREF\n", "101\nObject\n8\nREF\n"] {
        let (is_part, error) = held(&line(hidden));
        assert!(!is_part && error.contains("readers differ"), "{hidden}: {error}");
    }
    for within in ["101\nEmbedded Object\n", "1001\nX\n1070\n1\n", "102\n{X\n"] {
        let at = outline.match_indices("\n10\n").nth(3).unwrap().0 + 1;
        let text = format!("{}{within}{}", &outline[..at], &outline[at..]);
        let (is_part, error) = held(&text);
        assert!(!is_part && error.contains("readers differ"), "{within}: {error}");
    }
    // Who reacts to it, and what others know of it, stands where it belongs; words are set by an
    // object of their own.
    let mind = "102\n{ACAD_REACTORS\n330\n1F\n102\n}\n8\nREF\n";
    assert!(held(&line(mind)).0);
    let text =
        "0\nMTEXT\n8\nREF\n10\n0\n20\n0\n1\nside\n101\nEmbedded Object\n70\n1\n10\n1\n20\n0\n";
    let more = format!("{text}1001\nX\n1010\n2\n1020\n3\n0\nENDSEC\n0\nEOF");
    let (is_part, error) = held(&outline.replacen("0\nENDSEC\n0\nEOF", &more, 1));
    assert!(is_part, "{error}");
}

#[test]
fn a_dimension_that_draws_a_closed_ring_is_no_note() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let dimension = "0\nDIMENSION\n8\nNOTES\n2\n*D1\n10\n0\n20\n0\n";
    let line = |from: (i32, i32), to: (i32, i32)| {
        format!("0\nLINE\n8\n0\n10\n{}\n20\n{}\n11\n{}\n21\n{}\n", from.0, from.1, to.0, to.1)
    };
    let drawn = |corners: &[(i32, i32)]| {
        let body: String = corners.windows(2).map(|pair| line(pair[0], pair[1])).collect();
        codes(&told(&e, &block("*D1", "", &body), dimension)).contains(&"drawing-entity")
    };
    let ring = [(160, 60), (180, 60), (180, 70), (160, 70), (160, 60)];
    assert!(drawn(&ring) && !drawn(&ring[..4]));
    assert!(drawn(&[&[(150, 50), (160, 60)][..], &ring[1..], &[(150, 80)]].concat()));
}
