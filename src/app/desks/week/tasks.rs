//! Tasks of the week in groups.

use egui::{Sense, Ui};

use crate::{
    app::{
        parts::{caution::caution_ui, dates},
        state::{Request, Sight},
        theme::{space, text},
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
