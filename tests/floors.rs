//! Does every import in the library point down the floors, and do the exact modules stay exact?

mod circles;

use circles::paths;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// Modules of the library, floor by floor from the bottom. A module may name those below it.
const FLOORS: [&[&str]; 11] = [
    &["error", "bounds", "watch"],
    &["number"],
    &["gear"],
    &["thread", "gearset", "caliper", "involute"],
    &["train", "designation", "tolerance"],
    &["lathe"],
    &["slip"],
    &["bracket", "cutting", "dial", "scratch_pass"],
    &["judge"],
    &["search", "starts", "chart", "warnings"],
    &["plan", "buy", "reach", "job", "now", "why"],
];

/// Inside the plans, from the bottom.
const PLAN_FLOORS: [&[&str]; 6] = [
    &["mount", "levers", "cover", "claim", "found"],
    &["table"],
    &["listed", "units"],
    &["bound", "tour", "exact"],
    &["plan"],
    &["order", "fewest"],
];

/// Inside the search, from the bottom.
const SEARCH_FLOORS: [&[&str]; 16] = [
    &["ask", "found", "stock"],
    &["path"],
    &["rank"],
    &["walk"],
    &["best"],
    &["products"],
    &["scan"],
    &["fields"],
    &["select"],
    &["stream"],
    &["standing", "count"],
    &["search"],
    &["pass"],
    &["find", "same_lead"],
    &["remedy", "other_hand", "line"],
    &["every_train", "ascending", "partial"],
];

/// No float decides anything in these; files below such a module inherit the lint.
const EXACT: [&str; 17] = [
    "number/ratio",
    "number/length",
    "number/signed",
    "number/lead",
    "gear",
    "gearset",
    "thread",
    "tolerance",
    "train",
    "designation",
    "lathe",
    "dial",
    "starts",
    "slip",
    "scratch_pass",
    "chart",
    "why",
];

/// Modules that may name each other: messages take their words from the bounds, and a broken bound
/// makes an error.
const NEIGHBOURS: [[&str; 2]; 1] = [["error", "bounds"]];

fn neighbours(a: &str, b: &str) -> bool {
    NEIGHBOURS.iter().any(|pair| pair.contains(&a) && pair.contains(&b))
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("solver")
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files(&path));
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// The code of a file: without comments and without its tests, which may look up.
fn code(text: &str) -> String {
    let shipped = text.split("#[cfg(test)]\nmod tests").next().unwrap_or(text);
    let lines = shipped.lines().map(|line| line.split("//").next().unwrap_or(""));
    lines.collect::<Vec<_>>().join("\n")
}

/// The names that follow a root such as `crate` in the paths of some code.
fn names_after(root: &str, code: &str) -> BTreeSet<String> {
    let (imports, named) = paths(code, |name| name == root);
    let all = imports.into_iter().map(|(path, _)| path).chain(named);
    all.filter(|path| path[0] == root).filter_map(|path| path.into_iter().nth(1)).collect()
}

fn floor(floors: &[&[&str]], module: &str) -> Option<usize> {
    floors.iter().position(|modules| modules.contains(&module))
}

/// Which module each name at the top of the library comes from.
fn reexports(lib: &str) -> BTreeMap<String, String> {
    let (imports, _) = paths(&code(lib), |_| false);
    imports.into_iter().map(|(path, name)| (name, path[0].clone())).collect()
}

/// What is wrong with the imports of one module's file.
fn upward(module: &str, code: &str, from: &BTreeMap<String, String>) -> Vec<String> {
    let Some(own) = floor(&FLOORS, module) else {
        return vec![format!("{module} stands on no floor: enter it in tests/floors.rs")];
    };
    let wrong = |name: &String| {
        let target = from.get(name).unwrap_or(name);
        let allowed = target == module
            || neighbours(module, target)
            || floor(&FLOORS, target).is_some_and(|floor| floor < own);
        (!allowed).then(|| format!("{module} names {name} (of {target}), which is not below it"))
    };
    names_after("crate", code).iter().filter_map(wrong).collect()
}

/// Modules with floors of their own.
const INSIDE: [(&str, &[&[&str]]); 2] = [("search", &SEARCH_FLOORS), ("plan", &PLAN_FLOORS)];

/// What is wrong with the imports of a file inside a module that has floors.
fn upward_inside(root: &str, module: &str, code: &str) -> Vec<String> {
    let Some((_, floors)) = INSIDE.iter().find(|(name, _)| *name == root) else {
        return Vec::new();
    };
    let Some(own) = floor(floors, module) else {
        return vec![format!("{root}/{module} stands on no floor: enter it in tests/floors.rs")];
    };
    let wrong = |name: &String| {
        // A type is one of the module's own file.
        let name = if name.starts_with(char::is_uppercase) { root } else { name.as_str() };
        let below =
            neighbours(module, name) || floor(floors, name).is_some_and(|floor| floor < own);
        (!below).then(|| format!("{root}/{module} names {name}, which is not below it"))
    };
    names_after("super", code).iter().filter_map(wrong).collect()
}

#[test]
fn imports_point_down() {
    let folder = folder();
    let from = reexports(&std::fs::read_to_string(folder.join("lib.rs")).unwrap());
    let mut wrong = Vec::new();
    for file in files(&folder) {
        let inside = file.strip_prefix(&folder).unwrap().with_extension("");
        let parts: Vec<&str> = inside.iter().map(|part| part.to_str().unwrap()).collect();
        let code = code(&std::fs::read_to_string(&file).unwrap());
        if parts != ["lib"] {
            wrong.extend(upward(parts[0], &code, &from));
        }
        if let [root, module] = parts[..] {
            wrong.extend(upward_inside(root, module, &code));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn an_import_that_points_up_is_caught() {
    let from = reexports("pub use number::Ratio;\npub use lathe::{\n    End,\n    Lathe,\n};");
    let caught = |module: &str, text: &str| upward(module, &code(text), &from).len();
    assert_eq!(caught("gear", "use crate::{Ratio, bounds};"), 0);
    assert_eq!(caught("gear", "use crate::{\n    Ratio,\n    Lathe,\n};"), 1);
    assert_eq!(caught("number", "fn f() { crate::gear::Gear::new(1) }"), 1);
    assert_eq!(caught("number", "use crate::search::{Ask, Search};"), 1);
    assert_eq!(caught("gear", "use crate::{lathe::{End, Lathe}, number::Ratio};"), 1);
    assert_eq!(caught("gear", "// crate::Lathe\n#[cfg(test)]\nmod tests { use crate::Lathe; }"), 0);
    assert_eq!(caught("gear", "use crate::Elsewhere;"), 1);
    assert_eq!(caught("attic", ""), 1);
    assert_eq!(upward_inside("search", "path", "use super::stock::Stock;").len(), 0);
    let two = "use super::{fields::Fields, stock::Stock};";
    assert_eq!(upward_inside("search", "path", two).len(), 1);
    assert_eq!(upward_inside("plan", "cover", "use super::table::Table;").len(), 1);
}

/// What the floors of the program below its commands must not name.
const PROGRAM: [(&str, &[&str]); 9] = [
    ("args", &["crate::command", "crate::render", "crate::report"]),
    ("report", &["solver::", "crate::args", "crate::command", "crate::files", "crate::render"]),
    ("render", &["solver::", "crate::command", "crate::files"]),
    ("progress", &["solver::", "crate::report", "crate::render", "crate::words", "crate::command"]),
    ("http", &["solver::", "crate::report", "crate::render", "crate::words", "crate::command"]),
    ("document", &["crate::command", "crate::render", "crate::args", "crate::files"]),
    ("words", &["crate::command", "crate::render", "crate::args", "crate::files"]),
    ("answer", &["crate::command", "crate::render", "crate::document", "crate::words"]),
    ("asked", &["crate::command", "crate::render", "crate::document", "crate::answer"]),
];

#[test]
fn the_floors_of_the_program_name_none_above() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("cli");
    for file in files(&folder) {
        let inside = file.strip_prefix(&folder).unwrap().with_extension("");
        let module = inside.iter().next().unwrap().to_str().unwrap();
        let Some((_, barred)) = PROGRAM.iter().find(|(name, _)| *name == module) else { continue };
        let code = code(&std::fs::read_to_string(&file).unwrap());
        for name in *barred {
            assert!(!code.contains(name), "{} names {name}", file.display());
        }
    }
}

#[test]
fn exact_modules_deny_float_arithmetic() {
    for module in EXACT {
        let text = std::fs::read_to_string(folder().join(format!("{module}.rs"))).unwrap();
        assert!(
            denies_floats(&text),
            "solver/{module}.rs lacks #![deny(clippy::float_arithmetic)]"
        );
    }
    assert!(!denies_floats("//! #![deny(clippy::float_arithmetic)]\nuse crate::Ratio;"));
}

fn denies_floats(text: &str) -> bool {
    let code = code(text);
    let mut attributes = code.lines().filter_map(|line| line.trim().strip_prefix("#![deny("));
    attributes.any(|lints| lints.contains("clippy::float_arithmetic"))
}
