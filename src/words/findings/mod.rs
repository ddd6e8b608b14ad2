//! Sentences of findings: what was seen, with its figures, and what one might do. Whether one is worth saying, how grave
//! it is and its code are `study`'s.

pub mod choice;
pub mod coming;
pub mod comparison;
pub mod evening;
pub mod help;
pub mod limits;
pub mod rules;
pub mod sheet;
pub mod store;
pub mod supply;

/// The two sentences of a finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// What was seen, with figures.
    pub evidence: String,
    /// What one might do.
    pub advice: String,
}

fn said(evidence: String, advice: impl Into<String>) -> Said {
    let advice = advice.into();
    Said { evidence, advice }
}

/// A mean number of things, with a decimal as long as it means something.
fn about(mean: f64, thing: &str) -> String {
    match mean {
        _ if mean < 0.05 => format!("under 0.1 {thing}s"),
        _ if mean < 9.95 => format!("{mean:.1} {thing}s"),
        _ => format!("{mean:.0} {thing}s"),
    }
}

/// In how many evenings something happened, of how many, and the 95 % interval of that share.
#[derive(Debug, Clone, Copy)]
pub struct Often {
    /// Evenings in which it happened.
    pub count: u64,
    /// Evenings played.
    pub n: u64,
    /// Ends of the interval.
    pub interval: (f64, f64),
}

/// How often something happened.
fn often(often: Often) -> String {
    let Often { count, n, interval } = often;
    if count == n {
        return match n {
            1 => "in the one ‹evening› played".to_owned(),
            _ => format!("in every one of {n} ‹evenings›"),
        };
    }
    let (low, high) = (100.0 * interval.0, 100.0 * interval.1);
    let share = 100.0 * count as f64 / n.max(1) as f64;
    // Neither "0 %" of what did happen nor "100 %" of what did not always.
    let how = if (0.95..99.5).contains(&share) {
        format!("in {share:.0} % of the ‹evenings›")
    } else {
        format!("in {count} of {n} ‹evenings›")
    };
    let places = usize::from(high < 2.0);
    format!("{how} (95 % interval {low:.places$} to {high:.places$} %)")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::wording::Wording;

    #[test]
    fn how_often_is_said_as_one_would_say_it() {
        let of = |count, n, low, high| {
            let interval = (low, high);
            let said = often(Often { count, n, interval });
            Wording::default().said(&said).into_owned()
        };
        assert_eq!(of(1000, 1000, 0.996, 1.0), "in every one of 1000 evenings");
        assert_eq!(of(1, 1, 0.2, 1.0), "in the one evening played");
        assert_eq!(
            of(264, 1000, 0.238, 0.292),
            "in 26 % of the evenings (95 % interval 24 to 29 %)"
        );
        assert_eq!(
            of(3, 1000, 0.001, 0.0088),
            "in 3 of 1000 evenings (95 % interval 0.1 to 0.9 %)"
        );
        assert_eq!(
            of(998, 1000, 0.9927, 0.9995),
            "in 998 of 1000 evenings (95 % interval 99 to 100 %)"
        );
    }
}
