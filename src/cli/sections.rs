//! What a job asks beyond the stringer, as text: ground, floor, head joints, stringers, moisture.

use super::strength_text;
use super::table::named;
use crate::measure::Job;
use crate::site::{AcrossFit, Landing, SeatLies, StringerLayout};
use crate::surround::{GroundFit, HeadComparison, JointRow, Movement, Sizes, Surroundings};
use crate::units::{Length, decimal, trimmed};

/// Every section that the job asks for, in order.
pub(super) fn sections(job: &Job, around: &Surroundings) -> String {
    let mut text = String::new();
    text.extend(around.ground.as_ref().map(ground));
    text.extend(around.across.as_ref().map(across));
    text.extend(around.head.as_ref().map(head));
    text.extend(around.stringers.as_ref().map(|layout| stringers(job, layout)));
    text.extend(around.beam.as_ref().map(strength_text::strength));
    text.extend(around.movement.as_ref().map(movement));
    text
}

/// A label and its value.
pub(super) fn line(label: &str, value: impl std::fmt::Display) -> String {
    format!("{label:<26} {value}\n")
}

/// A length on the tape and exactly.
pub(super) fn exact(length: Length) -> String {
    format!("{length}, exactly {} in", trimmed(length.as_inches(), 4))
}

fn ground(fit: &GroundFit) -> String {
    let landing = &fit.landed.landing;
    let mut text = format!("\nGround: {}\n", fit.ground.grade());
    text += &line("lands, out from the head", exact(landing.out_from_head));
    text += &line("total rise there", exact(landing.total_rise));
    let there = "down to what the stringer will stand on";
    text += &line("measure again there", format!("{} is expected, {there}", landing.rise_to_bare));
    text += &line("count", format!("{}: {}", landing.risers, fit.landed.reason));
    text += &seat(fit);
    text += &format!("    risers  {:<23}  {:<23}  {:<23}\n", "out from the head", "total rise", "unit rise");
    for other in &fit.landed.counts {
        text += &landing_line(other, landing.risers);
    }
    text
}

fn seat(fit: &GroundFit) -> String {
    let seat = &fit.seat;
    match seat.lies {
        SeatLies::Level => line("seat", format!("level; at its heel the ground stands {} higher", seat.at_heel)),
        SeatLies::WithGround => line(
            "seat, scribed by hand",
            format!(
                "bevel {} deg, {} off at the toe, {} at the heel, {} long",
                trimmed(seat.angle_deg, 2),
                seat.at_toe,
                seat.at_heel,
                seat.length
            ),
        ),
    }
}

fn landing_line(landing: &Landing, chosen: usize) -> String {
    let mark = if landing.risers == chosen { "->" } else { "  " };
    let not = if landing.allowed { "" } else { "not allowed" };
    let (out, total, unit) = (landing.out_from_head, landing.total_rise, landing.unit_rise);
    format!("{}\n", format!("{mark}  {:>6}  {out:<23}  {total:<23}  {unit:<23}  {not}", landing.risers).trim_end())
}

fn across(fit: &AcrossFit) -> String {
    let mut text = "\nAcross: one pattern, made for the greatest rise; wood only ever comes off\n".to_string();
    text += &line("greatest / least rise", format!("{} / {}", fit.greatest, fit.least));
    text += &format!("    {:<26}  {:<23}\n", "centre from the left", "off the bottom, level");
    for trim in &fit.trims {
        text += &format!("    {:<26}  {}\n", trim.position, exact(trim.trim));
    }
    text += &format!("    {:<26}  {:<23}  {:<23}\n", "bottom riser", "finished", "off the others");
    for bottom in &fit.bottoms {
        text += &format!("    {:<26}  {:<23}  {}\n", bottom.place, bottom.riser, exact(bottom.spread));
    }
    text += &line("shared between the sides", shared(fit));
    text
}

/// What the other way of laying it out would give.
fn shared(fit: &AcrossFit) -> String {
    let half = (fit.greatest - fit.least) / 2.0;
    format!("not done here: the bottom riser would be {half} off at either side")
}

fn head(comparison: &HeadComparison) -> String {
    let mut text = "\nHead joints: that of the job first, the others at usual sizes\n".to_string();
    let columns = ["contact", "bearing", "run lost", "height lost", "wood above"].map(|c| format!("{c:<26}")).concat();
    text += &format!("    {:<28}  {columns}\n", "joint");
    for row in &comparison.rows {
        text += &joint_line(row);
    }
    text +=
        "Contact and wood are figures, no strength: hangers, bolts and screws are the maker's and the code's matter.\n";
    text
}

fn joint_line(row: &JointRow) -> String {
    let joint = &row.joint;
    let mark = if row.sizes == Sizes::Asked { "->" } else { "  " };
    let contact = joint.contact.map_or("rim depth not given".to_string(), |contact| contact.to_string());
    let figures = [joint.bearing, joint.run_lost, joint.height_lost, joint.wood_above].map(|figure| figure.to_string());
    let cells: String = [contact].into_iter().chain(figures).map(|cell| format!("{cell:<26}")).collect();
    let mut text = format!("{}\n", format!("{mark}  {:<28}  {cells}{}", joint.kind, named(&row.codes)).trim_end());
    if !row.pieces.is_empty() {
        text += &format!("      {}\n", row.pieces);
    }
    text
}

fn stringers(job: &Job, layout: &StringerLayout) -> String {
    let mut text = format!("\nStringers: {}\n", layout.count());
    text.extend(job.around.stair.map(|stair| line("width of the stair", stair.width)));
    text += &line("spacing, centre to centre", exact(layout.spacing));
    text += &line("thickness of each", job.board.thickness);
    text += &format!("    {:<10}  {:<26}  {}\n", "stringer", "left edge, tape at left", "exactly");
    for (i, mark) in layout.marks.iter().enumerate() {
        text += &format!("    {:<10}  {mark:<26}  {} in\n", i + 1, decimal(mark.exact.as_inches(), 4));
    }
    text
}

fn movement(movement: &Movement) -> String {
    let (before, moved) = (&movement.before, &movement.moved);
    let mut text =
        format!("\nMoisture: {}, {} % across the grain\n", moved.wood, decimal(moved.change.share * 100.0, 2));
    let rows = [
        ("width of the board", before.width, moved.width),
        ("throat", before.throat, moved.throat),
        ("first riser cut", before.first_riser_cut, moved.first_riser_cut),
    ];
    for (label, was, is) in rows {
        text += &line(label, format!("{was} now, {is} in service"));
    }
    text += &line("treads will slope", format!("{} deg", decimal(moved.tread_tilt_rad.to_degrees(), 3)));
    text += &line("first riser off the rest", moved.riser_spread(before));
    text += &line("sources", format!("{}; {}", moved.change.method.source(), moved.source));
    text
}
