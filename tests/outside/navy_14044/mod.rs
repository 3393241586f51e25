//! US Navy NAVEDTRA 14044, 1994, ch. 6.

use super::{flight, rising, same};

#[test]
fn eight_feet_eleven_aimed_at_seven_gives_fifteen_risers() {
    let flight = flight(&rising("8 ft 11 in", "aim = \"7 in\""));
    assert_eq!(flight.risers, 15);
    same(flight.unit_rise.as_inches(), 107.0 / 15.0);
}
