//! The five desks.

mod fit;
pub mod site;
mod trouble;
mod week;
mod year;

use egui::Ui;

use super::state::{Desk, Request, Sight};

/// What each desk remembers of how it is looked at.
#[derive(Default)]
pub struct Desks {
    pub(super) site: site::SiteDesk,
    fit: fit::FitDesk,
    year: year::YearDesk,
    week: week::WeekDesk,
    trouble: trouble::TroubleDesk,
}

impl Desks {
    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        match sight.looking.desk {
            Desk::Site => self.site.show_ui(ui, sight, requests),
            Desk::Fit => self.fit.show_ui(ui, sight, requests),
            Desk::Year => self.year.show_ui(ui, sight, requests),
            Desk::Week => self.week.show_ui(ui, sight, requests),
            Desk::Trouble => self.trouble.show_ui(ui, sight, requests),
        }
    }

    /// Another site was opened.
    pub fn forget(&mut self) {
        *self = Self::default();
    }
}
