use crate::app::state::{Request, Sight};
use egui::Ui;
#[derive(Default)]
pub struct FitDesk {}
impl FitDesk {
    pub fn show_ui(&mut self, ui: &mut Ui, sight: &Sight<'_>, requests: &mut Vec<Request>) {
        let _ = (ui, sight, requests);
    }
}
