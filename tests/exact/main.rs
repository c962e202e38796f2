//! Is what the library answers right? Against slow enumeration, mechanisms, handbooks; one module a
//! question.

mod bracket;
mod cancelled;
mod dial;
mod no_panic;
mod oracle;
mod properties;
mod regression;
mod runs;
mod scratch;
mod stories;
mod why;
mod worked;
