//! What holds the pieces while a cutter goes round them: tabs as the job asks for them, a vacuum
//! table, a skin below every cut.

use crate::common::{Made, Stair, profile_with, tread};
use seatcut::pipeline::set::{Entry, Set};
use seatcut::pipeline::workup::Workup;

/// A pattern of three steps on a table with vacuum or without, its table [cut] with these lines
/// more.
fn pattern(vacuum: bool, more: &str) -> Stair {
    let shown = "# vacuum = true";
    let is = format!("vacuum = {vacuum} #");
    let machine = profile_with("machine", "router-table", &[(shown, &is)]);
    Stair {
        rules: "us-osha".into(),
        rise: "total = \"21 in\"\nrisers = 3".into(),
        tread: tread("10 1/2 in", "1 in", "1 in", "3/4 in"),
        cut: format!(
            "makes = \"pattern\"\nmachine = \"./own.toml\"\nmaterial = \"plywood-12\"\ncorners \
                = \"bisector\"\n{more}"
        ),
        files: vec![("./own.toml".into(), machine)],
        ..Stair::default()
    }
}

fn refusals(stair: &Stair) -> Vec<&'static str> {
    let findings = Workup::of(&stair.job()).findings;
    findings.iter().filter(|finding| finding.refuses()).map(|found| found.code.name()).collect()
}

fn misread(stair: &Stair) -> String {
    stair.try_job().expect_err("it means nothing").to_string()
}

#[test]
fn what_leaves_nothing_to_hold_a_piece_is_refused_by_name() {
    for (vacuum, more, code) in [
        (false, "tabs = \"none\"", Some("nothing-holds")),
        (false, "skin = \"0.5 mm\"", Some("nothing-holds")),
        (true, "tabs = \"none\"", None),
        (true, "skin = \"0.5 mm\"", None),
        // 12 mm of plywood, passes of a quarter inch.
        (true, "skin = \"5.9 mm\"", None),
        (true, "skin = \"6.1 mm\"", Some("skin-thick")),
        (false, "tabs = { height = \"6 mm\" }", None),
        (false, "tabs = { height = \"6.1 mm\" }", Some("tab-tall")),
        (false, "tabs = { count = 6 }", None),
        (false, "tabs = { count = 40 }", Some("tabs-no-room")),
        // Wider than most edges they stand on.
        (false, "tabs = { count = 8, width = \"95 mm\" }", Some("tabs-no-room")),
    ] {
        let found = refusals(&pattern(vacuum, more));
        assert_eq!(found.first().copied(), code, "{vacuum} {more}: {found:?}");
    }
    let long = pattern(true, "tabs = \"none\"\nlong = \"index\"");
    let long = Stair { rise: "total = \"102 3/4 in\"\nrisers = 14".into(), ..long };
    assert!(refusals(&long).contains(&"nothing-holds"), "{:?}", refusals(&long));
}

#[test]
fn a_skin_thicker_than_a_pass_is_refused_where_half_of_the_material_is_more() {
    let stair = pattern(true, "skin = \"4 mm\"");
    assert_eq!(refusals(&stair), Vec::<&str>::new());
    let own = &stair.files[0].1.replace("pass_depth = \"1/4 in\"", "pass_depth = \"3 mm\"");
    let files = vec![("./own.toml".to_string(), own.clone())];
    assert_eq!(refusals(&Stair { files, ..stair }), ["skin-thick"]);
}

#[test]
fn slips_of_tabs_and_skin_are_told_by_their_key() {
    for (more, words) in [
        ("tabs = { count = 2 }", vec!["cut.tabs.count", "3"]),
        ("tabs = { count = 0 }", vec!["cut.tabs.count"]),
        ("tabs = { width = \"1 mm\" }", vec!["cut.tabs.width", "2.0 mm"]),
        ("tabs = { height = \"0 mm\" }", vec!["cut.tabs.height"]),
        ("tabs = { shape = \"round\" }", vec!["shape", "square"]),
        ("tabs = \"few\"", vec!["tabs", "none"]),
        ("tabs = 5", vec!["tabs"]),
        ("skin = \"0.05 mm\"", vec!["cut.skin"]),
        ("skin = 1", vec!["skin"]),
        ("skin = \"0.5 mm\"\ntabs = { count = 4 }", vec!["cut.skin", "cut.tabs", "one of the two"]),
    ] {
        let said = misread(&pattern(true, more));
        assert!(words.iter().all(|word| said.contains(word)), "{more}: {said}");
    }
    let on_laser = |more: &str| Stair {
        cut: format!(
            "makes = \"pattern\"\nmachine = \"laser\"\nmaterial = \"hardboard-3\"\n{more}"
        ),
        ..Stair::default()
    };
    for more in ["tabs = \"none\"", "tabs = { count = 4 }", "skin = \"0.5 mm\""] {
        assert!(misread(&on_laser(more)).contains("a beam does not push"), "{more}");
    }
    let on_board = Stair {
        cut:
            "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"board-2x12\"\ntabs = \
            { count = 4 }"
                .into(),
        ..Stair::default()
    };
    assert!(misread(&on_board).contains("cut.tabs.count"), "{}", misread(&on_board));
}

#[test]
fn as_many_tabs_stand_as_the_job_asks_for_of_the_size_it_asks_for() {
    for count in [3, 4, 7, 10] {
        let more = format!("tabs = {{ count = {count}, height = \"3 mm\", width = \"8 mm\" }}");
        let made = Made::of(&pattern(false, &more));
        let said = format!("(Tabs {count}, 0.1181 in high)");
        assert!(
            made.program("program-2.nc").contains(&said),
            "{count}: {}",
            &made.program("program-2.nc")[..900]
        );
    }
    let sheet = Stair {
        cut: "makes = \"stringers\"\nquantity = 3\nmachine = \"router-table\"\nmaterial \
            = \"plywood-18\"\ntabs \
            = { count = 5 }"
            .into(),
        board: "width = \"11 1/4 in\"\nthickness = \"18 mm\"".into(),
        ..pattern(false, "")
    };
    let set = Set::of(vec![Entry { job: sheet.job(), times: 1 }], 0).unwrap();
    assert!(!set.refused());
    let tabs = set.sheets[0].programs.cut.tabs.len();
    assert!(tabs >= 15, "{tabs}");
}

#[test]
fn square_tabs_are_let_straight_down_behind_and_nowhere_else() {
    let made = Made::of(&pattern(false, "tabs = { count = 4, shape = \"square\" }"));
    let good = made.program("program-2.nc");
    assert!(good.contains("square, straight up and down at both ends"), "{good}");
    assert_eq!(made.verify(&good).0, 0, "{}", made.verify(&good).1);
    // The height of a tab's top, said alone on a line, then the floor again.
    let lines: Vec<&str> = good.lines().collect();
    let is_tab = |at: &usize| {
        lines[*at].starts_with("G1 Z-0.2362") && lines[at + 2].starts_with("G1 Z-0.4924")
    };
    let up = (0..lines.len() - 2).find(is_tab);
    let up = up.unwrap_or_else(|| panic!("no tab in\n{good}"));
    // Down in the middle of the tab: what it leaves is not what was declared.
    let mut moved: Vec<String> = lines.iter().map(ToString::to_string).collect();
    moved.swap(up + 1, up + 2);
    let (code, said) = made.verify(&(moved.join("\n") + "\n"));
    assert_eq!(code, 6, "{said}");
}

#[test]
fn a_skin_stays_as_thick_as_it_is_asked_for_no_more_and_no_less() {
    let made = Made::of(&pattern(true, "skin = \"0.02 in\""));
    let good = made.program("program-2.nc");
    assert!(good.contains("a skin of 0.02 in stays below"), "{good}");
    assert!(good.contains("knife") && !good.contains("(Tabs 1"), "{good}");
    // 12 mm less 0.02 in is 0.4524 in, holes and outline alike.
    assert_eq!(made.verify(&good).0, 0, "{}", made.verify(&good).1);
    // All of the outline, which is cut last.
    let last = good.rfind("Z-0.4524").unwrap();
    for (to, word) in [("Z-0.4544", "skin-cut"), ("Z-0.4504", "uncut")] {
        let text = format!("{}{to}{}", &good[..last], &good[last + to.len()..]);
        let (code, said) = made.verify(&text);
        assert!(code == 6 && said.contains(word), "{to}: {said}");
    }
}

#[test]
fn a_vacuum_table_does_without_tabs_and_says_so() {
    let made = Made::of(&pattern(true, "tabs = \"none\""));
    let good = made.program("program-2.nc");
    assert!(good.contains("vacuum table holds"), "{good}");
    assert_eq!(made.verify(&good).0, 0, "{}", made.verify(&good).1);
    // To a table that does not hold the same file leaves the part loose.
    let other = Made::of(&pattern(false, ""));
    let (_, said) = other.verify(&good);
    assert!(said.contains("loose-part"), "{said}");
}
