//! The order as a table: RFC 4180, one header row, one row a part.

use super::sheet::{OrderFile, OrderLine, OrderSheet};
use crate::output::csv::{Table, text};
use crate::units::{Length, MM_PER_INCH, pounds, trimmed};

impl OrderSheet {
    /// The sheet as comma-separated values in UTF-8, rows ended by CR LF. What the job leaves open
    /// is an empty field.
    pub fn to_csv(&self) -> String {
        let rows: Vec<Vec<(&'static str, String)>> =
            self.lines.iter().map(|line| self.row(line)).collect();
        let headings = |row: &Vec<(&'static str, String)>| {
            row.iter().map(|(name, _)| *name).collect::<Vec<_>>()
        };
        let mut table = Table::of(&rows.first().map(headings).unwrap_or_default());
        for row in rows {
            table.row(row.into_iter().map(|(_, value)| value));
        }
        table.text()
    }

    fn row(&self, line: &OrderLine) -> Vec<(&'static str, String)> {
        let optional = |length: Option<Length>, figure: fn(Length) -> String| {
            length.map(figure).unwrap_or_default()
        };
        let of_file =
            |what: fn(&OrderFile) -> String| line.file.as_ref().map(what).unwrap_or_default();
        let width = line.holes.first().map(|hole| hole.radius * 2.0);
        vec![
            ("part", text(&line.part)),
            ("revision", text(&self.revision)),
            ("quantity", line.quantity.map(|n| n.to_string()).unwrap_or_default()),
            ("material", text(line.material.as_deref().unwrap_or_default())),
            ("thickness_in", optional(line.thickness, inches)),
            ("thickness_mm", optional(line.thickness, mm)),
            ("file", of_file(|file| file.name.clone())),
            ("dxf_units", of_file(|file| file.unit().to_string())),
            ("length_in", inches(line.length)),
            ("width_in", inches(line.width)),
            ("length_mm", mm(line.length)),
            ("width_mm", mm(line.width)),
            ("area_in2", trimmed(line.area_mm2 / MM_PER_INCH / MM_PER_INCH, 3)),
            ("area_mm2", trimmed(line.area_mm2, 1)),
            ("weight_lb", line.weight_kg.map_or(String::new(), |kg| trimmed(pounds(kg), 2))),
            ("weight_kg", line.weight_kg.map_or(String::new(), |kg| trimmed(kg, 2))),
            ("perimeter_in", inches(line.perimeter)),
            ("perimeter_mm", mm(line.perimeter)),
            ("tolerance_in", trimmed(line.tolerance.as_inches(), 6)),
            ("tolerance_mm", mm(line.tolerance)),
            ("tolerance_note", text(&line.tolerance_words())),
            ("ledger", text(&line.ledger)),
            ("inside_corners", line.inside_corners.to_string()),
            ("layers", line.layers.to_string()),
            ("holes", text(&line.hole_words())),
            ("hole_count", line.holes.len().to_string()),
            ("hole_width_in", optional(width, inches)),
            ("hole_width_mm", optional(width, mm)),
            ("hole_places", text(&line.hole_places())),
            ("sha256", of_file(|file| file.sha256.clone())),
            ("title", text(&self.title)),
            ("tool", self.tool.to_string()),
            ("cautions", text(&self.cautions.join(" | "))),
            ("waivers", text(&self.waivers.join(" | "))),
        ]
    }
}

fn inches(length: Length) -> String {
    trimmed(length.as_inches(), 4)
}

fn mm(length: Length) -> String {
    trimmed(length.as_mm(), 3)
}
