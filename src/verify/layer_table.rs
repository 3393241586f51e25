//! What the tables of a drawing say of its layers: which of them a shop does not see, and of which
//! lines it sees dashes only.

use std::collections::HashMap;

use super::entity::{Entity, whole};
use crate::diagnostics::Error;
use crate::diagnostics::codes::HiddenBy;

/// The layer that is never plotted, whatever its table says: the published DXF reference.
const NEVER_PLOTTED: &str = "DEFPOINTS";
const CONTINUOUS: &str = "CONTINUOUS";
const BY_LAYER: &str = "BYLAYER";
/// In model space that is continuous.
const BY_BLOCK: &str = "BYBLOCK";

/// The records of layers and of linetypes.
#[derive(Debug)]
pub(super) struct LayerTable {
    /// Layers that are off, frozen or never plotted, by their names in capitals.
    hidden: HashMap<String, HiddenBy>,
    /// The linetypes of each layer, both in capitals: of two records both.
    of_layers: HashMap<String, Vec<String>>,
    /// Whether any record of a linetype, by its name in capitals, has dashes.
    dashed: HashMap<String, bool>,
}

impl LayerTable {
    pub(super) fn new() -> Self {
        let hidden = HashMap::from([(NEVER_PLOTTED.to_string(), HiddenBy::NeverPlots)]);
        Self { hidden, of_layers: HashMap::new(), dashed: HashMap::new() }
    }

    /// A layer is frozen by its first flag, and off where its colour is negative; of two flags or
    /// colours a reader may take either.
    ///
    /// # Errors
    /// If a flag or a colour is no number.
    pub(super) fn layer(&mut self, record: &Entity<'_>, file: &str) -> Result<(), Error> {
        let (mut is_off, mut is_plotted) = (false, true);
        for pair in &record.pairs {
            is_off |= match pair.code {
                70 => whole(file, pair)? & 1 == 1,
                62 => whole(file, pair)? < 0,
                _ => false,
            };
            is_plotted &= pair.code != 290 || whole(file, pair)? != 0;
        }
        let Some(name) = record.named(2).map(|name| name.to_ascii_uppercase()) else {
            return Ok(());
        };
        let linetypes = record.pairs.iter().filter(|pair| pair.code == 6);
        let linetypes =
            linetypes.map(|pair| String::from_utf8_lossy(pair.value).to_ascii_uppercase());
        self.of_layers.entry(name.clone()).or_default().extend(linetypes);
        if is_off {
            self.hidden.insert(name, HiddenBy::OffOrFrozen);
        } else if !is_plotted {
            self.hidden.entry(name).or_insert(HiddenBy::NeverPlots);
        }
        Ok(())
    }

    /// A linetype is continuous where it has no elements.
    ///
    /// # Errors
    /// If their count is no number.
    pub(super) fn linetype(&mut self, record: &Entity<'_>, file: &str) -> Result<(), Error> {
        let Some(name) = record.named(2) else { return Ok(()) };
        let mut is_dashed = false;
        for pair in &record.pairs {
            is_dashed |= pair.code == 49 || pair.code == 73 && whole(file, pair)? != 0;
        }
        *self.dashed.entry(name.to_ascii_uppercase()).or_default() |= is_dashed;
        Ok(())
    }

    /// Why a shop does not see what lies on a layer, where it does not.
    pub(super) fn hidden(&self, layer: &str) -> Option<HiddenBy> {
        self.hidden.get(&layer.to_ascii_uppercase()).copied()
    }

    /// The linetype of what lies on a layer and says a linetype of its own, or none, if it is not
    /// known to be continuous.
    pub(super) fn dashes(&self, layer: &str, own: Option<&str>) -> Option<String> {
        let own = own.unwrap_or(BY_LAYER).to_ascii_uppercase();
        let of_layer = self.of_layers.get(&layer.to_ascii_uppercase());
        let said = match of_layer {
            _ if own != BY_LAYER => vec![own.clone()],
            of_layer => of_layer.cloned().unwrap_or_default(),
        };
        let is_solid = |name: &String| {
            let plain = [CONTINUOUS, BY_LAYER, BY_BLOCK].contains(&name.as_str());
            self.dashed.get(name).map_or(plain, |is_dashed| !is_dashed)
        };
        said.into_iter().find(|name| !is_solid(name))
    }
}

impl Default for LayerTable {
    fn default() -> Self {
        Self::new()
    }
}
