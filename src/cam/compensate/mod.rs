//! Stage 5: from the finished part to the line that the tool's centre follows.
//!
//! Each compensation is applied once: what follows a pattern makes the piece smaller, the tool's
//! radius moves the path outside it, inside corners get their relief. The ledger says what was
//! done.

mod ally;
mod ledger;
mod piece;
mod pocket;
mod relief;
mod tool_path;

pub use ledger::{Ledger, LedgerEntry};
pub use pocket::{PocketPath, PocketWay};
pub use tool_path::{PathRole, ToolPath, compensate, compensate_piece, roughed};
