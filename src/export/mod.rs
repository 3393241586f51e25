//! Stage 7: bytes. DXF, G-code, drawing, bench sheet, report. It decides no geometry; the same input gives the same bytes.

pub mod bench;
pub mod drawing;
pub mod dxf;
pub mod gcode;
pub mod report;
mod report_build;
mod stamp;

pub use report_build::{file_report, program_report};
pub use stamp::Stamp;
