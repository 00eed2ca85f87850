//! The day dial: 24 hours round, noon above, night and day as the sun has them in the ribbon's week.

use std::f32::consts::TAU;

use egui::{
    Event, EventFilter, Key, Pos2, Rect, Sense, Shape, Stroke, Ui, WidgetInfo,
    accesskit::{Action as Ask, Role},
    pos2, vec2,
};

use super::{
    state::{Request, Sight},
    theme::{self, text},
};

/// Step of the arrow keys, h.
const STEP_H: f64 = 0.5;

pub fn dial_ui(ui: &mut Ui, sight: &Sight<'_>, size: f32, requests: &mut Vec<Request>) {
    let (rect, response) = ui.allocate_exact_size(vec2(size, size), Sense::click_and_drag());
    let hour = sight.looking.hour;
    let sun = sight.outcome.and_then(|o| {
        o.sun
            .days
            .get(sight.week().first_day().plus(3).index())
            .copied()
    });
    let value = match sun {
        Some(day) => format!("{}, {}", clock(hour), light_word(hour, &day)),
        None => clock(hour),
    };
    response.widget_info(|| WidgetInfo::slider(true, hour, "Hour of the day"));
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(Role::Slider);
        node.set_value(value.clone());
        node.set_min_numeric_value(0.0);
        node.set_max_numeric_value(24.0);
        node.add_action(Ask::Increment);
        node.add_action(Ask::Decrement);
    });

    if response.is_pointer_button_down_on()
        && let Some(pointer) = response.interact_pointer_pos()
        && pointer.distance(rect.center()) > size * 0.08
    {
        response.request_focus();
        let next = hour_at(rect, pointer);
        if (next - hour).abs() > 1e-6 {
            requests.push(Request::GoToHour(next));
        }
    }
    if let Some(next) = keyed(ui, &response, hour) {
        requests.push(Request::GoToHour(next));
    }

    paint(ui, rect, hour, sun, response.has_focus());
    response.on_hover_ui(|ui| {
        ui.label(text::strong(value.clone()));
        if let Some((rise, set)) = sun.and_then(|d| d.rise_h.zip(d.set_h)) {
            ui.label(format!("Sun from {} to {}", clock(rise), clock(set)));
        }
        ui.label(text::caption(
            "Local standard time, without summer time. Drag, or use the arrow keys.",
        ));
    });
}

fn keyed(ui: &Ui, response: &egui::Response, hour: f64) -> Option<f64> {
    let asked = ui.input(|i| {
        i.num_accesskit_action_requests(response.id, Ask::Increment) as f64
            - i.num_accesskit_action_requests(response.id, Ask::Decrement) as f64
    });
    let mut by = asked;
    let mut to = None;
    if response.has_focus() {
        ui.memory_mut(|m| {
            m.set_focus_lock_filter(
                response.id,
                EventFilter {
                    horizontal_arrows: true,
                    vertical_arrows: true,
                    ..EventFilter::default()
                },
            );
        });
        ui.input(|i| {
            for event in &i.events {
                if let Event::Key {
                    key,
                    pressed: true,
                    modifiers,
                    ..
                } = event
                    && modifiers.is_none()
                {
                    match key {
                        Key::ArrowRight | Key::ArrowUp => by += 1.0,
                        Key::ArrowLeft | Key::ArrowDown => by -= 1.0,
                        Key::Home => to = Some(0.0),
                        Key::End => to = Some(23.5),
                        _ => {}
                    }
                }
            }
        });
    }
    to.or_else(|| (by != 0.0).then(|| (hour + by * STEP_H).rem_euclid(24.0)))
}

/// `"14:30"`
#[must_use]
pub fn clock(hour: f64) -> String {
    let minutes = (hour.rem_euclid(24.0) * 60.0).round() as u32 % 1440;
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

fn light_word(hour: f64, day: &crate::sun::SunDay) -> &'static str {
    match (day.rise_h, day.set_h) {
        (Some(rise), Some(set)) if (rise..set).contains(&hour) => "sun is up",
        (None, _) | (_, None) if day.length_h > 12.0 => "sun is up all day",
        _ => "sun is down",
    }
}

fn angle(hour: f64) -> f32 {
    ((hour - 12.0) / 24.0) as f32 * TAU
}

fn on_ring(centre: Pos2, radius: f32, hour: f64) -> Pos2 {
    let a = angle(hour);
    pos2(centre.x + radius * a.sin(), centre.y - radius * a.cos())
}

/// The hour in whose direction a point lies, to a quarter of an hour.
fn hour_at(rect: Rect, at: Pos2) -> f64 {
    let d = at - rect.center();
    let turn = f64::from(d.x.atan2(-d.y) / TAU);
    let hour = (turn * 24.0 + 12.0).rem_euclid(24.0);
    (hour * 4.0).round() / 4.0 % 24.0
}

fn paint(ui: &Ui, rect: Rect, hour: f64, sun: Option<crate::sun::SunDay>, focus: bool) {
    let t = theme::tokens(ui);
    let painter = ui.painter();
    let c = rect.center();
    let outer = rect.width() / 2.0 - 2.0;
    let band = 13.0;
    let ring = outer - band / 2.0;
    let arc = |from: f64, to: f64, colour| {
        let steps = ((to - from) * 4.0).ceil().max(2.0) as usize;
        let points = (0..=steps)
            .map(|k| on_ring(c, ring, from + (to - from) * k as f64 / steps as f64))
            .collect();
        painter.add(Shape::line(points, Stroke::new(band, colour)));
    };
    match sun {
        Some(day) => match (day.rise_h, day.set_h) {
            (Some(rise), Some(set)) if rise < set => {
                arc(set, rise + 24.0, t.night);
                arc(rise, set, t.day);
            }
            _ if day.length_h > 12.0 => arc(0.0, 24.0, t.day),
            _ => arc(0.0, 24.0, t.night),
        },
        None => arc(0.0, 24.0, t.unknown),
    }
    painter.circle_stroke(c, outer, Stroke::new(1.0, t.line_strong));
    painter.circle_stroke(c, outer - band, Stroke::new(1.0, t.line_strong));
    for h in 0..24 {
        let long = h % 6 == 0;
        let inner = outer - band - if long { 6.0 } else { 3.0 };
        painter.line_segment(
            [
                on_ring(c, outer - band, f64::from(h)),
                on_ring(c, inner, f64::from(h)),
            ],
            Stroke::new(1.0, if long { t.ink_soft } else { t.line_strong }),
        );
    }
    // On a small dial the hours at the sides would run into the time in its middle.
    let all = [(12.0, "12"), (0.0, "0"), (18.0, "18"), (6.0, "6")];
    let shown = if outer < 56.0 { 2 } else { 4 };
    for (h, word) in all.into_iter().take(shown) {
        painter.text(
            on_ring(c, outer - band - 14.0, h),
            egui::Align2::CENTER_CENTER,
            word,
            text::regular(11.0),
            t.ink_soft,
        );
    }
    let tip = on_ring(c, ring, hour);
    painter.circle(tip, 6.0, t.sheet, Stroke::new(2.5, t.accent));
    painter.text(
        c,
        egui::Align2::CENTER_CENTER,
        clock(hour),
        text::semibold(text::BODY),
        t.ink,
    );
    if focus {
        painter.circle_stroke(c, outer + 1.5, Stroke::new(1.5, t.accent));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_dial_reads_the_hour_it_points_to() {
        let rect = Rect::from_center_size(pos2(50.0, 50.0), vec2(100.0, 100.0));
        for quarter in 0..96 {
            let hour = f64::from(quarter) / 4.0;
            let there = on_ring(rect.center(), 40.0, hour);
            assert!((hour_at(rect, there) - hour).abs() < 1e-9, "{hour}");
        }
        assert_eq!(clock(14.5), "14:30");
        assert_eq!(clock(23.999), "00:00");
    }
}
