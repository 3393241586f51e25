//! Writes shim schedules of made-up flights for `check.py`, which solves them again with `SciPy`.

use std::fmt::Write as _;

use seatcut::diagnostics::Severity;
use seatcut::job::Room;
use seatcut::site::as_built::{Bound, BuiltFlight, Remedy, RiserLimits, remedy};
use seatcut::units::Length;

const FLIGHTS: usize = 250;

fn bound(figure: f64) -> Option<Bound> {
    Some(Bound {
        figure: Length::inches(figure),
        severity: Severity::Refusal,
        source: "made up".into(),
    })
}

fn inches(lengths: &[Length]) -> Vec<f64> {
    lengths.iter().map(|length| length.as_inches()).collect()
}

/// A figure between two, to 1/64 where `draw` says so, else as it comes.
fn between(rng: &mut oorandom::Rand64, low: f64, high: f64) -> f64 {
    let value = low + (high - low) * rng.rand_float();
    if rng.rand_float() < 0.5 { (value * 64.0).round() / 64.0 } else { value }
}

/// One flight, its limits and room, and what the program makes of them.
fn line(rng: &mut oorandom::Rand64) -> String {
    let treads = 2 + rng.rand_range(0..13) as usize;
    let unit = between(rng, 6.5, 7.7);
    let slip = between(rng, 0.05, 0.9);
    let heights: Vec<f64> =
        (1..=treads).map(|k| unit * k as f64 + between(rng, -slip, slip)).collect();
    let upper = unit * (treads + 1) as f64 + between(rng, -slip, slip);
    let (least, most) = (between(rng, 4.0, 6.4), between(rng, 7.6, 7.9));
    let (spread, step) = (between(rng, 0.2, 0.5), between(rng, 0.15, 0.4));
    let stepped = rng.rand_float() < 0.5;
    let room: Vec<(f64, f64)> = (0..treads)
        .map(|_| {
            (
                between(rng, 0.0, 1.5),
                if rng.rand_float() < 0.6 { 0.0 } else { between(rng, 0.0, 0.8) },
            )
        })
        .collect();

    let lengths = heights.iter().map(|&height| Length::inches(height)).collect();
    let flight = BuiltFlight::new(lengths, Length::inches(upper)).unwrap();
    let limits = RiserLimits {
        least: bound(least),
        most: bound(most),
        spread: bound(spread),
        step: if stepped { bound(step) } else { None },
    };
    let rooms: Vec<Room> = room
        .iter()
        .map(|&(up, down)| Room::new(Length::inches(up), Length::inches(down)).unwrap())
        .collect();
    let found = match remedy(&flight, &limits, &rooms).unwrap() {
        Remedy::Schedule(schedule) => serde_json::json!({
            "total": schedule.total.as_inches(),
            "moves": inches(&schedule.moves),
            "rounded": schedule.on_tape.rounded().map(|rounded| inches(&rounded.moves)),
            "parts": schedule.on_tape.rounded().map(|rounded| rounded.grid.parts()),
        }),
        Remedy::NoneDoes(reach) => serde_json::json!({
            "spread": reach.least_spread.as_inches(),
            "step": reach.least_step.as_inches(),
            "largest": reach.lowest_largest.as_inches(),
            "smallest": reach.highest_smallest.as_inches(),
        }),
    };
    let step = if stepped { Some(step) } else { None };
    let (up, down): (Vec<f64>, Vec<f64>) = room.into_iter().unzip();
    serde_json::json!({
        "heights": heights, "upper": upper, "least": least, "most": most, "spread": spread, "step": step,
        "shim": up, "trim": down, "found": found,
    })
    .to_string()
}

#[test]
#[ignore = "writes for tests/outside/scipy/check.py; tests/outside/python.sh runs it"]
fn shim_schedules_are_written_for_scipy() {
    let folder = std::env::var_os("SEATCUT_SCHEDULES").expect("SEATCUT_SCHEDULES names a folder");
    let mut rng = oorandom::Rand64::new(20_261_125);
    let mut lines = String::new();
    for _ in 0..FLIGHTS {
        writeln!(lines, "{}", line(&mut rng)).unwrap();
    }
    std::fs::write(std::path::Path::new(&folder).join("schedules.jsonl"), lines).unwrap();
}
