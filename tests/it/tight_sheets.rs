//! Pieces as near to each other as their cutter is wide, on sheets that they fill: what stays
//! between them is tied, cut away whole, or refused with what to type.

use crate::common::{Stair, code, profile_with, seatcut, tread};
use seatcut::diagnostics::Severity;
use seatcut::job::Job;
use seatcut::optimise::nesting::{Effort, Piece, Problem, Rotations, SheetSize, nest};
use seatcut::output::Stamp;
use seatcut::output::gcode::gcode;
use seatcut::pipeline::proof;
use seatcut::pipeline::set::{Entry, Set};
use seatcut::pipeline::workup::Workup;
use std::collections::{BTreeMap, BTreeSet};

/// Numbers from a seed, the same on every machine: splitmix64.
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn from(&mut self, least: u64, most: u64) -> u64 {
        least + self.roll() % (most - least + 1)
    }
}

/// One to three kinds of stringers, a few of each, with a cutter from an eighth to half an inch.
struct Order {
    cutter_in: f64,
    size_in: (f64, f64),
    stairs: Vec<Stair>,
}

impl Order {
    fn random(number: usize) -> Self {
        let mut dice = Dice(number as u64);
        let cutter_in = dice.from(1, 4) as f64 / 8.0;
        let (rise, cut) = (dice.from(100, 120), dice.from(152, 172));
        let width = [24.0, 30.0, 36.0, 40.0, 44.0, 48.0][dice.from(0, 5) as usize];
        let kinds = dice.from(1, 3);
        let stairs = (0..kinds).map(|_| stair(&mut dice, rise, cut, cutter_in)).collect();
        let order = Self { cutter_in, size_in: (96.0, width), stairs };
        order.just_full()
    }

    fn jobs(&self) -> Vec<Job> {
        let machine = profile_with(
            "machine",
            "router-table",
            &[("cutter = \"1/4 in\"", &format!("cutter = \"{} in\"", self.cutter_in))],
        );
        let (length, width) =
            (format!("\"{} in\"", self.size_in.0), format!("\"{} in\"", self.size_in.1));
        let sheet = [("\"2440 mm\"", length.as_str()), ("\"1220 mm\"", width.as_str())];
        let material = profile_with("material", "plywood-18", &sheet);
        let files =
            vec![("./tight.toml".to_string(), machine), ("./ply.toml".to_string(), material)];
        let job = |(i, stair): (usize, &Stair)| {
            let job = Stair { files: files.clone(), ..stair.clone() }.job();
            Job { title: format!("Invented order {i}"), ..job }
        };
        self.stairs.iter().enumerate().map(job).collect()
    }

    /// The same on a sheet as narrow and then as short as takes no more of them, to a tenth of an
    /// inch.
    fn just_full(mut self) -> Self {
        let pieces: Vec<Piece> = self.jobs().iter().map(piece).collect();
        let cutter = self.cutter_in * 25.4;
        let sheets = |size: (f64, f64)| {
            let margin = 12.0 + cutter;
            let size = SheetSize {
                length: size.0 * 25.4,
                width: size.1 * 25.4,
                margin,
                keep_out: Vec::new(),
            };
            let nested = nest(
                &Problem::new(pieces.clone(), size, cutter).ok()?,
                Effort { level: 0, seed: 1 },
            )
            .ok()?;
            Some(nested.sheets.iter().map(|sheet| sheet.times).sum::<usize>())
        };
        let wanted = sheets(self.size_in);
        let hundredths = |inches: f64| (inches * 100.0).round() / 100.0;
        let narrowed = |width: f64, size: (f64, f64)| (size.0, width);
        let shortened = |length: f64, size: (f64, f64)| (length, size.1);
        let axes: [(f64, &Sized); 2] = [(self.size_in.1, &narrowed), (self.size_in.0, &shortened)];
        for (mut most, with) in axes {
            let mut least = 0.0;
            while wanted.is_some() && most - least > 0.1 {
                let middle = hundredths(f64::midpoint(most, least));
                let tried = with(middle, self.size_in);
                if sheets(tried) == wanted {
                    (most, self.size_in) = (middle, tried);
                } else {
                    least = middle;
                }
            }
        }
        self
    }

    /// What came of it: made and proven, or the codes of its refusals.
    fn end(&self) -> Result<(), BTreeSet<String>> {
        let entries = self.jobs().into_iter().map(|job| Entry { job, times: 1 }).collect();
        let set = Set::of(entries, 0).unwrap();
        if set.refused() {
            return Err(set
                .all_findings()
                .filter(|f| f.refuses())
                .map(|f| f.code.to_string())
                .collect());
        }
        for run in &set.sheets {
            let member = &set.members[run.kinds[0].member];
            let ledger = member.tooling.as_ref().unwrap().path.ledger();
            let cut = &run.programs.cut;
            let text = gcode(&Stamp::of(&member.workup), &member.job().cut.machine, ledger, cut);
            let verdict =
                proof::hold(text.as_bytes(), "program.nc", &proof::laid_out(&set, run, cut))
                    .unwrap();
            let faults: Vec<_> =
                verdict.findings.iter().filter(|f| f.severity != Severity::Advice).collect();
            assert!(faults.is_empty(), "{:?} {:?}: {faults:#?}", self.cutter_in, self.size_in);
        }
        Ok(())
    }
}

/// A sheet with one of its sides changed.
type Sized = dyn Fn(f64, (f64, f64)) -> (f64, f64);

fn stair(dice: &mut Dice, rise: u64, cut: u64, spacing: f64) -> Stair {
    let risers = dice.from(3, 6);
    let corners = ["fillet", "bisector"][dice.from(0, 1) as usize];
    let quantity = dice.from(2, 6);
    Stair {
        rules: "us-osha".into(),
        rise: format!("total = \"{}/16 in\"\nrisers = {risers}", rise * risers),
        tread: tread(&format!("{cut}/16 in"), "1 in", "1 in", "3/4 in"),
        board: "width = \"11 1/4 in\"\nthickness = \"18 mm\"".into(),
        cut: format!(
            "makes = \"stringers\"\nmachine = \"./tight.toml\"\nmaterial = \"./ply.toml\"\n\
             quantity = {quantity}\ncorners = \"{corners}\"\nspacing = \"{spacing} in\""
        ),
        ..Stair::default()
    }
}

fn piece(job: &Job) -> Piece {
    let tooling = Workup::tooled(job).unwrap().1.unwrap();
    Piece {
        outline: tooling.path.piece().vertices(),
        count: job.cut.pieces(),
        rotations: Rotations::Half,
    }
}

fn swept(numbers: std::ops::Range<usize>) -> BTreeMap<String, usize> {
    let mut ends = BTreeMap::new();
    for number in numbers {
        let order = Order::random(number);
        let end = order.end();
        if let Err(codes) = &end {
            println!("order {number}, {} in on {:?}: {codes:?}", order.cutter_in, order.size_in);
        }
        let words = end.map_or_else(|codes| format!("refused {codes:?}"), |()| "made".to_string());
        *ends.entry(words).or_default() += 1;
    }
    ends
}

#[test]
#[ignore = "the long run: minutes"]
fn a_hundred_tight_orders_are_made_and_proven_or_refused() {
    let ends = swept(0..100);
    println!("{ends:#?}");
}

/// Two orders of invented stairs whose usual layouts leave an offcut on a strip thinner than holds.
/// Nobody asked for just that spacing: they are laid out so that all of it hangs on the sheet.
#[test]
fn an_order_without_a_spacing_is_laid_out_so_that_every_offcut_hangs() {
    let stair = |title: &str, rise: f64, cut: f64, quantity: usize| {
        let stair = Stair {
            rise: format!("total = \"{rise} in\"\nrisers = 4"),
            tread: tread(&format!("{cut} in"), "1 in", "1 in", "3/4 in"),
            head: "meets = \"one-down\"\nfinish = \"1 in\"\nrim_depth = \"14 in\"".into(),
            tie_plate: String::new(),
            board: "width = \"11 1/4 in\"\nthickness = \"18 mm\"".into(),
            cut: format!(
                "makes = \"stringers\"\nquantity = {quantity}\nmachine \
                    = \"router-table\"\nmaterial \
                = \"plywood-18\"\ncorners = \"fillet\""
            ),
            ..Stair::default()
        };
        Job { title: title.to_string(), ..stair.job() }
    };
    for stairs in [
        [stair("S0", 29.75, 10.875, 5), stair("S1", 27.75, 10.3125, 5)],
        [stair("S0", 28.0, 10.8125, 4), stair("S1", 28.25, 11.25, 5)],
    ] {
        let entries = stairs.into_iter().map(|job| Entry { job, times: 1 }).collect();
        let set = Set::of(entries, 1).unwrap();
        let refused: Vec<String> = set
            .all_findings()
            .filter(|found| found.refuses())
            .map(|found| found.to_string())
            .collect();
        assert!(refused.is_empty(), "{refused:?}");
        // Either drawn less far apart, which nobody needs to know, or at another spacing, and said.
        let spacing = set.sheets[0].spacing.as_inches();
        let said = set.all_findings().any(|found| found.code.name() == "laid-farther");
        assert_eq!(said, (spacing - 0.875).abs() > 1e-9, "{spacing}");
        crate::common::proven_text(&set, "program");
    }
}

/// One invented kind of an order, as its file has it.
fn kind_of_order(
    number: usize,
    [rise, risers, cut, quantity]: [usize; 4],
    (material, thickness): (&str, &str),
    (corners, more): (&str, &str),
) -> String {
    format!(
        "title = \"Invented order {number}\"\nrules = \"rules.toml\"\n[rise]\ntotal = \"{rise}/16 in\"\n\
         risers = {risers}\n[tread]\ncut = \"{cut}/16 in\"\noverhang = \"1 in\"\nthickness = \"1 in\"\n\
         riser_board = \"3/4 in\"\n[head]\nmeets = \"one-down\"\nfinish = \"1 in\"\n[board]\n\
         width = \"11 1/4 in\"\nthickness = \"{thickness}\"\n[cut]\nmakes = \"stringers\"\n\
         quantity = {quantity}\nmachine = \"router-table\"\nmaterial = \"{material}\"\n\
         corners = \"{corners}\"\n{more}"
    )
}

/// Three orders whose tabs were taken away by a neighbour: by one whose edge is turned a little
/// against theirs, and by corners that come between the places that were looked at.
#[test]
fn a_tab_stands_whatever_its_neighbours_are() {
    let thin = ("plywood-12", "12 mm");
    let near = "spacing = \"3/8 in\"\n";
    let clamped = |x: usize| {
        format!(
            "{near}clamps = [{{ x = \"{x} in\", y = \"0 in\", length = \"4 in\", width = \"3 in\" }}]\n"
        )
    };
    let thick = ("plywood-18", "18 mm");
    let nearest = "spacing = \"1/4 in\"\n";
    let turned = vec![
        kind_of_order(0, [488, 4, 150, 3], thick, ("riser", nearest)),
        kind_of_order(1, [404, 4, 170, 4], thick, ("fillet", nearest)),
        kind_of_order(2, [756, 7, 165, 3], thick, ("riser", nearest)),
    ];
    let [clamp, other] = [clamped(55), clamped(67)];
    let corner = vec![
        kind_of_order(0, [672, 7, 167, 4], thin, ("tread", &clamp)),
        kind_of_order(1, [492, 4, 159, 5], thin, ("riser", &clamp)),
    ];
    let other_corner = vec![
        kind_of_order(0, [648, 6, 161, 5], thin, ("tread", &other)),
        kind_of_order(1, [464, 4, 156, 3], thin, ("fillet", &other)),
        kind_of_order(2, [444, 4, 166, 1], thin, ("bisector", &other)),
    ];
    for kinds in [turned, corner, other_corner] {
        let dir = tempfile::tempdir().unwrap();
        let path = |name: &str| dir.path().join(name).display().to_string();
        let rules = "kind = \"rules\"\nabout = \"no limits, invented\"\naim = \"7 in\"\n";
        std::fs::write(path("rules.toml"), rules).unwrap();
        let jobs: Vec<String> = (0..kinds.len()).map(|i| path(&format!("job-{i}.toml"))).collect();
        for (job, text) in jobs.iter().zip(&kinds) {
            std::fs::write(job, text).unwrap();
        }
        let out = path("out");
        let asked: Vec<&str> = jobs.iter().map(String::as_str).collect();
        let run = seatcut(&[&["make"][..], &asked, &["-o", &out, "--effort", "0"]].concat());
        assert_eq!(code(&run), 0, "{}", String::from_utf8_lossy(&run.stderr));
    }
}
