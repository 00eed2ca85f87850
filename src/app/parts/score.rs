//! A score is always number, word and colour together, and says why.

use egui::{Rect, Response, Sense, Ui, vec2};

use super::locale;
use crate::{
    app::theme::{self, space, text},
    scoring::{Factor, HazardKind, Limiting, Score, ScoreWord, why},
};

/// `"81, suits"`, or `"not known"`.
#[must_use]
pub fn words(points: Option<f64>) -> String {
    points.map_or_else(
        || "not known".to_owned(),
        |p| format!("{p:.0}, {}", ScoreWord::of(p).word()),
    )
}

/// What holds a score back, in a word or two.
#[must_use]
pub fn limiting(limiting: Limiting) -> &'static str {
    match limiting {
        Limiting::Factor(Factor::DayWarmth) => "warmth by day",
        Limiting::Factor(Factor::NightWarmth) => "warmth by night",
        Limiting::Factor(factor) => factor.name(),
        Limiting::Hazard(hazard) => hazard_word(hazard),
        Limiting::Nothing => "nothing holds it back",
        Limiting::Unknown => "too little is known",
    }
}

#[must_use]
pub fn hazard_word(hazard: HazardKind) -> &'static str {
    match hazard {
        HazardKind::LeafFrost => "frost on leaves",
        HazardKind::BudFrost => "frost on buds",
        HazardKind::RootFrost => "frost at the roots",
        HazardKind::Scorch => "scorch",
        HazardKind::BudHeat => "heat on buds",
        HazardKind::RootHeat => "hot roots",
        HazardKind::HeaterPlume => "heater plume",
        HazardKind::VentJet => "vent jet",
    }
}

/// A small patch in the score's colour with number and word.
pub fn chip_ui(ui: &mut Ui, points: Option<f64>) -> Response {
    let t = theme::tokens(ui);
    let ground = t.score_colour(points);
    let ink = t.text_on(ground);
    let number = points.map_or_else(|| "?".to_owned(), |p| format!("{p:.0}"));
    let word = points.map_or("not known", |p| ScoreWord::of(p).word());
    let number = ui
        .painter()
        .layout_no_wrap(number, text::semibold(text::BODY), ink);
    let word = ui
        .painter()
        .layout_no_wrap(word.to_owned(), text::regular(text::SMALL), ink);
    let number_w = number.size().x.max(24.0);
    let size = vec2(
        number_w + word.size().x.max(52.0) + 6.0 + 2.0 * space::S,
        24.0,
    );
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::accesskit::Role::Label, true, words(points))
    });
    if ui.is_rect_visible(rect) {
        let painter = ui.painter();
        painter.rect_filled(rect, space::CORNER, ground);
        let y = rect.center().y;
        painter.galley(
            egui::pos2(
                rect.left() + space::S + number_w - number.size().x,
                y - number.size().y / 2.0,
            ),
            number,
            ink,
        );
        painter.galley(
            egui::pos2(
                rect.left() + space::S + number_w + 6.0,
                y - word.size().y / 2.0,
            ),
            word,
            ink,
        );
    }
    response
}

/// A year of weeks as one band: its height and its colour are the score, so that a poor week is a dip in it and is
/// found without colour.
pub fn strip_paint(ui: &Ui, rect: Rect, points: &[Option<f64>]) {
    let t = theme::tokens(ui);
    let painter = ui.painter();
    painter.rect_filled(rect, 0, t.hover_wash);
    let width = rect.width() / points.len().max(1) as f32;
    let mut from = 0;
    // Equal weeks are one piece: no seams between them.
    for run in points.chunk_by(|a, b| a == b) {
        let x = |week: usize| rect.left() + week as f32 * width;
        let height = match run.first().copied().flatten() {
            Some(p) => (rect.height() * p as f32 / 100.0).max(2.0),
            None => 3.0_f32.min(rect.height()),
        };
        let piece = Rect::from_x_y_ranges(
            x(from)..=x(from + run.len()),
            rect.bottom() - height..=rect.bottom(),
        );
        let colour = match run.first().copied().flatten() {
            Some(p) => t.score_colour(Some(p)),
            None => t.line_strong,
        };
        painter.rect_filled(piece, 0, colour);
        from += run.len();
    }
}

/// The notch of scores below "copes": one dot, below "suffers" two, or a heavier one where two have no room.
pub fn notch_paint(ui: &Ui, cell: Rect, points: Option<f64>) {
    let Some(p) = points.filter(|p| *p < 50.0) else {
        return;
    };
    if cell.width() < 4.0 {
        return;
    }
    let t = theme::tokens(ui);
    let ink = t.text_on(t.score_colour(points));
    let at = cell.center_bottom() - vec2(0.0, 4.0);
    if p < 25.0 && cell.width() >= 9.0 {
        ui.painter().circle_filled(at - vec2(2.2, 0.0), 1.3, ink);
        ui.painter().circle_filled(at + vec2(2.2, 0.0), 1.3, ink);
    } else {
        let r = if p < 25.0 { 2.2 } else { 1.3 };
        ui.painter().circle_filled(at, r, ink);
    }
}

/// Score with its reason, as tooltips show it.
pub fn reason_ui(ui: &mut Ui, score: &Score) {
    ui.horizontal(|ui| {
        chip_ui(ui, score.points);
        ui.label(text::soft(score.stage.word()));
    });
    let sentence = why(score);
    if !sentence.is_empty() {
        ui.label(locale::said(&sentence));
    }
    let (low, high) = score.band;
    if score.points.is_some() && high - low >= 1.0 {
        ui.label(text::caption(format!(
            "between {low:.0} and {high:.0} by what is not known exactly"
        )));
    }
}
