//! Falkenauer's bin-packing instances of the ESICUP collection: boards of one length, no kerf, no trim.

use seatcut::optimise::cutting_stock::{Order, Purchase, StockLength, Wanted, buy};
use seatcut::units::Length;

struct Packing {
    name: String,
    best_known: usize,
    order: Order,
}

/// The instances of a file: a name; capacity, items and best known; a size a line.
fn packings(text: &str) -> Vec<Packing> {
    let mut words = text.split_whitespace();
    let mut next = || words.next().unwrap();
    let count: usize = next().parse().unwrap();
    (0..count)
        .map(|_| {
            let name = next().to_string();
            let capacity: f64 = next().parse().unwrap();
            let items: usize = next().parse().unwrap();
            let best_known = next().parse().unwrap();
            let mut item = || Wanted { length: Length::mm(next().parse().unwrap()), count: 1 };
            let order = Order {
                lengths: (0..items).map(|_| item()).collect(),
                stock: vec![StockLength { length: Length::mm(capacity), available: None, cost: 1.0 }],
                kerf: Length::ZERO,
                end_trim: Length::ZERO,
                effort: 1,
            };
            Packing { name, best_known, order }
        })
        .collect()
}

/// Asserts that every item lies in a bin once and no bin is overfull.
fn assert_packed(order: &Order, bought: &Purchase) {
    let mut packed = vec![0; order.lengths.len()];
    for board in &bought.boards {
        let length: f64 = board.cuts.iter().map(|&item| order.lengths[item].length.as_mm()).sum();
        assert!(length <= order.stock[0].length.as_mm() + 1e-9);
        board.cuts.iter().for_each(|&item| packed[item] += board.times);
    }
    assert!(packed.iter().all(|&times| times == 1));
}

/// How many are packed into the best known number of bins, and how many of them are proven; none needs a bin more.
fn at_best_known(packings: &[Packing]) -> (usize, usize) {
    let (mut reached, mut proven) = (0, 0);
    for packing in packings {
        let bought = buy(&packing.order).unwrap();
        assert_packed(&packing.order, &bought);
        assert_eq!(bought.board_count(), bought.cost as usize, "{}", packing.name);
        assert!(bought.bound <= packing.best_known as f64, "{}: bound {}", packing.name, bought.bound);
        assert!(bought.board_count() <= packing.best_known + 1, "{}: {}", packing.name, bought.cost);
        reached += usize::from(bought.board_count() <= packing.best_known);
        proven += usize::from(bought.proven);
    }
    (reached, proven)
}

#[test]
fn the_first_eight_triplet_instances_are_packed_into_their_twenty_bins() {
    assert_eq!(at_best_known(&packings(include_str!("binpack5.txt"))[..8]), (8, 8));
}

#[test]
fn the_first_five_uniform_instances_are_packed_into_the_best_known_bins() {
    assert_eq!(at_best_known(&packings(include_str!("binpack2.txt"))[..5]), (5, 5));
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long in a debug build")]
fn all_twenty_instances_of_both_files_are_packed_into_the_best_known_bins() {
    for text in [include_str!("binpack2.txt"), include_str!("binpack5.txt")] {
        assert_eq!(at_best_known(&packings(text)), (20, 20));
    }
}
