//! What testers say: the form that they fill in, the files that come back, and all answers on one page and in one table.

mod answer;
mod ask;
mod cause;
mod form;
mod merge;
mod page;
mod remark;
mod table;
#[cfg(test)]
mod tests;

pub use answer::{Answer, LARGEST_FILE};
pub use ask::ask;
pub use form::{FormSheet, FormSource, FormStep, file_name, form};
pub use merge::{About, LeftOut, Merged, Returned, Round};
pub use page::page;
pub use remark::{Part, Remark};
pub use table::{COLUMNS, table};

use schemars::generate::SchemaSettings;

/// The JSON Schema (draft 2020-12) of the file that a tester sends back.
pub fn schema() -> serde_json::Value {
    SchemaSettings::draft2020_12().into_generator().into_root_schema_for::<Answer>().to_value()
}
