//! A folder to run the program in, and how a run ended.

use std::fs;
use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

use serde_json::Value;

/// Three items.
pub const LIST: &str = "\
code,shape,diameter (mm),hole (mm),thickness (mm),grade,coating,stock,price 1,price 100
14-07,disc,15,,5,N42,Ni-Cu-Ni,1240,0.95,0.65
14-08,disc,15,,3,N42,Ni-Cu-Ni,40,0.60,
20-01,ring,20,10,5,Y30,none,,0.30,
";

/// An empty folder to run the program in.
pub struct Folder(tempfile::TempDir);

impl Folder {
    pub fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    /// A folder whose shop has three items.
    pub fn with_shop() -> Self {
        let folder = Self::new();
        folder.write("list.csv", LIST);
        folder.run(&["shelf", "import", "list.csv"]).done();
        folder
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    pub fn write(&self, name: &str, text: impl AsRef<[u8]>) {
        fs::write(self.path(name), text).unwrap();
    }

    pub fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(self.0.path()).unwrap();
        let mut names: Vec<String> = entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    pub fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_lodewright"));
        command
            .args(arguments)
            .current_dir(self.0.path())
            .env_remove("LODEWRIGHT_SHOP")
            .env("COLUMNS", "80");
        command
    }

    #[track_caller]
    pub fn run(&self, arguments: &[&str]) -> Ran {
        Ran::of(&arguments.join(" "), self.command(arguments).output().unwrap())
    }

    pub fn run_with_input(&self, arguments: &[&str], input: &str) -> Ran {
        let mut command = self.command(arguments);
        let piped = command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        let mut child = piped.spawn().unwrap();
        child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
        Ran::of(&arguments.join(" "), child.wait_with_output().unwrap())
    }
}

/// How a run ended and what it said.
#[derive(Debug)]
pub struct Ran {
    pub line: String,
    pub code: Option<i32>,
    pub out: String,
    pub err: String,
}

impl Ran {
    pub fn of(line: &str, output: Output) -> Self {
        let text = |bytes| String::from_utf8(bytes).expect("what is printed is UTF-8");
        Self {
            line: line.into(),
            code: output.status.code(),
            out: text(output.stdout),
            err: text(output.stderr),
        }
    }

    #[track_caller]
    pub fn done(self) -> String {
        assert_eq!((self.code, self.err.as_str()), (Some(0), ""), "{self:?}");
        self.out
    }

    #[track_caller]
    pub fn nothing(self) -> String {
        assert_eq!((self.code, self.err.as_str()), (Some(1), ""), "{self:?}");
        self.out
    }

    /// What is said on standard error; nothing stands on standard output.
    #[track_caller]
    pub fn problem(self) -> String {
        assert_eq!(self.code, Some(2), "{self:?}");
        assert_eq!(self.out, "", "{}", self.line);
        assert!(!self.err.is_empty() && !self.err.contains("panicked"), "{self:?}");
        self.err
    }
}

pub fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|e| panic!("{e} in {text}"))
}

#[track_caller]
pub fn says(text: &str, parts: &[&str]) {
    // Where a line is broken depends on the width alone.
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in parts {
        assert!(text.contains(part) || flat.contains(part), "no {part:?} in\n{text}");
    }
}
