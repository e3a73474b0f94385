//! Changes the program in many small ways and tells which changes no test notices.
//!
//! Every mutant is compiled into one scratch copy of the workspace, each behind a switch that reads the environment; so
//! there is one build for all. A first run of every test notes which mutants it comes by, and each mutant is then tried with those tests only.
//!
//! `mutants list` counts what would be tried, `mutants try` tries it, `mutants on` goes on where that was ended, `mutants again`
//! tries once more what survived. Names of crates after it keep mutants and tests to those crates.

mod data;
mod mutant;
mod report;
mod sources;
mod tests;
mod tree;

use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode, Stdio};
use std::sync::Mutex;
use std::time::Duration;

use mutant::{Mutant, Plan};
use serde_json::Value;
use tests::{Program, Verdict};
use tree::Workspace;

/// What may go wrong ends the run with a message.
pub type Outcome<T = ()> = Result<T, Box<dyn std::error::Error>>;

/// How many tests run at the same time.
const JOBS: usize = 2;
/// For how long the tests of one mutant may run.
const BUDGET: Duration = Duration::from_secs(300);

fn main() -> ExitCode {
    match run() {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(error) => {
            eprintln!("mutants: {error}");
            ExitCode::FAILURE
        }
    }
}

/// Whether all is well: what survives is listed with its reason, and little enough.
fn run() -> Outcome<bool> {
    let what = std::env::args().nth(1).unwrap_or_else(|| "list".to_owned());
    let crates: Vec<String> = std::env::args().skip(2).collect();
    let asked = |package: &str| crates.is_empty() || crates.iter().any(|name| name == package);
    let root = PathBuf::from(".").canonicalize()?;
    let scratch = std::env::var_os("CARGO_TARGET_DIR")
        .map_or(root.join("target"), PathBuf::from)
        .join("mutants");
    fs::create_dir_all(&scratch)?;
    let plan: Plan = toml::from_str(&fs::read_to_string(root.join("mutants/plan.toml"))?)?;
    let mut workspace = Workspace::read(&root)?;
    let mutants = workspace.mutants(&plan);
    if what == "list" {
        report::count(&mutants);
        return Ok(true);
    }
    let results = scratch.join("results.jsonl");
    if what == "try" {
        let _ = fs::remove_file(&results);
    }
    let left_out_file = scratch.join("left_out.txt");
    let mut left_out: BTreeSet<String> = fs::read_to_string(&left_out_file)
        .unwrap_or_default()
        .lines()
        .map(str::to_owned)
        .collect();
    let mut programs = build(&workspace, &mutants, &scratch, &mut left_out, &left_out_file)?;
    programs.retain(|program| {
        program
            .folder
            .file_name()
            .is_some_and(|name| asked(&name.to_string_lossy()))
    });
    let keys: Vec<String> = mutants.iter().map(|mutant| mutant.key.clone()).collect();
    let tests = tests::survey(&programs, &keys, JOBS, &scratch)?;
    let mut known = report::read(&results);
    if what == "again" {
        known.retain(|_, verdict| matches!(verdict, Verdict::Caught(_)));
    }
    let mut left: Vec<usize> = (0..mutants.len())
        .filter(|&n| asked(mutants[n].package()) && !left_out.contains(&keys[n]) && !known.contains_key(&keys[n]))
        .collect();
    // Where most is tried a fault is worst: that goes first.
    left.sort_by(|&a, &b| plan.share(&mutants[b]).total_cmp(&plan.share(&mutants[a])));
    let file = Mutex::new(OpenOptions::new().create(true).append(true).open(&results)?);
    let done = Mutex::new((0, known));
    tests::each(&left, JOBS, |_, &number| {
        let mutant = &mutants[number];
        let verdict = tests::trial(number, mutant.package(), &tests, BUDGET);
        let line = format!("{}\n", serde_json::json!([mutant.key, verdict]));
        if let (Ok(mut file), Ok(mut done)) = (file.lock(), done.lock()) {
            let _ = file.write_all(line.as_bytes());
            done.0 += 1;
            eprintln!("{}/{} {}", done.0, left.len(), report::line(mutant, &verdict));
            done.1.insert(mutant.key.clone(), verdict);
        }
    });
    let (_, known) = done.into_inner().map_err(|_| "a trial was cut short")?;
    let excused = fs::read_to_string(root.join("mutants/survivors.toml"))?;
    report::table(&mutants, &known, &toml::from_str(&excused)?)
}

/// Compiles the tests of the scratch copy. A mutant that does not compile is left out, and is remembered.
fn build(
    workspace: &Workspace,
    mutants: &[Mutant],
    scratch: &Path,
    left_out: &mut BTreeSet<String>,
    left_out_file: &Path,
) -> Outcome<Vec<Program>> {
    let tree = scratch.join("tree");
    // The cheap check first, until nothing is wrong; then the tests.
    let steps: [&[&str]; 2] = [
        &["check", "--lib", "--bins"],
        &["test", "--no-run", "--lib", "--bins", "--tests"],
    ];
    let mut programs = Vec::new();
    for step in steps {
        loop {
            workspace.write(&tree, mutants, left_out)?;
            let told = cargo(&tree, scratch, step)?;
            let wrong = errors(&told);
            if wrong.is_empty() {
                programs = executables(&told);
                break;
            }
            let before = left_out.len();
            for (file, from, to) in &wrong {
                let text = fs::read_to_string(tree.join(file)).unwrap_or_default();
                let lines: Vec<&str> = text.lines().take(*to).collect();
                let first = from.saturating_sub(1).min(lines.len());
                let mut numbers: Vec<usize> = lines[first..].iter().flat_map(|line| switches(line)).collect();
                if numbers.is_empty() {
                    // The switch of an expression over several lines stands above.
                    numbers.extend(lines.iter().rev().flat_map(|line| switches(line)).next());
                }
                for number in numbers {
                    left_out.insert(mutants[number].key.clone());
                }
            }
            if left_out.len() == before {
                return Err(format!("the scratch copy does not compile: {wrong:?}").into());
            }
            eprintln!("{} mutants do not compile and are left out", left_out.len());
            let list: Vec<&str> = left_out.iter().map(String::as_str).collect();
            fs::write(left_out_file, list.join("\n"))?;
        }
    }
    Ok(programs)
}

fn cargo(tree: &Path, scratch: &Path, step: &[&str]) -> Outcome<Vec<Value>> {
    let mut all: Vec<&str> = step.to_vec();
    all.extend(["--workspace", "--offline", "--keep-going", "--message-format", "json"]);
    if step[0] == "test" {
        all.retain(|word| *word != "--keep-going");
    }
    let output = Command::new("cargo")
        .args(&all)
        .current_dir(tree)
        .env("CARGO_TARGET_DIR", scratch.join("build"))
        .env("LODEWRIGHT_STUB_PAGE", "1")
        .stderr(Stdio::inherit())
        .output()?;
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let told: Vec<Value> = text
        .lines()
        .filter_map(|line| serde_json::from_str(line).ok())
        .collect();
    if !output.status.success() && errors(&told).is_empty() {
        return Err("cargo failed without naming a place".into());
    }
    Ok(told)
}

/// Where errors were found: file, first and last line.
fn errors(told: &[Value]) -> Vec<(String, usize, usize)> {
    let mut found = Vec::new();
    for message in told
        .iter()
        .map(|value| &value["message"])
        .filter(|m| m["level"] == "error")
    {
        let mut spans: Vec<&Value> = message["spans"].as_array().into_iter().flatten().collect();
        if spans.iter().any(|span| span["is_primary"] == true) {
            spans.retain(|span| span["is_primary"] == true);
        }
        for span in spans {
            let line = |name: &str| span[name].as_u64().unwrap_or(1) as usize;
            let file = span["file_name"].as_str().unwrap_or_default().to_owned();
            found.push((file, line("line_start"), line("line_end")));
        }
    }
    found
}

fn executables(told: &[Value]) -> Vec<Program> {
    let tests = told.iter().filter(|value| value["profile"]["test"] == true);
    let mut programs: Vec<Program> = tests
        .filter_map(|value| {
            Some(Program {
                path: value["executable"].as_str()?.into(),
                folder: Path::new(value["manifest_path"].as_str()?).parent()?.to_owned(),
            })
        })
        .collect();
    programs.sort();
    programs
}

/// The numbers of the switches in a line.
fn switches(line: &str) -> Vec<usize> {
    let of_call = |rest: &str| rest.split(')').next().and_then(|number| number.parse().ok());
    line.split("mutant_switch::on(").skip(1).filter_map(of_call).collect()
}

/// By key of a mutant, how its trial ended.
pub type Known = BTreeMap<String, Verdict>;
