//! Places to bud and bloom, ranked, with what is asked of them one by one.

use egui::{Ui, WidgetInfo, accesskit::Role};

use crate::{
    app::{
        parts::{caution::caution_ui, dates, locale, score},
        state::Sight,
        theme::{self, space, text},
    },
    base::{Id, calendar::WEEKS},
    scoring::{BloomCheck, BloomPlace},
};

/// Draws the places for the plant that is shown; returns the one that was picked.
pub fn places_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    places: &[BloomPlace],
    marked: impl Fn(&Id) -> bool,
) -> Option<Id> {
    let (plant, _) = sight.plant()?;
    if places.is_empty() {
        ui.label(text::soft(
            "No place to show: there is no such spot, or the plant is grown for its leaves.",
        ));
    }
    let mut picked = None;
    for (i, place) in places.iter().enumerate() {
        if place_ui(ui, sight, plant, i + 1, place, marked(&place.spot)) {
            picked = Some(place.spot.clone());
        }
    }
    picked
}

fn place_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    plant: &Id,
    rank: usize,
    place: &BloomPlace,
    marked: bool,
) -> bool {
    let t = theme::tokens(ui);
    let misfit = sight.site().misfit(plant, &place.spot);
    let name = sight.spot_name(&place.spot);
    let fill = if marked {
        t.accent_wash
    } else {
        egui::Color32::TRANSPARENT
    };
    let mut clicked = false;
    egui::Frame::new()
        .fill(fill)
        .corner_radius(space::CORNER)
        .inner_margin(egui::Margin::symmetric(8, 6))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            if misfit.is_some() {
                ui.multiply_opacity(0.6);
            }
            ui.horizontal(|ui| {
                ui.label(text::soft(format!("{rank}.")));
                score::chip_ui(ui, Some(place.points));
                let button = ui.add(egui::Button::new(text::strong(&name)).frame(false));
                let told = format!(
                    "Place to bloom {rank}: {name}, {}",
                    score::words(Some(place.points))
                );
                button.widget_info(|| WidgetInfo::selected(Role::Button, true, marked, &told));
                clicked = button
                    .on_hover_text(
                        "Shows its light and warmth through the year against what is wanted",
                    )
                    .clicked();
            });
            if let Some(misfit) = misfit {
                caution_ui(ui, &locale::said(&misfit.words()));
            }
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = space::S;
                // What fails comes first: it is why the place stands where it does.
                for met in [Some(false), None, Some(true)] {
                    for check in place.checks.iter().filter(|c| c.met == met) {
                        check_ui(ui, check);
                    }
                }
            });
            let week = (0..WEEKS).find(|w| sight.calendar_week(*w) == place.worst_week);
            let date = dates::short(sight.date_of(week.unwrap_or(0)));
            ui.label(text::caption(format!(
                "Worst in the week of {date} ({:.0}): {}",
                place.worst, place.reason
            )));
        });
    ui.separator();
    clicked
}

/// What is met stands quietly; what is not is framed.
fn check_ui(ui: &mut Ui, check: &BloomCheck) {
    let t = theme::tokens(ui);
    if check.met == Some(true) {
        ui.label(text::soft(check.told))
            .on_hover_text(&check.figure);
        return;
    }
    let words = if check.met.is_none() {
        format!("{}: not known", check.asked)
    } else {
        check.told.to_owned()
    };
    egui::Frame::new()
        .stroke(egui::Stroke::new(1.0, t.caution))
        .corner_radius(space::CORNER)
        .inner_margin(egui::Margin::symmetric(5, 0))
        .show(ui, |ui| {
            ui.label(egui::RichText::new(words).color(t.caution))
                .on_hover_text(&check.figure);
        });
}
