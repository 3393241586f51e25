//! Which boards to buy and how to saw them into lengths: one-dimensional cutting stock with a lower bound.
