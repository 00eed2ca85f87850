//! Files dropped on the window: a site is opened, weather goes to the climate, a logger's table to a spot.

use std::path::{Path, PathBuf};

use egui::{Align2, Id, LayerId, Order, Stroke, StrokeKind, Ui};

use super::{
    App,
    asks::{Ask, Next},
};
use crate::{
    app::{
        parts::form::first_ui,
        state::Sheet,
        theme::{self, space, text},
    },
    base::Id as ObjectId,
    site::Site,
};

/// Endings of tables.
const TABLES: &[&str] = &["csv", "txt", "tsv", "dat"];

/// A table that could be either.
pub(super) struct TableAsk {
    pub path: PathBuf,
    spot: Option<ObjectId>,
}

/// What the grower says it is.
pub(super) enum TableIs {
    Weather(PathBuf),
    Logger(PathBuf, ObjectId),
    Nothing,
}

impl App {
    pub(super) fn take_dropped(&mut self, ctx: &egui::Context, path: &Path) {
        let ending = path
            .extension()
            .map(|e| e.to_string_lossy().to_lowercase())
            .unwrap_or_default();
        let table = TABLES.contains(&ending.as_str());
        match (&self.sheet, ending.as_str()) {
            (_, "ron") => self.ask_before(ctx, Next::File(path.to_owned())),
            (Some(Sheet::Readings(_)), _) if table => self.sheets.take_logger_file(path),
            (_, "epw") => self.take_weather(path),
            (Some(Sheet::Climate), _) if table => self.take_weather(path),
            _ if table => {
                self.ask = Some(Ask::Table(TableAsk {
                    path: path.to_owned(),
                    spot: self.document.site().spots.ids().next().cloned(),
                }));
            }
            _ => self.says.fault(format!(
                "{} is not read here. A site ends in .ron, a typical year of weather in .epw, a table of a station or a \
                 logger in .csv, .tsv, .txt or .dat.",
                path.file_name().unwrap_or_default().to_string_lossy()
            )),
        }
    }

    fn take_weather(&mut self, path: &Path) {
        self.sheet = Some(Sheet::Climate);
        self.sheets.take_weather_file(path);
    }

    pub(super) fn take_table(&mut self, is: TableIs) {
        self.ask = None;
        match is {
            TableIs::Weather(path) => self.take_weather(&path),
            TableIs::Logger(path, spot) => {
                self.sheet = Some(Sheet::Readings(spot));
                self.sheets.take_logger_file(&path);
            }
            TableIs::Nothing => {}
        }
    }
}

/// What a table is of.
pub(super) fn table_ui(ui: &mut Ui, ask: &mut TableAsk, site: &Site) -> Option<TableIs> {
    let mut is = None;
    let name = ask.path.file_name().unwrap_or_default().to_string_lossy();
    ui.label(text::heading("What is in this table?"));
    ui.label(text::soft(name.as_ref()));
    ui.add_space(space::S);
    if let Some(spot) = ask.spot.clone() {
        ui.horizontal(|ui| {
            if first_ui(ui, "What a logger recorded") {
                is = Some(TableIs::Logger(ask.path.clone(), spot.clone()));
            }
            let shown = site.name_of(crate::site::edit::ObjectKind::Spot, &spot);
            let inner = egui::ComboBox::from_id_salt("spot of the logger")
                .selected_text(&shown)
                .width(220.0)
                .truncate()
                .show_ui(ui, |ui| {
                    for (id, s) in site.spots.iter() {
                        if ui.selectable_label(*id == spot, s.name.as_str()).clicked() {
                            ask.spot = Some(id.clone());
                        }
                    }
                });
            inner
                .response
                .accessible_name(format!("Spot of the logger: {shown}"));
        });
    }
    ui.horizontal(|ui| {
        if ui
            .button("The weather of the place")
            .on_hover_text(
                "A station's days or hours. You see what is in it before anything is taken.",
            )
            .clicked()
        {
            is = Some(TableIs::Weather(ask.path.clone()));
        }
        if ui.button("Cancel").clicked() {
            is = Some(TableIs::Nothing);
        }
    });
    is
}

/// While a file hangs over the window: what letting go of it will do.
pub(super) fn hover_paint(ui: &Ui) {
    if ui.ctx().input(|i| i.raw.hovered_files.is_empty()) {
        return;
    }
    let t = theme::tokens(ui);
    let rect = ui.ctx().content_rect().shrink(10.0);
    let painter = ui
        .ctx()
        .layer_painter(LayerId::new(Order::Foreground, Id::unique("file above")));
    painter.rect_stroke(rect, 8, Stroke::new(3.0, t.accent), StrokeKind::Inside);
    let words = "A site is opened. Weather goes to the climate. A logger's table goes to a spot.";
    let galley = painter.layout_no_wrap(words.to_owned(), text::semibold(text::BODY), t.on_accent);
    let plate =
        Align2::CENTER_CENTER.anchor_size(rect.center(), galley.size() + egui::vec2(36.0, 24.0));
    painter.rect_filled(plate, 8, t.accent);
    painter.galley(plate.min + egui::vec2(18.0, 12.0), galley, t.on_accent);
}
