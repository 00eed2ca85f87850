//! The menu under the right button.

use egui::{Response, Ui};

use super::{Plan, Seen, keys, readers};
use crate::{
    app::{
        canvas::{
            carry::{self, Landing},
            change, hit,
            shape::Item,
            tools::pick,
        },
        parts::{keys as shortcut, menus},
        state::{Desk, Request},
    },
    base::{Id, Pt},
    site::edit::ObjectKind,
};

impl Plan {
    pub(super) fn menu(
        &mut self,
        response: &Response,
        sight: &Seen<'_>,
        requests: &mut Vec<Request>,
    ) {
        let Some((at, item)) = self.menu.clone() else {
            return;
        };
        response.context_menu(|ui| {
            menus::rolled_ui(ui, |ui| {
                if let Some(item) = &item {
                    self.object_menu(ui, sight, item, at, requests);
                    ui.separator();
                }
                let below: Vec<Item> =
                    hit::under(sight.site(), &self.layers, at, self.on().metres(6.0))
                        .into_iter()
                        .filter(|other| Some(other) != item.as_ref())
                        .take(5)
                        .collect();
                let any = !below.is_empty();
                for other in below {
                    let name = readers::spoken(sight.site(), &other);
                    if ui.button(format!("Select {name}")).clicked() {
                        requests.push(Request::Select(vec![other]));
                    }
                }
                if any {
                    ui.separator();
                }
                if ui
                .button("Horizon from here")
                .on_hover_text(
                    "What stands against the sky at this point, at the height of the map of light",
                )
                .clicked()
            {
                self.look_out_from(at);
            }
                if ui.button("Show everything").clicked() {
                    self.fit_all();
                }
                if ui
                    .add(
                        egui::Button::new("Paste here")
                            .shortcut_text(written(ui, &shortcut::PASTE)),
                    )
                    .clicked()
                {
                    self.paste_at = Some((at, ui.input(|i| i.time)));
                    ui.ctx()
                        .send_viewport_cmd(egui::ViewportCommand::RequestPaste);
                }
                if ui
                    .add(
                        egui::Button::new("Select everything")
                            .shortcut_text(written(ui, &shortcut::SELECT_ALL)),
                    )
                    .clicked()
                {
                    self.select_everything(sight, requests);
                }
            })
        });
    }

    fn object_menu(
        &mut self,
        ui: &mut Ui,
        sight: &Seen<'_>,
        item: &Item,
        at: Pt,
        requests: &mut Vec<Request>,
    ) {
        let site = sight.site();
        ui.label(crate::app::theme::text::group(
            site.name_of(item.0, &item.1),
        ));
        if item.0 == ObjectKind::Plant {
            if ui.button("Compare spots for it").clicked() {
                requests.push(Request::ShowPlant(item.1.clone()));
                requests.push(Request::OpenDesk(Desk::Fit));
            }
            pot_menu(ui, sight, &item.1, requests);
            return;
        }
        if item.0 == ObjectKind::Spot && ui.button("Compare plants on it").clicked() {
            requests.push(Request::ShowSpot(item.1.clone()));
            requests.push(Request::OpenDesk(Desk::Fit));
        }
        if ui.button("Show it large").clicked() {
            self.fit_to(&sight.looking.selected);
        }
        let reach = self.on().metres(10.0);
        let name = || site.name_of(item.0, &item.1);
        let corner = site.object(item.0, &item.1).and_then(|o| {
            crate::app::canvas::shape::corners(&o)
                .and_then(|c| c.iter().position(|p| p.distance(at) <= reach))
        });
        if let Some(index) = corner {
            if let Some(edit) = change::without_corner(site, item, index)
                && ui.button("Delete this corner").clicked()
            {
                requests.push(Request::Edit(format!("Delete corner of {}", name()), edit));
            }
        } else if let Some((after, on_edge)) =
            pick::nearest_edge(site, item, at).filter(|(_, p)| p.distance(at) <= reach)
            && let Some(edit) = change::with_new_corner(site, item, after, on_edge)
            && ui.button("Add a corner here").clicked()
        {
            requests.push(Request::Edit(format!("Add corner to {}", name()), edit));
        }
        if ui
            .add(egui::Button::new("Duplicate").shortcut_text(written(ui, &shortcut::DUPLICATE)))
            .clicked()
        {
            keys::duplicate(sight, requests);
        }
        if ui
            .add(egui::Button::new("Copy").shortcut_text(written(ui, &shortcut::COPY)))
            .clicked()
        {
            keys::copy(ui, sight);
        }
        if ui
            .add(egui::Button::new("Cut").shortcut_text(written(ui, &shortcut::CUT)))
            .clicked()
        {
            keys::cut(ui, sight, requests);
        }
        let word = if change::all_locked(site, &sight.looking.selected) {
            "Unlock"
        } else {
            "Lock"
        };
        if ui
            .add(egui::Button::new(word).shortcut_text(written(ui, &shortcut::LOCK)))
            .clicked()
        {
            keys::switch_lock(sight, requests);
        }
        if ui
            .add(egui::Button::new("Delete").shortcut_text("Del"))
            .clicked()
        {
            keys::delete(ui, sight, requests);
        }
    }
}

fn written(ui: &Ui, keys: &egui::KeyboardShortcut) -> String {
    shortcut::written(ui.ctx(), keys)
}

/// The spots that a pot can be kept on from the ribbon's week.
fn pot_menu(ui: &mut Ui, sight: &Seen<'_>, plant: &Id, requests: &mut Vec<Request>) {
    let words = if sight.plan().is_some() {
        "Pin it to"
    } else {
        "Stand it on"
    };
    ui.menu_button(words, |ui| {
        menus::rolled_ui(ui, |ui| {
            for spot in sight.whole().spots.ids() {
                let landing = carry::landing(sight.sight, plant, Some(spot));
                let goes = matches!(landing, Landing::Pinned(_) | Landing::Stands(_));
                let button = egui::Button::new(sight.spot_name(spot));
                if ui
                    .add_enabled(goes, button)
                    .on_hover_text(landing.words(sight.sight))
                    .on_disabled_hover_text(match &landing {
                        Landing::Nowhere => "It stands there already".to_owned(),
                        other => other.words(sight.sight),
                    })
                    .clicked()
                {
                    requests.extend(landing.requests(sight.sight, plant));
                }
            }
        })
    });
}
