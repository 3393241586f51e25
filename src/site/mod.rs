//! The site as it is: ground that falls, floors out of level, where stringers stand and how their
//! heads meet the framing. Figures only; local code and licensed practice decide.

mod across;
pub mod answers;
pub mod as_built;
pub mod beam;
mod falling;
mod grade;
mod head_joint;
mod joint_sketch;
pub mod moisture;
mod seat;
mod stringers;

#[cfg(test)]
mod tests;

pub use across::{AcrossFit, Basis, BottomRiser, Readings, Trim};
pub use falling::{FallingGround, Landed, Landing};
pub use grade::Grade;
pub use head_joint::{HeadJoint, flush_caution};
pub use joint_sketch::{JointSketch, Label};
pub use seat::SeatOnGround;
pub use stringers::{StringerLayout, StringerMark};
