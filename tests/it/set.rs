//! Several pieces cut together: sheets, boards, layers, split patterns, order files, many jobs.

use crate::common::{Stair, code, profile_with, seatcut};
use seatcut::geometry::Placement;
use seatcut::job::Job;
use seatcut::optimise::nesting::Watch;
use seatcut::pipeline::proof;
use seatcut::pipeline::set::{Entry, SawnBoards, Set};
use serde_json::Value;
use std::fs;
use std::path::Path;
use std::process::Output;

fn err(run: &Output) -> String {
    String::from_utf8_lossy(&run.stderr).into_owned()
}

/// Short steps whose stringers go four to a sheet.
fn steps(cut: &str) -> Stair {
    Stair {
        rules: "us-osha".into(),
        rise: "total = \"28 in\"\nrisers = 4".into(),
        tread: crate::common::tread("10 1/2 in", "1 in", "1 in", "3/4 in"),
        board: "width = \"11 1/4 in\"\nthickness = \"18 mm\"".into(),
        cut: format!(
            "makes = \"stringers\"\nmachine = \"router-table\"\nmaterial = \"plywood-18\"\n{cut}"
        ),
        ..Stair::default()
    }
}

fn set(job: Job) -> Set {
    Set::of(vec![Entry { job, times: 1 }], 0).unwrap()
}

fn codes(set: &Set) -> Vec<&'static str> {
    set.all_findings().map(|finding| finding.code.name()).collect()
}

/// Every program of every sheet, held against what it must be.
fn all_proven(set: &Set) {
    assert!(!set.refused(), "{:?}", set.all_findings().collect::<Vec<_>>());
    for run in &set.sheets {
        let member = &set.members[run.kinds[0].member];
        let machine = &member.job().cut.machine;
        let ledger = member.tooling.as_ref().unwrap().path.ledger();
        for program in run.programs.marks.iter().chain([&run.programs.cut]) {
            let stamp = seatcut::output::Stamp::of(&member.workup);
            let text = seatcut::output::gcode::gcode(&stamp, machine, ledger, program);
            let expectation = proof::laid_out(set, run, program);
            let verdict = proof::hold(text.as_bytes(), "program.nc", &expectation).unwrap();
            let faults: Vec<_> = verdict.findings.iter().filter(|f| f.refuses()).collect();
            assert!(faults.is_empty(), "{faults:#?}");
            assert!(verdict.gouge_mm < 0.0127 && verdict.left_mm < 0.0127);
            if program.task == seatcut::cam::plan::Task::Cut {
                assert_eq!(verdict.placements.len(), program.pieces.len());
            }
        }
    }
}

#[test]
fn stringers_of_a_stair_share_sheets_and_each_program_is_proven() {
    let set = set(steps("quantity = 9").job());
    all_proven(&set);
    let pieces: usize =
        set.sheets.iter().map(|run| run.times * run.programs.cut.pieces.len()).sum();
    assert_eq!(pieces, 9);
    let nest = &set.nests[0];
    assert!(nest.sheets <= nest.boxes_sheets.unwrap() && nest.bound_sheets <= nest.sheets);
    for run in &set.sheets {
        let (length, bound) = run.programs.cut.rapid_bound_mm.unwrap();
        assert!(bound <= length + 1e-6 && bound > 0.0);
    }
}

#[test]
fn a_piece_that_is_moved_into_another_on_the_sheet_does_not_pass() {
    let set = set(steps("quantity = 2").job());
    let run = &set.sheets[0];
    let mut cut = run.programs.cut.clone();
    let by =
        cut.pieces[0].placement.translation.vector - cut.pieces[1].placement.translation.vector;
    cut.pieces[1].placement = Placement::from_parts(
        (cut.pieces[1].placement.translation.vector + by * 0.9).into(),
        cut.pieces[0].placement.rotation,
    );
    let text = seatcut::output::gcode::gcode(
        &seatcut::output::Stamp::of(&set.members[0].workup),
        &set.members[0].job().cut.machine,
        set.members[0].tooling.as_ref().unwrap().path.ledger(),
        &cut,
    );
    let verdict = proof::hold(text.as_bytes(), "p.nc", &proof::laid_out(&set, run, &cut)).unwrap();
    assert!(
        verdict.findings.iter().any(|f| f.code.name() == "pieces-overlap"),
        "{:?}",
        verdict.findings
    );
}

/// A search that has no time at all lays out everything once, says so, and proves it.
#[test]
fn a_search_that_is_ended_early_is_said_and_its_programs_are_proven_all_the_same() {
    let entries = |pieces: [u32; 2]| {
        let short = steps(&format!("quantity = {}", pieces[0]));
        let long = Stair {
            rise: "total = \"42 in\"\nrisers = 6".into(),
            ..steps(&format!("quantity = {}", pieces[1]))
        };
        let titled = |stair: Stair, title: &str| {
            let mut job = stair.job();
            job.title = title.into();
            Entry { job, times: 1 }
        };
        vec![titled(short, "Short"), titled(long, "Long")]
    };
    let ended = Set::out_of(entries([7, 5]), 0, None, &Watch::new(&|| true, &|_| ())).unwrap();
    all_proven(&ended);
    let nest = &ended.nests[0];
    assert_eq!(codes(&ended).contains(&"search-ended"), !nest.proven, "{nest:?}");
    assert!(!nest.proven, "an order that is proven at once shows nothing: {nest:?}");
    let whole = Set::of(entries([7, 5]), 0).unwrap();
    assert!(!codes(&whole).contains(&"search-ended"), "{:?}", codes(&whole));
    assert!(whole.nests[0].sheets <= nest.sheets);
    // Nor are the ways on its sheets searched for any longer, however hard was asked for.
    let hard = Set::out_of(entries([7, 5]), 6, None, &Watch::new(&|| true, &|_| ())).unwrap();
    let ways = |set: &Set| -> Vec<String> {
        let lines = seatcut::bundle::texts(set).into_iter().flat_map(|(_, text)| {
            text.lines()
                .filter(|line| line.starts_with("G0 X"))
                .map(str::to_string)
                .collect::<Vec<_>>()
        });
        lines.collect()
    };
    assert!(!ways(&ended).is_empty());
    assert_eq!(ways(&hard), ways(&ended));
}

#[test]
fn pieces_too_near_for_wood_between_their_cuts_are_tied_to_each_other_and_what_room_costs_is_said()
{
    let machine =
        profile_with("machine", "router-table", &[("cutter = \"1/4 in\"", "cutter = \"1/2 in\"")]);
    let mut short = Stair {
        rise: "total = \"21 in\"\nrisers = 3".into(),
        ..steps("quantity = 24\nspacing = \"0.52 in\"")
    };
    short.cut = short.cut.replace("machine = \"router-table\"", "machine = \"./wide.toml\"");
    short.board = "width = \"8 in\"\nthickness = \"18 mm\"".into();
    short.files = vec![("./wide.toml".into(), machine)];
    let set = set(short.job());
    all_proven(&set);
    assert!(codes(&set).contains(&"ties-between-pieces"), "{:?}", codes(&set));
    let room = set.findings.iter().find(|finding| finding.code.name() == "room-for-ties").unwrap();
    assert!(
        room.sentence()
            .starts_with("a spacing of 1 1/2 in (38.1 mm) would tie every piece to the sheet"),
        "{room}"
    );
    let sheets = ["measured", "now"].map(|name| room.value(name).unwrap().measured());
    assert_eq!(sheets, [Some((2.0, "count")), Some((1.0, "count"))], "{room}");
    for run in &set.sheets {
        let cut = &run.programs.cut;
        assert!(cut.tabs.len() >= 3 * cut.pieces.len());
    }
}

#[test]
fn what_is_found_is_printed_once() {
    let bench = Bench::new(&[("a.toml", steps("quantity = 2\nspacing = \"3/8 in\"").toml())]);
    let run = seatcut(&["make", &bench.path("a.toml"), "-o", &bench.path("out")]);
    assert_eq!(code(&run), 0, "{}", err(&run));
    let printed = String::from_utf8_lossy(&run.stdout).into_owned();
    let found = |line: &&str| {
        ["note ", "WARNING ", "REFUSED "].iter().any(|mark| line.trim_start().starts_with(mark))
    };
    let mut lines: Vec<&str> = printed.lines().filter(found).collect();
    assert!(printed.contains("(spacing-tight;"), "{printed}");
    let count = lines.len();
    lines.sort_unstable();
    lines.dedup();
    assert_eq!(lines.len(), count, "{printed}");
}

#[test]
fn a_spacing_below_the_cutter_is_refused() {
    let set = set(steps("quantity = 2\nspacing = \"0.2 in\"").job());
    assert!(set.refused() && codes(&set).contains(&"spacing-below-cutter"));
    assert!(set.sheets.is_empty());
}

#[test]
fn clamps_stay_uncut_and_those_that_cover_the_sheet_are_refused() {
    let clamps = "quantity = 3\nclamps = [{ x = \"0 in\", y = \"22 in\", length = \"5 in\", width \
        = \"4 in\" }]";
    let clamped = set(steps(clamps).job());
    all_proven(&clamped);
    let clamp = clamped.sheets[0].clamps[0].place;
    assert!((clamp.width() - 127.0).abs() < 1e-9 && (clamp.min.y - 22.0 * 25.4).abs() < 1e-9);
    let all = "quantity = 3\nclamps = [{ x = \"0 in\", y = \"0 in\", length = \"100 in\", width \
        = \"50 \
        in\" }]";
    assert!(codes(&set(steps(all).job())).contains(&"sheet-covered"));
}

#[test]
fn a_dark_beam_goes_round_clamps_and_one_over_home_is_parked_beside() {
    let burnt = |clamps: &str| {
        let mut steps = steps(&format!("quantity = 4\nclamps = [{clamps}]"));
        steps.rise = "total = \"21 in\"\nrisers = 3".into();
        steps.board = steps.board.replace("18 mm", "3.2 mm");
        steps.cut = steps
            .cut
            .replace("\"router-table\"", "\"laser\"")
            .replace("\"plywood-18\"", "\"hardboard-3\"");
        set(steps.job())
    };
    let clamp = |x: u32, y: u32| {
        format!("{{ x = \"{x} mm\", y = \"{y} mm\", length = \"100 mm\", width = \"70 mm\" }}")
    };
    let between = burnt(&format!("{}, {}", clamp(0, 188), clamp(950, 70)));
    all_proven(&between);
    let corner = burnt(&clamp(0, 0));
    all_proven(&corner);
    let mut rapids = corner.sheets[0].programs.cut.steps.iter().filter_map(|step| match step {
        seatcut::cam::plan::Step::RapidXy(to) => Some(*to),
        _ => None,
    });
    let home = rapids.next_back().unwrap();
    assert!(home.x.abs() < 1e-9 && home.y > 70.0 && home.y < 72.0, "{home}");
}

#[test]
fn a_piece_that_fits_no_sheet_is_refused_with_both_sizes() {
    let long = Stair { rise: "total = \"98 in\"\nrisers = 14".into(), ..steps("quantity = 2") };
    let set = set(long.job());
    let finding = set.findings.iter().find(|f| f.code.name() == "no-place-on-sheet").unwrap();
    assert!(finding.refuses() && finding.to_string().contains("less a margin of"));
    assert!(finding.to_string().contains("finds no place on a sheet of"), "{finding}");
}

#[test]
fn layers_get_their_letter_and_the_same_dowel_holes_and_doublers_are_counted() {
    let mut glued = steps("quantity = 3\nlayers = 2\ndoubled_outsides = true");
    glued.board = "width = \"11 1/4 in\"\nthickness = \"36 mm\"".into();
    let job = glued.job();
    assert_eq!(job.cut.pieces(), 10);
    let set = set(job);
    all_proven(&set);
    let kinds = &set.sheets[0].kinds;
    assert_eq!(
        kinds.iter().map(|k| (k.tooled.name.as_str(), k.count)).collect::<Vec<_>>(),
        [("layer A", 5), ("layer B", 5)]
    );
    assert_eq!(kinds[0].tooled.holes, kinds[1].tooled.holes);
    assert_eq!(kinds[0].tooled.holes.len(), 2);
    assert_ne!(kinds[0].tooled.strokes, kinds[1].tooled.strokes);
    assert!(!codes(&set).contains(&"thickness-differs"));
    for small in ["3/16 in", "0.249 in", "0.27 in"] {
        let small = Stair { cut: format!("{}\ndowel = \"{small}\"", glued.cut), ..glued.clone() };
        assert!(codes(&self::set(small.job())).contains(&"dowel-too-small"));
    }
    // As wide as the cutter: straight down.
    let just = Stair { cut: format!("{}\ndowel = \"1/4 in\"", glued.cut), ..glued.clone() };
    let just = self::set(just.job());
    all_proven(&just);
    assert_eq!(
        just.sheets[0].programs.cut.holes.len(),
        2 * just.sheets[0].programs.cut.pieces.len()
    );
    let large = Stair { cut: format!("{}\ndowel = \"1 3/4 in\"", glued.cut), ..glued };
    assert!(codes(&self::set(large.job())).contains(&"no-dowel-room"));
}

#[test]
fn layers_and_doublers_are_for_stringers_only() {
    let pattern = Stair {
        cut: "makes = \"pattern\"\nmachine = \"router-table\"\nmaterial = \"hardboard-6\"\nlayers \
            = 2"
        .into(),
        ..Stair::default()
    };
    assert!(
        pattern
            .try_job()
            .unwrap_err()
            .to_string()
            .contains("cut.layers is for stringers cut from a sheet")
    );
    let one = steps("quantity = 1\ndoubled_outsides = true");
    assert!(
        one.try_job()
            .unwrap_err()
            .to_string()
            .contains("doubled_outsides needs the outside stringers")
    );
}

#[test]
fn a_quantity_of_none_or_of_a_billion_is_told_what_is_allowed() {
    for quantity in ["0", "1000000000", "-3"] {
        let error = steps(&format!("quantity = {quantity}")).try_job().unwrap_err().to_string();
        assert!(error.contains("cut.quantity") && error.contains("1 to 10000"), "{error}");
    }
    assert!(steps("quantity = 1e9").try_job().is_err());
}

/// A pattern of fourteen risers, longer than its sheet.
fn long_pattern() -> Stair {
    Stair {
        rise: "total = \"98 in\"\nrisers = 14".into(),
        tread: crate::common::tread("10 1/2 in", "1 in", "1 in", "3/4 in"),
        cut: "makes = \"pattern\"\nmachine = \"router-table\"\nmaterial = \"hardboard-6\"\nlong \
            = \"split\""
            .into(),
        ..Stair::default()
    }
}

#[test]
fn a_pattern_longer_than_its_sheet_is_cut_as_two_pieces_and_a_strap() {
    let set = set(long_pattern().job());
    all_proven(&set);
    let names: Vec<&str> =
        set.sheets[0].kinds.iter().map(|kind| kind.tooled.name.as_str()).collect();
    assert_eq!(names, ["pattern a (foot)", "pattern b (head)", "strap"]);
    let dowels: Vec<usize> =
        set.sheets[0].kinds.iter().map(|kind| kind.tooled.holes.len()).collect();
    assert!(dowels[0] >= 2 && dowels[1] >= 2 && dowels[2] == 4, "{dowels:?}");
    assert!(codes(&set).contains(&"split-wander"));
    for kind in &set.sheets[0].kinds {
        assert!(!kind.tooled.strokes.is_empty(), "{} says what it is", kind.tooled.name);
    }
    let told = set.findings.iter().filter(|f| f.code.name() == "split-mark-left-out").count();
    assert!(told <= 1);
}

#[test]
fn a_mark_that_would_cross_the_joint_is_left_out_and_that_is_told() {
    let mut stair = long_pattern();
    stair.rules = "us-osha".into();
    let set = set(stair.job());
    let left_out = set.findings.iter().find(|f| f.code.name() == "split-mark-left-out");
    let kept: usize = set.sheets[0].kinds.iter().map(|kind| kind.tooled.strokes.len()).sum();
    let marks = set.members[0].tooling.as_ref().unwrap().marks.as_ref().unwrap();
    // Names and crosses are added, what is left out is told: nothing is lost silently.
    assert!(left_out.is_some() || kept >= marks.strokes.len());
}

/// Stringers notched out of boards.
fn on_boards(more: &str) -> Stair {
    let boards = format!("width = \"11 1/4 in\"\nthickness = \"1 1/2 in\"\n{more}");
    Stair {
        rise: "total = \"35 in\"\nrisers = 5".into(),
        tread: crate::common::tread("10 1/2 in", "1 in", "1 in", "3/4 in"),
        board: boards,
        cut: "makes = \"stringers\"\nquantity = 5\nmachine = \"router-table\"\nmaterial \
            = \"board-2x12\""
            .into(),
        ..Stair::default()
    }
}

#[test]
fn boards_are_bought_at_the_least_length_and_every_blank_is_on_one() {
    let set = set(on_boards("").job());
    assert!(!set.refused() && codes(&set).contains(&"boards-not-measured"));
    let plan = &set.boards[0];
    assert!(plan.proven && plan.bound_feet <= plan.feet);
    assert!(plan.first_fit_feet.is_none_or(|feet| plan.feet <= feet));
    let sawn: usize = plan.boards.iter().map(|of| of.blanks.len() * of.times).sum();
    assert_eq!(sawn, 5);
    for SawnBoards { length, blanks, left, .. } in &plan.boards {
        let used: f64 = blanks.iter().map(|&b| plan.blanks[b].length.as_mm()).sum();
        let kerfs = plan.kerf.as_mm() * (blanks.len() - 1) as f64;
        assert!(used + kerfs + 2.0 * plan.end_trim.as_mm() <= length.as_mm() + 1e-6);
        assert!(left.as_mm() >= 0.0);
    }
    // The blank is the piece and what the tool needs before and behind it.
    let part = set.members[0].workup.outline.as_ref().unwrap().blank_length();
    assert!(plan.blanks[0].length > part && plan.blanks[0].length.as_mm() - part.as_mm() < 40.0);
}

#[test]
fn a_narrow_board_is_refused_or_everything_is_solved_anew_for_it() {
    let measured = "[boards]\nmeasured = [{ width = \"11 1/4 in\", crown = \"1/8 in\" }, { width \
        = \"11 \
        in\", crown = \"3/8 in\" }]";
    let narrow = set(on_boards(measured).job());
    assert!(narrow.refused() && codes(&narrow).contains(&"board-narrow"));
    assert!(codes(&narrow).contains(&"board-crown"));
    let anew = set(on_boards(&format!("{measured}\nnarrow = \"re-solve\"")).job());
    assert!(!anew.refused() && codes(&anew).contains(&"board-re-solved"));
    let throats =
        [&narrow, &anew].map(|set| set.members[0].workup.flight.behind_notches().as_inches());
    assert!((throats[0] - throats[1] - 0.25).abs() < 1e-9);
}

#[test]
fn a_blank_longer_than_every_board_is_refused() {
    let set = set(on_boards("[boards]\nlengths = [\"3 ft\"]").job());
    assert!(set.refused() && codes(&set).contains(&"board-too-short"));
}

#[test]
fn of_one_stringer_the_board_to_buy_is_told_as_of_many() {
    let one = |more: &str| {
        let mut stair = on_boards(more);
        stair.cut = stair.cut.replace("quantity = 5", "quantity = 1");
        stair.toml()
    };
    let bench =
        Bench::new(&[("one.toml", one("")), ("short.toml", one("[boards]\nlengths = [\"3 ft\"]"))]);
    let run =
        |verb: &str, job: &str, more: &[&str]| seatcut(&[&[verb, &bench.path(job)], more].concat());
    let made = run("make", "one.toml", &["-o", &bench.path("out")]);
    assert_eq!(code(&made), 0, "{}", err(&made));
    let list = fs::read_to_string(bench.dir.path().join("out/boards.txt")).unwrap();
    assert!(list.contains("buy 1 of ") && list.contains("1. 1 of "), "{list}");
    for short in
        [run("solve", "short.toml", &[]), run("make", "short.toml", &["-o", &bench.path("none")])]
    {
        let said = format!("{}{}", String::from_utf8_lossy(&short.stdout), err(&short));
        assert!(code(&short) == 4 && said.contains("board-too-short"), "{said}");
    }
}

struct Bench {
    dir: tempfile::TempDir,
}

impl Bench {
    fn new(files: &[(&str, String)]) -> Self {
        let dir = tempfile::tempdir().unwrap();
        for (name, text) in files {
            fs::write(dir.path().join(name), text).unwrap();
        }
        Self { dir }
    }

    fn path(&self, name: &str) -> String {
        self.dir.path().join(name).display().to_string()
    }

    fn json(&self, name: &str) -> Value {
        serde_json::from_slice(&fs::read(self.dir.path().join(name)).unwrap()).unwrap()
    }
}

fn titled(stair: &Stair, title: &str) -> String {
    stair.toml().replace("Invented test stair", title)
}

#[test]
fn an_order_file_makes_each_job_as_often_as_it_says_and_each_file_passes_verify() {
    let order = "[[job]]\nfile = \"a.toml\"\ncount = 2\n[[job]]\nfile = \"b.toml\"\n";
    let other = Stair { rise: "total = \"21 in\"\nrisers = 3".into(), ..steps("quantity = 2") };
    let bench = Bench::new(&[
        ("a.toml", titled(&steps("quantity = 1"), "Garden steps")),
        ("b.toml", titled(&other, "Porch steps")),
        ("order.toml", order.to_string()),
    ]);
    let (order, out) = (bench.path("order.toml"), bench.path("out"));
    let run = seatcut(&["make", &order, "-o", &out, "--effort", "0"]);
    assert_eq!(code(&run), 0, "{}", err(&run));
    let report = bench.json("out/report.json");
    assert_eq!(report["schema"], "seatcut.set/1");
    assert_eq!(report["jobs"].as_array().unwrap().len(), 2);
    let placements = report["programs"].as_array().unwrap().iter().map(|program| {
        let times = program["times"].as_u64().unwrap();
        times * program["placements"].as_array().unwrap().len() as u64
    });
    assert_eq!(placements.sum::<u64>(), 4);
    let files: Vec<String> = report["files"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| f["name"].as_str().unwrap().to_string())
        .collect();
    assert!(
        files.contains(&"garden-steps/nominal.dxf".to_string())
            && files.contains(&"sheet-1.svg".to_string()),
        "{files:?}"
    );
    for name in files.iter().filter(|name| name.ends_with(".nc") || name.ends_with(".dxf")) {
        let file = bench.path(&format!("out/{name}"));
        let run = seatcut(&["verify", &order, &file, "--effort", "0"]);
        assert_eq!(code(&run), 0, "{name}: {}{}", String::from_utf8_lossy(&run.stdout), err(&run));
    }
    let spoilt = fs::read_to_string(bench.path("out/program.nc")).unwrap().replacen("X1", "X2", 1);
    fs::write(bench.path("spoilt.nc"), spoilt).unwrap();
    assert_eq!(code(&seatcut(&["verify", &order, &bench.path("spoilt.nc"), "--effort", "0"])), 6);
}

#[test]
fn two_jobs_of_one_title_and_clamps_that_disagree_are_input_errors() {
    let clamped = steps(
        "quantity = 1\nclamps = [{ x = \"0 in\", y = \"0 in\", length = \"3 in\", width = \"3 in\" \
        }]",
    );
    let bench = Bench::new(&[
        ("a.toml", titled(&steps("quantity = 1"), "Same")),
        ("b.toml", titled(&steps("quantity = 2"), "Same")),
        ("c.toml", titled(&clamped, "Clamped")),
        ("bad.toml", "[[job]]\nfile = \"a.toml\"\ncount = 0\n".to_string()),
    ]);
    let [a, b, c, bad, out] =
        ["a.toml", "b.toml", "c.toml", "bad.toml", "out"].map(|name| bench.path(name));
    let run = seatcut(&["make", &a, &b, "-o", &out]);
    assert_eq!(code(&run), 3);
    assert!(err(&run).contains("same title"), "{}", err(&run));
    let run = seatcut(&["make", &a, &c, "-o", &out]);
    assert_eq!(code(&run), 3);
    assert!(err(&run).contains("different clamps"), "{}", err(&run));
    let run = seatcut(&["make", &bad, "-o", &out]);
    assert_eq!(code(&run), 3);
    assert!(err(&run).contains("job.count") && err(&run).contains("1 to 10000"), "{}", err(&run));
    assert!(!std::path::Path::new(&out).exists());
}

#[test]
fn the_same_set_is_the_same_bytes_on_every_run() {
    let bench = Bench::new(&[("a.toml", steps("quantity = 5").toml())]);
    let job = bench.path("a.toml");
    let files = |out: &str| {
        let out = bench.path(out);
        assert_eq!(code(&seatcut(&["make", &job, "-o", &out])), 0);
        let mut files: Vec<(String, Vec<u8>)> = fs::read_dir(&out)
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .map(|path| {
                (path.file_name().unwrap().to_string_lossy().into_owned(), fs::read(&path).unwrap())
            })
            .collect();
        files.sort();
        files
    };
    assert_eq!(files("one"), files("two"));
}

#[test]
fn a_batch_makes_what_can_be_made_and_tells_of_the_rest() {
    let steep = Stair {
        rules: "us-irc-2021".into(),
        rise: "total = \"40 in\"\nrisers = 3".into(),
        ..Stair::default()
    };
    let bench = Bench::new(&[]);
    fs::create_dir(bench.path("jobs")).unwrap();
    for i in 0..24 {
        let text = Stair::default()
            .toml()
            .replace("51 3/8 in", &format!("{} in", 45.0 + 0.25 * f64::from(i)));
        fs::write(bench.path(&format!("jobs/many-{i:02}.toml")), text).unwrap();
    }
    let jobs = [
        ("one.toml", Stair::default().toml()),
        ("steep.toml", steep.toml()),
        ("torn.toml", "title = ".into()),
    ];
    for (name, text) in &jobs {
        fs::write(bench.path(&format!("jobs/{name}")), text).unwrap();
    }
    fs::write(bench.path("jobs/notes.txt"), "no job").unwrap();
    let (jobs, out) = (bench.path("jobs"), bench.path("out"));
    let run = seatcut(&["batch", &jobs, "-o", &out]);
    assert_eq!(code(&run), 3, "{}", err(&run));
    let table = bench.json("out/summary.json");
    assert_eq!(
        (&table["made"], &table["refused"], &table["failed"]),
        (&25.into(), &1.into(), &1.into())
    );
    let outcomes: Vec<&str> =
        table["jobs"].as_array().unwrap().iter().map(|j| j["outcome"].as_str().unwrap()).collect();
    assert_eq!(outcomes[24..], ["made", "refused", "failed"]);
    assert!(
        bench.json("out/one/report.json")["programs"]
            .as_array()
            .is_some_and(|programs| !programs.is_empty())
    );
    assert!(!std::path::Path::new(&bench.path("out/steep")).exists());
    let csv = fs::read_to_string(bench.path("out/summary.csv")).unwrap();
    // A heading, a line for every job, the totals.
    assert_eq!(csv.lines().count(), 29, "{csv}");
    assert!(csv.lines().last().unwrap().starts_with("27 jobs in all,,"), "{csv}");
    let column = |row: &str, heading: &str| {
        let at = csv.lines().next().unwrap().split(',').position(|name| name == heading).unwrap();
        table["jobs"].as_array().unwrap().iter().find(|job| job["folder"] == row).unwrap();
        csv.lines()
            .find(|line| line.contains(&format!("/{row}.toml,")))
            .unwrap()
            .split(',')
            .nth(at)
            .unwrap()
            .to_string()
    };
    assert_eq!(column("torn", "code"), "input");
    assert_eq!(
        (column("one", "sheets"), column("one", "material")),
        ("1".into(), "hardboard-6".into())
    );
    assert!(table["jobs"][25]["code"].as_str().unwrap().contains("unit-rise-high"), "{table}");
    assert!(err(&run).contains("steep.toml: refused") && err(&run).contains("torn.toml: failed"));
    assert_eq!(code(&seatcut(&["batch", &bench.path("nowhere.toml"), "-o", &bench.path("o2")])), 7);
    fs::create_dir(bench.path("empty")).unwrap();
    let run = seatcut(&["batch", &bench.path("empty"), "-o", &bench.path("o3")]);
    assert!(code(&run) == 3 && err(&run).contains("no job in this folder"));
    assert!(err(&run).contains("nothing"), "{}", err(&run));
    // What is there instead is told, and the folder below it where jobs may be.
    let write = |name: &str, text: &str| fs::write(bench.path(name), text).unwrap();
    write("empty/rack.toml", "[[sheet]]\nmaterial = \"plywood-18\"\n");
    write("empty/notes.txt", "ring first");
    fs::create_dir(bench.path("empty/stairs")).unwrap();
    let run = seatcut(&["batch", &bench.path("empty"), "-o", &bench.path("o3")]);
    let words = crate::common::on_one_line(&err(&run));
    for told in ["rack.toml, a stock file", "1 file that ends not in .toml", "a folder stairs"] {
        assert!(words.contains(told), "{told}: {words}");
    }
    assert!(words.contains("stairs -o OUT"), "{words}");
}

#[test]
fn a_second_batch_makes_only_what_is_not_there_as_it_was_written() {
    let bench = Bench::new(&[]);
    fs::create_dir(bench.path("jobs")).unwrap();
    let write = |name: &str, rise: &str| {
        let text = Stair::default().toml().replace("51 3/8 in", rise);
        fs::write(bench.path(&format!("jobs/{name}.toml")), text).unwrap();
    };
    for (name, rise) in [("a", "51 in"), ("b", "51 1/4 in"), ("c", "51 1/2 in"), ("d", "52 in")] {
        write(name, rise);
    }
    let (jobs, out) = (bench.path("jobs"), bench.path("out"));
    let batch = |more: &[&str]| {
        let run = seatcut(&[&["batch", &jobs, "-o", &out], more].concat());
        let table = bench.json("out/summary.json");
        let rows = table["jobs"].as_array().unwrap().clone();
        let outcomes: Vec<String> =
            rows.iter().map(|row| row["outcome"].as_str().unwrap().to_string()).collect();
        let time = table["total"]["time_s"].as_f64().unwrap();
        (code(&run), outcomes, time)
    };
    let (ended, outcomes, time) = batch(&[]);
    assert_eq!((ended, outcomes), (0, vec!["made".to_string(); 4]));
    let (ended, outcomes, again) = batch(&[]);
    assert_eq!((ended, outcomes), (0, vec!["unchanged".to_string(); 4]));
    assert!(time > 0.0 && time == again, "{time} {again}");
    // As an interrupted run leaves it: no table, a set that is missing, one half away, one that a
    // killed run left hidden.
    fs::remove_file(bench.path("out/summary.csv")).unwrap();
    fs::remove_file(bench.path("out/summary.json")).unwrap();
    fs::remove_dir_all(bench.path("out/a")).unwrap();
    fs::remove_file(bench.path("out/b/bench.pdf")).unwrap();
    let hidden = bench.path("out/.seatcut-unfinished-4194304-0");
    fs::create_dir(&hidden).unwrap();
    fs::write(format!("{hidden}/nominal.dxf"), "half").unwrap();
    let (ended, outcomes, _) = batch(&[]);
    assert_eq!(
        (ended, outcomes),
        (0, ["made", "made", "unchanged", "unchanged"].map(String::from).into())
    );
    assert!(!Path::new(&hidden).exists());
    // Another effort is another set; a job that was changed is told and needs a word, which makes
    // nothing anew but that.
    let (_, outcomes, _) = batch(&["--effort", "0"]);
    assert_eq!(outcomes, vec!["made".to_string(); 4]);
    write("c", "50 3/4 in");
    let (ended, outcomes, _) = batch(&["--effort", "0"]);
    assert_eq!((ended, &*outcomes[2]), (7, "failed"));
    let (ended, outcomes, _) = batch(&["--effort", "0", "--force"]);
    assert_eq!((ended, &*outcomes[2], &*outcomes[3]), (0, "made", "unchanged"));
}

#[test]
fn a_part_longer_than_the_table_is_cut_in_shifts_and_proven_from_disk() {
    let stair = Stair {
        cut: steps("long = \"index\"").cut.replace("router-table", "router-table-small"),
        rise: "total = \"42 in\"\nrisers = 6".into(),
        ..steps("")
    };
    let bench = Bench::new(&[("a.toml", stair.toml())]);
    let run = seatcut(&["make", &bench.path("a.toml"), "-o", &bench.path("out")]);
    assert_eq!(code(&run), 0, "{}", err(&run));
    let file = |number: usize| bench.path(&format!("out/program-{number}.nc"));
    let text = |number: usize| fs::read_to_string(file(number)).unwrap();
    let judged = |path: &str| seatcut(&["verify", &bench.path("a.toml"), path]);
    let told = |path: &str| String::from_utf8_lossy(&judged(path).stdout).to_string();
    let count = (1..).take_while(|number| Path::new(&file(*number)).exists()).count();
    assert!(count >= 3, "{count}");
    for number in 1..=count {
        assert!(!text(number).lines().any(|line| line.trim() == "M0"));
        let run = judged(&file(number));
        let out = String::from_utf8_lossy(&run.stdout).to_string();
        assert_eq!(code(&run), 0, "{out}");
        let is = match number {
            1 => "bores the table's pins for this job".to_string(),
            _ => format!("set-up {} of {}", number - 1, count - 1),
        };
        assert!(out.contains(&is), "{out}");
    }
    // Each set-up has a frame of its own, which is told from the other.
    for number in 1..count {
        let run = judged(&bench.path(&format!("out/frame-{number}.nc")));
        assert_eq!(code(&run), 0, "{}", String::from_utf8_lossy(&run.stdout));
    }
    // A cut left out of one set-up, a hole of the table moved, a pass of the second made in the
    // first: each is told at its own lines.
    let without = |text: &str, from: &str| {
        let lines: Vec<&str> = text.lines().collect();
        let at = lines.iter().rposition(|line| line.starts_with(from)).unwrap();
        [&lines[..at], &lines[at + 1..]].concat().join("\n") + "\n"
    };
    fs::write(bench.path("less.nc"), without(&text(3), "G1 X")).unwrap();
    assert_eq!(code(&judged(&bench.path("less.nc"))), 6);
    assert!(told(&bench.path("less.nc")).contains("set-up 2 of"));
    let moved = text(1).replacen("G1 Z", "G0 X1 Y1\nG1 Z", 1);
    fs::write(bench.path("moved.nc"), moved).unwrap();
    assert_eq!(code(&judged(&bench.path("moved.nc"))), 6);
}

#[test]
fn housed_stringers_are_no_part_of_a_set() {
    let housed = steps("").toml() + "[housed]\nhand = \"left\"\ndepth = \"1/4 in\"\n";
    let bench = Bench::new(&[
        ("a.toml", housed.replace("Invented test stair", "Left hand")),
        ("b.toml", steps("quantity = 2").toml()),
    ]);
    let run =
        seatcut(&["make", &bench.path("a.toml"), &bench.path("b.toml"), "-o", &bench.path("out")]);
    assert_eq!(code(&run), 4, "{}", err(&run));
    assert!(err(&run).contains("housed-several"), "{}", err(&run));
}

#[test]
fn a_clamp_beside_the_sheet_is_refused_and_one_on_it_stands_in_the_program() {
    let clamp = |x: &str| {
        format!(
            "quantity = 2\nclamps = [{{ x = \"{x}\", y = \"0 in\", length = \"3 in\", width = \"3 \
            in\" }}]"
        )
    };
    let beside = set(steps(&clamp("150 in")).job());
    assert!(beside.refused() && codes(&beside).contains(&"clamp-off-sheet"));
    let on = set(steps(&clamp("93 in")).job());
    let says = |step: &seatcut::cam::plan::Step| matches!(step, seatcut::cam::plan::Step::Say(words) if words.starts_with("CLAMP 1, X 93 TO 96, Y 0 TO 3"));
    assert!(on.sheets[0].programs.cut.steps.iter().any(says));
}

#[test]
fn a_tight_spacing_thin_stringers_and_wide_boards_are_told() {
    let tight = set(steps("quantity = 2\nspacing = \"3/8 in\"").job());
    assert!(codes(&tight).contains(&"spacing-tight") && codes(&tight).contains(&"stringer-thin"));
    let roomy = set(steps("quantity = 2").job());
    assert!(!codes(&roomy).contains(&"spacing-tight"));
    let mut thick = steps("quantity = 2\nlayers = 2");
    thick.board = "width = \"11 1/4 in\"\nthickness = \"36 mm\"".into();
    assert!(!codes(&set(thick.job())).contains(&"stringer-thin"));
    let wide =
        set(on_boards("[boards]\nmeasured = [{ width = \"11 1/2 in\", crown = \"0 in\" }]").job());
    assert!(codes(&wide).contains(&"board-wide") && !wide.refused());
}

#[test]
fn a_crown_that_takes_the_throat_below_the_rule_is_told() {
    let crowned = |width: &str| {
        let boards =
            format!("[boards]\nmeasured = [{{ width = \"{width}\", crown = \"1/4 in\" }}]");
        let mut stair = on_boards(&boards);
        stair.board = stair.board.replace("11 1/4 in", width);
        codes(&set(stair.job())).contains(&"crown-throat")
    };
    // 7 by 10-1/2 takes 5.8244 in: 5.1756 in are left of 11 in, less the crown less than 5 in.
    assert!(crowned("11 in") && !crowned("12 in"));
}

#[test]
fn every_program_of_two_patterns_from_boards_is_the_sets() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = fs::read_to_string(root.join("tests/outside/jobs/workshop-pattern-from-board.toml"))
        .unwrap();
    let title = text.lines().find(|line| line.starts_with("title")).unwrap().to_string();
    let risers = text.lines().find(|line| line.starts_with("risers")).unwrap().to_string();
    let other = text.replace(&title, "title = \"Second stair\"").replace(&risers, "risers = 4");
    let dir = tempfile::tempdir().unwrap();
    let at = |name: &str| dir.path().join(name).display().to_string();
    fs::write(at("a.toml"), text).unwrap();
    fs::write(at("b.toml"), other).unwrap();
    fs::write(at("order.toml"), "[[job]]\nfile = \"a.toml\"\n[[job]]\nfile = \"b.toml\"\n")
        .unwrap();
    let made = seatcut(&["make", &at("order.toml"), "-o", &at("out"), "--effort", "0"]);
    assert_eq!(code(&made), 0, "{}", err(&made));
    for name in ["program-1.nc", "program-2.nc", "program-3.nc", "program-4.nc"] {
        let file = at(&format!("out/{name}"));
        let run = seatcut(&["verify", &at("order.toml"), &file, "--effort", "0"]);
        assert_eq!(code(&run), 0, "{name}: {}", String::from_utf8_lossy(&run.stdout));
    }
}
