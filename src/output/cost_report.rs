//! What a set costs, in its report.

#![allow(missing_docs, reason = "the names are the report's own and carry their units")]

use serde::Serialize;

use crate::pipeline::set::Cost;

/// What a set costs.
#[derive(Clone, Debug, Serialize)]
pub struct CostReport {
    pub currency: String,
    pub boards: f64,
    pub sheets: f64,
    pub machine: f64,
    /// None where something of it has no price.
    pub total: Option<f64>,
    /// What has none; it is in none of the figures.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub unpriced: Vec<String>,
}

impl From<Cost> for CostReport {
    fn from(of: Cost) -> Self {
        let total = of.total();
        let Cost { currency, boards, sheets, machine, unpriced } = of;
        Self { currency, boards, sheets, machine, total, unpriced }
    }
}
