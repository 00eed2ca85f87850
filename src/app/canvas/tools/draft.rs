//! What is being drawn, as a machine of its own: pointer and keys in, a finished figure out. Knows neither the
//! site nor the screen; points come in already snapped.

use crate::base::{Pt, geometry};

use super::Gesture;

/// A finished figure.
#[derive(Clone, Debug, PartialEq)]
pub enum Figure {
    Outline(Vec<Pt>),
    Line(Vec<Pt>),
    Disc {
        at: Pt,
        radius_m: f64,
    },
    /// A place, and where the pull pointed to if there was one.
    Place {
        at: Pt,
        towards: Option<Pt>,
    },
    /// From where to where along a wall; equal for a single click.
    OnWall {
        from: Pt,
        to: Pt,
    },
}

/// What reaches the machine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Input {
    Moved(Pt),
    /// The hand goes down, or up again; `reach_m` is how near counts as the same point.
    Down {
        at: Pt,
        reach_m: f64,
    },
    Up {
        at: Pt,
        reach_m: f64,
    },
    /// Enter.
    Confirm,
    /// Backspace.
    TakeBack,
    /// Esc.
    Leave,
    /// A typed length, m: from the last point in the pointer's direction.
    Length(f64),
    /// The corner opposite the first one of a rectangle, from sides that were typed.
    Opposite(Pt),
}

/// What came of an input.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    Going,
    Done(Figure),
    /// Esc with nothing drawn: the tool is put away.
    PutAway,
    /// The figure cannot be; why.
    Refused(&'static str),
}

/// A figure in the making.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Draft {
    points: Vec<Pt>,
    pointer: Option<Pt>,
    /// Where the hand went down, while it is down.
    held: Option<Pt>,
}

impl Draft {
    /// Points set so far.
    #[must_use]
    pub fn points(&self) -> &[Pt] {
        &self.points
    }

    #[must_use]
    pub fn pointer(&self) -> Option<Pt> {
        self.pointer
    }

    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.points.is_empty()
    }

    /// Whether a rectangle is being pulled.
    #[must_use]
    pub fn is_pulled(&self, reach_m: f64) -> bool {
        matches!((self.held, self.pointer), (Some(a), Some(b)) if a.distance(b) > reach_m)
    }

    /// Feeds one input.
    pub fn feed(&mut self, gesture: Gesture, input: Input) -> Outcome {
        match input {
            Input::Moved(at) => {
                self.pointer = Some(at);
                Outcome::Going
            }
            Input::Leave if self.points.is_empty() && self.held.is_none() => Outcome::PutAway,
            Input::Leave => {
                *self = Self {
                    pointer: self.pointer,
                    ..Self::default()
                };
                Outcome::Going
            }
            Input::TakeBack => {
                self.points.pop();
                self.held = None;
                Outcome::Going
            }
            Input::Down { at, reach_m } => self.down(gesture, at, reach_m),
            Input::Up { at, reach_m } => self.up(gesture, at, reach_m),
            Input::Confirm => self.confirm(gesture),
            Input::Length(metres) => self.length(gesture, metres),
            Input::Opposite(at) => match (gesture, self.points.as_slice()) {
                (Gesture::Outline, [first]) => {
                    self.held = Some(*first);
                    self.up(gesture, at, 1e-6)
                }
                _ => {
                    Outcome::Refused("Both sides can be typed after the first corner of an outline")
                }
            },
        }
    }

    fn down(&mut self, gesture: Gesture, at: Pt, reach_m: f64) -> Outcome {
        self.pointer = Some(at);
        self.held = Some(at);
        let near = |p: Option<&Pt>| p.is_some_and(|p| p.distance(at) <= reach_m);
        match gesture {
            Gesture::Outline if self.points.len() >= 3 && near(self.points.first()) => self.close(),
            Gesture::Line if self.points.len() >= 2 && near(self.points.last()) => self.end_line(),
            // The second point of two ends it on release.
            Gesture::Outline | Gesture::Line if near(self.points.last()) => Outcome::Going,
            Gesture::Outline | Gesture::Line => {
                self.points.push(at);
                Outcome::Going
            }
            Gesture::Stretch | Gesture::Disc | Gesture::Aim | Gesture::Place | Gesture::OnWall => {
                if self.points.is_empty() {
                    self.points.push(at);
                }
                Outcome::Going
            }
            Gesture::Pick => Outcome::Going,
        }
    }

    fn up(&mut self, gesture: Gesture, at: Pt, reach_m: f64) -> Outcome {
        self.pointer = Some(at);
        let Some(held) = self.held.take() else {
            return Outcome::Going;
        };
        let Some(first) = self.points.first().copied() else {
            return Outcome::Going;
        };
        let pulled = held.distance(at) > reach_m;
        match gesture {
            Gesture::Outline if pulled && self.points.len() == 1 => {
                let (a, b) = (first, at);
                if (a.x() - b.x()).abs() <= reach_m || (a.y() - b.y()).abs() <= reach_m {
                    return self.refuse(
                        "Too narrow for a rectangle; pull across, or click corner by corner",
                    );
                }
                self.points = vec![a, Pt(b.x(), a.y()), b, Pt(a.x(), b.y())];
                self.close()
            }
            Gesture::Line if pulled && self.points.len() == 1 => {
                self.points.push(at);
                Outcome::Going
            }
            Gesture::Stretch | Gesture::Disc if first.distance(at) <= reach_m => Outcome::Going,
            Gesture::Stretch => self.done(Figure::Line(vec![first, at])),
            Gesture::Disc => self.done(Figure::Disc {
                at: first,
                radius_m: first.distance(at),
            }),
            Gesture::Aim => self.done(Figure::Place {
                at: first,
                towards: pulled.then_some(at),
            }),
            Gesture::Place => self.done(Figure::Place {
                at: first,
                towards: None,
            }),
            Gesture::OnWall => self.done(Figure::OnWall {
                from: first,
                to: if pulled { at } else { first },
            }),
            Gesture::Outline | Gesture::Line | Gesture::Pick => Outcome::Going,
        }
    }

    fn confirm(&mut self, gesture: Gesture) -> Outcome {
        match (gesture, self.points.as_slice()) {
            (_, []) => Outcome::Going,
            (Gesture::Outline, [_, _, _, ..]) => self.close(),
            (Gesture::Outline, _) => Outcome::Refused("An outline needs three corners"),
            (Gesture::Line, [_, _, ..]) => self.end_line(),
            (Gesture::Line, _) => Outcome::Refused("A line needs two points"),
            (_, [first]) => match self.pointer {
                Some(at) if at.distance(*first) > 0.0 => {
                    let at_point = at;
                    self.held = Some(*first);
                    self.up(gesture, at_point, 0.0)
                }
                _ => Outcome::Going,
            },
            _ => Outcome::Going,
        }
    }

    fn length(&mut self, gesture: Gesture, metres: f64) -> Outcome {
        let (Some(last), Some(pointer)) = (self.points.last().copied(), self.pointer) else {
            return Outcome::Refused("Set the first point, then type a length");
        };
        let direction = (pointer - last).unit();
        if direction.length() == 0.0 {
            return Outcome::Refused("Point where the line goes, then type its length");
        }
        let at = last + direction * metres;
        match gesture {
            Gesture::Outline | Gesture::Line => {
                self.held = None;
                self.points.push(at);
                Outcome::Going
            }
            _ => {
                self.held = Some(last);
                self.up(gesture, at, 0.0)
            }
        }
    }

    fn close(&mut self) -> Outcome {
        if !geometry::is_simple(&self.points) {
            return Outcome::Refused("Its edges would cross; take corners back with Backspace");
        }
        let outline = self.points.clone();
        self.done(Figure::Outline(outline))
    }

    fn end_line(&mut self) -> Outcome {
        let line = self.points.clone();
        self.done(Figure::Line(line))
    }

    fn done(&mut self, figure: Figure) -> Outcome {
        *self = Self {
            pointer: self.pointer,
            ..Self::default()
        };
        Outcome::Done(figure)
    }

    fn refuse(&mut self, why: &'static str) -> Outcome {
        *self = Self {
            pointer: self.pointer,
            ..Self::default()
        };
        Outcome::Refused(why)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const REACH: f64 = 0.1;

    fn click(draft: &mut Draft, gesture: Gesture, at: Pt) -> Outcome {
        draft.feed(gesture, Input::Moved(at));
        match draft.feed(gesture, Input::Down { at, reach_m: REACH }) {
            Outcome::Going => draft.feed(gesture, Input::Up { at, reach_m: REACH }),
            other => other,
        }
    }

    fn pull(draft: &mut Draft, gesture: Gesture, from: Pt, to: Pt) -> Outcome {
        draft.feed(
            gesture,
            Input::Down {
                at: from,
                reach_m: REACH,
            },
        );
        draft.feed(gesture, Input::Moved(to));
        draft.feed(
            gesture,
            Input::Up {
                at: to,
                reach_m: REACH,
            },
        )
    }

    #[test]
    fn corners_close_on_the_first() {
        let mut draft = Draft::default();
        for p in [Pt(0.0, 0.0), Pt(3.0, 0.0), Pt(3.0, 2.0)] {
            assert_eq!(click(&mut draft, Gesture::Outline, p), Outcome::Going);
        }
        assert_eq!(
            click(&mut draft, Gesture::Outline, Pt(0.05, 0.0)),
            Outcome::Done(Figure::Outline(vec![
                Pt(0.0, 0.0),
                Pt(3.0, 0.0),
                Pt(3.0, 2.0)
            ]))
        );
        assert!(draft.is_empty());
    }

    #[test]
    fn a_pull_is_a_rectangle() {
        let done = pull(
            &mut Draft::default(),
            Gesture::Outline,
            Pt(1.0, 1.0),
            Pt(4.0, 3.0),
        );
        assert_eq!(
            done,
            Outcome::Done(Figure::Outline(vec![
                Pt(1.0, 1.0),
                Pt(4.0, 1.0),
                Pt(4.0, 3.0),
                Pt(1.0, 3.0)
            ]))
        );
        let thin = pull(
            &mut Draft::default(),
            Gesture::Outline,
            Pt(1.0, 1.0),
            Pt(4.0, 1.0),
        );
        assert!(matches!(thin, Outcome::Refused(_)));
    }

    #[test]
    fn a_typed_length_goes_where_the_pointer_points() {
        let mut draft = Draft::default();
        click(&mut draft, Gesture::Outline, Pt(0.0, 0.0));
        draft.feed(Gesture::Outline, Input::Moved(Pt(7.0, 0.0)));
        assert_eq!(
            draft.feed(Gesture::Outline, Input::Length(4.25)),
            Outcome::Going
        );
        assert_eq!(draft.points(), [Pt(0.0, 0.0), Pt(4.25, 0.0)]);
        let mut tree = Draft::default();
        tree.feed(
            Gesture::Disc,
            Input::Down {
                at: Pt(1.0, 1.0),
                reach_m: REACH,
            },
        );
        tree.feed(Gesture::Disc, Input::Moved(Pt(1.0, 2.0)));
        assert_eq!(
            tree.feed(Gesture::Disc, Input::Length(2.5)),
            Outcome::Done(Figure::Disc {
                at: Pt(1.0, 1.0),
                radius_m: 2.5
            })
        );
    }

    #[test]
    fn backspace_takes_the_last_corner_back_and_esc_backs_out_in_two_steps() {
        let mut draft = Draft::default();
        for p in [Pt(0.0, 0.0), Pt(3.0, 0.0)] {
            click(&mut draft, Gesture::Outline, p);
        }
        draft.feed(Gesture::Outline, Input::TakeBack);
        assert_eq!(draft.points(), [Pt(0.0, 0.0)]);
        assert_eq!(draft.feed(Gesture::Outline, Input::Leave), Outcome::Going);
        assert!(draft.is_empty());
        assert_eq!(draft.feed(Gesture::Outline, Input::Leave), Outcome::PutAway);
    }

    #[test]
    fn crossing_outlines_are_refused_and_can_be_mended() {
        let mut draft = Draft::default();
        for p in [Pt(0.0, 0.0), Pt(2.0, 2.0), Pt(2.0, 0.0), Pt(0.0, 2.0)] {
            click(&mut draft, Gesture::Outline, p);
        }
        assert!(matches!(
            draft.feed(Gesture::Outline, Input::Confirm),
            Outcome::Refused(_)
        ));
        assert_eq!(draft.points().len(), 4);
        draft.feed(Gesture::Outline, Input::TakeBack);
        assert!(matches!(
            draft.feed(Gesture::Outline, Input::Confirm),
            Outcome::Done(_)
        ));
    }

    #[test]
    fn lines_end_with_enter_or_a_second_click() {
        for by_enter in [true, false] {
            let mut draft = Draft::default();
            for p in [Pt(0.0, 0.0), Pt(3.0, 0.0), Pt(3.0, 2.0)] {
                click(&mut draft, Gesture::Line, p);
            }
            let end = if by_enter {
                draft.feed(Gesture::Line, Input::Confirm)
            } else {
                click(&mut draft, Gesture::Line, Pt(3.0, 2.0))
            };
            assert_eq!(
                end,
                Outcome::Done(Figure::Line(vec![Pt(0.0, 0.0), Pt(3.0, 0.0), Pt(3.0, 2.0)]))
            );
        }
    }

    #[test]
    fn devices_point_where_they_are_pulled() {
        let mut draft = Draft::default();
        assert_eq!(
            pull(&mut draft, Gesture::Aim, Pt(1.0, 1.0), Pt(1.0, 3.0)),
            Outcome::Done(Figure::Place {
                at: Pt(1.0, 1.0),
                towards: Some(Pt(1.0, 3.0))
            })
        );
        assert_eq!(
            click(&mut draft, Gesture::Aim, Pt(1.0, 1.0)),
            Outcome::Done(Figure::Place {
                at: Pt(1.0, 1.0),
                towards: None
            })
        );
    }

    #[test]
    fn two_clicks_stretch_as_one_pull_does() {
        let mut draft = Draft::default();
        assert_eq!(
            click(&mut draft, Gesture::Stretch, Pt(0.0, 0.0)),
            Outcome::Going
        );
        assert_eq!(
            click(&mut draft, Gesture::Stretch, Pt(2.0, 0.0)),
            Outcome::Done(Figure::Line(vec![Pt(0.0, 0.0), Pt(2.0, 0.0)]))
        );
    }
}
