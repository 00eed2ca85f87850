//! A site under edit, with undo and redo by snapshots that share what did not change.
//!
//! There is no inverse of an edit to get wrong: all undone gives the very same site by construction.

use std::collections::VecDeque;

use super::{
    Site,
    edit::{Edit, EditError},
};

/// Steps kept at most.
const MOST_STEPS: usize = 1_000;

/// Table entries kept for all steps together, at most: about 100 MB. A step holds a few pointers and the tables that
/// it changed.
const MOST_ENTRIES: usize = 2_000_000;

#[derive(Clone, Debug)]
struct Step {
    name: String,
    before: Site,
    /// Table entries that the step does not share with the state after it.
    entries: usize,
}

/// The site being edited, and the way back.
#[derive(Clone, Debug)]
pub struct Document {
    site: Site,
    done: VecDeque<Step>,
    undone: Vec<Step>,
    open: Option<Step>,
    /// Grows with every change, also by undo and redo.
    revision: u64,
    /// As it is in the file; `None` when it is in none.
    saved: Option<Site>,
}

impl Document {
    /// A document as it was read: nothing to undo, nothing to save.
    #[must_use]
    pub fn new(site: Site) -> Self {
        Self {
            saved: Some(site.clone()),
            site,
            done: VecDeque::new(),
            undone: Vec::new(),
            open: None,
            revision: 0,
        }
    }

    #[must_use]
    pub fn site(&self) -> &Site {
        &self.site
    }

    #[must_use]
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// Whether anything differs from what is in the file.
    #[must_use]
    pub fn is_changed(&self) -> bool {
        self.saved.as_ref() != Some(&self.site)
    }

    /// Says that the present state is in the file.
    pub fn mark_saved(&mut self) {
        self.saved = Some(self.site.clone());
    }

    /// Says that this document is in no file of the grower's, such as work recovered after a crash.
    pub fn mark_unsaved(&mut self) {
        self.saved = None;
    }

    /// One edit as one step.
    ///
    /// # Errors
    /// [`EditError`]; nothing is changed then.
    pub fn edit(&mut self, name: &str, edit: Edit) -> Result<(), EditError> {
        if self.open.is_some() {
            return self.apply(edit);
        }
        self.begin(name);
        let result = self.apply(edit);
        self.end();
        result
    }

    /// Opens a step of several edits, such as a drag. Its name is what the undo command will show.
    pub fn begin(&mut self, name: &str) {
        self.end();
        self.open = Some(Step {
            name: name.to_owned(),
            before: self.site.clone(),
            entries: 0,
        });
    }

    /// An edit within the open step.
    ///
    /// # Errors
    /// [`EditError`]; nothing is changed then.
    pub fn apply(&mut self, edit: Edit) -> Result<(), EditError> {
        self.site.apply(edit)?;
        self.revision += 1;
        Ok(())
    }

    /// Closes the open step: one step back, or none if nothing differs.
    pub fn end(&mut self) {
        if let Some(mut step) = self.open.take()
            && step.before != self.site
        {
            step.entries = step.before.entries_apart(&self.site);
            self.undone.clear();
            self.done.push_back(step);
            self.forget();
        }
    }

    /// Lets go of the oldest steps where too much is kept. The last one always stays.
    fn forget(&mut self) {
        let mut entries: usize = self.done.iter().map(|s| s.entries).sum();
        while self.done.len() > MOST_STEPS || (entries > MOST_ENTRIES && self.done.len() > 1) {
            let Some(oldest) = self.done.pop_front() else {
                return;
            };
            entries -= oldest.entries;
        }
    }

    /// Steps that can be taken back.
    #[must_use]
    pub fn steps(&self) -> usize {
        self.done.len()
    }

    /// Takes the open step back as if it had never begun.
    pub fn abandon(&mut self) {
        if let Some(step) = self.open.take()
            && step.before != self.site
        {
            self.site = step.before;
            self.revision += 1;
        }
    }

    #[must_use]
    pub fn is_open(&self) -> bool {
        self.open.is_some()
    }

    /// Name of the step that [`Document::undo`] would take back.
    #[must_use]
    pub fn undo_name(&self) -> Option<&str> {
        self.done.back().map(|s| s.name.as_str())
    }

    #[must_use]
    pub fn redo_name(&self) -> Option<&str> {
        self.undone.last().map(|s| s.name.as_str())
    }

    /// Goes one step back; false if there is none.
    pub fn undo(&mut self) -> bool {
        self.end();
        let Some(step) = self.done.pop_back() else {
            return false;
        };
        let after = std::mem::replace(&mut self.site, step.before);
        self.undone.push(Step {
            name: step.name,
            before: after,
            entries: step.entries,
        });
        self.revision += 1;
        true
    }

    /// Goes one step forward again; false if there is none.
    pub fn redo(&mut self) -> bool {
        self.end();
        let Some(step) = self.undone.pop() else {
            return false;
        };
        let before = std::mem::replace(&mut self.site, step.before);
        self.done.push_back(Step {
            name: step.name,
            before,
            entries: step.entries,
        });
        self.revision += 1;
        true
    }
}
