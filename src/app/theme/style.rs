//! Dresses egui in the tokens, and says how large text and distances are.

use std::collections::BTreeMap;

use egui::{
    Color32, CornerRadius, FontFamily, FontId, Margin, Shadow, Stroke, Style, TextStyle, Theme,
    style::{NumberFormatter, Selection, WidgetVisuals, Widgets},
    vec2,
};

use super::{Tokens, fonts, of};
use crate::app::parts::locale;

/// Distances, points.
pub mod space {
    /// Between things that belong together.
    pub const XS: f32 = 4.0;
    pub const S: f32 = 8.0;
    pub const M: f32 = 12.0;
    /// Between groups; margins of sheets.
    pub const L: f32 = 20.0;
    /// Between parts of a desk.
    pub const XL: f32 = 32.0;
    /// Corners of cards and controls.
    pub const CORNER: u8 = 4;
    /// Width of text that is still easy to read.
    pub const READING: f32 = 560.0;
}

/// Text by its part in the page.
pub mod text {
    use egui::{FontFamily, FontId, RichText};

    use crate::app::theme::{SEMIBOLD, SERIF};

    /// Sizes, points.
    pub const BODY: f32 = 15.0;
    pub const SMALL: f32 = 13.0;
    pub const HEADING: f32 = 20.0;
    pub const TITLE: f32 = 27.0;

    #[must_use]
    pub fn serif(size: f32) -> FontId {
        FontId::new(size, FontFamily::Name(SERIF.into()))
    }

    #[must_use]
    pub fn semibold(size: f32) -> FontId {
        FontId::new(size, FontFamily::Name(SEMIBOLD.into()))
    }

    #[must_use]
    pub fn regular(size: f32) -> FontId {
        FontId::proportional(size)
    }

    /// Title of a desk.
    pub fn title(text: impl Into<String>) -> RichText {
        RichText::new(text).font(serif(TITLE))
    }

    /// Heading of a part or a sheet.
    pub fn heading(text: impl Into<String>) -> RichText {
        RichText::new(text).font(serif(HEADING))
    }

    /// Heading of a group within a part.
    pub fn group(text: impl Into<String>) -> RichText {
        RichText::new(text).font(semibold(BODY))
    }

    /// A figure or word that must be seen.
    pub fn strong(text: impl Into<String>) -> RichText {
        RichText::new(text).font(semibold(BODY))
    }

    /// Text that steps back.
    pub fn soft(text: impl Into<String>) -> RichText {
        RichText::new(text).weak()
    }

    /// Small text that steps back: captions, sources.
    pub fn caption(text: impl Into<String>) -> RichText {
        RichText::new(text).size(SMALL).weak()
    }
}

/// Fonts and both themes. Call once, before the first frame.
pub fn apply(ctx: &egui::Context) {
    ctx.set_fonts(fonts::definitions());
    for (theme, dark) in [(Theme::Light, false), (Theme::Dark, true)] {
        ctx.style_mut_of(theme, |style| dress(style, of(dark), dark));
    }
}

fn dress(style: &mut Style, t: &Tokens, dark: bool) {
    style.text_styles = BTreeMap::from([
        (TextStyle::Small, FontId::proportional(text::SMALL)),
        (TextStyle::Body, FontId::proportional(text::BODY)),
        (TextStyle::Button, FontId::proportional(text::BODY)),
        (TextStyle::Heading, text::serif(text::HEADING)),
        (
            TextStyle::Monospace,
            FontId::new(text::SMALL, FontFamily::Monospace),
        ),
    ]);
    style.drag_value_text_style = TextStyle::Body;
    style.number_formatter = NumberFormatter::new(|value, decimals| {
        locale::figure(egui::emath::format_with_decimals_in_range(value, decimals))
    });

    let s = &mut style.spacing;
    s.item_spacing = vec2(space::S, space::S);
    s.button_padding = vec2(11.0, 5.0);
    s.interact_size = vec2(36.0, 28.0);
    s.menu_margin = Margin::same(6);
    s.window_margin = Margin::same(space::L as i8);
    s.indent = space::L;
    s.combo_width = 160.0;
    s.slider_width = 180.0;
    s.text_edit_width = 220.0;
    s.icon_width = 18.0;
    s.icon_width_inner = 10.0;
    s.icon_spacing = 7.0;
    s.tooltip_width = 380.0;
    s.scroll.bar_width = 9.0;
    s.scroll.floating = true;
    style.interaction.tooltip_delay = 0.35;
    style.interaction.selectable_labels = false;

    let v = &mut style.visuals;
    v.dark_mode = dark;
    v.override_text_color = None;
    v.weak_text_color = Some(t.ink_soft);
    v.hyperlink_color = t.accent;
    v.faint_bg_color = t.hover_wash;
    v.extreme_bg_color = t.sheet;
    v.text_edit_bg_color = Some(t.sheet);
    v.code_bg_color = t.margin;
    v.warn_fg_color = t.caution;
    v.error_fg_color = t.fault;
    v.panel_fill = t.paper;
    v.window_fill = t.sheet;
    v.window_stroke = Stroke::new(1.0, t.line);
    v.window_corner_radius = CornerRadius::same(space::CORNER + 2);
    v.menu_corner_radius = CornerRadius::same(space::CORNER);
    v.window_shadow = shadow(t, 8, 28);
    v.popup_shadow = shadow(t, 4, 14);
    v.striped = false;
    v.indent_has_left_vline = false;
    v.slider_trailing_fill = true;
    v.text_cursor.stroke = Stroke::new(2.0, t.accent);
    v.selection = Selection {
        bg_fill: t.accent_wash,
        stroke: Stroke::new(1.5, t.accent),
    };
    v.widgets = widgets(t);
}

fn shadow(t: &Tokens, drop: i8, blur: u8) -> Shadow {
    Shadow {
        offset: [0, drop],
        blur,
        spread: 0,
        color: t.shade.gamma_multiply(0.16),
    }
}

fn widgets(t: &Tokens) -> Widgets {
    let state = |fill: Color32, outline: Stroke, text: Color32| WidgetVisuals {
        bg_fill: fill,
        weak_bg_fill: fill,
        bg_stroke: outline,
        corner_radius: CornerRadius::same(space::CORNER),
        fg_stroke: Stroke::new(1.3, text),
        expansion: 0.0,
    };
    Widgets {
        noninteractive: state(t.paper, Stroke::new(1.0, t.line), t.ink),
        inactive: state(t.sheet, Stroke::new(1.0, t.line_strong), t.ink),
        hovered: state(t.hover_wash, Stroke::new(1.0, t.ink_soft), t.ink),
        active: state(t.accent_wash, Stroke::new(1.5, t.accent), t.accent),
        open: state(t.hover_wash, Stroke::new(1.0, t.ink_soft), t.ink),
    }
}
