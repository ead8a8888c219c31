//! The threads that charts are worked on with.

use std::cell::OnceCell;
use std::thread::available_parallelism;

use rayon::prelude::*;
use rayon::{ThreadPool, ThreadPoolBuilder};

/// No more threads than this, whatever is asked for.
const MOST: usize = 64;

/// A thread for each processor, or as many as `RAYON_NUM_THREADS` asks for: started when there is more
/// than one thing to do.
#[derive(Default)]
pub struct Workers {
    /// `None` where the system gives no threads: then the work is done one after the other.
    pool: OnceCell<Option<ThreadPool>>,
}

impl Workers {
    /// What comes of each thing, in their order.
    pub fn each<P: Sync, R: Send>(
        &self,
        things: &[P],
        work: impl Fn(usize, &P) -> R + Sync,
    ) -> Vec<R> {
        let numbered = |(at, thing)| work(at, thing);
        match self.pool(things.len()) {
            Some(pool) => pool.install(|| things.par_iter().enumerate().map(numbered).collect()),
            None => things.iter().enumerate().map(numbered).collect(),
        }
    }

    fn pool(&self, things: usize) -> Option<&ThreadPool> {
        if things < 2 {
            return None;
        }
        let start = || ThreadPoolBuilder::new().num_threads(wanted()).build().ok();
        self.pool.get_or_init(start).as_ref()
    }
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

#[cfg(test)]
mod tests {
    use super::Workers;

    #[test]
    fn results_come_in_order_with_and_without_threads() {
        let things: Vec<usize> = (0..500).collect();
        let squares: Vec<usize> = things.iter().map(|thing| thing * thing).collect();
        let none = Workers { pool: None.into() };
        for workers in [Workers::default(), none] {
            assert_eq!(workers.each(&things, |at, thing| at * thing), squares);
        }
    }
}
