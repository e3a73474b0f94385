//! Who waits for whom: asking, drawing, solving and files have rooms of their own, so that no long work keeps a question waiting.
//!
//! Work runs on threads beside those of the connections. It is told to stop when whoever asked has left or its time is over; a room
//! stays taken until the work in it has ended.

use std::sync::{Arc, LazyLock};
use std::time::Duration;

use numerics::stop::Stop;
use rayon::ThreadPool;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};
use tokio::task::spawn_blocking;
use tokio::time::timeout;

use crate::problem::{Kind, Problem};
use crate::serve::Shared;
use crate::threads::{cores, half, patient};

/// A kind of work, with what it may take of the machine.
pub struct Room {
    /// What is done in it, as in: the shop is busy solving.
    doing: &'static str,
    /// Places for work that runs.
    running: Arc<Semaphore>,
    /// How many those are.
    places: usize,
    /// Places for work that is there, running or waiting.
    present: Arc<Semaphore>,
    /// How many those are.
    all: usize,
    /// How long work waits for its turn.
    patience: Duration,
    /// How long it may take; no limit for what must be done whole.
    limit: Option<Duration>,
    /// Threads of its own for what is shared among cores; those of everybody where there are none.
    threads: Option<ThreadPool>,
}

impl Room {
    fn new(doing: &'static str, running: usize, waiting: usize, patience: u64, limit: Option<u64>) -> Self {
        Self {
            doing,
            running: Arc::new(Semaphore::new(running)),
            places: running,
            present: Arc::new(Semaphore::new(running + waiting)),
            all: running + waiting,
            patience: Duration::from_secs(patience),
            limit: limit.map(Duration::from_secs),
            threads: None,
        }
    }

    /// With threads of its own, which step back for everybody who asks.
    fn patient(mut self) -> Self {
        self.threads = patient();
        self
    }

    /// How much work runs in it, and how much waits.
    pub fn taken(&self) -> [usize; 2] {
        let running = self.places.saturating_sub(self.running.available_permits());
        let present = self.all.saturating_sub(self.present.available_permits());
        [running, present.saturating_sub(running)]
    }
}

/// Questions, and all that is quick.
pub static ASKING: LazyLock<Room> = LazyLock::new(|| Room::new("answering", 4 * cores(), 64, 10, Some(120)));
/// Questions of strangers: those of the shop's own people do not wait for them.
pub static STRANGERS: LazyLock<Room> = LazyLock::new(|| Room::new("answering", cores(), 32, 10, Some(60)));
/// Passwords, which take much memory on purpose: one after the other, so that a flood of them takes no more.
pub static ENTERING: LazyLock<Room> = LazyLock::new(|| Room::new("letting people in", 1, 16, 10, Some(30)));
/// The shelf read anew for strangers, with what they asked of late.
pub static RENEWING: LazyLock<Room> = LazyLock::new(|| Room::new("reading the shelf", 1, 0, 0, None).patient());
/// Fields and pictures of magnets in air.
pub static DRAWING: LazyLock<Room> = LazyLock::new(|| Room::new("drawing", half(), 8, 20, Some(30)).patient());
/// Magnets with steel.
pub static SOLVING: LazyLock<Room> = LazyLock::new(|| Room::new("solving", half(), 8, 60, Some(300)).patient());
/// Price lists in and out: done whole, however long that takes.
pub static FILES: LazyLock<Room> = LazyLock::new(|| Room::new("reading a list", 1, 4, 30, None).patient());

/// Sets a flag when it is dropped: whoever waited has left.
struct Leaves(Stop);

impl Drop for Leaves {
    fn drop(&mut self) {
        self.0.set();
    }
}

/// Seconds after which one who found the shop busy may try again.
const TRY_AGAIN: u32 = 5;

fn busy(room: &Room) -> Problem {
    Problem::new(
        Kind::Busy,
        "busy",
        format!("the shop is busy {}, and others wait already", room.doing),
    )
    .hint("try again in a few seconds")
    .retry_after(TRY_AGAIN)
}

async fn enter(room: &Room) -> Result<[OwnedSemaphorePermit; 2], Problem> {
    let present = room.present.clone().try_acquire_owned().map_err(|_| busy(room))?;
    match timeout(room.patience, room.running.clone().acquire_owned()).await {
        Ok(Ok(running)) => Ok([present, running]),
        _ => Err(busy(room)),
    }
}

/// Does work in a room. It is handed a flag that is set when nobody waits for it any more.
///
/// # Errors
/// What the work says; a room that is full, work that takes too long, a fault of the program.
pub async fn run<T: Send + 'static>(
    room: &'static Room,
    desk: Shared,
    job: impl FnOnce(&Shared, &Stop) -> Result<T, Problem> + Send + 'static,
) -> Result<T, Problem> {
    let places = enter(room).await?;
    let stop = Stop::new();
    let _leaves = Leaves(stop.clone());
    let task = spawn_blocking(move || {
        let _places = places;
        let done = match &room.threads {
            Some(threads) => threads.install(|| job(&desk, &stop)),
            None => job(&desk, &stop),
        };
        done.map_err(|problem| problem.of_file(desk.shop.path()))
    });
    let Some(limit) = room.limit else {
        return task.await.unwrap_or_else(|_| Err(failed()));
    };
    match timeout(limit, task).await {
        Ok(ended) => ended.unwrap_or_else(|_| Err(failed())),
        Err(_) => {
            let detail = format!("the request took longer than {} s and was given up", limit.as_secs());
            Err(Problem::new(Kind::Busy, "it takes too long", detail)
                .hint("ask for less at a time, or again when the shop is less busy")
                .retry_after(TRY_AGAIN))
        }
    }
}

/// A fault of the program, which has been logged where it happened.
fn failed() -> Problem {
    Problem::new(
        Kind::Internal,
        "the program failed",
        "the request could not be finished",
    )
    .hint("other requests are answered; please report what was asked")
}

#[cfg(test)]
mod tests;
