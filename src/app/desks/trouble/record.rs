//! The plant's own record: what was noted of it, and the weeks that were hardest on it where it is planned.

use egui::{Sense, Ui};

use crate::{
    app::{
        parts::{dates, locale, score, weeks},
        state::{Request, Sight},
        theme::{space, text},
    },
    base::Id,
    scoring::why,
};

/// Weeks shown at most.
const WORST: usize = 6;

pub fn record_ui(ui: &mut Ui, sight: &Sight<'_>, id: &Id, requests: &mut Vec<Request>) {
    ui.add_space(space::M);
    ui.label(text::heading("Its record"));
    let site = sight.site();
    let entries = site.remembered_of(id);
    if entries.is_empty() {
        ui.label(text::soft(
            "Nothing is recorded of it in the journal. Watering, feeding, moves and what you saw sharpen the answer.",
        ));
    }
    for entry in entries.iter().take(12) {
        ui.horizontal_wrapped(|ui| {
            ui.label(text::soft(dates::long(entry.date)));
            ui.label(site.remembered_words(entry));
            ui.label(text::soft(&entry.note));
        });
    }

    let year = weeks::year_of(sight, id);
    let mut hard: Vec<(usize, f64)> = year
        .iter()
        .enumerate()
        .filter_map(|(w, week)| week.points().map(|p| (w, p)))
        .collect();
    hard.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
    if hard.is_empty() {
        return;
    }
    ui.add_space(space::M);
    ui.label(text::heading("Its hardest weeks in the plan"));
    for (w, _) in hard.into_iter().take(WORST) {
        let Some(week) = year.get(w) else { continue };
        ui.horizontal(|ui| {
            score::chip_ui(ui, week.points());
            let date = ui
                .add(egui::Label::new(text::strong(dates::short(week.date))).sense(Sense::click()));
            if date
                .on_hover_text("Moves the ribbon to this week")
                .clicked()
            {
                requests.push(Request::GoToWeek(w));
            }
            if let Some(spot) = week.spot {
                ui.label(text::soft(sight.spot_name(spot)));
            }
        });
        if let Some(s) = week.score {
            ui.indent(("why", w), |ui| ui.label(locale::said(&why(s))));
        }
    }
}
