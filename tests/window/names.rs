//! Everything that can be acted on has a name and is reached with the Tab key: on every desk, in every sheet, question
//! and menu.

use std::collections::{BTreeMap, BTreeSet};

use egui::{
    Key, Modifiers,
    accesskit::{Action, Role},
};
use egui_kittest::kittest::{NodeT, Queryable};

use crate::whole::Bench;

impl Bench {
    /// Runs a command by its name in the command list.
    pub fn command(&mut self, words: &str) {
        self.keys(Modifiers::COMMAND, Key::K);
        self.window
            .get_by_role_and_label(Role::TextInput, "Find a command")
            .type_text(words);
        self.steps();
        self.keys(Modifiers::NONE, Key::Enter);
    }
}

/// Whatever takes a click or the keyboard, with its name.
fn interactive(bench: &Bench) -> Vec<(u64, Role, Option<String>)> {
    bench
        .window
        .root()
        .children_recursive()
        .map(|node| node.accesskit_node())
        .filter(|node| !node.is_hidden() && !node.is_disabled())
        // Scroll bars come without names; what they scroll has its own, and follows what has the keyboard.
        .filter(|node| node.role() != Role::ScrollBar)
        .filter(|node| {
            let data = node.data();
            data.supports_action(Action::Click) || data.supports_action(Action::Focus)
        })
        .map(|node| {
            let label = node.label().or_else(|| node.value());
            let label = label.or_else(|| node.data().placeholder().map(str::to_owned));
            let id = node.locate().0.0;
            (id, node.role(), label.filter(|l| !l.trim().is_empty()))
        })
        .collect()
}

/// Faults of what is shown now: without a name, or two buttons that share one.
fn faults(bench: &Bench, place: &str) -> Vec<String> {
    let all = interactive(bench);
    assert!(!all.is_empty(), "{place} shows nothing");
    let mut faults: Vec<String> = all
        .iter()
        .filter(|(_, _, name)| name.is_none())
        .map(|(_, role, _)| format!("{place}: a {role:?} without a name"))
        .collect();
    let mut buttons: BTreeMap<&str, usize> = BTreeMap::new();
    for (_, role, name) in &all {
        if let (Role::Button, Some(name)) = (role, name) {
            *buttons.entry(name).or_default() += 1;
        }
    }
    faults.extend(
        buttons
            .iter()
            .filter(|(_, n)| **n > 1)
            .map(|(name, n)| format!("{place}: {n} buttons are called “{name}”")),
    );
    faults
}

#[test]
fn whatever_can_be_acted_on_has_a_name_of_its_own() {
    let mut bench = Bench::small();
    bench.settle();
    let mut found = Vec::new();
    for desk in ["Site", "Fit", "Year", "Week", "Trouble"] {
        bench.desk(desk);
        found.extend(faults(&bench, desk));
    }
    bench.desk("Site");
    for item in ["Room", "Window", "Spot Bench", "Building House"] {
        bench
            .window
            .get_by_role_and_label(Role::Button, item)
            .click_accesskit();
        bench.steps();
        found.extend(faults(&bench, item));
    }
    bench.command("From the side");
    found.extend(faults(&bench, "from the side"));
    bench.command("From the side");
    for sheet in [
        "Plants…",
        "Place and climate",
        "Plan choices",
        "Preferences",
        "First steps",
        "Edit White cymbidium",
        "Readings of Sill",
    ] {
        bench.command(sheet);
        found.extend(faults(&bench, sheet));
    }
    bench.command("Edit White cymbidium");
    bench.click_button("Needs…");
    found.extend(faults(&bench, "Needs"));
    bench.click("Close the sheet");
    bench.command("Keys and names");
    found.extend(faults(&bench, "Keys and names"));
    bench.click_button("Close");
    bench.keys(Modifiers::COMMAND, Key::K);
    found.extend(faults(&bench, "the command list"));
    bench.keys(Modifiers::NONE, Key::Escape);
    bench.click("Menu");
    found.extend(faults(&bench, "the menu"));
    bench.keys(Modifiers::NONE, Key::Escape);
    bench.keys(Modifiers::COMMAND, Key::O);
    found.extend(faults(&bench, "Open"));
    bench.click_button("Cancel");
    bench.keys(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    found.extend(faults(&bench, "Save as"));
    bench.click_button("Cancel");
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn the_tab_key_reaches_all_of_a_desk() {
    let mut bench = Bench::small();
    bench.settle();
    let mut missed = Vec::new();
    for desk in ["Site", "Fit", "Year", "Week", "Trouble"] {
        bench.desk(desk);
        let all: BTreeMap<u64, String> = interactive(&bench)
            .into_iter()
            .filter(|(_, role, _)| !matches!(role, Role::ScrollView | Role::Label))
            .map(|(id, role, name)| (id, format!("{role:?} {}", name.unwrap_or_default())))
            .collect();
        let mut reached = BTreeSet::new();
        for _ in 0..all.len() + 40 {
            bench.window.key_press(Key::Tab);
            bench.window.run_steps(2);
            let focused = bench
                .window
                .root()
                .children_recursive()
                .map(|n| n.accesskit_node())
                .find(|n| n.is_focused())
                .map(|n| n.locate().0.0);
            reached.extend(focused);
        }
        missed.extend(
            all.iter()
                .filter(|(id, _)| !reached.contains(*id))
                .map(|(_, name)| format!("{desk}: {name}")),
        );
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}
