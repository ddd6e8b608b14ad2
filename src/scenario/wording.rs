//! What a scenario calls its service and its money, and how texts come to say it.
//!
//! `words` writes what may be called something else between marks: `‹evening›`, `‹evenings›`, `‹an evening›`, `‹money›`,
//! and `‹ money›` where nothing is said without a currency. What leaves the program goes through [`Wording::said`] once,
//! where the scenario is at hand: findings and sentences in `study`, pages and drawings in `report`. Names that somebody
//! wrote are never changed.

use std::borrow::Cow;

use super::model::Scenario;
use super::tree::Node;

/// What begins a mark, and what ends it.
pub(super) const MARKS: [char; 2] = ['‹', '›'];
const EVENING: [&str; 2] = ["evening", "evenings"];
/// Where scenarios are shown together that call theirs differently.
const SERVICE: [&str; 2] = ["service", "services"];
const MONEY: &str = "money";

/// The longest name of a service or a currency, characters.
pub const MOST_LETTERS: usize = 20;

/// What a scenario calls its service and its money.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wording {
    one: String,
    many: String,
    currency: Option<String>,
}

impl Default for Wording {
    fn default() -> Self {
        Self::named(EVENING, None)
    }
}

impl Wording {
    /// Of a scenario.
    #[must_use]
    pub fn of(scenario: &Scenario) -> Self {
        let service = &scenario.service;
        let prices = scenario.prices.as_ref();
        Self::from(
            service.called.as_deref(),
            service.called_plural.as_deref(),
            prices.and_then(|prices| prices.currency.as_deref()),
        )
    }

    /// Of a merged file that may not be whole.
    pub(crate) fn of_tree(tree: &Node) -> Self {
        let text = |table: &str, key: &str| tree.table()?.get(table)?.node.text_of(key);
        Self::from(
            text("service", "called"),
            text("service", "called_plural"),
            text("prices", "currency"),
        )
    }

    /// Of scenarios that are shown together: what they do not all say is said in general words. Who has no prices has no
    /// say in the currency.
    #[must_use]
    pub fn shared<'s>(all: impl IntoIterator<Item = &'s Scenario>) -> Self {
        let mut named: Option<Self> = None;
        let mut currencies = Vec::new();
        for scenario in all {
            let own = Self::of(scenario);
            if scenario.prices.is_some() {
                currencies.push(own.currency.clone());
            }
            let is_one = |shared: &Self| (&shared.one, &shared.many) == (&own.one, &own.many);
            named = Some(match named {
                Some(shared) if !is_one(&shared) => Self::named(SERVICE, None),
                _ => own,
            });
        }
        let first = currencies.first().cloned().flatten();
        Self {
            currency: first.filter(|first| currencies.iter().all(|c| c.as_ref() == Some(first))),
            ..named.unwrap_or_default()
        }
    }

    fn named([one, many]: [&str; 2], currency: Option<String>) -> Self {
        Self {
            one: one.to_owned(),
            many: many.to_owned(),
            currency,
        }
    }

    fn from(one: Option<&str>, many: Option<&str>, currency: Option<&str>) -> Self {
        let one = one.unwrap_or(EVENING[0]);
        let many = many.map_or_else(|| plural(one), str::to_owned);
        Self {
            one: one.to_owned(),
            many,
            currency: currency.map(str::to_owned),
        }
    }

    /// One service: `lunch`.
    #[must_use]
    pub fn one(&self) -> &str {
        &self.one
    }

    /// Several: `lunches`.
    #[must_use]
    pub fn many(&self) -> &str {
        &self.many
    }

    /// What prices are in, if the scenario says so.
    #[must_use]
    pub fn currency(&self) -> Option<&str> {
        self.currency.as_deref()
    }

    /// A unit of a measure: of money, the currency.
    #[must_use]
    pub fn unit<'a>(&'a self, unit: &'a str) -> &'a str {
        let is_money = unit == MONEY;
        self.currency().filter(|_| is_money).unwrap_or(unit)
    }

    /// A text of ours with this scenario's words in place of its marks.
    #[must_use]
    pub fn said<'t>(&self, text: &'t str) -> Cow<'t, str> {
        if !text.contains(MARKS[0]) {
            return Cow::Borrowed(text);
        }
        let mut said = String::with_capacity(text.len());
        let mut rest = text;
        while let Some((before, after)) = rest.split_once(MARKS[0]) {
            said.push_str(before);
            let word = after.split_once(MARKS[1]);
            let Some((word, after)) =
                word.and_then(|(word, after)| Some((self.word(word)?, after)))
            else {
                // Somebody's own mark.
                said.push(MARKS[0]);
                rest = after;
                continue;
            };
            said.push_str(&word);
            rest = after;
        }
        Cow::Owned(said + rest)
    }

    /// The same of a text that is kept.
    pub(crate) fn say(&self, text: &mut String) {
        if let Cow::Owned(said) = self.said(text) {
            *text = said;
        }
    }

    fn word(&self, mark: &str) -> Option<String> {
        Some(match mark {
            "evening" => self.one.clone(),
            "evenings" => self.many.clone(),
            "an evening" => format!("{} {}", article(&self.one), self.one),
            "money" => self.currency().unwrap_or(MONEY).to_owned(),
            " money" => self
                .currency()
                .map_or_else(String::new, |c| format!(" {c}")),
            _ => return None,
        })
    }
}

/// By the rules of spelling: lunches, days, parties.
fn plural(one: &str) -> String {
    let ends = |ends: &[&str]| ends.iter().any(|end| one.ends_with(end));
    if ends(&["s", "x", "z", "ch", "sh"]) {
        return format!("{one}es");
    }
    match one.strip_suffix('y') {
        Some(stem) if !stem.ends_with(['a', 'e', 'i', 'o', 'u']) => format!("{stem}ies"),
        _ => format!("{one}s"),
    }
}

fn article(noun: &str) -> &'static str {
    let first = noun.chars().next().map(|c| c.to_ascii_lowercase());
    match first {
        Some('a' | 'e' | 'i' | 'o' | 'u') => "an",
        _ => "a",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lunch_is_no_evening() {
        let text = "In 3 of 9 ‹evenings›, ‹an evening› cost 5‹ money› (in ‹money›): ‹one› ‹";
        let lunch = Wording::from(Some("lunch"), None, Some("crowns"));
        assert_eq!(
            lunch.said(text),
            "In 3 of 9 lunches, a lunch cost 5 crowns (in crowns): ‹one› ‹"
        );
        assert_eq!(
            Wording::default().said(text),
            "In 3 of 9 evenings, an evening cost 5 (in money): ‹one› ‹"
        );
        assert_eq!(lunch.said("Friday evening"), "Friday evening", "a name");
    }

    #[test]
    fn plurals_are_spelt_by_rule_unless_they_are_given() {
        for (one, many) in [
            ("lunch", "lunches"),
            ("day", "days"),
            ("party", "parties"),
            ("breakfast", "breakfasts"),
            ("mass", "masses"),
        ] {
            assert_eq!(Wording::from(Some(one), None, None).many(), many);
        }
        assert_eq!(
            Wording::from(Some("feast"), Some("feasting"), None).many(),
            "feasting"
        );
    }

    #[test]
    fn only_money_is_in_a_currency() {
        let crowns = Wording::from(None, None, Some("crowns"));
        assert_eq!(
            [crowns.unit("money"), crowns.unit("min")],
            ["crowns", "min"]
        );
        assert_eq!(Wording::default().unit("money"), "money");
    }
}
