//! What is handed on with the program: under which licences, and is all of it there?

use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::Command;

/// Licences (SPDX) under which a part of the program may come.
const ALLOWED: [&str; 10] = [
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "CC0-1.0",
    "ISC",
    "MIT",
    "MPL-2.0",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// Our own packages.
const OURS: [&str; 2] = ["trainwright", "trainwright-solver"];

/// Whether an SPDX expression can be kept by keeping to [`ALLOWED`]. The old `MIT/Apache-2.0` is an
/// "or" (Cargo book, "The license and license-file fields"); "and" binds tighter than "or" (SPDX
/// specification 2.3, annex D.4).
fn is_allowed(expression: &str) -> bool {
    let spaced = expression.replace('/', " OR ").replace('(', " ( ").replace(')', " ) ");
    let mut words = spaced.split_whitespace().collect::<Vec<_>>().into_iter().peekable();
    any(&mut words) && words.next().is_none()
}

type Words<'t> = std::iter::Peekable<std::vec::IntoIter<&'t str>>;

fn any(words: &mut Words) -> bool {
    let mut holds = all(words);
    while words.next_if_eq(&"OR").is_some() {
        holds |= all(words);
    }
    holds
}

fn all(words: &mut Words) -> bool {
    let mut holds = one(words);
    while words.next_if_eq(&"AND").is_some() {
        holds &= one(words);
    }
    holds
}

/// An exception only adds to what a licence permits.
fn one(words: &mut Words) -> bool {
    match words.next() {
        Some("(") => any(words) && words.next() == Some(")"),
        Some(licence) => {
            if words.next_if_eq(&"WITH").is_some() {
                words.next();
            }
            ALLOWED.contains(&licence)
        }
        None => false,
    }
}

#[test]
fn expressions_are_read_as_spdx_does() {
    for good in [
        "MIT",
        "MIT/Apache-2.0",
        "(MIT OR Apache-2.0) AND Unicode-3.0",
        "Apache-2.0 WITH LLVM-exception OR GPL-2.0-only",
        "GPL-3.0-only AND MIT OR ISC",
    ] {
        assert!(is_allowed(good), "{good}");
    }
    for bad in
        ["", "GPL-3.0-only", "MIT AND GPL-3.0-only", "MIT AND (AGPL-3.0 OR SSPL-1.0)", "(MIT"]
    {
        assert!(!is_allowed(bad), "{bad}");
    }
}

fn cargo(args: &[&str]) -> Result<String, String> {
    let output = Command::new(env!("CARGO")).args(args).current_dir(root()).output();
    let output = output.map_err(|e| e.to_string())?;
    let text = |bytes| String::from_utf8_lossy(bytes).into_owned();
    if output.status.success() { Ok(text(&output.stdout)) } else { Err(text(&output.stderr)) }
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// All that could be built in on any system; where that can't be fetched, on this system.
fn metadata() -> Value {
    let asked = ["metadata", "--format-version", "1", "--locked"];
    let text = cargo(&asked).unwrap_or_else(|_| {
        let version = Command::new("rustc").arg("-vV").output().expect("rustc runs").stdout;
        let version = String::from_utf8(version).expect("UTF-8");
        let host = version.lines().find_map(|l| l.strip_prefix("host: ")).expect("a host");
        let here = ["--offline", "--filter-platform", host];
        cargo(&[&asked[..], &here[..]].concat()).expect("cargo knows what was built")
    });
    serde_json::from_str(&text).expect("JSON")
}

fn list<'v>(value: &'v Value, key: &str) -> &'v [Value] {
    value[key].as_array().map_or(&[], Vec::as_slice)
}

fn text<'v>(value: &'v Value, key: &str) -> &'v str {
    value[key].as_str().unwrap_or_default()
}

/// Ids of the packages that the program and the library are built with or from, our own included;
/// not those for tests alone.
fn shipped(metadata: &Value) -> BTreeSet<&str> {
    let nodes: BTreeMap<&str, &Value> =
        list(&metadata["resolve"], "nodes").iter().map(|n| (text(n, "id"), n)).collect();
    let own = list(metadata, "workspace_members").iter().filter_map(Value::as_str);
    let mut open: Vec<&str> = own.collect();
    let mut found = BTreeSet::new();
    while let Some(id) = open.pop() {
        if found.insert(id) {
            let deps = list(nodes[id], "deps").iter();
            let kept =
                deps.filter(|d| list(d, "dep_kinds").iter().any(|k| text(k, "kind") != "dev"));
            open.extend(kept.map(|d| text(d, "pkg")));
        }
    }
    found
}

#[test]
fn every_part_of_the_program_comes_under_an_allowed_licence() {
    let metadata = metadata();
    let shipped = shipped(&metadata);
    let parts: Vec<&Value> =
        list(&metadata, "packages").iter().filter(|p| shipped.contains(text(p, "id"))).collect();
    let names: BTreeSet<&str> = parts.iter().map(|p| text(p, "name")).collect();
    for name in ["trainwright", "trainwright-solver", "clap", "rayon", "unicode-ident"] {
        assert!(names.contains(name), "{name} is a part");
    }
    for name in ["proptest", "snapbox", "good_lp"] {
        assert!(!names.contains(name), "{name} is for tests alone");
    }
    let bad: Vec<String> = parts
        .iter()
        .filter(|p| !is_allowed(text(p, "license")))
        .map(|p| format!("{}: `{}`", text(p, "name"), text(p, "license")))
        .collect();
    assert!(bad.is_empty(), "not under an allowed licence: {}", bad.join(", "));
}

/// Files of the package of one of our crates.
fn packaged(name: &str) -> BTreeSet<String> {
    let asked = ["package", "--list", "--allow-dirty", "--offline", "--locked", "-p", name];
    cargo(&asked).expect("a list").lines().map(|l| l.replace('\\', "/")).collect()
}

#[test]
fn packages_hold_their_licences_and_no_tests() {
    for name in OURS {
        let files = packaged(name);
        for wanted in ["LICENSE-APACHE", "LICENSE-MIT", "README.md", "Cargo.toml"] {
            assert!(files.contains(wanted), "{name} hands on {wanted}");
        }
        let stray =
            |f: &&String| ["tests/", "benches/", "target/", ".ci"].iter().any(|s| f.starts_with(s));
        assert_eq!(files.iter().find(stray), None, "{name}");
    }
}

#[test]
fn the_package_of_the_program_holds_all_that_is_built_in() {
    let files = packaged("trainwright");
    for entry in std::fs::read_dir(root().join("gearsets")).unwrap() {
        let name = format!("gearsets/{}", entry.unwrap().file_name().to_string_lossy());
        assert!(files.contains(&name), "{name}");
    }
    for built_in in ["cli/main.rs", "cli/render/html/looks.css", "cli/render/html/wall.js"] {
        assert!(files.contains(built_in), "{built_in}");
    }
}

#[test]
fn the_library_hands_on_the_same_licences_as_the_program() {
    for name in ["LICENSE-APACHE", "LICENSE-MIT"] {
        let read = |folder: &Path| std::fs::read_to_string(folder.join(name)).unwrap();
        assert!(read(&root().join("solver")) == read(root()), "{name} differs");
    }
}

/// Every source of both packages is packed: cargo leaves out what lies in a folder called `target`.
#[test]
fn each_source_is_in_its_package() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    for (package, base, folder) in [(OURS[0], "", "cli"), (OURS[1], "solver", "")] {
        let listed = Command::new(env!("CARGO"))
            .args(["package", "--list", "--allow-dirty", "--offline", "-p", package])
            .current_dir(root)
            .output()
            .unwrap();
        let listed = String::from_utf8(listed.stdout).unwrap();
        let listed: BTreeSet<&str> = listed.lines().collect();
        let base = root.join(base);
        let mut open = vec![base.join(folder)];
        let mut sources = 0;
        while let Some(folder) = open.pop() {
            for entry in std::fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    open.push(path);
                } else if path.extension().is_some_and(|end| end == "rs") {
                    let name = path.strip_prefix(&base).unwrap().to_str().unwrap();
                    assert!(listed.contains(name), "{package}: {name}");
                    sources += 1;
                }
            }
        }
        assert!(sources > 50, "{package}: {sources}");
    }
}
