//! Wood that moves: how width changes with moisture.
