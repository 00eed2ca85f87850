//! A logger's file: read beside the window's work, shown as it was understood, and taken when the grower says so.

use std::{
    fs::File,
    io::BufReader,
    path::{Path, PathBuf},
    sync::mpsc::{self, Receiver, TryRecvError},
    thread,
};

use egui::{RichText, TextEdit, Ui};

use crate::{
    app::{
        parts::{
            figures,
            icons::{Icon, icon_button_ui},
        },
        state::{Request, Sight},
        theme::{self, space, text},
    },
    base::{Id, Progress},
    site::{
        LoggedQuantity, Spot,
        edit::{Edit, Object},
        records::{self, Asked, DateOrder, Preview, Quantity, Question, Reading, TimeKept, keep},
    },
};

/// What a column of a logger's file may be taken for here.
const WANTED: [(Option<Quantity>, &str); 4] = [
    (None, "not read"),
    (Some(Quantity::Temperature), "temperature"),
    (Some(Quantity::Humidity), "relative humidity"),
    (Some(Quantity::Light), "light"),
];

type Answer = Result<Reading, String>;

/// The file that is being looked at.
#[derive(Default)]
pub struct LoggerFile {
    typed: String,
    /// The spot at which the file was opened.
    spot: Option<Id>,
    asked: Asked,
    running: Option<(Progress, Receiver<Answer>)>,
    found: Option<Answer>,
    /// Recorded in the open, not at the spot.
    open: bool,
    dropped: bool,
}

/// Records that were taken, each to be taken away.
pub fn records_ui(ui: &mut Ui, next: &mut Spot) {
    let mut gone = None;
    for (i, logged) in next.logged.iter().enumerate() {
        let of = match logged.quantity {
            LoggedQuantity::Temperature => "temperature",
            LoggedQuantity::Humidity => "humidity",
            LoggedQuantity::Light => "light",
        };
        let place = if logged.open {
            "in the open"
        } else {
            "at the spot"
        };
        ui.push_id(("record", i), |ui| {
            ui.horizontal_wrapped(|ui| {
                let name = format!("Delete record {}", i + 1);
                if icon_button_ui(ui, Icon::Close, &name, true).clicked() {
                    gone = Some(i);
                }
                ui.label(format!(
                    "{}: {of} {place}, {} days from {}",
                    logged.name,
                    logged.days.len(),
                    logged.first_day
                ));
            });
        });
    }
    if let Some(i) = gone {
        next.logged.remove(i);
    }
}

impl LoggerFile {
    /// A file that was dropped on the window.
    pub fn take_path(&mut self, path: &Path) {
        self.typed = path.display().to_string();
        self.dropped = true;
    }

    pub fn show_ui(
        &mut self,
        ui: &mut Ui,
        sight: &Sight<'_>,
        id: &Id,
        requests: &mut Vec<Request>,
    ) {
        if self.spot.as_ref() != Some(id) {
            let kept = self.dropped.then(|| std::mem::take(&mut self.typed));
            *self = Self {
                spot: Some(id.clone()),
                dropped: kept.is_some(),
                typed: kept.unwrap_or_default(),
                ..Self::default()
            };
        }
        self.listen();
        ui.label(text::caption(
            "Drop a file of a temperature, humidity or light logger here, or type its path.",
        ));
        let mut go = std::mem::take(&mut self.dropped);
        ui.horizontal(|ui| {
            let width = (ui.available_width() - 120.0).max(120.0);
            let field = ui
                .add(
                    TextEdit::singleline(&mut self.typed)
                        .hint_text("balcony.csv")
                        .desired_width(width),
                )
                .accessible_name("Path of a logger's file");
            go |= field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
            go |= ui.button("Read the file").clicked();
        });
        if go && !self.typed.trim().is_empty() {
            self.asked = Asked {
                time_zone: sight.site().place.time_zone.clone(),
                today: Some(sight.today),
                ..Asked::default()
            };
            self.start(ui.ctx());
        }
        if self.running.is_some() {
            ui.horizontal(|ui| {
                ui.spinner();
                ui.label(text::soft("Reading the file"));
            });
        }
        let again = match &self.found {
            None => false,
            Some(Err(why)) => {
                let t = theme::tokens(ui);
                ui.add(egui::Label::new(RichText::new(why).color(t.fault)).wrap());
                false
            }
            Some(Ok(reading)) => preview_ui(ui, &reading.preview, &mut self.asked),
        };
        if again {
            self.start(ui.ctx());
        }
        self.take_ui(ui, sight, id, requests);
    }

    fn listen(&mut self) {
        let Some((_, receiver)) = &self.running else {
            return;
        };
        match receiver.try_recv() {
            Ok(answer) => {
                self.found = Some(answer);
                self.running = None;
            }
            Err(TryRecvError::Disconnected) => self.running = None,
            Err(TryRecvError::Empty) => {}
        }
    }

    /// Reads on a thread of its own: a long file must not hold the window up.
    fn start(&mut self, ctx: &egui::Context) {
        if let Some((progress, _)) = self.running.take() {
            progress.cancel();
        }
        let path = PathBuf::from(self.typed.trim());
        let (asked, progress, ctx) = (self.asked.clone(), Progress::new(), ctx.clone());
        let (sender, receiver) = mpsc::channel();
        let watched = progress.clone();
        let begun = thread::Builder::new()
            .name("logger file".to_owned())
            .spawn(move || {
                let answer = File::open(&path)
                    .map_err(|e| format!("{}: {e}", path.display()))
                    .and_then(|file| {
                        records::read(BufReader::new(file), &asked, &watched)
                            .map_err(|e| e.to_string())
                    });
                // The sheet may be closed by now; then nobody waits for the answer.
                let _ = sender.send(answer);
                ctx.request_repaint();
            });
        match begun {
            Ok(_) => self.running = Some((progress, receiver)),
            Err(error) => self.found = Some(Err(format!("the file cannot be read now: {error}"))),
        }
    }

    /// What of the file is wanted, and the button that takes it.
    fn take_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, id: &Id, requests: &mut Vec<Request>) {
        let Some(Ok(Reading {
            records: Some(records),
            ..
        })) = &self.found
        else {
            return;
        };
        let name = Path::new(self.typed.trim())
            .file_name()
            .map_or_else(|| self.typed.clone(), |n| n.to_string_lossy().into_owned());
        let kept: Vec<_> = [
            LoggedQuantity::Temperature,
            LoggedQuantity::Humidity,
            LoggedQuantity::Light,
        ]
        .into_iter()
        .filter_map(|q| keep::logged(records, q, &name, self.open))
        .collect();
        if kept.is_empty() {
            ui.label(text::soft(
                "No column is taken for temperature, humidity or light.",
            ));
            return;
        }
        ui.checkbox(
            &mut self.open,
            "Recorded in the open near by, not at the spot",
        );
        ui.label(text::caption(
            "Kept in the site as hourly means. A record in the open serves every spot: the weather of those days is then known.",
        ));
        let mut taken = false;
        ui.horizontal(|ui| {
            taken = ui.button("Take the record").clicked();
            if ui.button("Leave it").clicked() {
                self.found = None;
            }
        });
        if taken && let Some(spot) = sight.site().spots.get(id) {
            let mut next = Spot::clone(spot);
            next.logged.extend(kept);
            requests.push(Request::Edit(
                format!("Take a record for {}", spot.name),
                Edit::Put(id.clone(), Object::Spot(next)),
            ));
            *self = Self::default();
        }
    }
}

/// How the file was understood. Returns whether something was said that makes it another reading.
fn preview_ui(ui: &mut Ui, preview: &Preview, asked: &mut Asked) -> bool {
    let t = theme::tokens(ui);
    let mut again = false;
    for sentence in preview.sentences() {
        ui.label(sentence);
    }
    if preview.time_assumed {
        ui.horizontal_wrapped(|ui| {
            for (time, word) in [
                (TimeKept::Standard, "It keeps standard time all year"),
                (TimeKept::FromUtc(0), "It keeps UTC"),
            ] {
                if ui.small_button(word).clicked() {
                    asked.time = Some(time);
                    again = true;
                }
            }
        });
    }
    ui.add_space(space::S);
    for column in &preview.columns {
        ui.push_id(("column", column.column), |ui| {
            ui.horizontal_wrapped(|ui| {
                let mut quantity = column
                    .quantity
                    .filter(|q| WANTED.iter().any(|w| w.0 == Some(*q)));
                let before = quantity;
                crate::app::parts::form::choice_ui(
                    ui,
                    &format!("Column {}", column.column + 1),
                    &mut quantity,
                    &WANTED,
                );
                if quantity != before {
                    asked.columns.insert(column.column, quantity);
                    again = true;
                }
                let mut words = column.heading.clone();
                if column.quantity.is_some() {
                    words.push_str(&format!(": {}", column.understood()));
                }
                if let (Some(low), Some(high)) = (column.lowest, column.highest) {
                    let of = |v| figures::signed(v, 1);
                    words.push_str(&format!(", {} to {}", of(low), of(high)));
                }
                ui.label(text::caption(words));
            });
        });
    }
    for row in preview.first_rows.iter().take(3) {
        ui.add(egui::Label::new(text::caption(row.join("   "))).truncate());
    }
    for question in &preview.questions {
        ui.add(egui::Label::new(RichText::new(question.text()).color(t.caution)).wrap());
        ui.horizontal_wrapped(|ui| match question {
            Question::Order { .. } => {
                for order in DateOrder::ALL {
                    if ui.small_button(order.word()).clicked() {
                        asked.order = Some(order);
                        again = true;
                    }
                }
            }
            Question::Unit {
                column, choices, ..
            } => {
                for unit in choices {
                    if ui.small_button(unit.word()).clicked() {
                        asked.units.insert(*column, *unit);
                        again = true;
                    }
                }
            }
        });
    }
    for fault in preview.faults.iter().take(8) {
        let words = RichText::new(fault.to_string())
            .size(text::SMALL)
            .color(t.caution);
        ui.add(egui::Label::new(words).wrap());
    }
    if preview.fault_count > 8 {
        ui.label(text::caption(format!(
            "… and {} more",
            preview.fault_count - 8
        )));
    }
    again
}
