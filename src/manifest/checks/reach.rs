//! What printers cannot reach, as it is told before the paper is known: four lengths, or a share of home printers.

use crate::diagnostic::Diagnostic;
use crate::manifest::{Paper, Press};
use crate::printers::Printers;
use crate::units::{Length, Margins};

/// Share of home printers that the built-in set `home` serves, as a part of 1.
const HOME_SHARE: f64 = 0.99;
/// Least share that a manifest may ask for, in per cent: fewer buyers than that is no margin but a gamble. Our own choice.
const LEAST_PERCENT: f64 = 50.0;
/// Whose margins stand in for those of a home paper that no printer description knows.
const STAND_IN: &str = "a4";

/// Margins that may still depend on the paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reach {
    /// The same four on every paper.
    Fixed(Margins),
    /// What 99 % of home printers reach; on wide paper the figures of A4.
    Home,
    /// What that share of home printers reaches, a part of 1; of no meaning on wide paper.
    Share(f64),
}

impl Reach {
    /// The margins of one paper; refuses a share of home printers on paper that they do not take.
    pub fn on(self, paper: &Paper) -> Result<Margins, Diagnostic> {
        let share = match self {
            Self::Fixed(margins) => return Ok(margins),
            Self::Home => HOME_SHARE,
            Self::Share(_) if paper.press == Press::Wide => {
                return Err(error!("margins-share", id = paper.id));
            }
            Self::Share(share) => share,
        };
        let known = Printers::known();
        let margins = known.margins_for(&paper.id, share).or_else(|| known.margins_for(STAND_IN, share));
        margins.map(rounded_up).ok_or_else(|| error!("margins-share/no-printer", id = paper.id))
    }
}

/// A share of home printers, as in `95 %` or `99.5%`; none if the text is not meant as one.
pub fn share(text: &str) -> Option<Result<Reach, Diagnostic>> {
    let Some(number) = text.strip_suffix('%').map(str::trim_end) else {
        // A number alone can be nothing else, so the hint can spell it out.
        let number = text.parse::<f64>().ok().filter(|number| number.is_finite())?;
        return Some(Err(form(text, if number <= 1.0 { number * 100.0 } else { number })));
    };
    let percent = number.parse::<f64>().ok().filter(|percent| (LEAST_PERCENT..=100.0).contains(percent));
    let meant = || number.replace(',', ".").parse().unwrap_or(f64::NAN);
    Some(percent.map(|percent| Reach::Share(percent / 100.0)).ok_or_else(|| form(text, meant())))
}

/// Refuses a share; `meant` is the per cent that the publisher may have had in mind.
fn form(text: &str, meant: f64) -> Diagnostic {
    let finding = error!("margins-share-form", text);
    // 0.57 times 100 is a hair less than 57.
    let meant = (meant * 1000.0).round() / 1000.0;
    if (LEAST_PERCENT..=100.0).contains(&meant) {
        return finding.hint(say!("margins-share-form/meant", meant));
    }
    finding.hint(say!("margins-share-form/range", least = LEAST_PERCENT))
}

/// Every side rounded up to the next 0.1 mm, so that no printer is lost.
fn rounded_up(margins: Margins) -> Margins {
    // A hair less first, since 12.7 mm must not become 12.8 mm by a float.
    let up = |length: Length| Length::mm((length.to_mm() * 10.0 - 1e-6).ceil() / 10.0);
    Margins { top: up(margins.top), right: up(margins.right), bottom: up(margins.bottom), left: up(margins.left) }
}
