//! The year ribbon: 52 weeks of the plan along the bottom of the window, always there. It carries the date for
//! everything above it.

mod play;
mod stage_drag;
mod track;

use egui::{Layout, Ui, vec2};

use super::{
    actions::Action,
    dial::dial_ui,
    parts::{
        dates,
        icons::{Icon, icon_button_ui},
        score::chip_ui,
        weeks,
    },
    state::{Request, Sheet, Sight},
    theme::{space, text},
};
use play::Play;

/// Below this height of the window the ribbon folds to one line, so that the desk above it keeps its room, points.
const FOLDS: f32 = 640.0;
/// Below this height of the window it keeps itself low when it is opened, points.
const LOW: f32 = 500.0;
/// Heights with the margins: as it is, low, and folded to a line, points.
const HEIGHT: f32 = 172.0;
const LOW_HEIGHT: f32 = 132.0;
const LINE_HEIGHT: f32 = 50.0;
/// Below this height of its own it drops the words below signs, points.
const TIGHT: f32 = 130.0;
/// Below this width the track comes first, points.
const NARROW: f32 = 760.0;

#[derive(Default)]
pub struct Ribbon {
    play: Play,
    /// Opened by hand in a low window.
    opened: bool,
}

impl Ribbon {
    /// Height of the ribbon with its margins, points.
    #[must_use]
    pub fn height(&self, window_height: f32) -> f32 {
        if window_height >= FOLDS {
            HEIGHT
        } else if !self.opened {
            LINE_HEIGHT
        } else if window_height < LOW {
            LOW_HEIGHT
        } else {
            HEIGHT
        }
    }

    pub fn play_day(&mut self) {
        self.play.start_day();
    }

    pub fn play_year(&mut self) {
        self.play.start_year();
    }

    pub fn show_ui(
        &mut self,
        ui: &mut Ui,
        sight: &Sight<'_>,
        still: bool,
        requests: &mut Vec<Request>,
    ) {
        self.play.step(ui.ctx(), sight, still, requests);
        let folds = ui.ctx().content_rect().height() < FOLDS;
        if folds && !self.opened {
            self.line_ui(ui, sight, requests);
            return;
        }
        let height = ui.available_height();
        let width = ui.available_width();
        let side = if width < NARROW { 156.0 } else { 196.0 };
        let tight = height < TIGHT;
        let dial = (height - 12.0).min(124.0);
        let right = dial + 42.0;
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = space::L;
            ui.allocate_ui_with_layout(
                vec2(side, height),
                Layout::top_down(egui::Align::Min),
                |ui| {
                    ui.set_width(side);
                    summary_ui(ui, sight, tight, requests);
                },
            );
            let track = (width - side - right - 2.0 * space::L).max(200.0);
            track::track_ui(ui, sight, vec2(track, height), requests);
            ui.spacing_mut().item_spacing.x = space::S;
            dial_ui(ui, sight, dial, requests);
            ui.vertical(|ui| {
                if folds {
                    ui.spacing_mut().item_spacing.y = 1.0;
                }
                self.buttons_ui(ui, tight || folds);
                if folds && icon_button_ui(ui, Icon::Down, "Fold the ribbon", true).clicked() {
                    self.opened = false;
                }
            });
        });
    }

    /// All of it in one low line: the date, the score, the year's scores with the mark.
    fn line_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let height = ui.available_height();
        ui.horizontal_centered(|ui| {
            if icon_button_ui(ui, Icon::Up, "Open the ribbon", true).clicked() {
                self.opened = true;
            }
            let date = dates::short(sight.date_of(sight.looking.plan_week));
            let date = egui::Label::new(text::strong(date)).extend();
            if ui
                .add(date.sense(egui::Sense::click()))
                .on_hover_text("Opens the ribbon")
                .clicked()
            {
                self.opened = true;
            }
            if let Some((id, _)) = sight.plant() {
                let week = weeks::of_plant(sight, id, sight.looking.plan_week);
                if let Some(score) = week.score {
                    chip_ui(ui, score.points)
                        .on_hover_ui(|ui| super::parts::score::reason_ui(ui, score));
                }
                let track = (0.5 * ui.available_width()).max(200.0);
                let name = (ui.available_width() - track - space::S).max(0.0);
                ui.allocate_ui_with_layout(
                    vec2(name, height),
                    Layout::left_to_right(egui::Align::Center),
                    |ui| {
                        ui.set_width(name);
                        let place = week.spot.map(|s| sight.spot_name(s));
                        let words = match place {
                            Some(place) => format!("{} · {place}", sight.plant_name(id)),
                            None => sight.plant_name(id),
                        };
                        ui.add(egui::Label::new(words).truncate());
                    },
                );
            }
            let size = vec2(ui.available_width(), height);
            track::line_ui(ui, sight, size, requests);
        });
    }

    fn buttons_ui(&mut self, ui: &mut Ui, tight: bool) {
        let (day, year) = (self.play.is_day(), self.play.is_year());
        let sign = |on| if on { Icon::Pause } else { Icon::Play };
        let day_name = if day { "Stop the day" } else { "Play the day" };
        if icon_button_ui(ui, sign(day), day_name, true).clicked() {
            if day {
                self.play.stop();
            } else {
                self.play.start_day();
            }
        }
        if !tight {
            ui.label(text::caption("day"));
        }
        let year_name = if year {
            "Stop the year"
        } else {
            "Play the year"
        };
        if icon_button_ui(ui, sign(year), year_name, true).clicked() {
            if year {
                self.play.stop();
            } else {
                self.play.start_year();
            }
        }
        if !tight {
            ui.label(text::caption("year"));
        }
    }
}

/// Which plant, which week, where, how good.
fn summary_ui(ui: &mut Ui, sight: &Sight<'_>, tight: bool, requests: &mut Vec<Request>) {
    ui.spacing_mut().item_spacing.y = if tight { 1.0 } else { 5.0 };
    let Some((id, plant)) = sight.plant() else {
        ui.label(text::heading(dates::short(
            sight.date_of(sight.looking.plan_week),
        )));
        ui.label(text::soft("No plants yet."));
        if ui.button("Plants…").clicked() {
            requests.push(Request::OpenSheet(Sheet::Collection));
        }
        return;
    };
    let name = sight.plant_name(id);
    let chooser = egui::ComboBox::from_id_salt("ribbon plant")
        .selected_text(&name)
        .width(ui.available_width() - 6.0)
        .truncate()
        .show_ui(ui, |ui| {
            ui.set_min_width(240.0);
            for (other, p) in sight.site().plants.iter() {
                if ui.selectable_label(other == id, p.name.as_str()).clicked() {
                    requests.push(Request::ShowPlant(other.clone()));
                }
            }
        });
    chooser
        .response
        .accessible_name(format!("Plant shown: {}", plant.name));
    let week = weeks::of_plant(sight, id, sight.looking.plan_week);
    ui.horizontal(|ui| {
        ui.label(text::heading(dates::short(week.date)));
        let this = sight.plan_week_of(sight.today);
        if this == Some(sight.looking.plan_week) {
            ui.label(text::caption("this week"));
        } else if this.is_some()
            && ui
                .small_button("Today")
                .on_hover_text(Action::ThisWeek.tip_with_keys(ui.ctx()))
                .clicked()
        {
            requests.push(Request::Run(Action::ThisWeek));
        }
    });
    let stage = week.stage.map_or("stage not known", |s| s.word());
    let place = week
        .spot
        .map_or_else(|| "no place planned".to_owned(), |s| sight.spot_name(s));
    ui.add(egui::Label::new(format!("{stage} · {place}")).truncate());
    if let Some(score) = week.score {
        chip_ui(ui, score.points).on_hover_ui(|ui| super::parts::score::reason_ui(ui, score));
    } else if sight.outcome.is_none() {
        ui.label(text::caption(if sight.halted {
            "waits for what is to be mended"
        } else {
            "being worked out"
        }));
    }
}
