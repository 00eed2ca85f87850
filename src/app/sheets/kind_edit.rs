//! A kind of the grower's own: copied from another, its name, dates and ranges changed.

use egui::{Response, Ui};

use crate::{
    app::{
        parts::form::{
            Form, group_ui, note_ui, number_ui, quantity::Quantity as Q, quantity_ui, row_ui,
            text_ui,
        },
        state::{Request, Sheet, Sight, Units},
        theme::{space, text},
    },
    base::{Id, MonthDay, calendar::DAYS},
    needs::{Band, Figure, Kind, Source, check},
    site::edit::{Edit, Object, ObjectKind},
};

/// A button that copies a kind of the library into the site, to be changed there.
pub fn copy_ui(ui: &mut Ui, sight: &Sight<'_>, kind: &Kind, requests: &mut Vec<Request>) {
    let button = ui.button("Make one of my own from it…").on_hover_text(
        "A copy in this site, whose dates and ranges you change; the library's stays as it is.",
    );
    if !button.clicked() {
        return;
    }
    let site = sight.site();
    let name = format!("{}, my own", kind.name);
    let id = Id::from_name(&name, |id| site.kind(id).is_some());
    let own = Kind {
        name,
        ..kind.clone()
    };
    requests.push(Request::Edit(
        format!("Copy the kind {}", kind.name),
        Edit::Put(id.clone(), Object::Kind(own)),
    ));
    requests.push(Request::OpenSheet(Sheet::Kind(id)));
}

/// The fields of a kind of the site's own. What would make it a kind that cannot be is not taken over.
pub fn edit_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    id: &Id,
    kind: &Kind,
    form: &mut Form,
    requests: &mut Vec<Request>,
) {
    let units = sight.looking.units;
    let mut next = kind.clone();
    let step = format!("Change the kind {}", kind.name);
    let mut watch = |r: &Response, requests: &mut Vec<Request>| form.watch(r, &step, requests);

    row_ui(ui, "Name", |ui| {
        let r = text_ui(ui, "Name", &mut next.name);
        watch(&r, requests);
    });
    let r = note_ui(ui, "Note", &mut next.note);
    watch(&r, requests);
    ui.label(text::caption(
        "Ideal from and to; what harms keeps its distance. A figure that you change is marked as yours.",
    ));
    let hemisphere = sight.hemisphere();
    for (i, stage) in next.stages.iter_mut().enumerate() {
        ui.push_id(i, |ui| {
            let word = stage.stage.word();
            group_ui(ui, word);
            row_ui(ui, "First day", |ui| {
                // Dates are written for the north; half a year there and back is the same day.
                let here = hemisphere.shift(stage.from.day_of_year());
                let mut day = here.index() as f64 + 1.0;
                let name = format!("First day of {word}, day of the year");
                let r = number_ui(ui, &name, &mut day, 1.0..=DAYS as f64, 1.0, "");
                watch(&r, requests);
                ui.label(text::soft(here.to_string()));
                let moved = day.round() as i64 - 1 - here.index() as i64;
                if moved != 0 {
                    stage.from = from_days_later(stage.from, moved);
                }
            });
            let n = &mut stage.needs;
            for (name, figure, quantity, most) in [
                ("Light of a day", Some(&mut n.dli), Q::DailyLight, 70.0),
                ("Noon light", Some(&mut n.peak_ppfd), Q::Brightness, 3000.0),
                ("Days", Some(&mut n.day_c), Q::Temperature, 45.0),
                ("Nights", Some(&mut n.night_c), Q::Temperature, 45.0),
                (
                    "Day less night",
                    n.day_night_k.as_mut(),
                    Q::Difference,
                    40.0,
                ),
                ("Humidity", Some(&mut n.rh_pct), Q::Percent, 100.0),
                ("Drying air", n.vpd_kpa.as_mut(), Q::Kilopascals, 8.0),
                ("Moving air", Some(&mut n.air_m_s), Q::Speed, 10.0),
            ] {
                let Some(figure) = figure else { continue };
                let full = format!("{name}, {word}");
                let least = if quantity == Q::Temperature {
                    -20.0
                } else {
                    0.0
                };
                let of = (quantity, least, most);
                band_ui(ui, units, name, &full, of, figure, &mut |r| {
                    watch(r, requests);
                });
            }
        });
    }
    group_ui(ui, "What hurts it");
    let damage = &mut next.damage;
    let cold = (-30.0, 20.0);
    for (name, figure, range) in [
        ("Leaves freeze at", Some(&mut damage.leaf_frost_c), cold),
        ("Buds freeze at", Some(&mut damage.bud_frost_c), cold),
        ("Roots freeze at", Some(&mut damage.root_frost_c), cold),
        (
            "Leaves scorch at",
            Some(&mut damage.leaf_heat_c),
            (30.0, 65.0),
        ),
        (
            "Buds drop in heat from",
            damage.bud_heat_c.as_mut(),
            (20.0, 50.0),
        ),
        (
            "Roots suffer from",
            damage.root_heat_c.as_mut(),
            (30.0, 55.0),
        ),
        ("Bring in at", Some(&mut damage.bring_in_c), cold),
    ] {
        let Some(figure) = figure else { continue };
        row_ui(ui, name, |ui| {
            let before = figure.value;
            let (low, high) = range;
            let value = &mut figure.value;
            let r = quantity_ui(ui, units, name, Q::Temperature, low..=high, value);
            watch(&r, requests);
            if figure.value != before {
                figure.source = Source::Grower;
            }
        });
    }
    if next != *kind {
        if check::faults(&next).is_empty() {
            requests.push(Request::Edit(
                step,
                Edit::Put(id.clone(), Object::Kind(next)),
            ));
        } else {
            requests.push(Request::Say(
                "That would not be a year: stages follow one another, and a range runs upwards."
                    .to_owned(),
            ));
        }
    }
    ui.add_space(space::L);
    let used = sight.site().plants.values().any(|p| p.kind == *id);
    if used {
        ui.label(text::soft("Plants of your site are of this kind."));
    } else {
        super::collection::remove_ui(ui, sight, ObjectKind::Kind, id, requests);
    }
    ui.add_space(space::L);
}

fn from_days_later(from: MonthDay, days: i64) -> MonthDay {
    from.day_of_year().plus(days).month_day()
}

/// The two ideal corners of a band. The corner of harm on that side keeps its distance, so that the range stays one.
fn band_ui(
    ui: &mut Ui,
    units: Units,
    name: &str,
    full: &str,
    (quantity, least, most): (Q, f64, f64),
    figure: &mut Figure<Band>,
    watch: &mut dyn FnMut(&Response),
) {
    row_ui(ui, name, |ui| {
        let Band(harm_low, low, high, harm_high) = figure.value;
        let mut ends = [low, high];
        for (end, word) in ends.iter_mut().zip(["from", "to"]) {
            let full = format!("{full}: {word}");
            watch(&quantity_ui(ui, units, &full, quantity, least..=most, end));
        }
        if ends != [low, high] {
            let low_now = ends[0].min(ends[1]);
            let high_now = ends[1].max(ends[0]);
            figure.value = Band(
                (harm_low + low_now - low).min(low_now),
                low_now,
                high_now,
                (harm_high + high_now - high).max(high_now),
            );
            figure.source = Source::Grower;
        }
        ui.add(
            egui::Label::new(text::caption(super::kind::source_words(&figure.source))).truncate(),
        );
    });
}
