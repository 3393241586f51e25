//! Stage 7: bytes. DXF, G-code, drawing, bench sheet, order, report. It decides no geometry; the
//! same input gives the same bytes.

mod again;
pub mod around_report;
pub mod batch_row;
pub mod batch_table;
pub mod bench;
mod board_edge;
pub mod content;
pub mod cost_report;
mod csv;
pub mod diff_report;
pub mod drawing;
pub mod dxf;
pub mod fit_report;
pub mod frame;
pub mod gcode;
pub mod judged_report;
pub mod labels;
pub mod order;
pub mod page;
pub mod pages;
mod program_heading;
mod program_report;
pub mod report;
mod report_build;
pub mod saw_list;
pub mod set_report;
pub mod set_text;
pub mod sheet_picture;
mod spelling;
pub mod square;
mod stamp;
pub mod steps_report;
mod tool_words;
pub mod whole_report;

pub use program_heading::TO_VERIFY_OFFCUTS;
pub use report_build::{file_report, program_report};
pub use stamp::{Run, Stamp, program_name};
