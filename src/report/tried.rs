//! Below a finding: what the change that is advised buys and costs, how to write it, and what was tried in vain.

use super::layout::{Page, line, printable, wrapped};
use super::number::{decimals, finite, half_width_text, text};
use super::units::Units;
use crate::service::measure::Measure;
use crate::study::advice::MIN_EVENINGS;
use crate::study::evening::{Effect, Fate, Finding, Trial, Tried};
use crate::words::advice as words;

/// Measures of which less is better, besides what the finding is about, in the order they are printed.
const SHOWN: [Measure; 12] = [
    Measure::WaitMean,
    Measure::DriedOnShare,
    Measure::SentOutSoiledShare,
    Measure::ShortCovers,
    Measure::FloorTubsMax,
    Measure::MachineStopped,
    Measure::UnderTemperatureRacks,
    Measure::CrewOutAfterClose,
    Measure::Overtime,
    Measure::LabourHours,
    Measure::Water,
    Measure::Cost,
];
/// Changes that are listed of each fate; of more only how many.
const LISTED: usize = 4;
/// Where the lines of a finding begin.
const MARGIN: &str = "  ";
/// And what follows the first.
const REST: &str = "          ";

/// All lines below a finding; none if nothing was tried.
/// What is advised for several findings is written out for the first, `before` the others.
pub(super) fn lines(out: &mut Page, tried: &[Tried], before: &[Finding], units: Units) {
    let best = tried.first().filter(|one| one.fate == Fate::Advised);
    if let Some(best) = best {
        effects(out, best, units);
        let known = before.iter().filter_map(|one| one.tried.first());
        let mut known = known.filter(|tried| tried.fate == Fate::Advised);
        if known.any(|tried| tried.variant == best.variant) {
            line(
                out,
                &format!("{MARGIN}{} {}", words::WRITE, words::AS_ABOVE),
            );
        } else {
            variant(out, &best.variant);
        }
    }
    for (fate, head) in [
        (Fate::Less, words::LESS),
        (Fate::TooDear, words::TOO_DEAR),
        (Fate::Unsure, words::PROMISING),
        (Fate::TooRare, words::TOO_RARE),
        (Fate::TooLittle, words::TOO_LITTLE),
        (Fate::InVain, words::IN_VAIN),
        (Fate::Harms, words::HARMS),
        (Fate::BreaksGuide, words::BREAKS),
    ] {
        // Beside what is known to help nobody needs what may.
        if fate == Fate::Unsure && best.is_some() {
            continue;
        }
        let of_fate = || tried.iter().filter(|one| one.fate == fate);
        // Two together that come to what one comes to alone are worth no line.
        let fewest = of_fate().map(|one| one.parts).min();
        let of_fate = of_fate().filter(|one| Some(one.parts) == fewest);
        let shown = |one: &Tried| match fate {
            Fate::TooDear => with_its_price(one, units),
            _ => printable(&one.change),
        };
        let mut changes: Vec<String> = of_fate.map(shown).collect();
        if changes.len() > LISTED + 1 {
            let more = words::more(changes.len() - LISTED);
            changes.truncate(LISTED);
            changes.push(more);
        }
        if !changes.is_empty() {
            wrapped(out, &changes.join("; "), &format!("{MARGIN}{head} "), REST);
        }
    }
}

/// How advice was tried, in one line.
pub(super) fn how(out: &mut Page, trial: Option<&Trial>) {
    let Some(trial) = trial else {
        return;
    };
    let said = match trial {
        Trial { too_few: true, .. } => words::too_few(MIN_EVENINGS),
        Trial { changes: 0, .. } => return,
        _ => {
            let Trial {
                changes,
                evenings,
                screened,
                estimated,
                ..
            } = *trial;
            let picked = Some(trial.picked).filter(|picked| *picked > 0);
            words::trial(changes, evenings, screened, estimated)
                + &picked.map_or_else(String::new, words::picked)
        }
    };
    line(out, "");
    wrapped(out, &said, "", "");
}

/// What it buys, then what it costs, beyond chance.
fn effects(out: &mut Page, best: &Tried, units: Units) {
    let Some((about, others)) = best.effects.split_first() else {
        return;
    };
    let others = SHOWN.iter().filter_map(|measure| {
        let is_it = |effect: &&Effect| effect.of.is_none() && effect.info == measure.info();
        others.iter().find(is_it)
    });
    let differs = |effect: &&Effect| {
        let beyond = |half_width: f64| effect.difference.abs() > half_width;
        effect.difference != 0.0 && effect.half_width.is_some_and(beyond)
    };
    let (less, more): (Vec<&Effect>, Vec<&Effect>) = others
        .filter(differs)
        .partition(|effect| effect.difference < 0.0);
    let buys: Vec<String> = std::iter::once(about)
        .chain(less)
        .map(|one| said(one, units))
        .collect();
    let costs: Vec<String> = more.into_iter().map(|one| said(one, units)).collect();
    for (head, all) in [(words::BUYS, buys), (words::COSTS, costs)] {
        if !all.is_empty() {
            wrapped(out, &all.join(", "), &format!("{MARGIN}{head} "), REST);
        }
    }
}

/// A change with what it gains and the labour that it takes.
fn with_its_price(one: &Tried, units: Units) -> String {
    let labour = Measure::LabourHours.info();
    let about = one.effects.first();
    let labour = one.effects.iter().find(|effect| effect.info == labour);
    let figures: Vec<String> = about
        .into_iter()
        .chain(labour)
        .map(|one| said(one, units))
        .collect();
    format!("{} ({})", printable(&one.change), figures.join(", "))
}

/// `overtime −23 ± 4 min`.
fn said(effect: &Effect, units: Units) -> String {
    let shown = units.shown(effect.info.unit);
    let half_width = finite(effect.half_width).map(|h| h * shown.factor);
    let most = (effect.info.decimals as i32 + shown.decimals).max(0);
    let places = decimals(half_width, most);
    let sign = if effect.difference > 0.0 { "+" } else { "" };
    let difference = text(Some(effect.difference * shown.factor), places);
    let half_width = half_width_text(half_width, places);
    let half_width = half_width.map_or_else(String::new, |h| format!(" ± {h}"));
    let measure = words::measure(effect.info, effect.of.as_deref());
    let unit = match effect.info.unit {
        "1" => format!(" {}", words::POINTS),
        "money" => "‹ money›".to_owned(),
        _ => format!(" {}", shown.unit),
    };
    format!("{measure} {sign}{difference}{half_width}{unit}")
}

/// The change as a file has it, line by line so that it can be pasted.
fn variant(out: &mut Page, variant: &str) {
    line(out, &format!("{MARGIN}{}", words::WRITE));
    for text in variant.lines().filter(|text| !text.is_empty()) {
        line(out, &format!("    {}", printable(text)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::width::Width;

    fn effect(measure: Measure, without: f64, difference: f64, half_width: f64) -> Effect {
        Effect {
            info: measure.info(),
            of: None,
            n: 80,
            without,
            difference,
            half_width: Some(half_width),
        }
    }

    fn tried(change: &str, fate: Fate, effects: Vec<Effect>) -> Tried {
        Tried {
            change: change.to_owned(),
            variant:
                "version = 1\nbased_on = \"friday.toml\"\ntitle = \"\u{1b}Shared\"\n\n[[roster]]\n\
                      name = \"loader\"\nduties = [\"load\", \"unload\"]\n"
                    .to_owned(),
            parts: 1,
            fate,
            evenings: 80,
            p_value: None,
            effects,
        }
    }

    fn shown(tried: &[Tried], units: Units) -> String {
        let mut page = Page::new(Width::FIXED, &crate::scenario::wording::Wording::default());
        lines(&mut page, tried, &[], units);
        page.into_text()
    }

    /// What is no more than chance is not shown, nor is what nobody would pay for.
    #[test]
    fn what_it_buys_and_costs_and_what_was_tried_in_vain() {
        let effects = vec![
            effect(Measure::Overtime, 96.0, -41.3, 4.21),
            effect(Measure::WaitMean, 11.2, -0.4, 0.5),
            effect(Measure::DriedOnShare, 0.061, -0.012, 0.004),
            effect(Measure::Pieces, 6_700.0, 12.0, 1.0),
            effect(Measure::Water, 900.0, 30.0, 2.0),
            effect(Measure::Cost, 486.2, 12.41, 0.4),
        ];
        let all = [
            tried("duties shared", Fate::Advised, effects),
            tried("one more sink", Fate::Less, Vec::new()),
            tried("a longer drop-off", Fate::InVain, Vec::new()),
            tried("half as many racks again", Fate::InVain, Vec::new()),
            tried("one person fewer", Fate::Harms, Vec::new()),
            tried("a faster belt", Fate::BreaksGuide, Vec::new()),
        ];
        insta::assert_snapshot!(shown(&all, Units::Us));
    }

    #[test]
    fn nothing_is_bought_where_nothing_is_advised() {
        assert_eq!(shown(&[], Units::Metric), "");
        let effects = vec![effect(Measure::Overtime, 96.0, -1.0, 4.0)];
        let vain = [tried("one more sink", Fate::InVain, effects)];
        assert_eq!(
            shown(&vain, Units::Metric),
            "  tried in vain: one more sink\n"
        );
    }

    /// What is to be written stands once, however many findings it is for.
    #[test]
    fn the_same_change_is_written_once() {
        let of = |measure| {
            let mut one = crate::report::examples::friday().findings[0].clone();
            one.tried = vec![tried(
                "duties shared",
                Fate::Advised,
                vec![effect(measure, 9.0, -4.0, 1.0)],
            )];
            one
        };
        let findings = [of(Measure::Overtime), of(Measure::WaitMean)];
        let mut page = Page::new(Width::FIXED, &crate::scenario::wording::Wording::default());
        lines(&mut page, &findings[0].tried, &[], Units::Us);
        lines(&mut page, &findings[1].tried, &findings[..1], Units::Us);
        let text = page.into_text();
        assert_eq!(text.matches("[[roster]]").count(), 1, "{text}");
        assert!(text.trim_end().ends_with("write: as above"), "{text}");
    }
}
