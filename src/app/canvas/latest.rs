//! Work on a thread of its own of which only the latest counts. The window asks and goes on; a job that is overtaken
//! is cancelled, and its answer never seen.

use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};

use crate::base::Progress;

struct Slot<J, A> {
    job: Option<J>,
    running: Option<Progress>,
    answer: Option<A>,
    closed: bool,
}

type Shared<J, A> = Arc<(Mutex<Slot<J, A>>, Condvar)>;

/// A worker that is started with the first job.
pub struct Latest<J, A> {
    name: &'static str,
    work: fn(J, &Progress) -> Option<A>,
    shared: Option<Shared<J, A>>,
}

fn locked<J, A>(slot: &Mutex<Slot<J, A>>) -> MutexGuard<'_, Slot<J, A>> {
    slot.lock().unwrap_or_else(PoisonError::into_inner)
}

impl<J: Send + 'static, A: Send + 'static> Latest<J, A> {
    /// `work` answers `None` when it was cancelled.
    #[must_use]
    pub fn new(name: &'static str, work: fn(J, &Progress) -> Option<A>) -> Self {
        Self {
            name,
            work,
            shared: None,
        }
    }

    /// Asks for this job in place of any before it.
    pub fn ask(&mut self, ctx: &egui::Context, job: J) {
        let (name, work) = (self.name, self.work);
        let shared = self
            .shared
            .get_or_insert_with(|| start(name, work, ctx.clone()));
        let (slot, bell) = &**shared;
        let mut slot = locked(slot);
        if let Some(running) = &slot.running {
            running.cancel();
        }
        slot.job = Some(job);
        slot.answer = None;
        bell.notify_one();
    }

    /// How far the job is that is being worked on.
    #[must_use]
    pub fn told(&self) -> Option<(String, f32)> {
        let slot = locked(&self.shared.as_ref()?.0);
        slot.running.as_ref().map(Progress::told)
    }

    /// The answer to the latest job, once.
    pub fn take(&mut self) -> Option<A> {
        locked(&self.shared.as_ref()?.0).answer.take()
    }
}

impl<J, A> Drop for Latest<J, A> {
    fn drop(&mut self) {
        if let Some(shared) = &self.shared {
            let mut slot = locked(&shared.0);
            slot.closed = true;
            if let Some(running) = &slot.running {
                running.cancel();
            }
            shared.1.notify_one();
        }
    }
}

fn start<J: Send + 'static, A: Send + 'static>(
    name: &str,
    work: fn(J, &Progress) -> Option<A>,
    ctx: egui::Context,
) -> Shared<J, A> {
    let shared: Shared<J, A> = Arc::new((
        Mutex::new(Slot {
            job: None,
            running: None,
            answer: None,
            closed: false,
        }),
        Condvar::new(),
    ));
    let theirs = Arc::clone(&shared);
    // Without a thread there are no pictures; everything else works.
    let _ = std::thread::Builder::new()
        .name(name.to_owned())
        .spawn(move || {
            let (slot, bell) = &*theirs;
            while let Some((job, progress)) = next(slot, bell) {
                let answer = work(job, &progress);
                let mut slot = locked(slot);
                slot.running = None;
                if slot.job.is_none() && answer.is_some() {
                    slot.answer = answer;
                    drop(slot);
                    ctx.request_repaint();
                }
            }
        });
    shared
}

/// Waits for a job; `None` when the window has closed.
fn next<J, A>(slot: &Mutex<Slot<J, A>>, bell: &Condvar) -> Option<(J, Progress)> {
    let mut guard = locked(slot);
    loop {
        if guard.closed {
            return None;
        }
        if let Some(job) = guard.job.take() {
            let progress = Progress::new();
            guard.running = Some(progress.clone());
            return Some((job, progress));
        }
        guard = bell.wait(guard).unwrap_or_else(PoisonError::into_inner);
    }
}

#[cfg(test)]
mod tests {
    use std::{thread, time::Duration};

    use super::*;

    /// Works until it is cancelled, but for an even number, which is done at once.
    fn work(job: u32, progress: &Progress) -> Option<u32> {
        if job.is_multiple_of(2) {
            return Some(job);
        }
        loop {
            progress.check().ok()?;
            thread::sleep(Duration::from_millis(1));
        }
    }

    #[test]
    fn only_the_latest_job_is_answered() {
        let ctx = egui::Context::default();
        let mut latest = Latest::new("test", work);
        assert_eq!(latest.take(), None);
        for job in [1, 3, 5, 8] {
            latest.ask(&ctx, job);
        }
        let answer = (0..5_000).find_map(|_| {
            thread::sleep(Duration::from_millis(1));
            latest.take()
        });
        assert_eq!(answer, Some(8));
        assert_eq!(latest.take(), None);
    }
}
