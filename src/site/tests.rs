use proptest::prelude::*;

use super::*;
use crate::GARDEN_STEPS as STARTER;
use crate::diagnostics::Finding;
use crate::diagnostics::{Error, ErrorKind};
use crate::geometry::{Contour, Point};
use crate::job::{Job, Joint, Meets, Outsides, RiseAcross, RiserChoice, Seat, read_job};
use crate::profile::{Rules, Source, embedded};
use crate::stair::{Flight, Reason, chosen_count};
use crate::units::Length;

/// The starter job: 51 3/8 in, run 10 1/4 in, riser boards 3/4 in, one down.
fn job() -> Job {
    let missing = |_: &str| Err(Error::new(ErrorKind::File, "no files here"));
    read_job("job.toml", STARTER, &missing).unwrap()
}

fn choosing(choice: RiserChoice) -> Job {
    let mut job = job();
    job.rise.risers = choice;
    job
}

fn rules(name: &str) -> Rules {
    let Source { file, text } = embedded(Some("rules"), name).unwrap();
    Rules::read(name, &file, &text).unwrap()
}

fn inches(value: f64) -> Length {
    Length::inches(value)
}

fn codes(findings: &[Finding]) -> Vec<&'static str> {
    findings.iter().map(|f| f.code.name()).collect()
}

fn ground(at_head: f64, percent: f64) -> FallingGround {
    FallingGround::new(inches(at_head), Grade::percent(percent).unwrap(), Length::ZERO).unwrap()
}

#[test]
fn a_slope_means_the_same_in_each_of_its_forms() {
    let forms = [
        Grade::one_in(8.0).unwrap(),
        Grade::percent(12.5).unwrap(),
        Grade::degrees(7.125_016_348_901_798).unwrap(),
        Grade::drop_over(inches(12.0), inches(96.0)).unwrap(),
    ];
    for form in forms {
        assert!((form.fall() - 0.125).abs() < 1e-12, "{form:?}");
    }
    assert_eq!(forms[0].to_string(), "down 12.5 percent away from the head");
}

#[test]
fn a_slope_without_meaning_is_refused() {
    for percent in [f64::NAN, f64::INFINITY, 100.0, -100.0] {
        assert!(Grade::percent(percent).is_err(), "{percent}");
    }
    assert!(Grade::one_in(0.0).is_err());
    assert!(Grade::one_in(0.5).is_err());
    assert!(Grade::degrees(180.0).is_err());
    assert!(Grade::drop_over(inches(8.0), Length::ZERO).is_err());
}

#[test]
fn on_level_ground_the_choice_is_that_of_the_solver() {
    for choice in [RiserChoice::Comfort, RiserChoice::Aim(inches(7.0)), RiserChoice::Forced(8)] {
        for at_head in [20.0, 45.5, 51.375, 94.0, 140.0] {
            let mut job = choosing(choice);
            job.rise.total = inches(at_head);
            let landed = ground(at_head, 0.0).choose(&job).unwrap();
            let (count, reason) = chosen_count(&job);
            assert_eq!((landed.landing.risers, landed.reason), (count, reason));
            assert!(landed.landing.total_rise.is_within(Length::mm(1e-9), job.rise.total));
        }
    }
}

#[test]
fn falling_ground_asks_for_more_risers_than_the_rise_at_the_head() {
    // By hand: 48 in at the head, 1 in 10, seven runs of 10 1/4 in for eight risers of a one-down
    // head with equal riser boards: 71 3/4 in to the rim's face less nothing, 3/4 in to the face of
    // the first riser.
    let landed = ground(48.0, 10.0).choose(&choosing(RiserChoice::Aim(inches(7.0)))).unwrap();
    let out = 7.0 * 10.25 + 0.75;
    assert_eq!(landed.landing.risers, 8);
    assert!((landed.landing.out_from_head.as_inches() - out).abs() < 1e-9);
    assert!((landed.landing.total_rise.as_inches() - (48.0 + out / 10.0)).abs() < 1e-9);
    assert_eq!(codes(&landed.findings), ["landing-reading"]);
    assert!(landed.counts.iter().any(|l| l.risers == 6 && !l.allowed));
    assert!(landed.counts.iter().filter(|l| l.allowed).all(|l| l.unit_rise <= inches(7.75 + 1e-6)));
}

#[test]
fn the_job_at_the_landing_is_solved_as_on_level_ground() {
    let job = choosing(RiserChoice::Comfort);
    let falling = ground(48.0, 10.0);
    let landed = falling.choose(&job).unwrap();
    let at = falling.job_at(&job, &landed.landing);
    let flight = Flight::new(&at, chosen_count(&at).0);
    let sum: Length = flight.finished_risers().into_iter().sum();
    assert!(sum.is_within(Length::mm(1e-9), landed.landing.total_rise));
    let out = flight.total_run() + at.head.spacer + at.tread.riser_board;
    assert!(out.is_within(Length::mm(1e-9), landed.landing.out_from_head));
}

#[test]
fn where_the_plumb_line_hung_out_and_finish_to_come_are_both_counted() {
    let mut job = choosing(RiserChoice::Forced(7));
    job.rise.finish_to_come = inches(0.5);
    let level = ground(48.0, 10.0).choose(&job).unwrap().landing;
    let out = FallingGround::new(inches(48.0), Grade::percent(10.0).unwrap(), inches(1.0)).unwrap();
    let landed = out.choose(&job).unwrap().landing;
    assert!((level.out_from_line - landed.out_from_line).is_within(Length::mm(1e-9), inches(1.0)));
    // From the rim it is as far, wherever the line hung.
    assert!(level.out_from_head.is_within(Length::mm(1e-9), landed.out_from_head));
    assert!((level.total_rise - landed.total_rise).is_within(Length::mm(1e-9), inches(0.1)));
    assert!((landed.rise_to_bare - landed.total_rise).is_within(Length::mm(1e-9), inches(0.5)));
}

#[test]
fn ground_as_steep_as_the_stair_has_no_landing() {
    // The steepest that is allowed is 7 3/4 over 10 1/4 in: 75.6 percent.
    for choice in [RiserChoice::Comfort, RiserChoice::Aim(inches(7.0))] {
        let error = ground(60.0, 76.0).choose(&choosing(choice)).unwrap_err();
        assert_eq!(error.kind(), ErrorKind::Refused);
        assert!(error.to_string().contains("no landing point"), "{error}");
        assert!(error.to_string().contains("less than the stair's"), "{error}");
    }
    let forced = ground(60.0, 76.0).choose(&choosing(RiserChoice::Forced(9))).unwrap();
    assert_eq!(codes(&forced.findings), ["landing-reading", "ground-too-steep"]);
}

#[test]
fn ground_too_steep_for_the_aim_but_not_for_the_stair_takes_the_shortest_that_is_allowed() {
    // 70 percent over 10 1/4 in is 7.175 in a run: more than the aim of 7, less than 7 3/4.
    let landed = ground(10.0, 70.0).choose(&choosing(RiserChoice::Comfort)).unwrap();
    let first = landed.counts.iter().find(|l| l.allowed).unwrap();
    assert_eq!(landed.landing.risers, first.risers);
    assert_eq!(landed.reason, Reason::Shortest(inches(7.0)));
    assert!(ground(10.0, 70.0).choose(&choosing(RiserChoice::Aim(inches(7.0)))).is_err());
    // From 20 in at the head the first riser low enough would come after more than 151 in of rise.
    let none = ground(20.0, 70.0).choose(&choosing(RiserChoice::Comfort)).unwrap_err();
    assert!(none.what().contains("no count of risers that is allowed"), "{none}");
}

#[test]
fn ground_that_rises_away_asks_for_fewer_risers_and_says_so() {
    let landed = ground(51.375, -5.0).choose(&choosing(RiserChoice::Comfort)).unwrap();
    assert!(landed.landing.total_rise < inches(51.375));
    assert_eq!(codes(&landed.findings), ["landing-reading", "ground-rises"]);
    let none = ground(10.0, -50.0).choose(&choosing(RiserChoice::Forced(9))).unwrap_err();
    assert_eq!(none.kind(), ErrorKind::Refused);
}

#[test]
fn a_rise_or_a_plumb_line_without_meaning_is_refused() {
    let level = Grade::percent(0.0).unwrap();
    assert!(FallingGround::new(Length::ZERO, level, Length::ZERO).is_err());
    assert!(FallingGround::new(Length::mm(30_000.0), level, Length::ZERO).is_err());
    assert!(FallingGround::new(inches(40.0), level, inches(-1.0)).is_err());
}

#[test]
fn a_seat_along_the_ground_ends_where_the_ground_meets_the_lower_edge() {
    let job = choosing(RiserChoice::Forced(8));
    let falling = ground(48.0, 10.0);
    let landing = falling.choose(&job).unwrap().landing;
    let flight = Flight::new(&falling.job_at(&job, &landing), 8);
    let lower = |x: f64| {
        let (r, g, l) =
            (flight.unit_rise.as_mm(), flight.unit_run.as_mm(), flight.pitch_length().as_mm());
        flight.first_riser_cut().as_mm() + r / g * x - flight.board_depth.as_mm() * l / g
    };
    let along = falling.seat(&job, &flight, Seat::Follow).unwrap();
    assert!((lower(along.length.as_mm()) - along.at_heel.as_mm()).abs() < 1e-9);
    assert!((along.at_toe.as_inches() - 0.075).abs() < 1e-9);
    assert!((along.angle_deg.to_radians().tan() - 0.1).abs() < 1e-12);
    let level = falling.seat(&job, &flight, Seat::Level).unwrap();
    assert!(lower(level.length.as_mm()).abs() < 1e-9);
    assert!(level.angle_deg.abs() < 1e-12 && level.length < along.length);
    let steep = ground(48.0, 90.0).seat(&job, &flight, Seat::Follow).unwrap_err();
    assert_eq!(steep.kind(), ErrorKind::Refused);
}

fn readings(rises: &[(f64, f64)]) -> Result<Readings, Error> {
    let readings = rises
        .iter()
        .map(|&(offset, rise)| RiseAcross { offset: inches(offset), total: inches(rise) });
    Readings::new(inches(36.0), readings.collect(), &rules("us-irc-2021"))
}

#[test]
fn the_pattern_is_made_for_the_greatest_rise_and_the_others_are_trimmed() {
    let floor = readings(&[(0.0, 51.375), (36.0, 51.125)]).unwrap();
    let fit = floor.fit(&job(), 7, &[0.75, 18.0, 35.25].map(inches), Basis::Greatest).unwrap();
    assert!(fit.greatest.is_within(Length::mm(1e-9), inches(51.375)));
    for (trim, expected) in fit.trims.iter().zip([0.25 / 48.0, 0.125, 0.25 - 0.25 / 48.0]) {
        assert!((trim.trim.as_inches() - expected).abs() < 1e-9, "{trim:?}");
    }
    assert!(fit.foot_extra.as_mm().abs() < 1e-9);
    let sides: Vec<f64> = fit.bottoms.iter().map(|b| b.spread.as_inches()).collect();
    assert!(sides[0].abs() < 1e-9 && (sides[1] - 0.25).abs() < 1e-9, "{sides:?}");
    assert!(fit.findings.is_empty());
}

#[test]
fn three_readings_run_straight_between_each_two() {
    let floor = readings(&[(0.0, 51.0), (18.0, 51.25), (36.0, 51.0)]).unwrap();
    for (offset, rise) in [(0.0, 51.0), (9.0, 51.125), (18.0, 51.25), (27.0, 51.125), (36.0, 51.0)]
    {
        assert!((floor.rise_at(inches(offset)).as_inches() - rise).abs() < 1e-9);
    }
    let fit = floor.fit(&job(), 7, &[inches(18.0)], Basis::Greatest).unwrap();
    assert!(fit.trims[0].trim.as_mm().abs() < 1e-9);
    assert_eq!(fit.bottoms.len(), 3);
}

#[test]
fn a_difference_beyond_the_spread_is_found_and_may_be_shared_between_the_sides() {
    let floor = readings(&[(0.0, 51.0), (36.0, 51.625)]).unwrap();
    let greatest = floor.fit(&job(), 7, &[], Basis::Greatest).unwrap();
    assert_eq!(codes(&greatest.findings), ["bottom-riser-spread"]);
    assert_eq!(greatest.findings[0].place.to_string(), "left side");
    assert_eq!(greatest.findings[0].source, "International Residential Code 2021 R311.7.5.1");
    let shared = floor.fit(&job(), 7, &[], Basis::Middle).unwrap();
    assert!(shared.findings.is_empty());
    assert!((shared.foot_extra.as_inches() - 0.3125).abs() < 1e-9);
    assert!((shared.bottoms[0].spread.as_inches() - 0.3125).abs() < 1e-9);
    assert!((shared.bottoms[1].spread.as_inches() - 0.3125).abs() < 1e-9);
}

#[test]
fn the_shared_pattern_is_a_job_with_more_finish_to_come() {
    let floor = readings(&[(0.0, 51.0), (36.0, 51.5)]).unwrap();
    let fit = floor.fit(&job(), 7, &[], Basis::Middle).unwrap();
    let mut shared = job();
    shared.rise.total = fit.unit_rise * 7.0;
    shared.rise.finish_to_come = fit.foot_extra;
    let flight = Flight::new(&shared, 7);
    // The stringer stands on the lowest floor: its framing top must come out at the greatest rise
    // less the finish.
    let top = flight.framing_top_y() + flight.head_finish;
    assert!(top.is_within(Length::mm(1e-9), fit.greatest));
    assert!(
        (flight.tread_cut_y(1) + flight.tread_thickness)
            .is_within(Length::mm(1e-9), fit.bottoms[1].riser)
    );
}

#[test]
fn a_bottom_riser_beyond_the_least_or_the_most_is_found() {
    let mut canada = job();
    canada.rules = rules("ca-private");
    let floor = |left: f64, right: f64| {
        let at = |offset: f64, rise: f64| RiseAcross {
            offset: Length::mm(offset),
            total: Length::mm(rise),
        };
        Readings::new(Length::mm(900.0), vec![at(0.0, left), at(900.0, right)], &canada.rules)
            .unwrap()
    };
    let low = floor(1270.0, 1266.0).fit(&canada, 10, &[], Basis::Greatest).unwrap();
    assert_eq!(codes(&low.findings), ["bottom-riser-low"]);
    let high = floor(1404.0, 1396.0).fit(&canada, 7, &[], Basis::Middle).unwrap();
    assert_eq!(codes(&high.findings), ["bottom-riser-high"]);
}

#[test]
fn readings_that_contradict_each_other_are_refused_with_their_figures() {
    let error = readings(&[(0.0, 51.0), (18.0, 51.5), (36.0, 51.0)]).unwrap_err();
    assert_eq!(error.kind(), ErrorKind::Refused);
    let said = error.to_string();
    assert!(
        said.contains("contradict")
            && said.contains("1/2 in")
            && said.contains("level the landing"),
        "{said}"
    );
}

#[test]
fn readings_that_mean_nothing_are_refused() {
    assert!(readings(&[(0.0, 51.0)]).is_err());
    assert!(readings(&[(0.0, 51.0), (9.0, 51.0), (18.0, 51.0), (36.0, 51.0)]).is_err());
    assert!(readings(&[(0.0, 51.0), (0.0, 51.0)]).is_err());
    assert!(readings(&[(36.0, 51.0), (0.0, 51.0)]).is_err());
    assert!(readings(&[(0.0, 51.0), (37.0, 51.0)]).is_err());
    assert!(readings(&[(0.0, 0.0), (36.0, 51.0)]).is_err());
    assert!(Readings::new(Length::ZERO, Vec::new(), &rules("us-irc-2021")).is_err());
    let floor = readings(&[(0.0, 51.0), (36.0, 51.0)]).unwrap();
    assert!(floor.fit(&job(), 7, &[inches(37.0)], Basis::Greatest).is_err());
    assert!(floor.fit(&job(), 0, &[], Basis::Greatest).is_err());
}

#[test]
fn a_stringer_outside_the_readings_is_trimmed_by_their_line_and_said() {
    let floor = readings(&[(6.0, 51.0), (30.0, 51.25)]).unwrap();
    let fit = floor.fit(&job(), 7, &[inches(0.75), inches(35.25)], Basis::Greatest).unwrap();
    assert_eq!(codes(&fit.findings), ["reading-beyond"]);
    assert!(fit.greatest > inches(51.25));
    assert!(fit.trims.iter().all(|t| t.trim >= Length::ZERO));
}

fn joint(kind: Joint) -> HeadJoint {
    HeadJoint::new(&job(), &Flight::new(&job(), 7), kind).unwrap()
}

#[test]
fn against_the_rim_the_contact_is_the_projects_own_contact_height() {
    // Top tread 7.339 in below the finish, its cut 1 in lower: 7.339 in below the framing's top on
    // a 9 1/4 in rim.
    let contact = joint(Joint::AgainstRim).contact.unwrap().as_inches();
    let hang = Flight::new(&job(), 7).hang_line.as_inches();
    assert!((contact - (9.25 - hang)).abs() < 1e-9, "{contact}");
    let mut unknown = job();
    unknown.head.rim_depth = None;
    let kinds = HeadJoint::new(&unknown, &Flight::new(&unknown, 7), Joint::AgainstRim).unwrap();
    assert!(kinds.contact.is_none() && kinds.findings().is_empty());
}

#[test]
fn a_deep_hanger_board_gives_more_contact_for_its_thickness_in_run() {
    let board = joint(Joint::HangerBoard { thickness: inches(1.5), depth: inches(20.0) });
    assert!(board.run_lost.is_within(Length::mm(1e-9), inches(1.5)));
    assert!(board.contact.unwrap() > joint(Joint::AgainstRim).contact.unwrap());
    assert!(board.contact.unwrap().is_within(Length::mm(1e-9), board.wood_above));
}

#[test]
fn contact_is_shown_on_the_face_of_the_plumb_cut_where_it_is() {
    let flight = Flight::new(&job(), 7);
    let board = joint(Joint::HangerBoard { thickness: inches(1.5), depth: inches(9.25) });
    let sketch = board.sketch(&flight, inches(1.5));
    let label = sketch.labels.iter().find(|label| label.text.starts_with("contact")).unwrap();
    let between = sketch.between.unwrap();
    // The board's own face, 1 1/2 in before the rim's; within its height and that of the plumb cut.
    assert!((label.at.x - between.min.x).abs() < 1e-9 && label.at.x < sketch.framing.min.x);
    let contact = board.contact.unwrap().as_mm();
    assert!((label.at.y - contact / 2.0 - between.min.y).abs() < 1e-9, "{label:?} {between:?}");
}

#[test]
fn a_ledger_takes_its_height_off_the_plumb_cut_and_carries_on_its_width() {
    let ledger = joint(Joint::LedgerNotch { width: inches(1.5), height: inches(3.5) });
    let whole = joint(Joint::AgainstRim);
    assert!((whole.wood_above - ledger.wood_above).is_within(Length::mm(1e-9), inches(3.5)));
    assert!(ledger.bearing.is_within(Length::mm(1e-9), inches(1.5)));
    let all = joint(Joint::LedgerNotch { width: inches(1.5), height: inches(40.0) });
    assert_eq!(codes(&all.findings()), ["head-no-wood"]);
}

#[test]
fn a_header_dropped_below_the_stringer_is_met_by_nothing() {
    let near = joint(Joint::DroppedHeader { below: inches(7.0), depth: inches(9.25) });
    assert!(near.contact.unwrap() > joint(Joint::AgainstRim).contact.unwrap());
    let far = joint(Joint::DroppedHeader { below: inches(60.0), depth: inches(9.25) });
    assert_eq!(codes(&far.findings()), ["head-no-contact"]);
}

#[test]
fn a_head_over_the_framing_needs_its_header_below_the_top_tread() {
    let flush = Joint::TopOver { below: Length::ZERO, bearing: inches(3.5) };
    assert_eq!(codes(&joint(flush).findings()), ["head-no-wood"]);
    let low = joint(Joint::TopOver { below: inches(12.0), bearing: inches(3.5) });
    assert!(low.findings().is_empty());
    assert!((low.run_lost.as_inches() + 3.5).abs() < 1e-9);
    let hang = Flight::new(&job(), 7).hang_line.as_inches();
    assert!((low.wood_above.as_inches() - (12.0 - hang)).abs() < 1e-9);
}

#[test]
fn a_joint_of_no_size_is_refused() {
    let flight = Flight::new(&job(), 7);
    for kind in [
        Joint::HangerBoard { thickness: Length::ZERO, depth: inches(9.25) },
        Joint::LedgerNotch { width: inches(1.5), height: Length::ZERO },
        Joint::DroppedHeader { below: inches(-1.0), depth: inches(9.25) },
        Joint::TopOver { below: Length::ZERO, bearing: Length::ZERO },
    ] {
        assert_eq!(HeadJoint::new(&job(), &flight, kind).unwrap_err().kind(), ErrorKind::Input);
    }
}

#[test]
fn every_joint_is_sketched_as_a_simple_outline() {
    let flight = Flight::new(&job(), 7);
    for kind in [
        Joint::AgainstRim,
        Joint::HangerBoard { thickness: inches(1.5), depth: inches(16.0) },
        Joint::LedgerNotch { width: inches(1.5), height: inches(3.5) },
        Joint::DroppedHeader { below: inches(7.0), depth: inches(9.25) },
        Joint::TopOver { below: inches(12.0), bearing: inches(3.5) },
    ] {
        let joint = joint(kind);
        let sketch = joint.sketch(&flight, inches(1.5));
        let corners: Vec<(Point, u8)> = sketch.outline.iter().map(|&p| (p, 0)).collect();
        let contour = Contour::polygon(&corners)
            .unwrap_or_else(|e| panic!("{kind}: {e:?} {:?}", sketch.outline));
        assert!(contour.is_simple_polygon(), "{kind}");
        assert!(!sketch.labels.is_empty() && sketch.framing.height() > 0.0);
        // Only where the head lies over it may the stringer reach past the framing's face.
        let past = contour.bounds().max.x > sketch.framing.min.x + 1e-9;
        assert_eq!(past, matches!(kind, Joint::TopOver { .. }), "{kind}");
    }
}

#[test]
fn a_flush_head_comes_with_its_handrail_caution() {
    let mut flush = job();
    assert!(flush_caution(&flush).is_none());
    flush.head.meets = Meets::Flush;
    assert_eq!(flush_caution(&flush).unwrap().code.name(), "flush-handrail");
}

#[test]
fn a_width_of_three_feet_at_sixteen_inches_asks_for_four_stringers() {
    let layout =
        StringerLayout::new(inches(36.0), inches(1.5), inches(16.0), Outsides::Single).unwrap();
    assert_eq!(layout.count(), 4);
    assert!((layout.spacing.as_inches() - 11.5).abs() < 1e-9);
    let tape: Vec<String> = layout.marks.iter().map(ToString::to_string).collect();
    assert_eq!(tape, ["0 in", "11 1/2 in", "23 in", "34 1/2 in"]);
}

#[test]
fn a_span_that_is_just_the_spacing_needs_no_stringer_more() {
    let layout =
        StringerLayout::new(inches(33.5), inches(1.5), inches(16.0), Outsides::Single).unwrap();
    assert_eq!(layout.count(), 3);
}

#[test]
fn doubled_outsides_stand_side_by_side_and_span_from_the_inner_ones() {
    let layout =
        StringerLayout::new(inches(36.0), inches(1.5), inches(16.0), Outsides::Doubled).unwrap();
    let centres: Vec<f64> =
        layout.centres.iter().map(|c| (c.as_inches() * 1e9).round() / 1e9).collect();
    assert_eq!(centres, [0.75, 2.25, 18.0, 33.75, 35.25]);
}

#[test]
fn a_stair_without_width_or_spacing_is_refused() {
    let layout = |width, thickness, most| {
        StringerLayout::new(inches(width), inches(thickness), inches(most), Outsides::Doubled)
            .map(|l| l.count())
    };
    assert!(layout(0.0, 1.5, 16.0).is_err());
    assert!(layout(36.0, 0.0, 16.0).is_err());
    assert!(layout(36.0, 1.5, 0.0).is_err());
    assert!(layout(5.0, 1.5, 16.0).is_err());
    assert!(layout(36.0, 1.5, 0.01).is_err());
    assert_eq!(layout(6.0, 1.5, 16.0).ok(), Some(4));
}

#[test]
fn the_reason_of_a_landing_is_told_in_words() {
    assert!(Reason::Forced.to_string().contains("asks for this count"));
    assert!(Reason::Shortest(inches(7.0)).to_string().contains("too steeply"));
}

proptest! {
    #[test]
    fn every_landing_lies_on_the_ground(at_head in 300.0..4000.0_f64, percent in -20.0..60.0_f64, risers in 2_usize..30) {
        let job = job();
        let grade = Grade::percent(percent).unwrap();
        let ground = FallingGround::new(Length::mm(at_head), grade, inches(1.0)).unwrap();
        if let Some(landing) = ground.landing(&job, risers) {
            let on_ground = at_head + percent / 100.0 * landing.out_from_line.as_mm();
            prop_assert!((landing.total_rise.as_mm() - on_ground).abs() < 1e-9);
            let landed = ground.job_at(&job, &landing);
            let flight = Flight::new(&landed, risers);
            let sum: Length = flight.finished_risers().into_iter().sum();
            prop_assert!((sum.as_mm() - on_ground).abs() < 1e-8);
        }
    }

    #[test]
    fn a_chosen_landing_by_aim_is_the_count_that_its_own_rise_asks_for(at_head in 500.0..3500.0_f64, percent in -10.0..50.0_f64) {
        let job = choosing(RiserChoice::Aim(inches(7.0)));
        let ground = FallingGround::new(Length::mm(at_head), Grade::percent(percent).unwrap(), Length::ZERO).unwrap();
        let landed = ground.choose(&job).unwrap();
        // One riser more or less is no nearer to where total rise over aim is the count itself.
        let off = |risers: usize| {
            let rise = ground.rise(&job, risers).as_inches();
            (rise / 7.0 - risers as f64).abs()
        };
        let count = landed.landing.risers;
        prop_assert!(off(count) <= off(count + 1) + 1e-9);
        prop_assert!(count == 2 || off(count) <= off(count - 1) + 1e-9);
    }

    #[test]
    fn trims_are_never_negative_and_nowhere_is_wood_added(
        left in 1200.0..1310.0_f64,
        right in 1200.0..1310.0_f64,
        positions in prop::collection::vec(0.0..900.0_f64, 1..6),
    ) {
        let at = |offset: f64, rise: f64| RiseAcross { offset: Length::mm(offset), total: Length::mm(rise) };
        let job = job();
        let floor = Readings::new(Length::mm(900.0), vec![at(100.0, left), at(800.0, right)], &job.rules).unwrap();
        let positions: Vec<Length> = positions.into_iter().map(Length::mm).collect();
        for basis in [Basis::Greatest, Basis::Middle] {
            let fit = floor.fit(&job, 7, &positions, basis).unwrap();
            for trim in &fit.trims {
                prop_assert!(trim.trim >= Length::ZERO);
                let stands = fit.greatest - trim.trim;
                prop_assert!(stands.is_within(Length::mm(1e-9), floor.rise_at(trim.position)));
            }
            let uppers = fit.unit_rise * 6.0;
            for bottom in &fit.bottoms {
                prop_assert!((bottom.riser + uppers).is_within(Length::mm(1e-9), floor.rise_at(bottom.offset)));
            }
        }
    }

    #[test]
    fn marks_grow_and_each_is_rounded_on_its_own(width in 400.0..6000.0_f64, thickness in 19.0..60.0_f64, most in 150.0..900.0_f64) {
        for outsides in [Outsides::Single, Outsides::Doubled] {
            let layout =
                StringerLayout::new(Length::mm(width), Length::mm(thickness), Length::mm(most), outsides).unwrap();
            prop_assert!(layout.spacing.as_mm() <= most + 1e-6);
            for pair in layout.marks.windows(2) {
                prop_assert!(pair[0].exact < pair[1].exact && pair[0].tape <= pair[1].tape);
            }
            for mark in &layout.marks {
                prop_assert!(mark.tape.is_within(inches(1.0 / 32.0 + 1e-9), mark.exact));
            }
            let last = layout.centres[layout.count() - 1] + Length::mm(thickness / 2.0);
            prop_assert!((last.as_mm() - width).abs() < 1e-9);
            let gaps = layout.centres.windows(2).all(|pair| (pair[1] - pair[0]).as_mm() <= most.max(thickness) + 1e-6);
            prop_assert!(gaps);
        }
    }
}
