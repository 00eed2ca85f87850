//! The plan as it is shown and worked on: one frame of looking, drawing, picking and painting.

mod draw;
mod keys;
mod menu;
mod navigate;
mod paper;
mod readers;

use std::sync::Arc;

use egui::{Event, PointerButton, Pos2, Rect, Response, Sense, Ui, WidgetInfo, accesskit::Role};

use super::{
    change,
    handles::{self, Handle},
    hit,
    layers::Layers,
    measure,
    paint::marks,
    pots::{self, Standing},
    shade::Shade,
    shape::{self, Item},
    snap::{Guides, Rest, rest},
    storeys,
    tools::{
        Gesture, Tool,
        draft::{Draft, Input, Outcome},
        make,
        pick::{Manner, Pick, Target},
    },
    view::{Projection, View},
};
use crate::{
    app::state::{Request, Sight},
    base::Pt,
    site::{Place, Site, edit::ObjectKind},
};

/// A sight of one storey: [`Seen::site`] leaves out what lies on the others.
struct Seen<'a> {
    sight: &'a Sight<'a>,
    shown: &'a Site,
}

impl<'a> Seen<'a> {
    /// The storey that is shown.
    fn site(&self) -> &'a Site {
        self.shown
    }

    /// The whole site.
    fn whole(&self) -> &'a Site {
        self.sight.site()
    }
}

impl<'a> std::ops::Deref for Seen<'a> {
    type Target = Sight<'a>;

    fn deref(&self) -> &Sight<'a> {
        self.sight
    }
}

/// How near to a thing the pointer must be, screen points.
const REACH: f32 = 8.0;
/// Movements shorter than this are clicks, screen points.
const STILL: f32 = 4.0;

/// The plan with its own view of the document: what is seen, what the hand holds.
pub struct Plan {
    pub tool: Tool,
    pub layers: Layers,
    /// Points come to rest on corners, edges and the grid.
    pub snaps: bool,
    /// What stands in a room comes along when the room is moved.
    pub together: bool,
    /// Floor of the storey that is shown, m above the ground.
    pub level_m: f64,
    /// What was selected in the last frame.
    followed: Vec<Item>,
    view: View,
    /// Document the view was fitted to: its place and revision.
    fitted: Option<(Arc<Place>, u64)>,
    /// Fit these at the next frame; everything if empty.
    fit: Option<Vec<Item>>,
    draft: Draft,
    pick: Pick,
    /// A length being typed.
    typed: String,
    pointer: Option<Pt>,
    rest: Option<Rest>,
    over: Option<Item>,
    over_handle: Option<Handle>,
    panning: bool,
    /// Where the menu was opened, and on what.
    menu: Option<(Pt, Option<Item>)>,
    shade: Shade,
    canvas: Rect,
    /// The keyboard came to the plan by itself, not by a click on it.
    tabbed: bool,
}

impl Default for Plan {
    fn default() -> Self {
        Self {
            tool: Tool::Pick,
            layers: Layers::default(),
            snaps: true,
            together: true,
            level_m: 0.0,
            followed: Vec::new(),
            view: View::default(),
            fitted: None,
            fit: None,
            draft: Draft::default(),
            pick: Pick::default(),
            typed: String::new(),
            pointer: None,
            rest: None,
            over: None,
            over_handle: None,
            panning: false,
            menu: None,
            shade: Shade::default(),
            canvas: Rect::NOTHING,
            tabbed: false,
        }
    }
}

impl Plan {
    /// Takes another tool in hand; what was being drawn is dropped.
    pub fn take(&mut self, tool: Tool) {
        self.tool = tool;
        self.draft = Draft::default();
        self.typed.clear();
    }

    /// Shows everything at the next frame.
    pub fn fit_all(&mut self) {
        self.fit = Some(Vec::new());
    }

    /// Shows these at the next frame.
    pub fn fit_to(&mut self, items: &[Item]) {
        self.fit = Some(items.to_vec());
    }

    /// Enlarges about the middle.
    pub fn zoom(&mut self, factor: f64) {
        self.view.zoom(self.canvas, self.canvas.center(), factor);
    }

    /// The plan point in the middle of what is seen.
    #[must_use]
    pub fn middle(&self) -> Pt {
        self.view.middle
    }

    /// Screen position of a plan point in the last frame, for tests that point with a pointer.
    #[must_use]
    pub fn screen_of(&self, p: Pt) -> Pos2 {
        self.view.on(self.canvas).screen(p)
    }

    #[must_use]
    pub fn is_drawing(&self) -> bool {
        !self.draft.is_empty()
    }

    /// One frame.
    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let (canvas, response) =
            ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
        self.canvas = canvas;
        let title = format!("Plan of {}", sight.site().name);
        response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, &title));
        self.follow_selection(sight);
        let shown = storeys::on(sight.site(), self.level_m);
        let sight = &Seen {
            sight,
            shown: &shown,
        };
        self.fit_if_asked(sight.document.revision(), sight.site());
        self.navigate(ui, &response);
        let mut standing = Vec::new();
        if self.layers.pots {
            standing = pots::standing(sight);
            standing.retain(|pot| shown.spots.contains(&pot.spot));
        }
        self.point(ui, &response, sight, &standing, requests);
        self.keys(ui, &response, sight, requests);
        let focused = self.readers(ui, &response, sight, &standing, requests);
        if response.gained_focus() {
            self.tabbed = !ui.input(|i| i.pointer.any_down() || i.pointer.any_released());
        }
        self.cursor(ui, &response);
        self.paint(
            ui,
            sight,
            &standing,
            focused,
            self.tabbed && response.has_focus(),
        );
        self.menu(&response, sight, requests);
    }

    /// Where the pointer is and what is under it, in words.
    #[must_use]
    pub fn reading(&self, sight: &Sight<'_>) -> String {
        let Some(p) = self.pointer else {
            return self.tool.help().to_owned();
        };
        let place = measure::place(p, sight.looking.units.feet);
        match &self.over {
            Some(item) => format!("{place}   {}", readers::spoken(sight.site(), item)),
            None => place,
        }
    }

    /// Goes to the storey of what has just been selected elsewhere, in the list for instance.
    fn follow_selection(&mut self, sight: &Sight<'_>) {
        let selected = &sight.looking.selected;
        if *selected == self.followed {
            return;
        }
        self.followed.clone_from(selected);
        if let [item] = selected.as_slice()
            && let Some(level_m) = storeys::level_of(sight.site(), item)
        {
            self.level_m = level_m;
        }
    }

    fn on(&self) -> Projection {
        self.view.on(self.canvas)
    }

    fn fit_if_asked(&mut self, revision: u64, site: &Site) {
        let another = match &self.fitted {
            None => true,
            Some((place, seen)) => {
                revision < *seen || (revision == 0 && !Arc::ptr_eq(place, &site.place))
            }
        };
        self.fitted = Some((Arc::clone(&site.place), revision));
        if another {
            // First what matters: neighbours and trees round it can wait.
            self.fit = Some(
                shape::items(site)
                    .filter(|(kind, _)| {
                        matches!(
                            kind,
                            ObjectKind::Room | ObjectKind::Spot | ObjectKind::Cloth
                        )
                    })
                    .collect(),
            );
        }
        let Some(items) = self.fit.take() else {
            return;
        };
        let bounds = if items.is_empty() {
            shape::site_bounds(site)
        } else {
            shape::bounds(site, &items)
        };
        let (low, high) = bounds.unwrap_or((Pt(-6.0, -4.0), Pt(6.0, 4.0)));
        // A single small thing is shown with its surroundings.
        let air = if items.is_empty() {
            Pt(0.0, 0.0)
        } else {
            Pt(1.0, 1.0)
        };
        self.view.fit(self.canvas, (low - air, high + air), 48.0);
    }

    fn manner<'a>(&self, layers: &'a Layers, adds: bool) -> Manner<'a> {
        Manner {
            layers,
            snaps: self.snaps,
            reach_m: self.on().metres(REACH),
            still_m: self.on().metres(STILL),
            together: self.together,
            adds,
        }
    }

    /// Follows the pointer's events in their order, so that a quick click within one frame counts.
    fn point(
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

    fn item_at(&self, sight: &Seen<'_>, standing: &[Standing], p: Pt) -> Option<Item> {
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

    fn handle_at(&self, sight: &Seen<'_>, p: Pt) -> Option<Handle> {
        let [item] = sight.looking.selected.as_slice() else {
            return None;
        };
        let reach = self.on().metres(REACH);
        handles::of(sight.site(), item, self.on().metres(marks::ARM))
            .into_iter()
            .filter(|(_, at)| at.distance(p) <= reach)
            // A corner lies above the middle of a short edge.
            .min_by(|(h, a), (k, b)| {
                matches!(h, Handle::NewCorner(_))
                    .cmp(&matches!(k, Handle::NewCorner(_)))
                    .then(a.distance(p).total_cmp(&b.distance(p)))
            })
            .map(|(handle, _)| handle)
    }

    fn moved(&mut self, ui: &Ui, at: Pos2, sight: &Seen<'_>, requests: &mut Vec<Request>) {
        let p = self.on().plan(at);
        self.pointer = Some(p);
        let square = ui.input(|i| i.modifiers.shift);
        if self.tool == Tool::Pick {
            self.rest = None;
            if !self.pick.is_idle() {
                let layers = self.layers;
                let asked = self.pick.moved(p, &self.manner(&layers, false));
                requests.extend(asked);
            }
            return;
        }
        let rest = self.rest_at(sight.site(), p, square);
        self.rest = Some(rest);
        self.draft.feed(self.tool.gesture(), Input::Moved(rest.at));
    }

    fn rest_at(&self, site: &Site, p: Pt, square: bool) -> Rest {
        let gesture = self.tool.gesture();
        rest(
            p,
            &Guides {
                site,
                layers: &self.layers,
                without: &[],
                drawn: self.draft.points(),
                reach_m: self.on().metres(REACH),
                square: square
                    && matches!(gesture, Gesture::Outline | Gesture::Line | Gesture::Stretch),
                on: self.snaps,
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
            // Paper inside a wide thing that is not selected pulls a box; a click still picks it.
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
        let at = self.rest.map_or(p, |r| r.at);
        let reach_m = self.on().metres(REACH);
        let outcome = self
            .draft
            .feed(self.tool.gesture(), Input::Down { at, reach_m });
        self.settle(outcome, sight, requests);
    }

    fn up(&mut self, at: Pos2, adds: bool, sight: &Seen<'_>, requests: &mut Vec<Request>) {
        if self.tool == Tool::Pick {
            let layers = self.layers;
            let asked = self.pick.up(
                sight.site(),
                &sight.looking.selected,
                &self.manner(&layers, adds),
            );
            requests.extend(asked);
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

    /// What came of an input to the draft: a new object, a word of why not, or the tool put away.
    fn settle(&mut self, outcome: Outcome, sight: &Seen<'_>, requests: &mut Vec<Request>) {
        match outcome {
            Outcome::Going => {}
            Outcome::PutAway => self.take(Tool::Pick),
            Outcome::Refused(why) => requests.push(Request::Say(why.to_owned())),
            Outcome::Done(_) if self.tool == Tool::Tape => self.typed.clear(),
            Outcome::Done(figure) => {
                self.typed.clear();
                match make::make(sight.site(), sight.whole(), self.level_m, self.tool, figure) {
                    Ok(made) => {
                        requests.push(Request::Edit(made.step, made.edit));
                        requests.push(Request::Select(vec![made.item]));
                    }
                    Err(why) => requests.push(Request::Say(why.to_owned())),
                }
            }
        }
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

    /// Moves what is selected by a step, as one step to undo.
    fn nudge(&self, sight: &Seen<'_>, by: Pt, requests: &mut Vec<Request>) {
        let items = &sight.looking.selected;
        let edits = change::moved(sight.site(), items, by, self.together);
        if !edits.is_empty() {
            let name = super::tools::pick::describe(sight.site(), items);
            requests.push(Request::Edit(
                format!("Move {name}"),
                crate::site::edit::Edit::All(edits),
            ));
        }
    }

    fn cursor(&self, ui: &Ui, response: &Response) {
        if !response.contains_pointer() {
            return;
        }
        use egui::CursorIcon as C;
        let icon = if self.panning {
            C::Grabbing
        } else if ui.input(|i| i.key_down(egui::Key::Space)) && !ui.ctx().text_edit_focused() {
            C::Grab
        } else if self.tool != Tool::Pick {
            C::Crosshair
        } else if self.pick.is_moving() {
            C::Move
        } else {
            match self.over_handle {
                Some(Handle::Turn) => C::Alias,
                Some(_) => C::PointingHand,
                None => C::Default,
            }
        };
        ui.ctx().set_cursor_icon(icon);
    }
}
