//! The named colours of the two themes, read from `assets/themes`.

use std::sync::LazyLock;

use egui::Color32;
use serde::Deserialize;

use super::colour::{Ramp, contrast, read};
use crate::{needs::StageName, scoring::ScoreWord};

macro_rules! tokens {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {
        /// Colours by what they stand for.
        #[derive(Clone, Debug, Deserialize)]
        #[serde(deny_unknown_fields)]
        pub struct Tokens {
            $($(#[$doc])* #[serde(deserialize_with = "read")] pub $name: Color32,)+
            /// Score, from harmed to thrives. Use [`Tokens::score_colour`].
            pub score: Ramp,
            /// Light, from dark to bright.
            pub light: Ramp,
            /// Cold of nights, from mild to hard.
            pub cold: Ramp,
            /// Movement of air, from still to strong.
            pub moving_air: Ramp,
        }

        #[cfg(test)]
        impl Tokens {
            /// Every single colour by its name.
            fn named(&self) -> Vec<(&'static str, Color32)> {
                vec![$((stringify!($name), self.$name)),+]
            }
        }
    };
}

tokens! {
    /// Ground of the desks.
    paper,
    /// A sheet lying on the paper: cards, side sheets, fields.
    sheet,
    /// The window's margins: top edge and ribbon.
    margin,
    /// Hairlines.
    line,
    /// Outlines of controls: 3:1 against paper.
    line_strong,
    /// Text.
    ink,
    /// Text that steps back.
    ink_soft,
    /// What is selected, focused, or to be pressed first.
    accent,
    /// Text on `accent`.
    on_accent,
    /// Ground behind what is selected.
    accent_wash,
    /// Ground behind what the pointer is on.
    hover_wash,
    caution,
    caution_wash,
    fault,
    fault_wash,
    /// Ink of cast shadows behind popups; used with transparency.
    shade,
    /// The garden where nothing else lies.
    outdoors,
    /// Floors of rooms.
    floor,
    /// Solid buildings seen from above.
    building,
    /// Outlines of walls.
    wall,
    /// Body of walls.
    wall_fill,
    lawn,
    paving,
    soil,
    glass,
    glass_line,
    leaf,
    leaf_deep,
    water,
    cloth,
    /// Shadow on the ground; used with transparency.
    shadow,
    /// Sun on a floor or bench.
    sunlight,
    /// Ground of a spot.
    spot,
    spot_line,
    pot,
    heat,
    frost,
    warm_night,
    draught,
    /// Night on the dial and the ribbon.
    night,
    /// Day on the dial.
    day,
    growth,
    setting,
    bud,
    bloom,
    after_bloom,
    rest,
    /// Words on the pale part of a ramp.
    on_pale,
    /// Words on the deep part of a ramp.
    on_deep,
    /// Ground of a score that is not known.
    unknown,
}

impl Tokens {
    /// Colour of a score of 0..=100 points; `None` is unknown.
    #[must_use]
    pub fn score_colour(&self, points: Option<f64>) -> Color32 {
        points.map_or(self.unknown, |p| self.score.at(p / 100.0))
    }

    /// Colour of a word of the score, that of the middle of its range.
    #[must_use]
    pub fn word_colour(&self, word: ScoreWord) -> Color32 {
        let points = match word {
            ScoreWord::Harmed => 12.5,
            ScoreWord::Suffers => 37.5,
            ScoreWord::Copes => 60.0,
            ScoreWord::Suits => 77.5,
            ScoreWord::Thrives => 95.0,
        };
        self.score_colour(Some(points))
    }

    /// Black or white, whichever reads better on the colour of a ramp.
    #[must_use]
    pub fn text_on(&self, ground: Color32) -> Color32 {
        if contrast(self.on_deep, ground) >= contrast(self.on_pale, ground) {
            self.on_deep
        } else {
            self.on_pale
        }
    }

    #[must_use]
    pub fn stage_colour(&self, stage: StageName) -> Color32 {
        match stage {
            StageName::Growth => self.growth,
            StageName::Initiation => self.setting,
            StageName::Bud => self.bud,
            StageName::Bloom => self.bloom,
            StageName::AfterBloom => self.after_bloom,
            StageName::Rest => self.rest,
        }
    }
}

/// The themes are compiled in, and a test reads them: a fault here never reaches a grower.
fn compiled_in(text: &str) -> Tokens {
    ron::from_str(text).unwrap_or_else(|e| unreachable!("a theme of this program: {e}"))
}

pub(super) static LIGHT: LazyLock<Tokens> =
    LazyLock::new(|| compiled_in(include_str!("../../../assets/themes/light.ron")));
pub(super) static DARK: LazyLock<Tokens> =
    LazyLock::new(|| compiled_in(include_str!("../../../assets/themes/dark.ron")));

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::theme::{colour::oklab, of};

    fn both(check: impl Fn(&str, &Tokens)) {
        check("light", of(false));
        check("dark", of(true));
    }

    /// WCAG 2.2: success criterion 1.4.3 asks 4.5:1 of text, 1.4.11 asks 3:1 of what carries meaning without being text.
    const TEXT: f64 = 4.5;
    const MARK: f64 = 3.0;
    /// Of the words that are read most: criterion 1.4.6, level AAA.
    const STRONG: f64 = 7.0;

    /// What stands on what: a colour, its grounds, and the contrast asked for.
    const PAIRS: &[(&str, &[&str], f64)] = &[
        (
            "ink",
            &[
                "paper",
                "sheet",
                "margin",
                "hover_wash",
                "accent_wash",
                "caution_wash",
                "fault_wash",
                "outdoors",
                "floor",
                "building",
                "lawn",
                "paving",
                "unknown",
                "growth",
                "setting",
                "bud",
                "bloom",
                "after_bloom",
                "rest",
            ],
            STRONG,
        ),
        ("ink", &["soil", "spot"], TEXT),
        (
            "ink_soft",
            &[
                "paper",
                "sheet",
                "margin",
                "hover_wash",
                "accent_wash",
                "caution_wash",
                "fault_wash",
                "outdoors",
                "floor",
                "building",
                "lawn",
                "paving",
                "unknown",
            ],
            TEXT,
        ),
        (
            "accent",
            &["paper", "sheet", "margin", "hover_wash", "accent_wash"],
            TEXT,
        ),
        ("on_accent", &["accent"], TEXT),
        ("caution", &["caution_wash", "paper", "sheet"], TEXT),
        ("fault", &["fault_wash", "paper", "sheet"], TEXT),
        ("frost", &["paper", "sheet", "margin"], TEXT),
        ("spot_line", &["paper", "sheet", "outdoors", "floor"], TEXT),
        ("spot_line", &["spot", "lawn", "paving", "soil"], MARK),
        (
            "line_strong",
            &["paper", "sheet", "margin", "hover_wash"],
            MARK,
        ),
        ("warm_night", &["margin"], MARK),
        (
            "wall",
            &[
                "floor",
                "outdoors",
                "building",
                "lawn",
                "paving",
                "wall_fill",
                "spot",
            ],
            MARK,
        ),
        (
            "glass_line",
            &["floor", "outdoors", "building", "lawn", "paving"],
            MARK,
        ),
        ("leaf_deep", &["outdoors", "lawn", "paving", "soil"], MARK),
        ("heat", &["floor"], MARK),
        ("draught", &["floor"], MARK),
        ("water", &["floor", "outdoors"], MARK),
        ("cloth", &["outdoors", "lawn", "paving"], MARK),
        ("day", &["night"], MARK),
    ];

    /// Colours that carry nothing by themselves, and why.
    const PLAIN: &[(&str, &str)] = &[
        ("line", "hairlines between rows: space parts them too"),
        ("shade", "the soft shadow below menus"),
        ("glass", "filled in between lines of glass"),
        ("leaf", "filled in below the deep rim of a crown"),
        ("pot", "filled in within a rim of the walls' colour"),
        (
            "shadow",
            "cast shadows; the dial and the horizon say when the sun comes",
        ),
        (
            "sunlight",
            "patches of sun; the spot's figures say how much",
        ),
        (
            "on_pale",
            "chosen against each colour of a ramp, tested there",
        ),
        (
            "on_deep",
            "chosen against each colour of a ramp, tested there",
        ),
    ];

    #[test]
    fn every_pair_of_colours_has_its_contrast() {
        both(|theme, t| {
            let named: std::collections::BTreeMap<_, _> = t.named().into_iter().collect();
            let of = |name: &str| *named.get(name).unwrap_or_else(|| panic!("no token {name}"));
            for (mark, grounds, least) in PAIRS {
                for ground in *grounds {
                    let ratio = contrast(of(mark), of(ground));
                    assert!(ratio >= *least, "{theme}: {mark} on {ground} {ratio:.2}");
                }
            }
        });
    }

    #[test]
    fn no_colour_is_left_out_of_the_pairs() {
        for (name, _) in of(false).named() {
            let paired = PAIRS
                .iter()
                .any(|(mark, grounds, _)| *mark == name || grounds.contains(&name));
            let plain = PLAIN.iter().any(|(p, _)| *p == name);
            assert!(
                paired != plain,
                "{name}: in the pairs, or with a reason why not"
            );
        }
    }

    #[test]
    fn text_on_any_score_reads() {
        both(|theme, t| {
            for points in 0..=100 {
                let ground = t.score_colour(Some(f64::from(points)));
                let ratio = contrast(t.text_on(ground), ground);
                assert!(ratio >= 4.5, "{theme}: {points} {ratio:.2}");
            }
        });
    }

    #[test]
    fn ramps_run_one_way_in_lightness_and_in_even_steps() {
        both(|theme, t| {
            for (name, ramp) in [
                ("score", &t.score),
                ("light", &t.light),
                ("cold", &t.cold),
                ("moving air", &t.moving_air),
            ] {
                let labs: Vec<[f64; 3]> = (0..=20)
                    .map(|k| oklab(ramp.at(f64::from(k) / 20.0)))
                    .collect();
                let rises = labs[20][0] > labs[0][0];
                let steps: Vec<f64> = labs
                    .windows(2)
                    .map(|w| {
                        assert_eq!(w[1][0] > w[0][0], rises, "{theme} {name} turns back");
                        w[0].iter()
                            .zip(w[1])
                            .map(|(a, b)| (a - b).powi(2))
                            .sum::<f64>()
                            .sqrt()
                    })
                    .collect();
                let (least, most) = steps
                    .iter()
                    .fold((f64::MAX, 0.0_f64), |(l, m), s| (l.min(*s), m.max(*s)));
                assert!(
                    most / least < 1.6,
                    "{theme} {name}: {least:.4} to {most:.4}"
                );
            }
        });
    }

    /// Full dichromacy as seen through linear sRGB: Machado, Oliveira & Fernandes 2009, table for severity 1.0.
    const DICHROMATS: [(&str, [[f64; 3]; 3]); 3] = [
        (
            "protanopia",
            [
                [0.152_286, 1.052_583, -0.204_868],
                [0.114_503, 0.786_281, 0.099_216],
                [-0.003_882, -0.048_116, 1.051_998],
            ],
        ),
        (
            "deuteranopia",
            [
                [0.367_322, 0.860_646, -0.227_968],
                [0.280_085, 0.672_501, 0.047_413],
                [-0.011_820, 0.042_940, 0.968_881],
            ],
        ),
        (
            "tritanopia",
            [
                [1.255_528, -0.076_749, -0.178_779],
                [-0.078_411, 0.930_809, 0.147_602],
                [0.004_733, 0.691_367, 0.303_900],
            ],
        ),
    ];

    #[test]
    fn score_words_stay_apart_for_colour_blind_eyes() {
        let words = [
            ScoreWord::Harmed,
            ScoreWord::Suffers,
            ScoreWord::Copes,
            ScoreWord::Suits,
            ScoreWord::Thrives,
        ];
        both(|theme, t| {
            for (eye, matrix) in DICHROMATS {
                let seen: Vec<[f64; 3]> = words
                    .iter()
                    .map(|w| {
                        oklab(crate::app::theme::colour::through(
                            t.word_colour(*w),
                            &matrix,
                        ))
                    })
                    .collect();
                for pair in seen.windows(2) {
                    let apart = pair[0]
                        .iter()
                        .zip(pair[1])
                        .map(|(a, b)| (a - b).powi(2))
                        .sum::<f64>()
                        .sqrt();
                    // About three just noticeable differences of 0.02 in OKLab.
                    assert!(apart >= 0.05, "{theme} {eye}: {apart:.3}");
                }
            }
        });
    }
}
