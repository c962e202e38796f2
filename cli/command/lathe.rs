//! `lathe show` and `lathe check`: what does the program understand of a lathe?

use crate::args::Machine;
use crate::failure::Failure;
use crate::report::Report;

/// Answers `lathe show`.
///
/// # Errors
/// If the lathe can't be used.
pub(super) fn show(_: &Machine) -> Result<Report, Failure> {
    Ok(Report::new())
}

/// Answers `lathe check`.
///
/// # Errors
/// If the file can't be used.
pub(super) fn check(_: &str) -> Result<Report, Failure> {
    Ok(Report::new())
}
