//! Precedence is kept, tours are near the shortest and never below their bound.

use super::problem::distance as apart;
use super::{Effort, End, Problem, RoutingError, Stop, Visit, Way};
use crate::geometry::Point;
use oorandom::Rand64;

/// A tour and its bound.
#[derive(Debug, PartialEq)]
struct Bounded {
    visits: Vec<Visit>,
    length_mm: f64,
    bound_mm: f64,
}

/// A tour of stops as they come.
fn tour(stops: &[Stop], home: Point, end: End, effort: Effort) -> Result<Bounded, RoutingError> {
    let problem = Problem::new(stops, home, end)?;
    let tour = super::tour(&problem, effort);
    let bound_mm = tour.bound_mm(&problem, effort);
    Ok(Bounded { visits: tour.visits, length_mm: tour.length_mm, bound_mm })
}

const EFFORTS: [Effort; 3] = [Effort { level: 0, seed: 1 }, Effort::NORMAL, Effort::RAISED];
const ENDS: [End; 2] = [End::Home, End::Anywhere];
const HOME: Point = Point::new(0.0, 0.0);

fn at(random: &mut Rand64) -> Point {
    Point::new(random.rand_float() * 1000.0, random.rand_float() * 500.0)
}

/// Marks to draw either way and contours to enter at some points, some after others.
fn stops(count: usize, seed: u128) -> Vec<Stop> {
    let mut random = Rand64::new(seed);
    let mut stops: Vec<Stop> = Vec::new();
    for index in 0..count {
        let rank = random.rand_range(0..3) as usize;
        let middle = at(&mut random);
        let around = |random: &mut Rand64| middle + (at(random) - Point::new(500.0, 250.0)) * 0.3;
        let ways = if rank == 0 {
            let (a, b) = (around(&mut random), around(&mut random));
            vec![Way { enter: a, leave: b }, Way { enter: b, leave: a }]
        } else {
            let points: Vec<Point> =
                (0..1 + random.rand_range(0..5)).map(|_| around(&mut random)).collect();
            points.into_iter().map(|p| Way { enter: p, leave: p }).collect()
        };
        let mut after: Vec<usize> = (0..index).filter(|&o| stops[o].rank <= rank).collect();
        after.retain(|_| random.rand_range(0..3 * count as u64) == 0);
        stops.push(Stop { ways, after, rank });
    }
    stops
}

/// Strokes in rows, as lettering gives.
fn strokes(count: usize, seed: u128) -> Vec<Stop> {
    let mut random = Rand64::new(seed);
    let stroke = |_| {
        let a = at(&mut random);
        let b = a + (at(&mut random) - Point::new(500.0, 250.0)) * 0.02;
        Stop {
            ways: vec![Way { enter: a, leave: b }, Way { enter: b, leave: a }],
            after: Vec::new(),
            rank: 0,
        }
    };
    (0..count).map(stroke).collect()
}

/// Travel of some visits, reckoned here anew.
fn travel(stops: &[Stop], visits: &[Visit], end: End) -> f64 {
    let (mut here, mut total) = (HOME, 0.0);
    for visit in visits {
        let way = stops[visit.stop].ways[visit.way];
        total += apart(here, way.enter);
        here = way.leave;
    }
    if end == End::Home && !visits.is_empty() { total + apart(here, HOME) } else { total }
}

/// Whether every stop is there once, after what it must follow, ranks rising.
fn keeps_order(stops: &[Stop], order: &[usize]) -> bool {
    let mut seen = vec![false; stops.len()];
    let mut rank = 0;
    for &stop in order {
        if seen[stop] || stops[stop].rank < rank || !stops[stop].after.iter().all(|&a| seen[a]) {
            return false;
        }
        seen[stop] = true;
        rank = stops[stop].rank;
    }
    order.len() == stops.len()
}

/// The shortest travel of all, by trying every order and every way, without any cleverness.
fn shortest(stops: &[Stop], end: End, here: Point, done: &mut Vec<usize>) -> f64 {
    if done.len() == stops.len() {
        return if end == End::Home { apart(here, HOME) } else { 0.0 };
    }
    let mut least = f64::INFINITY;
    let rank = (0..stops.len()).filter(|s| !done.contains(s)).map(|s| stops[s].rank).min().unwrap();
    for stop in 0..stops.len() {
        let free = !done.contains(&stop)
            && stops[stop].rank == rank
            && stops[stop].after.iter().all(|a| done.contains(a));
        if free {
            done.push(stop);
            for way in &stops[stop].ways {
                least = least.min(apart(here, way.enter) + shortest(stops, end, way.leave, done));
            }
            done.pop();
        }
    }
    least
}

/// One rank only and points close together: the hardest of the small tasks.
fn of_one_rank(mut stops: Vec<Stop>) -> Vec<Stop> {
    for stop in &mut stops {
        stop.rank = 1;
        stop.ways.truncate(3);
    }
    stops
}

#[test]
fn every_tour_keeps_ranks_and_precedence_and_says_its_length_and_is_not_below_its_bound() {
    for seed in 0..40_u32 {
        for (effort, end) in EFFORTS[..2].iter().flat_map(|e| ENDS.map(|end| (*e, end))) {
            let stops = stops(2 + seed as usize, u128::from(seed));
            let tour = tour(&stops, HOME, end, effort).unwrap();
            let order: Vec<usize> = tour.visits.iter().map(|v| v.stop).collect();
            assert!(keeps_order(&stops, &order), "seed {seed}: {order:?}");
            assert!((travel(&stops, &tour.visits, end) - tour.length_mm).abs() < 1e-6);
            assert!(
                tour.bound_mm <= tour.length_mm && tour.bound_mm > 0.3 * tour.length_mm,
                "seed {seed}: {tour:?}"
            );
        }
    }
}

#[test]
fn small_tours_are_near_the_shortest_of_all_orders_and_bounds_below_it() {
    for seed in 0..60_u64 {
        let count = 2 + (seed % 6) as usize;
        let mixed = stops(count, u128::from(seed) + 1000);
        for (stops, end) in
            [(mixed.clone(), ENDS[seed as usize % 2]), (of_one_rank(mixed), ENDS[0])]
        {
            let least = shortest(&stops, end, HOME, &mut Vec::new());
            for (effort, share) in EFFORTS[1..].iter().zip([1.07, 1.01]) {
                let tour = tour(&stops, HOME, end, *effort).unwrap();
                assert!(
                    tour.bound_mm <= least + 1e-9,
                    "seed {seed}: bound {} of {least}",
                    tour.bound_mm
                );
                assert!(
                    tour.length_mm >= least - 1e-6,
                    "seed {seed}: {} is below {least}",
                    tour.length_mm
                );
                assert!(
                    tour.length_mm <= least * share,
                    "seed {seed}: {} of {least}",
                    tour.length_mm
                );
            }
        }
    }
}

#[test]
fn a_tour_is_never_longer_than_to_the_nearest_next_or_in_the_order_given() {
    for seed in 0..20 {
        let stops = of_one_rank(stops(30, seed));
        let (mut left, mut here, mut nearest) = ((0..30).collect::<Vec<usize>>(), HOME, 0.0);
        while !left.is_empty() {
            let free = left.iter().filter(|&&s| stops[s].after.iter().all(|a| !left.contains(a)));
            let ways = free.flat_map(|&s| {
                stops[s].ways.iter().map(move |w| (apart(here, w.enter), s, w.leave))
            });
            let (far, stop, leave) = ways.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap();
            left.retain(|&s| s != stop);
            (here, nearest) = (leave, nearest + far);
        }
        let given: Vec<Visit> = (0..30).map(|stop| Visit { stop, way: 0 }).collect();
        for effort in &EFFORTS[..2] {
            let found = tour(&stops, HOME, End::Anywhere, *effort).unwrap().length_mm;
            assert!(
                found <= nearest + 1e-6 && found <= travel(&stops, &given, End::Anywhere) + 1e-6
            );
        }
    }
}

#[test]
fn more_effort_never_makes_a_tour_longer() {
    for seed in 0..10 {
        let stops = stops(25, seed + 500);
        let lengths = [0, 1, 2].map(|level| {
            tour(&stops, HOME, End::Home, Effort { level, seed: 7 }).unwrap().length_mm
        });
        assert!(lengths[1] <= lengths[0] + 1e-9 && lengths[2] <= lengths[0] + 1e-9, "{lengths:?}");
    }
}

#[test]
fn the_same_task_gives_the_same_tour() {
    let stops = stops(40, 3);
    let once = || tour(&stops, HOME, End::Home, Effort { level: 2, seed: 9 });
    assert_eq!(once(), once());
}

#[test]
fn no_stops_are_no_travel() {
    for end in ENDS {
        let nothing = Bounded { visits: Vec::new(), length_mm: 0.0, bound_mm: 0.0 };
        assert_eq!(tour(&[], Point::new(5.0, 5.0), end, Effort::NORMAL), Ok(nothing));
    }
}

#[test]
fn one_stop_is_entered_where_travel_is_least() {
    let points = [Point::new(30.0, 40.0), Point::new(3.0, 4.0), Point::new(-6.0, 8.0)];
    let ways = points.map(|p| Way { enter: p, leave: p }).to_vec();
    let stops = [Stop { ways, after: Vec::new(), rank: 1 }];
    for (end, length) in [(End::Home, 10.0), (End::Anywhere, 5.0)] {
        let tour = tour(&stops, HOME, end, Effort::NORMAL).unwrap();
        assert_eq!(tour.visits, [Visit { stop: 0, way: 1 }]);
        assert!(
            (tour.length_mm - length).abs() < 1e-9 && (tour.bound_mm - length).abs() < 1e-6,
            "{tour:?}"
        );
    }
}

#[test]
fn start_points_lie_where_the_way_goes_on_not_where_it_comes_from() {
    // Nearest from home is the left corner; past it the tool would come back along the part.
    let corner = |x| Way { enter: Point::new(x, 10.0), leave: Point::new(x, 10.0) };
    let long = Stop { ways: vec![corner(1.0), corner(100.0)], after: Vec::new(), rank: 0 };
    let far = Stop { ways: vec![corner(101.0)], after: vec![0], rank: 0 };
    let tour = tour(&[long, far], HOME, End::Home, Effort { level: 0, seed: 0 }).unwrap();
    assert!(
        tour.length_mm
            < apart(HOME, Point::new(100.0, 10.0))
                + 1.0
                + apart(HOME, Point::new(101.0, 10.0))
                + 1e-9
    );
}

#[test]
fn strokes_are_drawn_back_where_that_is_shorter() {
    let stroke = |y: f64| {
        let (a, b) = (Point::new(0.0, y), Point::new(100.0, y));
        Stop {
            ways: vec![Way { enter: a, leave: b }, Way { enter: b, leave: a }],
            after: Vec::new(),
            rank: 0,
        }
    };
    let tour = tour(&[stroke(0.0), stroke(2.0), stroke(4.0)], HOME, End::Anywhere, Effort::NORMAL)
        .unwrap();
    assert_eq!(tour.visits.iter().map(|v| v.way).collect::<Vec<_>>(), [0, 1, 0]);
    assert!((tour.length_mm - 4.0).abs() < 1e-9);
}

#[test]
fn what_cannot_be_ordered_is_refused_and_named() {
    let here = Way { enter: HOME, leave: HOME };
    let stop = |after: &[usize], rank| Stop { ways: vec![here], after: after.to_vec(), rank };
    let refused = |stops: &[Stop]| tour(stops, HOME, End::Home, Effort::NORMAL).unwrap_err();
    let RoutingError::Cycle(mut cycle) =
        refused(&[stop(&[], 0), stop(&[3, 0], 0), stop(&[1], 0), stop(&[2], 0)])
    else {
        panic!("no cycle")
    };
    let first = cycle.iter().position(|&s| s == 1).unwrap();
    cycle.rotate_left(first);
    assert_eq!(cycle, [1, 2, 3]);
    assert_eq!(refused(&[stop(&[0], 0)]), RoutingError::Cycle(vec![0]));
    assert_eq!(refused(&[stop(&[1], 0), stop(&[], 1)]), RoutingError::Rank { stop: 0, after: 1 });
    assert_eq!(refused(&[stop(&[9], 0)]), RoutingError::Unknown { stop: 0, after: 9 });
    assert_eq!(
        refused(&[Stop { ways: Vec::new(), after: Vec::new(), rank: 0 }]),
        RoutingError::NoWay(0)
    );
}

#[test]
fn stops_all_in_one_place_are_no_travel() {
    let stops =
        vec![Stop { ways: vec![Way { enter: HOME, leave: HOME }], after: Vec::new(), rank: 0 }; 80];
    let tour = tour(&stops, HOME, End::Home, Effort::NORMAL).unwrap();
    assert_eq!((tour.visits.len(), tour.length_mm, tour.bound_mm), (80, 0.0, 0.0));
}

#[test]
fn long_tours_keep_their_order_and_come_near_their_bound() {
    for mut stops in [strokes(300, 1), strokes(500, 2)] {
        for index in (7..stops.len()).step_by(9) {
            stops[index].after = vec![index - 7];
        }
        let tour = tour(&stops, HOME, End::Home, Effort { level: 0, seed: 1 }).unwrap();
        let order: Vec<usize> = tour.visits.iter().map(|v| v.stop).collect();
        assert!(keeps_order(&stops, &order));
        assert!(
            // A tree that spans points is at least half of the shortest round trip; strokes are
            // short against what lies between.
            tour.bound_mm > 0.5 * tour.length_mm && tour.bound_mm < tour.length_mm,
            "{} {}",
            tour.bound_mm,
            tour.length_mm
        );
    }
}

#[test]
#[ignore = "a measurement: cargo test --release --lib routing:: -- --ignored --nocapture"]
fn how_long_it_takes() {
    for (name, stops) in [
        ("mixed 12", stops(12, 1)),
        ("mixed 100", stops(100, 1)),
        ("mixed 400", stops(400, 1)),
        ("mixed 1000", stops(1000, 1)),
        ("mixed 5000", stops(5000, 1)),
        ("strokes 400", strokes(400, 1)),
        ("strokes 1000", strokes(1000, 1)),
        ("strokes 5000", strokes(5000, 1)),
    ] {
        for effort in EFFORTS {
            let begun = std::time::Instant::now();
            let tour = tour(&stops, HOME, End::Home, effort).unwrap();
            let (length, bound) = (tour.length_mm, tour.bound_mm);
            println!(
                "{name} level {}: {length:.0} bound {bound:.0} {:?}",
                effort.level,
                begun.elapsed()
            );
        }
    }
}
