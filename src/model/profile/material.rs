//! What lies on the machine.

use std::fmt;

use serde::Deserialize;
use toml::Spanned;

use super::density::Density;
use super::reader::{Len, Reader};
use crate::diagnostics::Error;
use crate::units::{Length, on_tape};

/// Whether it is a sheet, cut all round, or a board whose own edges are the part's.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Form {
    /// A sheet: the part is cut out of it.
    Sheet,
    /// A board: its edges serve as nose line and lower edge.
    Board,
}

/// Which way the material's grain runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Grain {
    /// It has none.
    None,
    /// Along its length: a part lies along it or turned half round.
    Lengthwise,
}

/// Whether the material holds preservative.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Treatment {
    /// Known to be untreated.
    Untreated,
    /// Preservative-treated.
    Treated,
    /// Not known: taken as treated where that is the safer reading.
    Unknown,
}

/// A material as it lies on the machine.
#[derive(Clone)]
pub struct Material {
    /// The name it was asked for by.
    pub name: String,
    /// One line about it.
    pub about: String,
    /// Sheet or board.
    pub form: Form,
    /// Extent along the grain, or the longer side.
    pub length: Length,
    /// Extent across it.
    pub width: Length,
    /// Thickness.
    pub thickness: Length,
    /// Which way the grain runs.
    pub grain: Grain,
    /// Whether it is treated.
    pub treatment: Treatment,
    /// What stays uncut along its edges.
    pub margin: Length,
    /// How heavy it is, where somebody published that.
    pub density: Option<Density>,
}

/// What a job is known by is made of this: a weight that is not said is no word of it.
impl fmt::Debug for Material {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { name, about, form, length, width, thickness, grain, treatment, margin, density } =
            self;
        let mut told = f.debug_struct("Material");
        told.field("name", name).field("about", about).field("form", form);
        told.field("length", length).field("width", width).field("thickness", thickness);
        told.field("grain", grain).field("treatment", treatment).field("margin", margin);
        if let Some(density) = density {
            told.field("density", density);
        }
        told.finish()
    }
}

impl Material {
    /// Reads a material profile.
    ///
    /// # Errors
    /// With the place in `file`, what was found, what is allowed and what to type.
    pub fn read(name: &str, file: &str, text: &str) -> Result<Self, Error> {
        let reader = Reader::new(file, text);
        let raw: MaterialFile = reader.parse_profile("material", "material profile")?;
        Ok(Self {
            name: name.to_string(),
            about: raw.about,
            form: raw.form,
            length: reader.positive("length", &raw.length)?,
            width: reader.positive("width", &raw.width)?,
            thickness: reader.positive("thickness", &raw.thickness)?,
            grain: raw.grain,
            treatment: raw.treatment,
            margin: reader.length("margin", &raw.margin)?,
            density: Density::read(&reader, raw.density.as_ref(), raw.density_source.as_ref())?,
        })
    }
}

impl Material {
    /// A board of these sizes that nobody described by a profile: what it is called says them, and
    /// nothing of another board can be read of it.
    pub fn of_board([length, width, thickness]: [Length; 3]) -> Self {
        Self {
            name: format!("board {} x {}", on_tape(width), on_tape(thickness)),
            about: "the board that the job describes".to_string(),
            form: Form::Board,
            length,
            width,
            thickness,
            grain: Grain::Lengthwise,
            treatment: Treatment::Unknown,
            margin: Length::ZERO,
            density: None,
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MaterialFile {
    #[serde(rename = "kind")]
    _kind: String,
    about: String,
    form: Form,
    length: Len,
    width: Len,
    thickness: Len,
    grain: Grain,
    treatment: Treatment,
    margin: Len,
    density: Option<Spanned<String>>,
    density_source: Option<Spanned<String>>,
}
