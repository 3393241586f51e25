//! Every figure of a flight, under the report's keys and in its order.

use super::Worked;
use super::moved::{Figure, Value};
use crate::check::contact_height;
use crate::units::Length;

pub(super) fn figures((job, workup): Worked) -> Vec<Figure> {
    let flight = &workup.flight;
    let outline = workup.outline.as_ref();
    let length = |key, label, length: Length| (key, label, Some(Value::Length(length)));
    let maybe = |key, label, length: Option<Length>| (key, label, length.map(Value::Length));
    vec![
        ("risers", "risers", Some(Value::Count(flight.risers))),
        ("treads", "treads", Some(Value::Count(flight.treads))),
        length("total_rise_mm", "total rise", flight.total_rise),
        length("unit_rise_mm", "unit rise", flight.unit_rise),
        length("unit_run_mm", "unit run", flight.unit_run),
        length("tread_finish_mm", "tread finish", flight.tread_finish),
        length("tread_thickness_mm", "tread thickness", flight.tread_thickness),
        length("finish_to_come_mm", "finish to come", flight.finish_to_come),
        length("riser_board_mm", "riser board", job.tread.riser_board),
        length("total_run_mm", "total run", flight.total_run()),
        ("pitch_deg", "pitch", Some(Value::Degrees(flight.pitch_rad().to_degrees()))),
        length("first_riser_cut_mm", "first riser cut", flight.first_riser_cut()),
        length("drop_mm", "drop, taken once", flight.drop()),
        length("hang_line_mm", "hang line", flight.hang_line),
        length("head_cut_x_mm", "top plumb cut at", flight.head_cut_x),
        length("top_tread_cut_mm", "top tread cut", flight.top_tread_cut),
        length("head_finish_mm", "finish at the head", flight.head_finish),
        maybe("rim_depth_mm", "rim depth", flight.rim_depth),
        length("board_width_mm", "board width", job.board.width),
        length("board_thickness_mm", "board thickness", job.board.thickness),
        length("board_depth_mm", "board below the noses", flight.board_depth),
        length("throat_mm", "throat", flight.throat()),
        length("throat_cut_mm", "throat after relief", workup.throat_cut),
        maybe("blank_length_mm", "blank length", outline.map(|o| o.blank_length())),
        maybe("seat_length_mm", "seat cut", outline.map(|o| o.seat_length())),
        maybe("head_cut_length_mm", "top plumb cut", outline.map(|o| o.head_cut_length())),
        maybe("contact_height_mm", "contact at the head", outline.and_then(|o| contact_height(flight, o))),
    ]
}
