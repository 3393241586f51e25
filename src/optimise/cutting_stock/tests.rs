use super::{
    Certainty, CuttingError, Effort, MAX_COUNT, Problem, Purchase, Saw, StockLength, Wanted,
};
use crate::units::Length;
use oorandom::Rand32;

/// A problem as it is asked, right or wrong.
#[derive(Clone, Debug)]
struct Order {
    lengths: Vec<Wanted>,
    stock: Vec<StockLength>,
    kerf: Length,
    end_trim: Length,
    level: u32,
}

fn buy(order: &Order) -> Result<Purchase, CuttingError> {
    let saw = Saw { kerf: order.kerf, end_trim: order.end_trim };
    let problem = Problem::new(&order.lengths, &order.stock, saw)?;
    super::buy(&problem, Effort { level: order.level, seed: 1 })
}

/// The pattern lengths of stringers of 3 to 14 treads, in inches.
const STRINGERS: [f64; 12] =
    [37.3, 49.9, 62.5, 75.2, 87.8, 100.4, 113.0, 125.6, 138.3, 150.9, 163.5, 176.1];

fn yard(feet: impl Iterator<Item = usize>) -> Vec<StockLength> {
    feet.map(|feet| StockLength::by_the_foot(Length::inches(12.0 * feet as f64))).collect()
}

fn order(lengths: &[(f64, usize)], stock: Vec<StockLength>) -> Order {
    let wanted = |&(inches, count): &(f64, usize)| Wanted::of(Length::inches(inches), count);
    Order {
        lengths: lengths.iter().map(wanted).collect(),
        stock,
        kerf: Length::inches(0.125),
        end_trim: Length::inches(0.25),
        level: 1,
    }
}

fn stringers(counts: &[(usize, usize)], longest_feet: usize) -> Order {
    let lengths: Vec<(f64, usize)> =
        counts.iter().map(|&(treads, count)| (STRINGERS[treads - 3], count)).collect();
    order(&lengths, yard((8..=longest_feet).step_by(2)))
}

/// What the boards of a purchase come to, reckoned from the order alone.
fn assert_sound(order: &Order, bought: &Purchase) {
    let mut counts = vec![0; order.lengths.len()];
    let mut cost = 0.0;
    let mut boards = vec![0; order.stock.len()];
    for sawing in &bought.boards {
        assert!(sawing.times > 0 && !sawing.cuts.is_empty());
        let pieces: f64 =
            sawing.cuts.iter().map(|&entry| order.lengths[entry].length.as_mm()).sum();
        let kerfs = (sawing.cuts.len() - 1) as f64 * order.kerf.as_mm();
        let yields = order.stock[sawing.stock].length.as_mm() - 2.0 * order.end_trim.as_mm();
        assert!(pieces + kerfs <= yields + 1e-4, "{pieces} and {kerfs} on {yields}");
        let left = (yields - pieces - kerfs - order.kerf.as_mm()).max(0.0);
        assert!((left - sawing.left.as_mm()).abs() < 1e-4, "{left} is left, not {:?}", sawing.left);
        sawing.cuts.iter().for_each(|&entry| counts[entry] += sawing.times);
        let is_wide = |across: Length| order.stock[sawing.stock].width.is_none_or(|w| w >= across);
        assert!(sawing.cuts.iter().all(|&entry| is_wide(order.lengths[entry].width)));
        boards[sawing.stock] += sawing.times;
        cost += order.stock[sawing.stock].cost * sawing.times as f64;
    }
    assert_eq!(counts, order.lengths.iter().map(|w| w.count).collect::<Vec<_>>());
    for (stock, used) in order.stock.iter().zip(boards) {
        assert!(stock.available.is_none_or(|n| used <= n));
    }
    assert!((cost - bought.cost).abs() < 1e-6 * (1.0 + cost), "{cost} is not {}", bought.cost);
    assert!(bought.bound <= bought.cost);
    assert_eq!(bought.proven, (bought.cost - bought.bound).abs() < 1e-9);
    assert!(bought.first_fit_cost.is_none_or(|first| bought.cost <= first + 1e-9));
}

/// The least cost of tiny orders by trying every way to put each piece on an open board or a new
/// one.
fn least_by_trying(order: &Order) -> Option<f64> {
    let piece = |w: &Wanted| (w.length.as_mm(), w.width.as_mm());
    let mut pieces: Vec<(f64, f64)> =
        order.lengths.iter().flat_map(|w| std::iter::repeat_n(piece(w), w.count)).collect();
    pieces.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut open = Vec::new();
    let mut best = None;
    try_all(order, &mut pieces, &mut open, &mut best);
    best
}

fn try_all(
    order: &Order,
    pieces: &mut Vec<(f64, f64)>,
    open: &mut Vec<(usize, f64)>,
    best: &mut Option<f64>,
) {
    let cost: f64 = open.iter().map(|&(stock, _)| order.stock[stock].cost).sum();
    let Some((piece, across)) = pieces.pop() else {
        *best = Some(best.map_or(cost, |b: f64| b.min(cost)));
        return;
    };
    let is_wide = |stock: usize| order.stock[stock].width.is_none_or(|w| w.as_mm() >= across);
    for board in 0..open.len() {
        if is_wide(open[board].0) && open[board].1 + 1e-6 >= piece + order.kerf.as_mm() {
            open[board].1 -= piece + order.kerf.as_mm();
            try_all(order, pieces, open, best);
            open[board].1 += piece + order.kerf.as_mm();
        }
    }
    for (stock, offer) in order.stock.iter().enumerate() {
        let room = offer.length.as_mm() - 2.0 * order.end_trim.as_mm();
        let used = open.iter().filter(|board| board.0 == stock).count();
        if is_wide(stock) && room + 1e-6 >= piece && offer.available.is_none_or(|n| used < n) {
            open.push((stock, room - piece));
            try_all(order, pieces, open, best);
            open.pop();
        }
    }
    pieces.push((piece, across));
}

/// An order of stringers and odd lengths as a yard might get it.
fn random_order(random: &mut Rand32, most_kinds: u32, most_of_each: u32) -> Order {
    let kinds = random.rand_range(1..most_kinds + 1);
    let lengths: Vec<(f64, usize)> = (0..kinds)
        .map(|_| {
            let inches = match random.rand_range(0..2) {
                0 => STRINGERS[random.rand_range(0..12) as usize],
                _ => f64::from(random.rand_range(12 * 16..180 * 16)) / 16.0,
            };
            (inches, random.rand_range(1..most_of_each + 1) as usize)
        })
        .collect();
    order(&lengths, yard((8..=20).step_by(2)))
}

#[test]
fn stringers_of_a_job_cost_the_feet_that_a_search_of_its_own_found() {
    // Eight of four treads cost 38 ft from boards to 16 ft (14 + 14 + 10); boards of 18 ft hold
    // four each, and two are 36.
    let five_kinds = [(3, 3), (4, 3), (5, 3), (7, 3), (9, 3)];
    for (counts, longest_feet, cost) in [
        (&[(4, 8)][..], 16, 38.0),
        (&[(4, 8)], 20, 36.0),
        (&five_kinds, 16, 90.0),
        (&five_kinds, 20, 90.0),
    ] {
        let order = stringers(counts, longest_feet);
        let bought = buy(&order).unwrap();
        assert_sound(&order, &bought);
        assert!((bought.cost - cost).abs() < 1e-9, "{} is not {cost}", bought.cost);
        assert!(bought.proven);
    }
}

#[test]
#[ignore = "a measurement for a release build"]
fn two_hundred_random_orders_are_measured() {
    let mut random = Rand32::new(200);
    let (mut proven, mut largest, mut saved, mut all) = (0, 0.0_f64, 0.0, 0.0);
    for index in 0..200 {
        let order = random_order(&mut random, 10, 8);
        let bought = buy(&order).unwrap();
        assert_sound(&order, &bought);
        proven += usize::from(bought.proven);
        largest = largest.max(bought.cost - bought.bound);
        all += bought.cost;
        saved += bought.first_fit_cost.unwrap() - bought.cost;
        if !bought.proven {
            println!("{index}: {} against {}", bought.cost, bought.bound);
        }
    }
    println!(
        "{proven} of 200 proven, the largest gap {largest} ft, {saved} of {} ft saved on first fit",
        saved + all
    );
}

#[test]
fn tiny_random_orders_cost_what_trying_everything_finds() {
    let mut random = Rand32::new(7);
    let mut tried = 0;
    while tried < 40 {
        let mut order = random_order(&mut random, 4, 3);
        if order.lengths.iter().map(|w| w.count).sum::<usize>() > 6 {
            continue;
        }
        if tried % 2 == 1 {
            order.stock = order.stock.split_off(random.rand_range(4..7) as usize);
            order.stock[0].available = Some(random.rand_range(0..4) as usize);
            order.stock[0].cost = f64::from(random.rand_range(0..2000)) / 100.0;
        }
        tried += 1;
        match (buy(&order), least_by_trying(&order)) {
            (Ok(bought), Some(least)) => {
                assert_sound(&order, &bought);
                assert!(
                    bought.bound <= least + 1e-9,
                    "bound {} above {least}: {order:?}",
                    bought.bound
                );
                assert!(
                    bought.proven && (bought.cost - least).abs() < 1e-6,
                    "{} is not {least}",
                    bought.cost
                );
            }
            (Err(_), None) => {}
            (bought, least) => panic!("{bought:?} is not {least:?} for {order:?}"),
        }
    }
}

/// Boards one by one, each of a width of its own, some of one length: no piece is on a narrower
/// one, and what is bought costs what trying everything finds.
#[test]
fn boards_measured_one_by_one_cost_what_trying_everything_finds() {
    let mut random = Rand32::new(23);
    let (mut tried, mut short) = (0, 0);
    while tried < 60 {
        let mut order = random_order(&mut random, 3, 3);
        if order.lengths.iter().map(|w| w.count).sum::<usize>() > 5 {
            continue;
        }
        tried += 1;
        for wanted in &mut order.lengths {
            wanted.width = Length::inches(10.0 + f64::from(random.rand_range(0..3)) / 8.0);
        }
        let at_hand = |_| StockLength {
            length: Length::inches(12.0 * f64::from(random.rand_range(4..9)) * 2.0),
            width: Some(Length::inches(10.0 + f64::from(random.rand_range(0..4)) / 8.0)),
            available: Some(random.rand_range(1..3) as usize),
            cost: f64::from(random.rand_range(0..4)),
        };
        order.stock = (0..4).map(at_hand).collect();
        if tried % 2 == 0 {
            order.stock.extend(yard(16..=16));
        }
        match (buy(&order), least_by_trying(&order)) {
            (Ok(bought), Some(least)) => {
                assert_sound(&order, &bought);
                assert!(bought.proven && (bought.cost - least).abs() < 1e-6, "{order:?}");
            }
            (Err(_), None) => short += 1,
            (bought, least) => panic!("{bought:?} is not {least:?} for {order:?}"),
        }
    }
    assert!((1..50).contains(&short), "{short} of them were short of boards");
}

#[test]
fn of_boards_that_serve_alike_the_narrowest_are_sawn_and_those_at_hand_before_a_yards() {
    let mut order = order(&[(40.0, 3)], Vec::new());
    order.lengths[0].width = Length::inches(11.0);
    let board = |inches: f64, available| StockLength {
        length: Length::inches(96.0),
        width: Some(Length::inches(inches)),
        available,
        cost: 5.0,
    };
    order.stock =
        vec![board(11.5, None), board(12.0, Some(1)), board(11.25, Some(1)), board(10.0, Some(9))];
    let bought = buy(&order).unwrap();
    assert_sound(&order, &bought);
    let taken: Vec<(usize, usize)> = bought.boards.iter().map(|of| (of.stock, of.times)).collect();
    assert_eq!((bought.proven, taken.len()), (true, 2), "{bought:?}");
    assert!(taken.iter().all(|of| [(1, 1), (2, 1)].contains(of)), "{taken:?}");
    // One more than those two hold comes out of the yard; the narrow ones stay.
    order.lengths[0].count = 5;
    let bought = buy(&order).unwrap();
    assert_sound(&order, &bought);
    assert!(
        bought.boards.iter().any(|of| of.stock == 0)
            && bought.boards.iter().all(|of| of.stock != 3)
    );
}

#[test]
fn three_hundred_boards_measured_one_by_one_are_sawn_soundly() {
    let mut random = Rand32::new(31);
    let counts: Vec<(usize, usize)> = (3..=9).map(|treads| (treads, 60)).collect();
    let mut order = stringers(&counts, 8);
    for (i, wanted) in order.lengths.iter_mut().enumerate() {
        wanted.width = Length::inches([11.0, 11.125, 11.25][i % 3]);
    }
    let at_hand = |_| StockLength {
        length: Length::inches(12.0 * f64::from(random.rand_range(10..21))),
        width: Some(Length::inches(10.9375 + f64::from(random.rand_range(0..10)) / 16.0)),
        available: Some(1),
        cost: 1.0,
    };
    order.stock = (0..300).map(at_hand).collect();
    order.stock.extend(yard((12..=20).step_by(4)));
    assert_sound(&order, &buy(&order).unwrap());
}

#[test]
fn every_random_order_is_cut_exactly_and_costs_no_less_than_its_bound() {
    let mut random = Rand32::new(11);
    for turn in 0..25 {
        let mut order = random_order(&mut random, 6, 5);
        order.level = turn % 2;
        if turn % 3 == 0 {
            order.stock[3].available = Some(random.rand_range(0..3) as usize);
            order.stock.iter_mut().for_each(|s| s.cost = (s.cost * 137.0).round() / 100.0);
        }
        assert_sound(&order, &buy(&order).unwrap());
    }
}

#[test]
fn the_same_order_gives_the_same_boards() {
    let order = random_order(&mut Rand32::new(3), 8, 8);
    assert_eq!(buy(&order), buy(&order));
}

#[test]
fn ten_thousand_of_each_kind_are_bought_close_to_the_bound() {
    let counts: Vec<(usize, usize)> = (3..=14).map(|treads| (treads, 10_000)).collect();
    let order = stringers(&counts, 20);
    let bought = buy(&order).unwrap();
    assert_sound(&order, &bought);
    assert!(bought.cost - bought.bound <= 20.0, "{} against {}", bought.cost, bought.bound);
}

#[test]
fn equal_lengths_of_two_entries_are_each_cut_as_often_as_asked() {
    let order = order(&[(30.0, 3), (41.5, 2), (30.0, 4)], yard((8..=20).step_by(2)));
    assert_sound(&order, &buy(&order).unwrap());
}

#[test]
fn a_last_piece_that_ends_at_the_trim_needs_no_kerf() {
    let mut order = order(&[(47.6875, 2)], yard(8..=10));
    let exact = buy(&order).unwrap();
    assert_eq!(exact.boards[0].left, Length::ZERO);
    assert!((exact.cost - 8.0).abs() < 1e-9);
    order.lengths[0].length = Length::inches(47.689);
    assert!((buy(&order).unwrap().cost - 9.0).abs() < 1e-9);
}

/// Boards in metres at one price a length: what is a lattice in millimetres is none in feet. Found
/// dearer than an exact solver's, or not proven, before costs were counted so and the gap was
/// searched whole.
#[test]
fn metric_boards_and_odd_prices_are_the_least_and_proven() {
    let millimetres = |of: &[(f64, usize)]| -> Vec<Wanted> {
        of.iter().map(|&(mm, count)| Wanted::of(Length::mm(mm), count)).collect()
    };
    let saw = |kerf: f64, trim: f64| Saw { kerf: Length::mm(kerf), end_trim: Length::mm(trim) };
    let sold = |mm: f64, price: f64, available| StockLength {
        length: Length::mm(mm),
        width: None,
        available,
        cost: price,
    };
    let by_length = [5100.0, 6000.0].map(|mm| StockLength::by_the_foot(Length::mm(mm)));
    let mut random = oorandom::Rand64::new(5);
    let mut proven = [0; 2];
    for _ in 0..20 {
        let mut one =
            |least: f64, most: f64| (least + random.rand_float() * (most - least)).round();
        let wanted: Vec<(f64, usize)> =
            (0..4).map(|_| (one(450.0, 2600.0), one(1.0, 16.0) as usize)).collect();
        let priced =
            [sold(4500.0, 25.36, None), sold(5700.0, 35.29, None), sold(6000.0, 29.83, Some(6))];
        for stock in [&by_length[..], &priced[..]] {
            let problem = Problem::new(&millimetres(&wanted), stock, saw(3.0, 25.0)).unwrap();
            let bought = super::buy(&problem, Effort::NORMAL).unwrap();
            assert!(bought.cost >= bought.bound - 1e-9);
            if bought.proven {
                proven[usize::from(stock.len() == 3)] += 1;
            }
            if stock.len() == 2 {
                assert!(bought.proven, "{wanted:?}: {} against {}", bought.cost, bought.bound);
            }
        }
    }
    // At odd prices one in ten is left within a board of the bound.
    assert_eq!(proven[0], 20);
    assert!(proven[1] >= 18, "{proven:?}");
}

#[test]
fn a_board_from_the_shed_that_costs_nothing_is_used_first() {
    let mut order = order(&[(40.0, 3)], yard((8..=12).step_by(2)));
    order.stock.push(StockLength {
        length: Length::inches(90.0),
        width: None,
        available: Some(1),
        cost: 0.0,
    });
    let bought = buy(&order).unwrap();
    assert_sound(&order, &bought);
    assert_eq!((bought.cost, bought.proven), (8.0, true));
}

#[test]
fn a_bad_order_is_refused_with_its_figures() {
    let good = || order(&[(50.0, 2)], yard(8..=8));
    let refused = |change: fn(&mut Order)| {
        let mut order = good();
        change(&mut order);
        buy(&order).unwrap_err()
    };
    assert_eq!(refused(|o| o.lengths.clear()), CuttingError::NothingWanted);
    assert_eq!(refused(|o| o.stock.clear()), CuttingError::NothingOffered);
    assert_eq!(refused(|o| o.lengths[0].count = 0), CuttingError::NoneOf { wanted: 0 });
    let many = CuttingError::TooMany { pieces: 1_000_000_000, most: MAX_COUNT };
    assert_eq!(refused(|o| o.lengths[0].count = 1_000_000_000), many);
    assert!(matches!(
        refused(|o| o.lengths = vec![o.lengths[0].clone(); 2001]),
        CuttingError::TooManyKinds { .. }
    ));
    let (length, longest) = (Length::inches(96.0), Length::inches(95.5));
    let too_long = refused(|o| o.lengths[0].length = Length::inches(96.0));
    assert_eq!(too_long, CuttingError::TooLong { wanted: 0, length, longest });
    assert_eq!(
        too_long.to_string(),
        "wanted length 0 is 96.0000 in, the longest board yields 95.5000 in"
    );
    assert!(matches!(refused(|o| o.end_trim = Length::inches(60.0)), CuttingError::TooLong { .. }));
    assert!(matches!(
        refused(|o| o.kerf = Length::mm(-1.0)),
        CuttingError::BadLength { what: "kerf", .. }
    ));
    assert!(matches!(
        refused(|o| o.lengths[0].length = Length::ZERO),
        CuttingError::BadLength { .. }
    ));
    assert!(matches!(
        refused(|o| o.stock[0].length = Length::mm(1e9)),
        CuttingError::BadLength { .. }
    ));
    assert!(matches!(
        refused(|o| o.stock[0].cost = f64::NAN),
        CuttingError::BadCost { stock: 0, .. }
    ));
    let few = refused(|o| o.stock[0].available = Some(1));
    assert!(
        matches!(few, CuttingError::TooFewBoards { certainty: Certainty::Proven, .. }),
        "{few}"
    );
    let unsawable = refused(|o| (o.lengths[0].count, o.stock[0].available) = (3, Some(2)));
    assert!(
        matches!(unsawable, CuttingError::TooFewBoards { certainty: Certainty::Proven, .. }),
        "{unsawable}"
    );
}

#[test]
fn a_kerf_wider_than_the_boards_still_lets_one_piece_lie_on_each() {
    let mut order = order(&[(50.0, 2)], yard(8..=8));
    order.kerf = Length::inches(500.0);
    assert_eq!(buy(&order).unwrap().board_count(), 2);
}
