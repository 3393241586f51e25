//! What each finding about the site means and what to do, for `seatcut explain`.

use crate::finding::{Explanation, explained};

/// Every code that the site can find.
pub const EXPLANATIONS: &[Explanation] = &[];
