//! International Residential Code 2018, Table R802.5.1(2): longest spans of 2x10 No.2 at 24 in,
//! live 20 and dead 10 psf.

use seatcut::profile::{PointOn, TimberTable};
use seatcut::site::beam::{DeflectionLimits, Joist, Loads, MaxSpan, Quantity, max_span};
use seatcut::units::Length;

fn longest(species: &str, live_psf: f64, live_ratio: f64) -> MaxSpan {
    let table = TimberTable::of_species("southern-pine").unwrap();
    let source = "International Residential Code 2018, Table R802.5.1(2)".to_string();
    let joist = Joist {
        wood: table.wood(species, "no2").unwrap().clone(),
        factors: table.factors.clone(),
        depth: Length::inches(9.25),
        thickness: Length::inches(1.5),
        spacing: Length::inches(24.0),
        loads: Loads {
            live_psf,
            dead_psf: 10.0,
            point_lb: None,
            point_on: PointOn::Stringer,
            times: 1.0,
            source: source.clone(),
        },
        limits: DeflectionLimits { live: live_ratio, total: None, source },
    };
    max_span(&joist).unwrap()
}

#[test]
fn two_by_ten_joists_at_24_inches_span_what_the_table_says_to_the_inch() {
    for (species, feet, inches) in [
        ("southern-pine", 14.0, 9.0),
        ("douglas-fir-larch", 16.0, 5.0),
        ("hem-fir", 16.0, 0.0),
        ("spruce-pine-fir", 16.0, 3.0),
    ] {
        let found = longest(species, 20.0, 240.0);
        assert_eq!(
            found.span.as_inches().round(),
            12.0 * feet + inches,
            "{species}: {}",
            found.span.as_inches()
        );
        assert_eq!(found.governs, Quantity::Bending, "{species}");
    }
}

#[test]
fn a_much_stiffer_limit_ends_the_span_by_deflection() {
    let stiff = longest("hem-fir", 20.0, 960.0);
    assert_eq!(stiff.governs, Quantity::LiveDeflection);
    assert!(stiff.span < longest("hem-fir", 20.0, 240.0).span);
}
