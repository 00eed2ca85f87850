//! Weather from a file: read, shown, and taken into the climate only when the grower says so.

use std::{
    path::{Path, PathBuf},
    sync::mpsc::{self, Receiver, TryRecvError},
    thread,
};

use egui::{Grid, Ui};

use crate::{
    app::{
        parts::{
            caution::caution_ui, figures, file_choice::FileChoice, form::quantity::Quantity, locale,
        },
        state::{Request, Sight},
        theme::{self, space, text},
    },
    base::{Progress, calendar::MONTH_NAMES},
    climate::import::{self, Imported, WeatherFile, statistics::Months},
    site::{
        Climate, Monthly,
        edit::Edit,
        records::{Asked, DateOrder, Preview, Question},
    },
};

const ENDINGS: &[&str] = &["epw", "csv", "txt", "tsv", "dat"];
/// Row faults shown at most.
/// Width of a column of figures, points.
const FIGURE: f32 = 66.0;
const MOST_FAULTS: usize = 5;

/// The file that is looked at.
#[derive(Default)]
pub struct WeatherSheet {
    choice: FileChoice,
    /// A file that was dropped on the window.
    dropped: Option<PathBuf>,
    path: Option<PathBuf>,
    asked: Asked,
    reading: Option<Reading>,
    read: Option<Result<WeatherFile, String>>,
}

/// A file being read beside the window.
struct Reading {
    progress: Progress,
    answer: Receiver<Result<WeatherFile, String>>,
}

/// What the grower does with the file shown.
enum Choice {
    Take { place_too: bool },
    Leave,
    Order(DateOrder),
    Unit(usize, crate::site::records::Unit),
}

impl WeatherSheet {
    pub fn take_path(&mut self, path: &Path) {
        self.dropped = Some(path.to_owned());
    }

    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        ui.label(text::soft(
            "A typical year by the hour (EPW), or a station's table of days or hours (CSV). You see what is in it before \
             anything is taken.",
        ));
        let chosen = self.choice.ui(ui, "Weather file", "~/station.csv", ENDINGS);
        if let Some(path) = chosen.or_else(|| self.dropped.take()) {
            self.path = Some(path);
            self.asked = Asked {
                time_zone: sight.site().place.time_zone.clone(),
                today: Some(sight.today),
                ..Asked::default()
            };
            self.begin(ui.ctx(), sight);
        }
        self.receive();
        if let Some(reading) = &self.reading {
            ui.horizontal(|ui| {
                ui.label(text::soft("The file is being read."));
                if ui.button("Stop").clicked() {
                    reading.progress.cancel();
                }
            });
        }
        let choice = match &self.read {
            None => None,
            Some(Err(fault)) => {
                caution_ui(ui, &capital(fault));
                None
            }
            Some(Ok(file)) => shown_ui(ui, sight, file),
        };
        match choice {
            None => {}
            Some(Choice::Leave) => self.read = None,
            Some(Choice::Order(order)) => {
                self.asked.order = Some(order);
                self.begin(ui.ctx(), sight);
            }
            Some(Choice::Unit(column, unit)) => {
                self.asked.units.insert(column, unit);
                self.begin(ui.ctx(), sight);
            }
            Some(Choice::Take { place_too }) => {
                if let Some(Ok(file)) = &self.read
                    && let Some(imported) = file.imported()
                {
                    take(sight, imported, place_too, requests);
                }
                self.read = None;
            }
        }
    }

    fn begin(&mut self, ctx: &egui::Context, sight: &Sight<'_>) {
        let Some(path) = self.path.clone() else {
            return;
        };
        let (sender, answer) = mpsc::channel();
        let progress = Progress::new();
        let (asked, place) = (self.asked.clone(), sight.site().place.clone());
        let (ctx, own) = (ctx.clone(), progress.clone());
        let begun = thread::Builder::new()
            .name("weather file".to_owned())
            .spawn(move || {
                let read = import::read(&path, &place, &asked, &own).map_err(|e| e.to_string());
                // Whoever asked may have looked at another file by now.
                let _ = sender.send(read);
                ctx.request_repaint();
            });
        self.read = None;
        self.reading = begun.is_ok().then_some(Reading { progress, answer });
    }

    fn receive(&mut self) {
        let Some(reading) = &self.reading else {
            return;
        };
        match reading.answer.try_recv() {
            Ok(read) => {
                self.read = Some(read);
                self.reading = None;
            }
            Err(TryRecvError::Disconnected) => self.reading = None,
            Err(TryRecvError::Empty) => {}
        }
    }
}

fn take(sight: &Sight<'_>, imported: &Imported, place_too: bool, requests: &mut Vec<Request>) {
    let site = sight.site();
    let place = imported
        .site
        .as_ref()
        .filter(|_| place_too)
        .map(|found| found.place(&site.place));
    let here = place.as_ref().unwrap_or(&site.place);
    let climate = imported.climate(&site.climate, here);
    requests.push(Request::Begin("Take the weather of a file".to_owned()));
    if let Some(place) = place.clone() {
        requests.push(Request::Apply(Edit::SetPlace(place)));
    }
    requests.push(Request::Apply(Edit::SetClimate(climate)));
    requests.push(Request::End);
    requests.push(Request::Say(format!(
        "The climate is that of {} now.",
        imported.source
    )));
}

fn shown_ui(ui: &mut Ui, sight: &Sight<'_>, file: &WeatherFile) -> Option<Choice> {
    let mut choice = None;
    ui.add_space(space::S);
    if let WeatherFile::Table(table) = file {
        choice = preview_ui(ui, &table.preview);
    }
    let Some(imported) = file.imported() else {
        return choice;
    };
    ui.label(text::strong(&imported.source));
    for said in &imported.says {
        ui.label(text::soft(locale::said(said)));
    }
    for doubt in &imported.doubts {
        caution_ui(ui, &locale::said(doubt));
    }
    ui.add_space(space::XS);
    months_ui(ui, sight, imported);
    ui.add_space(space::S);
    let t = theme::tokens(ui);
    ui.horizontal_wrapped(|ui| {
        let first = egui::Button::new(egui::RichText::new("Take it").color(t.on_accent)).fill(t.accent);
        if ui
            .add(first)
            .on_hover_text("Its normals, spreads and hours stand in place of those the site has; Undo takes it back")
            .clicked()
        {
            choice = Some(Choice::Take { place_too: false });
        }
        if let Some(station) = &imported.site
            && ui
                .button("Take it and move the site there")
                .on_hover_text(format!(
                    "{}, {}",
                    figures::coordinates(station.latitude_deg, station.longitude_deg),
                    Quantity::Elevation.words(station.elevation_m, sight.looking.units)
                ))
                .clicked()
        {
            choice = Some(Choice::Take { place_too: true });
        }
        if ui.button("Leave it").clicked() {
            choice = Some(Choice::Leave);
        }
    });
    choice
}

/// How the table was understood, what is wrong in it, and what must be said first.
fn preview_ui(ui: &mut Ui, preview: &Preview) -> Option<Choice> {
    let mut choice = None;
    for sentence in preview.sentences() {
        ui.label(text::soft(sentence));
    }
    for column in preview.columns.iter().filter(|c| c.quantity.is_some()) {
        ui.label(format!("{}: {}", column.heading, column.understood()));
    }
    for fault in preview.faults.iter().take(MOST_FAULTS) {
        caution_ui(ui, &capital(&fault.to_string()));
    }
    for question in &preview.questions {
        ui.label(text::strong(question.text()));
        ui.horizontal(|ui| match question {
            Question::Order { .. } => {
                for order in [DateOrder::DayMonthYear, DateOrder::MonthDayYear] {
                    if ui.button(order.word()).clicked() {
                        choice = Some(Choice::Order(order));
                    }
                }
            }
            Question::Unit {
                column, choices, ..
            } => {
                for unit in choices {
                    if ui.button(unit.word()).clicked() {
                        choice = Some(Choice::Unit(*column, *unit));
                    }
                }
            }
        });
    }
    choice
}

/// Nights and days of the months as they are and as they would be.
fn months_ui(ui: &mut Ui, sight: &Sight<'_>, imported: &Imported) {
    let old: &Climate = &sight.site().climate;
    let s = &imported.statistics;
    let units = sight.looking.units;
    let shown = |c: Option<f64>| {
        c.map_or_else(
            || "–".to_owned(),
            |c| figures::signed(figures::temperature_value(units, c), 1),
        )
    };
    let before = |months: Option<Monthly>| -> Months { months.map_or([None; 12], |m| m.months()) };
    ui.label(text::caption(format!(
        "Night minimum and day maximum, {}: now, and with the file",
        figures::temperature_unit(units)
    )));
    let columns = [
        before(old.normals.night_min_c),
        s.night_min_c,
        before(old.normals.day_max_c),
        s.day_max_c,
    ];
    Grid::new("weather of the file")
        .num_columns(5)
        .striped(true)
        .spacing([space::M, 2.0])
        .show(ui, |ui| {
            for head in ["", "night now", "then", "day now", "then"] {
                figure_ui(ui, text::caption(head));
            }
            ui.end_row();
            for (m, name) in MONTH_NAMES.iter().enumerate() {
                ui.label(text::caption(*name));
                for (i, months) in columns.iter().enumerate() {
                    let value = shown(months.get(m).copied().flatten());
                    figure_ui(
                        ui,
                        if i % 2 == 1 {
                            text::strong(value)
                        } else {
                            text::soft(value)
                        },
                    );
                }
                ui.end_row();
            }
        });
}

/// A cell of one width with its words at the right. The last column of a grid takes all that is left: without a width
/// of its own its figures would stand far from their heading.
fn figure_ui(ui: &mut Ui, words: egui::RichText) {
    ui.allocate_ui_with_layout(
        egui::vec2(FIGURE, 18.0),
        egui::Layout::right_to_left(egui::Align::Center),
        |ui| {
            ui.set_width(FIGURE);
            ui.label(words);
        },
    );
}

fn capital(sentence: &str) -> String {
    let mut chars = sentence.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(chars).collect()
    })
}
