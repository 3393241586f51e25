//! How heavy wood is.

use toml::Spanned;

use super::reader::Reader;
use crate::diagnostics::Error;
use crate::units::{Length, POUND_KG, figure_and_unit};

/// How the weight of wood is written.
pub const DENSITIES: &str = "\"35 lb/ft3\", \"560 kg/m3\"";
/// A pound a cubic foot in kg a cubic metre: pound and foot by their definitions.
const LB_FT3_KG_M3: f64 = POUND_KG / (0.3048 * 0.3048 * 0.3048);
/// The lightest and the heaviest wood that is read, in kg a cubic metre.
const WOODS_KG_M3: std::ops::RangeInclusive<f64> = 100.0..=1_500.0;

/// The weight of wood in kg a cubic metre.
pub fn read_density(text: &str) -> Option<f64> {
    let (figure, unit) = figure_and_unit(text.trim())?;
    let density = match unit {
        "lb/ft3" => figure * LB_FT3_KG_M3,
        "kg/m3" => figure,
        _ => return None,
    };
    WOODS_KG_M3.contains(&density).then_some(density)
}

/// What a piece of such wood weighs, in kg.
pub fn weight_kg(kg_m3: f64, area_mm2: f64, thickness: Length) -> f64 {
    kg_m3 * area_mm2 * thickness.as_mm() * 1e-9
}

/// The weight of a material and whose figure that is.
#[derive(Clone, Debug, PartialEq)]
pub struct Density {
    /// In kg a cubic metre.
    pub kg_m3: f64,
    /// Where the figure is published.
    pub source: String,
}

impl Density {
    /// How heavy a material of a name is, and by whom.
    pub fn told_of(&self, material: &str) -> String {
        format!("{material} of {} kg/m3 by {}", self.kg_m3.round(), self.source)
    }

    /// Reads it from the two keys of a profile; none where neither is there.
    ///
    /// # Errors
    /// If one stands without the other, or the figure is no weight of wood.
    pub(super) fn read(
        reader: &Reader<'_>,
        figure: Option<&Spanned<String>>,
        source: Option<&Spanned<String>>,
    ) -> Result<Option<Self>, Error> {
        let (figure, source) = match (figure, source) {
            (None, None) => return Ok(None),
            (Some(figure), Some(source)) => (figure, source),
            (Some(alone), None) | (None, Some(alone)) => {
                let allowed = "both density and density_source, or neither: a figure without its \
                    source is a guess";
                return Err(reader.out_of_range("density", alone.span(), alone.get_ref(), allowed));
            }
        };
        let kg_m3 = read_density(figure.get_ref()).ok_or_else(|| {
            let allowed = format!("{DENSITIES}; 100 to 1500 kg/m3");
            reader.out_of_range("density", figure.span(), figure.get_ref(), &allowed)
        })?;
        let words = source.get_ref().trim();
        if words.is_empty() {
            let allowed = "where the figure is published";
            return Err(reader.out_of_range("density_source", source.span(), words, allowed));
        }
        Ok(Some(Self { kg_m3, source: words.to_string() }))
    }
}
