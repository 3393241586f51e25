//! Wood Handbook FPL-GTR-190, chapter 13: the worked example, and the tables against each other.

use super::flight;
use crate::common::{Stair, tread};
use seatcut::job::{BoardGrain, MoistureContent};
use seatcut::profile::{Movement, TimberTable};
use seatcut::site::moisture::{Method, Sawtooth, of_job, width_change};
use seatcut::units::decimal;

#[test]
fn a_white_fir_board_of_232_mm_grows_to_233_7_mm() {
    let white_fir = Movement {
        wood: "white fir".into(),
        radial: 0.00112,
        tangential: 0.00245,
        radial_green_percent: 3.3,
        tangential_green_percent: 7.0,
        source: "Wood Handbook FPL-GTR-190 Tables 13-5 and 4-3".into(),
    };
    let change = width_change(&white_fir, BoardGrain::Flat, 8.0, 11.0).unwrap();
    assert_eq!(change.method, Method::Coefficient);
    assert_eq!(decimal(232.0 * change.share, 1), "1.7");
    assert_eq!(decimal(232.0 * (1.0 + change.share), 1), "233.7");
    assert_eq!(decimal(9.15 * change.share, 3), "0.067");
    assert_eq!(decimal(9.15 * (1.0 + change.share), 3), "9.217");
}

/// Coefficient and shrinkage of hardwoods as Tables 13-5 and 4-3 have them: radial, then
/// tangential.
const READ: [(&str, [f64; 2], [f64; 2]); 10] = [
    ("red alder", [0.00151, 4.4], [0.00256, 7.3]),
    ("black ash", [0.00172, 5.0], [0.00274, 7.8]),
    ("Oregon ash", [0.00141, 4.1], [0.00285, 8.1]),
    ("pumpkin ash", [0.00126, 3.7], [0.00219, 6.3]),
    ("white ash", [0.00169, 4.9], [0.00274, 7.8]),
    ("quaking aspen", [0.00119, 3.5], [0.00234, 6.7]),
    ("American basswood", [0.00230, 6.6], [0.00330, 9.3]),
    ("paper birch", [0.00219, 6.3], [0.00304, 8.6]),
    ("river birch", [0.00162, 4.7], [0.00327, 9.2]),
    ("American chestnut", [0.00116, 3.4], [0.00234, 6.7]),
];

#[test]
fn the_coefficients_taken_from_memory_stand_to_the_shrinkages_as_the_tables_that_were_read() {
    let read: Vec<f64> = READ.iter().flat_map(|(_, r, t)| [r[0] / r[1], t[0] / t[1]]).collect();
    let (least, most) = read.iter().fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(*x), b.max(*x)));
    assert!(most / least < 1.05, "the tables' own band is narrow: {least} to {most}");
    let table = TimberTable::of_species("southern-pine").unwrap();
    for species in table.species_names() {
        let m = table.movement(species).unwrap();
        for ratio in [m.radial / m.radial_green_percent, m.tangential / m.tangential_green_percent]
        {
            assert!(
                (least * 0.99..=most * 1.01).contains(&ratio),
                "{species}: {ratio}, read: {least} to {most}"
            );
        }
    }
}

#[test]
fn both_equations_agree_within_the_five_percent_of_the_change_that_the_handbook_speaks_of() {
    // Just inside and just outside the range of the closer equation, for every species of the
    // table.
    let table = TimberTable::of_species("southern-pine").unwrap();
    for species in table.species_names() {
        let movement = table.movement(species).unwrap();
        let closer = width_change(movement, BoardGrain::Flat, 14.0, 6.0).unwrap();
        let green = width_change(movement, BoardGrain::Flat, 14.0 + 1e-9, 6.0).unwrap();
        assert_eq!((closer.method, green.method), (Method::Coefficient, Method::FromGreen));
        let ratio = green.share / closer.share;
        assert!((0.93..=1.02).contains(&ratio), "{species}: {ratio}");
    }
}

#[test]
fn a_job_with_a_species_moves_and_one_without_is_told_to_name_it() {
    let stair = |species: &str| Stair {
        tread: tread("10 in", "1 in", "1 in", "3/4 in"),
        board: format!("width = \"11 1/4 in\"\nthickness = \"1 1/2 in\"\n{species}"),
        ..Stair::default()
    };
    let dry = MoistureContent { now_percent: 19.0, service_percent: 9.0, grain: BoardGrain::Flat };
    let of = |stair: &Stair| {
        let (job, flight) = (stair.job(), flight(stair));
        let before = Sawtooth::of(&job, &flight, flight.behind_notches());
        of_job(&job, &flight, &before, &dry)
    };
    let moved = of(&stair("species = \"southern-pine\"")).unwrap();
    assert!(moved.width.as_inches() < 11.25 && moved.tread_tilt_rad > 0.0);
    assert!(of(&stair("")).unwrap_err().to_string().contains("as it is stamped"));
    assert!(of(&stair("species = \"oak\"")).unwrap_err().to_string().contains("douglas-fir-larch"));
}
