//! The counts of one minute of one series: a histogram that is only as wide as what was seen.
//!
//! A series has hundreds of bins and thousands of minutes, but within a minute the evenings lie close
//! together, and once an evening is over they no longer move. So a minute keeps the bins between the
//! least and the greatest that it saw, in steps of [`STEP`], two bytes each. What a bin counts beyond two
//! bytes is carried by the series, in [`Carries`].

use std::collections::BTreeMap;

/// Bins that a window grows by: as many as fill the smallest piece of memory there is.
const STEP: usize = 8;
/// What a carry stands for: one more than the greatest count of two bytes.
const CARRY: u32 = 1 << 16;

/// Bins of a series that counted past two bytes, by minute and bin: how often.
pub type Carries = BTreeMap<(usize, usize), u32>;

/// The counts of one minute.
#[derive(Debug, Clone, Default)]
pub struct Window {
    first: u16,
    counts: Box<[u16]>,
}

impl Window {
    /// Counts a bin once more; whether its count went past two bytes and is to be carried.
    pub fn add(&mut self, bin: usize) -> bool {
        if !self.range().contains(&bin) {
            self.widen(bin);
        }
        let count = &mut self.counts[bin - usize::from(self.first)];
        *count = count.wrapping_add(1);
        *count == 0
    }

    fn range(&self) -> std::ops::Range<usize> {
        let first = usize::from(self.first);
        first..first + self.counts.len()
    }

    /// Makes room for a bin.
    #[cold]
    #[allow(clippy::cast_possible_truncation)] // no series has so many bins
    fn widen(&mut self, bin: usize) {
        let old = self.range();
        let step = bin / STEP * STEP;
        let (first, end) = if old.is_empty() {
            (step, step + STEP)
        } else {
            (old.start.min(step), old.end.max(step + STEP))
        };
        let mut counts = vec![0; end - first].into_boxed_slice();
        if !old.is_empty() {
            counts[old.start - first..old.end - first].copy_from_slice(&self.counts);
        }
        self.first = first as u16;
        self.counts = counts;
    }

    /// The bins that were seen in this minute, from the least, with how often.
    pub fn seen<'w>(
        &'w self,
        minute: usize,
        carries: &'w Carries,
    ) -> impl Iterator<Item = (usize, u32)> + 'w {
        let has_carries = !carries.is_empty();
        let count = move |(bin, low): (usize, &u16)| {
            let carried = if has_carries {
                carries.get(&(minute, bin))
            } else {
                None
            };
            let carried = carried.map_or(0, |times| times * CARRY);
            (bin, u32::from(*low) + carried)
        };
        let bins = self.range().zip(&self.counts).map(count);
        bins.filter(|(_, count)| *count > 0)
    }

    /// Bytes held for the counts.
    #[cfg(test)]
    pub fn bytes(&self) -> usize {
        size_of_val(&*self.counts)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_window_holds_every_bin_however_they_come() {
        let (mut window, carries) = (Window::default(), Carries::new());
        for bin in [100, 100, 3, 575, 0, 99, 100] {
            assert!(!window.add(bin));
        }
        let seen: Vec<(usize, u32)> = window.seen(0, &carries).collect();
        assert_eq!(seen, [(0, 1), (3, 1), (99, 1), (100, 3), (575, 1)]);
    }

    #[test]
    fn a_window_is_as_wide_as_what_it_saw() {
        let mut window = Window::default();
        assert_eq!(window.bytes(), 0);
        (0..1_000).for_each(|_| {
            window.add(321);
        });
        assert_eq!(window.bytes(), 2 * STEP);
        window.add(330);
        assert_eq!(window.bytes(), 4 * STEP);
    }

    #[test]
    fn counts_go_past_two_bytes() {
        let (mut window, mut carries) = (Window::default(), Carries::new());
        for _ in 0..2 * CARRY + 5 {
            if window.add(7) {
                *carries.entry((3, 7)).or_default() += 1;
            }
        }
        assert_eq!(
            window.seen(3, &carries).collect::<Vec<_>>(),
            [(7, 2 * CARRY + 5)]
        );
        assert_eq!(window.seen(2, &carries).collect::<Vec<_>>(), [(7, 5)]);
    }
}
