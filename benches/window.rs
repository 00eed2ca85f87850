//! What a frame of the window costs: 500 drawn objects and 60 pots, without a screen. `cargo bench --bench window` measures
//! and writes `benches/WINDOW.md`.
//!
//! A frame is all that the program does for one: input, every view, carrying out what they asked, tessellation. Not in it
//! is what the graphics driver does with the triangles. Results are computed on other threads meanwhile, as in the window.

use std::{
    fmt::Write as _,
    fs,
    path::Path,
    time::{Duration, Instant},
};

use chrono::NaiveDate;
use egui::{Event, Modifiers, PointerButton, Pos2, RawInput, Rect, Vec2, ViewportId, pos2, vec2};
use sillward::{
    app::{App, Start},
    base::{Id, Pt, Table},
    site::{
        Building, Canopy, Cloth, Ground, Heater, Holds, Place, Plant, Pot, Room, Screen, Site,
        Spot, Tray, Tree, VERSION, Vent, Window, edit::ObjectKind, file,
    },
};

/// Frames of each measurement.
const FRAMES: usize = 240;
const SIZE: Vec2 = vec2(1920.0, 1080.0);
const PLOTS: usize = 20;

fn main() {
    let site = estate();
    let drawn: usize = ObjectKind::ALL
        .iter()
        .filter(|k| !matches!(k, ObjectKind::Plant | ObjectKind::Kind))
        .map(|k| site.ids(*k).len())
        .sum();
    let mut hand = Hand::on(&site);
    let first = hand.frame(Vec::new());
    let since = Instant::now();
    let mut waiting = Vec::new();
    while !hand.app.is_settled() && since.elapsed() < Duration::from_secs(900) {
        waiting.push(hand.frame(Vec::new()));
        std::thread::sleep(Duration::from_millis(16));
    }
    let settled_s = since.elapsed().as_secs_f64();
    let idle = hand.frames_until_rest();

    let mut rows = vec![
        Row::of("first frame", vec![first], &mut hand),
        Row::of("while results are computed", waiting, &mut hand),
    ];
    // What was spent until here belongs to both.
    for row in &mut rows {
        row.spent_ms = f64::NAN;
    }
    let took = hand.hover();
    rows.push(Row::of("the pointer moves over the plan", took, &mut hand));
    let took = hand.push();
    rows.push(Row::of("the plan is pushed", took, &mut hand));
    for (what, id) in [
        ("a tree is pulled", "tree-052"),
        ("a spot is pulled", "spot-053"),
        ("a room is pulled", "room-010"),
    ] {
        hand.rest();
        hand.spent_ms.clear();
        let took = hand.pull(id);
        rows.push(Row::of(what, took, &mut hand));
    }

    let text = written(&rows, drawn, site.plants.len(), settled_s, idle);
    print!("{text}");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("benches/WINDOW.md");
    if let Err(error) = fs::write(&path, text) {
        eprintln!("{}: {error}", path.display());
    }
}

/// A hand at the window.
struct Hand {
    ctx: egui::Context,
    app: App,
    frame: eframe::Frame,
    time_s: f64,
    /// Processor time of this thread in each frame since it was asked last, ms.
    spent_ms: Vec<f64>,
    /// When the last frame wants the next, if nothing happens.
    next: Duration,
    _folder: tempfile::TempDir,
}

impl Hand {
    fn on(site: &Site) -> Self {
        let folder = tempfile::tempdir().expect("a folder for the site");
        let path = folder.path().join("estate.ron");
        file::write(site, &path).expect("the site is written");
        let ctx = egui::Context::default();
        let start = Start {
            path: Some(path),
            today: NaiveDate::from_ymd_opt(2026, 9, 14).unwrap_or_default(),
            data_folder: Some(folder.path().to_owned()),
            tour: false,
        };
        let app = App::new(&eframe::CreationContext::_new_kittest(ctx.clone()), start);
        Self {
            ctx,
            app,
            frame: eframe::Frame::_new_kittest(),
            time_s: 0.0,
            spent_ms: Vec::new(),
            next: Duration::ZERO,
            _folder: folder,
        }
    }

    /// One frame; returns what it took, ms.
    fn frame(&mut self, events: Vec<Event>) -> f64 {
        self.time_s += 1.0 / 60.0;
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, SIZE)),
            time: Some(self.time_s),
            focused: true,
            events,
            ..RawInput::default()
        };
        let (since, before) = (Instant::now(), processor_ms());
        let (app, frame) = (&mut self.app, &mut self.frame);
        let output = self.ctx.run_ui(input, |ui| eframe::App::ui(app, ui, frame));
        let triangles = self.ctx.tessellate(output.shapes, output.pixels_per_point);
        let took = since.elapsed();
        let spent = processor_ms().zip(before).map(|(now, then)| now - then);
        self.spent_ms.push(spent.unwrap_or(f64::NAN));
        std::hint::black_box(triangles);
        self.next = output
            .viewport_output
            .get(&ViewportId::ROOT)
            .map_or(Duration::MAX, |v| v.repaint_delay);
        took.as_secs_f64() * 1e3
    }

    /// Frames until the window asks for no other; the clock goes on as fast as it may.
    fn frames_until_rest(&mut self) -> usize {
        for n in 0..2_000 {
            self.frame(Vec::new());
            if self.next == Duration::MAX {
                return n + 1;
            }
            std::thread::sleep(self.next.min(Duration::from_millis(20)));
        }
        usize::MAX
    }

    fn rest(&mut self) {
        let since = Instant::now();
        while !self.app.is_settled() && since.elapsed() < Duration::from_secs(900) {
            self.frame(Vec::new());
            std::thread::sleep(Duration::from_millis(16));
        }
    }

    fn hover(&mut self) -> Vec<f64> {
        let middle = pos2(SIZE.x * 0.45, SIZE.y * 0.45);
        (0..FRAMES)
            .map(|k| {
                let turn = k as f32 * 0.05;
                let at = middle + vec2(turn.cos(), turn.sin()) * 220.0;
                self.frame(vec![Event::PointerMoved(at)])
            })
            .collect()
    }

    /// Pushes the paper about with the middle button.
    fn push(&mut self) -> Vec<f64> {
        let middle = pos2(SIZE.x * 0.45, SIZE.y * 0.45);
        self.drag(middle, PointerButton::Middle)
    }

    /// Selects by a click, then pulls.
    fn pull(&mut self, id: &str) -> Vec<f64> {
        let id = Id::new(id);
        let site = self.app.document().site();
        let inside = |outline: &[Pt]| match outline {
            [a, _, c, ..] => Some(a.lerp(*c, 0.3)),
            _ => outline.first().copied(),
        };
        let at = site
            .trees
            .get(&id)
            .map(|t| t.at)
            .or_else(|| site.spots.get(&id).and_then(|s| inside(&s.outline)))
            .or_else(|| site.rooms.get(&id).and_then(|r| inside(&r.outline)))
            .expect("what is pulled is there");
        let at = self.app.plan().screen_of(at);
        let before = self.app.document().steps();
        self.frame(vec![Event::PointerMoved(at)]);
        for pressed in [true, false] {
            self.frame(vec![button(at, PointerButton::Primary, pressed)]);
        }
        // Long after: no double click.
        self.time_s += 2.0;
        let took = self.drag(at, PointerButton::Primary);
        if self.app.document().steps() == before {
            eprintln!("{id} was not moved: what follows is of looking, not of pulling");
        }
        took
    }

    fn drag(&mut self, from: Pos2, by: PointerButton) -> Vec<f64> {
        self.frame(vec![Event::PointerMoved(from)]);
        self.frame(vec![button(from, by, true)]);
        let took = (0..FRAMES)
            .map(|k| {
                let turn = k as f32 * 0.04;
                let at = from + vec2(40.0 * (1.0 - turn.cos()), 40.0 * turn.sin());
                self.frame(vec![Event::PointerMoved(at)])
            })
            .collect();
        self.frame(vec![button(from, by, false)]);
        took
    }
}

fn button(pos: Pos2, button: PointerButton, pressed: bool) -> Event {
    Event::PointerButton {
        pos,
        button,
        pressed,
        modifiers: Modifiers::NONE,
    }
}

/// Frames of one kind.
struct Row {
    what: &'static str,
    /// By the wall clock, ms.
    took_ms: Vec<f64>,
    /// Processor time of a frame, mean, ms.
    spent_ms: f64,
}

impl Row {
    fn of(what: &'static str, took_ms: Vec<f64>, hand: &mut Hand) -> Self {
        let spent = std::mem::take(&mut hand.spent_ms);
        Self {
            what,
            took_ms,
            spent_ms: spent.iter().sum::<f64>() / spent.len().max(1) as f64,
        }
    }
}

/// Processor time of this thread, ms, where the system tells: other programs on the machine don't count then.
fn processor_ms() -> Option<f64> {
    let text = fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    Some(text.split_whitespace().next()?.parse::<f64>().ok()? * 1e-6)
}

fn written(rows: &[Row], drawn: usize, pots: usize, settled_s: f64, idle: usize) -> String {
    let mut out = String::from(
        "# What a frame of the window costs\n\nWritten by `cargo bench --bench window`; times are of the machine it ran on.\n\n",
    );
    let _ = writeln!(
        out,
        "{drawn} objects are drawn and {pots} pots stand among them, {:.0} x {:.0} points. A frame is input, all views, what \
         they asked for, and tessellation, on one thread, by the wall clock, while results are computed on others.\n",
        SIZE.x, SIZE.y
    );
    out.push_str("| frames in which | frames | processor time, mean, ms | wall: median, ms | 95 of 100 under, ms | worst, ms |\n\
         |---|---|---|---|---|---|\n");
    for row in rows {
        let mut sorted = row.took_ms.clone();
        sorted.sort_by(f64::total_cmp);
        let at = |share: f64| {
            let last = sorted.len().saturating_sub(1);
            sorted
                .get((last as f64 * share).round() as usize)
                .copied()
                .unwrap_or(f64::NAN)
        };
        let _ = writeln!(
            out,
            "| {} | {} | {} | {:.2} | {:.2} | {:.2} |",
            row.what,
            sorted.len(),
            if row.spent_ms.is_finite() {
                format!("{:.2}", row.spent_ms)
            } else {
                "–".to_owned()
            },
            at(0.5),
            at(0.95),
            at(1.0)
        );
    }
    let _ = writeln!(
        out,
        "\nResults of the whole site came after {settled_s:.1} s; {idle} frames later the window rested and asked for no other."
    );
    out
}

fn table<T>(prefix: &str, items: Vec<T>) -> Table<T> {
    items
        .into_iter()
        .enumerate()
        .map(|(k, item)| (Id::new(&format!("{prefix}-{k:03}")), item))
        .collect()
}

/// An invented estate of twenty like plots, each a house with a room, a garden, spots and pots.
fn estate() -> Site {
    let corner = |k: usize| Pt((k % 5) as f64 * 15.0, (k / 5) as f64 * 13.0);
    let square = |at: Pt, w: f64, h: f64| vec![at, at + Pt(w, 0.0), at + Pt(w, h), at + Pt(0.0, h)];
    fn each<T>(count: usize, of: impl Fn(usize, usize) -> T) -> Vec<T> {
        (0..PLOTS)
            .flat_map(|plot| (0..count).map(move |k| (plot, k)))
            .map(|(plot, k)| of(plot, k))
            .collect()
    }
    let room_id = |plot: usize| Id::new(&format!("room-{plot:03}"));
    let spot_at = |plot: usize, k: usize| {
        let o = corner(plot);
        match k {
            0 => (
                Some(room_id(plot)),
                vec![o + Pt(1.0, 5.4), o + Pt(2.6, 5.4)],
            ),
            1 => (
                Some(room_id(plot)),
                vec![o + Pt(3.4, 5.4), o + Pt(4.6, 5.4)],
            ),
            _ => (
                None,
                square(o + Pt(1.0 + (k - 2) as f64 * 3.0, 2.4), 1.8, 0.7),
            ),
        }
    };
    Site {
        version: VERSION,
        name: "Invented estate".to_owned(),
        place: Place {
            name: "Invented".to_owned(),
            latitude_deg: 47.0,
            ..Place::default()
        }
        .into(),
        buildings: table(
            "building",
            each(1, |plot, _| Building {
                name: format!("House {plot}"),
                outline: square(corner(plot) + Pt(0.0, 5.0), 6.0, 4.6),
                ..Building::default()
            }),
        ),
        rooms: table(
            "room",
            each(1, |plot, _| Room {
                name: format!("Room {plot}"),
                outline: square(corner(plot) + Pt(0.3, 5.2), 5.4, 4.1),
                ..Room::default()
            }),
        ),
        windows: table(
            "window",
            each(3, |plot, k| Window {
                name: format!("Window {plot}.{k}"),
                room: room_id(plot),
                wall: k,
                from_corner_m: 1.2,
                width_m: 1.4,
                ..Window::default()
            }),
        ),
        canopies: table(
            "canopy",
            each(1, |plot, _| Canopy {
                name: format!("Canopy {plot}"),
                outline: square(corner(plot) + Pt(6.4, 5.0), 2.0, 3.0),
                ..Canopy::default()
            }),
        ),
        screens: table(
            "screen",
            each(3, |plot, k| Screen {
                name: format!("Fence {plot}.{k}"),
                line: vec![
                    corner(plot) + Pt(0.2 + k as f64 * 4.0, 0.3),
                    corner(plot) + Pt(3.6 + k as f64 * 4.0, 0.3),
                ],
                ..Screen::default()
            }),
        ),
        trees: table(
            "tree",
            each(5, |plot, k| Tree {
                name: format!("Tree {plot}.{k}"),
                at: corner(plot) + Pt(10.0 + (k % 2) as f64 * 2.4, 2.0 + k as f64 * 1.9),
                crown_radius_m: 1.0,
                ..Tree::default()
            }),
        ),
        grounds: table(
            "ground",
            each(2, |plot, k| Ground {
                name: format!("Terrace {plot}.{k}"),
                outline: square(corner(plot) + Pt(0.6 + k as f64 * 4.6, 1.6), 4.4, 3.0),
                ..Ground::default()
            }),
        ),
        cloths: table(
            "cloth",
            each(1, |plot, _| Cloth {
                name: format!("Cloth {plot}"),
                outline: square(corner(plot) + Pt(0.8, 1.8), 5.0, 2.4),
                ..Cloth::default()
            }),
        ),
        heaters: table(
            "heater",
            each(1, |plot, _| Heater {
                name: format!("Heater {plot}"),
                room: room_id(plot),
                at: corner(plot) + Pt(3.0, 9.0),
                ..Heater::default()
            }),
        ),
        vents: table(
            "vent",
            each(1, |plot, _| Vent {
                name: format!("Vent {plot}"),
                room: room_id(plot),
                at: corner(plot) + Pt(0.6, 7.0),
                ..Vent::default()
            }),
        ),
        trays: table(
            "tray",
            each(2, |plot, k| Tray {
                name: format!("Tray {plot}.{k}"),
                room: Some(room_id(plot)),
                at: corner(plot) + Pt(1.6 + k as f64 * 2.4, 5.9),
                ..Tray::default()
            }),
        ),
        spots: table(
            "spot",
            each(5, |plot, k| {
                let (room, outline) = spot_at(plot, k);
                Spot {
                    name: format!("Spot {plot}.{k}"),
                    room,
                    outline,
                    holds: Holds {
                        pots: 3,
                        rim_cm: 30.0,
                    },
                    ..Spot::default()
                }
            }),
        ),
        plants: table(
            "plant",
            each(3, |plot, k| Plant {
                name: format!("Plant {plot}.{k}"),
                kind: Id::new(if k == 1 {
                    "clivia"
                } else {
                    "cymbidium-standard"
                }),
                stands: Some(Id::new(&format!("spot-{:03}", plot * 5 + 2))),
                pot: Pot::default(),
                ..Plant::default()
            }),
        ),
        ..Site::default()
    }
}
