//! What lines of the part say beside their shape: their linetype, their handles, the spelling of
//! their layers, and whether the version of the file has such entities.

use std::collections::{HashMap, HashSet};

use super::contents::Drawing;
use super::findings::Findings;
use super::layers::judged;
use crate::diagnostics::codes;

/// Tells what makes some readers leave out lines that are judged.
pub(super) fn tell(drawing: &Drawing, findings: &mut Findings<'_>) {
    let (mut dashed, mut spelled, mut told) = (HashSet::new(), HashMap::new(), HashSet::new());
    for figure in judged(drawing) {
        let (line, layer) = (figure.line, figure.layer.escape_debug().to_string());
        let own = figure.said.linetype.as_deref();
        if dashed.insert((&figure.layer, own))
            && let Some(linetype) = drawing.layers.dashes(&figure.layer, own)
        {
            let (layer, linetype) = (layer.clone(), linetype.escape_debug().to_string());
            findings.at_line(codes::DrawingDashed { layer, linetype }, line);
        }
        let first = *spelled.entry(figure.layer.to_ascii_uppercase()).or_insert(&figure.layer);
        if *first != figure.layer && told.insert(&figure.layer) {
            let (layer, other) = (first.escape_debug().to_string(), layer.clone());
            findings.at_line(codes::DrawingLayerSpelled { layer, other }, line);
        }
        if drawing.is_handle_shared(&figure.said) {
            let (entity, layer) = ("a line with the handle of another".to_string(), layer.clone());
            findings.at_line(codes::DrawingEntity { entity, layer }, line);
        }
        if let Some(entity) = figure.said.too_new.filter(|_| drawing.is_old) {
            findings.at_line(codes::DrawingEntity { entity: entity.to_string(), layer }, line);
        }
    }
}
