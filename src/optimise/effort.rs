//! How hard a search tries, the one word for it in all three rooms.

/// How hard to search. The same effort gives the same answer: work is counted, no clock is read.
///
/// What a level buys is said by each search; every search takes any level.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// 0: the constructions, or one descent; each step more searches longer.
    pub level: u32,
    /// Where random choices start.
    pub seed: u64,
}

impl Effort {
    /// What is worth it without being asked.
    pub const NORMAL: Self = Self { level: 1, seed: 1 };
    /// For what will be made many times.
    pub const RAISED: Self = Self { level: 2, seed: 1 };
}
