//! What is typed for `threads`.

use clap::Args as ClapArgs;

#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  trainwright threads m10
  trainwright threads 19 tpi
  trainwright threads 1.0..1.1mm
  trainwright threads 13.1 mm 19 tpi      a thread that was measured: nearest first")]
pub(crate) struct Threads {
    /// What to look for: a name, a diameter, a pitch, a range of pitches; nothing: the series
    #[arg(value_name = "WORDS")]
    pub(crate) words: Vec<String>,
}
