//! Fields of heaters, air vents, fans and trays, with the cautions that go with them.

use egui::Ui;

use crate::{
    app::parts::form::{object::ObjectForm, quantity::Quantity as Q},
    site::{Fan, FanKind, Heater, HeaterKind, Site, Tray, Vent, VentKind},
};

const CLOCKWISE: &str = "Clockwise from up on the plan; the round handle turns it.";

pub fn heater(form: &mut ObjectForm, ui: &mut Ui, site: &Site, o: &mut Heater) {
    let kinds = [
        (HeaterKind::Radiator, "radiator or panel"),
        (HeaterKind::Convector, "convector"),
        (HeaterKind::FanHeater, "fan heater"),
        (HeaterKind::Stove, "stove"),
        (HeaterKind::FloorHeating, "warm floor"),
    ];
    form.choice(ui, "Kind", "", &mut o.kind, &kinds);
    form.room(ui, site, &mut o.room);
    form.place(ui, &mut o.at);
    form.number(
        ui,
        "Faces",
        CLOCKWISE,
        Q::Degrees,
        0.0..=360.0,
        &mut o.faces_deg,
    );
    form.number(
        ui,
        "Length",
        "Along the wall.",
        Q::Length,
        0.1..=8.0,
        &mut o.length_m,
    );
    form.number(
        ui,
        "Top",
        "Above the floor.",
        Q::Length,
        0.05..=3.0,
        &mut o.top_m,
    );
    form.number(
        ui,
        "Output",
        "Heat given off while it runs.",
        Q::Watts,
        20.0..=20_000.0,
        &mut o.output_w,
    );
    form.timetable(ui, &mut o.runs);
}

/// Said with every heater.
pub fn heater_caution(kind: HeaterKind) -> &'static str {
    match kind {
        HeaterKind::Stove => {
            "Keep a metre clear all round, and air in for the fire; a carbon monoxide alarm in the room. Follow local codes; ask a licensed trade."
        }
        HeaterKind::FloorHeating => {
            "Pots on a warm floor dry from below; raise them. Follow local codes; ask a licensed trade."
        }
        _ => {
            "Keep pots, leaves and cloth clear of it, water away from its socket, no trailing cable. Follow local codes; ask a licensed trade."
        }
    }
}

pub fn vent(form: &mut ObjectForm, ui: &mut Ui, site: &Site, o: &mut Vent) {
    form.choice(
        ui,
        "Kind",
        "",
        &mut o.kind,
        &[
            (VentKind::Supply, "blows air in"),
            (VentKind::Extract, "draws air out"),
        ],
    );
    form.room(ui, site, &mut o.room);
    form.place(ui, &mut o.at);
    form.number(
        ui,
        "Height",
        "Middle of the opening above the floor.",
        Q::Length,
        0.0..=8.0,
        &mut o.height_m,
    );
    form.number(
        ui,
        "Blows towards",
        CLOCKWISE,
        Q::Degrees,
        0.0..=360.0,
        &mut o.blows_deg,
    );
    form.number(
        ui,
        "Tilt",
        "Upwards positive.",
        Q::Degrees,
        -90.0..=90.0,
        &mut o.tilt_deg,
    );
    form.number(
        ui,
        "Free area",
        "Of the opening.",
        Q::Area,
        0.001..=1.0,
        &mut o.area_m2,
    );
    form.number(
        ui,
        "Air speed",
        "In the opening.",
        Q::Speed,
        0.1..=12.0,
        &mut o.speed_m_s,
    );
    if o.kind == VentKind::Supply {
        form.number(
            ui,
            "Air supplied",
            "Its temperature.",
            Q::Temperature,
            -20.0..=60.0,
            &mut o.supply_c,
        );
    }
    form.timetable(ui, &mut o.runs);
}

pub fn fan(form: &mut ObjectForm, ui: &mut Ui, site: &Site, o: &mut Fan) {
    form.choice(
        ui,
        "Kind",
        "",
        &mut o.kind,
        &[
            (FanKind::Table, "table or clip fan"),
            (FanKind::Ceiling, "ceiling fan"),
        ],
    );
    form.room_or_outdoors(ui, site, &mut o.room);
    form.place(ui, &mut o.at);
    form.number(
        ui,
        "Height",
        "Middle above the floor.",
        Q::Length,
        0.0..=8.0,
        &mut o.height_m,
    );
    if o.kind == FanKind::Table {
        form.number(
            ui,
            "Blows towards",
            CLOCKWISE,
            Q::Degrees,
            0.0..=360.0,
            &mut o.blows_deg,
        );
        form.number(
            ui,
            "Share of time",
            "That it blows at one place, for one that swings.",
            Q::Share,
            0.0..=1.0,
            &mut o.share,
        );
    }
    form.number(
        ui,
        "Diameter",
        "",
        Q::SmallLength,
        0.05..=3.0,
        &mut o.diameter_m,
    );
    form.number(
        ui,
        "Air speed",
        "Mean at the blades.",
        Q::Speed,
        0.1..=12.0,
        &mut o.speed_m_s,
    );
    form.timetable(ui, &mut o.runs);
}

/// Said with every fan.
pub const FAN_CAUTION: &str = "Mains and water: keep it out of splashes, its cable out of the way. Follow local codes; ask a licensed trade.";

pub fn tray(form: &mut ObjectForm, ui: &mut Ui, site: &Site, o: &mut Tray) {
    form.room_or_outdoors(ui, site, &mut o.room);
    form.place(ui, &mut o.at);
    form.number(
        ui,
        "Water surface",
        "",
        Q::Area,
        0.005..=5.0,
        &mut o.area_m2,
    );
    form.months(
        ui,
        "Wet",
        "Months in which there is water in it.",
        &mut o.months,
    );
}
