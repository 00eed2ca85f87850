//! The plan as it is shown and worked on: one frame of looking, drawing, picking and painting.

mod draw;
mod keys;
mod menu;
mod navigate;
mod paper;
mod point;
mod readers;
mod typing;

pub use readers::spoken;
use typing::Typing;

use std::sync::Arc;

use egui::{Pos2, Rect, Response, Sense, Ui, WidgetInfo, accesskit::Role};

use super::{
    air_map::AirMap,
    change,
    handles::Handle,
    layers::{Cover, Layers},
    light_map::{Choice, LightMap},
    pots,
    shade::Shade,
    shape::{self, Item},
    snap::Rest,
    storeys,
    tools::{
        Tool,
        draft::{Draft, Figure, Outcome},
        make,
        pick::{Manner, Pick},
    },
    underlay::UnderlayPicture,
    view::{Projection, View},
};
use crate::{
    app::{
        parts::keys as shortcut,
        state::{Request, Sheet, Sight, Units},
    },
    base::Pt,
    site::{Place, Site, edit::ObjectKind},
};

/// What is to be fitted into view.
enum Fit {
    All,
    /// First of all what matters; neighbours and trees round it can wait.
    Heart,
    Items(Vec<Item>),
}

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
    /// What to fit into view at the next frame.
    fit: Option<Fit>,
    /// The view that the opening fitted, and to which size of canvas: until the hand changes it, it goes along with the
    /// window.
    opening: Option<(View, egui::Vec2)>,
    draft: Draft,
    pick: Pick,
    /// Figures being typed.
    typing: Typing,
    /// Where a paste that was asked for by the menu is to go.
    paste_at: Option<(Pt, f64)>,
    pointer: Option<Pt>,
    rest: Option<Rest>,
    over: Option<Item>,
    over_handle: Option<Handle>,
    panning: bool,
    /// Where the menu was opened, and on what.
    menu: Option<(Pt, Option<Item>)>,
    shade: Shade,
    light: LightMap,
    air: AirMap,
    /// What the map of light shows.
    pub map: Choice,
    /// The point whose horizon is shown, to be marked.
    pub lookout: Option<Pt>,
    /// A point whose horizon has just been asked for.
    asked_lookout: Option<Pt>,
    /// The hand is down with the tool for it.
    looking_out: bool,
    underlay: UnderlayPicture,
    /// The name of what is selected is to be typed.
    asked_name: bool,
    /// What a tool for the picture has pointed out.
    pointed_out: Option<(Tool, Pt, Pt)>,
    canvas: Rect,
    /// The keyboard came to the plan by itself, not by a click on it.
    tabbed: bool,
    /// Nothing was drawn in the last frame.
    bare: bool,
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
            opening: None,
            draft: Draft::default(),
            pick: Pick::default(),
            typing: Typing::default(),
            paste_at: None,
            pointer: None,
            rest: None,
            over: None,
            over_handle: None,
            panning: false,
            menu: None,
            shade: Shade::default(),
            light: LightMap::default(),
            air: AirMap::default(),
            map: Choice::default(),
            lookout: None,
            asked_lookout: None,
            looking_out: false,
            underlay: UnderlayPicture::default(),
            asked_name: false,
            pointed_out: None,
            canvas: Rect::NOTHING,
            tabbed: false,
            bare: false,
        }
    }
}

impl Plan {
    /// Takes another tool in hand; what was being drawn is dropped.
    pub fn take(&mut self, tool: Tool) {
        self.tool = tool;
        self.draft = Draft::default();
        self.typing.clear();
    }

    /// Shows everything at the next frame.
    pub fn fit_all(&mut self) {
        self.fit = Some(Fit::All);
    }

    /// Shows these at the next frame.
    pub fn fit_to(&mut self, items: &[Item]) {
        self.fit = Some(Fit::Items(items.to_vec()));
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

    /// The picture below the plan.
    #[must_use]
    pub fn underlay(&self) -> &UnderlayPicture {
        &self.underlay
    }

    /// Reads the picture below the plan from its file once more.
    pub fn read_underlay_again(&mut self) {
        self.underlay.read_again();
    }

    /// Whether the name of what is selected was asked for since the last frame.
    pub fn take_asked_name(&mut self) -> bool {
        std::mem::take(&mut self.asked_name)
    }

    /// A double click or F2: a pot opens its sheet, of anything else the name is typed.
    fn open(&mut self, item: &Item, requests: &mut Vec<Request>) {
        if item.0 == ObjectKind::Plant {
            requests.push(Request::OpenSheet(Sheet::Plant(item.1.clone())));
        } else {
            requests.push(Request::Select(vec![item.clone()]));
            self.asked_name = true;
        }
    }

    /// What a tool for the picture has pointed out since the last frame.
    pub fn take_pointed_out(&mut self) -> Option<(Tool, Pt, Pt)> {
        self.pointed_out.take()
    }

    /// Width of what is seen, m.
    #[must_use]
    pub fn seen_width_m(&self) -> f64 {
        self.on().metres(self.canvas.width())
    }

    /// Asks for the horizon of a point, on whole hands' breadths.
    fn look_out_from(&mut self, p: Pt) {
        self.asked_lookout = Some(super::snap::to_grid(p));
    }

    /// The point whose horizon was asked for since the last frame.
    pub fn take_lookout(&mut self) -> Option<Pt> {
        self.asked_lookout.take()
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
        if self.is_another(sight.document.revision(), sight.site()) {
            self.fit = Some(Fit::Heart);
            self.level_m = storeys::main(sight.site());
        }
        // A whole house came onto an empty sheet at once.
        let drawn = shape::items(sight.site()).take(2).count();
        if self.bare && drawn > 1 {
            self.fit = Some(Fit::Heart);
            self.level_m = storeys::main(sight.site());
        }
        self.bare = drawn == 0;
        self.follow_selection(sight);
        let shown = storeys::on(sight.site(), self.level_m);
        let sight = &Seen {
            sight,
            shown: &shown,
        };
        let held = ui.input(|i| i.pointer.any_down());
        if let Some((view, size)) = self.opening
            && view == self.view
            && size != canvas.size()
            && !held
        {
            self.fit.get_or_insert(Fit::Heart);
        }
        self.fit_if_asked(sight.site());
        self.navigate(ui, &response);
        let mut standing = Vec::new();
        if self.layers.pots {
            standing = pots::standing(sight);
            standing.retain(|pot| shown.spots.contains(&pot.spot));
        }
        self.point(ui, &response, sight, &standing, requests);
        if self.tool == Tool::Pick
            && response.double_clicked()
            && let Some(p) = self.pointer
            && let Some(item) = self.item_at(sight, &standing, p)
        {
            self.open(&item, requests);
        }
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

    /// What is under the pointer, in words, or what can be done.
    #[must_use]
    pub fn reading(&self, sight: &Sight<'_>) -> String {
        match &self.over {
            Some(item) => readers::spoken(sight.site(), item),
            None => self.tool.help().to_owned(),
        }
    }

    /// What the map below the drawing says at a point; nothing where there is none.
    fn map_reading(&self, p: Pt, units: Units) -> String {
        match self.layers.cover {
            Cover::WeekLight => self.light.reading(units, p).unwrap_or_default(),
            cover => self.air.reading(cover, p, units),
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

    /// Whether the document is not the one of the last frame.
    fn is_another(&mut self, revision: u64, site: &Site) -> bool {
        let another = match &self.fitted {
            None => true,
            Some((place, seen)) => {
                revision < *seen || (revision == 0 && !Arc::ptr_eq(place, &site.place))
            }
        };
        self.fitted = Some((Arc::clone(&site.place), revision));
        another
    }

    fn fit_if_asked(&mut self, site: &Site) {
        let Some(fit) = self.fit.take() else {
            return;
        };
        let (bounds, air) = match &fit {
            Fit::Heart => (shape::heart(site), 0.5),
            Fit::All => (shape::site_bounds(site), 0.0),
            // A small thing is shown with its surroundings.
            Fit::Items(items) => (shape::bounds(site, items), 1.0),
        };
        let (low, high) = bounds.unwrap_or((Pt(-6.0, -4.0), Pt(6.0, 4.0)));
        let air = Pt(air, air);
        self.view.fit(self.canvas, (low - air, high + air), 40.0);
        self.opening = match fit {
            Fit::Heart if bounds.is_some() => Some((self.view, self.canvas.size())),
            _ => None,
        };
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

    /// What came of an input to the draft: a new object, a word of why not, or the tool put away.
    fn settle(&mut self, outcome: Outcome, sight: &Seen<'_>, requests: &mut Vec<Request>) {
        match outcome {
            Outcome::Going => {}
            Outcome::PutAway => self.take(Tool::Pick),
            Outcome::Refused(why) => requests.push(Request::Say(why.to_owned())),
            Outcome::Done(Figure::Line(line)) if self.tool.is_for_picture() => {
                if let [a, b] = *line {
                    self.pointed_out = Some((self.tool, a, b));
                }
            }
            Outcome::Done(_) if self.tool == Tool::Measure => self.typing.clear(),
            Outcome::Done(figure) => {
                self.typing.clear();
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

    /// Moves what is selected by a step, as one step to undo.
    fn nudge(&self, ui: &Ui, sight: &Seen<'_>, by: Pt, requests: &mut Vec<Request>) {
        let items = &sight.looking.selected;
        let edits = change::moved(sight.site(), items, by, self.together);
        if edits.is_empty() && change::all_locked(sight.site(), items) {
            requests.push(Request::Say(shortcut::locked(ui.ctx())));
        }
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
