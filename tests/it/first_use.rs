//! Three stairs from nothing to proven files, with no more than README.md tells: somebody who never
//! saw a job types one, mends his slips as he is told, and makes it.

use crate::common::{code, on_one_line, seatcut};
use std::fs;
use std::process::Output;

/// A folder somebody works in.
struct Shop(tempfile::TempDir);

impl Shop {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn path(&self, name: &str) -> String {
        self.0.path().join(name).display().to_string()
    }

    /// Types over what a file says, each once.
    fn types(&self, name: &str, over: &[(&str, &str)]) {
        let mut text = fs::read_to_string(self.path(name)).unwrap();
        for (old, new) in over {
            assert_eq!(text.matches(old).count(), 1, "{name} has one `{old}`:\n{text}");
            text = text.replace(old, new);
        }
        fs::write(self.path(name), text).unwrap();
    }

    fn solve(&self, name: &str) -> Output {
        seatcut(&["solve", &self.path(name)])
    }

    /// Makes the job, holds each of its drawings and programs against it with the command that
    /// anybody would, and gives the names of its files and what was said.
    fn make(&self, name: &str, folder: &str) -> (Vec<String>, String) {
        let (job, out) = (self.path(name), self.path(folder));
        let made = seatcut(&["make", &job, "-o", &out]);
        assert_eq!(code(&made), 0, "{}{}", said(&made), told(&made));
        let mut names = files_in(&out);
        names.sort();
        for name in names.iter().filter(|name| name.ends_with(".dxf") || name.ends_with(".nc")) {
            let held = seatcut(&["verify", &job, &format!("{out}/{name}")]);
            assert_eq!(code(&held), 0, "{name}: {}{}", said(&held), told(&held));
            let is_as_written = said(&held).contains("  to the letter what `make` writes here");
            assert_eq!(is_as_written, name.ends_with(".nc"), "{name}: {}", said(&held));
        }
        (names, said(&made))
    }
}

/// The files in a folder and in those below it, each by its way from there.
fn files_in(folder: &str) -> Vec<String> {
    let mut names = Vec::new();
    for entry in fs::read_dir(folder).unwrap().map(Result::unwrap) {
        let name = entry.file_name().into_string().unwrap();
        if entry.path().is_dir() {
            let below = files_in(&format!("{folder}/{name}")).into_iter();
            names.extend(below.map(|file| format!("{name}/{file}")));
        } else {
            names.push(name);
        }
    }
    names
}

fn said(run: &Output) -> String {
    String::from_utf8_lossy(&run.stdout).into_owned()
}

fn told(run: &Output) -> String {
    String::from_utf8_lossy(&run.stderr).into_owned()
}

/// What an error says is to be typed.
fn to_type(run: &Output) -> Vec<String> {
    let text = told(run);
    text.lines()
        .filter_map(|line| line.trim_start().strip_prefix("to do:"))
        .map(|line| line.trim().to_string())
        .collect()
}

/// A deck stair whose pattern a router cuts: the starter with one's own eight answers, of which two
/// are typed wrong at first.
#[test]
fn a_deck_stair_from_the_starter() {
    let shop = Shop::new();
    assert_eq!(code(&seatcut(&["new", &shop.path("deck.toml")])), 0);
    shop.types(
        "deck.toml",
        &[
            ("total = \"51 3/8 in\" ", "total = \"43 5/8\" "),
            ("risers = 7 ", "risers = 6 "),
            ("\ncut = \"10 1/4 in\" ", "\ncut = \"10 1/2 in\" "),
            ("\nthickness = \"1 in\" ", "\nthickness = 1 1/4 in "),
            ("\nrim_depth = \"11 1/4 in\" ", "\nrim_depth = \"9 1/4 in\" "),
        ],
    );
    let slips = shop.solve("deck.toml");
    assert_eq!(code(&slips), 3, "{}", told(&slips));
    assert_eq!(
        to_type(&slips),
        ["total = \"43 5/8 in\"", "thickness = \"1 1/4 in\""],
        "{}",
        told(&slips)
    );
    shop.types(
        "deck.toml",
        &[("\"43 5/8\"", "\"43 5/8 in\""), ("thickness = 1 1/4 in", "thickness = \"1 1/4 in\"")],
    );
    let solved = shop.solve("deck.toml");
    assert_eq!(code(&solved), 0, "{}", told(&solved));
    // 43 5/8 over 6, less the tread once at the foot.
    let figures = on_one_line(&said(&solved));
    assert!(figures.contains("7 1/4+ in"), "{figures}");
    let (names, said) = shop.make("deck.toml", "deck");
    assert!(names.iter().any(|name| name == "program-2.nc"), "{names:?}");
    assert!(said.contains("PROVEN") && said.contains("NEXT"), "{said}");
    // What a program says beside its words is not judged by what it does: whoever changed that is
    // found out all the same.
    let own = fs::read_to_string(shop.path("deck/program-2.nc")).unwrap();
    let line = own.lines().position(|line| line.contains("Estimated time")).unwrap() + 1;
    fs::write(shop.path("other.nc"), own.replace("Estimated time", "Estimated  time")).unwrap();
    let held = seatcut(&["verify", &shop.path("deck.toml"), &shop.path("other.nc")]);
    assert_eq!(code(&held), 0, "{}", told(&held));
    let text = on_one_line(&crate::first_use::said(&held));
    assert!(
        text.contains(&format!("not to the letter what `make` writes here, from line {line} on")),
        "{text}"
    );
    // The figures that a carpenter works with stand in the page that he opens.
    let page = fs::read_to_string(shop.path("deck/bench.html")).unwrap();
    assert!(page.contains("7 1/4+ in") && page.contains("6 in full"));
}

/// Eight answers, of an invented stair.
const CELLAR: &str = "[rise]
total = \"1435 mm\"
risers = 8
[tread]
cut = \"270 mm\"
thickness = \"30 mm\"
[head]
finish = \"20 mm\"
rim_depth = \"280 mm\"
[board]
width = \"300 mm\"
thickness = \"18 mm\"
[cut]
makes = \"stringers\"
quantity = 2
machine = \"router\"
material = \"plywood-18\"
";

/// A stair in millimetres, of which somebody types no more than the eight answers: the rule set is
/// nobody's guess, and a machine is asked for by a wrong name.
#[test]
fn plywood_stringers_from_eight_answers_in_millimetres() {
    let shop = Shop::new();
    fs::write(shop.path("cellar.toml"), CELLAR).unwrap();
    let slips = shop.solve("cellar.toml");
    assert_eq!(code(&slips), 3);
    let text = on_one_line(&told(&slips));
    assert!(text.contains("router-metric"), "{text}");
    shop.types("cellar.toml", &[("machine = \"router\"", "machine = \"router-metric\"")]);
    let slips = shop.solve("cellar.toml");
    assert_eq!(code(&slips), 3);
    let text = on_one_line(&told(&slips));
    assert!(text.contains("rules") && text.contains("de-general"), "{text}");
    shop.types("cellar.toml", &[("[rise]", "rules = \"de-general\"\n[rise]")]);
    let solved = shop.solve("cellar.toml");
    assert_eq!(code(&solved), 0, "{}{}", said(&solved), told(&solved));
    let (names, said) = shop.make("cellar.toml", "cellar");
    for name in ["sheet-1.svg", "nominal.dxf", "frame.nc", "bench.pdf", "drawing.pdf"] {
        assert!(names.iter().any(|own| own == name), "{name}: {names:?}");
    }
    assert!(said.contains("mm") && !said.contains(" in ("), "{said}");
}

/// A stringer that is laid out by hand: no machine is named, and the drawing and the bench sheet
/// come all the same.
#[test]
fn a_stringer_without_a_machine() {
    let shop = Shop::new();
    assert_eq!(code(&seatcut(&["new", &shop.path("porch.toml")])), 0);
    let text = fs::read_to_string(shop.path("porch.toml")).unwrap();
    let (above, below) = text.split_once("\n[cut]").unwrap();
    let after = &below[below.find("\n# More is looked at").unwrap()..];
    fs::write(shop.path("porch.toml"), format!("{above}{after}")).unwrap();
    let (names, said) = shop.make("porch.toml", "porch");
    let wanted =
        ["bench.html", "bench.pdf", "drawing.pdf", "drawing.svg", "nominal.dxf", "report.json"];
    assert_eq!(names, wanted);
    assert!(!said.contains("At the machine"), "{said}");
    let page = fs::read_to_string(shop.path("porch/bench.html")).unwrap();
    for machine in ["Run order", "Machine sheet", "router", "id=\"player\""] {
        assert!(!page.contains(machine), "{machine}");
    }
    // A program is cut on a machine, and several jobs together are: neither is made up.
    fs::write(shop.path("any.nc"), "G21 G90\nM30\n").unwrap();
    let held = seatcut(&["verify", &shop.path("porch.toml"), &shop.path("any.nc")]);
    assert_eq!(code(&held), 4, "{}", told(&held));
    let ordered = seatcut(&["order", &shop.path("porch.toml"), "-o", &shop.path("order")]);
    assert_eq!(code(&ordered), 4, "{}", told(&ordered));
    assert!(told(&ordered).contains("[cut]"), "{}", told(&ordered));
}

/// Laid out by hand, nothing lies on a machine: no board that nobody named is held against the
/// stringer's, however thick that is.
#[test]
fn a_thick_board_is_laid_out_by_hand() {
    let shop = Shop::new();
    let (by_hand, _) = CELLAR.split_once("[cut]").unwrap();
    let text = format!("rules = \"de-general\"\n{by_hand}").replace("18 mm", "50 mm");
    fs::write(shop.path("cellar.toml"), text).unwrap();
    let solved = shop.solve("cellar.toml");
    assert_eq!(code(&solved), 0, "{}", said(&solved));
    assert!(!said(&solved).contains("board-2x12"), "{}", said(&solved));
}

/// A board of 50 mm laid out by hand is no board of a profile; two flights of it have a page each,
/// and nothing of work that nobody does.
#[test]
fn flights_laid_out_by_hand() {
    let shop = Shop::new();
    let text = "title = \"Cellar\"\nrules = \"de-private\"\n[rise]\ntotal = \"2562 mm\"\nrisers = \
        14\n[tread]\n\
                cut = \"262 mm\"\nthickness = \"38 mm\"\noverhang = \"28 mm\"\nriser_board = \"18 \
                mm\"\n[head]\n\
                finish = \"22 mm\"\nrim_depth = \"320 mm\"\n[board]\nwidth = \"285 mm\"\nthickness \
                = \"50 mm\"\n\
                [stair]\nwidth = \"900 mm\"\nclear_width = \"900 mm\"\n";
    fs::write(shop.path("one.toml"), text).unwrap();
    let (_, said) = shop.make("one.toml", "one");
    assert!(!said.contains("2x12") && !said.contains("thickness-"), "{said}");
    let landing =
        "[[landing]]\nafter = 6\ndepth = \"950 mm\"\nfinish = \"22 mm\"\nturn = \"right\"\n";
    fs::write(shop.path("two.toml"), format!("{text}{landing}")).unwrap();
    let (names, said) = shop.make("two.toml", "two");
    let flight = |number, file| format!("cellar-flight-{number}-of-2/{file}");
    for file in ["bench.html", "bench.pdf", "drawing.pdf", "nominal.dxf"] {
        for number in [1, 2] {
            assert!(names.contains(&flight(number, file)), "{file}: {names:?}");
        }
    }
    assert!(
        !names.iter().any(|name| name.contains("label") || name.contains("work-list")),
        "{names:?}"
    );
    // What is proven is in the set.
    let proven = said.split("PROVEN").nth(1).and_then(|rest| rest.split("FILES").next()).unwrap();
    for line in proven.lines().filter(|line| line.contains(".dxf")) {
        let name = line.split_whitespace().next().unwrap();
        assert!(names.iter().any(|of| of == name), "{name}: {names:?}");
    }
    assert!(proven.contains(&flight(1, "nominal.dxf")), "{said}");
    // Each flight's findings stand under a heading, and nothing is said of nothing.
    let solved = said_of(&shop.solve("two.toml"));
    let lines: Vec<&str> = solved.lines().collect();
    for (i, _) in lines.iter().enumerate().filter(|(_, line)| line.contains("Nothing found")) {
        assert_eq!(lines[i - 1], "FOUND", "{solved}");
    }
}

fn said_of(run: &Output) -> String {
    assert_eq!(code(run), 0, "{}{}", said(run), told(run));
    said(run)
}

/// Where the ground gives the rise, no table [rise] is asked for; without either it is missing.
#[test]
fn steps_on_falling_ground_need_no_rise() {
    let shop = Shop::new();
    let ground = "[ground]\nat_head = \"41 1/2 in\"\nslope = \"1 in 14\"\n";
    let rest = "title = \"Steps\"\n[tread]\ncut = \"11 in\"\nthickness = \"1 in\"\nriser_board \
        = \"3/4 in\"\n[head]\n\
                finish = \"1 in\"\nrim_depth = \"14 in\"\n[board]\nwidth = \"11 1/4 \
                in\"\nthickness = \"1 1/2 in\"\n";
    fs::write(shop.path("steps.toml"), format!("{rest}{ground}")).unwrap();
    let solved = said_of(&shop.solve("steps.toml"));
    assert!(solved.contains("Where each count would land"), "{solved}");
    fs::write(shop.path("steps.toml"), rest).unwrap();
    let refused = shop.solve("steps.toml");
    assert_eq!(code(&refused), 3, "{}", told(&refused));
    assert!(told(&refused).contains("the table [rise] is missing"), "{}", told(&refused));
}
