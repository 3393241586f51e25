//! The order as a text to print and to read.

use super::sheet::{OrderLine, OrderSheet};
use crate::units::{Length, MM_PER_INCH, trimmed, weight};

/// What stands where the job says nothing.
const OPEN: &str = "____________ (not in the job: fill in)";

impl OrderSheet {
    /// The sheet as plain text.
    pub fn to_text(&self) -> String {
        let mut text =
            format!("ORDER: {}\nrevision {}, {}\n", self.title, self.revision, self.tool);
        text.push_str(
            "This revision stands on every file of the order: if one differs, do not cut.\n",
        );
        for line in &self.lines {
            text.push_str(&format!("\n{}\n", line.part.to_uppercase()));
            for (label, value) in self.rows(line) {
                text.push_str(&format!("  {label:<15} {value}\n"));
            }
        }
        if let Some(weight) = &self.weight {
            text.push_str(&format!("\nTHE WHOLE ORDER WEIGHS\n  {}\n", weight.words()));
        }
        text.push_str(&list("CAUTIONS", &self.cautions));
        if !self.waivers.is_empty() {
            text.push_str(&list("REFUSALS TAKEN ON BY THE OWNER", &self.waivers));
        }
        text
    }

    fn rows(&self, line: &OrderLine) -> Vec<(&'static str, String)> {
        let open = |value: Option<String>| value.unwrap_or_else(|| OPEN.to_string());
        let layers = (line.layers > 1).then(|| ("layers", line.layer_words()));
        let drawing = line.file.as_ref().map_or("none: sawn to size".to_string(), |file| {
            format!("{}, 1:1, units {}", file.name, file.unit())
        });
        let rows = vec![
            ("revision", self.revision.clone()),
            ("quantity", open(line.quantity.map(|n| n.to_string()))),
            ("material", open(line.material.clone())),
            ("thickness", open(line.thickness.map(exact))),
            ("drawing", drawing),
            ("length", exact(line.length)),
            ("width", exact(line.width)),
            ("area", area(line.area_mm2)),
            ("perimeter", exact(line.perimeter)),
            ("tolerance", line.tolerance_words()),
            ("ledger", line.ledger.clone()),
            ("inside corners", line.inside_corners.to_string()),
            ("holes", line.hole_words()),
        ];
        let digest = line.file.as_ref().map(|file| ("sha256", file.sha256.clone()));
        let weighs = line.weight_kg.map(|kg| ("weight", weighed(kg, line.quantity)));
        rows.into_iter().chain(weighs).chain(digest).chain(layers).collect()
    }
}

fn exact(length: Length) -> String {
    format!(
        "{length}, exactly {} in, {} mm",
        trimmed(length.as_inches(), 4),
        trimmed(length.as_mm(), 3)
    )
}

/// What one weighs, and all of them.
fn weighed(kg: f64, quantity: Option<u32>) -> String {
    match quantity {
        None | Some(1) => weight(kg),
        Some(count) => {
            format!("{} each, {} all {count}", weight(kg), weight(kg * f64::from(count)))
        }
    }
}

fn area(mm2: f64) -> String {
    format!("{} sq in ({} mm2)", trimmed(mm2 / MM_PER_INCH / MM_PER_INCH, 3), trimmed(mm2, 1))
}

fn list(heading: &str, lines: &[String]) -> String {
    let lines: Vec<String> = lines.iter().map(|line| format!("  - {line}\n")).collect();
    format!("\n{heading}\n{}", lines.concat())
}
