//! The pointer on the plan: what it is over, what it presses, where it comes to rest.

use egui::{Event, PointerButton, Pos2, Response, Ui};

use super::{Plan, REACH, Seen};
use crate::{
    app::{
        canvas::{
            carry,
            handles::{self, Handle},
            hit,
            paint::marks,
            pots::Standing,
            shape::Item,
            snap::{Guides, Rest, Turn, rest},
            tools::{Gesture, Tool, draft::Input, pick::Target},
        },
        state::Request,
    },
    base::{Id, Pt},
    site::{Site, edit::ObjectKind},
};

impl Plan {
    /// Follows the pointer's events in their order, so that a quick click within one frame counts.
    pub(super) fn point(
        &mut self,
        ui: &Ui,
        response: &Response,
        sight: &Seen<'_>,
        standing: &[Standing],
        requests: &mut Vec<Request>,
    ) {
        let (events, modifiers) = ui.input(|i| (i.events.clone(), i.modifiers));
        for event in &events {
            match event {
                Event::PointerMoved(at) => self.moved(ui, *at, sight, requests),
                Event::PointerGone => {
                    self.pointer = None;
                    self.over = None;
                }
                Event::PointerButton {
                    pos,
                    button: PointerButton::Primary,
                    pressed,
                    ..
                } if !self.panning => {
                    let ours = response.contains_pointer()
                        && (response.is_pointer_button_down_on()
                            || response.clicked()
                            || response.drag_started()
                            || response.drag_stopped());
                    if *pressed && ours {
                        response.request_focus();
                        self.moved(ui, *pos, sight, requests);
                        self.down(
                            *pos,
                            modifiers.shift || modifiers.command,
                            sight,
                            standing,
                            requests,
                        );
                    } else if !*pressed {
                        self.up(*pos, modifiers.shift || modifiers.command, sight, requests);
                    }
                }
                Event::PointerButton {
                    pos,
                    button: PointerButton::Secondary,
                    pressed: true,
                    ..
                } if response.contains_pointer() => {
                    self.right_click(*pos, sight, standing, requests);
                }
                _ => {}
            }
        }
        if !response.contains_pointer() && self.pick.is_idle() && self.draft.is_empty() {
            self.pointer = None;
        }
        if self.tool == Tool::Pick && self.pick.is_idle() {
            self.look_under(response, sight, standing);
        } else {
            self.over = None;
            self.over_handle = None;
        }
    }

    fn look_under(&mut self, response: &Response, sight: &Seen<'_>, standing: &[Standing]) {
        self.over = None;
        self.over_handle = None;
        let Some(p) = self.pointer.filter(|_| response.contains_pointer()) else {
            return;
        };
        self.over_handle = self.handle_at(sight, p);
        if self.over_handle.is_none() {
            self.over = self.item_at(sight, standing, p);
        }
    }

    pub(super) fn item_at(&self, sight: &Seen<'_>, standing: &[Standing], p: Pt) -> Option<Item> {
        let on = self.on();
        let pot = standing
            .iter()
            .filter(|pot| pot.at.distance(p) <= pot.radius_m.max(on.metres(6.0)))
            .min_by(|a, b| a.at.distance(p).total_cmp(&b.at.distance(p)));
        if let Some(pot) = pot {
            return Some((ObjectKind::Plant, pot.plant.clone()));
        }
        hit::under(sight.site(), &self.layers, p, on.metres(5.0))
            .into_iter()
            .next()
    }

    /// The spot that a pot would be let go on.
    pub(super) fn spot_at(&self, sight: &Seen<'_>, p: Pt) -> Option<Id> {
        hit::under(sight.site(), &self.layers, p, self.on().metres(8.0))
            .into_iter()
            .find(|(kind, _)| *kind == ObjectKind::Spot)
            .map(|(_, id)| id)
    }

    fn handle_at(&self, sight: &Seen<'_>, p: Pt) -> Option<Handle> {
        let [item] = sight.looking.selected.as_slice() else {
            return None;
        };
        if sight.site().drawing.is_locked(item.0, &item.1) {
            return None;
        }
        let reach = self.on().metres(REACH);
        handles::of(sight.site(), item, self.on().metres(marks::ARM))
            .into_iter()
            .filter(|(_, at)| at.distance(p) <= reach)
            // A corner lies above the middle of a short edge.
            .min_by(|(h, a), (k, b)| {
                let low = |h: &Handle| matches!(h, Handle::NewCorner(_) | Handle::Edge(_));
                low(h)
                    .cmp(&low(k))
                    .then(a.distance(p).total_cmp(&b.distance(p)))
            })
            .map(|(handle, _)| handle)
    }

    fn moved(&mut self, ui: &Ui, at: Pos2, sight: &Seen<'_>, requests: &mut Vec<Request>) {
        let p = self.on().plan(at);
        self.pointer = Some(p);
        let (square, free) = ui.input(|i| (i.modifiers.shift, i.modifiers.alt));
        if self.tool == Tool::Pick {
            self.rest = None;
            if !self.pick.is_idle() {
                let layers = self.layers;
                let asked = self.pick.moved(p, &self.manner(&layers, false));
                requests.extend(asked);
            }
            return;
        }
        if self.tool == Tool::Horizon {
            self.rest = None;
            if self.looking_out {
                self.look_out_from(p);
            }
            return;
        }
        self.aim(sight, square, free);
    }

    /// Brings the draft to where the pointer rests, by the figures that were typed.
    pub(super) fn aim(&mut self, sight: &Seen<'_>, square: bool, free: bool) {
        let Some(p) = self.pointer else {
            return;
        };
        let mut rest = self.rest_at(sight.site(), p, square, free);
        let length = self.typing.metres(sight.looking.units.feet);
        if let (Some(last), Some(metres)) = (self.draft.points().last(), length)
            && self.takes_figures()
        {
            let way = (rest.at - *last).unit();
            if way.length() > 0.0 {
                rest.at = *last + way * metres;
            }
        }
        self.rest = Some(rest);
        self.draft.feed(self.tool.gesture(), Input::Moved(rest.at));
    }

    /// Whether what is being drawn goes from point to point.
    pub(super) fn takes_figures(&self) -> bool {
        !self.tool.is_for_picture()
            && matches!(
                self.tool.gesture(),
                Gesture::Outline | Gesture::Line | Gesture::Stretch | Gesture::Disc
            )
    }

    fn rest_at(&self, site: &Site, p: Pt, square: bool, free: bool) -> Rest {
        let gesture = self.tool.gesture();
        rest(
            p,
            &Guides {
                site,
                layers: &self.layers,
                without: &[],
                drawn: self.draft.points(),
                reach_m: self.on().metres(REACH),
                turn: match self.typing.azimuth_deg() {
                    _ if !self.takes_figures() => Turn::Any,
                    Some(azimuth_deg) => Turn::Exactly(azimuth_deg),
                    None if square && gesture != Gesture::Disc => Turn::Eighths,
                    None => Turn::Any,
                },
                on: self.snaps && !free && !self.tool.is_for_picture(),
            },
        )
    }

    fn down(
        &mut self,
        at: Pos2,
        adds: bool,
        sight: &Seen<'_>,
        standing: &[Standing],
        requests: &mut Vec<Request>,
    ) {
        let p = self.on().plan(at);
        if self.tool == Tool::Pick {
            let target = match self.handle_at(sight, p) {
                Some(handle) => match sight.looking.selected.as_slice() {
                    [item] => Target::Handle(item.clone(), handle),
                    _ => Target::Paper,
                },
                None => self
                    .item_at(sight, standing, p)
                    .map_or(Target::Paper, Target::Item),
            };
            if let Target::Item((ObjectKind::Plant, plant)) = &target {
                requests.push(Request::ShowPlant(plant.clone()));
            }
            let layers = self.layers;
            let asked = self.pick.down(
                sight.site(),
                &sight.looking.selected,
                target,
                p,
                &self.manner(&layers, adds),
            );
            requests.extend(asked);
            return;
        }
        if self.tool == Tool::Horizon {
            self.looking_out = true;
            self.look_out_from(p);
            return;
        }
        let at = self.rest.map_or(p, |r| r.at);
        let reach_m = self.on().metres(REACH);
        let outcome = self
            .draft
            .feed(self.tool.gesture(), Input::Down { at, reach_m });
        self.typing.clear();
        self.settle(outcome, sight, requests);
    }

    fn up(&mut self, at: Pos2, adds: bool, sight: &Seen<'_>, requests: &mut Vec<Request>) {
        if self.tool == Tool::Pick {
            if let Some((plant, _)) = self.pick.pot() {
                let p = self.on().plan(at);
                let spot = self.spot_at(sight, p);
                let landing = carry::landing(sight.sight, plant, spot.as_ref());
                requests.extend(landing.requests(sight.sight, plant));
            }
            let layers = self.layers;
            let asked = self.pick.up(
                sight.site(),
                &sight.looking.selected,
                &self.manner(&layers, adds),
            );
            requests.extend(asked);
            return;
        }
        if std::mem::take(&mut self.looking_out) {
            return;
        }
        let p = self.on().plan(at);
        let at = self.rest.map_or(p, |r| r.at);
        let reach_m = self.on().metres(REACH);
        let outcome = self
            .draft
            .feed(self.tool.gesture(), Input::Up { at, reach_m });
        self.settle(outcome, sight, requests);
    }

    fn right_click(
        &mut self,
        at: Pos2,
        sight: &Seen<'_>,
        standing: &[Standing],
        requests: &mut Vec<Request>,
    ) {
        let p = self.on().plan(at);
        let item = self.item_at(sight, standing, p);
        if let Some(item) = &item
            && !sight.looking.selected.contains(item)
        {
            requests.push(Request::Select(vec![item.clone()]));
        }
        self.menu = Some((p, item));
    }
}
