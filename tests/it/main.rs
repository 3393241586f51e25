//! Every integration test, as one binary: linked once.

#[allow(dead_code)]
mod common;

mod architecture;
mod bench_sheet;
mod cli;
mod diff;
mod findings;
mod fit;
mod hostile;
mod housed;
mod kept_inputs;
mod marks;
mod marks_proof;
mod nesting;
mod order;
mod packing;
mod pages;
mod properties;
mod samples;
mod set;
mod shift;
mod shop_drawing;
mod site;
mod skirt;
mod split;
mod strength_cli;
mod tamper;

#[path = "../outside/mod.rs"]
mod outside;
