//! Time that work takes, on one core and on all.

use std::{fs, hint::black_box, time::Instant};

use rayon::{ThreadPool, ThreadPoolBuilder};

/// Work is repeated until this much time has gone, s.
const LEAST_S: f64 = 0.4;

pub fn pool(threads: usize) -> ThreadPool {
    ThreadPoolBuilder::new()
        .num_threads(threads)
        .build()
        .unwrap_or_else(|error| panic!("no threads: {error}"))
}

pub fn all_cores() -> ThreadPool {
    pool(std::thread::available_parallelism().map_or(1, usize::from))
}

/// Processor time of this thread, s, where the system tells: other programs on the machine don't count then.
fn processor_s() -> Option<f64> {
    let text = fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    Some(text.split_whitespace().next()?.parse::<f64>().ok()? * 1e-9)
}

/// Mean processor time on one core, and the shortest wall time on all cores, ms.
pub fn measured<T>(one: &ThreadPool, all: &ThreadPool, work: impl Fn() -> T + Sync) -> (f64, f64) {
    let on_one = one.install(|| {
        black_box(work());
        let (wall, processor) = (Instant::now(), processor_s());
        let mut count = 0_u32;
        while count < 3 || wall.elapsed().as_secs_f64() < LEAST_S {
            black_box(work());
            count += 1;
        }
        let spent = match (processor, processor_s()) {
            (Some(from), Some(to)) => to - from,
            _ => wall.elapsed().as_secs_f64(),
        };
        spent / f64::from(count)
    });
    let on_all = all.install(|| {
        (0..5)
            .map(|_| {
                let wall = Instant::now();
                black_box(work());
                wall.elapsed().as_secs_f64()
            })
            .fold(f64::INFINITY, f64::min)
    });
    (on_one * 1e3, on_all * 1e3)
}
