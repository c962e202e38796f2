//! The program. All of it is in the library beside it, so that tests and fuzz targets reach it.

use std::process::ExitCode;

fn main() -> ExitCode {
    trainwright::main()
}
