//! Threads for long work, which step back for those that answer questions.

use std::num::NonZero;
use std::thread::available_parallelism;

use rayon::{ThreadPool, ThreadPoolBuilder};

/// How many cores there are.
pub fn cores() -> usize {
    available_parallelism().map_or(1, NonZero::get)
}

/// Half of the cores: somebody who asks meanwhile finds the others free.
pub fn half() -> usize {
    (cores() / 2).max(1)
}

/// Threads for long work on half of the cores, which wait where others want them. `None` where the system gives no threads.
pub fn patient() -> Option<ThreadPool> {
    ThreadPoolBuilder::new()
        .num_threads(half())
        .start_handler(|_| step_back())
        .build()
        .ok()
}

/// How much less of a core a thread wants that steps back: about a tenth of what another has.
#[cfg(target_os = "linux")]
const BACK: i32 = 10;

/// No thread is further back.
#[cfg(target_os = "linux")]
const LAST: i32 = 19;

/// Lets every other thread go first, from now on. The long work is merely not slowed down for others where that is refused.
#[cfg(target_os = "linux")]
fn step_back() {
    // Of this thread alone, which on other systems would be the whole program.
    if let Ok(now) = rustix::process::getpriority_process(None) {
        let _ = rustix::process::setpriority_process(None, (now + BACK).min(LAST));
    }
}

#[cfg(not(target_os = "linux"))]
fn step_back() {}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use super::*;

    #[test]
    fn long_work_steps_back_and_nothing_else_does() {
        let now = || rustix::process::getpriority_process(None).unwrap();
        let before = now();
        assert_eq!(patient().unwrap().install(now), (before + BACK).min(LAST));
        assert_eq!(now(), before);
    }
}
