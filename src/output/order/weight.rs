//! What an order weighs, for whoever carries it.

use super::sheet::OrderLine;
use crate::job::Job;
use crate::units::weight;

/// The weight of a whole order.
#[derive(Clone, Debug, PartialEq)]
pub struct OrderWeight {
    /// Of all pieces that it is known of, in kg.
    pub kg: f64,
    /// The parts that it is not known of, or of which the job says no number.
    pub without: Vec<String>,
    /// By which figures.
    sources: Vec<String>,
}

impl OrderWeight {
    /// Of the lines of an order; none where it is not known of any.
    pub(super) fn of(job: &Job, lines: &[OrderLine]) -> Option<Self> {
        let all = |line: &OrderLine| Some(line.weight_kg? * f64::from(line.quantity?));
        let known: Vec<f64> = lines.iter().filter_map(all).collect();
        let unknown = lines.iter().filter(|line| all(line).is_none());
        let material = &job.cut.material;
        let of_material = material.density.as_ref().map(|of| of.told_of(&material.name));
        let is_weighed = |line: &&OrderLine| line.file.is_none() && line.weight_kg.is_some();
        let of_steps = steps_density(job).filter(|_| lines.iter().any(|line| is_weighed(&line)));
        let of_steps =
            of_steps.map(|kg_m3| format!("boards of {} kg/m3 as the job says", kg_m3.round()));
        (!known.is_empty()).then(|| Self {
            kg: known.iter().sum(),
            without: unknown.map(|line| line.part.clone()).collect(),
            sources: of_material.into_iter().chain(of_steps).collect(),
        })
    }

    /// It in words.
    pub(super) fn words(&self) -> String {
        let without = match &self.without[..] {
            [] => String::new(),
            of => format!(", without {}", of.join(", ")),
        };
        format!("{}{without}", weight(self.kg))
    }

    /// What it rests on.
    pub(super) fn caution(&self) -> String {
        format!(
            "Weights are for carrying, by {}: wet or treated wood weighs more, weigh one piece.",
            self.sources.join("; ")
        )
    }
}

/// How heavy the wood of treads and riser boards is, where the job says so.
pub(super) fn steps_density(job: &Job) -> Option<f64> {
    job.steps.as_ref().and_then(|steps| steps.density_kg_m3)
}
