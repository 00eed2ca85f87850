//! From a finished figure to a new object of sensible size and name.

use super::{Tool, draft::Figure};
use crate::{
    app::canvas::{
        change,
        shape::{self, Item},
    },
    base::{Id, Pt, geometry},
    site::{
        Glazing, Heater, ScreenKind, Site, Spot, WindowKind,
        edit::{Edit, Object},
    },
};

/// How far from a wall a window can still be meant for it, m.
const WALL_REACH_M: f64 = 0.8;

/// How near to a wall a heater is set against it, m.
const AGAINST_M: f64 = 0.5;

/// A new object: what it is and the edit that puts it into the site.
#[derive(Clone, Debug, PartialEq)]
pub struct Made {
    pub item: Item,
    pub edit: Edit,
    /// Name of the undo step.
    pub step: String,
}

/// Makes the object of a tool from what was drawn. `shown` is the storey that was drawn on, `site` all of them: names
/// are new among all.
///
/// # Errors
/// A sentence for the grower when there is no place for it.
pub fn make(
    shown: &Site,
    site: &Site,
    level_m: f64,
    tool: Tool,
    figure: Figure,
) -> Result<Made, &'static str> {
    let kind = tool.makes().ok_or("This tool draws nothing")?;
    let mut object = kind.blank().ok_or("This tool draws nothing")?;
    fill(shown, tool, figure, &mut object)?;
    if let Object::Room(room) = &mut object {
        room.floor_m = level_m;
    }
    if let Object::Heater(heater) = &mut object {
        heater.runs.months = Heater::usual_months(site.hemisphere());
    }
    if !shape::is_sound(&object) {
        return Err("Its edges would cross; draw it again");
    }
    let name = change::new_name(site, kind, tool.name_of_new());
    object.set_name(&name);
    let id = change::new_id(site, kind, &name);
    Ok(Made {
        item: (kind, id.clone()),
        edit: Edit::Put(id, object),
        step: format!("Draw {name}"),
    })
}

/// A figure of usual size about a point, for hands without a pointer.
#[must_use]
pub fn usual_figure(tool: Tool, middle: Pt) -> Option<Figure> {
    let about = |w: f64, h: f64| {
        let (x, y) = (w * 0.5, h * 0.5);
        [(-x, -y), (x, -y), (x, y), (-x, y)]
            .map(|(dx, dy)| middle + Pt(dx, dy))
            .to_vec()
    };
    Some(match tool {
        Tool::Pick | Tool::Measure | Tool::Horizon | Tool::ScalePicture | Tool::TurnPicture => {
            return None;
        }
        Tool::Building => Figure::Outline(about(10.0, 8.0)),
        Tool::Room => Figure::Outline(about(4.0, 3.5)),
        Tool::Canopy | Tool::Cloth => Figure::Outline(about(3.0, 2.0)),
        Tool::Ground => Figure::Outline(about(4.0, 3.0)),
        Tool::SpotArea => Figure::Outline(about(1.6, 0.6)),
        Tool::Wall | Tool::Fence | Tool::Hedge => {
            Figure::Line(vec![middle - Pt(2.0, 0.0), middle + Pt(2.0, 0.0)])
        }
        Tool::SpotLine => Figure::Line(vec![middle - Pt(0.6, 0.0), middle + Pt(0.6, 0.0)]),
        Tool::Tree => Figure::Disc {
            at: middle,
            radius_m: 2.0,
        },
        Tool::Window | Tool::GlassDoor | Tool::Door => Figure::OnWall {
            from: middle,
            to: middle,
        },
        Tool::Heater | Tool::Vent | Tool::Fan | Tool::Tray | Tool::SpotPoint => Figure::Place {
            at: middle,
            towards: None,
        },
    })
}

impl Tool {
    /// First word of the names of what it makes.
    fn name_of_new(self) -> &'static str {
        match self {
            Self::Cloth => "Cloth",
            Self::Vent => "Vent",
            Self::SpotPoint => "Spot",
            Self::SpotLine => "Sill",
            other => other.name(),
        }
    }
}

fn fill(site: &Site, tool: Tool, figure: Figure, object: &mut Object) -> Result<(), &'static str> {
    match (object, figure) {
        (Object::Window(window), Figure::OnWall { from, to }) => {
            let (room, wall_index, along, distance) = change::nearest_wall(site, from)
                .ok_or("Draw a room first: windows and doors sit in its walls")?;
            if distance > WALL_REACH_M {
                return Err("Click nearer to a room's wall");
            }
            window.room = room.clone();
            window.wall = wall_index;
            match tool {
                Tool::GlassDoor => {
                    window.kind = WindowKind::GlassDoor;
                    (window.width_m, window.sill_m, window.height_m) = (0.9, 0.1, 2.0);
                }
                Tool::Door => {
                    window.kind = WindowKind::Door;
                    window.glazing = Glazing::Double;
                    (window.width_m, window.sill_m, window.height_m) = (0.9, 0.0, 2.0);
                }
                _ => {}
            }
            let wall = site
                .rooms
                .get(&room)
                .and_then(|r| shape::wall(r, wall_index))
                .ok_or("Click nearer to a room's wall")?;
            let end = (to - wall.a).dot((wall.b - wall.a).unit());
            if from == to {
                window.from_corner_m = along - window.width_m * 0.5;
            } else {
                window.width_m = (end - along).abs().max(0.2);
                window.from_corner_m = along.min(end);
            }
            change::fit(window, wall.length());
        }
        (Object::Tree(tree), Figure::Disc { at, radius_m }) => {
            tree.at = at;
            tree.crown_radius_m = radius_m.max(0.2);
            // A crown about as high as it is wide, on a trunk a third of that.
            tree.top_m = (radius_m * 2.6).clamp(1.5, 25.0);
            tree.crown_base_m = (tree.top_m * 0.3).min(2.5);
        }
        (Object::Screen(screen), Figure::Line(line)) => {
            screen.line = line;
            match tool {
                Tool::Fence => {
                    screen.kind = ScreenKind::Fence;
                    (screen.thickness_m, screen.porosity, screen.reflectance) = (0.04, 0.15, 0.3);
                }
                Tool::Hedge => {
                    screen.kind = ScreenKind::Hedge;
                    (screen.thickness_m, screen.porosity, screen.reflectance) = (0.6, 0.1, 0.2);
                }
                _ => screen.thickness_m = 0.2,
            }
        }
        (Object::Heater(heater), Figure::Place { at, towards }) => {
            heater.room = room_for(site, at)?;
            heater.at = at;
            heater.faces_deg = facing(site, at, towards);
            if towards.is_none() {
                against_wall(site, heater);
            }
        }
        (Object::Vent(vent), Figure::Place { at, towards }) => {
            vent.room = room_for(site, at)?;
            vent.at = at;
            vent.blows_deg = facing(site, at, towards);
        }
        (Object::Fan(fan), Figure::Place { at, towards }) => {
            fan.room = shape::room_at(site, at);
            fan.at = at;
            fan.blows_deg = facing(site, at, towards);
        }
        (Object::Tray(tray), Figure::Place { at, .. }) => {
            tray.room = shape::room_at(site, at);
            tray.at = at;
        }
        (Object::Spot(spot), figure) => {
            let outline = match figure {
                Figure::Outline(outline) | Figure::Line(outline) => outline,
                Figure::Place { at, .. } => vec![at],
                _ => return Err("Draw it again"),
            };
            fill_spot(site, spot, outline);
        }
        (object, Figure::Outline(outline)) => {
            *shape::corners_mut(object).ok_or("Draw it again")? = outline;
        }
        _ => return Err("Draw it again"),
    }
    Ok(())
}

/// How many pots of 24 cm find room, and at which height: a sill indoors, the ground outdoors.
fn fill_spot(site: &Site, spot: &mut Spot, outline: Vec<Pt>) {
    let rim_m = spot.holds.rim_cm / 100.0;
    let pots = match outline.as_slice() {
        [_] => 1.0,
        [a, b] => (a.distance(*b) / rim_m).floor(),
        _ => (geometry::signed_area(&outline).abs() / (rim_m * rim_m * 1.3)).floor(),
    };
    spot.holds.pots = pots.clamp(1.0, 200.0) as u32;
    spot.room = shape::room_at(site, geometry::centroid(&outline));
    spot.height_m = match (&spot.room, outline.len()) {
        (Some(_), 2) => 0.9,
        (Some(_), _) => 0.5,
        (None, 1 | 2) => 0.0,
        (None, _) => 0.6,
    };
    spot.outline = outline;
}

fn room_for(site: &Site, at: Pt) -> Result<Id, &'static str> {
    shape::room_at(site, at)
        .or_else(|| {
            change::nearest_wall(site, at)
                .filter(|(.., distance)| *distance <= WALL_REACH_M)
                .map(|(room, ..)| room)
        })
        .ok_or("Click inside a room: it warms or airs the room that it is in")
}

/// A heater set down near a wall of its room stands against it.
fn against_wall(site: &Site, heater: &mut Heater) {
    let Some((room, index, along, distance)) = change::nearest_wall(site, heater.at) else {
        return;
    };
    let wall = site
        .rooms
        .get(&room)
        .filter(|_| room == heater.room && distance <= AGAINST_M)
        .and_then(|r| shape::wall(r, index));
    if let Some(wall) = wall {
        let foot = wall.a + (wall.b - wall.a).unit() * along;
        heater.at = foot + wall.inward * (shape::HEATER_DEPTH_M * 0.5 + 0.02);
    }
}

/// Where it was pulled to, or away from the nearest wall.
fn facing(site: &Site, at: Pt, towards: Option<Pt>) -> f64 {
    if let Some(to) = towards {
        return change::azimuth_deg(to - at);
    }
    change::nearest_wall(site, at)
        .and_then(|(room, index, ..)| shape::wall(&**site.rooms.get(&room)?, index))
        .map_or(0.0, |wall| change::azimuth_deg(wall.inward))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{app::canvas::fixture, site::edit::ObjectKind};

    fn made(tool: Tool, figure: Figure) -> Object {
        let mut site = fixture::site();
        let made = make(&site, &site, 0.0, tool, figure).unwrap();
        site.apply(made.edit).unwrap();
        site.object(made.item.0, &made.item.1).unwrap()
    }

    #[test]
    fn a_window_sits_in_the_nearest_wall_and_within_it() {
        let at = Pt(3.9, 0.1);
        let Object::Window(window) = made(Tool::Window, Figure::OnWall { from: at, to: at }) else {
            panic!("not a window");
        };
        assert_eq!(window.room, Id::new("hall"));
        let site = fixture::site();
        let o = shape::opening(&site, &window).unwrap();
        for p in [o.a, o.b] {
            assert!((-1e-9..=4.0 + 1e-9).contains(&p.x()) && (-1e-9..=4.0 + 1e-9).contains(&p.y()));
        }
    }

    #[test]
    fn pulling_along_a_wall_sets_the_width() {
        let figure = Figure::OnWall {
            from: Pt(3.0, 4.0),
            to: Pt(1.0, 4.1),
        };
        let Object::Window(window) = made(Tool::GlassDoor, figure) else {
            panic!("not a window");
        };
        assert_eq!((window.wall, window.kind), (2, WindowKind::GlassDoor));
        assert!((window.width_m - 2.0).abs() < 1e-9 && (window.from_corner_m - 1.0).abs() < 1e-9);
    }

    #[test]
    fn a_heater_needs_a_room_and_faces_into_it() {
        let site = fixture::site();
        let outside = Figure::Place {
            at: Pt(20.0, 20.0),
            towards: None,
        };
        assert!(make(&site, &site, 0.0, Tool::Heater, outside).is_err());
        let Object::Heater(heater) = made(
            Tool::Heater,
            Figure::Place {
                at: Pt(2.0, 0.1),
                towards: None,
            },
        ) else {
            panic!("not a heater");
        };
        assert_eq!(heater.faces_deg, 0.0);
        assert!(heater.at.distance(Pt(2.0, 0.08)) < 1e-9);
    }

    #[test]
    fn spots_know_their_room_and_how_many_pots_they_hold() {
        let Object::Spot(sill) = made(
            Tool::SpotLine,
            Figure::Line(vec![Pt(1.0, 0.2), Pt(2.0, 0.2)]),
        ) else {
            panic!("not a spot");
        };
        assert_eq!((sill.room, sill.holds.pots), (Some(Id::new("hall")), 4));
        let Object::Spot(spot) = made(
            Tool::SpotPoint,
            Figure::Place {
                at: Pt(12.0, 0.2),
                towards: None,
            },
        ) else {
            panic!("not a spot");
        };
        assert_eq!(
            (spot.room, spot.holds.pots, spot.name.as_str()),
            (None, 1, "Spot 1")
        );
    }

    #[test]
    fn names_count_on() {
        let site = fixture::site();
        let outline = vec![Pt(0.0, 0.0), Pt(1.0, 0.0), Pt(1.0, 1.0)];
        let made = make(&site, &site, 0.0, Tool::Cloth, Figure::Outline(outline)).unwrap();
        assert_eq!(made.item, (ObjectKind::Cloth, Id::new("cloth-2")));
    }
}
