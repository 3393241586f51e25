//! The command: everything it does is in the library's `cli`.

use std::process::ExitCode;

fn main() -> ExitCode {
    seatcut::cli::run()
}
