//! Builds the web page into `$OUT_DIR/web`, from where it is embedded.
//!
//! `LODEWRIGHT_STUB_PAGE=1` writes a page of one sentence instead, for builds where no node is wanted.

use std::error::Error;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::{env, fs};

/// Everything the page is made of, relative to its folder.
const SOURCES: [&str; 8] = [
    "src",
    "public",
    "index.html",
    "package.json",
    "package-lock.json",
    "svelte.config.js",
    "tsconfig.json",
    "vite.config.ts",
];

const STUB: &str = "<!doctype html><html lang=\"en\"><meta charset=\"utf-8\"><title>lodewright</title>\
    <p>This program was built without its page. The command line and the interface under /api work.</p></html>\n";

fn main() -> Result<(), Box<dyn Error>> {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../page");
    let web = PathBuf::from(env::var("OUT_DIR")?).join("web");
    println!("cargo::rerun-if-env-changed=LODEWRIGHT_STUB_PAGE");
    println!("cargo::rerun-if-changed=build.rs");

    if env::var("LODEWRIGHT_STUB_PAGE").is_ok_and(|value| value == "1") {
        fs::create_dir_all(&web)?;
        clear(&web)?;
        fs::write(web.join("index.html"), STUB)?;
        return Ok(());
    }
    for source in SOURCES {
        println!("cargo::rerun-if-changed={}", page.join(source).display());
    }
    if dependencies_are_old(&page) {
        run("npm", &["ci", "--no-audit", "--no-fund"], &page)?;
    }
    let out = web.to_str().ok_or("the build folder has a name that is not UTF-8")?;
    run(
        "npx",
        &[
            "--no-install",
            "vite",
            "build",
            "--logLevel",
            "warn",
            "--outDir",
            out,
            "--emptyOutDir",
        ],
        &page,
    )
}

/// Removes what an earlier, whole build left behind.
fn clear(web: &Path) -> Result<(), Box<dyn Error>> {
    for entry in fs::read_dir(web)? {
        let path = entry?.path();
        if path.is_dir() {
            fs::remove_dir_all(path)?;
        } else {
            fs::remove_file(path)?;
        }
    }
    Ok(())
}

/// Whether the lock file is newer than what was installed from it.
fn dependencies_are_old(page: &Path) -> bool {
    let changed = |name: &str| fs::metadata(page.join(name)).and_then(|meta| meta.modified());
    match (changed("package-lock.json"), changed("node_modules/.package-lock.json")) {
        (Ok(lock), Ok(installed)) => lock > installed,
        _ => true,
    }
}

/// Runs a program in the page's folder and turns failure into words.
fn run(program: &str, arguments: &[&str], page: &Path) -> Result<(), Box<dyn Error>> {
    let what = format!("{program} {}", arguments.join(" "));
    let output = Command::new(program)
        .args(arguments)
        .current_dir(page)
        .output()
        .map_err(|error| {
            format!("could not start `{what}`: {error}; install node 20 or newer, or set LODEWRIGHT_STUB_PAGE=1")
        })?;
    if output.status.success() {
        return Ok(());
    }
    let said = [output.stdout, output.stderr].concat();
    Err(format!(
        "`{what}` failed in {}:\n{}",
        page.display(),
        String::from_utf8_lossy(&said)
    )
    .into())
}
