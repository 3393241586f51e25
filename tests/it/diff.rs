//! Two jobs side by side: what moved, by how much, and whether the old pattern still serves.

use crate::common::{Stair, code, seatcut, tread};
use std::fs;
use std::io::Write;
use std::process::{Command, Stdio};

/// The differences as text and as JSON, after both ended with 0.
fn diff(old: &str, new: &str) -> (String, serde_json::Value) {
    let dir = tempfile::tempdir().unwrap();
    let paths = [("old.toml", old), ("new.toml", new)].map(|(name, text)| {
        let path = dir.path().join(name);
        fs::write(&path, text).unwrap();
        path.display().to_string()
    });
    let run = |more: &[&str]| {
        let run = seatcut(&[&["diff", &paths[0], &paths[1]], more].concat());
        assert_eq!(code(&run), 0, "{}", String::from_utf8_lossy(&run.stderr));
        assert!(run.stderr.is_empty());
        String::from_utf8(run.stdout).unwrap()
    };
    (run(&[]), serde_json::from_str(&run(&["--json"])).unwrap())
}

fn of(old: &Stair, new: &Stair) -> (String, serde_json::Value) {
    diff(&old.toml(), &new.toml())
}

fn with_rise(rise: &str) -> Stair {
    Stair { rise: rise.into(), ..Stair::default() }
}

/// By how much a figure of the flight moved, in inches.
fn by(json: &serde_json::Value, key: &str) -> f64 {
    json["flight"][key]["by"].as_f64().unwrap_or_else(|| panic!("{key} did not move: {json:#}"))
        / 25.4
}

/// By how much a figure of an edge moved, in inches; `None` if it did not move.
fn edge_by(json: &serde_json::Value, edge: &str, figure: &str) -> Option<f64> {
    let edges = json["outline"].as_array().unwrap();
    edges
        .iter()
        .find(|e| e["edge"] == edge && e["figure"] == figure)
        .and_then(|e| e["by_mm"].as_f64())
        .map(|mm| mm / 25.4)
}

fn near(value: f64, wanted: f64) -> bool {
    (value - wanted).abs() < 1e-9
}

#[test]
fn a_job_beside_itself_moves_nothing() {
    let (text, json) = of(&Stair::default(), &Stair::default());
    assert!(text.contains("nothing moved"), "{text}");
    assert!(
        text.contains("Old pattern: can still be used: the outline is the same to 0.000001 in"),
        "{text}"
    );
    assert_eq!(json["schema"], "seatcut.diff/1");
    assert_eq!(json["old"], json["new"]);
    assert_eq!(json["nothing_moved"], true);
    assert_eq!(json["pattern"]["usable"], true);
    for list in ["outline", "settings"] {
        assert_eq!(json[list].as_array().map(Vec::len), Some(0), "{list}");
    }
    assert_eq!(json["flight"].as_object().map(serde_json::Map::len), Some(0));
}

#[test]
fn the_same_figures_in_other_words_move_nothing() {
    // 51 3/8 in = 1304.925 mm, and an aim that comes to the same count.
    let (text, json) =
        of(&Stair::default(), &with_rise("total = \"1304.925 mm\"\naim = \"7 3/8 in\""));
    assert_eq!(json["nothing_moved"], true, "{text}");
    assert_ne!(json["old"]["fingerprint"], json["new"]["fingerprint"]);
    assert!(text.contains("can still be used"), "{text}");
    // Boards of a job in mm come in other lengths.
    assert!(text.contains("boards") && !text.contains("in other words"), "{text}");
    let (text, _) = of(&Stair::default(), &with_rise("total = \"51.375 in\"\naim = \"7 3/8 in\""));
    assert!(text.contains("the jobs ask for the same in other words"), "{text}");
}

#[test]
fn a_higher_floor_raises_every_riser_by_its_share() {
    // By hand: 52 3/4 - 51 3/8 = 1 3/8 in over 7 risers.
    let share = 1.375 / 7.0;
    let (text, json) = of(&Stair::default(), &with_rise("total = \"52 3/4 in\"\nrisers = 7"));
    assert!(near(by(&json, "total_rise_mm"), 1.375));
    for key in ["unit_rise_mm", "first_riser_cut_mm", "hang_line_mm"] {
        assert!(near(by(&json, key), share), "{key}");
    }
    for still in ["risers", "unit_run_mm", "drop_mm", "total_run_mm", "head_cut_x_mm"] {
        assert!(json["flight"].get(still).is_none(), "{still}");
    }
    for k in 1..=6 {
        assert!(near(edge_by(&json, &format!("tread {k}"), "height").unwrap(), share * k as f64));
        assert!(near(edge_by(&json, &format!("riser {k}"), "length").unwrap(), share));
        assert_eq!(edge_by(&json, &format!("tread {k}"), "length"), None);
        assert_eq!(edge_by(&json, &format!("riser {k}"), "x"), None);
    }
    assert!(text.contains("+1 3/8 in (+34.9 mm)"), "{text}");
    // 0.1964 in is a little more than 3/16 in, 4.99 mm.
    assert!(text.contains("+3/16+ in (+5.0 mm)"), "{text}");
    assert!(text.contains("can NOT be used: the outline is another; a corner moved by"), "{text}");
    assert_eq!(json["pattern"]["usable"], false);
    // The corner that moved farthest is among the uppermost, by 6 shares or, at the lower edge, by
    // more.
    assert!(json["pattern"]["largest_move_mm"].as_f64().unwrap() >= 6.0 * share * 25.4 - 1e-9);
}

#[test]
fn a_shorter_tread_cut_is_told_with_its_minus() {
    // By hand: 6 cuts of 10 in and not of 10 1/4 in are 1 1/2 in shorter.
    let shorter = Stair { tread: tread("10 in", "1 in", "1 in", "3/4 in"), ..Stair::default() };
    let (text, json) = of(&Stair::default(), &shorter);
    assert!(near(by(&json, "unit_run_mm"), -0.25) && near(by(&json, "total_run_mm"), -1.5));
    assert!(near(edge_by(&json, "riser 4", "x").unwrap(), -0.75));
    assert!(near(edge_by(&json, "tread 2", "length").unwrap(), -0.25));
    assert_eq!(edge_by(&json, "tread 2", "height"), None);
    assert!(text.contains("-1 1/2 in (-38.1 mm)") && text.contains("-1/4 in (-6.4 mm)"), "{text}");
}

#[test]
fn a_thicker_tread_lowers_the_board_and_leaves_the_unit_rise() {
    let thicker =
        Stair { tread: tread("10 1/4 in", "1 in", "1 1/4 in", "3/4 in"), ..Stair::default() };
    let (_, json) = of(&Stair::default(), &thicker);
    assert!(near(by(&json, "drop_mm"), 0.25) && near(by(&json, "first_riser_cut_mm"), -0.25));
    assert!(near(by(&json, "hang_line_mm"), 0.25));
    assert!(json["flight"].get("unit_rise_mm").is_none());
    assert!(near(edge_by(&json, "tread 6", "height").unwrap(), -0.25));
    // Lowering the board by 1/4 in lengthens the seat by 1/4 in over the slope.
    let slope = (51.375 / 7.0) / 10.25;
    assert!(near(by(&json, "seat_length_mm"), 0.25 / slope));
    assert!(near(edge_by(&json, "seat cut", "length").unwrap(), 0.25 / slope));
}

#[test]
fn a_count_is_whole_and_edges_come_and_go() {
    let (text, json) = of(&Stair::default(), &with_rise("total = \"51 3/8 in\"\nrisers = 8"));
    assert_eq!(json["flight"]["risers"], serde_json::json!({ "old": 7, "new": 8, "by": 1 }));
    let edges = json["outline"].as_array().unwrap();
    let come = edges.iter().find(|e| e["edge"] == "tread 7" && e["figure"] == "length").unwrap();
    assert!(come["old_mm"].is_null() && come["by_mm"].is_null());
    assert!(near(come["new_mm"].as_f64().unwrap() / 25.4, 10.25));
    assert!(json["pattern"]["largest_move_mm"].is_null());
    assert!(text.contains("it has other edges"), "{text}");
}

#[test]
fn a_plate_notch_is_told_face_by_face() {
    let plate = |set_back: &str| Stair {
        tie_plate: format!(
            "width = \"3 1/2 in\"\nheight = \"1 1/2 in\"\nset_back = \"{set_back}\"\nclearance \
                = \"1/16 \
            in\""
        ),
        ..Stair::default()
    };
    let (_, json) = of(&Stair::default(), &plate("0 in"));
    let edges = json["outline"].as_array().unwrap();
    let level = edges
        .iter()
        .find(|e| e["edge"] == "plate notch, level face" && e["figure"] == "height")
        .unwrap();
    assert!(near(level["new_mm"].as_f64().unwrap() / 25.4, 1.5625) && level["old_mm"].is_null());
    assert!(near(edge_by(&json, "seat cut", "length").unwrap(), -3.5625));
    assert!(near(edge_by(&json, "riser 1", "length").unwrap(), -1.5625));
    let (_, json) = of(&plate("1 in"), &plate("1 1/2 in"));
    assert!(near(edge_by(&json, "seat cut before the notch", "length").unwrap(), 0.5));
    assert!(near(edge_by(&json, "plate notch, face at the toe", "x").unwrap(), 0.5));
    assert!(near(edge_by(&json, "plate notch, face at the heel", "x").unwrap(), 0.5));
    assert_eq!(edge_by(&json, "plate notch, level face", "height"), None);
}

#[test]
fn a_floor_to_come_under_as_much_more_tread_leaves_the_pattern() {
    // r - t + b stays: the board is the same, though the treads and the floor are not.
    let thicker = Stair {
        rise: "total = \"51 3/8 in\"\nrisers = 7\nfinish_to_come = \"1/2 in\"".into(),
        tread: tread("10 1/4 in", "1 in", "1 1/2 in", "3/4 in"),
        ..Stair::default()
    };
    let (text, json) = of(&Stair::default(), &thicker);
    assert_eq!(json["pattern"]["usable"], true, "{text}");
    assert!(
        near(by(&json, "tread_thickness_mm"), 0.5) && near(by(&json, "finish_to_come_mm"), 0.5)
    );
    assert!(near(by(&json, "hang_line_mm"), 0.5));
    assert!(json["flight"].get("drop_mm").is_none());
    assert!(json["outline"].as_array().unwrap().is_empty());
    assert_eq!(json["nothing_moved"], false);
}

#[test]
fn an_outline_is_the_same_to_a_millionth_of_an_inch_and_no_further() {
    let off = |mm: &str| {
        of(
            &with_rise("total = \"1300 mm\"\nrisers = 7"),
            &with_rise(&format!("total = \"{mm} mm\"\nrisers = 7")),
        )
        .1
    };
    assert_eq!(off("1300.00001")["pattern"]["usable"], true);
    assert_eq!(off("1300.001")["pattern"]["usable"], false);
    assert_eq!(off("1300.00001")["nothing_moved"], false);
}

#[test]
fn what_is_cut_is_compared_and_another_tool_needs_another_pattern() {
    let cut = |more: &str| Stair {
        cut: format!(
            "makes = \"pattern\"\nmachine = \"router-table\"\nmaterial = \"hardboard-6\"\n{more}"
        ),
        ..Stair::default()
    };
    let bushing = "follow = { with = \"bushing\", outside = \"3/4 in\", bit = \"1/2 in\" }";
    let (text, json) = of(&cut(""), &cut(bushing));
    assert_eq!(json["nothing_moved"], true);
    assert_eq!(
        (&json["pattern"]["outline_equal"], &json["pattern"]["usable"]),
        (&true.into(), &false.into())
    );
    assert!(text.contains("the pattern is not: followed by: edge then, bushing"), "{text}");
    assert!(
        json["findings"]["came"].as_array().unwrap().iter().any(|f| f["code"] == "nose-rounded")
    );
    // A bearing bit follows the very edge too.
    assert_eq!(
        of(&cut(""), &cut("follow = { with = \"bearing-bit\" }")).1["pattern"]["usable"],
        true
    );

    let (text, json) = of(&cut(""), &cut("corners = \"riser\"\nquantity = 2"));
    assert_eq!(json["pattern"]["usable"], false);
    assert!(
        text.contains("cut.quantity")
            && text.contains("1 -> 2")
            && text.contains("fillet -> riser"),
        "{text}"
    );
    let keys: Vec<_> =
        json["settings"].as_array().unwrap().iter().map(|s| s["key"].as_str().unwrap()).collect();
    assert_eq!(keys, ["cut.quantity", "cut.corners"]);
    let (_, json) = of(
        &cut(""),
        &Stair { cut: cut("").cut.replace("router-table", "laser"), ..Stair::default() },
    );
    assert_eq!(
        json["settings"][0],
        serde_json::json!({ "key": "cut.machine", "old": "router-table", "new": "laser" })
    );
}

#[test]
fn a_profile_of_the_same_name_with_other_figures_is_told() {
    let dir = tempfile::tempdir().unwrap();
    let job = |folder: &str, travel: (&str, &str)| {
        let home = dir.path().join(folder);
        fs::create_dir(&home).unwrap();
        fs::write(
            home.join("own.toml"),
            crate::common::profile_with("material", "hardboard-6", &[travel]),
        )
        .unwrap();
        let path = home.join("own.toml").display().to_string();
        Stair { cut: Stair::default().cut.replace("hardboard-6", &path), ..Stair::default() }
    };
    let (text, json) =
        of(&job("a", ("hardboard", "hardboard")), &job("b", ("hardboard", "fibreboard")));
    assert_eq!(json["settings"][0]["key"], "cut.material", "{text}");
    assert!(text.contains("own -> own, other figures"), "{text}");
}

#[test]
fn findings_that_came_or_went_are_told_and_a_refused_stair_is_compared_too() {
    let narrow = Stair { tread: tread("9 in", "1 in", "1 in", "3/4 in"), ..Stair::default() };
    let (text, json) = of(&Stair::default(), &narrow);
    let has = |list: &serde_json::Value| {
        list.as_array().unwrap().iter().any(|f| f["code"] == "unit-run-low")
    };
    assert!(has(&json["findings"]["came"]) && !has(&json["findings"]["went"]));
    assert!(text.contains("REFUSED"), "{text}");
    let (_, json) = of(&narrow, &Stair::default());
    assert!(has(&json["findings"]["went"]) && !has(&json["findings"]["came"]));

    let no_part =
        Stair { board: "width = \"5 in\"\nthickness = \"1 1/2 in\"".into(), ..Stair::default() };
    let (text, json) = of(&Stair::default(), &no_part);
    assert!(text.contains("cannot be used: the new job has no part"), "{text}");
    assert!(
        json["flight"]["blank_length_mm"]["new"].is_null()
            && json["flight"]["blank_length_mm"]["by"].is_null()
    );
    assert_eq!(json["pattern"]["usable"], false);
}

#[test]
fn what_cannot_be_read_ends_as_elsewhere() {
    let dir = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| {
        fs::write(dir.path().join(name), text).unwrap();
        dir.path().join(name).display().to_string()
    };
    let (good, bad) = (write("good.toml", &Stair::default().toml()), write("bad.toml", "[[["));
    assert_eq!(code(&seatcut(&["diff", &good, &bad])), 3);
    assert_eq!(code(&seatcut(&["diff", &bad, &good])), 3);
    assert_eq!(code(&seatcut(&["diff", &good, "nowhere.toml"])), 7);
    assert_eq!(code(&seatcut(&["diff", &good])), 2);
    assert_eq!(code(&seatcut(&["diff", "-", "-"])), 2);
    let mut run = Command::new(env!("CARGO_BIN_EXE_seatcut"))
        .args(["diff", "-", &good])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    run.stdin.take().unwrap().write_all(Stair::default().toml().as_bytes()).unwrap();
    let run = run.wait_with_output().unwrap();
    assert_eq!(code(&run), 0);
    assert!(String::from_utf8_lossy(&run.stdout).contains("nothing moved"));
}

#[test]
fn holes_pockets_and_the_lines_of_cleats_keep_an_old_pattern_from_serving() {
    let board = |more: &str| Stair {
        board: format!("width = \"14 in\"\nthickness = \"1 1/4 in\"\n{more}"),
        cut: "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"plywood-18\"".into(),
        ..Stair::default()
    };
    let cleat = |more: &str| {
        let mut stair =
            board(&format!("[cleat]\nthickness = \"1 1/2 in\"\nheight = \"1 1/2 in\"\n{more}"));
        stair.tread = tread("10 in", "1 in", "1 1/2 in", "0 in");
        stair
    };
    let housed = |depth: &str, wedge: &str| {
        board(&format!("[housed]\nhand = \"left\"\ndepth = \"{depth}\"\nwedge = \"{wedge}\""))
    };
    for (old, new, words) in [
        (cleat(""), cleat("set_back = \"1 in\""), "cleat"),
        (housed("1/2 in", "3/8 in"), housed("3/8 in", "3/8 in"), "its pockets are others"),
        (housed("1/2 in", "3/8 in"), housed("1/2 in", "1/4 in"), "its pockets are others"),
    ] {
        let (text, json) = of(&old, &new);
        assert!(!text.contains("can still be used") && text.contains(words), "{text}");
        assert!(!text.contains("in other words"), "{text}");
        assert_eq!(json["pattern"]["usable"], false, "{json:#}");
        let (text, json) = of(&old, &old);
        assert!(text.contains("can still be used"), "{text}");
        assert_eq!(json["pattern"]["usable"], true);
    }
}

#[test]
fn what_moves_nothing_and_is_asked_for_otherwise_is_told_by_its_table() {
    let sheet = "makes = \"stringers\"\nquantity = 2\nmachine = \"router-table\"\nmaterial = \
        \"plywood-18\"\n";
    let of_sheet = |more: &str| Stair {
        board: "width = \"11 1/4 in\"\nthickness = \"18 mm\"".into(),
        cut: format!("{sheet}{more}"),
        ..Stair::default()
    };
    let clamp = "clamps = [{ x = \"90 in\", y = \"44 in\", length = \"3 in\", width = \"3 in\" }]";
    for (more, key) in [(clamp, "cut.clamps"), ("spacing = \"2 in\"", "cut.spacing")] {
        let (text, _) = of(&of_sheet(""), &of_sheet(more));
        assert!(text.contains(key) && text.contains("other figures"), "{text}");
        assert!(!text.contains("in other words"), "{text}");
    }
    // The same length in other words is the same.
    let (text, _) = of(&of_sheet("spacing = \"2 in\""), &of_sheet("spacing = \"50.8 mm\""));
    assert!(!text.contains("cut.spacing"), "{text}");
}

#[test]
fn posts_readings_and_what_the_seat_stands_on_are_no_other_words_for_the_same() {
    let with = |more: &str| Stair { waive: more.into(), ..Stair::default() };
    let rail = |more: &str| {
        with(&format!(
            "[stair]\nwidth = \"36 in\"\n[rail]\nheight = \"36 in\"\npost = \"3 1/2 in\"\n{more}"
        ))
    };
    let (text, json) = of(&rail(""), &rail("most_apart = \"36 in\""));
    assert!(text.contains("posts are marked") && !text.contains("can still be used"), "{text}");
    assert_eq!(json["pattern"]["usable"], false);
    let across = |second: &str| {
        with(&format!(
            "[stair]\nwidth = \"36 in\"\n[[across]]\noffset = \"0 in\"\ntotal = \"51 3/8 in\"\n\
            [[across]]\noffset = \"36 in\"\ntotal = \"{second}\""
        ))
    };
    let (text, _) = of(&across("51 in"), &across("51 1/8 in"));
    assert!(text.contains("across") && !text.contains("in other words"), "{text}");
    let (text, _) = of(&across("51 in"), &across("51 in"));
    assert!(text.contains("nothing moved") && !text.contains("across"), "{text}");
}
