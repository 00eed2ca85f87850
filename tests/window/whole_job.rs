//! The grower's whole job, from an empty sheet of paper to a plan and back: by pointer, keys and accessible names only.

use egui::{Key, Modifiers, accesskit::Role};
use egui_kittest::kittest::Queryable;
use sillward::{
    base::Pt,
    scoring::ScoreWord,
    site::{LightValue, Site, WindowKind},
};

use crate::whole::Bench;

impl Bench {
    fn take(&mut self, tool: &str) {
        self.click_button(&format!("Tool {tool}"));
    }

    fn hover(&mut self, p: Pt) {
        let at = self.window.state().plan().screen_of(p);
        self.window.hover_at(at);
        self.window.step();
    }

    /// Presses, moves and lets go, as a hand does.
    fn pull(&mut self, from: Pt, to: Pt) {
        self.hover(from);
        let at = self.window.state().plan().screen_of(from);
        self.window.drag_at(at);
        self.window.step();
        for k in 1..=4 {
            self.hover(from.lerp(to, f64::from(k) / 4.0));
        }
        let at = self.window.state().plan().screen_of(to);
        self.window.drop_at(at);
        self.steps();
    }

    fn point_at(&mut self, p: Pt) {
        self.pull(p, p);
    }

    /// Types into a field as its whole content; Enter leaves it.
    fn fill(&mut self, role: Role, name: &str, text: &str) {
        self.window.get_by_role_and_label(role, name).scroll_to_me();
        self.steps();
        self.window.get_by_role_and_label(role, name).click();
        self.steps();
        self.keys(Modifiers::COMMAND, Key::A);
        self.window.event(egui::Event::Text(text.to_owned()));
        self.steps();
        self.keys(Modifiers::NONE, Key::Enter);
    }

    fn choose(&mut self, shown: &str, wanted: &str) {
        self.click(shown);
        self.click_button(wanted);
    }

    fn undo_all(&mut self) -> usize {
        let mut steps = 0;
        while self.window.state().document().undo_name().is_some() {
            self.keys(Modifiers::COMMAND, Key::Z);
            steps += 1;
            assert!(steps < 200, "undo does not come to an end");
        }
        steps
    }
}

/// Everything on the plan by one tool after another.
fn draw(bench: &mut Bench) {
    bench.take("Room");
    bench.pull(Pt(-3.0, 0.0), Pt(1.0, 3.0));
    bench.take("Window");
    bench.point_at(Pt(-1.0, 0.0));
    bench.take("Surface");
    bench.pull(Pt(-4.0, -3.2), Pt(2.0, -0.4));
    bench.take("Shade cloth");
    bench.pull(Pt(-3.4, -2.8), Pt(1.4, -0.8));
    bench.take("Heater");
    bench.point_at(Pt(0.4, 2.8));
    bench.take("Air vent");
    bench.pull(Pt(-2.8, 2.2), Pt(-1.6, 2.2));
    bench.take("Sill or row");
    bench.pull(Pt(-1.6, 0.2), Pt(-0.4, 0.2));
    bench.take("Bench");
    bench.pull(Pt(-2.4, -2.0), Pt(-0.8, -1.2));
    bench.take("Pick");

    let site = bench.site();
    assert_eq!((site.rooms.len(), site.windows.len()), (1, 1));
    let window = site.windows.values().next().unwrap();
    assert_eq!((window.wall, window.kind), (0, WindowKind::Window));
    assert_eq!((site.grounds.len(), site.cloths.len()), (1, 1));
    assert_eq!((site.heaters.len(), site.vents.len()), (1, 1));
    assert_eq!(site.spots.len(), 2);
}

/// What a meter and a thermometer said on one spot.
fn read(bench: &mut Bench, spot: &str, ppfd: f64, min_c: f64) {
    bench
        .window
        .get_by_label(&format!("Spot {spot}"))
        .click_accesskit();
    bench.steps();
    bench.click_button("Add readings…");
    bench.click_button("Add a light reading");
    bench.fill(Role::SpinButton, "Light reading 1", &format!("{ppfd}"));
    bench
        .window
        .get_by_label("Add a thermometer reading")
        .scroll_to_me();
    bench.steps();
    bench.click_button("Add a thermometer reading");
    let minimum = "Minimum of thermometer reading 1";
    bench.fill(Role::SpinButton, minimum, &format!("{min_c}"));
    bench.click("Close the sheet");
    let site = bench.site();
    let spot = site.spots.values().find(|s| s.name == spot).unwrap();
    let light: Vec<LightValue> = spot.light.iter().map(|r| r.value).collect();
    assert_eq!(light, [LightValue::Ppfd(ppfd)]);
    let lows: Vec<f64> = spot.min_max.iter().map(|r| r.min_c).collect();
    assert_eq!(lows, [min_c]);
}

#[test]
fn from_an_empty_sheet_to_a_pinned_plan_and_back_without_a_loss() {
    let mut bench = Bench::open(tempfile::tempdir().unwrap(), None);
    bench.steps();
    bench.keys(Modifiers::COMMAND, Key::N);
    bench.click("Close the sheet");
    assert!(bench.site().rooms.is_empty() && bench.site().plants.is_empty());
    let blank = bench.site().clone();

    draw(&mut bench);
    read(&mut bench, "Sill 1", 320.0, 11.5);
    read(&mut bench, "Bench 1", 900.0, 6.5);

    // A plant, chosen by a part of its name, and where it stands.
    bench.keys(Modifiers::COMMAND, Key::P);
    bench.click_button("Add a plant…");
    bench.fill(Role::TextInput, "Search kinds", "cymb stand");
    bench.press_first("Cymbidium, standard");
    bench.choose("Stands now on: not placed yet", "Bench 1");
    bench.click("Close the sheet");
    let plant = bench.site().plants.values().next().unwrap().clone();
    assert_eq!(plant.kind, "cymbidium-standard".into());
    assert!(plant.stands.is_some());

    // Its scores: number and word for each spot.
    bench.settle();
    bench.desk("Fit");
    bench.window.get_by_label("Spots for Cymbidium, standard");
    for spot in ["Sill 1", "Bench 1"] {
        let said: Vec<String> = bench
            .window
            .query_all_by_label_contains(&format!("{spot}, "))
            .filter_map(|node| egui_kittest::kittest::NodeT::accesskit_node(&node).label())
            .collect();
        let words = ["harmed", "suffers", "copes", "suits", "thrives"];
        let scored = said.iter().any(|s| {
            let word = words.iter().find(|w| s.contains(**w));
            let figure = s.split(|c: char| !c.is_ascii_digit()).any(|n| {
                n.parse::<f64>()
                    .is_ok_and(|p| word == Some(&ScoreWord::of(p).word()))
            });
            word.is_some() && figure
        });
        assert!(scored, "{spot} has number and word: {said:?}");
    }

    // Its plan, and a stay of it held elsewhere.
    bench.desk("Year");
    let year = "Year of Cymbidium, standard";
    let stays = |b: &Bench| {
        let plan = b.window.state().outcome().unwrap().plan.clone().unwrap();
        plan.solution.stays.clone()
    };
    let before = stays(&bench);
    assert!(!before.is_empty());
    bench.click_button(year);
    let chooser = bench
        .window
        .query_all_by_label_contains("Spot: ")
        .find_map(|n| egui_kittest::kittest::NodeT::accesskit_node(&n).label())
        .unwrap();
    let other = if chooser.ends_with("Sill 1") {
        "Bench 1"
    } else {
        "Sill 1"
    };
    bench.click(&chooser);
    let offered = bench
        .window
        .query_all_by_role(Role::Button)
        .find(|n| {
            egui_kittest::kittest::NodeT::accesskit_node(n)
                .label()
                .is_some_and(|l| l.starts_with(other))
        })
        .map(|n| n.rect().center())
        .unwrap();
    bench.window.hover_at(offered);
    bench.window.drag_at(offered);
    bench.window.drop_at(offered);
    bench.steps();
    bench.click_button("Pin");
    assert_eq!(bench.site().choices.pins.len(), 1);
    bench.settle();
    assert!(stays(&bench).iter().any(|s| s.pinned));

    // All back, all again.
    let done = bench.site().clone();
    let steps = bench.undo_all();
    assert_eq!(*bench.site(), blank);
    for _ in 0..steps {
        bench.keys(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    }
    assert_eq!(*bench.site(), done);
    assert!(bench.window.state().document().redo_name().is_none());

    let again = saved_and_opened(bench);
    assert_eq!(*again.site(), done);
    assert!(!again.window.state().document().is_changed());
}

fn saved_and_opened(mut bench: Bench) -> Bench {
    let path = bench.folder.path().join("garden.ron");
    bench.keys(Modifiers::COMMAND, Key::S);
    let field = "Path of the site file";
    bench.fill(Role::TextInput, field, &path.display().to_string());
    assert!(path.exists());
    let folder = bench.folder;
    drop(bench.window);
    Bench::open(folder, Some(path))
}

#[test]
fn a_site_drawn_by_hand_reads_the_same_from_its_own_text() {
    let mut bench = Bench::open(tempfile::tempdir().unwrap(), None);
    bench.steps();
    bench.command("New site");
    bench.click("Close the sheet");
    draw(&mut bench);
    let drawn: Site = bench.site().clone();
    let again = saved_and_opened(bench);
    assert_eq!(*again.site(), drawn);
}
