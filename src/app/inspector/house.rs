//! Fields of buildings, rooms, windows and doors.

use egui::Ui;

use crate::{
    app::{
        canvas::shape,
        parts::form::{object::ObjectForm, quantity::Quantity as Q},
        theme::text,
    },
    base::Months,
    site::{
        Building, Covering, CoveringKind, Glazing, Insulation, Mass, Opened, Roof, Room, RoomAir,
        SetPoints, Site, Window, WindowKind,
    },
};

const GLAZING: [(Glazing, &str); 7] = [
    (Glazing::Single, "single"),
    (Glazing::Double, "double"),
    (Glazing::DoubleLowE, "double, coated"),
    (Glazing::Triple, "triple"),
    (Glazing::Obscured, "patterned or frosted"),
    (Glazing::Polycarbonate, "twin-wall polycarbonate"),
    (Glazing::Open, "open, no glass"),
];

pub fn building(form: &mut ObjectForm, ui: &mut Ui, o: &mut Building) {
    form.number(
        ui,
        "Foot of walls",
        "Above the ground: 0 unless it stands on posts or on another roof.",
        Q::Length,
        -5.0..=50.0,
        &mut o.base_m,
    );
    form.number(
        ui,
        "Top of walls",
        "Above the ground, at the eaves.",
        Q::Length,
        0.1..=80.0,
        &mut o.wall_top_m,
    );
    form.number(
        ui,
        "Eaves",
        "How far the roof stands out beyond the walls.",
        Q::Length,
        0.0..=5.0,
        &mut o.eaves_m,
    );
    form.number(
        ui,
        "Wall brightness",
        "Share of light that the walls throw back: white about 75 %, brick 30 %.",
        Q::Share,
        0.0..=1.0,
        &mut o.reflectance,
    );
    form.section(ui, "Roof");
    let high = o.wall_top_m + 2.0;
    let shapes = ["flat", "two slopes", "four slopes", "one slope"];
    let mut which = match o.roof {
        Roof::Flat => 0,
        Roof::Gable { .. } => 1,
        Roof::Hip { .. } => 2,
        Roof::Lean { .. } => 3,
    };
    let all: Vec<(usize, &str)> = shapes.iter().copied().enumerate().collect();
    if form.choice(
        ui,
        "Shape",
        "The ridge lies along the longer side.",
        &mut which,
        &all,
    ) {
        o.roof = match which {
            0 => Roof::Flat,
            1 => Roof::Gable { ridge_m: high },
            2 => Roof::Hip { ridge_m: high },
            _ => Roof::Lean {
                high_m: high,
                towards_deg: 0.0,
            },
        };
    }
    match &mut o.roof {
        Roof::Flat => {}
        Roof::Gable { ridge_m } | Roof::Hip { ridge_m } => {
            form.number(
                ui,
                "Ridge",
                "Above the ground.",
                Q::Length,
                0.2..=100.0,
                ridge_m,
            );
        }
        Roof::Lean {
            high_m,
            towards_deg,
        } => {
            form.number(
                ui,
                "High side",
                "Above the ground.",
                Q::Length,
                0.2..=100.0,
                high_m,
            );
            form.number(
                ui,
                "Rises towards",
                "Clockwise from up on the plan.",
                Q::Degrees,
                0.0..=360.0,
                towards_deg,
            );
        }
    }
}

pub fn room(form: &mut ObjectForm, ui: &mut Ui, o: &mut Room) {
    form.number(
        ui,
        "Floor",
        "Above the ground outside.",
        Q::Length,
        -6.0..=40.0,
        &mut o.floor_m,
    );
    form.number(
        ui,
        "Ceiling",
        "From floor to ceiling.",
        Q::Length,
        1.5..=12.0,
        &mut o.height_m,
    );
    form.section(ui, "Warmth");
    room_air(form, ui, &mut o.air);
    form.choice(
        ui,
        "Holds warmth",
        "Light: wood, glass. Heavy: brick and stone inside.",
        &mut o.mass,
        &[
            (Mass::Light, "little"),
            (Mass::Medium, "some"),
            (Mass::Heavy, "long"),
        ],
    );
    form.choice(
        ui,
        "Insulation",
        "Of walls, ceiling and floor that face the open air: U about 1.5, 0.7 or 0.25 W/m²K.",
        &mut o.insulation,
        &[
            (Insulation::Poor, "poor"),
            (Insulation::Ordinary, "ordinary"),
            (Insulation::Good, "good"),
        ],
    );
    form.number(
        ui,
        "Air changes",
        "By leaks and usual airing.",
        Q::AirChanges,
        0.0..=30.0,
        &mut o.air_changes_per_h,
    );
    form.number(
        ui,
        "Vapour",
        "Given off by people, cooking, drying and plants.",
        Q::KilogramsADay,
        0.0..=50.0,
        &mut o.vapour_kg_d,
    );
    form.section(ui, "Light in the room");
    let shares = "Share of light that it throws back: white 80 %, pale wood 40 %, dark 10 %.";
    form.number(
        ui,
        "Walls",
        shares,
        Q::Share,
        0.0..=0.95,
        &mut o.wall_reflectance,
    );
    form.number(
        ui,
        "Floor brightness",
        shares,
        Q::Share,
        0.0..=0.95,
        &mut o.floor_reflectance,
    );
    form.number(
        ui,
        "Ceiling brightness",
        shares,
        Q::Share,
        0.0..=0.95,
        &mut o.ceiling_reflectance,
    );
    glazed(
        form,
        ui,
        "Glass roof",
        "A glazed roof, as of a porch or greenhouse.",
        &mut o.glazed_roof,
    );
    glazed(
        form,
        ui,
        "Glass walls",
        "Glass all round; windows drawn are then only those that differ.",
        &mut o.glazed_walls,
    );
}

fn glazed(form: &mut ObjectForm, ui: &mut Ui, name: &str, help: &str, value: &mut Option<Glazing>) {
    let mut all: Vec<(Option<Glazing>, &str)> = vec![(None, "none")];
    all.extend(GLAZING.iter().map(|(g, w)| (Some(*g), *w)));
    form.choice(ui, name, help, value, &all);
}

fn room_air(form: &mut ObjectForm, ui: &mut Ui, air: &mut RoomAir) {
    let mut heated = matches!(air, RoomAir::Heated { .. });
    if form.choice(
        ui,
        "Kept",
        "Heated to a temperature, or following the weather.",
        &mut heated,
        &[(true, "heated"), (false, "unheated")],
    ) {
        *air = if heated {
            RoomAir::default()
        } else {
            RoomAir::Unheated {
                frost_guard_c: None,
                shared_with_house: 0.25,
                aired_above_c: Some(20.0),
            }
        };
    }
    match air {
        RoomAir::Heated {
            day_c,
            night_c,
            day_from_h,
            day_to_h,
            months,
            cool_to_c,
            season,
        } => {
            form.number(
                ui,
                "By day",
                "Kept at or above this in the heating months.",
                Q::Temperature,
                -5.0..=35.0,
                day_c,
            );
            form.number(
                ui,
                "By night",
                "Kept at or above this outside the day's hours.",
                Q::Temperature,
                -5.0..=35.0,
                night_c,
            );
            form.hours(
                ui,
                "Day hours",
                "Clock hours between which the day temperature is kept.",
                day_from_h,
                day_to_h,
            );
            form.months(ui, "Heated", "Months in which the heating is on.", months);
            form.optional(
                ui,
                "Cooled to",
                "Where there is cooling: kept at or below this.",
                Q::Temperature,
                10.0..=35.0,
                24.0,
                cool_to_c,
            );
            season_ui(form, ui, season, (*day_c, *night_c));
        }
        RoomAir::Unheated {
            frost_guard_c,
            shared_with_house,
            aired_above_c,
        } => {
            form.optional(
                ui,
                "Frost guard",
                "A thermostat that keeps it from falling lower.",
                Q::Temperature,
                -5.0..=15.0,
                3.0,
                frost_guard_c,
            );
            form.number(
                ui,
                "Leans on house",
                "Share of its walls in common with heated rooms.",
                Q::Share,
                0.0..=1.0,
                shared_with_house,
            );
            form.optional(
                ui,
                "Aired above",
                "Windows are opened by day when it is warmer inside.",
                Q::Temperature,
                0.0..=40.0,
                20.0,
                aired_above_c,
            );
        }
    }
}

/// Other set-points for some months.
fn season_ui(
    form: &mut ObjectForm,
    ui: &mut Ui,
    season: &mut Option<SetPoints>,
    (day_c, night_c): (f64, f64),
) {
    let mut other = season.is_some();
    form.toggle(
        ui,
        "Otherwise in some months",
        "A cool winter's rest, a warmer spring: other temperatures for a part of the year.",
        &mut other,
    );
    if other != season.is_some() {
        *season = other.then_some(SetPoints {
            months: Months::span(11, 2),
            day_c: day_c - 4.0,
            night_c: night_c - 4.0,
        });
    }
    let Some(season) = season else { return };
    form.months(
        ui,
        "These months",
        "Months in which the room is kept otherwise.",
        &mut season.months,
    );
    form.number(
        ui,
        "Then by day",
        "Kept at or above this by day in these months.",
        Q::Temperature,
        -5.0..=35.0,
        &mut season.day_c,
    );
    form.number(
        ui,
        "Then by night",
        "Kept at or above this by night in these months.",
        Q::Temperature,
        -5.0..=35.0,
        &mut season.night_c,
    );
}

/// When a window or door stands open.
fn opened_ui(form: &mut ObjectForm, ui: &mut Ui, opened: &mut Option<Opened>) {
    let mut some = opened.is_some();
    form.toggle(
        ui,
        "Stands open",
        "At set times of some months: it airs the room, and draws on what stands before it. Between rooms it lets their air mix.",
        &mut some,
    );
    if some != opened.is_some() {
        *opened = some.then(Opened::default);
    }
    let Some(opened) = opened else { return };
    form.months(
        ui,
        "Open in",
        "Months in which it stands open.",
        &mut opened.months,
    );
    form.hours(
        ui,
        "Open hours",
        "Clock hours between which it stands open; equal hours mean all day.",
        &mut opened.from_h,
        &mut opened.to_h,
    );
    form.number(
        ui,
        "How far",
        "Share of its area that is open: ajar 10 %.",
        Q::Share,
        0.0..=1.0,
        &mut opened.share,
    );
}

pub fn window(form: &mut ObjectForm, ui: &mut Ui, site: &Site, o: &mut Window) {
    let kinds = [
        (WindowKind::Window, "window"),
        (WindowKind::GlassDoor, "glass door"),
        (WindowKind::Door, "solid door"),
    ];
    form.choice(
        ui,
        "Kind",
        "A solid door lets no light in, but draughts.",
        &mut o.kind,
        &kinds,
    );
    form.room(ui, site, &mut o.room);
    let walls = site.rooms.get(&o.room).map_or(0, |r| r.outline.len());
    let names: Vec<String> = (0..walls).map(|i| wall_name(site, o, i)).collect();
    let all: Vec<(usize, &str)> = names.iter().map(String::as_str).enumerate().collect();
    form.choice(
        ui,
        "Wall",
        "Which wall of the room, by the side it faces.",
        &mut o.wall,
        &all,
    );
    let length = site
        .rooms
        .get(&o.room)
        .and_then(|r| shape::wall(r, o.wall))
        .map_or(50.0, |w| w.length());
    form.number(
        ui,
        "From corner",
        "From the wall's first corner to the glass.",
        Q::Length,
        0.0..=length,
        &mut o.from_corner_m,
    );
    form.number(
        ui,
        "Width",
        "Of the glass.",
        Q::Length,
        0.1..=length.max(0.2),
        &mut o.width_m,
    );
    form.number(
        ui,
        "Sill",
        "Lower edge of the glass above the floor.",
        Q::Length,
        0.0..=6.0,
        &mut o.sill_m,
    );
    form.number(
        ui,
        "Height",
        "Of the glass.",
        Q::Length,
        0.1..=8.0,
        &mut o.height_m,
    );
    if o.kind != WindowKind::Door {
        form.choice(ui, "Glass", "", &mut o.glazing, &GLAZING);
        form.number(
            ui,
            "Clean",
            "Share of light that dirt leaves: 90 % is an ordinary window.",
            Q::Share,
            0.3..=1.0,
            &mut o.clean,
        );
    }
    form.number(
        ui,
        "Inner reveal",
        "From the inner face of the wall to the glass.",
        Q::SmallLength,
        0.0..=1.0,
        &mut o.reveal_m,
    );
    form.number(
        ui,
        "Outer reveal",
        "Depth of the opening outside the glass.",
        Q::SmallLength,
        0.0..=1.0,
        &mut o.outer_reveal_m,
    );
    form.number(ui, "Gaps", "Width of all gaps together by which outer air leaks in: 0 tight, 1 mm ordinary, 3 mm draughty.", Q::Millimetres, 0.0..=10.0, &mut o.leak_gap_mm);
    opened_ui(form, ui, &mut o.opened);
    form.section(ui, "Nets, screens, blinds");
    coverings(form, ui, &mut o.coverings);
}

/// `south wall, 4.20 m`: true side it faces.
fn wall_name(site: &Site, o: &Window, index: usize) -> String {
    let wall = site.rooms.get(&o.room).and_then(|r| shape::wall(r, index));
    wall.map_or_else(
        || format!("wall {}", index + 1),
        |w| {
            let out = w.inward * -1.0;
            let azimuth = out.x().atan2(out.y()).to_degrees() + site.place.plan_north_deg;
            format!("{} {}", index + 1, crate::base::names::compass(azimuth))
        },
    )
}

fn coverings(form: &mut ObjectForm, ui: &mut Ui, all: &mut Vec<Covering>) {
    let mut gone = None;
    for (i, covering) in all.iter_mut().enumerate() {
        ui.push_id(("covering", i), |ui| {
            form.choice(
                ui,
                &format!("Covering {}", i + 1),
                "",
                &mut covering.kind,
                &[
                    (CoveringKind::NetCurtain, "net curtain"),
                    (CoveringKind::InsectScreen, "insect screen"),
                    (CoveringKind::Blind, "blind, half open"),
                    (CoveringKind::Curtain, "curtain or shutter"),
                ],
            );
            form.months(
                ui,
                &format!("Covering {} is there", i + 1),
                "",
                &mut covering.months,
            );
            form.hours(
                ui,
                "Drawn",
                "Clock hours between which it is drawn; equal hours mean all day.",
                &mut covering.from_h,
                &mut covering.to_h,
            );
            form.toggle(
                ui,
                "Behind plants",
                "Plants stand between it and the glass.",
                &mut covering.behind_plants,
            );
            if ui.button(format!("Remove covering {}", i + 1)).clicked() {
                gone = Some(i);
            }
        });
    }
    if let Some(i) = gone {
        all.remove(i);
        form.mark("Coverings");
    }
    if all.is_empty() {
        ui.label(text::caption(
            "None. A thin net at a window costs much of the light.",
        ));
    }
    if ui.button("Add a covering").clicked() {
        all.push(Covering {
            months: Months::ALL,
            ..Covering::default()
        });
        form.mark("Coverings");
    }
}
