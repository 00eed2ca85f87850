//! A kind of the grower's own: copied from another, its name, dates and ranges changed.

use egui::{Response, Ui};

use crate::{
    app::{
        parts::{
            figures,
            form::{Form, group_ui, note_ui, number_ui, row_ui, text_ui},
        },
        state::{Request, Sheet, Sight, Units},
        theme::{space, text},
    },
    base::{Id, MonthDay, calendar::DAYS, units::celsius_from_fahrenheit},
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
            for (name, figure, unit) in [
                ("Light of a day", Some(&mut n.dli), Unit::Light),
                ("Noon light", Some(&mut n.peak_ppfd), Unit::Brightness),
                ("Days", Some(&mut n.day_c), Unit::Warmth),
                ("Nights", Some(&mut n.night_c), Unit::Warmth),
                ("Day less night", n.day_night_k.as_mut(), Unit::Difference),
                ("Humidity", Some(&mut n.rh_pct), Unit::Percent),
                ("Drying air", n.vpd_kpa.as_mut(), Unit::Drying),
                ("Moving air", Some(&mut n.air_m_s), Unit::Speed),
            ] {
                let Some(figure) = figure else { continue };
                let full = format!("{name}, {word}");
                band_ui(ui, units, name, &full, unit, figure, &mut |r| {
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
            let unit = Unit::Warmth;
            let mut shown = unit.shown(units, figure.value);
            let (low, high) = (unit.shown(units, range.0), unit.shown(units, range.1));
            let before = shown;
            let r = number_ui(ui, name, &mut shown, low..=high, 0.5, unit.word(units));
            watch(&r, requests);
            if shown != before {
                figure.value = unit.meant(units, shown);
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

/// In what a range is shown.
#[derive(Clone, Copy)]
enum Unit {
    Light,
    /// Of a moment, in the grower's unit of light.
    Brightness,
    Warmth,
    /// Of two temperatures.
    Difference,
    Percent,
    Drying,
    Speed,
}

impl Unit {
    fn word(self, units: Units) -> &'static str {
        match self {
            Self::Light => "mol/m²",
            Self::Brightness => figures::brightness_unit(units),
            Self::Warmth => figures::temperature_unit(units),
            Self::Difference if units.fahrenheit => "°F",
            Self::Difference => "K",
            Self::Percent => "%",
            Self::Drying => "kPa",
            Self::Speed => "m/s",
        }
    }

    fn shown(self, units: Units, value: f64) -> f64 {
        match self {
            Self::Warmth => figures::temperature_value(units, value),
            Self::Difference if units.fahrenheit => value * 1.8,
            Self::Brightness => figures::brightness_value(units, value),
            _ => value,
        }
    }

    fn meant(self, units: Units, shown: f64) -> f64 {
        match self {
            Self::Warmth if units.fahrenheit => celsius_from_fahrenheit(shown),
            Self::Difference if units.fahrenheit => shown / 1.8,
            Self::Brightness => figures::ppfd_from_value(units, shown),
            _ => shown,
        }
    }

    /// Range in its SI unit, and the step of a drag.
    fn range(self) -> (f64, f64, f64) {
        match self {
            Self::Light => (0.0, 70.0, 0.5),
            Self::Warmth => (-20.0, 45.0, 0.5),
            Self::Percent => (0.0, 100.0, 1.0),
            Self::Brightness => (0.0, 3000.0, 10.0),
            Self::Difference => (0.0, 40.0, 0.5),
            Self::Drying => (0.0, 8.0, 0.05),
            Self::Speed => (0.0, 10.0, 0.1),
        }
    }
}

/// The two ideal corners of a band. The corner of harm on that side keeps its distance, so that the range stays one.
fn band_ui(
    ui: &mut Ui,
    units: Units,
    name: &str,
    full: &str,
    unit: Unit,
    figure: &mut Figure<Band>,
    watch: &mut dyn FnMut(&Response),
) {
    row_ui(ui, name, |ui| {
        let Band(harm_low, low, high, harm_high) = figure.value;
        let (least, most, step) = unit.range();
        let mut ends = [unit.shown(units, low), unit.shown(units, high)];
        let before = ends;
        let (from, to) = (unit.shown(units, least), unit.shown(units, most));
        for (end, word) in ends.iter_mut().zip(["from", "to"]) {
            let r = number_ui(
                ui,
                &format!("{full}: {word}"),
                end,
                from..=to,
                step,
                unit.word(units),
            );
            watch(&r);
        }
        if ends != before {
            let low_now = unit.meant(units, ends[0]);
            let high_now = unit.meant(units, ends[1]).max(low_now);
            let low_now = low_now.min(high_now);
            figure.value = Band(
                (harm_low + low_now - low).min(low_now),
                low_now,
                high_now,
                (harm_high + high_now - high).max(high_now),
            );
            figure.source = Source::Grower;
        }
        ui.label(text::caption(figure.source.text()));
    });
}
