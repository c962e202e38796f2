//! A long run: rows go out while others are worked out, Ctrl-C ends it with what there is, and a
//! closed pipe is no failure.

use super::many_levers;
use crate::util::{Run, fresh, names, program};
use serde_json::Value;
use std::io::{BufRead, BufReader, Read};
use std::path::Path;
use std::process::{Child, Stdio};
use tempfile::TempDir;

/// Hundreds of thousands of leads: minutes of work.
const LONG: [&str; 9] = [
    "reach",
    "--gears",
    "20,21,24,25,28,30,32,35,36,38,40,44,45,46,48,50,52,54,55,57,60,63,65,70,72,75,80,85,90,95,100,127",
    "--screw",
    "8tpi",
    "--studs",
    "2",
    "--pairs",
    "3",
];

fn start(folder: &Path, args: &[&str]) -> Child {
    let mut command = program(folder, args);
    command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap()
}

#[cfg(unix)]
fn interrupt(child: &Child) {
    let id = child.id().to_string();
    let kill = std::process::Command::new("kill").args(["-INT", &id]).status();
    assert!(kill.unwrap().success());
}

/// Reads lines until one has the words.
fn until(from: &mut impl BufRead, words: &str) -> String {
    let mut read = String::new();
    loop {
        let before = read.len();
        assert!(from.read_line(&mut read).unwrap() > 0, "no {words} in {read}");
        if read[before..].contains(words) {
            return read;
        }
    }
}

#[cfg(unix)]
#[test]
fn ctrl_c_ends_the_rows_with_what_there_is() {
    let folder = fresh();
    let mut child = start(folder.path(), &[&LONG[..], &["--no-fit", "-f", "json"]].concat());
    let mut out = BufReader::new(child.stdout.take().unwrap());
    let mut text = until(&mut out, "\"train\"");
    interrupt(&child);
    out.read_to_string(&mut text).unwrap();
    let run: Run = child.wait_with_output().unwrap().into();
    assert_eq!(run.code, 130, "{}", run.err);
    assert!(run.err.contains("the best so far follows"), "{}", run.err);
    let found: Value = serde_json::from_str(&text).unwrap();
    let leads = found["leads"].as_array().unwrap();
    let summary = &found["summary"];
    assert_eq!(summary["complete"], false);
    assert_eq!(summary["leads"], leads.len());
    assert_eq!(summary["longest"]["lead_mm"], leads.last().unwrap()["lead_mm"]);
    // Nobody knows yet whether 6 mm is missed.
    let standards = summary["standards"].as_array().unwrap();
    let six = standards.iter().find(|s| s["lead_mm"] == "6").unwrap();
    assert_eq!(six["state"], Value::Null);
    let schema: Value =
        serde_json::from_str(include_str!("../../gearsets/reach.schema.json")).unwrap();
    jsonschema::validate(&schema, &found).unwrap();
}

#[cfg(unix)]
#[test]
fn ctrl_c_leaves_a_whole_file() {
    let folder = fresh();
    let mut child = start(folder.path(), &[&LONG[..], &["--no-fit", "-o", "rows.csv"]].concat());
    until(&mut BufReader::new(child.stderr.take().unwrap()), "leads to go through");
    // Until rows are written beside the file there is nothing to end.
    let begun = || {
        let entries = std::fs::read_dir(folder.path()).unwrap();
        entries.filter_map(Result::ok).any(|e| e.metadata().is_ok_and(|m| m.len() > 0))
    };
    while !begun() {
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    assert!(!names(folder.path()).contains(&"rows.csv".to_string()));
    interrupt(&child);
    assert_eq!(child.wait().unwrap().code(), Some(130));
    assert_eq!(names(folder.path()), ["rows.csv"]);
    let rows = std::fs::read_to_string(folder.path().join("rows.csv")).unwrap();
    let mut reader = ::csv::Reader::from_reader(rows.as_bytes());
    assert!(reader.records().all(|row| row.unwrap().len() == 17));
    assert!(rows.ends_with('\n'));
}

#[cfg(unix)]
#[test]
fn ctrl_c_leaves_a_page_that_says_so() {
    let folder = fresh();
    let mut child = start(folder.path(), &[&LONG[..], &["--no-fit"]].concat());
    let mut err = BufReader::new(child.stderr.take().unwrap());
    until(&mut err, "leads to go through");
    interrupt(&child);
    let run: Run = child.wait_with_output().unwrap().into();
    assert_eq!(run.code, 130);
    assert!(run.out.contains("Ended early: "), "{}", run.out);
    let mut rest = String::new();
    err.read_to_string(&mut rest).unwrap();
    assert!(rest.contains("the best so far follows"), "{rest}");
}

#[test]
fn a_closed_pipe_ends_it_quietly() {
    let folder = fresh();
    for format in ["csv", "json"] {
        let args = [&LONG[..], &["--no-fit", "-q", "-f", format]].concat();
        let mut child = start(folder.path(), &args);
        let mut out = BufReader::new(child.stdout.take().unwrap());
        until(&mut out, "46");
        drop(out);
        let run: Run = child.wait_with_output().unwrap().into();
        assert_eq!((run.code, run.err.as_str()), (0, ""), "{format}");
    }
}

/// Rows are not held: after thirty thousand of them memory is what it was after a few.
#[cfg(target_os = "linux")]
#[test]
fn memory_does_not_grow_with_the_rows() {
    let folder: TempDir = fresh();
    std::fs::write(folder.path().join("lathe.json"), many_levers(400)).unwrap();
    let args = ["reach", "--pairs", "1", "--no-fit", "-f", "csv"];
    let mut child = start(folder.path(), &args);
    let mut out = BufReader::new(child.stdout.take().unwrap()).lines();
    let kilobytes = || -> u64 {
        let status = std::fs::read_to_string(format!("/proc/{}/status", child.id())).unwrap();
        let line = status.lines().find(|line| line.starts_with("VmRSS:")).unwrap();
        line.split_whitespace().nth(1).unwrap().parse().unwrap()
    };
    assert!(out.nth(1000).unwrap().is_ok());
    let early = kilobytes();
    assert!(out.nth(30_000).unwrap().is_ok());
    let late = kilobytes();
    assert!(late < early + 8_000, "{early} kB, then {late} kB");
    drop(out);
    child.kill().unwrap();
    child.wait().unwrap();
}
