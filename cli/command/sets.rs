//! `sets`: which gear sets and demo lathes come with the program?

use crate::args::Sets;
use crate::failure::Failure;
use crate::report::Report;

/// Answers `sets`.
///
/// # Errors
/// If there is no set of the name asked for.
pub(super) fn run(_: &Sets) -> Result<Report, Failure> {
    Ok(Report::new())
}
