//! How thick what lies on the machine is: as measured, where somebody measured it.

use super::job_file::CutFile;
use super::parts::{Board, Makes};
use super::resolve::Resolver;
use crate::diagnostics::Error;
use crate::profile::Material;
use crate::units::Length;

/// Where the thickness of what lies on the machine comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Thickness {
    /// The material's profile; nobody measured it.
    OfProfile,
    /// It was measured; the profile says another figure, or the same.
    Measured {
        /// What the profile says.
        profile: Length,
    },
}

/// The thickest stock that is read, in mm.
const THICKEST_MM: f64 = 500.0;

impl Resolver<'_> {
    /// The material as thick as it is cut. `cut.thickness` says it; left out, stringers are as
    /// thick as their board was measured, each layer of them an even share of it; a pattern is as
    /// thick as the profile says.
    pub(super) fn as_thick_as_measured(
        &mut self,
        raw: &CutFile,
        material: Material,
        board: &Board,
        (makes, layers): (Makes, u32),
    ) -> Result<(Material, Thickness), Error> {
        let typed = raw
            .thickness
            .as_ref()
            .map(|raw| self.positive("cut.thickness", raw, THICKEST_MM))
            .transpose()?;
        let measured = match (typed, makes) {
            (Some(thickness), _) => thickness,
            (None, Makes::Stringers) => board.thickness / f64::from(layers),
            (None, Makes::Pattern(_)) => return Ok((material, Thickness::OfProfile)),
        };
        let known = Thickness::Measured { profile: material.thickness };
        Ok((Material { thickness: measured, ..material }, known))
    }
}
