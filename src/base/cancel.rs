//! How long work tells how far it is and hears that it is no longer wanted.

use std::sync::{
    Arc, Mutex,
    atomic::{AtomicBool, Ordering},
};

/// The work was told to stop; nothing is wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("cancelled")]
pub struct Cancelled;

/// Handed down through long work. Clones share one state.
#[derive(Clone, Default)]
pub struct Progress {
    cancelled: Arc<AtomicBool>,
    state: Arc<Mutex<State>>,
}

#[derive(Default, Clone)]
struct State {
    what: String,
    share: f32,
}

impl Progress {
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    pub fn cancel(&self) {
        self.cancelled.store(true, Ordering::Relaxed);
    }

    /// To be asked in every outer loop.
    ///
    /// # Errors
    /// [`Cancelled`] once [`Progress::cancel`] was called.
    pub fn check(&self) -> Result<(), Cancelled> {
        if self.cancelled.load(Ordering::Relaxed) {
            Err(Cancelled)
        } else {
            Ok(())
        }
    }

    /// Says what is under way and which share of the whole is done, 0..=1.
    pub fn tell(&self, what: &str, share: f32) {
        if let Ok(mut state) = self.state.lock() {
            state.what.clear();
            state.what.push_str(what);
            state.share = share.clamp(0.0, 1.0);
        }
    }

    /// What was told last.
    #[must_use]
    pub fn told(&self) -> (String, f32) {
        self.state
            .lock()
            .map(|s| (s.what.clone(), s.share))
            .unwrap_or_default()
    }
}
