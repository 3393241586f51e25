//! The verdict of the command on programs of several pieces, and of files that somebody changed:
//! what is not wholly this job's is never taken for it.

use crate::common::{Stair, on_one_line};
use std::fs;
use std::process::Command;

/// A folder with a job, and the programs that were made of it.
struct Made {
    dir: tempfile::TempDir,
}

impl Made {
    fn of(stair: &Stair) -> Self {
        let made = Self { dir: tempfile::tempdir().unwrap() };
        fs::write(made.path("job.toml"), stair.toml()).unwrap();
        let (code, said) = made.run(&["make", &made.path("job.toml"), "-o", &made.path("out")]);
        assert_eq!(code, 0, "{said}");
        made
    }

    fn path(&self, name: &str) -> String {
        self.dir.path().join(name).display().to_string()
    }

    fn run(&self, arguments: &[&str]) -> (i32, String) {
        let run = Command::new(env!("CARGO_BIN_EXE_seatcut")).args(arguments).output().unwrap();
        let said = [run.stdout, run.stderr]
            .map(|text| String::from_utf8_lossy(&text).into_owned())
            .concat();
        (run.status.code().unwrap_or(-1), on_one_line(&said))
    }

    fn program(&self) -> String {
        fs::read_to_string(self.path("out/program.nc")).unwrap()
    }

    /// What `verify` says of a text.
    fn verify(&self, text: &str) -> (i32, String) {
        fs::write(self.path("p.nc"), text).unwrap();
        self.run(&["verify", &self.path("job.toml"), &self.path("p.nc")])
    }

    fn refuses(&self, text: &str, words: &[&str]) {
        let (code, said) = self.verify(text);
        assert_eq!(code, 6, "{said}");
        for word in words {
            assert!(said.contains(word), "no {word:?} in\n{said}");
        }
        assert!(!said.contains("is this job's part"), "{said}");
    }
}

/// Three stringers, as thick as a material, that share a sheet of it.
fn three(machine: &str, material: &str, thickness: &str) -> Made {
    let cut = format!(
        "makes = \"stringers\"\nquantity = 3\nmachine = \"{machine}\"\nmaterial = \"{material}\""
    );
    let board = format!("width = \"11 1/4 in\"\nthickness = \"{thickness}\"");
    Made::of(&Stair {
        rise: "total = \"22 in\"\nrisers = 3".into(),
        board,
        cut,
        ..Stair::default()
    })
}

/// Without its comments, and so without the fingerprint: anybody's program.
fn anonymous(text: &str) -> String {
    let is_words = |line: &&str| !line.starts_with('(') && !line.starts_with(';');
    text.lines().filter(is_words).map(|line| format!("{line}\n")).collect()
}

/// The program up to where the second piece that it cuts begins, ended as it should be.
fn first_piece_only(text: &str, end: &str) -> String {
    // The top of the program names them too.
    let is_there = |(at, _): &(usize, &str)| !text[..*at].ends_with("next ");
    let (second, _) = text.match_indices("PIECE ").filter(is_there).nth(1).unwrap();
    let line = text[..second].rfind('\n').unwrap() + 1;
    format!("{}{end}", &text[..line])
}

#[test]
fn a_sheet_cut_off_after_one_of_three_pieces_is_one_of_three_whoever_wrote_it() {
    for (made, end) in [
        (
            three("router-table", "hardboard-6", "1/4 in"),
            "G0 Z0.5000\nM5\nG0 X0.0000 Y0.0000\nM30\n",
        ),
        (three("laser", "hardboard-3", "3.2 mm"), "M5\nG0 X0.000 Y0.000 S0\nM2\n"),
    ] {
        let text = made.program();
        assert_eq!(made.verify(&text).0, 0);
        let first = first_piece_only(&text, end);
        made.refuses(&first, &["NOT all of this job's pieces, 1 of 3 pieces", "not-all-pieces"]);
        made.refuses(&anonymous(&first), &["NOT all of this job's pieces, 1 of 3 pieces"]);
        // All of them, by whom it may be, are the job's.
        assert_eq!(made.verify(&anonymous(&text)).0, 0);
    }
}

#[test]
fn a_slot_through_one_piece_of_a_sheet_or_through_its_waste_is_refused() {
    let made = three("laser", "hardboard-3", "3.2 mm");
    let text = made.program();
    let third = text.rfind("PIECE 3").unwrap();
    let at = text[third..].lines().find(|line| line.starts_with("G1 X")).unwrap();
    let words = at.split(' ').take(3).collect::<Vec<_>>().join(" ");
    let slot = |words: &str| {
        format!("{}\nG1 X700.000 F900.0 S1000\nS0\nM5\n", words.replace("G1", "G0") + " S0")
    };
    made.refuses(&text.replacen("M5\n", &slot(&words), 1), &["gouge"]);
    let waste = "G0 X1.000 Y1.000 S0\nG1 X1.000 Y30.000 F900.0 S1000\nS0\nM5\n";
    made.refuses(&text.replacen("M5\n", waste, 1), &["cut-unplanned"]);
}

#[test]
fn a_program_with_the_sets_fingerprint_that_lies_otherwise_is_another_layout() {
    let made = three("router-table", "hardboard-6", "1/4 in");
    let moved: String = made
        .program()
        .lines()
        .map(|line| {
            let word = |word: &str| match word.strip_prefix('X').and_then(|x| x.parse::<f64>().ok())
            {
                Some(x) if !line.starts_with('(') => format!("X{:.4}", x + 1.0),
                _ => word.to_string(),
            };
            line.split(' ').map(word).collect::<Vec<_>>().join(" ") + "\n"
        })
        .collect();
    made.refuses(&moved, &["other-layout", "--effort"]);
}

/// A pattern for a router, its marks in a program of their own.
fn pattern() -> Made {
    Made::of(&Stair { rise: "total = \"22 in\"\nrisers = 3".into(), ..Stair::default() })
}

#[test]
fn a_program_that_touches_nothing_is_no_part() {
    let made = pattern();
    made.refuses("M30\n", &["NOT this job's part"]);
    let marks = fs::read_to_string(made.path("out/program-1.nc")).unwrap();
    made.refuses(&anonymous(&marks).replace("Z-", "Z"), &["NOT this job's part"]);
    for name in ["out/program-1.nc", "out/program-2.nc"] {
        let good = fs::read_to_string(made.path(name)).unwrap();
        assert_eq!(made.verify(&good).0, 0);
        assert_eq!(made.verify(&anonymous(&good)).0, 0);
        made.refuses(&good.replacen("G0 Z0.5000\n", "G0 Z0.5000\n%\n", 2), &["percent-place"]);
    }
}

/// A drawing with more in its entities.
fn with(drawing: &str, entity: &str) -> String {
    drawing.replacen("ENTITIES\n", &format!("ENTITIES\n{entity}"), 1)
}

fn circle(layer: &str, x: f64, y: f64) -> String {
    format!("  0\nCIRCLE\n  8\n{layer}\n 10\n{x}\n 20\n{y}\n 40\n1.0\n")
}

#[test]
fn a_hole_or_a_line_on_any_other_layer_is_refused_on_the_part_and_listed_beside_it() {
    let made = pattern();
    let dxf = |text: &str| {
        fs::write(made.path("p.dxf"), text).unwrap();
        made.run(&["verify", &made.path("job.toml"), &made.path("p.dxf")])
    };
    for name in ["out/nominal.dxf", "out/compensated.dxf"] {
        let good = fs::read_to_string(made.path(name)).unwrap();
        let (code, said) = dxf(&good);
        assert!(code == 0 && !said.contains("layer"), "{said}");
        // A shop that leaves marks out is told of, the part is the part; one that has none of them
        // has a drawing for cutting only.
        for (fewer, is_warned) in [
            (good.replace("  8\nMARK\n", "  8\nREF\n"), false),
            (good.replacen("  8\nMARK\n", "  8\nREF\n", 1), true),
        ] {
            assert_ne!(fewer, good);
            let (code, said) = dxf(&fewer);
            assert!(
                code == 0
                    && said.contains("WARNING") == is_warned
                    && said.contains("drawing-marks-missing") == is_warned
                    && said.contains("drawing-without-marks") != is_warned,
                "{said}"
            );
        }
        // Where holes are drawn, a circle is a hole of the part: one that it does not have is
        // refused wherever it lies.
        for x in [12.0, 300.0] {
            let (code, said) = dxf(&with(&good, &circle("DRILL", x, 4.0)));
            assert!(code == 6 && said.contains("hole-drawn-off"), "{said}");
        }
        for layer in ["0", "HOLES", "CUT2"] {
            let (code, said) = dxf(&with(&good, &circle(layer, 12.0, 4.0)));
            assert!(code == 6 && said.contains("drawing-other-layer"), "{layer}: {said}");
            let (code, said) = dxf(&with(&good, &circle(layer, 300.0, 4.0)));
            assert!(
                code == 0 && said.contains("drawing-layer-not-judged") && said.contains("1 lines"),
                "{said}"
            );
        }
        for layer in ["MARK", "POCKET"] {
            let (code, said) = dxf(&with(&good, &circle(layer, 12.0, 4.0)));
            assert!(code == 6 && said.contains("drawing-mark"), "{layer}: {said}");
        }
        let across = "  0\nLINE\n  8\nSCORE\n 10\n-50\n 20\n4\n 11\n500\n 21\n4\n";
        assert!(dxf(&with(&good, across)).1.contains("drawing-other-layer"));
        let (code, said) =
            dxf(&with(&good, "  0\nTEXT\n  8\nNOTES\n 10\n1\n 20\n1\n 40\n1\n  1\nx\n"));
        assert!(
            code == 0
                && said.contains(
                    "layer NOTES holds what was not judged, beside the part (1 in all): 1 TEXT"
                )
                // Once: not as a text of the drawing again.
                && !said.contains("text of it"),
            "{said}"
        );
        for kind in ["SPLINE", "INSERT", "POINT", "SOLID"] {
            let (code, said) =
                dxf(&with(&good, &format!("  0\n{kind}\n  8\nOTHER\n 10\n1\n 20\n1\n")));
            assert!(code == 6 && said.contains("drawing-entity"), "{kind}: {said}");
        }
        let (code, said) = dxf(&format!("{good}  0\nLINE\n"));
        assert!(code == 6 && said.contains("after EOF"), "{said}");
    }
}

#[test]
fn texts_of_a_drawing_that_the_job_does_not_have_are_counted_and_its_own_are_not() {
    let made = pattern();
    let dxf = |text: &str| {
        fs::write(made.path("p.dxf"), text).unwrap();
        made.run(&["verify", &made.path("job.toml"), &made.path("p.dxf")])
    };
    let none = "is not judged, read it before";
    for version in ["r2000", "r12"] {
        for (command, more) in [("make", ""), ("order", "--reference"), ("order", "--json")] {
            let out = made.path(&format!("{command}{more}{version}"));
            let more = (!more.is_empty()).then_some(more);
            let job = made.path("job.toml");
            let words = [command, &job, "-o", &out, "--dxf", version].into_iter().chain(more);
            assert_eq!(made.run(&words.collect::<Vec<_>>()).0, 0, "{command}");
            for name in ["nominal.dxf", "compensated.dxf", "skirt.dxf"] {
                let Ok(good) = fs::read_to_string(format!("{out}/{name}")) else { continue };
                let (code, said) = dxf(&good);
                assert!(code == 0 && !said.contains(none), "{out} {name}: {said}");
                let (_, said) = dxf(&format!("999\ncut on the dashed line\n{good}"));
                assert!(said.contains("1 text of it is none") && said.contains(none), "{said}");
                // The unit of the oldest version stands in a comment alone.
                let as_mm = good.replacen("Coordinates in inches", "Coordinates in millimetres", 1);
                let is_said = as_mm != good;
                assert_eq!(is_said, version == "r12", "{out} {name}");
                assert!(!is_said || dxf(&as_mm).0 == 6, "{out} {name}");
            }
        }
    }
    let good = fs::read_to_string(made.path("out/nominal.dxf")).unwrap();
    let (code, said) =
        dxf(&good.replace("MARK: shallow", "MARK: deep").replace("NOMINAL", "DRAFT"));
    assert!(code == 0 && said.contains("2 texts of it are none"), "{said}");
    // Whoever sets the scale by the bar goes by its words.
    let (code, said) = dxf(&good.replace("in long", "mm long"));
    assert!(code == 6 && said.contains("drawing-bar-off"), "{said}");
}

#[test]
fn an_outline_that_a_shop_does_not_see_or_sees_otherwise_is_refused() {
    let made = pattern();
    let rectangle = |more: &str| {
        format!(
            "0\nSECTION\n2\nTABLES\n0\nTABLE\n2\nLAYER\n0\nLAYER\n2\nCUT\n70\n{}\n62\n7\n0\nENDTAB\n0\nENDSEC\n\
             0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\nCUT\n90\n3\n70\n1\n{}10\n0\n20\n0\n10\n9\n20\n0\n10\n9\n20\n5\n0\nENDSEC\n0\nEOF\n",
            if more == "frozen" { 1 } else { 0 },
            if more == "frozen" { "" } else { more },
        )
    };
    for (more, words) in [
        ("60\n1\n", "invisible"),
        ("43\n2.0\n", "with a width"),
        ("40\n2.0\n", "with a width"),
        ("38\n50.0\n", "off the plane"),
        ("8\nOTHER\n", "says group 8 twice"),
        ("frozen", "drawing-hidden"),
    ] {
        fs::write(made.path("p.dxf"), rectangle(more)).unwrap();
        let (code, said) = made.run(&["verify", &made.path("job.toml"), &made.path("p.dxf")]);
        assert!(code == 6 && said.contains(words), "{more}: {said}");
    }
}

/// The report of `verify --json` on a text.
fn reported(made: &Made, text: &str) -> serde_json::Value {
    fs::write(made.path("p.nc"), text).unwrap();
    let run = Command::new(env!("CARGO_BIN_EXE_seatcut"))
        .args(["verify", &made.path("job.toml"), &made.path("p.nc"), "--json"])
        .output()
        .unwrap();
    serde_json::from_slice(&run.stdout).unwrap()
}

#[test]
fn the_report_of_verify_says_what_hangs_on_what_and_which_tabs_stand() {
    let made = three("router-table", "hardboard-6", "1/4 in");
    let text = made.program();
    let report = reported(&made, &text);
    let [judged] = &report["judged"].as_array().unwrap()[..] else { panic!("{report}") };
    assert!(judged["file"].as_str().unwrap().ends_with("p.nc"));
    assert_eq!((&judged["is_this_part"], &judged["taken_for"]), (&true.into(), &"program".into()));
    assert_eq!(judged["placements"].as_array().unwrap().len(), 3);
    let holding = &judged["verified"]["holding"];
    assert_eq!(
        (&holding["least_web_mm"], &holding["held_by"]),
        (&6.35.into(), &"the stock's rim".into())
    );
    let held = |of: &serde_json::Value| {
        of.as_array().unwrap().iter().map(|part| part["held"] == true).collect::<Vec<_>>()
    };
    assert_eq!(held(&holding["pieces"]), [true; 3]);
    assert!(held(&holding["components"]).iter().all(|held| *held));
    let tabs = judged["tabs"].as_array().unwrap();
    let set: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(made.path("out/report.json")).unwrap()).unwrap();
    let declared = set["programs"][0]["tabs"].as_array().unwrap();
    assert_eq!(tabs.len(), declared.len());
    assert!(
        tabs.iter().all(|tab| tab["height_mm"].as_f64().unwrap() > 0.5
            && tab["edge"].as_str().unwrap().len() > 3)
    );
    // A frame sawn round all of it takes of the wood of the outermost tabs, and nothing hangs any
    // more.
    let sawn = |z: &str| format!("G1 Z{z}\nX95.5\nY47.5\nX0.5\nY0.5\n");
    let ring =
        format!("G0 X0.5000 Y0.5000\n{}{}G0 Z0.5000\nM5\n", sawn("-0.1300 F40.0"), sawn("-0.2600"));
    let report = reported(&made, &text.replacen("M5\n", &ring, 1));
    let judged = &report["judged"][0];
    assert_eq!(held(&judged["verified"]["holding"]["pieces"]), [false; 3]);
    assert!(held(&judged["verified"]["holding"]["components"]).contains(&false));
    let left = judged["tabs"].as_array().unwrap().len();
    assert!(left > 0 && left < tabs.len(), "{left} of {}", tabs.len());
    // What cannot be read at all is named too.
    let report = reported(&made, "G1 X\n");
    let judged = &report["judged"][0];
    assert_eq!(
        (&judged["is_this_part"], &judged["verified"]),
        (&false.into(), &serde_json::Value::Null)
    );
}

/// What a comment holds is shown to people: bytes that steer a terminal or that a control may choke
/// on are refused by their line, in comments of both kinds.
#[test]
fn a_comment_with_a_byte_that_does_not_print_is_refused() {
    let made = three("router-table", "plywood-18", "18 mm");
    let own = made.program();
    for (odd, byte) in [("\u{1b}", 27), ("\u{7}", 7), ("\u{7f}", 127)] {
        for comment in [format!("(tab{odd}le)"), format!("G0 Z1 ; tab{odd}le")] {
            let text = own.replacen("\nG0", &format!("\n{comment}\nG0"), 1);
            made.refuses(&text, &["no plain text", &format!("byte {byte}")]);
        }
    }
    let (_, said) = made.verify(&own.replacen("\nG0", "\n(table, 3/4 in)\nG0", 1));
    assert!(said.contains("is this job's part"), "{said}");
}

/// The words with a letter moved on by so much, but in comments.
fn moved(text: &str, letter: char, by: f64) -> String {
    let word = |word: &str| match word.strip_prefix(letter).map(str::parse::<f64>) {
        Some(Ok(number)) => format!("{letter}{:.4}", number + by),
        _ => word.to_string(),
    };
    let line = |line: &str| match line.starts_with('(') {
        true => line.to_string(),
        false => line.split(' ').map(word).collect::<Vec<_>>().join(" "),
    };
    text.lines().map(line).collect::<Vec<_>>().join("\n") + "\n"
}

fn unmarked(more: &str) -> Stair {
    let cut = format!(
        "makes = \"pattern\"\nmachine = \"router-table\"\nmaterial = \"plywood-12\"\nmarks \
            = \"none\"\n{more}"
    );
    Stair { cut, rise: "total = \"22 in\"\nrisers = 3".into(), ..Stair::default() }
}

/// The job's number in a program's comments, spoilt.
fn of_nobody(text: &str) -> String {
    text.replace(&number_of(text), "0123456789abcdef")
}

fn number_of(text: &str) -> String {
    let (_, after) = text.split_once("Job ").unwrap();
    let number: String = after.chars().take_while(char::is_ascii_hexdigit).collect();
    assert_eq!(number.len(), 16, "{number}");
    number
}

#[test]
fn the_jobs_own_hole_is_taken_wherever_its_part_lies_with_clamps_and_without() {
    let clamps = "clamps = [{ x = \"80 in\", y = \"40 in\", length = \"3 in\", width = \"3 in\", \
        height = \"1 in\" }]";
    for more in ["", clamps] {
        let made = Made::of(&unmarked(more));
        let text = of_nobody(&made.program());
        for text in [moved(&text, 'X', 3.0), moved(&text, 'Y', 0.01)] {
            let (code, said) = made.verify(&text);
            assert!(code == 0 && said.contains("is this job's part"), "{more}: {said}");
            assert!(said.contains("carries no number of this job"), "{said}");
        }
        let (_, said) = made.verify(&made.program());
        assert!(!said.contains("carries no number"), "{said}");
    }
}

#[test]
fn what_keeps_a_frame_from_being_one_is_said() {
    let made = Made::of(&unmarked(""));
    let frame = fs::read_to_string(made.path("out/frame.nc")).unwrap();
    let (code, said) = made.verify(&frame);
    assert!(code == 0 && said.contains("the frame of this set"), "{said}");
    let low = frame.lines().filter(|line| line.contains("G0 Z")).max_by_key(|line| line.len());
    let lowered = frame.replace(low.unwrap(), "G0 Z0.1000");
    for (text, word) in [(lowered, "goes lower"), (frame.replace("M30", "M0\nM30"), "stands still")]
    {
        assert_ne!(text, frame);
        let (code, said) = made.verify(&text);
        assert_eq!(code, 6, "{said}");
        assert!(said.contains("as the frame that goes round before the programs"), "{said}");
        assert!(said.contains(word), "{said}");
    }
}

#[test]
fn one_of_several_programs_says_how_many_of_the_pieces_it_has() {
    let cut = "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial \
        = \"plywood-12\"\nquantity \
        = 90";
    let board = "width = \"11 1/4 in\"\nthickness = \"12 mm\"".to_string();
    let stair = Stair { cut: cut.into(), board, ..Stair::default() };
    let made = Made::of(&stair);
    let first = fs::read_to_string(made.path("out/program-1.nc")).unwrap();
    let (code, said) = made.verify(&first);
    assert!(code == 0 && said.contains("is one of this job's programs"), "{said}");
    assert!(said.contains(" of 90 pieces"), "{said}");
}

#[test]
fn a_program_of_a_job_that_is_refused_is_not_the_jobs_and_says_why() {
    let material = include_str!("../../profiles/material/hardboard-6.toml");
    let cut = |material: &str| {
        format!(
            "makes = \"pattern\"\nmachine = \"laser\"\nmaterial = \"{material}\"\nmarks \
                = \"none\"\nfollow \
            = \"edge\""
        )
    };
    let stair = |material: &str| Stair {
        rise: "total = \"22 in\"\nrisers = 3".into(),
        cut: cut(material),
        ..Stair::default()
    };
    let made = Made::of(&stair("hardboard-6"));
    let program = anonymous(&made.program());
    assert_eq!(made.verify(&program).0, 0);
    let treated = material.replace("treatment = \"untreated\"", "treatment = \"treated\"");
    assert_ne!(treated, material);
    fs::write(made.path("wood.toml"), treated).unwrap();
    fs::write(made.path("job.toml"), stair("wood.toml").toml()).unwrap();
    made.refuses(&program, &["laser-on-treated"]);
}

#[test]
fn the_lower_edge_of_a_board_is_the_boards_own_or_it_is_cut() {
    let cut = "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"board-2x12\"";
    let made = Made::of(&Stair { cut: cut.to_string(), ..Stair::default() });
    let text = of_nobody(&made.program());
    let (code, said) = made.verify(&text);
    assert!(code == 0 && said.contains("is this job's part"), "{said}");
    // A quarter of an inch along the board, and the tenth of one up it.
    let (code, said) = made.verify(&moved(&text, 'X', 0.25));
    assert!(code == 0 && said.contains("is this job's part"), "{said}");
    made.refuses(&moved(&text, 'Y', 0.1), &["lower edge"]);
}

#[test]
fn a_board_is_begun_over_a_place_that_its_program_says() {
    let cut = "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"board-2x12\"";
    let made = Made::of(&Stair { cut: cut.to_string(), ..Stair::default() });
    let text = made.program();
    assert!(text.contains("(TOOL OVER X 0 Y 0, CLEAR OF THE CLAMPS"), "{text}");
    let silent: Vec<&str> = text.lines().filter(|line| !line.starts_with("(TOOL OVER")).collect();
    made.refuses(&(silent.join("\n") + "\n"), &["begins nobody knows where"]);
    // Every place to go on from says its own.
    let places = text.lines().filter(|line| line.starts_with("(RESUME ") && !line.contains("line"));
    let begun = text.lines().filter(|line| line.ends_with("IF BEGUN HERE)"));
    assert!(places.clone().count() >= 3 && places.count() == begun.count(), "{text}");
}

#[test]
fn set_ups_that_are_given_together_are_held_together() {
    let job =
        format!("{}/tests/outside/jobs/set-shifts-pattern-fillet.toml", env!("CARGO_MANIFEST_DIR"));
    let dir = tempfile::tempdir().unwrap();
    let path = |name: &str| dir.path().join(name).display().to_string();
    let run = |arguments: &[&str]| {
        let run = Command::new(env!("CARGO_BIN_EXE_seatcut")).args(arguments).output().unwrap();
        (run.status.code(), on_one_line(&String::from_utf8_lossy(&run.stdout)))
    };
    let (code, said) = run(&["make", &job, "-o", &path("out")]);
    assert_eq!(code, Some(0), "{said}");
    let programs = [3, 5].map(|number| path(&format!("out/program-{number}.nc")));
    let taken = |said: &str| {
        said.matches("is this job's part").count() + said.matches("of this job's set-ups").count()
    };
    let (code, both) = run(&["verify", &job, &programs[0], &programs[1]]);
    assert!(code == Some(0), "{both}");
    // The last one not through: alone the other is one of the job's, with it the part is not made.
    let air = path("air.nc");
    let text = fs::read_to_string(&programs[1]).unwrap();
    let heights = text.split_whitespace().filter_map(|word| word.strip_prefix("Z-"));
    let deepest = heights.max_by(|a, b| a.parse::<f64>().unwrap().total_cmp(&b.parse().unwrap()));
    let shallow = text.replace(&format!("Z-{}", deepest.unwrap()), "Z-0.1000");
    assert_ne!(shallow, text);
    fs::write(&air, shallow).unwrap();
    assert_eq!(run(&["verify", &job, &programs[0]]).0, Some(0));
    let (code, said) = run(&["verify", &job, &programs[0], &air]);
    assert_eq!(code, Some(6), "{said}");
    assert_eq!(taken(&said), 0, "{said}");
}

#[test]
fn of_several_programs_it_is_said_which_are_missing_and_which_come_twice() {
    let made = three("router-table", "plywood-18", "18 mm");
    let [job, frame, cut, copy] =
        ["job.toml", "out/frame.nc", "out/program.nc", "copy.nc"].map(|name| made.path(name));
    let together = |files: &[&str]| {
        let (code, said) = made.run(&[&["verify", &job][..], files].concat());
        assert_eq!(code, 0, "{said}");
        said.split_once("together: ").map(|(_, words)| words.trim().to_string())
    };
    let all = "all 2 programs of this job; run in this order: frame.nc, program.nc";
    assert_eq!(together(&[&cut, &frame]).as_deref(), Some(all));
    fs::copy(&cut, &copy).unwrap();
    let twice = "of the 2 programs of this job this is not here as `make` writes it: frame.nc; \
        here more than once: program.nc; run in this order: program.nc, copy.nc (program.nc of \
        this job)";
    assert_eq!(together(&[&cut, &copy]).as_deref(), Some(twice));
    // The names are those of the files, whatever they are.
    let swapped = "all 2 programs of this job; run in this order: frame.nc, copy.nc (program.nc of \
        this job)";
    assert_eq!(together(&[&copy, &frame]).as_deref(), Some(swapped));
    // Somebody else's words are none of `make`, and one file alone is not asked for the others.
    let changed = made.program().replacen("Never leave", "Not leave", 1);
    assert_ne!(changed, made.program());
    fs::write(&copy, changed).unwrap();
    assert_eq!((together(&[&cut]), together(&[&made.path("out/nominal.dxf"), &cut])), (None, None));
    let lacks = "of the 2 programs of this job this is not here as `make` writes it: program.nc; \
        one is not to the letter this job's and was held by itself: whether it lies on the stock \
        as the others do, nobody looked";
    assert_eq!(together(&[&frame, &copy]).as_deref(), Some(lacks));
    // Some controls write all letters as capitals: the number is still this job's.
    let (code, said) = made.verify(&made.program().to_uppercase());
    assert!(code == 0 && !said.contains("carries no number"), "{said}");
}

#[test]
fn a_program_that_leaves_the_marks_out_keeps_its_hole() {
    let stair = |marks: &str| Stair {
        cut: format!(
            "makes = \"pattern\"\nmachine = \"laser\"\nmaterial = \"hardboard-6\"\n{marks}"
        ),
        rise: "total = \"22 in\"\nrisers = 3".into(),
        ..Stair::default()
    };
    let (marked, plain) = (Made::of(&stair("")), Made::of(&stair("marks = \"none\"")));
    let (code, said) = marked.verify(&of_nobody(&plain.program()));
    assert!(code == 0 && said.contains("is this job's part"), "{said}");
    // One that says it is this job's has to make them.
    let number = |made: &Made| number_of(&made.program());
    let claimed = plain.program().replace(&number(&plain), &number(&marked));
    marked.refuses(&claimed, &["mark-missing"]);
}

#[test]
fn the_tool_stays_where_the_frame_went_round() {
    let made = Made::of(&unmarked(""));
    let away = |to: &str| made.program().replacen("M5\n", &format!("G0 {to}\nM5\n"), 1);
    made.refuses(&away("X70.0000 Y40.0000"), &["beyond-reach"]);
    made.refuses(&away("X-0.5000"), &["beyond-reach"]);
    let (code, said) = made.verify(&away("X1.0000 Y1.0000"));
    assert!(code == 0 && !said.contains("beyond"), "{said}");
}

#[test]
fn somebody_elses_program_with_a_low_tab_is_told_of_the_tab_and_not_of_another_size() {
    let made = Made::of(&unmarked("follow = \"bearing-bit\""));
    let text = of_nobody(&made.program());
    let (code, said) = made.verify(&text);
    assert_eq!(code, 0, "{said}");
    // Every pass over a tab, lowered to a thirty-second.
    let is_high = |line: &&str| line.contains("Z-0.2362") || line.contains("Z-0.2224");
    assert!(text.lines().any(|line| is_high(&line)), "{text}");
    let low = text.replace("Z-0.2362", "Z-0.4600").replace("Z-0.2224", "Z-0.4600");
    let (code, said) = made.verify(&low);
    assert_eq!(code, 6, "{said}");
    assert!(!said.contains("not-this-part"), "{said}");
}
