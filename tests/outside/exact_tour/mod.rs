//! Tours for `check.py`: an exact solver that is not this project's says how short each could be.

use oorandom::Rand64;
use seatcut::geometry::Point;
use seatcut::optimise::routing::{Effort, End, Problem, Stop, Way, tour};
use serde_json::{Value, json};

/// How many tasks are made.
const TASKS: u64 = 40;

/// Places on an invented sheet of 2400 x 1200 mm: strokes to draw either way, contours to enter at
/// several points.
fn task(seed: u64) -> Vec<Stop> {
    let mut random = Rand64::new(u128::from(seed));
    // One task in four has one rank only, which leaves the most orders.
    let one_rank = seed.is_multiple_of(4);
    let count = if one_rank { 8 + (seed / 4 % 3) as usize } else { 8 + (seed % 5) as usize };
    let mut within = |size: f64| random.rand_float() * size;
    let mut stops: Vec<Stop> = Vec::new();
    for index in 0..count {
        let rank = if one_rank { 2 } else { within(3.0) as usize };
        let middle = Point::new(within(2400.0), within(1200.0));
        let mut point =
            || Point::new(middle.x + within(400.0) - 200.0, middle.y + within(400.0) - 200.0);
        let ways = if rank == 0 {
            let (a, b) = (point(), point());
            vec![Way { enter: a, leave: b }, Way { enter: b, leave: a }]
        } else {
            let points = [point(), point(), point(), point()];
            points[..2 + index % 3].iter().map(|&p| Way { enter: p, leave: p }).collect()
        };
        let lower = (0..index).filter(|&other| stops[other].rank <= rank);
        let after = lower.filter(|_| within(2.5 * count as f64) < 1.0).collect();
        stops.push(Stop { ways, after, rank });
    }
    stops
}

fn found(stops: &[Stop], home: Point, end: End, effort: Effort) -> Value {
    let problem = Problem::new(stops, home, end)
        .expect("precedence goes from earlier to later stops of no lower rank");
    let tour = tour(&problem, effort);
    let visits: Vec<[usize; 2]> = tour.visits.iter().map(|visit| [visit.stop, visit.way]).collect();
    let bound_mm = tour.bound_mm(&problem, effort);
    json!({ "visits": visits, "length_mm": tour.length_mm, "bound_mm": bound_mm })
}

/// Writes one line a task to `tours.jsonl` in the folder that the variable names.
#[test]
#[ignore = "makes the input of tests/outside/exact_tour/check.py"]
fn tours_for_the_exact_solver_are_written() {
    let folder = std::env::var("SEATCUT_TOURS").expect("SEATCUT_TOURS names a folder");
    let lines: String = (0..TASKS).map(|seed| format!("{}\n", line(seed))).collect();
    std::fs::write(std::path::Path::new(&folder).join("tours.jsonl"), lines)
        .expect("the folder can be written to");
}

fn line(seed: u64) -> Value {
    let stops = task(seed);
    let home = Point::new(-50.0, -50.0);
    let (end, name) =
        if seed.is_multiple_of(2) { (End::Home, "home") } else { (End::Anywhere, "anywhere") };
    let shown = |stop: &Stop| {
        let ways: Vec<[f64; 4]> =
            stop.ways.iter().map(|w| [w.enter.x, w.enter.y, w.leave.x, w.leave.y]).collect();
        json!({ "ways": ways, "after": stop.after, "rank": stop.rank })
    };
    json!({
        "seed": seed,
        "home": [home.x, home.y],
        "end": name,
        "stops": stops.iter().map(shown).collect::<Vec<Value>>(),
        "normal": found(&stops, home, end, Effort::NORMAL),
        "raised": found(&stops, home, end, Effort::RAISED),
    })
}
