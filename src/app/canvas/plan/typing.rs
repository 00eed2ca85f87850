//! Figures typed while something is being drawn: a length, or both sides of a rectangle; and an angle that the line then
//! keeps to.

use crate::app::canvas::measure;

#[derive(Clone, Debug, Default)]
pub(super) struct Typing {
    pub length: String,
    pub angle: String,
    /// Which of the two is being typed.
    pub on_angle: bool,
}

impl Typing {
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.length.trim().is_empty() && self.angle.trim().is_empty()
    }

    pub fn clear(&mut self) {
        *self = Self::default();
    }

    /// Takes over what belongs to the figure in hand.
    pub fn push(&mut self, words: &str) {
        let on_angle = self.on_angle;
        let belongs = |c: &char| {
            c.is_ascii_digit()
                || if on_angle {
                    "-.,°".contains(*c)
                } else {
                    ".,'\" mcftinxby×".contains(*c)
                }
        };
        let figure = if on_angle {
            &mut self.angle
        } else {
            &mut self.length
        };
        figure.extend(words.chars().filter(belongs));
        if figure.len() > 24 {
            figure.clear();
        }
    }

    /// Takes the last character back; false if there was none.
    pub fn pop(&mut self) -> bool {
        if self.on_angle {
            self.angle.pop().is_some()
        } else {
            self.length.pop().is_some()
        }
    }

    /// Plan azimuth, degrees clockwise from plan-up, -360..=360; `None` while nothing of the kind stands there.
    #[must_use]
    pub fn azimuth_deg(&self) -> Option<f64> {
        let text = self.angle.trim().trim_end_matches('°').replace(',', ".");
        text.parse().ok().filter(|a: &f64| a.abs() <= 360.0)
    }

    /// A length, m.
    #[must_use]
    pub fn metres(&self, feet: bool) -> Option<f64> {
        measure::typed(&self.length, feet)
    }

    /// Width and depth of a rectangle, m: `4 x 3`, `4 by 3`.
    #[must_use]
    pub fn sides(&self, feet: bool) -> Option<(f64, f64)> {
        let (width, depth) = ["by", "x", "×"]
            .iter()
            .find_map(|sign| self.length.split_once(sign))?;
        Some((measure::typed(width, feet)?, measure::typed(depth, feet)?))
    }

    /// Why nothing can be made of what stands there; `None` if it can.
    #[must_use]
    pub fn fault(&self, feet: bool) -> Option<String> {
        let length = self.length.trim();
        if !length.is_empty() && self.metres(feet).is_none() && self.sides(feet).is_none() {
            return Some(format!(
                "\"{length}\" is not a length; type a figure such as 3.2 or 10ft 6in, or 4 x 3 for a rectangle"
            ));
        }
        let angle = self.angle.trim();
        (!angle.is_empty() && self.azimuth_deg().is_none()).then(|| {
            format!("\"{angle}\" is not an angle; type degrees clockwise from plan-up, such as 90")
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(length: &str, angle: &str) -> Typing {
        let mut typing = Typing::default();
        typing.push(length);
        typing.on_angle = true;
        typing.push(angle);
        typing
    }

    #[test]
    fn lengths_angles_and_rectangles_are_understood() {
        let t = typed("3.2m", "37,5°");
        assert_eq!((t.metres(false), t.azimuth_deg()), (Some(3.2), Some(37.5)));
        assert_eq!(typed("4 x 3", "").sides(false), Some((4.0, 3.0)));
        assert_eq!(typed("4by310cm", "").sides(false), Some((4.0, 3.1)));
        let (w, d) = typed("10ft 6in x 8ft", "").sides(true).unwrap();
        assert!((w - 3.2004).abs() < 1e-9 && (d - 2.4384).abs() < 1e-9);
        assert_eq!(typed("3", "-90").fault(false), None);
    }

    #[test]
    fn what_is_no_figure_is_said() {
        assert!(typed("3 x", "").fault(false).unwrap().contains("length"));
        assert!(typed("", "400").fault(false).unwrap().contains("angle"));
    }
}
