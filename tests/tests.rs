//! The only test binary: one module a question.

mod bad_files;
mod bracket;
mod browser;
mod buy;
mod card;
mod check;
mod cli;
mod dial;
mod drawing;
mod find;
mod floors;
mod gear;
mod gearsets;
#[path = "../cli/input.rs"]
#[allow(dead_code, unused_imports, reason = "the program uses what the tests do not")]
mod input;
mod jobs;
mod joined;
mod large;
mod lathe;
mod learn;
mod limits;
mod new;
mod no_panic;
mod oracle;
mod properties;
mod reach;
mod readme;
mod regression;
mod render;
mod scratch;
mod scripts;
mod stories;
mod supply;
mod table;
mod too_close;
mod util;
mod worked;
