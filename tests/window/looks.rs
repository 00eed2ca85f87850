//! At every scale and in both themes the window draws all desks without a missing sign or a control without a name.

use egui_kittest::Harness;
use sillward::app::{App, Start};

use crate::{site, whole::today};

#[test]
fn both_themes_draw_at_100_and_200_percent() {
    for (theme, points) in [
        (egui::Theme::Light, egui::vec2(1280.0, 800.0)),
        // 200 % of a 1920 x 1080 screen.
        (egui::Theme::Dark, egui::vec2(960.0, 540.0)),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("small.ron");
        std::fs::write(&path, site::SMALL).unwrap();
        let start = Start {
            path: Some(path),
            today: today(),
            data_folder: None,
            tour: false,
        };
        let mut window = Harness::builder()
            .with_size(points)
            .with_theme(theme)
            .build_eframe(move |cc| App::new(cc, start));
        for key in [
            egui::Key::Num1,
            egui::Key::Num2,
            egui::Key::Num3,
            egui::Key::Num4,
            egui::Key::Num5,
        ] {
            window.key_press_modifiers(egui::Modifiers::ALT, key);
            window.run_steps(4);
            window.check_accessibility();
        }
    }
}
