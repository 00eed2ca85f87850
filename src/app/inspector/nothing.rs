//! Nothing is selected: the site itself.

use egui::Ui;

use crate::{
    app::{
        canvas::shape::DRAWN,
        parts::form::{object::ObjectForm, quantity::Quantity},
        state::{Request, Sheet, Sight},
        theme::{space, text},
    },
    base::names,
    site::{Place, edit::Edit},
};

pub(super) fn show_ui(
    ui: &mut Ui,
    pulled: &mut bool,
    sight: &Sight<'_>,
    requests: &mut Vec<Request>,
) {
    let site = sight.site();
    ui.label(text::caption("Site"));
    let mut form = ObjectForm::new(sight.looking.units);
    let mut name = site.name.clone();
    form.title(ui, "Name of the site", &mut name);
    form.settle(pulled, "the site", || Edit::SetName(name), requests);
    let mut form = ObjectForm::new(sight.looking.units);
    let mut note = site.note.clone();
    form.lines(ui, "About it", &mut note);
    form.settle(pulled, "the site", || Edit::SetNote(note), requests);

    ui.add_space(space::M);
    ui.label(text::group("Place"));
    let place_name = if site.place.name.is_empty() {
        "No place yet"
    } else {
        site.place.name.as_str()
    };
    ui.label(place_name);
    let mut form = ObjectForm::new(sight.looking.units);
    let mut place = Place::clone(&site.place);
    form.number(
        ui,
        "Plan-up points to",
        "True direction to which the top of the plan points, clockwise from north. The arrow on the plan shows north.",
        Quantity::Degrees,
        -180.0..=360.0,
        &mut place.plan_north_deg,
    );
    let about = if place.plan_north_deg.rem_euclid(45.0) == 0.0 {
        ""
    } else {
        "about "
    };
    ui.label(text::caption(format!(
        "Up on the plan is {about}{}.",
        names::compass(place.plan_north_deg)
    )));
    form.settle(pulled, "the place", || Edit::SetPlace(place), requests);
    if ui.button("Place and climate…").clicked() {
        requests.push(Request::OpenSheet(Sheet::Climate));
    }

    ui.add_space(space::M);
    ui.label(text::group("Drawn"));
    let mut any = false;
    for kind in DRAWN {
        let count = site.ids(kind).len();
        if count > 0 {
            any = true;
            let word = if count == 1 {
                kind.word()
            } else {
                kind.plural()
            };
            ui.label(text::soft(format!("{count} {word}")));
        }
    }
    if !any {
        ui.label(text::soft("Nothing yet. Take a tool on the left."));
    }
    ui.label(text::soft(match site.plants.len() {
        0 => "No plants yet.".to_owned(),
        1 => "1 plant".to_owned(),
        n => format!("{n} plants"),
    }));
}
