//! Sheets that slide in from the side, over any desk: the collection, kinds, climate, readings, choices, preferences.

mod choices;
mod climate;
mod collection;
mod first_steps;
mod kind;
mod kind_climate;
mod kind_edit;
mod normals;
mod place;
mod plant;
mod plant_year;
mod preferences;
mod readings;
mod risk;
mod weather_file;

use egui::{Align, Layout, Rect, ScrollArea, Ui, UiBuilder};

use super::{
    parts::{
        form::Form,
        icons::{Icon, icon_button_ui},
    },
    settings::Settings,
    state::{Request, Sheet, Sight},
    theme::{space, text},
};

/// What of the desk is left free beside a sheet that covers it, points: less is of no use, and the sheet takes it.
const LEAST_LEFT: f32 = 240.0;

/// Width of a sheet with its margins, points. It follows from what the sheet is for, never from what it holds just now:
/// a long word in one sheet would move the desk under all that follow.
#[must_use]
pub fn width(sheet: &Sheet) -> f32 {
    match sheet {
        Sheet::Preferences | Sheet::Choices => 440.0,
        Sheet::Collection | Sheet::Plant(_) | Sheet::FirstSteps => 480.0,
        Sheet::Climate | Sheet::Readings(_) => 540.0,
        Sheet::Kind(_) => 580.0,
    }
}

/// Where a sheet lies over a desk that is too small to stand beside it. Whoever is led through the first steps draws on
/// the plan meanwhile, and keeps some of it.
#[must_use]
pub fn covering(sheet: &Sheet, desk: Rect) -> Rect {
    let left = desk.width() - width(sheet);
    let width = if left >= LEAST_LEFT {
        width(sheet)
    } else if *sheet == Sheet::FirstSteps {
        desk.width() - LEAST_LEFT
    } else {
        desk.width()
    };
    desk.with_min_x(desk.right() - width)
}

#[derive(Default)]
pub struct Sheets {
    form: Form,
    collection: collection::Collection,
    plant: plant::PlantSheet,
    climate: climate::ClimateSheet,
    logger: readings::LoggerFile,
    first_steps: first_steps::FirstSteps,
    kind_climates: kind_climate::Climates,
    /// This sheet was opened on the way through the first steps.
    led: bool,
}

impl Sheets {
    /// No sheet is open: whatever way led through them is left.
    pub fn left(&mut self) {
        self.led = false;
    }

    /// A file that was dropped on the window while a spot's readings are open.
    pub fn take_logger_file(&mut self, path: &std::path::Path) {
        self.logger.take_path(path);
    }

    /// A weather file that was dropped on the window.
    pub fn take_weather_file(&mut self, path: &std::path::Path) {
        self.climate.take_weather_file(path);
    }

    /// Fills the room that `ui` has and no more: what is wider is cut there, and does not widen the sheet.
    pub fn show_ui(
        &mut self,
        ui: &mut Ui,
        sheet: &Sheet,
        sight: &Sight<'_>,
        settings: &mut Settings,
        requests: &mut Vec<Request>,
    ) {
        let room = ui.max_rect();
        let mut inside = ui.new_child(UiBuilder::new().id_salt("sheet").max_rect(room));
        inside.shrink_clip_rect(room.expand(space::S));
        self.sheet_ui(&mut inside, sheet, sight, settings, requests);
        ui.advance_cursor_after_rect(room);
    }

    fn sheet_ui(
        &mut self,
        ui: &mut Ui,
        sheet: &Sheet,
        sight: &Sight<'_>,
        settings: &mut Settings,
        requests: &mut Vec<Request>,
    ) {
        let title = match sheet {
            Sheet::Collection => "Plants".to_owned(),
            Sheet::Plant(id) => sight.plant_name(id),
            Sheet::Kind(id) => sight
                .site()
                .kind(id)
                .map_or_else(|| id.to_string(), |k| k.name.clone()),
            Sheet::Climate => "Place and climate".to_owned(),
            Sheet::Readings(id) => format!("Readings, {}", sight.spot_name(id)),
            Sheet::Choices => "Plan choices".to_owned(),
            Sheet::Preferences => "Preferences".to_owned(),
            Sheet::FirstSteps => "First steps".to_owned(),
        };
        ui.horizontal(|ui| {
            self.led |= *sheet == Sheet::FirstSteps;
            let back = match sheet {
                Sheet::FirstSteps => None,
                _ if self.led => Some(("Back to first steps", Sheet::FirstSteps)),
                Sheet::Plant(_) | Sheet::Kind(_) => Some(("All plants", Sheet::Collection)),
                _ => None,
            };
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                if icon_button_ui(ui, Icon::Close, "Close the sheet", true).clicked() {
                    requests.push(Request::CloseSheet);
                }
                if let Some((name, to)) = back
                    && ui.button(name).clicked()
                {
                    requests.push(Request::OpenSheet(to));
                }
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    ui.add(egui::Label::new(text::heading(title)).truncate());
                });
            });
        });
        ui.add_space(space::S);
        ScrollArea::vertical()
            .id_salt(("sheet", format!("{sheet:?}")))
            .auto_shrink(false)
            .show(ui, |ui| {
                // Room for the scroll bar.
                ui.set_width(ui.available_width() - space::M);
                match sheet {
                    Sheet::Collection => self.collection.show_ui(ui, sight, requests),
                    Sheet::Plant(id) => {
                        self.plant.show_ui(ui, sight, id, &mut self.form, requests);
                    }
                    Sheet::Kind(id) => {
                        let (form, climates) = (&mut self.form, &mut self.kind_climates);
                        kind::kind_ui(ui, sight, id, form, climates, requests);
                    }
                    Sheet::Climate => {
                        climate::climate_ui(ui, sight, &mut self.climate, &mut self.form, requests);
                    }
                    Sheet::Readings(id) => {
                        let (form, file) = (&mut self.form, &mut self.logger);
                        readings::readings_ui(ui, sight, id, form, file, requests);
                    }
                    Sheet::Choices => {
                        choices::choices_ui(ui, sight, &mut self.form, requests);
                    }
                    Sheet::Preferences => preferences::preferences_ui(ui, settings),
                    Sheet::FirstSteps => {
                        self.first_steps
                            .show_ui(ui, sight, &mut self.form, requests);
                    }
                }
            });
        self.form.settle(ui.ctx(), requests);
    }
}
