//! What one stair comes to: wood, weight, time at the machine.

use super::run_order::RunOf;
use super::section::{Figure, Piece, Table};
use crate::pipeline::numbers::Value;
use crate::units::{Length, Tape, decimal, minutes, pounds};

const TOTALS: [(&str, f64); 4] =
    [("What", 40.0), ("Count", 16.0), ("Wood", 32.0), ("Weight", 32.0)];
/// A board foot: 144 cubic inches.
const BOARD_FOOT_MM3: f64 = 144.0 * 25.4 * 25.4 * 25.4;

/// What a piece is cut from its list: the wood of one, where it is less than its box.
pub(super) struct Wood {
    /// Of the pieces of this name.
    pub what: String,
    /// Its area, in square mm.
    pub area_mm2: f64,
}

/// The wood of all pieces of one stair whose sizes are known, its weight where that of the wood is,
/// and the time at the machine for all that is made.
pub(super) fn totals<'r>(
    pieces: &[Piece],
    sawn: &[Wood],
    density_kg_m3: Option<f64>,
    runs: impl Iterator<Item = &'r RunOf<'r>>,
) -> Vec<Table> {
    let mut rows = Vec::new();
    let mut all_mm3 = 0.0;
    for piece in pieces {
        let Some((count, volume_mm3)) = volume(piece, sawn) else { continue };
        all_mm3 += volume_mm3;
        rows.push(row(&piece.what, count.into(), volume_mm3, density_kg_m3));
    }
    rows.push(row("all of these", Value::Words(String::new()), all_mm3, density_kg_m3));
    let seconds: f64 = runs.map(RunOf::whole_s).sum();
    let wood = Table::plain(
        "What the finished pieces of one stair come to, not what is bought",
        &TOTALS,
        rows,
    );
    let time = (seconds > 0.0).then(|| {
        let time = Figure::new("time at the machine", minutes(seconds));
        Table::figures("What making it comes to", vec![time.note("for all that is made")])
    });
    std::iter::once(wood).chain(time).collect()
}

fn volume(piece: &Piece, sawn: &[Wood]) -> Option<(usize, f64)> {
    let mm = |value: &Value| match value {
        Value::Length(length) => Some(Length::as_mm(*length)),
        _ => None,
    };
    let Value::Count(count) = piece.count else { return None };
    let own = sawn.iter().find(|wood| wood.what == piece.what).map(|wood| wood.area_mm2);
    let area_mm2 = own.or_else(|| Some(mm(&piece.length)? * mm(&piece.width)?))?;
    Some((count, area_mm2 * mm(&piece.thickness)? * count as f64))
}

fn row(what: &str, count: Value, volume_mm3: f64, density_kg_m3: Option<f64>) -> Vec<Value> {
    let (wood, weight) = told(volume_mm3, density_kg_m3);
    vec![Value::Words(what.to_string()), count, Value::Words(wood), Value::Words(weight)]
}

/// In board feet and pounds, or in cubic metres and kilograms.
fn told(volume_mm3: f64, density_kg_m3: Option<f64>) -> (String, String) {
    let kg = density_kg_m3.map(|density| density * volume_mm3 * 1e-9);
    match Tape::in_hand() {
        Tape::Inches => (
            format!("{} board feet", decimal(volume_mm3 / BOARD_FOOT_MM3, 1)),
            kg.map_or_else(String::new, |kg| format!("{} lb", decimal(pounds(kg), 1))),
        ),
        Tape::Metric => (
            format!("{} m3", decimal(volume_mm3 * 1e-9, 4)),
            kg.map_or_else(String::new, |kg| format!("{} kg", decimal(kg, 1))),
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_board_foot_is_told_as_one_and_weighs_what_the_wood_does() {
        let inches = Length::inches;
        let piece = Piece {
            what: "treads".into(),
            count: 2.into(),
            length: inches(36.0).into(),
            width: inches(12.0).into(),
            thickness: inches(1.0).into(),
            note: String::new(),
        };
        // 36 lb/ft3: a board foot is a twelfth of a cubic foot, so 3 lb.
        let density = 36.0 * 0.453_592_37 / 0.028_316_846_592;
        let (count, volume) = volume(&piece, &[]).unwrap();
        assert_eq!(
            (count, told(volume, Some(density))),
            (2, ("6.0 board feet".into(), "18.0 lb".into()))
        );
        let kilograms = Tape::Metric.tells(|| told(volume, Some(500.0)));
        assert_eq!(kilograms, ("0.0142 m3".into(), "7.1 kg".into()));
        // What is sawn out of its box is less than that.
        let half =
            [Wood { what: "treads".into(), area_mm2: inches(36.0).as_mm() * inches(6.0).as_mm() }];
        assert!((super::volume(&piece, &half).unwrap().1 * 2.0 - volume).abs() < 1e-3);
    }
}
