//! Heaters, air vents, fans, trays, each with a sign of what it does.

use std::f64::consts::TAU;

use egui::{Color32, Pos2, Stroke, Vec2};

use super::Pen;
use crate::{
    app::canvas::shape::{self, HEATER_DEPTH_M, VENT_HALF_M},
    base::Pt,
    site::{FanKind, HeaterKind, Timetable, VentKind},
};

/// A device that does not run this month is drawn without its sign of work.
fn works(pen: &Pen<'_>, runs: &Timetable) -> bool {
    runs.months.has(pen.month0)
}

pub fn all(pen: &Pen<'_>) {
    trays(pen);
    heaters(pen);
    vents(pen);
    fans(pen);
}

fn name(pen: &Pen<'_>, at: Pt, name: &str) {
    if !pen.is_large() {
        return;
    }
    pen.label(
        4,
        pen.on.screen(at) + Vec2::new(0.0, 16.0),
        name,
        false,
        pen.t.ink_soft,
    );
}

fn heaters(pen: &Pen<'_>) {
    for heater in pen.site.heaters.values() {
        if !pen.sees(&[heater.at], 2.0) {
            continue;
        }
        let body = shape::heater_body(heater);
        let front = Pt::towards(heater.faces_deg.to_radians());
        let side = front.left();
        pen.fill(&body, pen.t.sheet);
        pen.rim(&body, pen.ink(1.6));
        match heater.kind {
            HeaterKind::Stove => {
                pen.painter.circle_stroke(
                    pen.on.screen(heater.at),
                    pen.on.points(0.05).max(2.0),
                    pen.ink(1.2),
                );
            }
            HeaterKind::FloorHeating => {
                pen.dashes(&body, true, Stroke::new(1.2, pen.t.heat), 3.0, 3.0);
            }
            _ => {
                // Columns of the radiator.
                let columns = (heater.length_m / 0.1).round().clamp(2.0, 30.0);
                for k in 1..columns as usize {
                    let along = (k as f64 / columns - 0.5) * heater.length_m;
                    let foot = heater.at + side * along;
                    let half = front * (HEATER_DEPTH_M * 0.5);
                    pen.line(&[foot - half, foot + half], pen.ink(0.8));
                }
            }
        }
        if works(pen, &heater.runs) {
            plume(
                pen,
                heater.at + front * (HEATER_DEPTH_M * 0.5),
                front,
                heater.length_m,
            );
        }
        name(pen, heater.at, &heater.name);
    }
}

/// Three wavy lines of rising warmth before the front.
fn plume(pen: &Pen<'_>, foot: Pt, front: Pt, length_m: f64) {
    let side = front.left();
    let reach = 0.32_f64.max(pen.on.metres(14.0));
    for (k, fade) in [(-0.3, 0.75), (0.0, 1.0), (0.3, 0.75)] {
        let start = foot + side * (k * length_m);
        let wave: Vec<Pt> = (0..=14)
            .map(|j| {
                let s = f64::from(j) / 14.0;
                start + front * (0.04 + s * reach) + side * (0.16 * reach * (s * TAU * 1.25).sin())
            })
            .collect();
        pen.line(&wave, Stroke::new(1.8, pen.t.heat.gamma_multiply(fade)));
    }
}

fn arrow(pen: &Pen<'_>, from: Pt, to: Pt, stroke: Stroke) {
    let (a, b) = (pen.on.screen(from), pen.on.screen(to));
    let d = (b - a).normalized();
    let back = |turn: f32| -> Pos2 {
        b - Vec2::new(
            d.x * turn.cos() - d.y * turn.sin(),
            d.x * turn.sin() + d.y * turn.cos(),
        ) * 6.5
    };
    pen.painter.line_segment([a, b], stroke);
    pen.painter.line_segment([back(0.5), b], stroke);
    pen.painter.line_segment([back(-0.5), b], stroke);
}

fn vents(pen: &Pen<'_>) {
    for vent in pen.site.vents.values() {
        if !pen.sees(&[vent.at], 4.0) {
            continue;
        }
        let out = Pt::towards(vent.blows_deg.to_radians());
        let side = out.left();
        let half = VENT_HALF_M.max(pen.on.metres(8.0));
        let deep = half * 0.4;
        let corner = |u: f64, v: f64| vent.at + side * (u * half) + out * (v * deep);
        let body = [
            corner(-1.0, -1.0),
            corner(1.0, -1.0),
            corner(1.0, 1.0),
            corner(-1.0, 1.0),
        ];
        pen.fill(&body, pen.t.sheet);
        pen.rim(&body, pen.ink(1.4));
        for k in [-0.5, 0.0, 0.5] {
            pen.line(&[corner(k, -1.0), corner(k, 1.0)], pen.ink(1.0));
        }
        if works(pen, &vent.runs) {
            // A longer arrow for faster air; a sign, not the reach of the jet.
            let length = (0.35 + 0.25 * vent.speed_m_s).clamp(0.4, 2.0);
            let stroke = Stroke::new(1.6, pen.t.draught);
            for turn in [-0.22_f64, 0.0, 0.22] {
                let way = out * turn.cos() + side * turn.sin();
                let (near, far) = (
                    vent.at + way * (deep * 1.5),
                    vent.at + way * (deep * 1.5 + length),
                );
                match vent.kind {
                    VentKind::Supply => arrow(pen, near, far, stroke),
                    VentKind::Extract => arrow(
                        pen,
                        vent.at + way * (deep * 1.5 + length * 0.6),
                        near,
                        stroke,
                    ),
                }
            }
        }
        name(pen, vent.at, &vent.name);
    }
}

fn fans(pen: &Pen<'_>) {
    for fan in pen.site.fans.values() {
        if !pen.sees(&[fan.at], 2.0) {
            continue;
        }
        let r = (fan.diameter_m * 0.5).max(pen.on.metres(7.0));
        let middle = pen.on.screen(fan.at);
        pen.painter
            .circle(middle, pen.on.points(r), pen.t.sheet, pen.ink(1.4));
        for k in 0..3 {
            let turn = f64::from(k) / 3.0 * TAU;
            let blade: Vec<Pt> = (0..=6)
                .map(|j| {
                    let s = f64::from(j) / 6.0;
                    fan.at + Pt::towards(turn + 0.9 * s) * (r * 0.82 * s)
                })
                .collect();
            pen.line(&blade, pen.ink(1.4));
        }
        if works(pen, &fan.runs) && fan.kind == FanKind::Table {
            let out = Pt::towards(fan.blows_deg.to_radians());
            arrow(
                pen,
                fan.at + out * (r * 1.2),
                fan.at + out * (r * 1.2 + 0.5),
                Stroke::new(1.6, pen.t.draught),
            );
        }
        name(pen, fan.at - Pt(0.0, r * 0.6), &fan.name);
    }
}

fn trays(pen: &Pen<'_>) {
    for tray in pen.site.trays.values() {
        if !pen.sees(&[tray.at], 1.0) {
            continue;
        }
        let r = (tray.area_m2 / std::f64::consts::PI)
            .max(0.0)
            .sqrt()
            .max(pen.on.metres(7.0));
        let wet = tray.months.has(pen.month0);
        let fill: Color32 = if wet {
            pen.t.water.gamma_multiply(0.22)
        } else {
            pen.t.sheet
        };
        pen.painter.circle(
            pen.on.screen(tray.at),
            pen.on.points(r),
            fill,
            Stroke::new(1.2, pen.t.water),
        );
        for row in [-0.3, 0.15] {
            let wave: Vec<Pt> = (0..=10)
                .map(|j| {
                    let s = f64::from(j) / 10.0 - 0.5;
                    tray.at + Pt(s * r * 1.2, r * row + 0.07 * r * (s * TAU * 2.0).sin())
                })
                .collect();
            pen.line(&wave, Stroke::new(1.0, pen.t.water));
        }
        name(pen, tray.at - Pt(0.0, r * 0.6), &tray.name);
    }
}
