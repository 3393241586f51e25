//! Falkenauer's bin-packing instances of the ESICUP collection: boards of one length, no kerf, no
//! trim.

use seatcut::optimise::cutting_stock::{Effort, Problem, Purchase, Saw, StockLength, Wanted, buy};
use seatcut::units::Length;

struct Packing {
    name: String,
    best_known: usize,
    capacity: Length,
    items: Vec<Wanted>,
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
            let mut item = || Wanted::of(Length::mm(next().parse().unwrap()), 1);
            let items = (0..items).map(|_| item()).collect();
            Packing { name, best_known, capacity: Length::mm(capacity), items }
        })
        .collect()
}

/// The bins bought for a packing's items, one unit of cost each.
fn bought(packing: &Packing) -> Purchase {
    let bins = [StockLength { length: packing.capacity, width: None, available: None, cost: 1.0 }];
    let saw = Saw { kerf: Length::ZERO, end_trim: Length::ZERO };
    buy(&Problem::new(&packing.items, &bins, saw).unwrap(), Effort::NORMAL).unwrap()
}

/// Asserts that every item lies in a bin once and no bin is overfull.
fn assert_packed(packing: &Packing, bought: &Purchase) {
    let mut packed = vec![0; packing.items.len()];
    for board in &bought.boards {
        let length: f64 = board.cuts.iter().map(|&item| packing.items[item].length.as_mm()).sum();
        assert!(length <= packing.capacity.as_mm() + 1e-9);
        board.cuts.iter().for_each(|&item| packed[item] += board.times);
    }
    assert!(packed.iter().all(|&times| times == 1));
}

/// How many are packed into the best known number of bins, and how many of them are proven; none
/// needs a bin more.
fn at_best_known(packings: &[Packing]) -> (usize, usize) {
    let (mut reached, mut proven) = (0, 0);
    for packing in packings {
        let bought = bought(packing);
        assert_packed(packing, &bought);
        assert_eq!(bought.board_count(), bought.cost as usize, "{}", packing.name);
        assert!(
            bought.bound <= packing.best_known as f64,
            "{}: bound {}",
            packing.name,
            bought.bound
        );
        assert!(
            bought.board_count() <= packing.best_known + 1,
            "{}: {}",
            packing.name,
            bought.cost
        );
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
