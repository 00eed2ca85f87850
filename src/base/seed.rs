//! Randomness that gives the same numbers on every machine and in every release.

use rand_chacha::{ChaCha8Rng, rand_core::SeedableRng};

/// A stream of random numbers for one purpose. Equal seed and purpose give equal numbers.
#[must_use]
pub fn stream(seed: u64, purpose: &str) -> ChaCha8Rng {
    // FNV-1a: fixed for ever, unlike the standard library's hasher.
    let hash = purpose.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |h, b| {
        (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3)
    });
    ChaCha8Rng::seed_from_u64(seed ^ hash)
}
