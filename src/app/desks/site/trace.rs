//! The panel for a picture of a plan that is drawn over: which, how large, how turned, how strong.

use egui::Ui;

use crate::{
    app::{
        canvas::{
            measure,
            plan::Plan,
            tools::Tool,
            underlay::{self, UnderlayPicture},
        },
        parts::{
            file_choice::FileChoice,
            form::{object::ObjectForm, quantity::Quantity},
            locale,
            question::question_ui,
        },
        state::{Request, Sight},
        theme::{self, space, text},
    },
    base::Pt,
    site::{Drawing, Underlay, edit::Edit},
};

/// What the panel remembers between frames.
#[derive(Default)]
pub struct TracePanel {
    choice: FileChoice,
    pulled: bool,
    /// Two points of the picture whose true distance is asked for.
    between: Option<(Pt, Pt)>,
    typed: String,
    refused: bool,
    /// The field for the distance has been given the keyboard.
    focused: bool,
}

impl TracePanel {
    /// Takes in what the plan's tools have pointed out, and asks for the true distance.
    pub fn follow(
        &mut self,
        ui: &Ui,
        plan: &mut Plan,
        sight: &Sight<'_>,
        requests: &mut Vec<Request>,
    ) {
        let Some((tool, a, b)) = plan.take_pointed_out() else {
            self.distance_ui(ui, sight, requests);
            return;
        };
        plan.take(Tool::Pick);
        if tool == Tool::ScalePicture {
            self.between = Some((a, b));
            self.typed.clear();
            self.refused = false;
            self.focused = false;
        } else if let Some(u) = &sight.site().drawing.underlay {
            let turned = underlay::to_north(u, (a, b), &sight.site().place);
            requests.push(edit(sight, "Turn the picture to north", Some(turned)));
        }
    }

    fn distance_ui(&mut self, ui: &Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let (Some(between), Some(u)) = (self.between, &sight.site().drawing.underlay) else {
            // Of a picture that is gone nothing is asked.
            self.between = None;
            return;
        };
        let feet = sight.looking.units.feet;
        let mut done = false;
        let modal = question_ui(ui.ctx(), "true distance", 380.0, |ui| {
            ui.label(text::heading("How far apart are the two points?"));
            ui.label(text::soft(format!(
                "On the plan they are now {} apart.",
                measure::length(between.0.distance(between.1), feet)
            )));
            ui.add_space(space::S);
            let field = ui
                .add(
                    egui::TextEdit::singleline(&mut self.typed).hint_text(if feet {
                        "10ft 6in".to_owned()
                    } else {
                        measure::length(4.2, false)
                    }),
                )
                .accessible_name("True distance");
            if !std::mem::replace(&mut self.focused, true) {
                field.request_focus();
            }
            let entered = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
            if self.refused {
                ui.label(text::soft(locale::said(
                    "Type a length above zero, such as 4.2 or 13ft 9in.",
                )));
            }
            ui.add_space(space::M);
            ui.horizontal(|ui| {
                if ui.button("Scale the picture").clicked() || entered {
                    let scaled = measure::typed(&self.typed, feet)
                        .and_then(|true_m| underlay::scaled(u, between, true_m));
                    match scaled {
                        Some(scaled) => {
                            requests.push(edit(sight, "Scale the picture", Some(scaled)));
                            done = true;
                        }
                        None => self.refused = true,
                    }
                }
                done |= ui.button("Cancel").clicked();
            });
        });
        if done || modal.should_close() {
            self.between = None;
        }
    }

    pub fn show_ui(
        &mut self,
        ui: &mut Ui,
        plan: &mut Plan,
        sight: &Sight<'_>,
        requests: &mut Vec<Request>,
    ) {
        ui.add(
            egui::Label::new(text::soft(
                "A scan or photograph of a plan lies below the drawing, to be drawn over.",
            ))
            .wrap(),
        );
        ui.add_space(space::S);
        if let Some(u) = sight.site().drawing.underlay.clone() {
            self.fields_ui(ui, plan, sight, u, requests);
        }
        let name = if sight.site().drawing.underlay.is_some() {
            "Another picture"
        } else {
            "Picture"
        };
        let endings = &["png", "jpg", "jpeg"];
        if let Some(path) = self.choice.ui(ui, name, "PNG or JPEG", endings) {
            let underlay = Underlay {
                file: Underlay::named_from(&path, sight.folder),
                at: plan.middle(),
                width_m: (plan.seen_width_m() * 0.8).clamp(1.0, 10_000.0).round(),
                ..Underlay::default()
            };
            requests.push(edit(sight, "Lay a picture below the plan", Some(underlay)));
        }
        ui.add(
            egui::Label::new(text::caption(
                "The site file keeps the picture's path, not the picture: keep the two together.",
            ))
            .wrap(),
        );
    }

    fn fields_ui(
        &mut self,
        ui: &mut Ui,
        plan: &mut Plan,
        sight: &Sight<'_>,
        u: Underlay,
        requests: &mut Vec<Request>,
    ) {
        let t = theme::tokens(ui);
        let mut new = u.clone();
        ui.add(egui::Label::new(text::strong(short(&u.file))).truncate())
            .on_hover_text(&u.file);
        let picture: &UnderlayPicture = plan.underlay();
        let mut again = false;
        if let Some(fault) = picture.fault() {
            ui.add(egui::Label::new(egui::RichText::new(fault).color(t.caution)).wrap());
            again = ui
                .button("Read again")
                .on_hover_text("Once the file is where it should be, or has been put right")
                .accessible_name("Read the picture again")
                .clicked();
        } else if picture.is_awaited() {
            ui.label(text::soft("It is being read"));
        }
        if again {
            plan.read_underlay_again();
        }
        let mut form = ObjectForm::new(sight.looking.units);
        form.toggle(
            ui,
            "Shown",
            "Whether the picture is to be seen.",
            &mut new.shown,
        );
        form.number(
            ui,
            "Strength",
            "How strongly it shows through the drawing.",
            Quantity::Share,
            0.0..=1.0,
            &mut new.strength,
        );
        form.number(
            ui,
            "Width",
            "Width of the whole picture on the plan. Two points of known distance give it more exactly.",
            Quantity::Length,
            0.01..=10_000.0,
            &mut new.width_m,
        );
        form.number(
            ui,
            "Turned",
            "Clockwise.",
            Quantity::Degrees,
            -360.0..=360.0,
            &mut new.turned_deg,
        );
        form.place(ui, &mut new.at);
        form.settle(
            &mut self.pulled,
            "the picture",
            || {
                Edit::SetDrawing(Drawing {
                    underlay: Some(new),
                    ..Drawing::clone(&sight.site().drawing)
                })
            },
            requests,
        );
        ui.add_space(space::S);
        for (tool, words, tip) in [
            (
                Tool::ScalePicture,
                "Scale by two points…",
                "Pull between two points of the picture whose true distance you know",
            ),
            (
                Tool::TurnPicture,
                "Turn to north…",
                "Pull along the picture's north arrow, towards its point",
            ),
        ] {
            let button = egui::Button::selectable(plan.tool == tool, words)
                .frame_when_inactive(true)
                .min_size(egui::vec2(180.0, 0.0));
            if ui.add(button).on_hover_text(tip).clicked() {
                requests.push(Request::SeeFromSide(false));
                plan.take(tool);
            }
        }
        if ui.button("Take the picture away").clicked() {
            requests.push(edit(sight, "Take the picture away", None));
        }
        ui.add_space(space::M);
    }
}

fn edit(sight: &Sight<'_>, step: &str, underlay: Option<Underlay>) -> Request {
    Request::Edit(
        step.to_owned(),
        Edit::SetDrawing(Drawing {
            underlay,
            ..Drawing::clone(&sight.site().drawing)
        }),
    )
}

fn short(file: &str) -> String {
    file.rsplit('/').next().unwrap_or(file).to_owned()
}
