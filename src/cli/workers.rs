//! Many things worked on with several threads, and what comes of each handed over in their order. No more of
//! them are in hand than a few for each thread, so that memory doesn't grow with their number.

use std::collections::BTreeMap;
use std::iter::Enumerate;
use std::ops::ControlFlow;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::thread::{available_parallelism, panicking};

use rayon::{ThreadPool, ThreadPoolBuilder};

/// No more threads than this, whatever is asked for.
const MOST: usize = 64;

/// So many things are in hand for each thread: where one takes long, the others have something to do
/// meanwhile.
const IN_HAND: usize = 4;

/// Works on things with a thread for each processor, or as many as `RAYON_NUM_THREADS` asks for. What comes of
/// each is handed to `deliver`, in their order, each as soon as it is its turn, until that breaks off. There are
/// threads only where there is more than one thing, and the system gives some.
pub fn in_order<P: Send, R: Send>(
    mut things: impl Iterator<Item = P> + Send,
    work: impl Fn(usize, &P) -> R + Sync,
    mut deliver: impl FnMut(usize, P, R) -> ControlFlow<()>,
) {
    let first: Vec<P> = things.by_ref().take(2).collect();
    let pool = (first.len() > 1).then(threads).flatten();
    let things = first.into_iter().chain(things);
    let Some(pool) = pool else {
        return alone(things, work, deliver);
    };
    let queue = WorkQueue::of(things, pool.current_num_threads() * IN_HAND);
    pool.in_place_scope(|scope| {
        // Each thread does this once and no thread does it for another: it may wait for its turn.
        scope.spawn_broadcast(|_, _| queue.work(&work));
        let _end = End::always(&queue);
        while let Some((at, thing, result)) = queue.next_result() {
            if deliver(at, thing, result).is_break() {
                break;
            }
        }
    });
}

fn alone<P, R>(
    things: impl Iterator<Item = P>,
    work: impl Fn(usize, &P) -> R,
    mut deliver: impl FnMut(usize, P, R) -> ControlFlow<()>,
) {
    for (at, thing) in things.enumerate() {
        let result = work(at, &thing);
        if deliver(at, thing, result).is_break() {
            break;
        }
    }
}

fn threads() -> Option<ThreadPool> {
    ThreadPoolBuilder::new().num_threads(wanted()).build().ok()
}

fn wanted() -> usize {
    let asked = std::env::var("RAYON_NUM_THREADS").ok();
    let asked = asked.and_then(|number| number.parse().ok());
    let here = || available_parallelism().map_or(1, |number| number.get());
    asked
        .filter(|number| *number > 0)
        .unwrap_or_else(here)
        .min(MOST)
}

/// Things to be worked on, and what came of them and waits for its turn.
struct WorkQueue<I: Iterator, R> {
    /// What is still to be begun; whoever holds it takes the next.
    things: Mutex<Enumerate<I>>,
    in_hand: Mutex<InHand<I::Item, R>>,
    /// There may be a result to deliver.
    came: Condvar,
    /// There may be room for another thing.
    room: Condvar,
    most: usize,
}

/// What is begun and not yet delivered.
struct InHand<P, R> {
    results: BTreeMap<usize, (P, R)>,
    begun: usize,
    delivered: usize,
    /// Whether nothing more is to be begun.
    all_begun: bool,
}

impl<P: Send, R: Send, I: Iterator<Item = P> + Send> WorkQueue<I, R> {
    fn of(things: I, most: usize) -> Self {
        Self {
            things: Mutex::new(things.enumerate()),
            in_hand: Mutex::new(InHand {
                results: BTreeMap::new(),
                begun: 0,
                delivered: 0,
                all_begun: false,
            }),
            came: Condvar::new(),
            room: Condvar::new(),
            most,
        }
    }

    fn work(&self, work: &impl Fn(usize, &P) -> R) {
        let _end = End::on_panic(self);
        while let Some((at, thing)) = self.next_thing() {
            let result = work(at, &thing);
            let mut in_hand = locked(&self.in_hand);
            in_hand.results.insert(at, (thing, result));
            if at == in_hand.delivered {
                self.came.notify_one();
            }
        }
    }

    /// The next thing, once there is room for it.
    fn next_thing(&self) -> Option<(usize, P)> {
        let mut things = locked(&self.things);
        let full = |in_hand: &mut InHand<P, R>| {
            !in_hand.all_begun && in_hand.begun - in_hand.delivered >= self.most
        };
        let in_hand = self.room.wait_while(locked(&self.in_hand), full);
        if in_hand.unwrap_or_else(PoisonError::into_inner).all_begun {
            return None;
        }
        // Without that lock: to read it may take long, and what has come can be delivered meanwhile.
        let next = things.next();
        let mut in_hand = locked(&self.in_hand);
        match next {
            Some(_) => in_hand.begun += 1,
            None => {
                in_hand.all_begun = true;
                self.came.notify_one();
            }
        }
        next
    }

    /// What came of the next thing whose turn it is; `None` after the last.
    fn next_result(&self) -> Option<(usize, P, R)> {
        let waits = |in_hand: &mut InHand<P, R>| {
            let ended = in_hand.all_begun && in_hand.delivered == in_hand.begun;
            !ended && !in_hand.results.contains_key(&in_hand.delivered)
        };
        let in_hand = self.came.wait_while(locked(&self.in_hand), waits);
        let mut in_hand = in_hand.unwrap_or_else(PoisonError::into_inner);
        let at = in_hand.delivered;
        let (thing, result) = in_hand.results.remove(&at)?;
        in_hand.delivered += 1;
        self.room.notify_one();
        Some((at, thing, result))
    }

    /// Nothing more is begun, and nothing waited for.
    fn end(&self) {
        let mut in_hand = locked(&self.in_hand);
        in_hand.all_begun = true;
        in_hand.begun = in_hand.delivered;
        self.came.notify_one();
        self.room.notify_all();
    }
}

fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Ends a queue when it goes: nobody may wait for somebody who is gone.
struct End<'a, P: Send, R: Send, I: Iterator<Item = P> + Send> {
    queue: &'a WorkQueue<I, R>,
    always: bool,
}

impl<'a, P: Send, R: Send, I: Iterator<Item = P> + Send> End<'a, P, R, I> {
    const fn always(queue: &'a WorkQueue<I, R>) -> Self {
        Self {
            queue,
            always: true,
        }
    }

    const fn on_panic(queue: &'a WorkQueue<I, R>) -> Self {
        Self {
            queue,
            always: false,
        }
    }
}

impl<P: Send, R: Send, I: Iterator<Item = P> + Send> Drop for End<'_, P, R, I> {
    fn drop(&mut self) {
        if self.always || panicking() {
            self.queue.end();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::{AtomicUsize, Ordering};
    use std::time::Duration;

    #[test]
    fn results_come_in_order_with_and_without_threads() {
        for count in [0, 1, 2, 500] {
            let (mut one, mut other) = (Vec::new(), Vec::new());
            let keep = |into: &mut Vec<usize>, at, thing, result: usize| {
                assert_eq!((at, result), (thing, at * at));
                into.push(result);
                ControlFlow::Continue(())
            };
            in_order(
                0..count,
                |at, thing| at * thing,
                |at, t, r| keep(&mut one, at, t, r),
            );
            alone(
                0..count,
                |at, thing| at * thing,
                |at, t, r| keep(&mut other, at, t, r),
            );
            assert_eq!((one.len(), &one), (count, &other));
        }
    }

    #[test]
    fn what_is_broken_off_begins_little_more_and_a_slow_one_holds_up_few() {
        let begun = AtomicUsize::new(0);
        let most = wanted() * IN_HAND;
        let mut ahead = 0;
        in_order(
            0..10_000,
            |at, _| {
                begun.fetch_add(1, Ordering::SeqCst);
                let slow = if at == 0 { 30 } else { 0 };
                std::thread::sleep(Duration::from_millis(slow));
            },
            |at, _, ()| {
                ahead = begun.load(Ordering::SeqCst) - at;
                ControlFlow::Break(())
            },
        );
        assert!((1..=most).contains(&ahead), "{ahead} of {most}");
        assert!(begun.load(Ordering::SeqCst) <= 2 * most);
    }

    #[test]
    fn a_panic_of_one_ends_all() {
        let ended = std::panic::catch_unwind(|| {
            let work = |at, _: &_| assert_ne!(at, 3, "as it should");
            in_order(0..1_000, work, |_, _, ()| ControlFlow::Continue(()));
        });
        assert!(ended.is_err());
    }
}
