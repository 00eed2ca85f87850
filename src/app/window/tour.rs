//! A short tour of a sample: what to look at, card by card. Each card turns the window to what it speaks of and frames
//! it; nothing is held up meanwhile, and the tour can be left at any card.

use chrono::{Datelike, NaiveDate};
use egui::{Align2, Area, Frame, Id, Margin, Rect, Stroke, StrokeKind, Ui, vec2};

use super::App;
use crate::app::{
    actions::Action,
    parts::{
        form::first_ui,
        icons::{Icon, icon_button_ui},
    },
    state::{Desk, Request, Sight},
    theme::{self, space, text},
};

const WIDTH: f32 = 360.0;
/// Width of the dial and its buttons at the right end of the ribbon, points.
const DIAL: f32 = 190.0;

/// What a card speaks of.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Of {
    Desk,
    Ribbon,
    Dial,
    TopEdge,
}

struct Card {
    title: &'static str,
    words: &'static str,
    of: Of,
    desk: Desk,
}

const CARDS: &[Card] = &[
    Card {
        title: "A garden to look round in",
        words: "House, garden and plants of this sample are invented. The plan is drawn to scale, and each pot stands on \
                its spot with its score. Click anything to see its figures at the right.",
        of: Of::Desk,
        desk: Desk::Site,
    },
    Card {
        title: "The year lies along the foot",
        words: "One column for each week of the plant at its left: its stage, its score, where it stands. Notches in the \
                base line are weeks in which frost threatens. It stands in January now: the trees are bare, and the pots \
                are where the plan has them then. Drag the mark.",
        of: Of::Ribbon,
        desk: Desk::Site,
    },
    Card {
        title: "The dial is the hour",
        words: "It stands at half past nine. Turn it, and shadows and the patches of sun on the floors go along.",
        of: Of::Dial,
        desk: Desk::Site,
    },
    Card {
        title: "Which spot suits a plant",
        words: "A score is a number, a word and a colour, with what holds it back. Click two spots to lay their year side \
                by side.",
        of: Of::Desk,
        desk: Desk::Fit,
    },
    Card {
        title: "The plan, with its reasons",
        words: "Every stay and every move of the coming 52 weeks. No better plan is possible than the figure says. Click a \
                stay to hold a plant somewhere; the rest is planned anew around it.",
        of: Of::Desk,
        desk: Desk::Year,
    },
    Card {
        title: "What to do this week",
        words: "Type tonight's low and see which plants must come in. Write down what you did and saw: it is the evidence \
                when something goes wrong.",
        of: Of::Desk,
        desk: Desk::Week,
    },
    Card {
        title: "Now change something",
        words: "Give the shade cloth another percentage, or pull a bench into the sun: all is worked out again in the \
                background, and Undo takes any change back. Your own garden begins with “New site” in the menu.",
        of: Of::TopEdge,
        desk: Desk::Site,
    },
];

/// At which card it is.
#[derive(Default)]
pub(super) struct Tour {
    at: usize,
    /// The window was turned to this card.
    shown: Option<usize>,
}

/// Parts of the window in this frame.
pub(super) struct Parts {
    pub top: Rect,
    pub desk: Rect,
    pub ribbon: Rect,
}

impl App {
    /// Whether a card of the tour is to be seen on this desk.
    pub(super) fn shows_card(&self) -> bool {
        let card = self.tour.as_ref().and_then(|t| CARDS.get(t.at));
        card.is_some_and(|c| c.desk == self.looking.desk)
    }

    pub(super) fn leave_tour(&mut self) {
        self.tour = None;
        self.settings.tour_seen = true;
        self.says
            .note("The tour is in the menu whenever you want it again.");
    }

    pub(super) fn tour_ui(&mut self, ui: &Ui, parts: &Parts, requests: &mut Vec<Request>) {
        let Some(mut tour) = self.tour.take() else {
            return;
        };
        let Some(card) = CARDS.get(tour.at) else {
            self.settings.tour_seen = true;
            return;
        };
        if tour.shown != Some(tour.at) {
            tour.shown = Some(tour.at);
            requests.extend(turn_to(card, &self.sight()));
        } else if self.looking.desk != card.desk {
            // Whoever walks off to another desk finds the card again on coming back.
            self.tour = Some(tour);
            return;
        }
        frame_paint(ui, card.of, parts);
        match card_ui(ui, &tour, card, parts) {
            Some(Go::To(at)) => {
                tour.at = at;
                self.tour = Some(tour);
                ui.ctx().request_repaint();
            }
            Some(Go::Away) => self.leave_tour(),
            Some(Go::NewSite) => {
                self.settings.tour_seen = true;
                requests.push(Request::Run(Action::NewSite));
            }
            None => self.tour = Some(tour),
        }
    }
}

/// What the window shows for a card.
fn turn_to(card: &Card, sight: &Sight<'_>) -> Vec<Request> {
    let mut requests = vec![Request::CloseSheet, Request::OpenDesk(card.desk)];
    if card.desk == Desk::Site {
        requests.push(Request::SeeFromSide(false));
    }
    match card.of {
        Of::Ribbon => {
            let from = sight.plan_from();
            let january = [from.year(), from.year() + 1]
                .into_iter()
                .filter_map(|year| NaiveDate::from_ymd_opt(year, 1, 15))
                .find_map(|date| sight.plan_week_of(date));
            requests.extend(january.map(Request::GoToWeek));
        }
        Of::Dial => requests.push(Request::GoToHour(9.5)),
        Of::Desk | Of::TopEdge => {}
    }
    requests
}

fn frame_paint(ui: &Ui, of: Of, parts: &Parts) {
    let t = theme::tokens(ui);
    let rect = match of {
        Of::Desk => parts.desk,
        Of::TopEdge => parts.top,
        Of::Ribbon => parts.ribbon.with_max_x(parts.ribbon.right() - DIAL),
        Of::Dial => parts.ribbon.with_min_x(parts.ribbon.right() - DIAL),
    };
    // Over the desk but below the card, which may lie across it.
    let layer = egui::LayerId::background();
    ui.ctx().layer_painter(layer).rect_stroke(
        rect.shrink(2.0),
        space::CORNER,
        Stroke::new(2.0, t.accent),
        StrokeKind::Inside,
    );
}

enum Go {
    To(usize),
    Away,
    NewSite,
}

fn card_ui(ui: &Ui, tour: &Tour, card: &Card, parts: &Parts) -> Option<Go> {
    let t = theme::tokens(ui);
    // A card never lies on what it speaks of: those of the desks lie over the ribbon, the others above it.
    let lift = match card.of {
        Of::Desk | Of::TopEdge => 0.0,
        Of::Ribbon | Of::Dial => ui.ctx().content_rect().bottom() - parts.desk.bottom(),
    };
    let mut go = None;
    Area::new(Id::unique("tour"))
        .anchor(Align2::RIGHT_BOTTOM, vec2(-space::L, -lift - space::L))
        .show(ui.ctx(), |ui| {
            Frame::new()
                .fill(t.sheet)
                .stroke(Stroke::new(1.5, t.accent))
                .corner_radius(space::CORNER + 2)
                .inner_margin(Margin::same(space::L as i8))
                .shadow(ui.visuals().window_shadow)
                .show(ui, |ui| {
                    ui.set_width(WIDTH.min(parts.desk.width() - 2.0 * space::XL));
                    ui.horizontal(|ui| {
                        ui.label(text::caption(format!(
                            "Tour, {} of {}",
                            tour.at + 1,
                            CARDS.len()
                        )));
                        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                            if icon_button_ui(ui, Icon::Close, "Leave the tour", true).clicked() {
                                go = Some(Go::Away);
                            }
                        });
                    });
                    ui.label(text::heading(card.title));
                    let words = ui.label(card.words);
                    ui.ctx().accesskit_node_builder(words.id, |node| {
                        node.set_live(egui::accesskit::Live::Polite);
                    });
                    ui.add_space(space::S);
                    ui.horizontal(|ui| {
                        let last = tour.at + 1 == CARDS.len();
                        if last {
                            if first_ui(ui, "Look round") {
                                go = Some(Go::Away);
                            }
                            if ui.button("Begin a site of your own").clicked() {
                                go = Some(Go::NewSite);
                            }
                        } else if first_ui(ui, "Next") {
                            go = Some(Go::To(tour.at + 1));
                        }
                        if tour.at > 0 && ui.button("Back").clicked() {
                            go = Some(Go::To(tour.at - 1));
                        }
                    });
                });
        });
    go
}
