//! The roster: YAML text in, testers with their sizes, paper and language out, each checked against the kit.

use crate::diagnostic::{Diagnostic, Findings, offered};
use crate::manifest::{Kit, Label, Line, Places, is_device, small_file};
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::BTreeMap;

/// Letters of the longest id.
const ID_LETTERS: usize = 20;

/// Who tests a kit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Roster {
    /// In the order of the file; none has the id of another.
    pub testers: Vec<Tester>,
}

/// One tester and what they get.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tester {
    /// 1 to 20 letters, digits and hyphens.
    pub id: String,
    /// Names of sizes, in the kit's order; empty for a one-size kit.
    pub sizes: Vec<String>,
    /// Id of a paper of the kit.
    pub paper: String,
    /// Tag of a language of the kit.
    pub language: String,
    /// Line of the roster, from 1.
    pub line: u32,
}

/// Who tests a kit, as it is written.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(title = "kitwright roster", deny_unknown_fields)]
struct RawRoster {
    /// One entry a tester.
    #[schemars(length(min = 1, max = 500))]
    testers: Vec<RawTester>,
}

/// One tester, as it is written.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(rename = "Tester", deny_unknown_fields)]
struct RawTester {
    /// A number or short word: 1 to 20 letters, digits and hyphens.
    id: Label,
    /// Sizes to test. Default: all.
    #[schemars(length(max = 60))]
    sizes: Option<Vec<Label>>,
    /// Paper to print on. Default: the first home paper.
    paper: Option<Label>,
    /// Language of the guide. Default: the source language.
    language: Option<Line>,
}

impl Roster {
    /// Reads a roster; `name` is the file as findings shall call it. There is one only if nothing is wrong with it.
    pub fn read(name: &str, text: &str, kit: &Kit) -> (Option<Self>, Findings) {
        let (raw, places, mut findings) = small_file::<RawRoster>(name, text);
        let Some(raw) = raw else { return (None, findings) };
        let check = Check { kit, places: &places };
        let testers = raw.testers.iter().enumerate().map(|(index, raw)| check.tester(index, raw, &mut findings)).collect();
        let roster = Self { testers };
        check.twins(&roster, &mut findings);
        (Some(roster).filter(|_| !findings.has_errors()), findings)
    }

    /// The tester with an id, in large or small letters.
    pub fn tester(&self, id: &str) -> Option<&Tester> {
        self.testers.iter().find(|tester| tester.id.eq_ignore_ascii_case(id))
    }
}

/// Whether a text may be the id of a tester: safe in the name of a file, and on paper.
pub fn is_id(text: &str) -> bool {
    let plain = text.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-');
    plain && !is_device(text) && (1..=ID_LETTERS).contains(&text.len()) && !text.starts_with('-') && !text.ends_with('-')
}

/// One check of a roster against its kit.
struct Check<'a> {
    kit: &'a Kit,
    places: &'a Places,
}

impl Check<'_> {
    fn tester(&self, index: usize, raw: &RawTester, findings: &mut Findings) -> Tester {
        let id = raw.id.0.trim().to_owned();
        let mut refuse = |key: &str, finding: Diagnostic| findings.push(finding.at(self.place(index, key)));
        if !is_id(&id) {
            refuse(".id", error!("tester-id", id));
        }
        self.sizes(&id, raw, &mut refuse);
        let paper = raw.paper.as_ref().map_or_else(|| self.first_paper(), |paper| paper.0.trim().to_owned());
        if !self.papers().any(|known| known == paper) {
            refuse(".paper", error!("tester-choice/paper", id, name = paper).hint(offered(&paper, self.papers())));
        }
        let language = raw.language.as_ref().map_or_else(|| self.first_language(), |language| language.0.trim().to_owned());
        if !self.languages().any(|known| known == language) {
            refuse(
                ".language",
                error!("tester-choice/language", id, name = language).hint(offered(&language, self.languages())),
            );
        }
        let line = self.place(index, ".id").line.unwrap_or(1);
        Tester { id, sizes: self.chosen(raw), paper, language, line }
    }

    fn sizes(&self, id: &str, raw: &RawTester, refuse: &mut impl FnMut(&str, Diagnostic)) {
        let known = || self.kit.sizes.iter().map(|size| size.name.as_str());
        for (index, size) in raw.sizes.iter().flatten().enumerate() {
            let name = size.0.trim();
            let at = format!(".sizes[{index}]");
            if self.kit.sizes.is_empty() {
                refuse(&at, error!("tester-choice/no-sizes", id, name));
            } else if !known().any(|known| known == name) {
                refuse(&at, error!("tester-choice/size", id, name).hint(offered(name, known())));
            }
        }
    }

    /// The sizes that are to be tested, in the kit's order and each once.
    fn chosen(&self, raw: &RawTester) -> Vec<String> {
        let wanted = raw.sizes.as_deref().unwrap_or_default();
        let chosen = self.kit.sizes.iter().map(|size| &size.name);
        chosen.filter(|name| wanted.is_empty() || wanted.iter().any(|size| size.0.trim() == **name)).cloned().collect()
    }

    fn papers(&self) -> impl Iterator<Item = &str> + Clone {
        self.kit.papers.iter().map(|setup| setup.paper.id.as_str())
    }

    fn first_paper(&self) -> String {
        let home = self.kit.papers.iter().find(|setup| setup.paper.press == crate::manifest::Press::Home);
        home.or(self.kit.papers.first()).map(|setup| setup.paper.id.clone()).unwrap_or_default()
    }

    fn languages(&self) -> impl Iterator<Item = &str> + Clone {
        self.kit.languages.iter().map(String::as_str)
    }

    /// The source language stands first among the languages if it is one of them.
    fn first_language(&self) -> String {
        self.kit.languages.first().unwrap_or(&self.kit.source_language).clone()
    }

    fn twins(&self, roster: &Roster, findings: &mut Findings) {
        let mut seen = BTreeMap::new();
        for (index, tester) in roster.testers.iter().enumerate() {
            match seen.get(&tester.id.to_ascii_lowercase()) {
                Some(line) => findings.push(error!("tester-twice", id = tester.id, line).at(self.place(index, ".id"))),
                None => drop(seen.insert(tester.id.to_ascii_lowercase(), tester.line)),
            }
        }
    }

    fn place(&self, index: usize, key: &str) -> crate::diagnostic::Place {
        self.places.of_path(&format!("testers[{index}]{key}"))
    }
}
