//! What wood is taken to bear and how it moves: design values, adjustment factors and movement as
//! data with sources.

use std::sync::OnceLock;

use serde::Deserialize;

use super::catalogue::embedded;
use super::guess::nearest;
use super::reader::{Len, Reader, printed};
use crate::diagnostics::{Error, ErrorKind};
use crate::units::Length;

/// The tables in the binary.
const STANDARD: [&str; 2] = ["us-softwoods", "eu-softwoods"];

/// A bending figure for boards up to a width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BySize {
    /// The widest board it holds for.
    pub up_to: Length,
    /// A stress in psi, or a plain factor.
    pub figure: f64,
}

/// The bending value of a grade, before any factor.
#[derive(Clone, Debug, PartialEq)]
pub enum Bending {
    /// One value in psi; the size factor of the table goes on it.
    OneValue(f64),
    /// A value in psi a board width, the size factor in it already.
    BySize(Vec<BySize>),
}

/// Reference design values of one species and grade, in psi.
#[derive(Clone, Debug, PartialEq)]
pub struct Wood {
    /// The species group.
    pub species: String,
    /// The grade.
    pub grade: String,
    /// Bending, Fb.
    pub bending: Bending,
    /// Shear along the grain, Fv.
    pub shear_psi: f64,
    /// Modulus of elasticity, E.
    pub modulus_psi: f64,
    /// Compression across the grain.
    pub bearing_psi: f64,
    /// Edition and table.
    pub source: String,
}

/// How a species moves with moisture.
#[derive(Clone, Debug, PartialEq)]
pub struct Movement {
    /// The wood that stands for the species group.
    pub wood: String,
    /// Change of a quartersawn width, a share a percent of moisture.
    pub radial: f64,
    /// Change of a flatsawn width, a share a percent of moisture.
    pub tangential: f64,
    /// Radial shrinkage from green to ovendry, in percent.
    pub radial_green_percent: f64,
    /// Tangential shrinkage from green to ovendry, in percent.
    pub tangential_green_percent: f64,
    /// Edition and table.
    pub source: String,
}

/// Whose adjustment factors a table has.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum System {
    /// Reference design values of the National Design Specification.
    #[default]
    Nds,
    /// Characteristic values of EN 338 with the factors of EN 1995-1-1.
    #[serde(rename = "en-1995")]
    En1995,
}

/// A design value.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum On {
    /// Bending.
    Bending,
    /// Shear along the grain.
    Shear,
    /// Compression across the grain.
    Bearing,
}

/// One factor more that a table puts on some of its values, whatever the stair.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AlsoFactor {
    /// As the standard writes it.
    pub symbol: String,
    /// In words.
    pub name: String,
    /// The factor.
    pub value: f64,
    /// On which values.
    pub on: Vec<On>,
    /// Where it stands.
    pub source: String,
}

/// Adjustment factors of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct TimberFactors {
    /// Duration of an occupancy live load.
    pub duration_live: f64,
    /// Repetitive members, on bending.
    pub repetitive: f64,
    /// From this many members on.
    pub repetitive_members: usize,
    /// At this spacing or closer.
    pub repetitive_spacing: Length,
    /// Wet service, on bending.
    pub wet_bending: f64,
    /// No wet reduction of bending while Fb times CF is at most this, in psi.
    pub wet_bending_unreduced_to_psi: f64,
    /// Wet service, on shear.
    pub wet_shear: f64,
    /// Wet service, on E.
    pub wet_modulus: f64,
    /// Wet service, on compression across the grain.
    pub wet_bearing: f64,
    /// Incised, on bending and shear.
    pub incised_strength: f64,
    /// Incised, on E.
    pub incised_modulus: f64,
    /// Incised, on compression across the grain.
    pub incised_bearing: f64,
    /// CF on bending by the board's width.
    pub sizes: Vec<BySize>,
    /// Whose factors they are.
    pub system: System,
    /// Factors more.
    pub also: Vec<AlsoFactor>,
    /// Edition and tables.
    pub source: String,
}

/// A timber table: design values, factors, movement.
#[derive(Clone, Debug)]
pub struct TimberTable {
    /// The name it was asked for by.
    pub name: String,
    /// One line about it.
    pub about: String,
    /// The factors.
    pub factors: TimberFactors,
    species: Vec<Species>,
}

#[derive(Clone, Debug)]
struct Species {
    name: String,
    grades: Vec<Wood>,
    movement: Option<Movement>,
}

impl TimberTable {
    /// The tables in the binary, read when they are first asked for.
    ///
    /// # Errors
    /// None that a test of this project does not rule out.
    pub fn all() -> Result<&'static [Self], Error> {
        static READ: OnceLock<Result<Vec<TimberTable>, Error>> = OnceLock::new();
        let read = READ.get_or_init(|| STANDARD.iter().map(|name| Self::embedded(name)).collect());
        read.as_ref().map(Vec::as_slice).map_err(Clone::clone)
    }

    /// The table that has a species.
    ///
    /// # Errors
    /// If none has; with the names that there are, and the nearest.
    pub fn of_species(species: &str) -> Result<&'static Self, Error> {
        let tables = Self::all()?;
        let has = |table: &&Self| table.species_names().any(|name| name == species);
        let names: Vec<&str> = tables.iter().flat_map(Self::species_names).collect();
        tables
            .iter()
            .find(has)
            .ok_or_else(|| unknown("species", species, &names, nearest(species, &names)))
    }

    fn embedded(name: &str) -> Result<Self, Error> {
        counted!("timber table {name}");
        let source = embedded(Some("timber"), name).ok_or_else(|| {
            Error::new(ErrorKind::Internal, "the timber table is not in the binary")
        })?;
        Self::read(name, &source.file, &source.text)
    }

    /// Reads a timber table.
    ///
    /// # Errors
    /// With the place in `file`, what was found, what is allowed and what to type.
    pub fn read(name: &str, file: &str, text: &str) -> Result<Self, Error> {
        let reader = Reader::new(file, text);
        let raw: TimberFile = reader.parse_profile("timber", "timber table")?;
        Ok(Self {
            name: name.to_string(),
            about: raw.about.clone(),
            factors: raw.factors.resolved(&reader, &raw.size)?,
            species: raw
                .species
                .iter()
                .map(|species| species.resolved(&reader))
                .collect::<Result<_, _>>()?,
        })
    }

    /// The design values of a species and a grade by their names in a job.
    ///
    /// # Errors
    /// If the table has no such species, or no such grade of it; with the names it has.
    pub fn wood(&self, species: &str, grade: &str) -> Result<&Wood, Error> {
        let grades = &self.species(species)?.grades;
        let names: Vec<&str> = grades.iter().map(|wood| wood.grade.as_str()).collect();
        grades
            .iter()
            .find(|wood| wood.grade == grade)
            // The first of a table is its weakest: no other is put into anybody's mouth.
            .ok_or_else(|| unknown("grade", grade, &names, names.first().copied()))
    }

    /// How a species moves with moisture.
    ///
    /// # Errors
    /// If the table has no such species, with the names it has and the nearest; or if its movement
    /// is not known.
    pub fn movement(&self, species: &str) -> Result<&Movement, Error> {
        self.species(species)?.movement.as_ref().ok_or_else(|| {
            Error::new(ErrorKind::Input, "board.species: how it moves with moisture is not known")
                .found(species)
                .allowed("a species whose movement is published: not a class of several woods")
                .hint("leave [moisture] out, or name the wood itself, if it is one of those listed")
        })
    }

    /// The names of all species.
    pub fn species_names(&self) -> impl Iterator<Item = &str> {
        self.species.iter().map(|species| species.name.as_str())
    }

    fn species(&self, name: &str) -> Result<&Species, Error> {
        let names: Vec<&str> = self.species_names().collect();
        self.species
            .iter()
            .find(|species| species.name == name)
            .ok_or_else(|| unknown("species", name, &names, nearest(name, &names)))
    }
}

fn unknown(key: &str, found: &str, names: &[&str], near: Option<&str>) -> Error {
    let ask = format!("for another {key} ask a licensed designer");
    let hint = match near {
        Some(near) => format!("{key} = \"{near}\", if it is stamped so; {ask}"),
        None => format!("one of those that are allowed, if it is stamped so; {ask}"),
    };
    Error::new(ErrorKind::Input, format!("board.{key}: no design values for it"))
        .found(found)
        .allowed(names.join(", "))
        .hint(hint)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TimberFile {
    #[serde(rename = "kind")]
    _kind: String,
    about: String,
    factors: FactorsFile,
    size: Vec<SizeFile>,
    species: Vec<SpeciesFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SizeFile {
    up_to: Len,
    bending: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PsiFile {
    up_to: Len,
    psi: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FactorsFile {
    source: String,
    #[serde(default)]
    system: System,
    #[serde(default)]
    also: Vec<AlsoFactor>,
    duration_live: f64,
    repetitive: f64,
    repetitive_members: usize,
    repetitive_spacing: Len,
    wet_bending: f64,
    wet_bending_unreduced_to_psi: f64,
    wet_shear: f64,
    wet_modulus: f64,
    wet_bearing: f64,
    incised_strength: f64,
    incised_modulus: f64,
    incised_bearing: f64,
}

/// No published factor lies outside this range.
const LEAST_FACTOR: f64 = 0.1;
const MOST_FACTOR: f64 = 2.5;

impl FactorsFile {
    fn resolved(&self, reader: &Reader<'_>, sizes: &[SizeFile]) -> Result<TimberFactors, Error> {
        let factor = |key: &str, value| {
            reader.number(&format!("factors.{key}"), value, LEAST_FACTOR, MOST_FACTOR)
        };
        Ok(TimberFactors {
            duration_live: factor("duration_live", self.duration_live)?,
            repetitive: factor("repetitive", self.repetitive)?,
            repetitive_members: self.repetitive_members,
            repetitive_spacing: reader
                .positive("factors.repetitive_spacing", &self.repetitive_spacing)?,
            wet_bending: factor("wet_bending", self.wet_bending)?,
            wet_bending_unreduced_to_psi: stress(
                reader,
                "factors.wet_bending_unreduced_to_psi",
                self.wet_bending_unreduced_to_psi,
            )?,
            wet_shear: factor("wet_shear", self.wet_shear)?,
            wet_modulus: factor("wet_modulus", self.wet_modulus)?,
            wet_bearing: factor("wet_bearing", self.wet_bearing)?,
            incised_strength: factor("incised_strength", self.incised_strength)?,
            incised_modulus: factor("incised_modulus", self.incised_modulus)?,
            incised_bearing: factor("incised_bearing", self.incised_bearing)?,
            system: self.system,
            also: self
                .also
                .iter()
                .map(|also| {
                    factor("also.value", also.value)?;
                    Ok(AlsoFactor { source: printed(&also.source), ..also.clone() })
                })
                .collect::<Result<_, _>>()?,
            sizes: by_size(reader, sizes.iter().map(|size| (&size.up_to, size.bending)))?,
            source: printed(&self.source),
        })
    }
}

/// A stress or a modulus of more than 0, in psi.
fn stress(reader: &Reader<'_>, key: &str, psi: f64) -> Result<f64, Error> {
    reader.number(key, psi, 1.0, 1e8)
}

fn by_size<'a>(
    reader: &Reader<'_>,
    rows: impl Iterator<Item = (&'a Len, f64)>,
) -> Result<Vec<BySize>, Error> {
    let mut sizes: Vec<BySize> = rows
        .map(|(up_to, figure)| Ok(BySize { up_to: reader.positive("up_to", up_to)?, figure }))
        .collect::<Result<_, Error>>()?;
    sizes.sort_by(|a, b| a.up_to.as_mm().total_cmp(&b.up_to.as_mm()));
    Ok(sizes)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SpeciesFile {
    name: String,
    grade: Vec<GradeFile>,
    movement: Option<MovementFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct GradeFile {
    name: String,
    bending_psi: Option<f64>,
    #[serde(default)]
    bending_by_size: Vec<PsiFile>,
    shear_psi: f64,
    modulus_psi: f64,
    bearing_psi: f64,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MovementFile {
    wood: String,
    radial: f64,
    tangential: f64,
    radial_green_percent: f64,
    tangential_green_percent: f64,
    source: String,
}

impl SpeciesFile {
    fn resolved(&self, reader: &Reader<'_>) -> Result<Species, Error> {
        Ok(Species {
            name: self.name.clone(),
            grades: self
                .grade
                .iter()
                .map(|grade| grade.resolved(reader, &self.name))
                .collect::<Result<_, _>>()?,
            movement: self.movement.as_ref().map(|raw| raw.resolved(reader)).transpose()?,
        })
    }
}

impl MovementFile {
    fn resolved(&self, reader: &Reader<'_>) -> Result<Movement, Error> {
        let share = |key: &str, value| reader.number(&format!("movement.{key}"), value, 0.0, 0.01);
        let percent =
            |key: &str, value| reader.number(&format!("movement.{key}"), value, 0.1, 20.0);
        Ok(Movement {
            wood: self.wood.clone(),
            radial: share("radial", self.radial)?,
            tangential: share("tangential", self.tangential)?,
            radial_green_percent: percent("radial_green_percent", self.radial_green_percent)?,
            tangential_green_percent: percent(
                "tangential_green_percent",
                self.tangential_green_percent,
            )?,
            source: printed(&self.source),
        })
    }
}

impl GradeFile {
    fn resolved(&self, reader: &Reader<'_>, species: &str) -> Result<Wood, Error> {
        let bending = match (self.bending_psi, self.bending_by_size.as_slice()) {
            (Some(psi), []) => Bending::OneValue(stress(reader, "bending_psi", psi)?),
            (None, [_, ..]) => Bending::BySize(by_size(
                reader,
                self.bending_by_size.iter().map(|row| (&row.up_to, row.psi)),
            )?),
            _ => {
                return Err(reader.error(
                    "a grade with no bending value, or with two",
                    species,
                    "bending_psi = 900.0",
                ));
            }
        };
        Ok(Wood {
            species: species.to_string(),
            grade: self.name.clone(),
            bending,
            shear_psi: stress(reader, "shear_psi", self.shear_psi)?,
            modulus_psi: stress(reader, "modulus_psi", self.modulus_psi)?,
            bearing_psi: stress(reader, "bearing_psi", self.bearing_psi)?,
            source: printed(&self.source),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::profile::{PointOn, Rules};

    fn standard_with(from: &str, to: &str) -> Result<TimberTable, Error> {
        let text = embedded(Some("timber"), STANDARD[0]).unwrap().text;
        assert!(text.contains(from), "{from}");
        TimberTable::read("t", "t.toml", &text.replacen(from, to, 1))
    }

    #[test]
    fn a_table_with_a_mad_factor_no_bending_value_or_an_unknown_key_is_refused() {
        let said = |from, to| standard_with(from, to).unwrap_err().to_string();
        assert!(said("repetitive = 1.15", "repetitive = 11.5").contains("factors.repetitive"));
        assert!(said("bending_psi = 900.0\n", "").contains("no bending value"));
        assert!(said("shear_psi = 175.0", "shear_psi = -1.0").contains("shear_psi"));
        assert!(said("radial = 0.00165", "radial = 0.165").contains("movement.radial"));
        assert!(said("modulus_psi", "modulus_ksi").contains("unknown key"));
    }

    #[test]
    fn what_is_printed_of_a_source_says_check_locally_once_and_nothing_of_memory() {
        for table in TimberTable::all().unwrap() {
            let also = table.factors.also.iter().map(|also| &also.source);
            let grades = table.species.iter().flat_map(|s| &s.grades).map(|wood| &wood.source);
            let movement = table.species.iter().filter_map(|s| s.movement.as_ref());
            let all = also.chain(grades).chain(movement.map(|movement| &movement.source));
            for source in all.chain([&table.factors.source]) {
                assert!(!source.contains("memory"), "{}: {source}", table.name);
                assert!(!source.contains("check locally: "), "{}: {source}", table.name);
            }
        }
    }

    #[test]
    fn the_live_load_of_a_rule_set_is_read_with_its_source_and_held_to_a_range() {
        let text = embedded(Some("rules"), "us-irc-2021").unwrap().text;
        let read = |text: &str| Rules::read("r", "r.toml", text);
        let load = read(&text).unwrap().live_load.unwrap();
        assert_eq!((load.psf, load.point_lb), (Some(40.0), Some(300.0)));
        assert_eq!(load.point_on, PointOn::Tread);
        assert!(load.source.contains("Table R301.5"));
        let silent = read(&text.replace("point_on = \"tread\"", "")).unwrap().live_load.unwrap();
        assert_eq!(silent.point_on, PointOn::Stringer, "the stricter where nothing is said");
        let bad = read(&text.replace("psf = 40.0", "psf = -40.0")).unwrap_err().to_string();
        assert!(bad.contains("live_load.psf") && bad.contains("0 to 1000"), "{bad}");
        let none = embedded(Some("rules"), "uk-private").unwrap().text;
        assert!(read(&none).unwrap().live_load.is_none());
    }
}
