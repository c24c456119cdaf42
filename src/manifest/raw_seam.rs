//! The key `seams` as it is written: what is measured along lines of the drawing.

use super::words::{Label, LengthText, Line};
use schemars::JsonSchema;
use serde::Deserialize;

/// A length along lines of the drawing: a seam, or binding, elastic, piping, lace that is sewn along it.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(rename = "Seam", deny_unknown_fields)]
pub struct RawSeam {
    /// What the guide calls it, as in `Bias binding`.
    #[schemars(length(max = 60))]
    pub name: Label,
    /// What kind of it serves, as in `cotton, 20 mm wide`.
    #[schemars(length(max = 200))]
    pub what: Option<Line>,
    /// The lines it runs along, by visible name or id, whose lengths are added up; `<size>` stands for the name of each size.
    #[schemars(length(min = 1, max = 60))]
    pub along: Vec<Label>,
    /// How often it runs along them, as in `2` for a left and a right side. Default: 1.
    #[schemars(range(min = 1, max = 500))]
    pub times: Option<u32>,
    /// How long it is against its lines, as in `90 %` for elastic. Default: `100 %`.
    pub share: Option<Line>,
    /// What is added for ends and joins. Default: `0 mm`.
    pub extra: Option<LengthText>,
    /// To which step its length is rounded up. Default: `1 cm`.
    pub round_up: Option<LengthText>,
}
