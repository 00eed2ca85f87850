//! How well a spot suits a plant in a week, 0 to 100, and why. Pure functions of needs and conditions.

mod bloom;
mod difference;
mod factor;
mod hazard;
mod judge;
mod offer;
pub mod rules;
mod score;
mod table;
mod tally;
mod wants;
mod week;
mod why;

pub use bloom::{BloomCheck, BloomPlace};
pub use difference::{Difference, Shift, difference, difference_over};
pub use factor::{Factor, FactorScore, response};
pub use hazard::{Hazard, HazardKind, NoonLeaf, noon_leaf};
pub use judge::{score, score_by};
pub use score::{Limiting, Score, ScoreWord};
pub use table::{BestPlant, BestSpot, Mean, Scores};
pub use week::{SpotWeek, spot_weeks};
pub use why::{Explanation, explain, remedy, why};
