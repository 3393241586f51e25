//! The beam check as text: every check, every factor, the published limits, the remedies, the caution.

use super::sections::line;
use crate::strength::{Adjusted, Bound, CAUTION, Check, PublishedLimit, Remedy, Strength};
use crate::surround::Beam;
use crate::units::{Length, decimal, trimmed};

/// The section about strength.
pub(super) fn strength(beam: &Beam) -> String {
    let strength = &beam.strength;
    let input = &beam.input;
    let mut text = format!("\nStrength: {} {}\n", input.wood.species, input.wood.grade);
    let live = format!("{} psf [{}]", trimmed(input.loads.live_psf, 2), input.loads.source);
    text += &line("live load", live);
    if let Some(pounds) = input.loads.point_lb {
        text += &line("or on one spot", format!("{} lb", trimmed(pounds, 1)));
    }
    text += &line("dead load", format!("{} psf [{}]", trimmed(input.loads.dead_psf, 2), beam.dead_source));
    text += &line("governs", format!("the {} stringers", strength.line));
    text += &line("clear span of a bay", Length::inches(strength.bay_in));
    text += &line("width carried by a ply", Length::inches(strength.load_width_in));
    let (depth, breadth) = (strength.section.depth_in, strength.section.breadth_in);
    text += &line("section", format!("{} x {}: throat by thickness", Length::inches(depth), Length::inches(breadth)));
    let mut sources = Sources::default();
    text += &checks(strength, &mut sources);
    text += "  Design values\n";
    let design = &strength.design;
    for adjusted in [&design.bending, &design.shear, &design.modulus, &design.bearing] {
        text += &factors(adjusted, &mut sources);
    }
    text += "  Sources\n";
    text += &sources.listed();
    text += "  Published limits, a second opinion\n";
    text.extend(strength.published.iter().map(published));
    text += "  What would lower it, and whether that would do\n";
    text.extend(strength.remedies.iter().map(remedy));
    text + &format!("  {CAUTION}\n")
}

/// Sources by number, each listed once.
#[derive(Default)]
struct Sources(Vec<String>);

impl Sources {
    fn number(&mut self, source: &str) -> usize {
        let known = self.0.iter().position(|known| known == source);
        known.unwrap_or_else(|| {
            self.0.push(source.to_string());
            self.0.len() - 1
        }) + 1
    }

    fn listed(&self) -> String {
        self.0.iter().enumerate().map(|(i, source)| format!("    [{}] {source}\n", i + 1)).collect()
    }
}

fn checks(strength: &Strength, sources: &mut Sources) -> String {
    let columns = format!("{:<44}  {:<16}  {:>9}  {:>9}  {:>5}", "check", "under", "demand", "capacity", "share");
    let mut text = format!("  {columns}\n");
    for check in &strength.checks {
        text += &check_line(check, sources);
    }
    text
}

fn check_line(check: &Check, sources: &mut Sources) -> String {
    let unit = check.quantity.unit();
    let places = if unit == "in" { 3 } else { 0 };
    let figure = |value: f64| format!("{} {unit}", decimal(value, places));
    let (quantity, case) = (check.quantity.to_string(), check.case.to_string());
    let (demand, capacity) = (figure(check.demand), figure(check.capacity));
    let (share, source) = (decimal(check.utilisation(), 2), sources.number(&check.source));
    format!("  {quantity:<44}  {case:<16}  {demand:>9}  {capacity:>9}  {share:>5}  [{source}]\n")
}

fn factors(adjusted: &Adjusted, sources: &mut Sources) -> String {
    let value = trimmed(adjusted.value(), 1);
    let reference = trimmed(adjusted.reference, 1);
    let source = sources.number(&adjusted.source);
    let mut text = format!("    {}' = {value} psi, from {reference} psi [{source}]\n", adjusted.symbol);
    for factor in &adjusted.factors {
        let source = sources.number(&factor.source);
        text += &format!("      {} {}  {} [{source}]\n", factor.symbol, trimmed(factor.value, 4), factor.name);
    }
    text
}

fn published(limit: &PublishedLimit) -> String {
    let bound = match limit.bound {
        Bound::AtMost => "at most",
        Bound::AtLeast => "at least",
    };
    let met = if limit.is_met() { "met" } else { "not met" };
    format!("    {}: {}, {bound} {}: {met} [{}]\n", limit.what, limit.found, limit.limit, limit.source)
}

fn remedy(remedy: &Remedy) -> String {
    let verdict = match (remedy.utilisation, remedy.governs) {
        (Some(share), Some((quantity, _))) => {
            let passes = if remedy.suffices() { "would do" } else { "would not do" };
            format!("{passes}: {} of what it may be in {quantity}", decimal(share, 2))
        }
        _ => "no figure".to_string(),
    };
    format!("    {}: {verdict}\n", remedy.what)
}
