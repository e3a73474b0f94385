//! Modules that stand beside each other form no circles: each can be read after those that it uses.
//!
//! What counts as a use is a path from `crate`, `super` or `self` in code that is not for tests alone, to a module beside the one it stands in,
//! named itself or through a `use` of the module above.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use proc_macro2::{Delimiter, TokenStream, TokenTree};

/// A module by the names on the way to it from its crate's root.
type Module = Vec<String>;

/// The paths in one module's own file.
#[derive(Default)]
struct Source {
    /// All of them.
    paths: Vec<Vec<String>>,
    /// Those of `use`, which bring a name into the module.
    brought: Vec<Vec<String>>,
    /// Modules declared in it.
    children: Vec<String>,
}

/// All modules of a crate.
type Sources = BTreeMap<Module, Source>;

fn crates() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut found: Vec<PathBuf> = fs::read_dir(folder)
        .expect("the folder of the crates can be read")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.join("Cargo.toml").exists())
        .collect();
    found.sort();
    found
}

fn word(token: Option<&TokenTree>) -> Option<String> {
    match token {
        Some(TokenTree::Ident(ident)) => Some(ident.to_string()),
        _ => None,
    }
}

fn is(token: Option<&TokenTree>, sign: char) -> bool {
    matches!(token, Some(TokenTree::Punct(punct)) if punct.as_char() == sign)
}

/// Whether a group is `[cfg(test)]`.
fn for_tests(token: Option<&TokenTree>) -> bool {
    matches!(token, Some(TokenTree::Group(group)) if group.stream().to_string().replace(' ', "") == "cfg(test)")
}

/// The tokens without what is for tests alone: each `#[cfg(test)]` and the item behind it.
fn shipped(tokens: TokenStream) -> Vec<TokenTree> {
    let all: Vec<TokenTree> = tokens.into_iter().collect();
    let mut kept = Vec::new();
    let mut at = 0;
    while at < all.len() {
        if is(all.get(at), '#') && for_tests(all.get(at + 1)) {
            at += 2;
            while let Some(token) = all.get(at) {
                at += 1;
                let ends = matches!(token, TokenTree::Group(group) if group.delimiter() == Delimiter::Brace);
                if ends || is(Some(token), ';') {
                    break;
                }
            }
        } else {
            kept.extend(all.get(at).cloned());
            at += 1;
        }
    }
    kept
}

/// Reads the tokens of a module, groups in braces spread out.
fn read(tokens: TokenStream, source: &mut Source) {
    let tokens = shipped(tokens);
    let mut at = 0;
    while at < tokens.len() {
        if let Some(name) = word(tokens.get(at)) {
            if name == "mod" && is(tokens.get(at + 2), ';') {
                source.children.extend(word(tokens.get(at + 1)));
            }
            if name == "use" {
                path(&tokens, at + 1, &[], &mut source.brought);
            }
            at = path(&tokens, at, &[], &mut source.paths);
        } else {
            if let Some(TokenTree::Group(group)) = tokens.get(at) {
                read(group.stream(), source);
            }
            at += 1;
        }
    }
}

/// Reads one path that starts there, and returns where it ends.
fn path(tokens: &[TokenTree], mut at: usize, start: &[String], paths: &mut Vec<Vec<String>>) -> usize {
    let mut names = start.to_vec();
    while let Some(name) = word(tokens.get(at)) {
        names.push(name);
        at += 1;
        if !(is(tokens.get(at), ':') && is(tokens.get(at + 1), ':')) {
            break;
        }
        at += 2;
        if let Some(TokenTree::Group(group)) = tokens.get(at)
            && group.delimiter() == Delimiter::Brace
        {
            let inner: Vec<TokenTree> = group.stream().into_iter().collect();
            for branch in inner.split(|token| is(Some(token), ',')).filter(|b| !b.is_empty()) {
                path(branch, 0, &names, paths);
            }
            return at + 1;
        }
    }
    paths.push(names);
    at
}

/// Reads a module and those below it.
fn module(file: &Path, folder: &Path, name: Module, sources: &mut Sources) {
    let text = fs::read_to_string(file).unwrap_or_else(|e| panic!("{}: {e}", file.display()));
    let tokens: TokenStream = text.parse().unwrap_or_else(|e| panic!("{}: {e}", file.display()));
    let mut source = Source::default();
    read(tokens, &mut source);
    for child in &source.children {
        let plain = folder.join(format!("{child}.rs"));
        let file = if plain.exists() {
            plain
        } else {
            folder.join(child).join("mod.rs")
        };
        let full: Module = name.iter().cloned().chain([child.clone()]).collect();
        module(&file, &folder.join(child), full, sources);
    }
    sources.insert(name, source);
}

/// The path from the crate's root that a path in a module means; `None` for one into another crate.
fn from_root(inside: &Module, path: &[String], sources: &Sources) -> Option<Module> {
    let (first, mut rest) = path.split_first()?;
    let mut base = match first.as_str() {
        "crate" => Vec::new(),
        "self" => inside.clone(),
        "super" => inside.split_last()?.1.to_vec(),
        child => {
            let mut below = inside.clone();
            below.push(child.to_owned());
            sources.contains_key(&below).then_some(())?;
            below
        }
    };
    while let Some((_, after)) = rest.split_first().filter(|(name, _)| *name == "super") {
        base.pop();
        rest = after;
    }
    base.extend(rest.iter().cloned());
    Some(base)
}

/// The module in which a path from the root ends, through what modules on the way bring from their children.
fn home(mut path: Module, sources: &Sources) -> Module {
    // Each step goes deeper; the bound serves names that are brought in a ring.
    for _ in 0..8 {
        let deepest = (0..=path.len())
            .rev()
            .find(|&n| sources.contains_key(&path[..n].to_vec()))
            .unwrap_or_default();
        let inside = path[..deepest].to_vec();
        let Some(name) = path.get(deepest) else {
            return inside;
        };
        let brought = sources[&inside].brought.iter().find_map(|used| {
            let to = from_root(&inside, used, sources).filter(|to| to.last() == Some(name))?;
            (to.len() > inside.len() + 1 && to.starts_with(&inside)).then_some(to)
        });
        match brought {
            Some(to) => path = to,
            None => return inside,
        }
    }
    path
}

/// Which children of a module use which of their neighbours.
fn uses(sources: &Sources) -> BTreeMap<Module, BTreeMap<String, BTreeSet<String>>> {
    let mut uses: BTreeMap<Module, BTreeMap<String, BTreeSet<String>>> = BTreeMap::new();
    for (name, source) in sources {
        for path in &source.paths {
            let Some(to) = from_root(name, path, sources).map(|to| home(to, sources)) else {
                continue;
            };
            let shared = name.iter().zip(&to).take_while(|(a, b)| a == b).count();
            if let (Some(from), Some(to)) = (name.get(shared), to.get(shared)) {
                let beside = uses.entry(name[..shared].to_vec()).or_default();
                beside.entry(from.clone()).or_default().insert(to.clone());
            }
        }
    }
    uses
}

/// Groups of names each of which leads to every other.
fn circles(uses: &BTreeMap<String, BTreeSet<String>>) -> BTreeSet<BTreeSet<String>> {
    let reached = |from: &String| {
        let mut seen = BTreeSet::new();
        let mut left = vec![from];
        while let Some(next) = left.pop() {
            for to in uses.get(next).into_iter().flatten() {
                if seen.insert(to.clone()) {
                    left.push(to);
                }
            }
        }
        seen
    };
    let all: BTreeMap<&String, BTreeSet<String>> = uses.keys().map(|name| (name, reached(name))).collect();
    all.iter()
        .filter(|(name, seen)| seen.contains(**name))
        .map(|(name, seen)| {
            seen.iter()
                .filter(|to| all.get(to).is_some_and(|s| s.contains(*name)))
                .cloned()
                .collect()
        })
        .collect()
}

#[test]
fn modules_form_no_circles() {
    let mut found = Vec::new();
    for folder in crates() {
        let root = ["src/lib.rs", "src/main.rs"].map(|file| folder.join(file));
        let file = root.iter().find(|file| file.exists()).expect("a crate has a root");
        let mut sources = Sources::new();
        module(file, &folder.join("src"), Vec::new(), &mut sources);
        let name = folder.file_name().unwrap_or_default().to_string_lossy().into_owned();
        for (above, uses) in uses(&sources) {
            for circle in circles(&uses) {
                let circle: Vec<String> = circle.into_iter().collect();
                let inside: Vec<String> = [name.clone()].into_iter().chain(above.clone()).collect();
                found.push(format!("{}: {}", inside.join("::"), circle.join(", ")));
            }
        }
    }
    assert!(found.is_empty(), "circles of modules:\n{}", found.join("\n"));
}

/// The check itself: a circle through grouped imports, `super` and a name that the module above brings is seen; tests do not count.
#[test]
fn a_circle_is_seen() {
    let files: [(&[&str], &str); 5] = [
        (&[], "mod a; mod b; mod c; mod d; pub use b::Thing;"),
        (
            &["a"],
            "use crate::{c, Thing}; #[cfg(test)] mod tests { use crate::d::x; }",
        ),
        (&["b"], "use super::c::{self, f};"),
        (&["c"], "fn f() { crate::d::x(super::a::y()) }"),
        (&["d"], "fn x() {}"),
    ];
    let mut sources = Sources::new();
    for (name, text) in files {
        let mut source = Source::default();
        read(text.parse().expect("tokens"), &mut source);
        sources.insert(name.iter().map(|n| (*n).to_owned()).collect(), source);
    }
    let uses = uses(&sources);
    let beside = &uses[&Vec::new()];
    let expected = [["a", "b", "c"].map(str::to_owned).into()].into();
    assert_eq!(circles(beside), expected, "{beside:?}");
}

/// What a path in a view of answers uses that solves, traces or searches; a view only chooses words and figures.
fn solves(inside: &Module, path: &[String], sources: &Sources) -> bool {
    /// Data of other crates, and modules of advice that work something out.
    const DATA: [[&str; 2]; 2] = [["magnetics", "Shape"], ["detail", "Sheet"]];
    const WORK: [&str; 7] = [
        "criteria",
        "detail",
        "memo",
        "predict",
        "search",
        "stacked",
        "with_part",
    ];
    let is_data = |path: &[String]| DATA.iter().any(|data| path.iter().take(2).eq(data.iter()));
    match from_root(inside, path, sources) {
        Some(to) => to.first().is_some_and(|first| WORK.contains(&first.as_str())) && !is_data(&to),
        None => path.first().is_some_and(|first| first == "magnetics") && !is_data(path),
    }
}

#[test]
fn views_solve_nothing() {
    let advice = Path::new(env!("CARGO_MANIFEST_DIR")).join("../advice/src");
    let mut sources = Sources::new();
    module(&advice.join("lib.rs"), &advice, Vec::new(), &mut sources);
    let mut found = Vec::new();
    let views = |name: &Module| name.first().is_some_and(|first| first == "view");
    for (name, source) in sources.iter().filter(|(name, _)| views(name)) {
        let work = source.paths.iter().filter(|path| solves(name, path, &sources));
        // A module of ours may be called as the crate is: what is brought into the module is from the crate.
        let brought = source.brought.iter().filter(|path| path[0] == "steel");
        found.extend(
            work.chain(brought)
                .map(|path| format!("{} uses {}", name.join("::"), path.join("::"))),
        );
    }
    assert!(found.is_empty(), "views that work something out:\n{}", found.join("\n"));
    assert!(sources.keys().any(views), "no views were read");
}

/// The check itself: a solver and a search are seen, the shape of a magnet and frozen facts are not.
#[test]
fn a_view_that_solves_is_seen() {
    let mut sources = Sources::new();
    for name in [&[][..], &["view"], &["predict"], &["answer"], &["detail"]] {
        let name = name.iter().map(|n| (*n).to_owned()).collect();
        sources.insert(name, Source::default());
    }
    let view = vec!["view".to_owned()];
    let seen = |path: &str| {
        let path: Vec<String> = path.split("::").map(str::to_owned).collect();
        self::solves(&view, &path, &sources)
    };
    assert!(seen("crate::predict::InUse") && seen("super::detail::detail") && seen("magnetics::inside::Inside"));
    assert!(!seen("crate::answer::Detail") && !seen("crate::detail::Sheet") && !seen("magnetics::Shape::Ring"));
}
