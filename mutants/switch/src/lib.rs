//! Put into the scratch copy of the workspace by `make mutants`: says at run time which mutant is on.

use std::fs::{File, OpenOptions};
use std::io::Write;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{LazyLock, Mutex};

/// The number of the mutant that is on, from `MUTANT`; none where it is not set.
static MUTANT: LazyLock<usize> =
    LazyLock::new(|| std::env::var("MUTANT").map_or(usize::MAX, |text| text.parse().expect("MUTANT is a number")));

/// Where the numbers of the mutants go that were come by, from `MUTANTS_REACHED`.
static REACHED: LazyLock<Option<Mutex<File>>> = LazyLock::new(|| {
    let path = std::env::var_os("MUTANTS_REACHED")?;
    let file = OpenOptions::new().create(true).append(true).open(path);
    Some(Mutex::new(file.expect("the file of reached mutants opens")))
});

const MOST: usize = 1 << 14;
static SEEN: [AtomicBool; MOST] = [const { AtomicBool::new(false) }; MOST];

/// Whether the mutant of this number is on; notes that it was come by.
pub fn on(number: usize) -> bool {
    if !SEEN[number].load(Ordering::Relaxed) && !SEEN[number].swap(true, Ordering::Relaxed) {
        if let Some(file) = &*REACHED {
            let mut file = file.lock().expect("nobody panics while writing");
            file.write_all(format!("{number}\n").as_bytes())
                .expect("a number is written");
        }
    }
    number == *MUTANT
}

/// A data file's text, changed where one of its mutants is on: number, first and last byte, what stands there instead.
pub fn text(whole: &'static str, mutants: &[(usize, usize, usize, &str)]) -> &'static str {
    for &(number, from, to, instead) in mutants {
        if on(number) {
            return Box::leak(format!("{}{instead}{}", &whole[..from], &whole[to..]).into_boxed_str());
        }
    }
    whole
}
