//! The readers of `verify` meet files that were broken on purpose: never a panic, always a verdict
//! or a clear error. `PROPTEST_CASES` sets the number of cases, as in `tests/properties.rs`.

use crate::common::Stair;
use proptest::prelude::*;
use seatcut::job::Job;
use seatcut::output::Stamp;
use seatcut::output::dxf::{DxfVersion, compensated, nominal};
use seatcut::output::gcode::gcode;
use seatcut::pipeline::proof;
use seatcut::pipeline::workup::Workup;
use std::sync::LazyLock;

struct Good {
    job: Job,
    workup: Workup,
    files: Vec<(&'static str, Vec<u8>)>,
}

static GOOD: LazyLock<Good> = LazyLock::new(|| {
    let stair = Stair { rise: "total = \"22 in\"\nrisers = 3".into(), ..Stair::default() };
    let job = stair.job();
    let workup = Workup::of(&job);
    let (outline, planned) = (workup.outline.as_ref().unwrap(), workup.planned.as_ref().unwrap());
    let (stamp, machine) = (Stamp::of(&workup), &job.cut.machine);
    let ledger = planned.path.ledger();
    let drawing = compensated(&stamp, &planned.path, &planned.program, machine.units);
    let files = vec![
        ("program.nc", gcode(&stamp, machine, ledger, &planned.program).into_bytes()),
        (
            "nominal.dxf",
            nominal(&stamp, outline, machine.units).write(DxfVersion::R2000).into_bytes(),
        ),
        (
            "nominal.dxf",
            nominal(&stamp, outline, machine.units).write(DxfVersion::R12).into_bytes(),
        ),
        ("compensated.dxf", drawing.write(DxfVersion::R2000).into_bytes()),
    ];
    Good { job, workup, files }
});

/// Holds bytes against the good job in both ways; whether they were taken.
fn hold(bytes: &[u8], name: &str) -> bool {
    let good = &*GOOD;
    let outline = good.workup.outline.as_ref().unwrap();
    let program = &good.workup.planned.as_ref().unwrap().program;
    let given = proof::hold(bytes, name, &proof::planned(&good.job, outline, program));
    let any = proof::hold(bytes, name, &proof::anybodys(&good.job, outline));
    given.is_ok_and(|v| v.is_this_part()) && any.is_ok()
}

#[test]
fn the_good_files_are_taken() {
    for (name, bytes) in &GOOD.files {
        assert!(hold(bytes, name), "{name}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_good_file_with_bytes_changed_is_judged(which in 0_usize..4, changes in prop::collection::vec((0_usize..100_000, any::<u8>()), 1..6)) {
        let (name, bytes) = &GOOD.files[which];
        let mut bytes = bytes.clone();
        for (at, byte) in changes {
            let at = at % bytes.len();
            bytes[at] = byte;
        }
        hold(&bytes, name);
    }

    #[test]
    fn a_good_file_with_a_piece_cut_out_or_doubled_is_judged(which in 0_usize..4, from in 0_usize..100_000, length in 0_usize..600, doubled in any::<bool>()) {
        let (name, bytes) = &GOOD.files[which];
        let from = from % bytes.len();
        let to = (from + length).min(bytes.len());
        let piece = if doubled { bytes[from..to].repeat(2) } else { Vec::new() };
        let broken = [&bytes[..from], &piece, &bytes[to..]].concat();
        hold(&broken, name);
    }

    #[test]
    fn any_bytes_are_judged(bytes in prop::collection::vec(any::<u8>(), 0..400), drawing in any::<bool>()) {
        let name = if drawing { "x.dxf" } else { "x.nc" };
        prop_assert!(!hold(&bytes, name));
    }

    #[test]
    fn lines_of_words_and_huge_numbers_are_judged(lines in prop::collection::vec("[GMXYZIJFSPNTR(;%]{0,3}-?[0-9]{0,12}[.]?[0-9]{0,4}( [XYZIJF]-?[0-9]{1,9}[.]?[0-9]{0,3}){0,4}", 0..40)) {
        hold(lines.join("\n").as_bytes(), "x.nc");
    }

    #[test]
    fn pairs_of_codes_and_values_are_judged(pairs in prop::collection::vec((prop::sample::select(vec!["0", "2", "8", "10", "20", "42", "70", "90", "9", "40", "50", "51", "66", "999", "-1", "1e9"]), prop::sample::select(vec!["SECTION", "ENTITIES", "LWPOLYLINE", "LINE", "ARC", "CIRCLE", "POLYLINE", "VERTEX", "SEQEND", "ENDSEC", "EOF", "CUT", "0", "1", "-1", "1e308", "nan", "inf", "5.5", "HEADER", "$INSUNITS"])), 0..80)) {
        let text: String = pairs.iter().map(|(code, value)| format!("{code}\n{value}\n")).collect();
        hold(format!("0\nSECTION\n2\nENTITIES\n{text}0\nENDSEC\n0\nEOF\n").as_bytes(), "x.dxf");
    }
}

#[test]
fn a_program_that_crosses_itself_a_million_times_is_refused_as_too_tangled() {
    let good = &*GOOD;
    let outline = good.workup.outline.as_ref().unwrap();
    let program = &good.workup.planned.as_ref().unwrap().program;
    let text = String::from_utf8(good.files[0].1.clone()).unwrap();
    // Cuts there and back at the last depth, each beside the one before, so that every stretch
    // meets every other.
    let end = text.find("G0 Z0.5000\nM5").unwrap();
    let up = |k: u32, from: f64| from + f64::from(k) * 0.001;
    let there_and_back =
        |k: u32| format!("G1 X3.0000 Y{:.4}\nG1 X9.0000 Y{:.4}\n", up(k, 2.0), up(k, 1.0));
    let back_and_forth: String = (0..8_000).map(there_and_back).collect();
    let tangled = format!("{}{back_and_forth}{}", &text[..end], &text[end..]);
    let verdict =
        proof::hold(tangled.as_bytes(), "program.nc", &proof::planned(&good.job, outline, program))
            .unwrap();
    let codes: Vec<&str> = verdict.findings.iter().map(|f| f.code.name()).collect();
    assert!(codes.contains(&"too-tangled"), "{codes:?}");
}
