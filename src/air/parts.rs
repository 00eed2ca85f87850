//! The temperature at a spot as a sum of parts, each with its cause.

use super::plume::Stream;

/// What moves the air of a spot away from the air around it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Cause {
    /// The open air, or the room's.
    Base,
    /// Heat lost to the night sky by the ground about the spot.
    NightSky,
    /// What hangs over the spot keeps the night sky off.
    Cover,
    /// Cold air that gathers here.
    Hollow,
    /// Fleece or film over the pots.
    NightCover,
    /// A wall that the sun or the house has warmed.
    Wall,
    /// Paving that the sun has warmed.
    Paving,
    /// Sun in a place without wind.
    Lee,
    /// Warm air above, cool below in a room.
    Layers,
    /// Cold at the glass.
    Glass,
    /// Cut off from the room by a drawn curtain.
    Curtain,
    /// Sun behind glass.
    SunOnSill,
    /// Heaters, vents and leaks.
    Devices,
    /// The grower's readings.
    Correction,
}

pub(crate) const CAUSES: usize = 14;

impl Cause {
    pub const ALL: [Self; CAUSES] = [
        Self::Base,
        Self::NightSky,
        Self::Cover,
        Self::Hollow,
        Self::NightCover,
        Self::Wall,
        Self::Paving,
        Self::Lee,
        Self::Layers,
        Self::Glass,
        Self::Curtain,
        Self::SunOnSill,
        Self::Devices,
        Self::Correction,
    ];

    /// In the grower's words.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Base => "air around",
            Self::NightSky => "heat lost to the night sky",
            Self::Cover => "cover overhead",
            Self::Hollow => "cold hollow",
            Self::NightCover => "frost cover over the pots",
            Self::Wall => "warm wall",
            Self::Paving => "warm paving",
            Self::Lee => "sun out of the wind",
            Self::Layers => "warm air above cool",
            Self::Glass => "cold at the glass",
            Self::Curtain => "behind the drawn curtain",
            Self::SunOnSill => "sun behind glass",
            Self::Devices => "heaters, vents and leaks",
            Self::Correction => "your thermometer readings",
        }
    }
}

/// One hour at a spot before it is summed up.
#[derive(Clone, Copy, Debug)]
pub(crate) struct HourParts {
    /// K, in the order of [`Cause::ALL`]; the base is in °C.
    pub parts: [f64; CAUSES],
    pub vapour_kpa: f64,
    /// Air speed without devices, m/s.
    pub speed_m_s: f64,
    /// Heaters, vents, fans and leaks together.
    pub device: Stream,
    /// The leaks' part of it, K.
    pub leak_k: f64,
    /// Heat radiation of stoves on leaves that face them, W/m².
    pub stove_w_m2: f64,
}

impl HourParts {
    pub fn new(base_c: f64, vapour_kpa: f64) -> Self {
        let mut parts = [0.0; CAUSES];
        parts[Cause::Base as usize] = base_c;
        Self {
            parts,
            vapour_kpa,
            speed_m_s: 0.0,
            device: Stream::default(),
            leak_k: 0.0,
            stove_w_m2: 0.0,
        }
    }

    pub fn add(&mut self, cause: Cause, kelvin: f64) {
        self.parts[cause as usize] += kelvin;
    }

    pub fn air_c(&self) -> f64 {
        self.parts.iter().sum()
    }

    /// With what the devices bring; streams from different sides add by their squares.
    pub fn speed_with_devices_m_s(&self) -> f64 {
        self.speed_m_s.hypot(self.device.speed_m_s)
    }
}
