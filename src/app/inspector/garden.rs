//! Fields of what stands and lies in the garden.

use egui::Ui;

use crate::{
    app::parts::form::{object::ObjectForm, quantity::Quantity as Q},
    base::{Hemisphere, Months},
    site::{
        Canopy, Cloth, ClothColour, Ground, GroundKind, Leafing, Screen, ScreenKind, Tree, Weave,
    },
};

pub fn canopy(form: &mut ObjectForm, ui: &mut Ui, o: &mut Canopy) {
    form.number(
        ui,
        "Underside",
        "Above the ground.",
        Q::Length,
        0.3..=30.0,
        &mut o.height_m,
    );
    form.number(
        ui,
        "Thickness",
        "",
        Q::SmallLength,
        0.0..=2.0,
        &mut o.thickness_m,
    );
    form.number(
        ui,
        "Lets through",
        "Share of light from straight above: 0 solid; slats or clear sheets pass some.",
        Q::Share,
        0.0..=1.0,
        &mut o.passes,
    );
    form.toggle(
        ui,
        "Keeps rain off",
        "Then pots below are watered by hand only.",
        &mut o.rainproof,
    );
    form.months(
        ui,
        "There",
        "Months in which it is up or in leaf.",
        &mut o.months,
    );
}

pub fn screen(form: &mut ObjectForm, ui: &mut Ui, o: &mut Screen) {
    let kinds = [
        (ScreenKind::Wall, "wall"),
        (ScreenKind::Fence, "fence"),
        (ScreenKind::Hedge, "hedge"),
    ];
    form.choice(ui, "Kind", "", &mut o.kind, &kinds);
    form.number(
        ui,
        "Foot",
        "Above the ground.",
        Q::Length,
        0.0..=20.0,
        &mut o.base_m,
    );
    form.number(
        ui,
        "Top",
        "Above the ground.",
        Q::Length,
        0.1..=30.0,
        &mut o.top_m,
    );
    form.number(
        ui,
        "Thickness",
        "",
        Q::SmallLength,
        0.0..=5.0,
        &mut o.thickness_m,
    );
    form.number(
        ui,
        "Gaps",
        "Open share seen square on: 0 solid; a hedge in leaf about 10 %.",
        Q::Share,
        0.0..=1.0,
        &mut o.porosity,
    );
    form.number(
        ui,
        "Brightness",
        "Share of light thrown back: white 75 %, wood 30 %, leaves 20 %.",
        Q::Share,
        0.0..=0.95,
        &mut o.reflectance,
    );
    form.optional(
        ui,
        "Gaps when bare",
        "For those that shed their leaves.",
        Q::Share,
        0.0..=1.0,
        0.6,
        &mut o.bare_porosity,
    );
    if o.bare_porosity.is_some() {
        form.months(ui, "In leaf", "", &mut o.leaf_months);
    }
}

pub fn tree(form: &mut ObjectForm, ui: &mut Ui, hemisphere: Hemisphere, o: &mut Tree) {
    form.place(ui, &mut o.at);
    form.number(
        ui,
        "Crown radius",
        "From the trunk to the rim of the crown.",
        Q::Length,
        0.2..=20.0,
        &mut o.crown_radius_m,
    );
    form.number(
        ui,
        "Crown begins",
        "Lower end of the crown above the ground.",
        Q::Length,
        0.0..=30.0,
        &mut o.crown_base_m,
    );
    form.number(
        ui,
        "Top",
        "Above the ground.",
        Q::Length,
        0.3..=60.0,
        &mut o.top_m,
    );
    form.number(ui, "Leaf area", "Square metres of leaf over each square metre of ground in full leaf: 2 airy, 4 usual, 7 dense.", Q::Plain, 0.0..=12.0, &mut o.leaf_area_index);
    let mut sheds = matches!(o.leafing, Leafing::Deciduous { .. });
    if form.choice(
        ui,
        "Leaves",
        "",
        &mut sheds,
        &[(false, "evergreen"), (true, "shed in winter")],
    ) {
        // From the fifth to the tenth month in the north, half a year later in the south.
        let months = match hemisphere {
            Hemisphere::North => Months::span(5, 10),
            Hemisphere::South => Months::span(11, 4),
        };
        o.leafing = if sheds {
            Leafing::Deciduous { months }
        } else {
            Leafing::Evergreen
        };
    }
    if let Leafing::Deciduous { months } = &mut o.leafing {
        form.months(ui, "In leaf", "", months);
    }
}

pub fn ground(form: &mut ObjectForm, ui: &mut Ui, o: &mut Ground) {
    let kinds = [
        (GroundKind::Lawn, "lawn"),
        (GroundKind::PalePaving, "pale paving"),
        (GroundKind::DarkPaving, "dark paving"),
        (GroundKind::Gravel, "gravel"),
        (GroundKind::Soil, "soil"),
        (GroundKind::Decking, "decking"),
        (GroundKind::Water, "water"),
    ];
    form.choice(ui, "Surface", "", &mut o.kind, &kinds);
    let usual = o.kind.reflectance();
    form.optional(
        ui,
        "Brightness",
        "Share of light thrown back, in place of the usual one for this surface.",
        Q::Share,
        0.0..=0.95,
        usual,
        &mut o.reflectance,
    );
}

pub fn cloth(form: &mut ObjectForm, ui: &mut Ui, o: &mut Cloth) {
    form.number(
        ui,
        "Shade",
        "Nominal, of light straight through, as on the label.",
        Q::Percent,
        5.0..=95.0,
        &mut o.shade_pct,
    );
    form.number(
        ui,
        "Height",
        "Above the ground.",
        Q::Length,
        0.3..=12.0,
        &mut o.height_m,
    );
    form.number(
        ui,
        "Hangs down",
        "Along its rim.",
        Q::Length,
        0.0..=5.0,
        &mut o.drop_m,
    );
    let colours = [
        (ClothColour::Black, "black"),
        (ClothColour::Green, "green"),
        (ClothColour::White, "white"),
        (ClothColour::Aluminised, "aluminised"),
    ];
    form.choice(ui, "Colour", "", &mut o.colour, &colours);
    form.choice(
        ui,
        "Weave",
        "Knitted cloth has deep threads: oblique light is shaded more than the label says.",
        &mut o.weave,
        &[(Weave::Knitted, "knitted"), (Weave::Woven, "woven")],
    );
    form.months(ui, "Up", "Months in which it is up.", &mut o.months);
}

/// Said wherever cloth is planned.
pub const CLOTH_CAUTION: &str = "Cloth catches wind: strong posts and fixings, and down before gales. Mind the ladder. Follow local codes; ask a licensed trade.";
