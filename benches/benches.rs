//! Speed, always as a ratio against the naive method in the same run: `cargo bench`, or
//! `cargo bench -- --quick` for the small sets only; `-- search`, `-- bracket` for one part.

#![allow(missing_docs, reason = "a program, not a library")]
#![expect(clippy::print_stdout, reason = "it reports to the person who runs it")]

mod bracket;
mod search;

fn main() {
    // `cargo test` runs benches without `--bench`: nothing to measure there.
    let args: Vec<String> = std::env::args().collect();
    let quick = args.iter().any(|a| a == "--quick");
    println!("{} cores; times vary, trust the ratios", rayon::current_num_threads());
    let only = |name: &str| args.iter().any(|a| a == name);
    if !only("bracket") {
        search::run(quick);
    }
    if !only("search") {
        bracket::run(quick);
    }
}
