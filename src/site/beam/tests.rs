use proptest::prelude::*;

use super::*;
use crate::diagnostics::Error;
use crate::diagnostics::Value;
use crate::job::Middle;
use crate::profile::{PointOn, TimberTable};
use crate::units::Length;

/// Invented: five bays of 10 in run, three pine stringers 18 in apart.
fn beam(species: &str) -> BeamInput {
    let table = TimberTable::of_species("southern-pine").unwrap();
    BeamInput {
        wood: table.wood(species, "no2").unwrap().clone(),
        factors: table.factors.clone(),
        board_width: Length::inches(11.25),
        thickness: Length::inches(1.5),
        sawn: Sawn::Notched,
        throat: Length::inches(5.25),
        span: Length::inches(60.0),
        pitch_rad: 0.75_f64.atan(),
        middle: Middle::Free,
        stringers: Stringers {
            count: 3,
            spacing: Length::inches(18.0),
            edge: Length::ZERO,
            inner_plies: 1,
            outer_plies: 1,
        },
        loads: Loads {
            live_psf: 40.0,
            dead_psf: 10.0,
            point_lb: Some(300.0),
            point_on: PointOn::Stringer,
            times: 1.0,
            source: "as given".into(),
        },
        moisture: Moisture::Dry,
        incising: Incising::None,
        limits: DeflectionLimits::default(),
        foot_notch: None,
        head: None,
        seat: None,
    }
}

fn utilisation(input: &BeamInput) -> f64 {
    check(input).unwrap().utilisation()
}

fn codes(input: &BeamInput) -> Vec<&'static str> {
    check(input).unwrap().findings.iter().map(|f| f.code.name()).collect()
}

fn refusal(input: &BeamInput) -> String {
    check(input).unwrap_err().to_string()
}

#[test]
fn a_short_flight_on_three_stringers_is_within_its_figures_and_finds_nothing() {
    let strength = check(&beam("southern-pine")).unwrap();
    assert!(strength.utilisation() < 1.0, "{:?}", strength.governing());
    assert!(strength.findings.is_empty());
    assert_eq!(strength.line, Line::Inner);
    assert!((strength.load_width_in - 1.25 * 18.0).abs() < 1e-12, "treads run on over the middle");
}

#[test]
fn utilisation_grows_with_the_span_and_falls_with_the_throat() {
    let at = |span: f64, throat: f64| {
        utilisation(&BeamInput {
            span: Length::inches(span),
            throat: Length::inches(throat),
            ..beam("hem-fir")
        })
    };
    for step in 1..40 {
        let (span, throat) = (24.0 + step as f64 * 5.0, 3.0 + step as f64 * 0.2);
        assert!(at(span + 5.0, 5.0) > at(span, 5.0));
        assert!(at(100.0, throat + 0.2) < at(100.0, throat));
    }
}

#[test]
fn from_three_on_more_stringers_over_the_same_width_are_never_worse() {
    for width in [30.0, 36.0, 48.0, 72.0] {
        for plies in [1, 2] {
            let at = |count: usize| {
                let spacing = Length::inches(width / (count as f64 - 1.0));
                let stringers = Stringers {
                    count,
                    spacing,
                    edge: Length::ZERO,
                    inner_plies: plies,
                    outer_plies: plies,
                };
                utilisation(&BeamInput { stringers, ..beam("spruce-pine-fir") })
            };
            for count in 3..10 {
                assert!(at(count + 1) <= at(count) + 1e-12, "{count} over {width}");
            }
        }
    }
}

#[test]
fn an_outer_stringer_carries_half_a_bay_and_its_edge_an_inner_one_what_treads_that_run_on_put_there()
 {
    let at = |count, inner_plies, outer_plies| {
        let stringers = Stringers {
            count,
            spacing: Length::inches(18.0),
            edge: Length::inches(0.75),
            inner_plies,
            outer_plies,
        };
        let strength = check(&BeamInput { stringers, ..beam("hem-fir") }).unwrap();
        (strength.line, strength.load_width_in)
    };
    let same = |found: (Line, f64), line, width: f64| {
        assert!(found.0 == line && (found.1 - width).abs() < 1e-9, "{found:?}, not {width}");
    };
    same(at(2, 1, 1), Line::Outer, 9.75);
    same(at(2, 1, 2), Line::Outer, 9.75 / 2.0);
    same(at(3, 1, 2), Line::Inner, 22.5);
    same(at(3, 2, 2), Line::Inner, 11.25);
    same(at(4, 1, 1), Line::Inner, 1.1 * 18.0);
}

#[test]
fn every_factor_is_shown_with_its_reason_and_they_multiply() {
    let wet = BeamInput {
        moisture: Moisture::Wet,
        incising: Incising::Incised,
        ..beam("douglas-fir-larch")
    };
    let design = check(&wet).unwrap().design;
    let symbols =
        |adjusted: &Adjusted| adjusted.factors.iter().map(|f| f.symbol.clone()).collect::<Vec<_>>();
    assert_eq!(symbols(&design.bending), ["CD", "CM", "CF", "Ci", "Cr"]);
    assert_eq!(symbols(&design.shear), ["CD", "CM", "Ci"]);
    assert_eq!(symbols(&design.modulus), ["CM", "Ci"]);
    // 900 psi is not reduced when wet; 180 x 0.97 x 0.80; 1.6e6 x 0.9 x 0.95.
    assert!((design.bending.value() - 900.0 * 0.80 * 1.15).abs() < 1e-9);
    assert!((design.shear.value() - 180.0 * 0.97 * 0.80).abs() < 1e-9);
    assert!((design.modulus.value() - 1.6e6 * 0.9 * 0.95).abs() < 1e-3);
    assert!(design.bending.factors.iter().all(|f| !f.name.is_empty() && f.source.contains("NDS")));
}

#[test]
fn wet_bending_is_reduced_only_above_1150_psi() {
    let bending = |width: f64| {
        let narrow = BeamInput {
            board_width: Length::inches(width),
            throat: Length::inches(3.0),
            ..beam("douglas-fir-larch")
        };
        let wet = |moisture| {
            check(&BeamInput { moisture, ..narrow.clone() }).unwrap().design.bending.value()
        };
        wet(Moisture::Wet) / wet(Moisture::Dry)
    };
    assert!((bending(11.25) - 1.0).abs() < 1e-12, "900");
    assert!((bending(7.25) - 1.0).abs() < 1e-12, "900 x 1.2 = 1080");
    assert!((bending(5.5) - 0.85).abs() < 1e-12, "900 x 1.3 = 1170");
}

#[test]
fn three_members_at_24_inches_are_repetitive_and_two_or_wider_ones_are_not() {
    let factor = |count, spacing: f64| {
        let stringers = Stringers {
            count,
            spacing: Length::inches(spacing),
            edge: Length::ZERO,
            inner_plies: 1,
            outer_plies: 1,
        };
        check(&BeamInput { stringers, ..beam("hem-fir") }).unwrap().design.bending.product()
    };
    assert!((factor(3, 24.0) - 1.15).abs() < 1e-12);
    assert!((factor(3, 24.01) - 1.0).abs() < 1e-12);
    assert!((factor(2, 12.0) - 1.0).abs() < 1e-12);
}

fn figure(finding: &Finding, name: &str) -> f64 {
    finding.value(name).and_then(Value::measured).unwrap().0
}

#[test]
fn a_long_span_is_told_for_stress_and_for_deflection_with_its_limit() {
    let long = BeamInput { span: Length::inches(140.0), ..beam("hem-fir") };
    let found = check(&long).unwrap().findings;
    for code in ["stringer-overstressed", "stringer-deflects"] {
        let finding = found.iter().find(|f| f.code.name() == code).unwrap();
        assert!(figure(finding, "measured") > figure(finding, "limit"), "{finding}");
        let times = figure(finding, "measured") / figure(finding, "limit");
        assert_eq!(finding.refuses(), times > 1.5, "{finding}");
        assert!((figure(finding, "times") - times).abs() < 1e-9, "{finding}");
        assert_ne!(finding.source, crate::diagnostics::PRACTICE);
    }
}

#[test]
fn a_plate_notch_of_more_than_a_quarter_is_told_and_one_of_a_quarter_is_not() {
    let at = |height: f64| {
        let notch = FootNotch { height: Length::inches(height), depth: Length::inches(5.0) };
        let found = check(&BeamInput { foot_notch: Some(notch), ..beam("southern-pine") });
        found.unwrap().findings.into_iter().find(|f| f.code.name() == "foot-notch-deep")
    };
    assert!((figure(&at(1.26).unwrap(), "limit") - 1.25 * 25.4).abs() < 1e-9);
    assert!(at(1.25).is_none());
}

#[test]
fn stringers_that_do_no_better_are_not_counted_up() {
    // One stringer takes the point load alone, however many there are.
    let loads = Loads { point_lb: Some(2000.0), dead_psf: 0.0, ..beam("hem-fir").loads };
    let remedies = check(&BeamInput { loads, ..beam("hem-fir") }).unwrap().remedies;
    let counts = remedies.iter().filter_map(|remedy| match remedy.change {
        Change::MoreStringers { count, .. } => Some(count),
        _ => None,
    });
    assert_eq!(counts.collect::<Vec<_>>(), [4]);
}

#[test]
fn shear_beside_a_notch_follows_two_thirds_of_the_reduced_section_times_its_square() {
    let notch = FootNotch { height: Length::inches(1.0), depth: Length::inches(5.0) };
    let strength = check(&BeamInput { foot_notch: Some(notch), ..beam("southern-pine") }).unwrap();
    let found = strength.checks.iter().find(|c| c.quantity == Quantity::NotchShear).unwrap();
    assert!((found.capacity - 2.0 / 3.0 * 175.0 * 1.5 * 4.0 * 0.64).abs() < 1e-9);
    let deep = FootNotch { height: Length::inches(3.0), ..notch };
    assert!(
        codes(&BeamInput { foot_notch: Some(deep), ..beam("southern-pine") })
            .contains(&"foot-notch-shear")
    );
}

#[test]
fn a_seat_of_a_sixteenth_presses_too_hard_and_one_of_three_inches_does_not() {
    let at =
        |seat: f64| codes(&BeamInput { seat: Some(Length::inches(seat)), ..beam("southern-pine") });
    assert!(at(0.0625).contains(&"stringer-bearing-high"));
    assert!(!at(3.0).contains(&"stringer-bearing-high"));
}

#[test]
fn the_slope_is_the_stricter_of_the_two_deflections_and_a_level_beam_has_one() {
    let share = |strength: &Strength, quantity| {
        let of = |c: &&Check| c.quantity == quantity && c.case == LoadCase::Spread;
        strength.checks.iter().find(of).map(Check::utilisation)
    };
    let sloping = check(&beam("hem-fir")).unwrap();
    let ratio = share(&sloping, Quantity::SlopeDeflection).unwrap()
        / share(&sloping, Quantity::LiveDeflection).unwrap();
    assert!((ratio - 1.25).abs() < 1e-12, "1 / cos of a 3-4-5 pitch");
    let level = check(&BeamInput { pitch_rad: 0.0, ..beam("hem-fir") }).unwrap();
    assert!(share(&level, Quantity::SlopeDeflection).is_none());
}

#[test]
fn a_support_in_the_middle_halves_the_bay_and_keeps_the_continuous_shear() {
    let whole = BeamInput {
        loads: Loads {
            point_lb: None,
            point_on: PointOn::Stringer,
            times: 1.0,
            ..beam("hem-fir").loads
        },
        ..beam("hem-fir")
    };
    let halved = BeamInput { middle: Middle::Supported, ..whole.clone() };
    let demand = |input: &BeamInput, quantity| {
        check(input).unwrap().checks.iter().find(|c| c.quantity == quantity).unwrap().demand
    };
    let ratio = |quantity| demand(&halved, quantity) / demand(&whole, quantity);
    assert!((ratio(Quantity::Bending) - 0.25).abs() < 1e-12);
    assert!((ratio(Quantity::Shear) - 0.625).abs() < 1e-12);
    assert!((ratio(Quantity::LiveDeflection) - 1.0 / 16.0).abs() < 1e-12);
}

#[test]
fn every_remedy_says_what_it_leaves_and_a_strongback_gets_no_credit() {
    let long = BeamInput { span: Length::inches(120.0), ..beam("hem-fir") };
    let before = utilisation(&long);
    let remedies = check(&long).unwrap().remedies;
    for remedy in &remedies {
        match remedy.change {
            Change::Strongback | Change::NoDeeperBoard => {
                assert!(remedy.utilisation.is_none() && !remedy.suffices());
            }
            _ => assert!(remedy.utilisation.unwrap() <= before, "{remedy:?}"),
        }
    }
    let has = |wanted: fn(&Change) -> bool| remedies.iter().any(|r| wanted(&r.change));
    let more = remedies.iter().filter(|r| matches!(r.change, Change::MoreStringers { .. })).count();
    assert_eq!(more, 1, "the first count that is enough, or the best");
    assert!(has(|c| *c == Change::NoDeeperBoard), "a 2x12 is the widest");
    assert!(
        has(|c| *c == Change::MiddleSupport)
            && has(|c| *c == Change::Doubled)
            && has(|c| *c == Change::Strongback)
    );
}

#[test]
fn two_changes_together_are_tried_only_where_none_suffices_alone() {
    let at = |span: f64| {
        let remedies =
            check(&BeamInput { span: Length::inches(span), ..beam("hem-fir") }).unwrap().remedies;
        let alone =
            remedies.iter().any(|r| r.change != Change::DoubledOnMiddleSupport && r.suffices());
        let both = remedies.iter().any(|r| r.change == Change::DoubledOnMiddleSupport);
        (alone, both)
    };
    assert_eq!(at(120.0), (true, false));
    assert_eq!(at(220.0), (false, true));
}

#[test]
fn a_notch_that_leaves_no_wood_is_refused() {
    let all = FootNotch { height: Length::inches(5.0), depth: Length::inches(5.0) };
    assert!(
        refusal(&BeamInput { foot_notch: Some(all), ..beam("hem-fir") }).contains("less than 5 in")
    );
}

#[test]
fn a_2x10_is_offered_the_2x12_with_two_inches_more_of_throat() {
    let narrow = BeamInput {
        board_width: Length::inches(9.25),
        throat: Length::inches(3.25),
        ..beam("hem-fir")
    };
    let remedies = check(&narrow).unwrap().remedies;
    let deeper = remedies
        .iter()
        .find(|r| matches!(r.change, Change::DeeperBoard { name: "2x12", .. }))
        .unwrap();
    let as_2x12 = utilisation(&beam("hem-fir"));
    assert!((deeper.utilisation.unwrap() - as_2x12).abs() < 1e-12);
}

#[test]
fn a_deeper_board_that_is_held_no_deeper_at_its_head_is_no_remedy_for_it() {
    let of = |depth: f64, board: f64, throat: f64| BeamInput {
        board_width: Length::inches(board),
        throat: Length::inches(throat),
        head: Some(HeadEnd {
            depth: Length::inches(depth),
            held: Length::inches(3.5),
            how: HeadHeld::Fastened,
        }),
        ..beam("southern-pine")
    };
    // Pitch 3 in 4: a board two inches wider has a plumb cut 2 1/2 in longer.
    let remedies = check(&of(6.0, 9.25, 3.25)).unwrap().remedies;
    let deeper = remedies
        .iter()
        .find(|r| matches!(r.change, Change::DeeperBoard { name: "2x12", .. }))
        .unwrap();
    let as_2x12 = check(&of(8.5, 11.25, 5.25)).unwrap();
    assert_eq!(as_2x12.governing().unwrap().quantity, Quantity::HeadShear);
    assert!((deeper.utilisation.unwrap() - as_2x12.utilisation()).abs() < 1e-9);
    assert!(!deeper.suffices());
}

#[test]
fn the_published_limits_stand_beside_whether_met_or_not() {
    let published =
        check(&BeamInput { span: Length::inches(73.0), ..beam("hem-fir") }).unwrap().published;
    let met: Vec<bool> = published.iter().map(PublishedLimit::is_met).collect();
    assert_eq!(met, [false, true, true]);
    assert!(published.iter().all(|limit| limit.source.contains("DCA 6")));
    let narrow = BeamInput { board_width: Length::inches(9.25), ..beam("hem-fir") };
    let said = check(&narrow).unwrap().published;
    assert!(said.iter().all(|limit| !limit.what.contains("2x12")), "no span of a 2x12 for a 2x10");
}

#[test]
fn nothing_of_nothing_is_refused_with_what_is_allowed() {
    let of = |change: &dyn Fn(&mut BeamInput)| {
        let mut input = beam("hem-fir");
        change(&mut input);
        refusal(&input)
    };
    assert!(of(&|b| b.span = Length::ZERO).contains("the span means nothing"));
    assert!(of(&|b| b.span = Length::inches(-60.0)).contains("more than 0"));
    assert!(of(&|b| b.span = Length::inches(5000.0)).contains("at most 480 in"));
    assert!(of(&|b| b.stringers.spacing = Length::ZERO).contains("the spacing of the stringers"));
    assert!(of(&|b| b.stringers.count = 1).contains("2 to 40"));
    assert!(of(&|b| b.stringers.count = usize::MAX).contains("2 to 40"));
    assert!(of(&|b| b.stringers.outer_plies = 0).contains("1 to 4"));
    assert!(of(&|b| b.thickness = Length::inches(0.25)).contains("the stringer's thickness"));
    assert!(of(&|b| b.throat = Length::inches(-1.0)).contains("the throat"));
    assert!(of(&|b| b.throat = Length::inches(12.0)).contains("at most 11 1/4 in"));
    assert!(of(&|b| b.board_width = Length::inches(40.0)).contains("the board's width"));
    assert!(of(&|b| b.loads.live_psf = f64::NAN).contains("the live load"));
    assert!(of(&|b| b.loads.dead_psf = -1.0).contains("the dead load"));
    assert!(of(&|b| b.pitch_rad = 1.57).contains("the pitch"));
    assert!(
        of(&|b| b.loads = Loads {
            live_psf: 0.0,
            dead_psf: 0.0,
            point_lb: None,
            point_on: PointOn::Stringer,
            times: 1.0,
            source: String::new()
        })
        .contains("40 psf")
    );
    assert!(of(&|b| b.limits.live = 0.0).contains("deflection"));
    assert!(
        of(&|b| b.foot_notch =
            Some(FootNotch { height: Length::inches(6.0), depth: Length::inches(5.0) }))
        .contains("let the plate in less")
    );
}

#[test]
fn an_unknown_species_or_grade_is_refused_with_the_nearest_that_is_known() {
    let table = TimberTable::of_species("southern-pine").unwrap();
    let error = |found: Result<&crate::profile::Wood, Error>| found.unwrap_err().to_string();
    let species = error(table.wood("southern-pin", "no2"));
    assert!(
        species.contains("southern-pine, douglas-fir-larch, hem-fir, spruce-pine-fir"),
        "{species}"
    );
    assert!(species.contains("species = \"southern-pine\""));
    let grade = error(table.wood("hem-fir", "no3"));
    let everywhere = TimberTable::of_species("oak").unwrap_err().to_string();
    assert!(everywhere.contains("european-softwood"), "{everywhere}");
    assert!(grade.contains("grade = \"no2\"") && grade.contains("licensed designer"), "{grade}");
}

#[test]
fn a_span_without_end_and_a_joist_of_nothing_are_refused() {
    let joist = |depth: f64, live_psf: f64| {
        let BeamInput { wood, factors, limits, loads, .. } = beam("hem-fir");
        let loads = Loads {
            live_psf,
            dead_psf: 0.0,
            point_lb: None,
            point_on: PointOn::Stringer,
            times: 1.0,
            ..loads
        };
        let (depth, thickness, spacing) =
            (Length::inches(depth), Length::inches(1.5), Length::inches(16.0));
        max_span(&Joist { wood, factors, depth, thickness, spacing, loads, limits })
    };
    assert!(joist(9.25, 0.0).unwrap_err().to_string().contains("no span ends"));
    assert!(joist(0.0, 40.0).unwrap_err().to_string().contains("more than 0"));
    assert!(joist(9.25, 40.0).unwrap().span > joist(9.25, 60.0).unwrap().span);
}

#[test]
fn the_caution_leaves_the_decision_to_a_licensed_designer_and_claims_nothing() {
    assert!(CAUTION.contains("licensed designer decides"));
    let said = CAUTION.to_lowercase().replace("not an approval", "");
    assert!(["approv", "complian", " ok"].iter().all(|word| !said.contains(word)));
}

/// The head of the hillside example: a ledger of 3 1/2 in leaves 2.97 in of 6.47 in.
fn ledger(held: f64, how: HeadHeld) -> BeamInput {
    let head = HeadEnd { depth: Length::inches(6.47), held: Length::inches(held), how };
    BeamInput { head: Some(head), ..beam("southern-pine") }
}

#[test]
fn what_a_ledger_leaves_of_the_head_bears_by_the_formula_of_the_foot() {
    let strength = check(&ledger(2.97, HeadHeld::Notch)).unwrap();
    let found = strength.checks.iter().find(|c| c.quantity == Quantity::HeadShear).unwrap();
    let capacity = 2.0 / 3.0 * 175.0 * 1.5 * 2.97 * (2.97_f64 / 6.47).powi(2);
    assert!((found.capacity - capacity).abs() < 1e-9 && capacity < 110.0);
    // 50 psf on 22 1/2 in of tread over half of 60 in.
    assert!((found.demand - 50.0 / 144.0 * 22.5 * 30.0).abs() < 1e-9);
    assert!(found.source.contains("3.4.3.2"));
}

#[test]
fn a_head_beyond_one_and_a_half_times_what_it_bears_is_refused_and_says_what_is_enough() {
    let findings = |input: &BeamInput| check(input).unwrap().findings;
    let told = findings(&ledger(2.97, HeadHeld::Notch));
    let shear = told.iter().find(|f| f.code.name() == "head-shear").unwrap();
    assert!(shear.refuses() && figure(shear, "times") > 1.5, "{shear}");
    assert!(shear.sentence().contains("enough by these figures: the head not notched"), "{shear}");
    assert!(told.iter().any(|f| f.code.name() == "head-notch-deep"));
    let warned = findings(&ledger(3.5, HeadHeld::Notch));
    let shear = warned.iter().find(|f| f.code.name() == "head-shear").unwrap();
    assert!(!shear.refuses(), "{shear}");
    let held = findings(&ledger(6.47, HeadHeld::Notch));
    assert!(held.iter().all(|f| !f.code.name().starts_with("head")), "{held:?}");
}

#[test]
fn a_plumb_cut_held_over_a_part_of_its_height_is_no_notch_and_bears_the_same() {
    let [notch, fastened] = [HeadHeld::Notch, HeadHeld::Fastened].map(|how| {
        let strength = check(&ledger(2.97, how)).unwrap();
        strength.checks.into_iter().find(|c| c.quantity == Quantity::HeadShear).unwrap()
    });
    assert!((notch.capacity - fastened.capacity).abs() < 1e-12);
    assert!(fastened.source.contains("3.4.3.3"));
    let codes = codes(&ledger(2.97, HeadHeld::Fastened));
    assert!(codes.contains(&"head-shear") && !codes.contains(&"head-notch-deep"), "{codes:?}");
    let none = HeadEnd { depth: Length::inches(6.0), held: Length::ZERO, how: HeadHeld::Notch };
    let error = refusal(&BeamInput { head: Some(none), ..beam("hem-fir") });
    assert!(error.contains("what holds the plumb cut"), "{error}");
}

#[test]
fn a_point_load_of_a_tread_is_shown_and_governs_nothing_and_one_of_the_stair_governs() {
    let under = |point_on| {
        let loads = Loads { point_lb: Some(1000.0), point_on, ..beam("hem-fir").loads };
        check(&BeamInput { loads, ..beam("hem-fir") }).unwrap()
    };
    let (tread, stringer) = (under(PointOn::Tread), under(PointOn::Stringer));
    assert!(tread.checks.iter().all(|c| c.case == LoadCase::Spread));
    assert!(tread.beside.iter().all(|c| c.case == LoadCase::Point) && !tread.beside.is_empty());
    assert!(stringer.beside.is_empty());
    assert_eq!(stringer.governing().unwrap().case, LoadCase::Point);
    // 1,000 lb at midspan: P L / 4 and the dead load beside it, over b d^2 / 6.
    let bending = stringer.checks.iter().rfind(|c| c.quantity == Quantity::Bending).unwrap();
    let moment = 1000.0 * 60.0 / 4.0 + 10.0 / 144.0 * 22.5 * 60.0 * 60.0 / 8.0;
    assert!((bending.demand - moment / (1.5 * 5.25 * 5.25 / 6.0)).abs() < 1e-9);
}

#[test]
fn a_load_to_be_borne_five_times_breaks_five_times_as_much_and_bends_no_further() {
    let at = |times| {
        let loads = Loads { times, dead_psf: 0.0, ..beam("hem-fir").loads };
        check(&BeamInput { loads, ..beam("hem-fir") }).unwrap().checks
    };
    let (once, five) = (at(1.0), at(5.0));
    let spread = |checks: &[Check], quantity| {
        let of = |c: &&Check| c.quantity == quantity && c.case == LoadCase::Spread;
        checks.iter().find(of).unwrap().demand
    };
    for (quantity, ratio) in [(Quantity::Bending, 5.0), (Quantity::LiveDeflection, 1.0)] {
        let found = spread(&five, quantity) / spread(&once, quantity);
        assert!((found - ratio).abs() < 1e-12, "{quantity}: {found}");
    }
    let bends = |c: &Check| c.case == LoadCase::Point && c.quantity == Quantity::LiveDeflection;
    assert!(once.iter().any(bends) && !five.iter().any(bends));
}

#[test]
fn every_grade_of_a_species_bears_no_less_than_the_one_below() {
    let order = ["no2", "no1", "select-structural"];
    for species in ["southern-pine", "douglas-fir-larch", "hem-fir", "spruce-pine-fir"] {
        let table = TimberTable::of_species(species).unwrap();
        let share = |grade| {
            let wood = table.wood(species, grade).unwrap().clone();
            utilisation(&BeamInput { wood, ..beam(species) })
        };
        let shares = order.map(share);
        assert!(shares.windows(2).all(|pair| pair[1] <= pair[0]), "{species}: {shares:?}");
        assert!(shares[2] < shares[0], "{species}: {shares:?}");
    }
}

#[test]
fn strength_classes_bear_what_the_characteristic_values_and_every_factor_give() {
    let at = |grade| {
        let table = TimberTable::of_species("european-softwood").unwrap();
        let wood = table.wood("european-softwood", grade).unwrap().clone();
        let input = BeamInput { wood, factors: table.factors.clone(), ..beam("hem-fir") };
        check(&input).unwrap().design
    };
    // By hand, N/mm2: kmod 0.8 over gamma M 1.3 and gamma F 1.5; kcr 0.67 on shear.
    let may = 0.8 / 1.3 / 1.5;
    for (grade, [bending, shear, modulus, bearing]) in
        [("c16", [16.0, 3.2, 8000.0, 2.2]), ("c24", [24.0, 4.0, 11000.0, 2.5])]
    {
        let design = at(grade);
        let same = |found: f64, newtons: f64| {
            assert!((found / 145.0377 / newtons - 1.0).abs() < 1e-4, "{grade}: {found} {newtons}");
        };
        same(design.bending.value(), bending * may);
        same(design.shear.value(), shear * may * 0.67);
        same(design.modulus.value(), modulus);
        same(design.bearing.value(), bearing * may);
        assert!(design.bending.factors.iter().any(|f| f.symbol == "kmod"));
        assert!(design.bending.factors.iter().all(|f| f.symbol != "CD"));
    }
}

proptest! {
    #[test]
    fn any_stair_has_figures_that_are_numbers_and_grow_with_span_and_load_and_fall_with_throat_and_stringers(
        span in 10.0..300.0_f64,
        throat in 1.0..11.0_f64,
        thickness in 1.25..3.5_f64,
        width in 20.0..110.0_f64,
        count in 3_usize..12,
        pitch in 0.0..1.2_f64,
        live in 1.0..200.0_f64,
        point in prop::option::of(0.0..1000.0_f64),
        species in prop::sample::select(vec!["southern-pine", "douglas-fir-larch", "hem-fir", "spruce-pine-fir"]),
    ) {
        let at = |span: f64, throat: f64, count: usize, live_psf: f64| {
            let spacing = Length::inches(width / (count as f64 - 1.0));
            let input = BeamInput {
                span: Length::inches(span),
                throat: Length::inches(throat),
                thickness: Length::inches(thickness),
                pitch_rad: pitch,
                stringers: Stringers { count, spacing, edge: Length::ZERO, inner_plies: 1, outer_plies: 1 },
                loads: Loads { live_psf, dead_psf: 10.0, point_lb: point, point_on: PointOn::Stringer, times: 1.0, source: "any".into() },
                ..beam(species)
            };
            utilisation(&input)
        };
        let figure = at(span, throat, count, live);
        prop_assert!(figure.is_finite() && figure > 0.0);
        prop_assert!(at(span * 1.1, throat, count, live) > figure);
        prop_assert!(at(span, throat * 0.9, count, live) > figure);
        prop_assert!(at(span, throat, count, live * 1.1) >= figure);
        prop_assert!(at(span, throat, count + 1, live) <= figure * (1.0 + 1e-12));
    }
}
