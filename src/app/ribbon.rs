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

/// Height of the ribbon with its margins, points: less where the window is so low that the desk above would have
/// hardly any room (a small screen at 200 %).
#[must_use]
pub fn height(window_height: f32) -> f32 {
    if window_height < LOW { 132.0 } else { 172.0 }
}

/// Below this height of the window it keeps itself low, points.
const LOW: f32 = 500.0;
/// Below this height of its own it drops the words below signs, points.
const TIGHT: f32 = 130.0;
/// Below this width the track comes first, points.
const NARROW: f32 = 760.0;

#[derive(Default)]
pub struct Ribbon {
    play: Play,
}

impl Ribbon {
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
            ui.vertical(|ui| self.buttons_ui(ui, tight));
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
