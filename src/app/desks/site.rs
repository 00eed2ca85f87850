//! The Site desk: tools, or a list of all that is drawn, on the left, the plan in the middle, what is selected on the
//! right.

mod horizon;
mod trace;

use egui::{
    Align, CentralPanel, Frame, Layout, Margin, Panel, PopupCloseBehavior, ScrollArea, Ui,
    containers::menu::{MenuButton, MenuConfig},
};

use crate::{
    app::{
        canvas::{
            change, chest,
            elevation::Elevation,
            finder,
            layers::Cover,
            light_map::{Over, Shows},
            measure,
            plan::Plan,
            storeys,
            tools::Tool,
        },
        inspector::Inspector,
        parts::{
            form::{quantity::Quantity, quantity_ui},
            keys, locale, menus, tabs,
        },
        state::{Request, Sheet, Sight, Units},
        theme::{self, space, text},
    },
    base::Id,
    site::edit::ObjectKind,
};

/// Width from which plan, tools and inspector stand side by side, points.
const LEAST_FOR_THREE: f32 = 860.0;

use horizon::{HorizonPanel, View};
use trace::TracePanel;

/// Width from which all buttons above the plan stand in one row, points.
const WIDE_STRIP: f32 = 600.0;
/// With the map's own button, and beside it what the pointer reads, points.
const WIDE_STRIP_OF_MAPS: f32 = 860.0;

/// What the panel at the left shows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Side {
    #[default]
    Draw,
    List,
    /// The picture below the plan.
    Trace,
    /// The inspector, where it has no panel of its own.
    Details,
}

impl Side {
    fn name(self) -> &'static str {
        match self {
            Self::Draw => "Draw",
            Self::List => "List",
            Self::Trace => "Trace",
            Self::Details => "Details",
        }
    }
}

/// What the desk remembers of how it is looked at.
#[derive(Default)]
pub struct SiteDesk {
    plan: Plan,
    elevation: Elevation,
    inspector: Inspector,
    horizon: HorizonPanel,
    trace: TracePanel,
    side: Side,
    sought: String,
    /// The selection of the last frame on a small window.
    followed: Vec<(ObjectKind, Id)>,
}

impl SiteDesk {
    /// The plan's own view, for tests that point with a pointer.
    #[must_use]
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// Takes a tool of the plan in hand.
    pub fn take(&mut self, tool: Tool) {
        self.plan.take(tool);
    }

    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let t = theme::tokens(ui);
        let side = |margin: i8| {
            Frame::new()
                .fill(t.paper)
                .inner_margin(Margin::symmetric(margin, space::M as i8))
        };
        let narrow = ui.available_width() < LEAST_FOR_THREE;
        if narrow {
            self.follow_selection(sight);
        } else if self.side == Side::Details {
            self.side = Side::Draw;
        }
        Panel::left("site tools")
            .resizable(false)
            .exact_size(match self.side {
                Side::Trace => 300.0,
                _ if narrow => 272.0,
                _ => 236.0,
            })
            .frame(side(space::M as i8))
            .show(ui, |ui| self.side_ui(ui, sight, narrow, requests));
        if !narrow {
            Panel::right("site inspector")
                .resizable(true)
                .default_size(340.0)
                .size_range(280.0..=460.0)
                .frame(side(space::L as i8))
                .show(ui, |ui| {
                    ScrollArea::vertical()
                        .auto_shrink([false, false])
                        .show(ui, |ui| {
                            ui.set_width(ui.available_width() - space::S);
                            self.inspector.show_ui(ui, sight, requests);
                        });
                });
        }
        CentralPanel::default()
            .frame(Frame::new().fill(t.paper))
            .show(ui, |ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                self.strip_ui(ui, sight, requests);
                if sight.looking.from_side {
                    let layers = self.plan.layers;
                    self.elevation.show_ui(ui, sight, &layers, requests);
                    return;
                }
                if let Some(p) = self.plan.take_lookout() {
                    self.horizon.look_from(p);
                }
                let view = View {
                    middle: self.plan.middle(),
                    level_m: self.plan.level_m,
                };
                let height_m = &mut self.plan.map.height_m;
                if self.horizon.show_ui(ui, sight, view, height_m) {
                    return;
                }
                self.plan.lookout = self.horizon.point();
                self.plan.show_ui(ui, sight, requests);
                if self.plan.take_asked_name() {
                    self.inspector.ask_name();
                    if narrow {
                        self.side = Side::Details;
                    }
                    ui.ctx().request_repaint();
                }
                self.trace.follow(ui, &mut self.plan, sight, requests);
                if sight.site().rooms.is_empty()
                    && sight.site().buildings.is_empty()
                    && sight.site().spots.is_empty()
                {
                    self.beginning_ui(ui, sight.looking.led, requests);
                }
            });
    }

    /// Tools, list, and on a small window what is selected.
    fn side_ui(
        &mut self,
        ui: &mut Ui,
        sight: &Sight<'_>,
        narrow: bool,
        requests: &mut Vec<Request>,
    ) {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 0.0;
            for side in [Side::Draw, Side::List, Side::Trace, Side::Details] {
                if (narrow || side != Side::Details)
                    && tabs::tab_ui(ui, self.side == side, side.name(), text::BODY).clicked()
                {
                    self.side = side;
                }
            }
        });
        ui.add_space(space::XS);
        ScrollArea::vertical()
            .id_salt(self.side.name())
            .auto_shrink([false, false])
            .show(ui, |ui| match self.side {
                Side::Draw => {
                    if let Some(tool) = chest::chest_ui(ui, self.plan.tool) {
                        requests.push(Request::SeeFromSide(false));
                        self.plan.take(tool);
                    }
                }
                Side::List => {
                    if let Some(item) = finder::finder_ui(ui, &mut self.sought, sight, requests) {
                        self.plan.fit_to(&[item]);
                    }
                }
                Side::Trace => self.trace.show_ui(ui, &mut self.plan, sight, requests),
                Side::Details => {
                    ui.set_width(ui.available_width() - space::S);
                    self.inspector.show_ui(ui, sight, requests);
                }
            });
    }

    /// On a small window, shows what has just been selected.
    fn follow_selection(&mut self, sight: &Sight<'_>) {
        let selected = &sight.looking.selected;
        if self.followed != *selected {
            if !selected.is_empty() && self.side == Side::Draw {
                self.side = Side::Details;
            }
            self.followed.clone_from(selected);
        }
    }

    /// Above the plan: what the tool in hand does, and how the plan is looked at.
    fn strip_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let t = theme::tokens(ui);
        let maps = self.plan.layers.cover == Cover::WeekLight;
        let wide = ui.available_width() >= if maps { WIDE_STRIP_OF_MAPS } else { WIDE_STRIP };
        Frame::new()
            .fill(t.paper)
            .inner_margin(Margin::symmetric(space::M as i8, 5))
            .show(ui, |ui| {
                ui.horizontal(|ui| {
                    ui.spacing_mut().item_spacing.x = space::S;
                    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                        if ui
                            .button("+")
                            .on_hover_text("Larger (wheel)")
                            .accessible_name("Zoom in")
                            .clicked()
                        {
                            self.zoom(sight, 1.3);
                        }
                        if ui
                            .button("−")
                            .on_hover_text("Smaller (wheel)")
                            .accessible_name("Zoom out")
                            .clicked()
                        {
                            self.zoom(sight, 1.0 / 1.3);
                        }
                        if ui
                            .button("All")
                            .on_hover_text("Show everything (Home). End shows what is selected.")
                            .accessible_name("Show the whole plan")
                            .clicked()
                        {
                            self.plan.fit_all();
                            self.elevation.fit_all();
                        }
                        self.layers_ui(ui);
                        if wide {
                            self.view_ui(ui, sight, requests);
                        }
                        ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                            ui.add(egui::Label::new(self.says(ui.ctx(), sight)).truncate());
                        });
                    });
                });
                if !wide {
                    ui.add_space(space::XS);
                    ui.horizontal(|ui| {
                        ui.spacing_mut().item_spacing.x = space::S;
                        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                            self.view_ui(ui, sight, requests);
                        });
                    });
                }
            });
    }

    /// What is looked at, and from where.
    fn view_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        if self.plan.layers.cover == Cover::WeekLight && !sight.looking.from_side {
            self.map_ui(ui, sight.looking.units);
        }
        if sight.looking.from_side {
            self.elevation.directions_ui(ui, &sight.site().place);
        } else {
            self.horizon.switch_ui(ui);
            self.storeys_ui(ui, sight);
        }
        above_or_side_ui(ui, sight, requests);
    }

    fn zoom(&mut self, sight: &Sight<'_>, factor: f64) {
        if sight.looking.from_side {
            self.elevation.zoom(factor);
        } else {
            self.plan.zoom(factor);
        }
    }

    /// Which storey is drawn; above the highest a new one can be begun.
    fn storeys_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>) {
        let mut levels = storeys::levels(sight.site());
        let top = levels.last().copied().unwrap_or(0.0);
        if !levels.iter().any(|l| (l - self.plan.level_m).abs() < 1e-6) {
            levels.push(self.plan.level_m);
        }
        let name = storeys::name(self.plan.level_m, &levels);
        ui.menu_button(name, |ui| {menus::rolled_ui(ui, |ui| {
            ui.label(text::caption("Storey"));
            for level in levels.iter().rev() {
                let height = measure::length(*level, sight.looking.units.feet);
                if ui
                    .radio((level - self.plan.level_m).abs() < 1e-6, storeys::name(*level, &levels))
                    .on_hover_text(format!("Floor at {height}"))
                    .clicked()
                {
                    self.plan.level_m = *level;
                }
            }
            if !sight.site().rooms.is_empty()
                && ui
                    .button("Begin a storey above")
                    .on_hover_text("Rooms drawn then have their floor higher up; set its exact height with the room.")
                    .clicked()
            {
                self.plan.level_m = top + storeys::USUAL_RISE_M;
            }
        })})
        .response
        .on_hover_text("The storey that is shown. The garden is always there.");
    }

    fn layers_ui(&mut self, ui: &mut Ui) {
        // It stays open while layers are switched.
        let stays = MenuConfig::new().close_behavior(PopupCloseBehavior::CloseOnClickOutside);
        let button = MenuButton::new("Show").config(stays);
        button.ui(ui, |ui| {menus::rolled_ui(ui, |ui| {
            ui.label(text::caption("Layers"));
            for (name, what, on) in self.plan.layers.switches() {
                ui.checkbox(on, name).on_hover_text(what);
            }
            ui.separator();
            ui.label(text::caption("Below the drawing"));
            for (cover, name, what) in Cover::ALL {
                ui.radio_value(&mut self.plan.layers.cover, cover, name)
                    .on_hover_text(what);
            }
            ui.separator();
            ui.label(text::caption("Hand"));
            ui.checkbox(&mut self.plan.snaps, "Snap")
                .on_hover_text(locale::said("Points come to rest on corners, middles, edges and on steps of 0.1 m."));
            ui.checkbox(&mut self.plan.together, "Rooms take their things along")
                .on_hover_text("Moving a room moves the devices and spots in it. Its windows always come along.");
        })});
    }

    /// What the map of light shows, over which time and how high.
    fn map_ui(&mut self, ui: &mut Ui, units: Units) {
        let stays = MenuConfig::new().close_behavior(PopupCloseBehavior::CloseOnClickOutside);
        let button = MenuButton::new("Map").config(stays);
        button.ui(ui, |ui| {
            menus::rolled_ui(ui, |ui| {
                ui.label(text::caption("Map of light"));
                let map = &mut self.plan.map;
                for (shows, name, what) in Shows::ALL {
                    ui.radio_value(&mut map.shows, shows, name)
                        .on_hover_text(what);
                }
                ui.separator();
                for (over, name) in [
                    (Over::Week, "In the ribbon's week"),
                    (Over::Season, "In its season"),
                ] {
                    ui.radio_value(&mut map.over, over, name);
                }
                ui.separator();
            ui.checkbox(&mut map.same_all_year, "Same scale all year")
                .on_hover_text("Colours stand for the same figures in every week; else they are spread over what the week has.");
            ui.separator();
                ui.horizontal(|ui| {
                    let name = "Height of the map above ground or floor";
                    height_ui(ui, units, name, &mut map.height_m);
                    ui.label("above ground or floor");
                });
            })
        });
    }

    fn says(&self, ctx: &egui::Context, sight: &Sight<'_>) -> egui::RichText {
        let tool = self.plan.tool;
        if sight.looking.from_side {
            return text::caption(locale::said(Elevation::help(sight)));
        }
        let words = if self.plan.is_drawing() {
            format!(
                "Type a length, Tab an angle, or 4 x 3, then Enter; Backspace takes a corner back; Shift keeps to 45°, {} does not snap",
                keys::alt(ctx)
            )
        } else if tool == Tool::Pick {
            match sight.looking.selected.as_slice() {
                [] => self.plan.reading(sight),
                items if change::all_locked(sight.site(), items) => {
                    format!(
                        "Locked where it is; {} unlocks",
                        keys::written(ctx, &keys::LOCK)
                    )
                }
                [(ObjectKind::Plant, _)] => "Pull it to another spot to pin it there".to_owned(),
                [_] => "Pull to move, handles to reshape, arrows for 0.1 m, Del deletes".to_owned(),
                many => format!(
                    "{} selected: pull to move, {} duplicates, Del deletes",
                    many.len(),
                    keys::written(ctx, &keys::DUPLICATE)
                ),
            }
        } else {
            tool.help().to_owned()
        };
        text::caption(locale::said(&words))
    }

    /// On an empty plan: what to do, in which order.
    fn beginning_ui(&mut self, ui: &Ui, led: bool, requests: &mut Vec<Request>) {
        // Whoever is led through the first steps sees the same at the right.
        if self.plan.tool != Tool::Pick || led {
            return;
        }
        let t = theme::tokens(ui);
        egui::Area::new(egui::Id::unique("beginning of a site"))
            .anchor(egui::Align2::CENTER_CENTER, egui::Vec2::ZERO)
            .order(egui::Order::Middle)
            .constrain_to(ui.max_rect())
            .show(ui.ctx(), |ui| {
                Frame::new()
                    .fill(t.sheet)
                    .stroke(egui::Stroke::new(1.0, t.line))
                    .corner_radius(space::CORNER)
                    .inner_margin(Margin::same(space::L as i8))
                    .show(ui, |ui| {
                        ui.set_width(330.0);
                        ui.label(text::heading("A new site"));
                        ui.label(text::soft("Draw no more than matters for light and air; a rough sketch to scale is enough."));
                        ui.add_space(space::S);
                        let step = |ui: &mut Ui, number: &str, words: &str, button: &str| -> bool {
                            ui.horizontal(|ui| {
                                ui.label(text::strong(number));
                                let pressed = ui.button(button).clicked();
                                ui.label(text::soft(words));
                                pressed
                            })
                            .inner
                        };
                        for (number, words, tool) in [
                            ("1", "the outer walls", Tool::Building),
                            ("2", "where pots winter", Tool::Room),
                            ("3", "in the room's walls", Tool::Window),
                            ("4", "where pots can stand", Tool::SpotArea),
                        ] {
                            if step(ui, number, words, tool.name()) {
                                self.plan.take(tool);
                            }
                        }
                        ui.add_space(space::S);
                        if ui
                            .button("Lead me step by step…")
                            .on_hover_text("From the place to the plan, with houses of simple shapes to begin with")
                            .clicked()
                        {
                            requests.push(Request::OpenSheet(Sheet::FirstSteps));
                        }
                    });
            });
    }
}

/// How high above ground or floor light is looked at, over the whole plan and at a point of it.
fn height_ui(ui: &mut Ui, units: Units, name: &str, height_m: &mut f64) -> egui::Response {
    quantity_ui(ui, units, name, Quantity::Length, 0.0..=10.0, height_m)
}

/// From above or from the side.
fn above_or_side_ui(ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
    let (words, tip) = if sight.looking.from_side {
        ("From above", "Back to the plan, where things are drawn")
    } else {
        (
            "From the side",
            "See and set heights: sills, eaves, cloth, trees, spots",
        )
    };
    if ui.button(words).on_hover_text(tip).clicked() {
        requests.push(Request::SeeFromSide(!sight.looking.from_side));
    }
}
