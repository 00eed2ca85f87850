//! Side sheets.
use super::{
    settings::Settings,
    state::{Request, Sheet, Sight},
};
use egui::Ui;
#[derive(Default)]
pub struct Sheets {}
impl Sheets {
    pub fn show_ui(
        &mut self,
        ui: &mut Ui,
        sheet: &Sheet,
        sight: &Sight<'_>,
        settings: &mut Settings,
        requests: &mut Vec<Request>,
    ) {
        let _ = (ui, sheet, sight, settings, requests);
    }
}
