//! The command `lineset`.

use report::cli::{self, Workshop};
use std::process::ExitCode;

fn main() -> ExitCode {
    cli::run(std::env::args_os(), &Workshop)
}
