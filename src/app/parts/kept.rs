//! What was worked out once, so that a frame in which nothing has changed costs nothing.

use std::sync::Arc;

/// An answer, kept until what it was worked out from is another.
pub struct Kept<K, V>(Option<(K, V)>);

impl<K, V> Default for Kept<K, V> {
    fn default() -> Self {
        Self(None)
    }
}

impl<K: PartialEq, V> Kept<K, V> {
    /// The answer for `of`, worked out anew only where the last one was for something else.
    pub fn get(&mut self, of: K, work: impl FnOnce() -> V) -> &V {
        let kept = self.0.take().filter(|(was, _)| *was == of);
        let (_, answer) = self.0.insert(kept.unwrap_or_else(|| (of, work())));
        answer
    }
}

/// Shared results that are equal only if they are the very same in memory: looking into them would cost what keeping saves.
pub struct Same<T>(Arc<T>);

impl<T> Same<T> {
    #[must_use]
    pub fn of(shared: &Arc<T>) -> Self {
        Self(Arc::clone(shared))
    }
}

impl<T> PartialEq for Same<T> {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn is_worked_out_once_for_each_question() {
        let mut kept = Kept::default();
        let mut worked = 0;
        let (one, other) = (Arc::new(7), Arc::new(7));
        for (shared, week) in [(&one, 3), (&one, 3), (&one, 4), (&other, 4), (&other, 4)] {
            let answer = *kept.get((Same::of(shared), week), || {
                worked += 1;
                week * 2
            });
            assert_eq!(answer, week * 2);
        }
        assert_eq!(worked, 3);
    }
}
