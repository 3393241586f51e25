//! stub
#![allow(missing_docs)]
use crate::{finding::*, measure::*, outline::*, solve::*, units::*};
pub fn drawing(_: &Job, _: &Fingerprint, _: &Flight, _: &Outline, _: Length, _: &[Finding]) -> String {
    String::new()
}
