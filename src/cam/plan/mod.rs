//! Stage 6: where the part lies, in what order it is cut, passes, leads, tabs, feeds.
//!
//! A program is a list of steps in the stock frame: X0 Y0 at the material's lower left corner,
//! heights from its top face, negative into it.

mod abilities;
mod again;
mod alone;
mod aside;
mod beyond;
mod board;
mod by_tool;
mod chords;
mod clamps;
mod extents;
mod hold;
mod hole;
mod laser;
mod lead;
mod marks;
mod pocket;
mod program;
mod ramp;
mod rough;
mod round;
mod router;
mod sheet;
mod shift;
mod span;
mod split;
mod square;
mod tab_profile;
mod tabs;
mod time;
mod travels;
mod walk;

pub use crate::check::StockBox;
pub use again::Again;
pub use alone::plan;
pub use aside::crosses;
pub use beyond::{Beyond, StockEdge};
pub use by_tool::refusals as machine_refusals;
pub use clamps::{
    ClampBox, FROM_CLAMP_MM, OVER_CLAMP_IN, beside_stock, clamps_on_piece, lies_alone,
};
pub use extents::Extents;
pub use marks::{Marking, Planned, plan_marked};
pub use program::{FeedKind, Placed, Program, Step, Task};
pub use rough::Roughing;
pub use sheet::{Sheet, SheetPrograms, Tooled, plan_sheet, roomy_spacing};
pub use shift::{SetUp, SetUps};
pub use split::{longest_piece, split_pattern};
pub use square::{SquareProgram, plan_square};
pub use tabs::{Down, Tab};
pub use time::{Leg, Motion, chain_time_s, feed_mm_min};
pub use travels::home;
