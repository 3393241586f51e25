//! Machines, materials and rule sets: small TOML files, embedded in the binary or taken from a path.

mod catalogue;
mod machine;
mod material;
pub mod reader;
mod rules;

pub use catalogue::{Source, embedded, embedded_names, is_path};
pub use machine::{
    Arcs, BeamWord, CommentStyle, DwellUnit, EndWord, Laser, Machine, MarkTool, ProgramUnits, Router, Tool, ZZero,
};
pub use material::{Form, Grain, Material, Treatment};

pub use rules::{Breach, Limit, Measure, ON_THE_LIMIT, Rules, Unchecked};
