//! The bench: readings of a meter against predictions, for page, terminal and interface alike.

mod absent;
mod charts;
mod desk;
mod expected;
mod files;
mod found;
mod grade;
mod inspection;
mod kept;
mod lots_before;
mod magnet;
mod opened;
mod probes;
mod sheet;
mod shelf_lots;
mod strictness;
mod switching;
mod table;
mod usual;
mod view;
mod wire;
mod words;

pub use absent::was_there;
pub use desk::{BenchView, NewSession, SessionChange};
pub use expected::ExpectedView;
pub use files::Imported;
pub use found::FoundView;
pub use grade::GradeView;
pub use inspection::{InspectionBody, InspectionView, PlanBody, PlanView, plan_view};
pub use kept::{KeepBody, KeptLine};
pub use opened::FitWish;
pub use probes::{ProbeBody, ProbeLine};
pub use sheet::{BenchSheet, add_table, sheet};
pub use table::{MeasuredView, TableForm};
pub use view::{ReadingRow, SessionView};
pub use wire::{PlaceBody, ReadingBody};
