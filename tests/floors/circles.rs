//! Do files name each other in a circle? Every `use` and every path is followed to the file that
//! holds what it names. That a file uses what the folder above it holds is no circle.

use super::{code, files};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// `["bracket", "fit"]` for `bracket/fit.rs`; empty for `lib.rs`.
type Module = Vec<String>;

/// A path as it is written, and the name by which the file then calls it.
pub(super) type Import = (Vec<String>, String);

struct Tree {
    imports: BTreeMap<Module, Vec<Import>>,
    named: BTreeMap<Module, Vec<Vec<String>>>,
}

/// Words, `::`, and what else a `use` may hold, one by one.
fn tokens(code: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut word = String::new();
    let mut rest = code.chars().peekable();
    while let Some(c) = rest.next() {
        if c.is_alphanumeric() || c == '_' {
            word.push(c);
            continue;
        }
        if !word.is_empty() {
            found.push(std::mem::take(&mut word));
        }
        if c == ':' && rest.peek() == Some(&':') {
            rest.next();
            found.push("::".into());
        } else if !c.is_whitespace() {
            found.push(c.into());
        }
    }
    found.extend((!word.is_empty()).then_some(word));
    found
}

/// The imports of one `use`, whose tokens start here; and where it ends.
fn imports(tokens: &[String], mut at: usize, outer: &[String]) -> (Vec<Import>, usize) {
    let mut path = outer.to_vec();
    loop {
        match tokens.get(at).map(String::as_str) {
            Some("{") => {
                let mut found = Vec::new();
                at += 1;
                while tokens.get(at).is_some_and(|t| t != "}") {
                    let (inner, end) = imports(tokens, at, &path);
                    found.extend(inner);
                    at = end + usize::from(tokens.get(end).is_some_and(|t| t == ","));
                }
                return (found, at + 1);
            }
            Some(name) => path.push(name.to_owned()),
            None => return (Vec::new(), at),
        }
        at += 1;
        if tokens.get(at).is_some_and(|t| t == "::") {
            at += 1;
            continue;
        }
        if path.last().is_some_and(|last| last == "self") {
            path.pop();
        }
        let mut name = path.last().cloned().unwrap_or_default();
        if tokens.get(at).is_some_and(|t| t == "as") {
            name = tokens.get(at + 1).cloned().unwrap_or_default();
            at += 2;
        }
        return (vec![(path, name)], at);
    }
}

/// What some code imports, and the paths in it that begin at one of these names.
pub(super) fn paths(code: &str, begins: impl Fn(&str) -> bool) -> (Vec<Import>, Vec<Vec<String>>) {
    let tokens = tokens(code);
    let follows = |at: usize| tokens.get(at + 1).is_some_and(|t| t == "::");
    let (mut found, mut named, mut at) = (Vec::new(), Vec::new(), 0);
    while at < tokens.len() {
        let inner = at > 0 && tokens[at - 1] == "::";
        if tokens[at] == "use" {
            let (more, end) = imports(&tokens, at + 1, &[]);
            found.extend(more);
            at = end;
            continue;
        }
        if begins(&tokens[at]) && !inner && follows(at) {
            let mut path = vec![tokens[at].clone()];
            while follows(at) && at + 2 < tokens.len() {
                path.push(tokens[at + 2].clone());
                at += 2;
            }
            named.push(path);
        }
        at += 1;
    }
    (found, named)
}

impl Tree {
    fn of(texts: &BTreeMap<Module, String>) -> Self {
        let mut tree = Self { imports: BTreeMap::new(), named: BTreeMap::new() };
        for (module, text) in texts {
            let below = |name: &str| {
                let mut child = module.clone();
                child.push(name.to_owned());
                texts.contains_key(&child)
            };
            let begins = |name: &str| ["crate", "super"].contains(&name) || below(name);
            let (imports, named) = paths(&code(text), begins);
            tree.imports.insert(module.clone(), imports);
            tree.named.insert(module.clone(), named);
        }
        tree
    }

    /// The file that holds what a path in a module names; `None`: none of this tree.
    fn home(&self, module: &Module, path: &[String], depth: usize) -> Option<Module> {
        let mut here = module.clone();
        let mut rest = path;
        let child = |here: &Module, name: &String| {
            let mut child = here.clone();
            child.push(name.clone());
            self.imports.contains_key(&child).then_some(child)
        };
        match rest.first()?.as_str() {
            "crate" => (here, rest) = (Module::new(), &rest[1..]),
            "self" => rest = &rest[1..],
            "super" => {
                while rest.first().is_some_and(|name| name == "super") {
                    here.pop();
                    rest = &rest[1..];
                }
            }
            _ => drop(child(&here, rest.first()?)?),
        }
        while let Some(inner) = rest.first().and_then(|name| child(&here, name)) {
            (here, rest) = (inner, &rest[1..]);
        }
        let Some(name) = rest.first().filter(|_| depth < 20) else { return Some(here) };
        // What a module imports others may take from there.
        let passed_on = self.imports[&here].iter().filter(|(_, known)| known == name);
        let homes = passed_on.filter_map(|(path, _)| {
            let path: Vec<String> = path.iter().chain(&rest[1..]).cloned().collect();
            self.home(&here, &path, depth + 1)
        });
        homes.into_iter().next().or(Some(here))
    }

    /// From each file to those that it names, but for the folders that it lies in.
    fn edges(&self) -> BTreeMap<&Module, BTreeSet<Module>> {
        let of = |module: &Module| -> BTreeSet<Module> {
            let imported = self.imports[module].iter().map(|(path, _)| path);
            let homes = imported.chain(&self.named[module]);
            let homes = homes.filter_map(|path| self.home(module, path, 0));
            homes.filter(|home| !home.is_empty() && !module.starts_with(home)).collect()
        };
        self.imports.keys().map(|module| (module, of(module))).collect()
    }

    /// Each circle as the names of its files.
    fn circles(&self) -> Vec<Vec<String>> {
        let edges = self.edges();
        let reached = |from: &Module| -> BTreeSet<Module> {
            let (mut seen, mut open) = (BTreeSet::new(), vec![from.clone()]);
            while let Some(module) = open.pop() {
                let next = edges.get(&module).into_iter().flatten();
                open.extend(next.filter(|to| seen.insert((*to).clone())).cloned());
            }
            seen
        };
        let reach: BTreeMap<&Module, BTreeSet<Module>> =
            edges.keys().map(|module| (*module, reached(module))).collect();
        let circle = |module: &Module| -> Vec<String> {
            let back = reach[module].iter().filter(|to| reach[*to].contains(module));
            back.map(|module| module.join("/")).collect()
        };
        let circles: BTreeSet<Vec<String>> = edges.keys().map(|module| circle(module)).collect();
        circles.into_iter().filter(|circle| circle.len() > 1).collect()
    }
}

fn texts(folder: &str) -> BTreeMap<Module, String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let module = |file: &Path| -> Module {
        let inside = file.strip_prefix(&folder).unwrap().with_extension("");
        let module: Module = inside.iter().map(|part| part.to_str().unwrap().into()).collect();
        if module == ["lib"] { Module::new() } else { module }
    };
    let texts = files(&folder).into_iter().map(|file| {
        let text = std::fs::read_to_string(&file).unwrap();
        (module(&file), text)
    });
    texts.filter(|(module, _)| module != &["main"]).collect()
}

/// Circles that are known. None may be added.
const KNOWN: &[&[&str]] = &[
    // Messages take their words from the bounds, and a broken bound makes an error.
    &["bounds", "error"],
];

#[test]
fn no_files_name_each_other_in_a_circle() {
    for folder in ["solver", "cli"] {
        let circles = Tree::of(&texts(folder)).circles();
        let known = |circle: &Vec<String>| KNOWN.iter().any(|known| circle == known);
        let new: Vec<String> =
            circles.iter().filter(|circle| !known(circle)).map(|c| c.join(" ")).collect();
        assert!(new.is_empty(), "{folder}: files that name each other:\n{}", new.join("\n"));
    }
}

#[test]
fn a_circle_is_caught() {
    let circles = |texts: &[(&str, &str)]| {
        let texts = texts.iter().map(|(module, text)| {
            let module = module.split('/').filter(|part| !part.is_empty());
            (module.map(str::to_owned).collect(), (*text).to_owned())
        });
        Tree::of(&texts.collect()).circles()
    };
    let top = ("", "mod a; mod b; pub use b::B;");
    let direct = [top, ("a", "use crate::b::B;"), ("b", "fn f() { crate::a::g() }")];
    assert_eq!(circles(&direct), [["a", "b"]]);
    // Through what the top passes on, and through a list.
    let passed_on = [top, ("a", "use crate::{B};"), ("b", "use super::{a::{self, A}};")];
    assert_eq!(circles(&passed_on), [["a", "b"]]);
    // A folder's own file may use what lies in it, and the other way round.
    let folder = [top, ("a", "mod c; use c::C; struct A;"), ("a/c", "use super::A;"), ("b", "")];
    assert_eq!(circles(&folder), [[""; 0]; 0]);
    let around = [
        top,
        ("a", "mod c; mod d;"),
        ("a/c", "use super::d::D;"),
        ("a/d", "pub(super) fn f() { super::c::g() }"),
        ("b", ""),
    ];
    assert_eq!(circles(&around), [["a/c", "a/d"]]);
    let tests =
        [top, ("a", "use crate::B;"), ("b", "#[cfg(test)]\nmod tests { use crate::a::A; }")];
    assert_eq!(circles(&tests), [[""; 0]; 0]);
}
