//! When the data are looked at, and what each look may err.
//!
//! A mean that is looked at again and again would in the end be found below any limit. So there are few
//! looks, half as many values again from one to the next, and the error that a test may make is spread
//! over them: a half at the first, a sixth at the second, 1/(j (j + 1)) at the j-th, in all one.

/// Sizes at which a test looks at its values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Looks {
    /// Values at the first look.
    pub(super) first: usize,
    /// Values at the last.
    pub(super) most: usize,
}

/// A look: which one, counted from 1, and at how many values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Look {
    pub(super) number: u32,
    pub(super) size: usize,
}

impl Looks {
    /// All of them, in order.
    pub(super) fn all(self) -> impl Iterator<Item = Look> {
        let grow = move |look: &Look| {
            let size = (look.size + look.size.div_ceil(2)).min(self.most);
            (look.size < self.most).then_some(Look {
                number: look.number + 1,
                size,
            })
        };
        std::iter::successors(
            Some(Look {
                number: 1,
                size: self.first,
            }),
            grow,
        )
    }

    /// The last one with at most so many values.
    pub(super) fn last_within(self, values: usize) -> Option<Look> {
        self.all().take_while(|look| look.size <= values).last()
    }

    /// The first one with at least so many values; the last of all where there are none.
    pub(super) fn first_with(self, values: usize) -> Option<Look> {
        let mut all = self.all();
        all.find(|look| look.size >= values || look.size == self.most)
    }
}

impl Look {
    /// The error that a test may make at this look, of what it may make in all.
    pub(super) fn share_of(self, error: f64) -> f64 {
        let j = f64::from(self.number);
        error / (j * (j + 1.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn looks_grow_to_the_last_and_their_errors_add_up() {
        let looks = Looks {
            first: 100,
            most: 400,
        };
        let sizes: Vec<usize> = looks.all().map(|look| look.size).collect();
        assert_eq!(sizes, [100, 150, 225, 338, 400]);
        assert_eq!(looks.last_within(99), None);
        assert_eq!(
            looks.last_within(340).map(|l| (l.number, l.size)),
            Some((4, 338))
        );
        assert_eq!(looks.first_with(151).map(|l| l.size), Some(225));
        assert_eq!(looks.first_with(9_999).map(|l| l.size), Some(400));
        let many = Looks {
            first: 2,
            most: usize::MAX / 4,
        };
        let spent: f64 = many.all().map(|look| look.share_of(0.05)).sum();
        assert!(spent < 0.05 && spent > 0.049, "{spent}");
    }
}
