//! From which side the light comes, in a grower's words.

use serde::Serialize;

use super::LightFactors;
use crate::base::names;

/// Where the brightest upright face gets this many times what the face behind it gets, the plant leans and grows
/// lopsided unless it is turned (common practice, no source).
pub const LOPSIDED: f64 = 3.0;

/// Light that comes mainly from one side.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FromOneSide {
    /// True azimuth of the bright side, degrees clockwise from north; from the overcast sky.
    pub towards_deg: f64,
    /// How many times what the far side gets the near side gets; weakest month.
    pub times: f64,
    pub told: String,
}

/// Whether light at a spot comes from one side in every month, and what to do then. `factors` by month.
#[must_use]
pub fn from_one_side(factors: &[LightFactors]) -> Option<FromOneSide> {
    let weakest = factors
        .iter()
        .min_by(|a, b| a.one_sided.total_cmp(&b.one_sided))?;
    // (front - back) / (front + back) back to front / back; beyond 20 the figure says no more.
    let times = ((1.0 + weakest.one_sided) / (1.0 - weakest.one_sided).max(1e-3)).min(20.0);
    if times < LOPSIDED {
        return None;
    }
    let often = if times < 20.0 {
        format!("{times:.0} times")
    } else {
        "more than 20 times".to_owned()
    };
    Some(FromOneSide {
        towards_deg: weakest.bright_side_deg,
        times,
        told: format!(
            "Light comes from one side, the {}: leaves facing it get {often} what those behind get. Turn the pot a quarter \
             once a week, always the same way round; but leave it as it stands from the first sight of a spike or buds \
             until they open, or they twist.",
            names::compass(weakest.bright_side_deg)
        ),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn with(one_sided: f64, bright_side_deg: f64) -> LightFactors {
        LightFactors {
            one_sided,
            bright_side_deg,
            ..LightFactors::default()
        }
    }

    #[test]
    fn says_the_side_and_how_much_brighter_it_is() {
        let found = from_one_side(&[with(0.6, 225.0), with(0.9, 180.0)]).unwrap();
        assert!((found.times - 4.0).abs() < 1e-9);
        assert!(found.told.contains("the south-west") && found.told.contains("4 times"));
        let black = from_one_side(&[with(1.0, 350.0)]).unwrap();
        assert!(black.told.contains("the north:") && black.told.contains("more than 20 times"));
    }

    #[test]
    fn is_silent_where_light_comes_from_all_around_for_part_of_the_year() {
        assert_eq!(from_one_side(&[with(0.1, 0.0)]), None);
        // A hedge that is bare in winter lets light in from behind.
        assert_eq!(from_one_side(&[with(0.7, 0.0), with(0.3, 0.0)]), None);
        assert_eq!(from_one_side(&[]), None);
    }
}
