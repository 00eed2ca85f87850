//! A spot in the open or in a room, hour by hour.

use super::{
    devices::Effect, indoors::IndoorSpot, outdoors::OutdoorSpot, parts::HourParts,
    room_year::Rooms, year::OpenYear,
};
use crate::{
    light::SpotLight,
    site::{Site, Spot},
};

pub(crate) enum SpotModel {
    Outdoors(Box<OutdoorSpot>),
    Indoors(Box<IndoorSpot>),
}

impl SpotModel {
    /// A spot whose room is not drawn counts as outdoors: nothing is known of the room.
    pub fn of(site: &Site, spot: &Spot, light: Option<&SpotLight>, open: &OpenYear) -> Self {
        match spot
            .room
            .as_ref()
            .and_then(|id| Some((id, site.rooms.get(id)?)))
        {
            Some((id, room)) if room.outline.len() >= 3 => {
                Self::Indoors(Box::new(IndoorSpot::of(site, spot, id, room, light)))
            }
            _ => Self::Outdoors(Box::new(OutdoorSpot::of(site, spot, light, open))),
        }
    }

    pub fn parts(&self, open: &OpenYear, rooms: &Rooms, h: usize) -> HourParts {
        match self {
            Self::Outdoors(spot) => spot.parts(open, h),
            Self::Indoors(spot) => spot.parts(open, rooms, h),
        }
    }

    pub fn effects(&self) -> &[Effect] {
        match self {
            Self::Outdoors(spot) => spot.effects(),
            Self::Indoors(spot) => spot.effects(),
        }
    }

    pub fn rain_share(&self, month0: usize) -> f64 {
        match self {
            Self::Outdoors(spot) => spot.rain_share[month0],
            Self::Indoors(_) => 0.0,
        }
    }

    /// Share of the sky into which the spot loses heat.
    pub fn sky_view(&self, month0: usize) -> f64 {
        match self {
            Self::Outdoors(spot) => spot.sky_view(month0),
            Self::Indoors(_) => 0.0,
        }
    }
}
