//! The window: top edge, one of five desks, side sheets, the ribbon. Holds the document, asks for outcomes, and
//! carries out what views request once the frame is drawn.

mod asks;
mod command_list;
mod dropped;
mod faults;
mod focus;
mod frame;
mod opening;
mod top_edge;
mod tour;

use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::{
    actions::Action,
    desks::Desks,
    files::Files,
    parts::locale::{self, Locale},
    ribbon::Ribbon,
    says::Says,
    settings::{Settings, ThemeChoice},
    sheets::Sheets,
    state::{Looking, Request, Sheet, Sight},
    theme,
    worker::Worker,
};
use crate::{
    base::Id,
    pipeline::Outcome,
    site::{Site, file::Fault, history::Document},
};
use asks::Ask;
use command_list::CommandList;

/// Key under which the window's storage keeps the settings.
const SETTINGS: &str = "settings";

/// How the window opens.
#[derive(Clone, Debug)]
pub struct Start {
    /// The site file to open, or a sample by its name; without one the first sample opens.
    pub path: Option<PathBuf>,
    /// Today: first day of a plan whose site names none.
    pub today: NaiveDate,
    /// Folder for the copy of unsaved work; without one none is kept.
    pub data_folder: Option<PathBuf>,
    /// Whether a sample is shown round to whoever sees it for the first time.
    pub tour: bool,
}

impl Start {
    /// As the program starts for a grower: today by the clock, the copy in the user's data folder.
    #[must_use]
    pub fn now(path: Option<PathBuf>) -> Self {
        Self {
            path,
            today: chrono::Local::now().date_naive(),
            data_folder: eframe::storage_dir(APP_ID),
            tour: true,
        }
    }
}

const APP_ID: &str = "sillward";

pub struct App {
    document: Document,
    /// Last results, and the revision they are of.
    outcome: Option<(u64, Outcome)>,
    looking: Looking,
    today: NaiveDate,
    worker: Worker,
    settings: Settings,
    files: Files,
    desks: Desks,
    ribbon: Ribbon,
    sheets: Sheets,
    says: Says,
    sheet: Option<Sheet>,
    ask: Option<Ask>,
    command_list: Option<CommandList>,
    /// Whether the site differs from its file, at a revision.
    changed: (u64, bool),
    /// What keeps the site from being computed with, and the document and revision of which this was found.
    wrong: ((u64, u64), Vec<Fault>),
    /// The document and revision that were seen last, and since when, s.
    moved: ((u64, u64), f64),
    /// Title the window was given last.
    titled: String,
    /// The grower has agreed to close.
    closing: bool,
    /// Documents opened so far: revisions of different documents must not be taken for one another.
    opened: u64,
    /// A sample is open, and in no file yet.
    is_sample: bool,
    tour: Option<tour::Tour>,
    focus: focus::Focus,
    /// How the system writes figures and dates.
    system: Locale,
}

/// Opens the window and stays until it is closed.
///
/// # Errors
/// When no window can be opened, for instance without a display.
pub fn run(start: Start) -> eframe::Result {
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_app_id(APP_ID)
            .with_icon(opening::icon())
            .with_inner_size([1280.0, 800.0])
            .with_min_inner_size([860.0, 600.0]),
        ..Default::default()
    };
    eframe::run_native(
        "Sillward",
        options,
        Box::new(|cc| Ok(Box::new(App::new(cc, start)))),
    )
}

impl App {
    #[must_use]
    pub fn new(cc: &eframe::CreationContext<'_>, start: Start) -> Self {
        let ctx = &cc.egui_ctx;
        theme::apply(ctx);
        ctx.options_mut(|o| {
            // The scale is a setting with ends of its own, and closing asks first.
            o.zoom_with_keyboard = false;
            o.quit_shortcuts.clear();
            // Paper by daylight where the system does not say.
            o.fallback_theme = egui::Theme::Light;
        });
        let stored: Option<Settings> = cc.storage.and_then(|s| eframe::get_value(s, SETTINGS));
        if stored.is_some() || cc.storage.is_some() {
            let choice = stored.as_ref().map_or(ThemeChoice::System, |s| s.theme);
            ctx.set_theme(choice.preference());
        }
        // Without a storage it is a test or an embedding program: then nothing follows the machine.
        let real = cc.storage.is_some();
        let system = if real {
            locale::of_system()
        } else {
            Locale::default()
        };
        let settings = stored.unwrap_or_else(|| {
            if real {
                Settings::of_system()
            } else {
                Settings::default()
            }
        });
        let mut app = Self {
            document: Document::new(Site::default()),
            outcome: None,
            looking: Looking {
                hour: 12.0,
                desk: settings.desk,
                units: settings.units,
                ..Looking::default()
            },
            today: start.today,
            worker: Worker::new(ctx),
            files: Files::new(start.data_folder.as_deref()),
            settings,
            desks: Desks::default(),
            ribbon: Ribbon::default(),
            sheets: Sheets::default(),
            says: Says::default(),
            sheet: None,
            ask: None,
            command_list: None,
            changed: (0, false),
            wrong: ((0, 0), Vec::new()),
            moved: ((0, 0), 0.0),
            titled: String::new(),
            closing: false,
            opened: 0,
            is_sample: false,
            tour: None,
            focus: focus::Focus::default(),
            system,
        };
        app.open_first(start.path.as_deref());
        if start.tour && app.is_sample && !app.settings.tour_seen && app.ask.is_none() {
            app.tour = Some(tour::Tour::default());
        }
        app
    }

    /// The document, for tests and for the program that embeds the window.
    #[must_use]
    pub fn document(&self) -> &Document {
        &self.document
    }

    #[must_use]
    pub fn looking(&self) -> &Looking {
        &self.looking
    }

    /// The plan's own view, for tests that point with a pointer.
    #[must_use]
    pub fn plan(&self) -> &super::canvas::plan::Plan {
        self.desks.site.plan()
    }

    /// Whether results of the present state are shown.
    #[must_use]
    pub fn is_settled(&self) -> bool {
        self.outcome
            .as_ref()
            .is_some_and(|(r, _)| *r == self.document.revision())
    }

    /// Last results.
    #[must_use]
    pub fn outcome(&self) -> Option<&Outcome> {
        self.outcome.as_ref().map(|(_, o)| o)
    }

    fn sight(&self) -> Sight<'_> {
        sight(
            &self.document,
            &self.outcome,
            &self.looking,
            self.today,
            !self.wrong.1.is_empty(),
            self.files.folder(),
        )
    }

    fn is_changed(&mut self) -> bool {
        let revision = self.document.revision();
        if self.changed.0 != revision {
            self.changed = (revision, self.document.is_changed());
        }
        self.changed.1
    }

    fn carry_out(&mut self, ctx: &egui::Context, requests: Vec<Request>) {
        if requests.is_empty() {
            return;
        }
        ctx.request_repaint();
        for request in requests {
            let edited = match request {
                Request::Edit(name, edit) => self.document.edit(&name, edit),
                Request::Apply(edit) => self.document.apply(edit),
                other => {
                    self.carry_out_one(ctx, other);
                    Ok(())
                }
            };
            if let Err(refused) = edited {
                self.says.fault(refused.to_string());
            }
        }
        self.drop_what_is_gone();
    }

    fn carry_out_one(&mut self, ctx: &egui::Context, request: Request) {
        match request {
            Request::Edit(..) | Request::Apply(_) => {}
            Request::Begin(name) => self.document.begin(&name),
            Request::End => self.document.end(),
            Request::Abandon => self.document.abandon(),
            Request::Select(objects) => self.looking.selected = objects,
            Request::ShowPlant(id) => self.looking.plant = Some(id),
            Request::ShowSpot(id) => self.looking.spot = Some(id),
            Request::GoToWeek(week) => self.looking.plan_week = week.min(51),
            Request::SeeFromSide(side) => self.looking.from_side = side,
            Request::GoToHour(hour) => self.looking.hour = hour.rem_euclid(24.0),
            Request::OpenDesk(desk) => self.looking.desk = desk,
            Request::OpenSheet(sheet) => {
                // The plant that is edited is the one that everything else shows.
                if let Sheet::Plant(id) = &sheet {
                    self.looking.plant = Some(id.clone());
                }
                self.sheet = Some(sheet);
            }
            Request::CloseSheet => self.sheet = None,
            Request::Run(action) => self.act(ctx, action),
            Request::Undo => self.act(ctx, Action::Undo),
            Request::Redo => self.act(ctx, Action::Redo),
            Request::Say(text) => self.says.note(text),
        }
    }

    fn act(&mut self, ctx: &egui::Context, action: Action) {
        match action {
            Action::NewSite => self.ask_before(ctx, asks::Next::New),
            Action::Open => self.ask_before(ctx, asks::Next::Choose),
            Action::Save => self.save(ctx, None),
            Action::SaveAs => self.ask = Some(Ask::save_as(&self.files, self.site_name(), None)),
            Action::Undo => {
                let name = self.document.undo_name().map(str::to_owned);
                if self.document.undo() {
                    self.says
                        .note(format!("Taken back: {}", name.unwrap_or_default()));
                }
            }
            Action::Redo => {
                let name = self.document.redo_name().map(str::to_owned);
                if self.document.redo() {
                    self.says
                        .note(format!("Done again: {}", name.unwrap_or_default()));
                }
            }
            Action::GoSite
            | Action::GoFit
            | Action::GoYear
            | Action::GoWeek
            | Action::GoTrouble => {
                if let Some(desk) = action.desk() {
                    self.looking.desk = desk;
                }
            }
            Action::WeekBack => self.looking.plan_week = self.looking.plan_week.saturating_sub(1),
            Action::WeekOn => self.looking.plan_week = (self.looking.plan_week + 1).min(51),
            Action::ThisWeek => {
                self.looking.plan_week = self.sight().plan_week_of(self.today).unwrap_or(0);
            }
            Action::SeeFromSide => {
                self.looking.desk = super::state::Desk::Site;
                self.looking.from_side = !self.looking.from_side;
            }
            Action::PlayDay => self.ribbon.play_day(),
            Action::PlayYear => self.ribbon.play_year(),
            Action::Plants => self.sheet = Some(Sheet::Collection),
            Action::Climate => self.sheet = Some(Sheet::Climate),
            Action::PlanChoices => self.sheet = Some(Sheet::Choices),
            Action::Preferences => self.sheet = Some(Sheet::Preferences),
            Action::FindCommand => self.command_list = Some(CommandList::default()),
            Action::FirstSteps => self.sheet = Some(Sheet::FirstSteps),
            Action::Tour if self.is_sample => self.tour = Some(tour::Tour::default()),
            Action::Tour => self.ask_before(ctx, asks::Next::Tour),
            Action::Keys => self.ask = Some(Ask::Keys),
            Action::ThemeLight => self.set_theme(ctx, ThemeChoice::Light),
            Action::ThemeDark => self.set_theme(ctx, ThemeChoice::Dark),
            Action::ThemeSystem => self.set_theme(ctx, ThemeChoice::System),
            Action::Larger => self.settings.step_scale(true),
            Action::Smaller => self.settings.step_scale(false),
            Action::UsualSize => self.settings.scale = 1.0,
            Action::Quit => ctx.send_viewport_cmd(egui::ViewportCommand::Close),
        }
    }

    fn set_theme(&mut self, ctx: &egui::Context, choice: ThemeChoice) {
        self.settings.theme = choice;
        ctx.set_theme(choice.preference());
    }

    /// Looks at nothing that an edit or an undo has taken away, and always at some plant.
    fn drop_what_is_gone(&mut self) {
        let site = self.document.site();
        self.looking
            .selected
            .retain(|(kind, id)| site.has(*kind, id));
        let gone = |id: &Option<Id>, has: &dyn Fn(&Id) -> bool| id.as_ref().is_none_or(|i| !has(i));
        if gone(&self.looking.plant, &|i| site.plants.contains(i)) {
            self.looking.plant = site.plants.ids().next().cloned();
        }
        if gone(&self.looking.spot, &|i| site.spots.contains(i)) {
            self.looking.spot = None;
        }
        let sheet_gone = match &self.sheet {
            Some(Sheet::Plant(id)) => !site.plants.contains(id),
            Some(Sheet::Readings(id)) => !site.spots.contains(id),
            Some(Sheet::Kind(id)) => site.kind(id).is_none(),
            _ => false,
        };
        if sheet_gone {
            self.sheet = None;
        }
    }

    fn site_name(&self) -> &str {
        &self.document.site().name
    }
}

/// Apart from [`App`], so that views can be changed while they look.
fn sight<'a>(
    document: &'a Document,
    outcome: &'a Option<(u64, Outcome)>,
    looking: &'a Looking,
    today: NaiveDate,
    halted: bool,
    folder: Option<&'a Path>,
) -> Sight<'a> {
    Sight {
        document,
        outcome: outcome.as_ref().map(|(_, o)| o),
        stale: outcome
            .as_ref()
            .is_none_or(|(r, _)| *r != document.revision()),
        halted,
        looking,
        today,
        folder,
    }
}
