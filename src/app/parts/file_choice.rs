//! Choosing a file to read: its path typed, or found in the system's dialog.

use std::{
    path::PathBuf,
    sync::mpsc::{self, Receiver, TryRecvError},
    thread,
};

use egui::{Key, TextEdit, Ui};

use crate::app::{files, parts::form::row_ui};

/// Room that the two buttons take, and the least that is left for the field.
const BUTTONS: f32 = 150.0;
const LEAST_FIELD: f32 = 100.0;

#[derive(Default)]
pub struct FileChoice {
    typed: String,
    /// The answer of a dialog that is open.
    answer: Option<Receiver<Option<PathBuf>>>,
}

impl FileChoice {
    /// A field and two buttons; the path once one is chosen. `endings` are those the dialog shows.
    pub fn ui(
        &mut self,
        ui: &mut Ui,
        name: &str,
        hint: &str,
        endings: &'static [&'static str],
    ) -> Option<PathBuf> {
        let mut go = false;
        let mut below = false;
        row_ui(ui, name, |ui| {
            // Where the row is too short for both, the buttons stand below the field.
            below = ui.available_width() < BUTTONS + LEAST_FIELD;
            let rest = if below { 0.0 } else { BUTTONS };
            let field = TextEdit::singleline(&mut self.typed)
                .hint_text(hint)
                .desired_width((ui.available_width() - rest).clamp(60.0, 260.0));
            let r = ui.add(field).accessible_name(name);
            go = r.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
            if !below {
                go |= self.buttons_ui(ui, endings);
            }
        });
        if below {
            ui.horizontal(|ui| go |= self.buttons_ui(ui, endings));
        }
        match self.answer.as_ref().map(Receiver::try_recv) {
            Some(Ok(Some(path))) => {
                self.answer = None;
                self.typed = path.display().to_string();
                return Some(path);
            }
            Some(Ok(None) | Err(TryRecvError::Disconnected)) => self.answer = None,
            Some(Err(TryRecvError::Empty)) | None => {}
        }
        if go {
            files::typed_file(&self.typed)
        } else {
            None
        }
    }

    /// True when the file is to be read.
    fn buttons_ui(&mut self, ui: &mut Ui, endings: &'static [&'static str]) -> bool {
        let read = ui
            .button("Read")
            .on_hover_text("Reads the file and shows what is in it; nothing is taken yet")
            .clicked();
        if ui
            .button("Browse…")
            .on_hover_text("Shows the system's file dialog, where there is one")
            .clicked()
            && self.answer.is_none()
        {
            self.browse(ui.ctx(), endings);
        }
        read
    }

    fn browse(&mut self, ctx: &egui::Context, endings: &'static [&'static str]) {
        let (sender, receiver) = mpsc::channel();
        let ctx = ctx.clone();
        let shown = thread::Builder::new()
            .name("file dialog".to_owned())
            .spawn(move || {
                let picked = rfd::FileDialog::new()
                    .add_filter("Files that can be read", endings)
                    .add_filter("All files", &["*"])
                    .pick_file();
                // The window may be closed by now; then nobody waits for the answer.
                let _ = sender.send(picked);
                ctx.request_repaint();
            });
        self.answer = shown.is_ok().then_some(receiver);
    }
}
