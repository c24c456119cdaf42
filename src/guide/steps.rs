//! The steps of a guide, as testers are asked about them one by one.

use super::section::tasks;
use crate::catalogue::{KitWords, Messages};
use crate::manifest::{Chapter, Kit};
use crate::markdown::{headings, plain};

/// A step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// The same in every language, and from edition to edition as long as its heading stays: the section, and behind a slash
    /// the heading within it.
    pub id: String,
    /// The heading, in a language.
    pub title: String,
}

/// The steps of a kit's guide in order: what there is to print, join and cut, then the publisher's chapters; one that has
/// headings goes by these.
pub fn steps(kit: &Kit, messages: &Messages, words: &KitWords) -> Vec<Step> {
    let ours = tasks(kit).map(|(id, key)| Step { id: id.into(), title: messages.text(key, &[]) });
    ours.chain(kit.guide.chapters.iter().flat_map(|chapter| of_chapter(chapter, words))).collect()
}

fn of_chapter(chapter: &Chapter, words: &KitWords) -> Vec<Step> {
    let say = |text: &str| plain(&words.say(&chapter.context, text).or(text));
    let headings = headings(&chapter.text);
    if headings.is_empty() {
        let title = words.say(&chapter.context, &chapter.title).or(&chapter.title);
        return vec![Step { id: chapter.id().into(), title }];
    }
    let step = |text: &str| Step { id: format!("{}/{}", chapter.id(), slug(&plain(text))), title: say(text) };
    headings.iter().map(|heading| step(&heading.text)).collect()
}

/// Letters and digits of any script in small letters, hyphens between them; 60 of them tell one heading from another.
fn slug(text: &str) -> String {
    let plain: String = text.chars().map(|c| if c.is_alphanumeric() { c } else { ' ' }).collect();
    let slug = plain.to_lowercase().split_whitespace().collect::<Vec<_>>().join("-");
    slug.chars().take(60).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::guide::tests::kit;
    use crate::manifest::GuideTexts;

    #[test]
    fn chapters_go_by_their_headings_and_ids_stay_in_every_language() {
        let chapter = |name: &str, text: &str| Chapter {
            title: name.to_uppercase(),
            text: text.into(),
            file: None,
            context: format!("guide.{name}"),
        };
        let chapters =
            vec![chapter("pocket", "Before.\n\n## Step 1: *turn*\n\nA.\n\n### More\n\n## Step 2\n"), chapter("care", "Wash.")];
        let kit = kit(&["38"], GuideTexts { chapters, ..GuideTexts::default() });
        let french = KitWords::translated([
            ("guide.pocket".into(), "Step 2".into(), "Étape 2".into()),
            ("guide.care".into(), "CARE".into(), "Entretien".into()),
        ]);
        let steps = steps(&kit, &Messages::builtin("fr").unwrap(), &french);
        let told: Vec<_> = steps.iter().map(|step| (step.id.as_str(), step.title.as_str())).collect();
        assert_eq!(told, [("pocket/step-1-turn", "Step 1: turn"), ("pocket/step-2", "Étape 2"), ("care", "Entretien")]);
    }
}
