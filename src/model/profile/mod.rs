//! Machines, materials, rule sets and timber: small TOML files, embedded in the binary or taken
//! from a path.

mod catalogue;
mod density;
mod file_kind;
pub(crate) mod guess;
mod heights;
mod hold;
mod kind;
mod laser;
mod live_load;
mod machine;
mod material;
mod ranges;
pub mod reader;
mod rough;
mod router;
mod rules;
mod timber;
mod toml_words;
mod tool;
pub(crate) mod typing;
mod words;

pub use catalogue::{Source, embedded, embedded_names, is_path, names_of};
pub use density::{DENSITIES, Density, read_density, weight_kg};
pub use file_kind::{FileKind, kind_of_bytes};
pub use guess::nearest;
pub use heights::Park;
pub use hold::{Hold, TabEnds, TabSizes};
pub use kind::{TextKind, kind_of_text, names_in_cut, profile_kind};
pub use laser::{BeamPower, Laser, LaserCut};
pub use machine::{Arcs, CommentStyle, DwellUnit, EndWord, Machine, ProgramUnits, ZZero};
pub use material::{Form, Grain, Material, Treatment};

pub use live_load::{LiveLoad, MOST_TIMES, PointOn};
pub use rough::Rough;
pub use router::{Finish, MarkTool, Router};
pub use rules::{
    Breach, Held, LandingRule, Limit, Measure, ON_THE_LIMIT, Risers, Rules, SawnTo, Scope,
    SiteMatter, Unchecked, When,
};
pub use timber::{
    AlsoFactor, Bending, BySize, Movement, On, System, TimberFactors, TimberTable, Wood,
};
pub use tool::Tool;
pub use words::{
    AirWord, ArcCentres, BeamWord, LineEnds, PathControl, TOOL_OVER, ToolTable, Words,
};
