use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc;

use super::*;
use crate::desk::Desk;

fn desk() -> Shared {
    Arc::new(Desk::new(shop::Shop::in_memory().unwrap()))
}

/// A room with that many places, none to wait in, that lasts as long as the tests.
fn room(running: usize, limit: Option<u64>) -> &'static Room {
    Box::leak(Box::new(Room::new("being tried", running, 0, 0, limit)))
}

#[tokio::test]
async fn whoever_leaves_ends_the_work_and_frees_its_place() {
    let room = room(1, None);
    let (began, begun) = mpsc::channel();
    let (ends, ended) = mpsc::channel();
    let work = tokio::spawn(run(room, desk(), move |_, stop| {
        began.send(()).unwrap();
        while !stop.is_set() {
            std::thread::yield_now();
        }
        ends.send(()).unwrap();
        Ok(())
    }));
    spawn_blocking(move || begun.recv().unwrap()).await.unwrap();
    assert_eq!(room.taken(), [1, 0]);
    work.abort();
    spawn_blocking(move || ended.recv().unwrap()).await.unwrap();
    while room.taken() != [0, 0] {
        tokio::task::yield_now().await;
    }
    run(room, desk(), |_, _| Ok(())).await.unwrap();
}

#[tokio::test]
async fn a_full_room_says_so_and_another_is_free() {
    let (full, free) = (room(1, None), room(1, None));
    let (lets_go, let_go) = mpsc::channel::<()>();
    let (began, begun) = mpsc::channel();
    let held = tokio::spawn(run(full, desk(), move |_, _| {
        began.send(()).unwrap();
        let _ = let_go.recv();
        Ok(())
    }));
    spawn_blocking(move || begun.recv().unwrap()).await.unwrap();
    let busy = run(full, desk(), |_, _| Ok(())).await.unwrap_err();
    assert_eq!((busy.status, busy.more.retry_after), (503, Some(TRY_AGAIN)));
    assert!(busy.detail.contains("busy being tried"), "{busy:?}");
    run(free, desk(), |_, _| Ok(())).await.unwrap();
    drop(lets_go);
    held.await.unwrap().unwrap();
}

#[tokio::test]
async fn what_takes_too_long_is_told_to_stop() {
    let room = room(1, Some(0));
    let stopped = Arc::new(AtomicBool::new(false));
    let seen = stopped.clone();
    let problem = run(room, desk(), move |_, stop| {
        while !stop.is_set() {
            std::thread::yield_now();
        }
        seen.store(true, Ordering::Relaxed);
        Ok(())
    })
    .await
    .unwrap_err();
    assert_eq!(problem.status, 503);
    while !stopped.load(Ordering::Relaxed) {
        tokio::task::yield_now().await;
    }
}

#[tokio::test]
async fn a_fault_costs_one_request() {
    for room in [room(1, None), room(1, Some(60))] {
        let fault = run(room, desk(), |_, _| -> Result<(), Problem> {
            panic!("made for this test")
        });
        assert_eq!(fault.await.unwrap_err().status, 500);
        run(room, desk(), |_, _| Ok(())).await.unwrap();
    }
}

#[tokio::test]
async fn questions_are_answered_while_everything_else_is_taken() {
    let mut holds = Vec::new();
    for room in [&*DRAWING, &*SOLVING, &*FILES] {
        let (lets_go, let_go) = mpsc::channel::<()>();
        let (began, begun) = mpsc::channel();
        let held = tokio::spawn(run(room, desk(), move |_, _| {
            began.send(()).unwrap();
            let _ = let_go.recv();
            Ok(())
        }));
        spawn_blocking(move || begun.recv().unwrap()).await.unwrap();
        holds.push((lets_go, held));
    }
    let desk = Arc::new(Desk::new(shop::demo::in_memory().unwrap()));
    let units = quantity::Units::metric();
    let wish = crate::desk::Wish::default();
    run(&ASKING, desk, move |desk, _| {
        desk.reply("hold 1 kg on steel", wish, &units)
    })
    .await
    .unwrap();
    for (lets_go, held) in holds {
        drop(lets_go);
        held.await.unwrap().unwrap();
    }
}

#[tokio::test]
async fn a_question_whose_asker_has_left_ends() {
    let desk = Arc::new(Desk::new(shop::demo::in_memory().unwrap()));
    let (began, begun) = mpsc::channel();
    let (ended, end) = mpsc::channel();
    let asked = tokio::spawn(run(room(1, None), desk, move |desk, stop| {
        began.send(()).unwrap();
        while !stop.is_set() {
            std::thread::yield_now();
        }
        let wish = crate::desk::Wish {
            stop: stop.clone(),
            ..crate::desk::Wish::default()
        };
        let answered = desk.reply("hold 1 kg on steel", wish, &quantity::Units::metric());
        ended.send(answered.map(drop)).unwrap();
        Ok(())
    }));
    spawn_blocking(move || begun.recv().unwrap()).await.unwrap();
    asked.abort();
    let answered = spawn_blocking(move || end.recv().unwrap()).await.unwrap();
    let problem = answered.unwrap_err();
    assert_eq!((problem.status, problem.title.as_str()), (503, "stopped"));
}
