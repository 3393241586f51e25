//! A flight as it was built: which risers fail, and what shims or trims would bring them in.
