//! From an empty sheet of paper to a plan, step by step. Each step can be left for later and come back to: what is done
//! follows from the site itself, so the way goes on where it was left, also after the program was closed.

mod house;
mod shapes;
mod spots;
mod walls;
mod windows;

use std::collections::BTreeSet;

use egui::{Rect, Sense, Stroke, Ui, vec2};

use super::{climate::name_ui, collection::kind_chooser_ui, place::PlaceSheet};
use crate::{
    app::{
        actions::Action,
        parts::{
            caution::caution_ui,
            form::{Form, first_ui},
            locale,
        },
        state::{Desk, Request, Sheet, Sight},
        theme::{self, space, text},
    },
    base::Id,
    site::{
        Plant,
        edit::{Edit, Object},
    },
};

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Step {
    Place,
    Climate,
    House,
    Windows,
    Spots,
    Plants,
    Plan,
}

impl Step {
    const ALL: [Self; 7] = [
        Self::Place,
        Self::Climate,
        Self::House,
        Self::Windows,
        Self::Spots,
        Self::Plants,
        Self::Plan,
    ];

    fn name(self) -> &'static str {
        match self {
            Self::Place => "Place",
            Self::Climate => "Climate",
            Self::House => "House",
            Self::Windows => "Windows",
            Self::Spots => "Spots",
            Self::Plants => "Plants",
            Self::Plan => "Plan",
        }
    }

    /// Whether the site has it.
    fn is_done(self, sight: &Sight<'_>) -> bool {
        let site = sight.site();
        match self {
            Self::Place => !site.place.name.is_empty(),
            Self::Climate => {
                let normals = &site.climate.normals;
                normals.night_min_c.is_some() && normals.day_max_c.is_some()
                    || site.climate.hours.is_some()
            }
            Self::House => !site.buildings.is_empty() || !site.rooms.is_empty(),
            Self::Windows => !site.windows.is_empty(),
            Self::Spots => !site.spots.is_empty(),
            Self::Plants => !site.plants.is_empty(),
            Self::Plan => {
                sight.plan().is_some() && !site.plants.is_empty() && !site.spots.is_empty()
            }
        }
    }

    /// What there is of it, in a few words.
    fn summary(self, sight: &Sight<'_>) -> String {
        let site = sight.site();
        let count = |n: usize, one: &str, many: &str| match n {
            1 => format!("1 {one}"),
            n => format!("{n} {many}"),
        };
        match self {
            Self::Place => site.place.name.clone(),
            Self::Climate if site.climate.source.is_empty() => "normals are given".to_owned(),
            Self::Climate => site.climate.source.clone(),
            Self::House => format!(
                "{}, {}",
                count(site.buildings.len(), "building", "buildings"),
                count(site.rooms.len(), "room", "rooms")
            ),
            Self::Windows => count(site.windows.len(), "window or door", "windows and doors"),
            Self::Spots => count(site.spots.len(), "spot", "spots"),
            Self::Plants => count(site.plants.len(), "plant", "plants"),
            Self::Plan => "the coming 52 weeks are planned".to_owned(),
        }
    }
}

/// Where the grower is on the way.
#[derive(Default)]
pub struct FirstSteps {
    /// The step that was chosen by hand; else the first that is open.
    at: Option<Step>,
    /// Left for later.
    later: BTreeSet<Step>,
    place: PlaceSheet,
    house: house::HouseStep,
    windows: windows::WindowsStep,
    spots: spots::SpotsStep,
    typed: String,
    stands: Option<Id>,
}

impl FirstSteps {
    pub fn show_ui(
        &mut self,
        ui: &mut Ui,
        sight: &Sight<'_>,
        form: &mut Form,
        requests: &mut Vec<Request>,
    ) {
        ui.label(text::soft(
            "A step can wait: what you do not know is estimated, and said to be. Close the sheet at any time; the menu \
             brings it back.",
        ));
        ui.add_space(space::S);
        let open = self.at.or_else(|| {
            Step::ALL
                .into_iter()
                .find(|s| !s.is_done(sight) && !self.later.contains(s))
        });
        for (number, step) in Step::ALL.into_iter().enumerate() {
            let here = open == Some(step);
            if head_ui(
                ui,
                sight,
                number + 1,
                step,
                here,
                self.later.contains(&step),
            ) {
                self.later.remove(&step);
                self.at = Some(step);
                if matches!(step, Step::House | Step::Windows | Step::Spots) {
                    requests.push(Request::OpenDesk(Desk::Site));
                }
            }
            if here {
                ui.horizontal_top(|ui| {
                    ui.add_space(34.0);
                    ui.vertical(|ui| {
                        self.body_ui(ui, sight, step, form, requests);
                        ui.add_space(space::S);
                        self.on_ui(ui, sight, step, requests);
                    });
                });
            }
            ui.add_space(space::S);
        }
    }

    fn body_ui(
        &mut self,
        ui: &mut Ui,
        sight: &Sight<'_>,
        step: Step,
        form: &mut Form,
        requests: &mut Vec<Request>,
    ) {
        match step {
            Step::Place => {
                name_ui(ui, sight, form, requests);
                ui.label(text::soft(
                    "Latitude, longitude and time zone decide where the sun stands, hour by hour.",
                ));
                self.place.search_ui(ui, sight, requests);
                if ui.button("Type coordinates…").clicked() {
                    requests.push(Request::OpenSheet(Sheet::Climate));
                }
            }
            Step::Climate => climate_ui(ui, requests),
            Step::House => self.house.show_ui(ui, sight, requests),
            Step::Windows => self.windows.show_ui(ui, sight, requests),
            Step::Spots => self.spots.show_ui(ui, sight, requests),
            Step::Plants => self.plants_ui(ui, sight, requests),
            Step::Plan => plan_ui(ui, sight, requests),
        }
    }

    /// On to the next step, or past this one for now.
    fn on_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, step: Step, requests: &mut Vec<Request>) {
        let next = Step::ALL.into_iter().skip_while(|s| *s != step).nth(1);
        let done = step.is_done(sight);
        let Some(next) = next else { return };
        let t = theme::tokens(ui);
        let words = if done {
            format!("On to {}", next.name().to_lowercase())
        } else {
            "Later".to_owned()
        };
        let button = if done {
            egui::Button::new(egui::RichText::new(words).color(t.on_accent)).fill(t.accent)
        } else {
            egui::Button::new(words)
        };
        if ui.add(button).clicked() {
            if !done {
                self.later.insert(step);
            }
            self.at = Some(next);
            if matches!(next, Step::House | Step::Windows | Step::Spots) {
                requests.push(Request::OpenDesk(Desk::Site));
            }
        }
    }

    fn plants_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let site = sight.site();
        ui.label(text::soft(
            "Choose what stands in your pots. Size, weight and past flowerings can follow in each plant's sheet.",
        ));
        for (id, plant) in site.plants.iter() {
            let place = plant.stands.as_ref().map_or_else(
                || "not placed yet".to_owned(),
                |s| format!("on {}", sight.spot_name(s)),
            );
            if ui
                .add(
                    egui::Button::new(format!("{}, {place}", plant.name))
                        .frame(false)
                        .truncate(),
                )
                .on_hover_text("Opens the plant's sheet")
                .clicked()
            {
                requests.push(Request::OpenSheet(Sheet::Plant(id.clone())));
            }
        }
        if self.stands.as_ref().is_none_or(|s| !site.spots.contains(s)) {
            self.stands = site.spots.ids().next().cloned();
        }
        let shown = self
            .stands
            .as_ref()
            .map_or_else(|| "no spot yet".to_owned(), |s| sight.spot_name(s));
        let inner = egui::ComboBox::from_id_salt("new plants stand on")
            .selected_text(&shown)
            .width(220.0)
            .truncate()
            .show_ui(ui, |ui| {
                for id in site.spots.ids() {
                    let on = self.stands.as_ref() == Some(id);
                    if ui.selectable_label(on, sight.spot_name(id)).clicked() {
                        self.stands = Some(id.clone());
                    }
                }
            });
        inner
            .response
            .on_hover_text("Where the plant that you choose next stands now")
            .accessible_name(format!("It stands now on: {shown}"));
        if let Some(kind) = kind_chooser_ui(ui, sight, &mut self.typed) {
            let name = site
                .kind(&kind)
                .map_or_else(|| kind.to_string(), |k| k.name.clone());
            let id = Id::from_name(&name, |i| site.plants.contains(i));
            let twins = site.plants.values().filter(|p| p.kind == kind).count();
            let plant = Plant {
                name: if twins == 0 {
                    name.clone()
                } else {
                    format!("{name} {}", twins + 1)
                },
                kind,
                stands: self.stands.clone(),
                ..Plant::default()
            };
            requests.push(Request::Edit(
                format!("Add {name}"),
                Edit::Put(id.clone(), Object::Plant(plant)),
            ));
            requests.push(Request::ShowPlant(id));
            self.typed.clear();
        }
        for (id, plant) in site.plants.iter() {
            let misfit = plant.stands.as_ref().and_then(|s| site.misfit(id, s));
            if let Some(misfit) = misfit {
                let words = format!("{}: {}", plant.name, misfit.words());
                caution_ui(ui, &locale::said(&words));
            }
        }
    }
}

/// The line of a step; true when it was pressed.
fn head_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    number: usize,
    step: Step,
    here: bool,
    later: bool,
) -> bool {
    let t = theme::tokens(ui);
    let done = step.is_done(sight);
    let state = match (done, later) {
        (true, _) => "done",
        (false, true) => "left for later",
        (false, false) => "to do",
    };
    ui.horizontal(|ui| {
        let (rect, mark) = ui.allocate_exact_size(vec2(26.0, 26.0), Sense::hover());
        mark.widget_info(|| {
            egui::WidgetInfo::labeled(
                egui::accesskit::Role::Label,
                true,
                format!("{}: {state}", step.name()),
            )
        });
        mark_paint(ui, rect, number, done, here);
        let name = if here {
            text::strong(step.name()).color(t.accent)
        } else {
            text::strong(step.name())
        };
        let pressed = ui
            .add(egui::Button::new(name).frame(false))
            .accessible_name(format!("Step {number}, {}", step.name()))
            .clicked();
        let words = match (done, later) {
            (true, _) => step.summary(sight),
            (false, true) => "later".to_owned(),
            (false, false) => String::new(),
        };
        ui.add(egui::Label::new(text::caption(words)).truncate());
        pressed
    })
    .inner
}

/// A tick in a disc, or the step's number in a ring.
fn mark_paint(ui: &Ui, rect: Rect, number: usize, done: bool, here: bool) {
    let t = theme::tokens(ui);
    let painter = ui.painter();
    let c = rect.center();
    let edge = if here { t.accent } else { t.line_strong };
    if done {
        painter.circle_filled(c, 11.0, t.accent_wash);
        painter.line(
            vec![
                c + vec2(-5.0, 0.0),
                c + vec2(-1.5, 4.0),
                c + vec2(5.0, -4.5),
            ],
            Stroke::new(2.0, t.accent),
        );
    } else {
        painter.text(
            c,
            egui::Align2::CENTER_CENTER,
            number,
            text::semibold(13.0),
            t.ink,
        );
    }
    if here || !done {
        painter.circle_stroke(c, 11.0, Stroke::new(if here { 2.0 } else { 1.5 }, edge));
    }
}

fn climate_ui(ui: &mut Ui, requests: &mut Vec<Request>) {
    ui.label(text::soft(
        "Night minima and day maxima, month by month: a weather service's normals will do, or a weather file. Until then \
         what is usual at the latitude is taken, which can be 9 °C off in winter.",
    ));
    if ui.button("Type normals, or take a file…").clicked() {
        requests.push(Request::OpenSheet(Sheet::Climate));
    }
}

fn plan_ui(ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
    let site = sight.site();
    if site.plants.is_empty() || site.spots.is_empty() {
        ui.label(text::soft(
            "With a spot and a plant the year is planned by itself. Both are still to come.",
        ));
        return;
    }
    match sight.plan() {
        Some(plan) => {
            let moves = match plan.moves.len() {
                0 if plan.is_safe() => "no moves are needed in 52 weeks.".to_owned(),
                0 => "no moves in 52 weeks.".to_owned(),
                1 => "one move in 52 weeks, with its reason.".to_owned(),
                n => format!("{n} moves in 52 weeks, each with its reason."),
            };
            ui.label(format!("The plan is made: {moves}"));
            for exposed in &plan.exposed {
                let name = sight.plant_name(&exposed.plant);
                caution_ui(ui, &locale::said(&format!("{name}: {}", exposed.words())));
            }
            if first_ui(ui, "See the year") {
                requests.push(Request::CloseSheet);
                requests.push(Request::OpenDesk(Desk::Year));
            }
            if ui
                .button("Save the site")
                .on_hover_text(Action::Save.tip_with_keys(ui.ctx()))
                .clicked()
            {
                requests.push(Request::Run(Action::Save));
            }
        }
        None if sight.halted => {
            ui.label(text::soft(
                "Something in the drawing must be mended first: the button at the top right lists it.",
            ));
        }
        None => {
            ui.label(text::soft("The plan is being made."));
        }
    }
}
