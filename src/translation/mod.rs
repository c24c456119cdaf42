//! Translating a kit: what there is to translate, the catalogues that hold the translations, and what state they are in.
//!
//! A catalogue is a PO file (GNU gettext) in the kit's folder `languages`. It is made from the kit's texts, goes to a
//! translator and comes back; nothing that a translator wrote is ever lost on the way.

mod header;
mod receive;
mod state;
mod texts;
mod update;
pub mod xliff;

pub use header::Header;
pub use receive::{Received, receive};
pub use state::{State, Status, spoken, status, unseen};
pub use texts::{DRAWING, Kind, KitText, OURS, Room, kit_texts};
pub use update::{Tally, Update, update};
