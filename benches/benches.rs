//! Speed, always as a ratio against the naive method in the same run: `cargo bench`, or
//! `cargo bench -- --quick` for the small sets only; `-- search`, `-- bracket`,
//! `-- plan`, `-- buy`, `-- serve` for one part.

#![allow(missing_docs, reason = "a program, not a library")]
#![expect(clippy::print_stdout, reason = "it reports to the person who runs it")]

mod bracket;
mod buy;
mod plan;
mod search;
mod serve;

/// One part; quick or not.
type Part = fn(bool);

fn main() {
    // `cargo test` runs benches without `--bench`: nothing to measure there.
    let args: Vec<String> = std::env::args().collect();
    let quick = args.iter().any(|a| a == "--quick");
    println!("{} cores; times vary, trust the ratios", rayon::current_num_threads());
    let parts: [(&str, Part); 5] = [
        ("search", search::run),
        ("bracket", bracket::run),
        ("plan", plan::run),
        ("buy", buy::run),
        ("serve", serve::run),
    ];
    let chosen = parts.iter().any(|(name, _)| args.iter().any(|a| a == name));
    for (name, run) in parts {
        if !chosen || args.iter().any(|a| a == name) {
            run(quick);
        }
    }
}
