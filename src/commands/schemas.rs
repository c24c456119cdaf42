//! Schemas of the results that `--format json` gives, made from the record types themselves.

use super::lays::LaysRecord;
use super::outputs::{
    BuildRecord, BuildsRecord, CataloguesRecord, CheckRecord, ExplainRecord, FeedbackRecord, FileRecord, GuideRecord,
    MergeRecord, PictureRecord, PlanRecord, ProofRecord, ReleaseRecord, ReviewRecord, SheetFileRecord, StatusRecord,
};
use crate::verify::{ChangesRecord, VerdictRecord};
use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde_json::Value;

/// The JSON Schema (draft 2020-12) of each command's result, by the command's name; committed in `docs/schema`.
pub fn schemas() -> Vec<(&'static str, Value)> {
    vec![
        ("check", of::<CheckRecord>()),
        ("plan", of::<PlanRecord>()),
        ("build", of::<BuildRecord>()),
        ("builds", of::<BuildsRecord>()),
        ("sheet", of::<SheetFileRecord>()),
        ("picture", of::<PictureRecord>()),
        ("lays", of::<LaysRecord>()),
        ("guide", of::<GuideRecord>()),
        ("proof", of::<ProofRecord>()),
        ("catalogue-update", of::<CataloguesRecord>()),
        ("catalogue-status", of::<StatusRecord>()),
        ("catalogue-merge", of::<MergeRecord>()),
        ("catalogue-file", of::<FileRecord>()),
        ("verify", of::<VerdictRecord>()),
        ("review", of::<ReviewRecord>()),
        ("release", of::<ReleaseRecord>()),
        ("compare", of::<ChangesRecord>()),
        ("explain", of::<ExplainRecord>()),
        ("feedback", of::<FeedbackRecord>()),
    ]
}

/// What is written, not what could be read: an absent value is `null`, and its key is there.
fn of<T: JsonSchema>() -> Value {
    SchemaSettings::draft2020_12().for_serialize().into_generator().into_root_schema_for::<T>().to_value()
}
