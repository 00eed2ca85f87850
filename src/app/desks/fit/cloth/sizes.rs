//! The row of percentages, each with number, word and colour of the year under it.

use egui::{Rect, Sense, Stroke, StrokeKind, Ui, WidgetInfo, accesskit::Role, pos2, vec2};

use crate::{
    app::{
        parts::{score, words::centred_paint},
        state::Sight,
        theme::{self, space, text},
    },
    base::{Months, calendar::MONTH_NAMES},
    cloth::{Report, Trial, colour_word, months_words},
};

const GAP: f32 = 6.0;
const NAME_H: f32 = 22.0;
const SCORE_H: f32 = 44.0;
const MONTHS_H: f32 = 22.0;

pub fn sizes_ui(ui: &mut Ui, sight: &Sight<'_>, report: &Report, looked_at: &mut Option<usize>) {
    let several = report.plants.len() > 1;
    ui.label(text::caption(if several {
        "Mean of the plants' years under each percentage sold, in its best months"
    } else {
        "The year under each percentage sold, in its best months"
    }));
    let count = report.trials.len().max(1) as f32;
    let width = ((ui.available_width() + GAP) / count - GAP).min(120.0);
    let shown = looked_at.unwrap_or(report.chosen);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = GAP;
        for (k, trial) in report.trials.iter().enumerate() {
            if size_ui(ui, sight, report, (k, trial), width, k == shown) {
                *looked_at = (k != report.chosen).then_some(k);
            }
        }
    });
}

fn size_ui(
    ui: &mut Ui,
    sight: &Sight<'_>,
    report: &Report,
    (k, trial): (usize, &Trial),
    width: f32,
    shown: bool,
) -> bool {
    let t = theme::tokens(ui);
    let chosen = k == report.chosen;
    let cloth = trial.shade_pct > 0.0;
    let size = vec2(width, NAME_H + SCORE_H + MONTHS_H);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let name = if cloth {
        format!("{:.0} %", trial.shade_pct)
    } else {
        "none".to_owned()
    };
    // Where it is better never hung, the figure is that of hanging it all the same.
    let never = cloth && !report.can_hang(k);
    let points = if never {
        trial.always_up_score
    } else {
        trial.year_score
    };
    let up = if never {
        "if always up; better never hung".to_owned()
    } else if cloth {
        format!("up {}", months_words(trial.months))
    } else {
        "no cloth".to_owned()
    };
    let best = if chosen { ", the best" } else { "" };
    response.widget_info(|| {
        WidgetInfo::selected(
            Role::Button,
            true,
            shown,
            format!("{name}: {}, {up}{best}", score::words(points)),
        )
    });
    if ui.is_rect_visible(rect) {
        let painter = ui.painter();
        if response.hovered() && !shown {
            painter.rect_filled(rect.expand(2.0), space::CORNER, t.hover_wash);
        }
        if shown {
            painter.rect_filled(rect.expand(2.0), space::CORNER, t.accent_wash);
        }
        let head = Rect::from_min_size(rect.min, vec2(width, NAME_H));
        let font = if chosen {
            text::semibold(text::BODY)
        } else {
            text::regular(text::BODY)
        };
        centred_paint(ui, head, &name, font, t.ink);
        let body = Rect::from_min_size(pos2(rect.left(), head.bottom()), vec2(width, SCORE_H));
        let ground = t.score_colour(points);
        let ink = t.text_on(ground);
        painter.rect_filled(body, space::CORNER, ground);
        let number = points.map_or_else(|| "?".to_owned(), |p| format!("{p:.0}"));
        let word = points.map_or("not known", |p| crate::scoring::ScoreWord::of(p).word());
        let (top, low) = body.split_top_bottom_at_fraction(0.56);
        centred_paint(ui, top, &number, text::semibold(text::BODY + 2.0), ink);
        centred_paint(ui, low, word, text::regular(text::SMALL), ink);
        let foot = Rect::from_min_max(pos2(rect.left(), body.bottom()), rect.max);
        centred_paint(
            ui,
            foot,
            &short_months(trial, never),
            text::regular(text::SMALL),
            t.ink_soft,
        );
        if chosen {
            painter.rect_stroke(
                body,
                space::CORNER,
                Stroke::new(2.5, t.accent),
                StrokeKind::Outside,
            );
        }
        if response.has_focus() {
            painter.rect_stroke(
                rect.expand(2.0),
                space::CORNER,
                Stroke::new(1.5, t.accent),
                StrokeKind::Inside,
            );
        }
    }
    let response = response.on_hover_ui(|ui| {
        ui.label(text::strong(format!("{name}: {}", score::words(points))));
        ui.label(text::soft(up));
        if report.can_hang(k) {
            ui.label(text::caption(format!(
                "always up {}",
                score::words(trial.always_up_score)
            )));
            for (colour, points) in crate::cloth::COLOURS.iter().zip(&trial.colour_scores) {
                ui.label(text::caption(format!(
                    "{} {}",
                    colour_word(*colour),
                    score::words(*points)
                )));
            }
        }
        if report.plants.len() > 1 {
            for (plant, year) in report.plants.iter().zip(&trial.plants) {
                ui.label(text::caption(format!(
                    "{}: {}",
                    sight.plant_name(plant),
                    score::words(year.year_score)
                )));
            }
        }
    });
    response.clicked()
}

/// `"May–Sep"`.
fn short_months(trial: &Trial, never: bool) -> String {
    if trial.shade_pct <= 0.0 {
        return String::new();
    }
    if never {
        return "better not".to_owned();
    }
    if trial.months == Months::ALL {
        return "all year".to_owned();
    }
    let short = |m: usize| {
        MONTH_NAMES
            .get(m % 12)
            .map_or(String::new(), |n| n.chars().take(3).collect())
    };
    let first = (0..12).find(|m| trial.months.has(*m) && !trial.months.has(m + 11));
    let last = (0..12).find(|m| trial.months.has(*m) && !trial.months.has(m + 1));
    match (first, last) {
        (Some(a), Some(b)) if a == b => short(a),
        (Some(a), Some(b)) => format!("{}–{}", short(a), short(b)),
        _ => String::new(),
    }
}
