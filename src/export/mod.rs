//! Stage: bytes. Drawing exchange files, programs, drawings and the report; decides no geometry.

pub mod drawing;
pub mod sheet;
