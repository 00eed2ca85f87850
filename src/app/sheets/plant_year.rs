//! A plant's own year on its sheet: when its stages begin, and how likely it is to flower.

use egui::{Response, Ui};

use crate::{
    app::{
        parts::{
            form::{group_ui, number_ui, row_ui},
            locale,
        },
        state::{Request, Sight},
        theme::text,
    },
    base::Id,
    needs::StageName,
    prospects::flowering,
    site::{Plant, StageShift},
};

pub fn year_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    id: &Id,
    next: &mut Plant,
    watch: &mut dyn FnMut(&Response, &mut Vec<Request>),
    requests: &mut Vec<Request>,
) {
    let Some(outcome) = sight.outcome else { return };
    let Some(calendar) = outcome.scores.calendar(id) else {
        return;
    };
    group_ui(ui, "Its year");
    ui.label(text::caption(
        "Days that this plant is later than its kind; below 0 where it is sooner.",
    ));
    let mut told: Vec<StageName> = Vec::new();
    for start in calendar.starts() {
        // A stage that comes twice a year has one shift for both.
        if told.contains(&start.stage) {
            continue;
        }
        told.push(start.stage);
        let word = start.stage.word();
        row_ui(ui, word, |ui| {
            let own = next
                .stage_shift
                .iter()
                .rev()
                .find(|s| s.stage == start.stage);
            let before = own.map_or(0, |s| s.days);
            let mut days = f64::from(before);
            let name = format!("Days later: {word}");
            let r = number_ui(ui, &name, &mut days, -90.0..=90.0, 1.0, "days");
            watch(&r, requests);
            let days = days.round() as i32;
            if days != before {
                next.stage_shift.retain(|s| s.stage != start.stage);
                if days != 0 {
                    next.stage_shift.push(StageShift {
                        stage: start.stage,
                        days,
                    });
                }
            }
            let seen = if start.seen { ", seen" } else { "" };
            ui.label(format!("from {}{seen}", start.day));
        });
        if let Some(reason) = start.reason() {
            ui.label(text::caption(locale::said(&reason)));
        }
    }
    if let Some(odds) = sight
        .plan()
        .and_then(|plan| flowering(sight.site(), &outcome.scores, plan, id))
    {
        ui.label(locale::said(&format!("Will flower: {}", odds.text)));
    }
}
