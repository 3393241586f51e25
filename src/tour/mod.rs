//! In which order to visit places, each by one of several ways in and out: the shortest way between them.
