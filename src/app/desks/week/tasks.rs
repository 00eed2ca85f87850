//! Tasks of the week in groups, and tonight's list from a typed forecast.

use egui::{DragValue, Sense, Ui};

use crate::{
    app::{
        parts::{caution::caution_ui, dates, figures},
        state::{Request, Sight},
        theme::{self, space, text},
    },
    care::{Task, TaskKind},
};

/// Groups in the order in which a grower goes about the week.
const GROUPS: &[(TaskKind, &str)] = &[
    (TaskKind::Move, "Moves"),
    (TaskKind::Cloth, "Shade cloth"),
    (TaskKind::Check, "Checks"),
    (TaskKind::Water, "Water"),
    (TaskKind::Feed, "Feed"),
    (TaskKind::Repot, "Repotting"),
    (TaskKind::Stake, "Staking"),
];

fn of_week<'a>(sight: &Sight<'a>, kind: TaskKind) -> Vec<&'a Task> {
    let week = sight.looking.plan_week;
    sight.outcome.map_or_else(Vec::new, |o| {
        o.tasks
            .iter()
            .filter(|t| t.week == week && t.kind == kind)
            .collect()
    })
}

fn who(sight: &Sight<'_>, task: &Task) -> String {
    task.plant
        .as_ref()
        .map_or_else(|| "Everywhere".to_owned(), |p| sight.plant_name(p))
}

pub fn tasks_ui(ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
    if sight.outcome.is_none() {
        ui.label(text::soft(if sight.halted {
            "The week's tasks follow from the plan. First mend what the button at the top right lists."
        } else {
            "The week's tasks follow from the plan, which is being made."
        }));
        return;
    }
    let mut any = false;
    for (kind, name) in GROUPS {
        let tasks = of_week(sight, *kind);
        if tasks.is_empty() {
            continue;
        }
        any = true;
        ui.label(text::heading(*name));
        for (i, task) in tasks.iter().enumerate() {
            ui.push_id((name, i), |ui| task_ui(ui, sight, task, requests));
        }
        ui.add_space(space::M);
    }
    if !any {
        ui.label(text::soft("Nothing is to be done in this week."));
    }
}

fn task_ui(ui: &mut Ui, sight: &Sight<'_>, task: &Task, requests: &mut Vec<Request>) {
    ui.horizontal_wrapped(|ui| {
        ui.label(text::soft(dates::short(task.date)));
        let name = ui.add(egui::Label::new(text::strong(who(sight, task))).sense(Sense::click()));
        if name.clicked()
            && let Some(plant) = &task.plant
        {
            requests.push(Request::ShowPlant(plant.clone()));
        }
        ui.label(&task.what);
    });
    if !task.why.is_empty() {
        ui.indent("why", |ui| ui.label(text::soft(&task.why)));
    }
    if let Some(caution) = &task.caution {
        ui.indent("caution", |ui| caution_ui(ui, caution));
    }
}

/// The week as text, for a letter or a note on the fridge.
#[must_use]
pub fn as_text(sight: &Sight<'_>) -> String {
    let date = sight.date_of(sight.looking.plan_week);
    let mut out = format!("{}, week of {}\n", sight.site().name, dates::long(date));
    for (kind, name) in GROUPS {
        let tasks = of_week(sight, *kind);
        if tasks.is_empty() {
            continue;
        }
        out.push_str(&format!("\n{name}\n"));
        for task in tasks {
            out.push_str(&format!(
                "- {} {}: {}",
                dates::short(task.date),
                who(sight, task),
                task.what
            ));
            if !task.why.is_empty() {
                out.push_str(&format!(" ({})", task.why));
            }
            if let Some(caution) = &task.caution {
                out.push_str(&format!(" Caution: {caution}"));
            }
            out.push('\n');
        }
    }
    out
}

/// Which plants a forecast low of tonight concerns.
#[derive(Default)]
pub struct Forecast {
    low_c: Option<f64>,
}

impl Forecast {
    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let units = sight.looking.units;
        ui.horizontal(|ui| {
            ui.label(text::soft("Forecast low of tonight"));
            let mut shown = figures::temperature_value(units, self.low_c.unwrap_or(5.0));
            let field = ui
                .add(
                    DragValue::new(&mut shown)
                        .range(-40.0..=110.0)
                        .speed(0.2)
                        .max_decimals(1)
                        .suffix(format!(" {}", figures::temperature_unit(units))),
                )
                .accessible_name("Forecast low of tonight");
            if field.changed() {
                self.low_c = Some(figures::celsius_from_value(units, shown));
            }
            if self.low_c.is_none() {
                ui.label(text::caption("type it to see which plants must come in"));
            }
        });
        let Some(low) = self.low_c else {
            ui.add_space(space::S);
            return;
        };
        let site = sight.site();
        let mut at_risk: Vec<_> = site
            .plants
            .iter()
            .filter_map(|(id, plant)| {
                let spot_id = plant.stands.as_ref()?;
                let spot = site.spots.get(spot_id).filter(|s| s.room.is_none())?;
                let limit = site.kind(&plant.kind)?.damage.bring_in_c.value;
                // A hollow is known to be colder by so much; a roof's shelter is not counted on.
                let here = low - spot.cold_hollow_k;
                (here <= limit).then_some((limit - here, id, spot_id, limit))
            })
            .collect();
        at_risk.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(b.1)));
        if at_risk.is_empty() {
            ui.label("Every plant that stands outdoors now may stay out tonight.");
        }
        let t = theme::tokens(ui);
        for (_, id, spot, limit) in at_risk {
            ui.horizontal_wrapped(|ui| {
                let name = ui.add(
                    egui::Label::new(text::strong(sight.plant_name(id)).color(t.frost))
                        .sense(Sense::click()),
                );
                if name.clicked() {
                    requests.push(Request::ShowPlant(id.clone()));
                }
                ui.label(format!(
                    "on {}: bring in at {} or below",
                    sight.spot_name(spot),
                    figures::temperature(units, limit)
                ));
            });
        }
        ui.add_space(space::M);
    }
}
