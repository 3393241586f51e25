//! Speeds and accelerations of a machine profile: a length, a slash and a time.

use super::grammar::read_way;
use super::{Length, Tape, trimmed};

/// Millimetres a minute from `400 in/min`, `10 m/min` or `150 mm/s`; `None` if it is not such a
/// text.
pub fn read_rate(text: &str) -> Option<f64> {
    let (length, time) = text.rsplit_once('/')?;
    let per_minute = match time.trim() {
        "min" => 1.0,
        "s" => 60.0,
        _ => return None,
    };
    Some(read_way(length)? * per_minute)
}

/// A feed in millimetres a minute to a whole one, the unit of the tape first.
pub fn feed(mm_min: f64) -> String {
    feed_to(mm_min, 0)
}

/// A feed in millimetres a minute to so many decimals, the unit of the tape first and to one more
/// in inches.
pub fn feed_to(mm_min: f64, decimals: usize) -> String {
    let inches = trimmed(Length::mm(mm_min).as_inches(), decimals + 1);
    let mm = trimmed(mm_min, decimals);
    match Tape::in_hand() {
        Tape::Inches => format!("{inches} in/min ({mm} mm/min)"),
        Tape::Metric => format!("{mm} mm/min"),
    }
}

/// Millimetres a second squared from `10 in/s2` or `500 mm/s2`; `None` if it is not such a text.
pub fn read_acceleration(text: &str) -> Option<f64> {
    let length = text.trim().strip_suffix("/s2")?;
    read_way(length)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rates_come_out_in_mm_a_minute_and_mm_a_second_squared() {
        assert_eq!(read_rate("100 in/min"), Some(2540.0));
        assert_eq!(read_rate("10 mm/s"), Some(600.0));
        assert_eq!(read_rate("144572.382 mm/min"), Some(144_572.382));
        assert_eq!(read_rate("100 in"), None);
        assert_eq!(read_rate("100/min"), None);
        assert_eq!(read_acceleration("10 in/s2"), Some(254.0));
        assert_eq!(read_acceleration("10 in/s"), None);
    }
}
