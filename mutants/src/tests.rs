//! The tests of the scratch copy: which there are, which mutants each comes by, and whether one fails with a mutant on.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use serde::{Deserialize, Serialize};

use crate::Outcome;

/// A test that takes longer is left to `make test`.
const SLOW: Duration = Duration::from_secs(120);

/// A program of tests.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Program {
    pub path: PathBuf,
    /// Folder of its crate, in which cargo runs it.
    pub folder: PathBuf,
}

/// One test, how it went without a mutant, and the mutants that it comes by.
#[derive(Clone, Serialize, Deserialize)]
pub struct Test {
    pub program: Program,
    pub name: String,
    passes: bool,
    seconds: f64,
    #[serde(skip)]
    reached: BTreeSet<usize>,
    /// The same by key, since numbers change with the choice of mutants.
    reached_keys: BTreeSet<String>,
}

impl Test {
    pub fn shown(&self) -> String {
        let folder = self.program.folder.file_name().unwrap_or_default().to_string_lossy();
        format!("{folder} {}", self.name)
    }
}

/// How a trial ended.
#[derive(Serialize, Deserialize, Clone)]
pub enum Verdict {
    /// By the first test that failed.
    Caught(String),
    /// No test failed of so many that were run, of so many that come by it.
    Survived { run: usize, of: usize },
}

/// Runs every test alone, two at a time, and notes what it comes by. What is known of a program that is as it was is kept.
pub fn survey(programs: &[Program], keys: &[String], jobs: usize, scratch: &Path) -> Outcome<Vec<Test>> {
    let notes = scratch.join("survey.json");
    let known: BTreeMap<String, Vec<Test>> = fs::read(&notes)
        .ok()
        .and_then(|text| serde_json::from_slice(&text).ok())
        .unwrap_or_default();
    let reached = scratch.join("reached");
    fs::create_dir_all(&reached)?;
    let mut all = BTreeMap::new();
    let mut left = Vec::new();
    for program in programs {
        let state = state(program)?;
        match known.get(&state) {
            Some(tests) => {
                all.insert(state, tests.clone());
            }
            None => {
                left.extend(names(program)?.into_iter().map(|name| (program.clone(), name)));
                all.insert(state, Vec::new());
            }
        }
    }
    eprintln!("survey: {} tests to run", left.len());
    let done = Mutex::new(all);
    each(&left, jobs, |number, (program, name)| {
        let file = reached.join(number.to_string());
        let _ = fs::remove_file(&file);
        let started = Instant::now();
        let environment = [("MUTANTS_REACHED", file.display().to_string())];
        let passes = passes(program, name, &environment, SLOW);
        let seconds = started.elapsed().as_secs_f64();
        let text = fs::read_to_string(&file).unwrap_or_default();
        let reached_keys = text
            .lines()
            .filter_map(|line| line.parse::<usize>().ok())
            .filter_map(|number| keys.get(number).cloned())
            .collect();
        if !passes {
            eprintln!(
                "fails without a mutant, or is slow: {} {name}",
                program.folder.display()
            );
        }
        let test = Test {
            program: program.clone(),
            name: name.clone(),
            passes,
            seconds,
            reached: BTreeSet::new(),
            reached_keys,
        };
        if let (Ok(state), Ok(mut done)) = (state(program), done.lock()) {
            done.entry(state).or_default().push(test);
        }
    });
    let all = done.into_inner().map_err(|_| "a survey was cut short")?;
    fs::write(&notes, serde_json::to_vec(&all)?)?;
    let number: BTreeMap<&String, usize> = keys.iter().enumerate().map(|(n, key)| (key, n)).collect();
    let mut tests: Vec<Test> = all.into_values().flatten().filter(|test| test.passes).collect();
    for test in &mut tests {
        test.reached = test
            .reached_keys
            .iter()
            .filter_map(|key| number.get(key).copied())
            .collect();
    }
    Ok(tests)
}

/// A program and its time of writing.
fn state(program: &Program) -> Outcome<String> {
    let written = fs::metadata(&program.path)?
        .modified()?
        .duration_since(std::time::UNIX_EPOCH)?;
    Ok(format!("{} {}", program.path.display(), written.as_millis()))
}

fn names(program: &Program) -> Outcome<Vec<String>> {
    let listed = Command::new(&program.path)
        .args(["--list", "--format", "terse"])
        .current_dir(&program.folder)
        .output()?;
    let text = String::from_utf8_lossy(&listed.stdout).into_owned();
    let ignored = Command::new(&program.path)
        .args(["--list", "--format", "terse", "--ignored"])
        .current_dir(&program.folder)
        .output()?;
    let ignored = String::from_utf8_lossy(&ignored.stdout).into_owned();
    let ignored: BTreeSet<&str> = ignored.lines().collect();
    Ok(text
        .lines()
        .filter(|line| !ignored.contains(line))
        .filter_map(|line| line.strip_suffix(": test"))
        .map(str::to_owned)
        .collect())
}

/// Tries one mutant: its tests one after the other, those of its own crate first and the quick before the slow,
/// until one fails or the time is up.
pub fn trial(number: usize, package: &str, tests: &[Test], budget: Duration) -> Verdict {
    let mut reaching: Vec<&Test> = tests.iter().filter(|test| test.reached.contains(&number)).collect();
    let far = |test: &Test| !test.program.folder.ends_with(package);
    reaching.sort_by(|a, b| {
        (far(a), a.seconds)
            .partial_cmp(&(far(b), b.seconds))
            .expect("seconds are numbers")
    });
    let started = Instant::now();
    let environment = [("MUTANT", number.to_string())];
    for (run, test) in reaching.iter().enumerate() {
        if started.elapsed() > budget {
            return Verdict::Survived {
                run,
                of: reaching.len(),
            };
        }
        let limit = Duration::from_secs_f64(20.0 + 10.0 * test.seconds);
        if !passes(&test.program, &test.name, &environment, limit) {
            return Verdict::Caught(test.shown());
        }
    }
    Verdict::Survived {
        run: reaching.len(),
        of: reaching.len(),
    }
}

/// Whether a test passes within a limit of time. Random tests draw the same cases each time.
fn passes(program: &Program, name: &str, environment: &[(&str, String)], limit: Duration) -> bool {
    let mut command = Command::new(&program.path);
    command
        .args(["--exact", name, "--test-threads", "1"])
        .current_dir(&program.folder)
        .env("CARGO_MANIFEST_DIR", &program.folder)
        .env("PROPTEST_RNG_SEED", "1")
        .env("PROPTEST_MAX_SHRINK_ITERS", "0")
        .envs(environment.iter().map(|(name, value)| (name, value)))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .process_group(0);
    let Ok(mut child) = command.spawn() else {
        return false;
    };
    let started = Instant::now();
    loop {
        match child.try_wait() {
            Ok(Some(status)) => return status.success(),
            Ok(None) if started.elapsed() < limit => thread::sleep(Duration::from_millis(3)),
            _ => {
                // With what it started: a server that a test runs, say.
                let _ = Command::new("kill")
                    .args(["-9", "--", &format!("-{}", child.id())])
                    .status();
                let _ = child.wait();
                return false;
            }
        }
    }
}

/// Does something with each of a list, so many at a time.
pub fn each<T: Sync>(list: &[T], jobs: usize, work: impl Fn(usize, &T) + Sync) {
    let next = AtomicUsize::new(0);
    thread::scope(|scope| {
        for _ in 0..jobs {
            scope.spawn(|| {
                loop {
                    let number = next.fetch_add(1, Ordering::Relaxed);
                    let Some(item) = list.get(number) else { return };
                    work(number, item);
                }
            });
        }
    });
}
