//! Tasks of the week in groups.

use egui::{Sense, Ui};

use crate::{
    app::{
        parts::{caution::caution_ui, dates, locale},
        state::{Request, Sight},
        theme::{space, text},
    },
    care::{Task, TaskKind, done},
    site::edit::Edit,
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
        let shared = Shared::of(&tasks);
        shared_ui(ui, sight, &tasks, &shared);
        for (i, task) in tasks.iter().enumerate() {
            ui.push_id((name, i), |ui| task_ui(ui, sight, task, &shared, requests));
        }
        ui.add_space(space::M);
    }
    if !any {
        ui.label(text::soft(if sight.site().spots.is_empty() {
            "Moves, water and feed follow from where plants stand. Draw spots on the Site desk first."
        } else {
            "Nothing is to be done in this week."
        }));
    }
}

/// What several tasks of a group have in common, said once at its head.
struct Shared<'a> {
    /// Cautions of more than one task.
    cautions: Vec<&'a str>,
    /// Parts of the reasons that all tasks give.
    whys: Vec<&'a str>,
}

/// Between the parts of a reason.
const PARTED: &str = "; ";

impl<'a> Shared<'a> {
    fn of(tasks: &[&'a Task]) -> Self {
        let mut shared = Self {
            cautions: Vec::new(),
            whys: Vec::new(),
        };
        for task in tasks {
            if let Some(caution) = task.caution.as_deref()
                && !shared.cautions.contains(&caution)
                && with_caution(tasks, caution).nth(1).is_some()
            {
                shared.cautions.push(caution);
            }
        }
        if let [first, rest @ ..] = tasks
            && !rest.is_empty()
        {
            shared.whys = first
                .why
                .split(PARTED)
                .filter(|part| !part.is_empty())
                .filter(|part| rest.iter().all(|t| t.why.split(PARTED).any(|p| p == *part)))
                .collect();
        }
        shared
    }

    /// What is left of a reason.
    fn own_why(&self, task: &Task) -> String {
        let own: Vec<&str> = task
            .why
            .split(PARTED)
            .filter(|part| !self.whys.contains(part))
            .collect();
        own.join(PARTED)
    }
}

fn with_caution<'t, 'a>(
    tasks: &'t [&'a Task],
    caution: &'t str,
) -> impl Iterator<Item = &'a Task> + use<'t, 'a> {
    tasks
        .iter()
        .copied()
        .filter(move |t| t.caution.as_deref() == Some(caution))
}

/// Plants named at most before the rest are counted.
const NAMED: usize = 3;

fn shared_ui(ui: &mut Ui, sight: &Sight<'_>, tasks: &[&Task], shared: &Shared<'_>) {
    if !shared.whys.is_empty() {
        let words = locale::said(&shared.whys.join(PARTED));
        ui.label(text::soft(format!("For all of these: {words}")));
    }
    for caution in &shared.cautions {
        let of: Vec<String> = with_caution(tasks, caution)
            .map(|t| who(sight, t))
            .collect();
        let head = if of.len() == tasks.len() {
            "All of these".to_owned()
        } else {
            let names = of
                .iter()
                .take(NAMED)
                .cloned()
                .collect::<Vec<_>>()
                .join("; ");
            match of.len().saturating_sub(NAMED) {
                0 => names,
                n => format!("{names} and {n} more"),
            }
        };
        caution_ui(ui, &locale::said(&format!("{head}: {caution}")));
    }
}

fn task_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    task: &Task,
    shared: &Shared<'_>,
    requests: &mut Vec<Request>,
) {
    ui.horizontal_wrapped(|ui| {
        ui.label(text::soft(dates::short(task.date)));
        let name = ui.add(egui::Label::new(text::strong(who(sight, task))).sense(Sense::click()));
        if name.clicked()
            && let Some(plant) = &task.plant
        {
            requests.push(Request::ShowPlant(plant.clone()));
        }
        ui.label(locale::said(&task.what));
        done_ui(ui, sight, task, requests);
    });
    let why = shared.own_why(task);
    if !why.is_empty() {
        ui.indent("why", |ui| ui.label(text::soft(locale::said(&why))));
    }
    if let Some(caution) = task
        .caution
        .as_deref()
        .filter(|c| !shared.cautions.contains(c))
    {
        ui.indent("caution", |ui| caution_ui(ui, &locale::said(caution)));
    }
}

/// When it was done, or the button that says so.
fn done_ui(ui: &mut Ui, sight: &Sight<'_>, task: &Task, requests: &mut Vec<Request>) {
    let Some(plan) = sight.plan() else { return };
    let done = done::done_on(sight.site(), plan, task);
    if let Some(date) = done {
        ui.label(text::soft(format!("done {}", dates::short(date))));
    }
    let first = sight.date_of(task.week);
    let last = first + chrono::Days::new(6);
    // In a week gone by it was done when it was asked for, else today.
    let date = if last < sight.today {
        task.date
    } else {
        sight.today
    };
    let again = matches!(task.kind, TaskKind::Water | TaskKind::Feed);
    if done.is_some() && (!again || done >= Some(date)) {
        return;
    }
    let Some(entry) = done::entry(plan, task, date) else {
        return;
    };
    // Nobody waters for next month; a pot may come in earlier than planned.
    let may = task.kind == TaskKind::Move || first <= sight.today;
    let pressed = ui
        .add_enabled(may, egui::Button::new("Done").small())
        .on_hover_text(format!(
            "Records it in the journal with the day, {}.",
            dates::long(date)
        ))
        .on_disabled_hover_text("Its week is still to come.")
        .accessible_name(format!(
            "Record as done: {}, {}",
            who(sight, task),
            task.what
        ))
        .clicked();
    if pressed {
        let name = format!("Record “{}” for {}", entry.event.words(), who(sight, task));
        requests.push(Request::Edit(name, Edit::Record(entry)));
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

#[cfg(test)]
mod tests {
    use super::*;

    fn task(why: &str, caution: Option<&str>) -> Task {
        Task {
            week: 0,
            date: chrono::NaiveDate::default(),
            kind: TaskKind::Water,
            plant: None,
            what: "Water".to_owned(),
            why: why.to_owned(),
            caution: caution.map(str::to_owned),
        }
    }

    #[test]
    fn what_all_tasks_say_is_said_once() {
        let tasks = [
            task("dry in 9 days; lift the pot", Some("in the morning")),
            task("dry in 12 days; lift the pot", Some("in the morning")),
            task("lift the pot; a large pot", Some("mind your back")),
        ];
        let all: Vec<&Task> = tasks.iter().collect();
        let shared = Shared::of(&all);
        assert_eq!(shared.whys, ["lift the pot"]);
        assert_eq!(shared.cautions, ["in the morning"]);
        assert_eq!(shared.own_why(&tasks[0]), "dry in 9 days");
        assert_eq!(shared.own_why(&tasks[2]), "a large pot");
        // One alone keeps all of its words.
        let alone = Shared::of(&all[..1]);
        assert!(alone.whys.is_empty() && alone.cautions.is_empty());
    }
}
