//! From an empty sheet of paper to a plan: what comes next, and what is done already.

use egui::{Rect, Sense, Stroke, Ui, vec2};

use crate::app::{
    state::{Desk, Request, Sheet, Sight},
    theme::{self, space, text},
};

struct Step {
    name: &'static str,
    hint: &'static str,
    done: bool,
    go: Request,
}

fn steps(sight: &Sight<'_>) -> Vec<Step> {
    let site = sight.site();
    let normals = &site.climate.normals;
    let step = |name, hint, done, go| Step {
        name,
        hint,
        done,
        go,
    };
    vec![
        step(
            "Place",
            "Find your town: latitude, longitude and time zone decide where the sun stands.",
            !site.place.name.is_empty(),
            Request::OpenSheet(Sheet::Climate),
        ),
        step(
            "Climate",
            "Night minima and day maxima, month by month. A weather service's normals will do.",
            normals.night_min_c.is_some() && normals.day_max_c.is_some(),
            Request::OpenSheet(Sheet::Climate),
        ),
        step(
            "House and garden",
            "Buildings, walls, trees: whatever throws a shadow. Rooms where plants come in.",
            !site.buildings.is_empty() || !site.rooms.is_empty(),
            Request::OpenDesk(Desk::Site),
        ),
        step(
            "Windows",
            "Width, sill and height of the windows behind which plants stand.",
            !site.windows.is_empty() || site.rooms.is_empty() && !site.spots.is_empty(),
            Request::OpenDesk(Desk::Site),
        ),
        step(
            "Spots",
            "Every place where pots can stand, indoors and out, and how many it holds.",
            !site.spots.is_empty(),
            Request::OpenDesk(Desk::Site),
        ),
        step(
            "Plants",
            "Kind, size of the pot, weight, and where it stands now.",
            !site.plants.is_empty(),
            Request::OpenSheet(Sheet::Collection),
        ),
        step(
            "Plan",
            "Where each plant stands in the coming 52 weeks, with dates and reasons.",
            sight.plan().is_some() && !site.plants.is_empty() && !site.spots.is_empty(),
            Request::OpenDesk(Desk::Year),
        ),
    ]
}

pub fn first_steps_ui(ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
    let t = theme::tokens(ui);
    ui.label(text::soft(
        "A figure that you do not know can wait: it is estimated, and said to be.",
    ));
    ui.add_space(space::S);
    let steps = steps(sight);
    let next = steps.iter().position(|s| !s.done);
    for (i, step) in steps.into_iter().enumerate() {
        ui.horizontal_top(|ui| {
            let (rect, mark) = ui.allocate_exact_size(vec2(26.0, 26.0), Sense::hover());
            let state = if step.done { "done" } else { "to do" };
            mark.widget_info(|| {
                egui::WidgetInfo::labeled(
                    egui::accesskit::Role::Label,
                    true,
                    format!("{}: {state}", step.name),
                )
            });
            let circle = Rect::from_center_size(rect.center(), vec2(22.0, 22.0));
            if step.done {
                ui.painter()
                    .circle_filled(circle.center(), 11.0, t.accent_wash);
                ui.painter().line(
                    vec![
                        circle.center() + vec2(-5.0, 0.0),
                        circle.center() + vec2(-1.5, 4.0),
                        circle.center() + vec2(5.0, -4.5),
                    ],
                    Stroke::new(2.0, t.accent),
                );
            } else {
                let edge = if next == Some(i) {
                    t.accent
                } else {
                    t.line_strong
                };
                ui.painter()
                    .circle_stroke(circle.center(), 11.0, Stroke::new(1.5, edge));
                ui.painter().text(
                    circle.center(),
                    egui::Align2::CENTER_CENTER,
                    i + 1,
                    text::semibold(13.0),
                    t.ink,
                );
            }
            ui.vertical(|ui| {
                let button = if next == Some(i) {
                    egui::Button::new(egui::RichText::new(step.name).color(t.on_accent))
                        .fill(t.accent)
                } else {
                    egui::Button::new(step.name)
                };
                if ui.add(button).clicked() {
                    requests.push(step.go);
                }
                ui.label(text::soft(step.hint));
            });
        });
        ui.add_space(space::S);
    }
}
