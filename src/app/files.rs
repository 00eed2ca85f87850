//! Which file the site is in, the system's file dialogs, and the copy kept against a crash.

use std::{
    path::{Path, PathBuf},
    sync::mpsc,
    thread,
    time::{Duration, Instant},
};

use crate::site::{
    Site,
    file::{self, Opened, SiteFileError},
};

/// A dialog that answers sooner than a hand can was never shown.
const NO_DIALOG: Duration = Duration::from_millis(150);

/// Seconds of rest after a change before the copy is written.
const REST_S: f64 = 4.0;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    Open,
    Save,
}

/// What a file dialog gave.
pub enum Picked {
    Path(PathBuf),
    Nothing,
    /// The system has no file dialog.
    NoDialog,
}

pub struct Files {
    /// The site's file, once it has one.
    pub path: Option<PathBuf>,
    /// Where the copy against a crash is kept.
    recovery: Option<PathBuf>,
    /// A copy of an earlier run lies there.
    pub left_over: bool,
    /// Revision in the copy, and when the newest change was seen, s.
    guarded: u64,
    seen: (u64, f64),
    sender: mpsc::Sender<(Purpose, Picked)>,
    receiver: mpsc::Receiver<(Purpose, Picked)>,
}

impl Files {
    #[must_use]
    pub fn new(data_folder: Option<&Path>) -> Self {
        let (sender, receiver) = mpsc::channel();
        let recovery = data_folder.map(|f| f.join("unsaved-copy.ron"));
        Self {
            path: None,
            left_over: recovery.as_ref().is_some_and(|p| p.exists()),
            recovery,
            guarded: 0,
            seen: (0, 0.0),
            sender,
            receiver,
        }
    }

    /// The folder of the site's file.
    #[must_use]
    pub fn folder(&self) -> Option<&Path> {
        self.path.as_deref().and_then(Path::parent)
    }

    /// Shows the system's dialog without holding the window up; the answer comes through [`Files::picked`].
    pub fn pick(&self, ctx: &egui::Context, purpose: Purpose, name: &str) {
        let (sender, ctx) = (self.sender.clone(), ctx.clone());
        let name = name.to_owned();
        let folder = self
            .path
            .as_ref()
            .and_then(|p| p.parent())
            .map(Path::to_owned);
        let shown = thread::Builder::new()
            .name("file dialog".to_owned())
            .spawn(move || {
                let since = Instant::now();
                let mut dialog = rfd::FileDialog::new().add_filter("Sillward site", &["ron"]);
                if let Some(folder) = folder {
                    dialog = dialog.set_directory(folder);
                }
                let path = match purpose {
                    Purpose::Open => dialog.pick_file(),
                    Purpose::Save => dialog.set_file_name(name).save_file(),
                };
                let picked = match path {
                    Some(path) => Picked::Path(path),
                    None if since.elapsed() < NO_DIALOG => Picked::NoDialog,
                    None => Picked::Nothing,
                };
                // The window may be closed by now; then nobody waits for the answer.
                let _ = sender.send((purpose, picked));
                ctx.request_repaint();
            });
        if shown.is_err() {
            let _ = self.sender.send((purpose, Picked::NoDialog));
        }
    }

    /// The answer of a dialog, once.
    pub fn picked(&self) -> Option<(Purpose, Picked)> {
        self.receiver.try_recv().ok()
    }

    /// Keeps a copy of unsaved work once the grower rests. Call every frame.
    ///
    /// # Errors
    /// When the copy cannot be written.
    pub fn guard(
        &mut self,
        ctx: &egui::Context,
        site: &Site,
        revision: u64,
        changed: bool,
    ) -> Result<(), SiteFileError> {
        let Some(recovery) = &self.recovery else {
            return Ok(());
        };
        if !changed || revision == self.guarded {
            return Ok(());
        }
        let now = ctx.input(|i| i.time);
        if self.seen.0 != revision {
            self.seen = (revision, now);
        }
        let rest = REST_S - (now - self.seen.1);
        if rest > 0.0 {
            ctx.request_repaint_after(Duration::from_secs_f64(rest));
            return Ok(());
        }
        self.guarded = revision;
        self.left_over = false;
        file::write(site, recovery)
    }

    /// The copy of an earlier run.
    ///
    /// # Errors
    /// When it cannot be read.
    pub fn recover(&self) -> Option<Result<Opened, SiteFileError>> {
        self.recovery.as_deref().map(file::open)
    }

    /// Throws the copy away: the work is saved, or not wanted.
    pub fn forget_copy(&mut self) {
        self.left_over = false;
        if let Some(path) = &self.recovery {
            // That none is there is what is wanted.
            let _ = std::fs::remove_file(path);
        }
    }

    /// Name under which the window shows the file.
    #[must_use]
    pub fn name(&self) -> String {
        self.path.as_ref().and_then(|p| p.file_name()).map_or_else(
            || "not yet in a file".to_owned(),
            |n| n.to_string_lossy().into_owned(),
        )
    }
}

/// A path as typed: `~` is the home folder.
#[must_use]
pub fn typed_file(text: &str) -> Option<PathBuf> {
    let text = text.trim();
    if text.is_empty() {
        return None;
    }
    Some(match (text.strip_prefix("~/"), std::env::home_dir()) {
        (Some(rest), Some(home)) => home.join(rest),
        _ => PathBuf::from(text),
    })
}

/// A path as typed: `~` is the home folder, and a name without an ending gets `.ron`.
#[must_use]
pub fn typed_path(text: &str) -> Option<PathBuf> {
    let mut path = typed_file(text)?;
    if path.extension().is_none() {
        path.set_extension("ron");
    }
    Some(path)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_typed_name_becomes_a_site_file() {
        assert_eq!(typed_path("  "), None);
        assert_eq!(typed_path(" a/b "), Some(PathBuf::from("a/b.ron")));
        assert_eq!(typed_path("a.ron"), Some(PathBuf::from("a.ron")));
    }
}
