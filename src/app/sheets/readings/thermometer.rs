//! Readings of minimum-maximum thermometers, each beside what the model expects of that night.

use egui::Ui;

use crate::{
    air::ReviewedMinMax,
    app::{
        parts::{
            dates::date_field_ui,
            figures,
            form::{Form, quantity::Quantity, quantity_ui},
            icons::{Icon, icon_button_ui},
        },
        state::{Request, Sight, Units},
        theme::{space, text},
    },
    base::Id,
    pipeline::readings::date_doubt,
    site::{MinMaxReading, Spot},
};

pub(super) fn min_max_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    id: &Id,
    next: &mut Spot,
    form: &mut Form,
    step: &str,
    requests: &mut Vec<Request>,
) {
    let units = sight.looking.units;
    let ends = -50.0..=60.0;
    let mut field = |ui: &mut Ui, name: &str, celsius: &mut f64| {
        let r = quantity_ui(
            ui,
            units,
            name,
            Quantity::Temperature,
            ends.clone(),
            celsius,
        );
        form.watch(&r, step, requests);
    };
    let reviews = sight
        .outcome
        .and_then(|o| o.spots.get(id))
        .filter(|_| !sight.stale)
        .map(|s| s.air.readings.min_max.as_slice())
        .unwrap_or_default();
    let mut gone = None;
    for (i, reading) in next.min_max.iter_mut().enumerate() {
        let n = i + 1;
        ui.push_id(("min max", i), |ui| {
            ui.horizontal_wrapped(|ui| {
                if let (_, Some(day)) =
                    date_field_ui(ui, &format!("Day of thermometer reading {n}"), reading.date)
                {
                    reading.date = day;
                }
                let name = format!("Minimum of thermometer reading {n}");
                field(ui, &name, &mut reading.min_c);
                match &mut reading.max_c {
                    Some(max_c) => {
                        let name = format!("Maximum of thermometer reading {n}");
                        field(ui, &name, max_c);
                    }
                    None => {
                        if ui
                            .small_button(format!("Add the maximum of reading {n}"))
                            .clicked()
                        {
                            reading.max_c = Some(reading.min_c + 10.0);
                        }
                    }
                }
                let name = format!("Delete thermometer reading {n}");
                if icon_button_ui(ui, Icon::Close, &name, true).clicked() {
                    gone = Some(i);
                }
            });
            ui.horizontal_wrapped(|ui| {
                let mut beside = reading.outdoors_min_c.is_some();
                let tick = ui
                    .checkbox(&mut beside, "The open's minimum that night is known")
                    .on_hover_text("Of a thermometer in the open, or the nearest station. It makes a reading worth more.");
                if tick.changed() {
                    reading.outdoors_min_c = beside.then_some(reading.min_c - 1.0);
                }
                if let Some(open_c) = &mut reading.outdoors_min_c {
                    let name = format!("Minimum in the open at reading {n}");
                    field(ui, &name, open_c);
                }
            });
            if let Some(review) = reviews.get(i) {
                match review.doubt {
                    Some(doubt) => super::doubt_ui(ui, &doubt.text()),
                    None => {
                        if let Some(words) = against(units, reading.min_c, review) {
                            ui.label(text::caption(words));
                        }
                    }
                }
            }
            if let Some(why) = date_doubt(reading.date, sight.today) {
                super::doubt_ui(ui, why);
            }
        });
        ui.add_space(space::S);
    }
    if let Some(i) = gone {
        next.min_max.remove(i);
    }
    if ui.button("Add a thermometer reading").clicked() {
        next.min_max.push(MinMaxReading {
            date: sight.today,
            min_c: 10.0,
            max_c: None,
            outdoors_min_c: None,
            note: String::new(),
        });
    }
}

/// A reading against the model, in words.
fn against(units: Units, min_c: f64, review: &ReviewedMinMax) -> Option<String> {
    let model = review.model_min_c?;
    let corrected = review.corrected_min_c.map_or_else(String::new, |c| {
        format!("; corrected {}", figures::temperature(units, c))
    });
    let of = if review.beside_open {
        "that night, by the open's minimum"
    } else {
        "of a usual night of that season"
    };
    Some(format!(
        "{} from the model, which expects {} {of}{corrected}",
        figures::difference(units, min_c - model),
        figures::temperature(units, model)
    ))
}
