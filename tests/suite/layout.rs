//! The layout of the source: parts use only what stands above them, and no two files need each other.
//!
//! Both are read from the `use` lines. A name that a `mod.rs` passes on counts as the file's that defines it; what a
//! `mod.rs` passes on from its own files is a table of contents, and no need.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use crate::program::project;

/// The names of a module from the root on.
type Module = Vec<String>;

/// A file: what it defines, and what it brings in by `use`, each with whether it passes that on.
#[derive(Default)]
struct File {
    defined: BTreeSet<String>,
    used: Vec<(bool, Module)>,
}

type Files = BTreeMap<Module, File>;

fn module(text: &str) -> Module {
    text.split("::").map(str::to_owned).collect()
}

/// The files of a folder of the source that are no tests.
fn add_folder(folder: &Path, at: &[String], files: &mut BTreeMap<Module, String>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let stem = path.file_stem().unwrap().to_str().unwrap().to_owned();
        let inner = [at, std::slice::from_ref(&stem)].concat();
        if stem == "tests" || stem.ends_with("_tests") {
            continue;
        }
        if path.is_dir() {
            add_folder(&path, &inner, files);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            let own = ["mod", "lib", "main"].contains(&stem.as_str());
            let name = if own { at.to_vec() } else { inner };
            let text = fs::read_to_string(&path).unwrap();
            files.entry(name).or_default().push_str(&text);
        }
    }
}

/// The name that a line which isn't indented defines.
fn defined(line: &str) -> Option<String> {
    let mut words = line.split_whitespace().peekable();
    words.next_if(|word| word.starts_with("pub"));
    words.next_if(|word| *word == "const" && line.contains("const fn "));
    let kinds = [
        "fn",
        "struct",
        "enum",
        "trait",
        "type",
        "const",
        "static",
        "macro_rules!",
    ];
    words.next_if(|word| kinds.contains(word))?;
    let name = words.next()?;
    let end = name.find(|c: char| !c.is_alphanumeric() && c != '_');
    Some(name[..end.unwrap_or(name.len())].to_owned())
}

/// The paths in the braces of a `use` line, written out.
fn written_out(before: &str, text: &str, all: &mut Vec<String>) {
    let Some((front, inner)) = text.split_once('{').filter(|_| text.ends_with('}')) else {
        let name = text.split('@').next().unwrap_or_default();
        return all.push(format!("{before}{name}"));
    };
    let before = format!("{before}{front}");
    let (mut depth, mut start) = (0, 0);
    let inner = &inner[..inner.len() - 1];
    for (at, sign) in inner.char_indices().chain([(inner.len(), ',')]) {
        match sign {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                if at > start {
                    written_out(&before, &inner[start..at], all);
                }
                start = at + 1;
            }
            _ => {}
        }
    }
}

/// A path as seen from the root; `None` where it leads out of the crate.
fn from_root(path: &str, here: &Module, known: &BTreeSet<Module>) -> Option<Module> {
    let mut path = module(path);
    path.pop_if(|last| last == "self");
    let mut base = here.clone();
    match path.first()?.as_str() {
        "crate" => return Some(path.split_off(1)),
        "self" => path = path.split_off(1),
        "super" => {
            while path.first().is_some_and(|name| name == "super") {
                base.pop();
                path.remove(0);
            }
        }
        first => {
            let child = [here.as_slice(), &[first.to_owned()]].concat();
            known.contains(&child).then_some(())?;
        }
    }
    Some([base, path].concat())
}

fn files() -> Files {
    let mut texts = BTreeMap::new();
    add_folder(&project().join("src"), &[], &mut texts);
    let known: BTreeSet<Module> = texts.keys().cloned().collect();
    let file = |(name, text): (Module, String)| {
        let code = text
            .split("#[cfg(test)]\nmod tests")
            .next()
            .unwrap_or_default();
        let lines = code
            .lines()
            .filter(|line| !line.trim_start().starts_with("//"));
        let code: Vec<&str> = lines.collect();
        let mut file = File {
            defined: code.iter().filter_map(|line| defined(line)).collect(),
            used: Vec::new(),
        };
        for statement in code.join("\n").split(';') {
            let Some((front, path)) = statement.rsplit_once("use ") else {
                continue;
            };
            let visible = front.lines().last().unwrap_or_default();
            if !visible.is_empty() && !visible.starts_with("pub") {
                continue;
            }
            let path: String = path.replace(" as ", "@").split_whitespace().collect();
            let mut paths = Vec::new();
            written_out("", &path, &mut paths);
            let paths = paths
                .iter()
                .filter_map(|path| from_root(path, &name, &known));
            file.used
                .extend(paths.map(|path| (visible.starts_with("pub"), path)));
        }
        (name, file)
    };
    texts.into_iter().map(file).collect()
}

/// The file that defines what a path names, through what others pass on.
fn home<'f>(path: &[String], files: &'f Files, depth: usize) -> Option<&'f Module> {
    let of = |length: usize| files.get_key_value(&path[..length]);
    let (name, file) = (0..=path.len()).rev().find_map(of)?;
    let Some(item) = path
        .get(name.len())
        .filter(|item| !file.defined.contains(*item))
    else {
        return Some(name);
    };
    let mut passed = file
        .used
        .iter()
        .filter(|(_, path)| path.last() == Some(item));
    let further =
        |(_, path): &(bool, Module)| home(path, files, depth + 1).filter(|at| *at != name);
    passed
        .find_map(|one| (depth < 6).then(|| further(one)).flatten())
        .or(Some(name))
}

/// Which files each file needs.
fn needs(files: &Files) -> BTreeMap<&Module, BTreeSet<&Module>> {
    let of = |(name, file): (&'_ Module, &File)| {
        let needed = file.used.iter().filter_map(|(passes_on, path)| {
            let at = home(path, files, 0)?;
            let contents = *passes_on && at.starts_with(name);
            (at != name && !contents).then_some(at)
        });
        needed.collect::<BTreeSet<_>>()
    };
    files
        .iter()
        .map(|(name, file)| (name, of((name, file))))
        .collect()
}

/// The first way from a file round to itself.
fn circle<'m>(needs: &BTreeMap<&'m Module, BTreeSet<&'m Module>>) -> Option<Vec<&'m Module>> {
    fn round<'m>(
        at: &'m Module,
        way: &mut Vec<&'m Module>,
        needs: &BTreeMap<&'m Module, BTreeSet<&'m Module>>,
        done: &mut BTreeSet<&'m Module>,
    ) -> bool {
        if let Some(start) = way.iter().position(|known| *known == at) {
            way.drain(..start);
            return true;
        }
        if done.contains(at) {
            return false;
        }
        way.push(at);
        let found = needs
            .get(at)
            .into_iter()
            .flatten()
            .any(|next| round(next, way, needs, done));
        if !found {
            way.pop();
            done.insert(at);
        }
        found
    }
    let (mut way, mut done) = (Vec::new(), BTreeSet::new());
    let found = needs.keys().any(|at| round(at, &mut way, needs, &mut done));
    found.then_some(way)
}

#[test]
fn no_two_files_need_each_other() {
    let files = files();
    let needs = needs(&files);
    assert!(needs.values().map(BTreeSet::len).sum::<usize>() > 1_000);
    let found = circle(&needs).map(|way| way.iter().map(|one| one.join("::")).collect::<Vec<_>>());
    assert_eq!(found, None);
}

#[test]
fn parts_use_only_what_stands_above_them() {
    let told = fs::read_to_string(project().join("DEVELOPERS.md")).unwrap();
    let map = told
        .split("## Code map")
        .nth(1)
        .unwrap()
        .split("| elsewhere")
        .next()
        .unwrap();
    let rows = map
        .lines()
        .filter_map(|line| line.strip_prefix("| `")?.split('`').next());
    let order: Vec<&str> = rows.map(|name| name.trim_end_matches(".rs")).collect();
    assert!(order.len() > 12, "{order:?}");
    let place = |module: &Module| {
        order
            .iter()
            .position(|part| module.first().is_some_and(|first| first == part))
    };
    let files = files();
    for (name, needed) in needs(&files) {
        for other in needed {
            let (Some(from), Some(to)) = (place(name), place(other)) else {
                continue;
            };
            assert!(to <= from, "{} needs {}", name.join("::"), other.join("::"));
        }
    }
}

/// The search itself: a circle over a third file is found, and what only forks and joins is none.
#[test]
fn a_circle_is_told_from_a_fork() {
    let names: Vec<Module> = ["a", "b", "c", "d"].map(module).into();
    let with = |pairs: &[(usize, usize)]| {
        let mut needs: BTreeMap<&Module, BTreeSet<&Module>> = BTreeMap::new();
        for (from, to) in pairs {
            needs.entry(&names[*from]).or_default().insert(&names[*to]);
        }
        circle(&needs).map(|way| way.len())
    };
    assert_eq!(with(&[(0, 1), (0, 2), (1, 3), (2, 3)]), None);
    assert_eq!(with(&[(0, 1), (1, 2), (2, 3), (3, 1)]), Some(3));
    assert_eq!(with(&[(0, 1), (1, 0)]), Some(2));
}
