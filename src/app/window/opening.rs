//! Opening, saving, and what is asked before work could be lost.

use std::path::Path;

use super::{
    App,
    asks::{Ask, Next},
    faults::FaultList,
};
use crate::app::{
    settings::Last,
    sheets::Sheets,
    state::{Desk, Sheet},
};
use crate::site::{
    Drawing, Site,
    edit::Edit,
    file::{self, Fault, Opened, Severity, SiteFileError},
    history::Document,
    samples::{self, SAMPLES},
};

impl App {
    /// What is shown first: the file or the sample of the command line, or else the file of last time, or else the first
    /// sample. A file wins over a sample of its name.
    pub(super) fn open_first(&mut self, path: Option<&Path>) {
        let named = path
            .filter(|p| !p.exists())
            .and_then(|p| samples::by_id(p.to_str()?));
        let last = match &self.settings.last {
            Last::File(last) if path.is_none() && last.exists() => Some(last.clone()),
            _ => None,
        };
        if let Some(sample) = named.or_else(|| SAMPLES.first()) {
            self.open_sample(sample.id);
        }
        if let Some(last) = last {
            self.open_file(&last);
        }
        if let Some(path) = path
            && named.is_none()
        {
            self.open_file(path);
        }
        if self.files.left_over {
            self.ask = Some(Ask::Recovery);
        }
    }

    pub(super) fn open_sample(&mut self, id: &str) {
        let Some(sample) = samples::by_id(id) else {
            return;
        };
        match sample.read() {
            Ok(read) => {
                self.show_site(read.site, Vec::new(), sample.title);
                self.is_sample = true;
            }
            Err(e) => self.show_refusal(sample.title, e),
        }
    }

    /// Opens a file, unfinished or not; if it cannot be read, what was open stays.
    pub(super) fn open_file(&mut self, path: &Path) {
        match file::open(path) {
            Ok(Opened { site, faults }) => {
                let name = path.display().to_string();
                self.show_site(site, faults, &name);
                self.files.path = Some(path.to_owned());
                self.settings.remember(path);
            }
            Err(e) => {
                self.settings.forget(path);
                self.show_refusal(&path.display().to_string(), e);
            }
        }
    }

    pub(super) fn new_site(&mut self) {
        let site = Site {
            version: crate::site::VERSION,
            ..Site::default()
        };
        self.show_site(site, Vec::new(), "new site");
        self.looking.desk = Desk::Site;
        self.looking.from_side = false;
        self.sheet = Some(Sheet::FirstSteps);
    }

    pub(super) fn recover(&mut self) {
        match self.files.recover() {
            Some(Ok(read)) => {
                self.show_site(read.site, read.faults, "the unsaved copy");
                // It is in no file of the grower's, so closing must ask.
                self.document.mark_unsaved();
                self.changed = (self.document.revision(), true);
                self.says
                    .note("The unsaved work of last time is open. Save it under a name.");
            }
            Some(Err(e)) => self.show_refusal("the unsaved copy", e),
            None => {}
        }
    }

    /// `faults` are all that is wrong or doubtful in it.
    fn show_site(&mut self, site: Site, faults: Vec<Fault>, name: &str) {
        self.document = Document::new(site);
        self.opened += 1;
        self.outcome = None;
        self.files.path = None;
        self.changed = (self.document.revision(), false);
        self.looking.selected.clear();
        self.looking.plant = None;
        self.looking.spot = None;
        self.sheet = None;
        self.is_sample = false;
        self.tour = None;
        self.sheets = Sheets::default();
        self.desks.forget();
        self.drop_what_is_gone();
        let today = self.sight().plan_week_of(self.today).unwrap_or(0);
        self.looking.plan_week = today;
        // That the climate is guessed is said along the top edge as long as it is so.
        let guessed = |f: &Fault| {
            f.severity == Severity::Doubt
                && self.document.site().climate.is_guessed()
                && f.field.starts_with("climate.normals.")
        };
        if !faults.iter().all(guessed) {
            self.ask = Some(Ask::Faults(FaultList {
                file: name.to_owned(),
                opened: true,
                lines: faults,
                other: String::new(),
            }));
        }
    }

    fn show_refusal(&mut self, name: &str, error: SiteFileError) {
        let list = match error {
            SiteFileError::Faults { faults, .. } => FaultList {
                file: name.to_owned(),
                opened: false,
                lines: faults,
                other: String::new(),
            },
            other => FaultList {
                file: name.to_owned(),
                opened: false,
                lines: Vec::new(),
                other: other.to_string(),
            },
        };
        self.ask = Some(Ask::Faults(list));
    }

    /// Saves to the site's file, or asks for one; goes on with `then` once saved.
    pub(super) fn save(&mut self, ctx: &egui::Context, then: Option<Next>) {
        match self.files.path.clone() {
            Some(path) => self.save_to(ctx, &path, then),
            None => self.ask = Some(Ask::save_as(&self.files, self.site_name(), then)),
        }
    }

    pub(super) fn save_to(&mut self, ctx: &egui::Context, path: &Path, then: Option<Next>) {
        self.document.end();
        let follows = self.picture_follows(path.parent());
        let mut site = self.document.site().clone();
        if let Some(edit) = &follows
            && let Err(e) = site.apply(edit.clone())
        {
            self.says.fault(e.to_string());
        }
        match file::write(&site, path) {
            Ok(()) => {
                if let Some(edit) = follows
                    && let Err(e) = self
                        .document
                        .edit("Name the picture from its new folder", edit)
                {
                    self.says.fault(e.to_string());
                }
                self.document.mark_saved();
                self.changed = (self.document.revision(), false);
                self.files.path = Some(path.to_owned());
                self.is_sample = false;
                self.files.forget_copy();
                self.settings.remember(path);
                self.says.note(format!("Saved as {}", path.display()));
                self.ask = None;
                if let Some(next) = then {
                    self.go_on(ctx, next);
                }
            }
            Err(e) => self
                .says
                .fault(format!("Not saved. {e}. Choose another file or folder.")),
        }
    }

    /// What keeps the picture below the drawing in sight when the file goes to another folder.
    fn picture_follows(&self, folder: Option<&Path>) -> Option<Edit> {
        let drawing = &self.document.site().drawing;
        let picture = drawing.underlay.as_ref()?;
        let moved = picture.moved(self.files.folder(), folder);
        (moved != *picture).then(|| {
            Edit::SetDrawing(Drawing {
                underlay: Some(moved),
                ..Drawing::clone(drawing)
            })
        })
    }

    /// Does what is next, but first asks about unsaved changes if there are any.
    pub(super) fn ask_before(&mut self, ctx: &egui::Context, next: Next) {
        self.document.end();
        if self.is_changed() {
            self.ask = Some(Ask::Unsaved(next));
        } else {
            self.go_on(ctx, next);
        }
    }

    pub(super) fn go_on(&mut self, ctx: &egui::Context, next: Next) {
        self.ask = None;
        match next {
            Next::Close => {
                self.closing = true;
                self.files.forget_copy();
                ctx.send_viewport_cmd(egui::ViewportCommand::Close);
            }
            Next::New => self.new_site(),
            Next::Choose => self.ask = Some(Ask::open(&self.files)),
            Next::File(path) => self.open_file(&path),
            Next::Sample(id) => self.open_sample(id),
            Next::Tour => {
                if let Some(sample) = SAMPLES.first() {
                    self.open_sample(sample.id);
                    self.tour = Some(super::tour::Tour::default());
                }
            }
        }
    }
}

/// The sign of the program: a pot on a sill, drawn by arithmetic so that no picture file is needed.
pub(super) fn icon() -> egui::IconData {
    const SIDE: u32 = 64;
    let t = crate::app::theme::of(false);
    let mut rgba = Vec::with_capacity((SIDE * SIDE * 4) as usize);
    for y in 0..SIDE {
        for x in 0..SIDE {
            let (u, v) = (
                (f64::from(x) + 0.5) / f64::from(SIDE) * 2.0 - 1.0,
                (f64::from(y) + 0.5) / f64::from(SIDE) * 2.0 - 1.0,
            );
            let corner = u.abs().max(v.abs()) > 0.97 && u.abs() + v.abs() > 1.8;
            let leaf = |cx: f64, lean: f64| {
                let (dx, dy) = (u - cx - lean * (v + 0.1), v + 0.28);
                (dx / 0.17).powi(2) + (dy / 0.48).powi(2) < 1.0
            };
            let pot = (0.1..0.6).contains(&v) && u.abs() < 0.42 - (v - 0.1) * 0.25;
            let sill = (0.6..0.74).contains(&v) && u.abs() < 0.8;
            let colour = if sill {
                t.wall
            } else if pot {
                t.pot
            } else if leaf(0.0, 0.0) {
                t.leaf_deep
            } else if leaf(-0.22, 0.55) || leaf(0.22, -0.55) {
                t.leaf
            } else {
                t.paper
            };
            let alpha = if corner { 0 } else { 255 };
            rgba.extend([colour.r(), colour.g(), colour.b(), alpha]);
        }
    }
    egui::IconData {
        rgba,
        width: SIDE,
        height: SIDE,
    }
}
