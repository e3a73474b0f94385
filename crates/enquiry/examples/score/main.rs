//! Scores the reader on files of enquiries with expected readings: `cargo run -p enquiry --example score -- FILE...`.
//!
//! Options: `-q` for the summary alone, `-v` for what was right too, `--only KIND` for one kind, `--id ID` for one enquiry.

#[path = "../../tests/scorer/mod.rs"]
mod scorer;
mod table;

use scorer::Scored;

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let value = |flag: &str| {
        args.iter()
            .position(|a| a == flag)
            .and_then(|i| args.get(i + 1))
            .cloned()
    };
    let (only, id) = (value("--only"), value("--id"));
    let quiet = args.iter().any(|a| a == "-q");
    let loud = args.iter().any(|a| a == "-v") || id.is_some();
    let files = args.iter().enumerate().filter(|(i, a)| {
        !a.starts_with('-')
            && !i
                .checked_sub(1)
                .is_some_and(|p| args[p] == "--only" || args[p] == "--id")
    });
    let vocabulary = scorer::vocabulary();
    let mut all: Vec<Scored> = Vec::new();
    for (_, file) in files {
        let text = std::fs::read_to_string(file).unwrap_or_else(|e| panic!("{file}: {e}"));
        for case in scorer::cases(&text) {
            if only.as_ref().is_some_and(|k| *k != case.kind) || id.as_ref().is_some_and(|k| *k != case.id) {
                continue;
            }
            all.push(scorer::score(
                &case,
                &enquiry::read(&case.text, &vocabulary),
                &vocabulary,
            ));
        }
    }
    for s in all.iter().filter(|s| !quiet && (loud || !s.grade.is_right())) {
        table::fault(s);
        if loud {
            println!("   expect {}\n   got    {} asks {:?}", s.case.expect, s.got, s.asks);
        }
    }
    table::print(&all);
}
