//! What a drawing says that some readers follow and others pass over: counts, flags, sections,
//! paper, classes, handles, linetypes. Each is refused, or told where it cannot change the part.

use super::expectation::Expectation;
use super::testing::{codes, drawing, edges, expectation, job, job_on};
use super::verify_drawing;
use crate::diagnostics::Finding;
use crate::job::Corners;

/// A drawing of the part in mm with these sections before its entities, and these entities more.
fn text(e: &Expectation<'_>, before: &str, more: &str) -> String {
    drawing(&edges(&e.pieces[0].part), "CUT", 1.0, 4)
        .replacen("0\nENDSEC\n0\nEOF", &format!("{more}0\nENDSEC\n0\nEOF"), 1)
        .replacen("0\nSECTION\n2\nENTITIES", &format!("{before}0\nSECTION\n2\nENTITIES"), 1)
}

fn found(text: &str, e: &Expectation<'_>) -> Vec<Finding> {
    verify_drawing(text.as_bytes(), "d.dxf", e).unwrap().findings
}

/// The sentence of the only finding of a code, which is a refusal.
fn refused(text: &str, e: &Expectation<'_>, code: &str) -> String {
    let found = found(text, e);
    let of_code: Vec<&Finding> = found.iter().filter(|f| f.code.name() == code).collect();
    assert!(of_code.len() == 1 && of_code[0].refuses(), "{code}: {found:?}");
    of_code[0].sentence()
}

/// What is said of a drawing that is not read.
fn unread(text: &[u8], e: &Expectation<'_>) -> String {
    verify_drawing(text, "d.dxf", e).unwrap_err().to_string()
}

fn section(name: &str, body: &str) -> String {
    format!("0\nSECTION\n2\n{name}\n{body}0\nENDSEC\n")
}

/// A line far beside the part.
fn line(layer: &str, more: &str) -> String {
    format!("0\nLINE\n8\n{layer}\n{more}10\n900\n20\n900\n11\n950\n21\n900\n")
}

/// The outline as an old polyline, with something more in its head, in one of its vertices and at
/// its end.
fn old(e: &Expectation<'_>, head: &str, vertex: &str, end: &str) -> String {
    let mut text = section("HEADER", "9\n$INSUNITS\n70\n4\n");
    text += &format!("0\nSECTION\n2\nENTITIES\n0\nPOLYLINE\n8\nCUT\n{head}");
    for (i, segment) in edges(&e.pieces[0].part).iter().enumerate() {
        let (p, more) = (segment.from(), if i == 3 { vertex } else { "8\nCUT\n" });
        text += &format!("0\nVERTEX\n{more}10\n{:.9}\n20\n{:.9}\n", p.x, p.y);
    }
    text + end + "0\nENDSEC\n0\nEOF\n"
}

#[test]
fn a_polyline_lists_as_many_vertices_as_it_says_each_once() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let good = text(&e, "", "");
    let count = edges(&e.pieces[0].part).len();
    let says = format!("90\n{count}\n");
    assert_eq!(found(&good, &e), []);
    assert_eq!(
        found(&good.replacen(&says, "", 1), &e),
        [],
        "who counts them himself needs no count"
    );
    for other in [count - 1, count + 1, 0] {
        let said =
            refused(&good.replacen(&says, &format!("90\n{other}\n"), 1), &e, "drawing-entity");
        assert!(
            said.contains(&format!("says it has {other} vertices and lists {count}")),
            "{said}"
        );
    }
    let third = good.match_indices("\n20\n").nth(2).unwrap().0;
    let with = |more: &str| format!("{}{more}{}", &good[..third], &good[third..]);
    for (text, words) in [
        (with("\n20\n5"), "says group 20 twice for a vertex"),
        (with("\n42\n0.1\n42\n0"), "says group 42 twice for a vertex"),
        (with("\n91\n1\n91\n2"), "says group 91 twice for a vertex"),
        (with("\n10\n5"), "with a vertex that has no Y"),
        (good.replacen("70\n1\n10\n", "70\n1\n20\n7\n10\n", 1), "group 20 before its first vertex"),
        (good.replacen("70\n1\n10\n", "70\n1\n70\n0\n10\n", 1), "says group 70 twice"),
        (good.replacen("70\n1\n10\n", "70\n1\n6\nA\n6\nB\n10\n", 1), "says group 6 twice"),
        (text(&e, "", "0\nLWPOLYLINE\n8\nCUT\n10\n5\n20\n5\n"), "fewer than two vertices"),
    ] {
        let said = refused(&text, &e, "drawing-entity");
        assert!(said.contains(words), "{words}: {said}");
    }
    // What belongs to other programs may stand as often as they like.
    let reactors = "102\n{ACAD_REACTORS\n330\nA\n330\nB\n102\n}\n";
    let xdata = "1001\nX\n1000\na\n1000\nb\n";
    let theirs = good.replacen("70\n1\n10\n", &format!("{reactors}70\n1\n10\n"), 1).replacen(
        "0\nENDSEC\n0\nEOF",
        &format!("{xdata}0\nENDSEC\n0\nEOF"),
        1,
    );
    assert_eq!(found(&theirs, &e), []);
}

#[test]
fn flags_that_make_other_lines_of_vertices_are_refused() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let (head, vertex, end) = ("66\n1\n70\n1\n", "8\nCUT\n", "0\nSEQEND\n8\nCUT\n");
    assert_eq!(found(&old(&e, head, vertex, end), &e), []);
    assert_eq!(found(&old(&e, "66\n1\n70\n129\n", vertex, end), &e), []);
    for flag in [1, 2, 4, 8, 16, 32, 64, 128] {
        let vertex = format!("{vertex}70\n{flag}\n");
        let said = refused(&old(&e, head, &vertex, end), &e, "drawing-entity");
        assert!(said.contains("with a vertex of a curve or in space"), "{flag}: {said}");
    }
    for flag in [2, 4, 8, 16, 32, 64] {
        let head = format!("66\n1\n70\n{}\n", 1 + flag);
        let said = refused(&old(&e, &head, vertex, end), &e, "drawing-entity");
        assert!(said.contains("with curves or in space"), "{flag}: {said}");
        let light = text(&e, "", "").replacen("70\n1\n10", &format!("70\n{}\n10", 1 + flag), 1);
        let said = refused(&light, &e, "drawing-entity");
        assert!(said.contains("flags that it does not have"), "{flag}: {said}");
    }
    for (head, vertex, end, words) in [
        ("66\n1\n70\n1\n75\n5\n", vertex, end, "with curves or in space"),
        ("66\n0\n70\n1\n", vertex, end, "says that no vertices follow"),
        (head, vertex, "", "without its SEQEND"),
        (head, "8\nREF\n", end, "with a vertex on another layer"),
    ] {
        let said = refused(&old(&e, head, vertex, end), &e, "drawing-entity");
        assert!(said.contains(words), "{words}: {said}");
    }
    let alone = format!("{end}0\nVERTEX\n8\nCUT\n10\n0\n20\n0\n");
    let said = refused(&old(&e, head, vertex, &alone), &e, "drawing-stray");
    assert!(said.contains("VERTEX on layer CUT") && said.contains("no polyline"), "{said}");
}

#[test]
fn what_can_be_cut_stands_among_the_entities_or_the_drawing_is_refused() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    for name in ["OBJECTS", "CLASSES", "THUMBNAILIMAGE", "TABLES", "ANYTHING"] {
        for layer in ["CUT", "NOTES"] {
            let said =
                refused(&text(&e, &section(name, &line(layer, "")), ""), &e, "drawing-stray");
            assert!(said.contains(&format!("LINE on layer {layer}")), "{said}");
            assert!(said.contains(&format!("in section {name}")), "{said}");
        }
        let plain = "0\nDICTIONARY\n5\nA1\n3\nACAD_GROUP\n0\nTEXT\n1\nx\n";
        assert_eq!(found(&text(&e, &section(name, plain), ""), &e), [], "{name}");
    }
    let in_header = text(&e, "", "").replacen(
        "$INSUNITS\n70\n4\n",
        &format!("$INSUNITS\n70\n4\n{}", line("CUT", "")),
        1,
    );
    assert!(refused(&in_header, &e, "drawing-stray").contains("section HEADER"));
    for body in [line("CUT", ""), format!("0\nBLOCK\n2\nB\n0\nENDBLK\n{}", line("CUT", ""))] {
        let said = refused(&text(&e, &section("BLOCKS", &body), ""), &e, "drawing-stray");
        assert!(said.contains("in the section of blocks and in none of them"), "{said}");
    }
}

#[test]
fn sections_stand_once_by_their_names_and_are_over_before_the_next() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let good = text(&e, "", "");
    for (spoilt, words) in [
        (text(&e, &section("ENTITIES", ""), ""), "a section stands twice"),
        (text(&e, &(section("X", "") + &section("x", "")), ""), "a section stands twice"),
        (text(&e, "0\nSECTION\n2\nX\n", ""), "begins within another"),
        (text(&e, &(section("X", "") + "0\nENDSEC\n"), ""), "none began"),
        (text(&e, "0\nSECTION\n8\nX\n0\nENDSEC\n", ""), "has no name"),
        (good.replacen("2\nENTITIES\n", "2\nENTITIES\n2\nOBJECTS\n", 1), "two names"),
        (good.replacen("ENTITIES", "entities", 1), "not written as readers look for it"),
        (good.replacen("ENTITIES", "ENTITIES ", 1), "not written as readers look for it"),
        (good.replacen("0\nENDSEC\n0\nEOF", "0\nEOF", 1), "ends within a section"),
        (good.replacen("LWPOLYLINE", "LwPolyline", 1), "not written as readers look for it"),
        (good.replacen("LWPOLYLINE", "LWPOLYLINE ", 1), "not written as readers look for it"),
    ] {
        let said = unread(spoilt.as_bytes(), &e);
        assert!(said.contains(words) && said.contains("d.dxf:"), "{words}: {said}");
    }
    assert_eq!(found(&good.replace('\n', "\r\n"), &e), []);
}

#[test]
fn lines_and_codes_are_written_so_that_every_reader_sees_the_same() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let good = text(&e, "", "");
    // A comment that holds an entity for who ends lines at a carriage return.
    let hidden = line("CUT", "").replace('\n', "\r");
    for inside in
        [hidden.as_str(), "\x1a", "\0", "\x0c", "\x0b", "\x1e", "\u{85}", "\u{2028}", "\u{2029}"]
    {
        let spoilt = text(&e, "", &format!("999\nx{inside}y\n"));
        let line = spoilt[..spoilt.find('x').unwrap()].matches('\n').count() + 1;
        let said = unread(spoilt.as_bytes(), &e);
        assert!(said.contains(&format!("d.dxf:{line}:1")), "{said}");
        assert!(said.contains("control character"), "{said}");
    }
    assert_eq!(found(&text(&e, "999\na\ttab, \u{e9}\u{2026}\n", ""), &e), []);
    for code in ["+8", "08", "-0", "8.0", "8e0", "0x8", "1 0"] {
        let said = unread(good.replacen("\n8\nCUT", &format!("\n{code}\nCUT"), 1).as_bytes(), &e);
        assert!(said.contains("no group code") && said.contains("plain digits"), "{code}: {said}");
    }
    assert_eq!(found(&good.replace("\n8\nCUT", "\n \t8 \nCUT"), &e), []);
}

#[test]
fn what_lies_on_paper_is_refused_on_layers_of_the_part_and_counted_on_others() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    for layer in ["CUT", "cut", "MARK", "POCKET", "DRILL"] {
        let said = refused(&text(&e, "", &line(layer, "67\n1\n")), &e, "drawing-stray");
        assert!(said.contains("LINE") && said.contains("on paper"), "{layer}: {said}");
    }
    let ring = "0\nPOLYLINE\n8\nCUT\n67\n1\n66\n1\n70\n1\n0\nVERTEX\n8\nCUT\n67\n1\n10\n1\n20\n1\n0\nSEQEND\n67\n1\n";
    assert!(refused(&text(&e, "", ring), &e, "drawing-stray").contains("POLYLINE on layer CUT"));
    // The part's own layer, whatever its name.
    let on_zero = text(&e, "", &line("0", "67\n1\n")).replace("8\nCUT", "8\n0");
    assert!(refused(&on_zero, &e, "drawing-stray").contains("LINE on layer 0"));
    let title = line("TITLE", "67\n1\n") + &line("REF", "67\n1\n") + "0\nVIEWPORT\n8\n0\n67\n1\n";
    let found = found(&text(&e, "", &(title + "0\nTEXT\n8\n0\n67\n1\n1\nx\n")), &e);
    assert_eq!(codes(&found), ["drawing-paper-not-judged"]);
    assert!(!found[0].refuses() && found[0].sentence().contains("2 LINE"), "{found:?}");
}

#[test]
fn layers_that_are_not_plotted_or_dashed_are_refused_where_the_part_is_on_them() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let layer = |name: &str, more: &str| {
        format!("0\nTABLE\n2\nLAYER\n0\nLAYER\n2\n{name}\n70\n0\n62\n7\n{more}0\nENDTAB\n")
    };
    let linetype = |name: &str, dashes: usize| {
        format!("0\nTABLE\n2\nLTYPE\n0\nLTYPE\n2\n{name}\n73\n{dashes}\n0\nENDTAB\n")
    };
    let of = |tables: &str| text(&e, &section("TABLES", tables), "");
    let said = refused(&of(&layer("CUT", "290\n0\n")), &e, "drawing-hidden");
    assert!(said.contains("never plotted"), "{said}");
    let points = text(&e, "", "").replace("8\nCUT", "8\nDefpoints");
    assert!(refused(&points, &e, "drawing-hidden").contains("never plotted"));
    let frozen = of(&layer("cut", "").replace("70\n0", "70\n1"));
    assert!(refused(&frozen, &e, "drawing-hidden").contains("off or frozen"));
    let plain = linetype("CONTINUOUS", 0) + &linetype("SOLID2", 0) + &linetype("DASHED", 2);
    for tables in [
        layer("CUT", "290\n1\n6\nContinuous\n"),
        layer("CUT", "6\nSolid2\n"),
        layer("REF", "290\n0\n6\nDASHED\n"),
        layer("CUT", ""),
    ] {
        assert_eq!(found(&of(&(plain.clone() + &tables)), &e), [], "{tables}");
    }
    for tables in [
        plain.clone() + &layer("CUT", "6\nDashed\n"),
        // One that the file does not define, and one that it defines otherwise.
        layer("CUT", "6\nSOLID2\n"),
        linetype("continuous", 2) + &layer("CUT", "6\nCONTINUOUS\n"),
        plain.clone() + &layer("cut", "6\nDASHED\n") + &layer("CUT", "6\nCONTINUOUS\n"),
    ] {
        refused(&of(&tables), &e, "drawing-dashed");
    }
    let own = |name: &str| of(&plain).replace("8\nCUT", &format!("8\nCUT\n6\n{name}"));
    for name in ["ByLayer", "BYBLOCK", "continuous"] {
        assert_eq!(found(&own(name), &e), [], "{name}");
    }
    assert!(refused(&own("DASHED"), &e, "drawing-dashed").contains("linetype DASHED"));
}

#[test]
fn an_old_version_has_no_polyline_in_one_entity() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let version = |text: &str, version: &str| {
        text.replacen("9\n$INSUNITS", &format!("9\n$ACADVER\n1\n{version}\n9\n$INSUNITS"), 1)
    };
    let light = text(&e, "", "");
    for known in ["AC1014", "AC1015", "AC1032", "ANY"] {
        assert_eq!(found(&version(&light, known), &e), [], "{known}");
    }
    for old_one in ["AC1009", "AC1006", "AC1012"] {
        let said = refused(&version(&light, old_one), &e, "drawing-entity");
        assert!(said.contains("LWPOLYLINE, which the version"), "{old_one}: {said}");
    }
    let of = |head: &str| version(&old(&e, head, "8\nCUT\n", "0\nSEQEND\n8\nCUT\n"), "AC1009");
    assert_eq!(found(&of("66\n1\n70\n1\n"), &e), []);
    assert!(refused(&of("70\n1\n"), &e, "drawing-entity").contains("without the flag"));
    assert_eq!(found(&of("70\n1\n").replace("AC1009", "AC1015"), &e), []);
}

#[test]
fn two_systems_of_units_are_told() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let of = |mm: f64, insunits: u8, measurement: u8| {
        let text = drawing(&edges(&e.pieces[0].part), "CUT", mm, insunits);
        let more = format!("70\n{insunits}\n9\n$MEASUREMENT\n70\n{measurement}\n");
        found(&text.replacen(&format!("70\n{insunits}\n"), &more, 1), &e)
    };
    for (mm, insunits, measurement) in [(25.4, 1, 0), (304.8, 2, 0), (1.0, 4, 1), (10.0, 5, 1)] {
        assert_eq!(of(mm, insunits, measurement), [], "{insunits}");
        let other = of(mm, insunits, 1 - measurement);
        assert_eq!(codes(&other), ["drawing-units-apart"]);
        assert!(!other[0].refuses());
    }
    let said = of(25.4, 1, 1)[0].sentence();
    assert!(
        said.contains("in inches, as $INSUNITS says") && said.contains("millimetres"),
        "{said}"
    );
}

#[test]
fn groups_stand_within_their_classes_and_what_changes_a_shape_or_its_place_is_refused() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let good = text(&e, "", "");
    let of = |head: &str| good.replacen("8\nCUT\n", head, 1);
    let classes = "5\nA\n330\n0\n100\nAcDbEntity\n8\nCUT\n100\nAcDbPolyline\n";
    assert_eq!(found(&of(classes), &e), []);
    for head in [
        "100\nAcDbEntity\n8\nCUT\n100\nAcDbHatch\n",
        "100\nAcDbEntity\n8\nCUT\n",
        "100\nAcDbEntity\n100\nAcDbPolyline\n8\nCUT\n",
        "100\nAcDbEntity\n8\nCUT\n100\nAcDbPolyline\n100\nAcDbLine\n",
        "100\nAcDbEntity\n8\nCUT\n43\n0\n100\nAcDbPolyline\n",
    ] {
        let said = refused(&of(head), &e, "drawing-entity");
        assert!(said.contains("classes"), "{head}: {said}");
    }
    let arc = |shape: &str, ends: &str| {
        let (shape, ends) = (format!("{shape}100\nAcDbCircle\n"), format!("100\nAcDbArc\n{ends}"));
        let center = "10\n900\n20\n900\n40\n5\n";
        text(&e, "", &format!("0\nARC\n100\nAcDbEntity\n8\nNOTES\n{shape}{center}{ends}"))
    };
    let ends = "50\n0\n51\n90\n";
    assert_eq!(codes(&found(&arc("", ends), &e)), ["drawing-layer-not-judged"]);
    assert!(refused(&arc(ends, ""), &e, "drawing-entity").contains("ARC with groups"));
    for (head, words) in [
        ("8\nCUT\n39\n6\n", "with a thickness"),
        ("8\nCUT\n410\nLayout1\n", "on a layout of its own"),
        ("8\nCUT \n", "with blanks round"),
        ("8\n CUT\n", "with blanks round"),
    ] {
        let said = refused(&of(head), &e, "drawing-entity");
        assert!(said.contains(words), "{said}");
    }
    assert_eq!(found(&of("8\nCUT\n39\n0\n410\nModel\n60\n0\n"), &e), []);
}

#[test]
fn a_handle_is_one_entitys_and_a_layers_name_is_written_in_one_way() {
    let job = job();
    let e = expectation(&job, Corners::Fillet);
    let of = |own: &str, other: &str, layer: &str| {
        let text = text(&e, "", &line(layer, &format!("5\n{other}\n")));
        text.replacen("8\nCUT\n", &format!("8\nCUT\n5\n{own}\n"), 1)
    };
    assert_eq!(found(&of("A1", "A2", "REF"), &e), []);
    // None at all.
    assert_eq!(found(&of("0", "0", "REF"), &e), []);
    for other in ["A1", "a1", "0A1"] {
        let said = refused(&of("A1", other, "REF"), &e, "drawing-entity");
        assert!(said.contains("the handle of another"), "{said}");
    }
    // Lines of the outline on two spellings of its layer.
    let loose = super::testing::loose_drawing(&edges(&e.pieces[0].part)).replace("OUTLINE", "CUT");
    assert_eq!(found(&loose, &e), []);
    let said = refused(&loose.replacen("8\nCUT", "8\nCut", 1), &e, "drawing-layer-spelled");
    assert!(said.contains("both Cut and CUT"), "{said}");
    assert_eq!(found(&loose.replace("8\nCUT", "8\nCut"), &e), []);
}

#[test]
fn a_bar_is_as_long_as_its_words_say() {
    for (machine, mm, insunits, said) in
        [("router-table", 25.4, 1, "4 in"), ("laser", 1.0, 4, "100 mm"), ("laser", 1.0, 4, "4 in")]
    {
        let job = job_on(machine);
        let e = expectation(&job, Corners::Fillet);
        let bar = |length: f64, x: f64| {
            let (y, to) = (20.0 / mm, (x + length) / mm);
            format!("0\nLINE\n8\nREF\n10\n{}\n20\n{y}\n11\n{to}\n21\n{y}\n", x / mm)
        };
        let words = |words: &str, height: f64| {
            let (x, y) = (30.0 / mm, 22.4 / mm);
            format!("0\nTEXT\n8\nREF\n10\n{x}\n20\n{y}\n40\n{}\n1\n{words}\n", height / mm)
        };
        let of = |more: &str| {
            let good = drawing(&edges(&e.pieces[0].part), "CUT", mm, insunits);
            good.replacen("0\nENDSEC\n0\nEOF", &format!("{more}0\nENDSEC\n0\nEOF"), 1)
        };
        let right = if said == "4 in" { 101.6 } else { 100.0 };
        let below = words(&format!("The bar below is {said} long"), 3.0);
        assert_eq!(found(&of(&(bar(right, 30.0) + &below)), &e), []);
        for wrong in [right * 0.954, right * 1.01, right + 0.02] {
            let told = refused(&of(&(bar(wrong, 30.0) + &below)), &e, "drawing-bar-off");
            assert!(told.contains(said) && told.contains("drawn there"), "{told}");
            // A right one elsewhere does not mend it.
            let both = bar(wrong, 30.0) + &bar(right, 60.0) + &below;
            refused(&of(&both), &e, "drawing-bar-off");
        }
        assert!(refused(&of(&below), &e, "drawing-bar-off").contains("no bar of that length"));
        // Words of others, where their bar is not found at once.
        for others in [format!("SCALE BAR: {said}"), format!("bar = {said}")] {
            let far = words(&others, 0.5);
            assert_eq!(found(&of(&(bar(right, 60.0) + &far)), &e), [], "{others}");
            refused(&of(&(bar(right * 1.1, 60.0) + &far)), &e, "drawing-bar-off");
        }
        // A line across is no bar, nor are words that tell of none.
        let across = format!(
            "0\nLINE\n8\nREF\n10\n{0}\n20\n{1}\n11\n{0}\n21\n{2}\n",
            30.0 / mm,
            20.0 / mm,
            27.0 / mm
        );
        assert_eq!(found(&of(&(across + &bar(right, 30.0) + &below)), &e), []);
        assert_eq!(found(&of(&words("Treads 7 in deep, stairs 90 in long", 3.0)), &e), []);
        assert_eq!(found(&of(&words("7 in bar | seatcut 1.0 | job 77", 3.0)), &e), []);
    }
}
