//! Design values of a wood in its place: which factors apply, and why.

use super::adjusted::{Adjusted, Factor};
use super::input::{BeamInput, Incising, Moisture, Stringers, table_depth};
use crate::diagnostics::Error;
use crate::profile::{Bending, BySize, On, System, TimberFactors, Wood};
use crate::units::{Length, sixteenths};

/// The four values that the checks use.
#[derive(Clone, Debug, PartialEq)]
pub struct DesignValues {
    /// F'b.
    pub bending: Adjusted,
    /// F'v.
    pub shear: Adjusted,
    /// E'.
    pub modulus: Adjusted,
    /// F'c across the grain.
    pub bearing: Adjusted,
}

/// What the factors depend on besides the wood.
pub(super) struct Setting<'a> {
    pub factors: &'a TimberFactors,
    pub depth: Length,
    pub moisture: Moisture,
    pub incising: Incising,
    /// How many members at which spacing share the load.
    pub members: (usize, Length),
}

impl DesignValues {
    /// The values for a stringer. CF is that of the board as graded.
    pub(super) fn of(input: &BeamInput) -> Result<Self, Error> {
        let Stringers { count, spacing, .. } = input.stringers;
        let setting = Setting {
            factors: &input.factors,
            depth: input.board_width,
            moisture: input.moisture,
            incising: input.incising,
            members: (count, spacing),
        };
        setting.values(&input.wood)
    }
}

impl Setting<'_> {
    /// # Errors
    /// If the board is wider than any the table has a value for.
    pub(super) fn values(&self, wood: &Wood) -> Result<DesignValues, Error> {
        let adjusted = |symbol, reference, mut factors: Vec<Factor>, on: Option<On>| {
            factors.extend(on.into_iter().flat_map(|on| self.also(on)));
            Adjusted { symbol: self.value(symbol), reference, source: wood.source.clone(), factors }
        };
        let (reference, size) = self.bending(wood)?;
        let strength =
            |wet| [self.duration(), self.wet(wet), self.incised(self.factors.incised_strength)];
        let [duration, _, incised] = strength(1.0);
        let wet_bending = self.wet_bending(reference * size.value);
        Ok(DesignValues {
            bending: adjusted(
                "Fb",
                reference,
                vec![duration, wet_bending, size, incised, self.repetitive()],
                Some(On::Bending),
            ),
            shear: adjusted(
                "Fv",
                wood.shear_psi,
                strength(self.factors.wet_shear).to_vec(),
                Some(On::Shear),
            ),
            modulus: adjusted(
                "E",
                wood.modulus_psi,
                vec![
                    self.wet(self.factors.wet_modulus),
                    self.incised(self.factors.incised_modulus),
                ],
                None,
            ),
            bearing: adjusted("Fc-perp", wood.bearing_psi, self.bearing(), Some(On::Bearing)),
        })
    }

    fn factor(&self, symbol: &'static str, name: impl Into<String>, value: f64) -> Factor {
        // What EN 1995-1-1 calls the same.
        let symbol = match (self.factors.system, symbol) {
            (System::En1995, "CD") => "kmod",
            (System::En1995, "CM") => "kmod, wet",
            (System::En1995, "CF") => "kh",
            (System::En1995, "Cr") => "ksys",
            _ => symbol,
        };
        let source = self.factors.source.clone();
        Factor { symbol: symbol.to_string(), name: name.into(), value, source }
    }

    /// What a design value is called.
    fn value(&self, symbol: &'static str) -> &'static str {
        match (self.factors.system, symbol) {
            (System::En1995, "Fb") => "fm,k",
            (System::En1995, "Fv") => "fv,k",
            (System::En1995, "E") => "E0,mean",
            (System::En1995, "Fc-perp") => "fc,90,k",
            _ => symbol,
        }
    }

    /// No load duration goes on bearing in the National Design Specification.
    fn bearing(&self) -> Vec<Factor> {
        let duration = (self.factors.system == System::En1995).then(|| self.duration());
        let others =
            [self.wet(self.factors.wet_bearing), self.incised(self.factors.incised_bearing)];
        duration.into_iter().chain(others).collect()
    }

    /// The factors that the table puts on a value whatever the stair.
    fn also(&self, on: On) -> Vec<Factor> {
        let these = self.factors.also.iter().filter(|also| also.on.contains(&on));
        these
            .map(|also| Factor {
                symbol: also.symbol.clone(),
                name: also.name.clone(),
                value: also.value,
                source: also.source.clone(),
            })
            .collect()
    }

    fn duration(&self) -> Factor {
        self.factor("CD", "load duration, occupancy live load", self.factors.duration_live)
    }

    fn wet(&self, value: f64) -> Factor {
        match self.moisture {
            Moisture::Dry => self.factor("CM", "wet service: dry in use", 1.0),
            Moisture::Wet => self.factor("CM", "wet service: above 19 % moisture in use", value),
        }
    }

    fn wet_bending(&self, sized: f64) -> Factor {
        let free = self.factors.wet_bending_unreduced_to_psi;
        if self.moisture == Moisture::Wet && sized <= free {
            return self.factor(
                "CM",
                format!("wet service: none while Fb CF is at most {free} psi"),
                1.0,
            );
        }
        self.wet(self.factors.wet_bending)
    }

    fn incised(&self, value: f64) -> Factor {
        match self.incising {
            Incising::None => self.factor("Ci", "incising: not incised", 1.0),
            Incising::Incised => self.factor("Ci", "incising: incised for treatment", value),
        }
    }

    fn repetitive(&self) -> Factor {
        let (count, spacing) = self.members;
        let (least, apart) = (self.factors.repetitive_members, self.factors.repetitive_spacing);
        if count >= least && spacing <= apart {
            let name = format!("repetitive members: {count} at {}", sixteenths(spacing));
            return self.factor("Cr", name, self.factors.repetitive);
        }
        self.factor(
            "Cr",
            format!("repetitive members: fewer than {least} or over {} apart", sixteenths(apart)),
            1.0,
        )
    }

    /// The reference bending value and the size factor that still goes on it.
    fn bending(&self, wood: &Wood) -> Result<(f64, Factor), Error> {
        match &wood.bending {
            Bending::OneValue(psi) => {
                let row = self.row(&self.factors.sizes)?;
                let name = format!("size: board up to {} wide", sixteenths(row.up_to));
                Ok((*psi, self.factor("CF", name, row.figure)))
            }
            Bending::BySize(rows) => Ok((
                self.row(rows)?.figure,
                self.factor("CF", "size: in the table's value already", 1.0),
            )),
        }
    }

    fn row(&self, rows: &[BySize]) -> Result<BySize, Error> {
        table_depth(rows, self.depth)
    }
}
