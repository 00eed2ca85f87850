//! Computes outcomes on a thread of its own: the latest request wins, and what it overtakes is cancelled.

use std::{
    sync::{Arc, Condvar, Mutex, PoisonError},
    thread,
    time::{Duration, Instant},
};

use chrono::NaiveDate;

use crate::{
    base::Progress,
    pipeline::{Engine, Outcome},
    site::Site,
};

/// After this long without an answer the window shows how far the work is.
const PATIENCE: Duration = Duration::from_millis(150);

/// Which document was opened, counted, and its revision.
pub type Tag = (u64, u64);

struct Job {
    tag: Tag,
    site: Site,
    today: NaiveDate,
    progress: Progress,
}

#[derive(Default)]
struct Desk {
    next: Option<Job>,
    done: Option<(Tag, Outcome)>,
    closed: bool,
}

struct Shared {
    desk: Mutex<Desk>,
    bell: Condvar,
}

impl Shared {
    fn lock(&self) -> std::sync::MutexGuard<'_, Desk> {
        self.desk.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// The thread and what is asked of it.
pub struct Worker {
    shared: Arc<Shared>,
    asked: Option<(Tag, Progress, Instant)>,
    answered: Option<Tag>,
}

impl Worker {
    /// Starts the thread; `ctx` is woken when an answer is there.
    #[must_use]
    pub fn new(ctx: &egui::Context) -> Self {
        let shared = Arc::new(Shared {
            desk: Mutex::default(),
            bell: Condvar::new(),
        });
        let (theirs, ctx) = (Arc::clone(&shared), ctx.clone());
        // Without a thread nothing is ever answered, and the window says that it waits: no reason to stop.
        let _ = thread::Builder::new()
            .name("outcomes".to_owned())
            .spawn(move || work(&theirs, &ctx));
        Self {
            shared,
            asked: None,
            answered: None,
        }
    }

    /// Asks for the outcome of a site, in place of whatever was asked before.
    pub fn ask(&mut self, tag: Tag, site: &Site, today: NaiveDate) {
        if self.asked.as_ref().is_some_and(|(r, ..)| *r == tag) {
            return;
        }
        if let Some((_, progress, _)) = &self.asked {
            progress.cancel();
        }
        let progress = Progress::new();
        self.asked = Some((tag, progress.clone(), Instant::now()));
        self.shared.lock().next = Some(Job {
            tag,
            site: site.clone(),
            today,
            progress,
        });
        self.shared.bell.notify_one();
    }

    /// The newest answer, once.
    pub fn take(&mut self) -> Option<(Tag, Outcome)> {
        let done = self.shared.lock().done.take();
        if let Some((tag, _)) = &done {
            self.answered = Some(*tag);
        }
        done
    }

    /// Whether something is being computed.
    #[must_use]
    pub fn is_busy(&self) -> bool {
        match (&self.asked, self.answered) {
            (Some((asked, progress, _)), answered) => {
                Some(*asked) != answered && progress.check().is_ok()
            }
            _ => false,
        }
    }

    /// What is under way and which share is done, once it has lasted long enough to be worth a word.
    #[must_use]
    pub fn progress(&self, ctx: &egui::Context) -> Option<(String, f32)> {
        if !self.is_busy() {
            return None;
        }
        let (_, progress, since) = self.asked.as_ref()?;
        let waited = since.elapsed();
        if waited < PATIENCE {
            ctx.request_repaint_after(PATIENCE - waited);
            return None;
        }
        ctx.request_repaint_after(Duration::from_millis(100));
        Some(progress.told())
    }
}

impl Drop for Worker {
    fn drop(&mut self) {
        if let Some((_, progress, _)) = &self.asked {
            progress.cancel();
        }
        self.shared.lock().closed = true;
        self.shared.bell.notify_one();
    }
}

fn work(shared: &Shared, ctx: &egui::Context) {
    let mut engine = Engine::new();
    loop {
        let job = {
            let mut desk = shared.lock();
            loop {
                if desk.closed {
                    return;
                }
                if let Some(job) = desk.next.take() {
                    break job;
                }
                desk = shared
                    .bell
                    .wait(desk)
                    .unwrap_or_else(PoisonError::into_inner);
            }
        };
        match engine.run(&job.site, job.today, &job.progress) {
            Ok(outcome) => shared.lock().done = Some((job.tag, outcome)),
            // So that nobody waits for it.
            Err(_) => job.progress.cancel(),
        }
        ctx.request_repaint();
    }
}
