//! What is wrong in a site or a file, line by line, with remedies.

use egui::{ScrollArea, Ui};

use crate::{
    app::{
        parts::form::answer_ui,
        theme::{self, space, text},
    },
    site::{
        Site,
        file::{self, Fault, Severity},
    },
};

pub struct FaultList {
    pub file: String,
    /// Whether the site is open in spite of them.
    pub opened: bool,
    pub lines: Vec<Fault>,
    /// What is wrong apart from lines: the file is not there, may not be read.
    pub other: String,
}

/// What must be mended before a site can be computed with.
#[must_use]
pub fn halting(site: &Site) -> Vec<Fault> {
    let mut faults = file::check(site);
    faults.retain(|f| f.severity == Severity::Fault);
    faults
}

/// True once it was read.
pub fn faults_ui(ui: &mut Ui, list: &FaultList) -> bool {
    let severe = list.lines.iter().any(|f| f.severity == Severity::Fault);
    match (list.opened, severe) {
        (true, true) => {
            ui.label(text::heading("The site is open, and unfinished"));
            ui.label(text::soft(
                "It is drawn as far as it goes. These are to be mended for a plan:",
            ));
        }
        (true, false) => {
            ui.label(text::heading("The site is open, with doubts"));
            ui.label(text::soft(format!(
                "{} can be computed with, but this is likely not what was meant:",
                list.file
            )));
        }
        (false, _) => {
            ui.label(text::heading("This file cannot be opened"));
            ui.label(text::soft(&list.file));
            ui.label("What was open before stays open and is unchanged.");
        }
    }
    ui.add_space(space::S);
    if !list.other.is_empty() {
        ui.label(&list.other);
    }
    let height = (ui.ctx().content_rect().height() - 240.0).clamp(90.0, 360.0);
    ScrollArea::vertical()
        .max_height(height)
        .min_scrolled_height(height)
        .show(ui, |ui| {
            ui.set_width(ui.available_width() - space::M);
            for fault in &list.lines {
                fault_ui(ui, fault);
            }
        });
    ui.add_space(space::S);
    let close = if list.opened {
        "Go on"
    } else {
        "Keep what is open"
    };
    ui.horizontal(|ui| {
        let read = answer_ui(ui, close);
        if ui.button("Copy as text").clicked() {
            let lines: Vec<String> = list.lines.iter().map(Fault::to_string).collect();
            ui.ctx()
                .copy_text(format!("{}\n{}{}", list.file, lines.join("\n"), list.other));
        }
        read
    })
    .inner
}

fn fault_ui(ui: &mut Ui, fault: &Fault) {
    let t = theme::tokens(ui);
    let (ground, ink) = match fault.severity {
        Severity::Fault => (t.fault_wash, t.fault),
        Severity::Doubt => (t.caution_wash, t.caution),
    };
    egui::Frame::new()
        .fill(ground)
        .corner_radius(space::CORNER)
        .inner_margin(space::S)
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            ui.set_width(ui.available_width());
            let place = match fault.line {
                Some(line) => format!("Line {line}  {}", fault.field),
                None => fault.field.clone(),
            };
            ui.label(text::strong(place).color(ink));
            ui.label(&fault.what);
            if !fault.remedy.is_empty() {
                ui.label(text::soft(format!("Remedy: {}", fault.remedy)));
            }
        });
}
