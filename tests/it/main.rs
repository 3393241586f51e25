//! Every integration test, as one binary: linked once.

#[allow(dead_code, reason = "each helper serves some of the tests")]
mod common;

mod again;
mod any_machine;
mod architecture;
mod ask;
mod beam_table;
mod bench_sheet;
mod clamps;
mod cleats;
mod cli;
mod cut_list;
mod dialects;
mod diff;
mod draft;
mod ends;
#[cfg(unix)]
mod files;
mod findings;
mod finish;
mod first_use;
mod fit;
mod frames;
mod given;
mod headroom;
mod holding;
mod hostile;
mod housed;
mod kept_inputs;
mod landings;
mod mark_time;
mod marks;
mod marks_proof;
mod nesting;
mod notched;
mod one_offcut;
mod order;
mod orders;
mod packing;
mod pages;
mod park;
mod profile;
mod properties;
mod rack;
mod rough;
mod rule_limits;
mod samples;
mod set;
mod shift;
mod shop_drawing;
mod shop_files;
mod site;
mod skirt;
mod slips;
mod split;
mod square;
mod starter;
mod steps;
mod strength_cli;
mod tamper;
mod tight_sheets;
mod verdict;
mod whose;

#[path = "../outside/mod.rs"]
mod outside;
