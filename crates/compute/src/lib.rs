//! One question a line, one answer a line: fields, forces and factors for scripts.
//!
//! Each line is a JSON object with an `id` of any kind, what is wanted and the bodies; the answer carries the same `id`.
//! Lengths are millimetres, polarisations tesla, angles of arcs degrees, rotation vectors radians; the units are in the names, and
//! text with a unit of its own (`"3/4 in"`) is taken in their place.
//!
//! | `want` | takes | gives |
//! | --- | --- | --- |
//! | `B` | `bodies`, `points_mm`, optional `side` | `B_T` |
//! | `H` | the same | `H_A_per_m` |
//! | `gradient` | `bodies`, `points_mm` | `gradient_T_per_m`: by point, rows of `dBi/dx, dBi/dy, dBi/dz` |
//! | `mean_B` | `bodies`, `points_mm`, `element` | `B_T` |
//! | `force` | `on`, `from` | `force_N`, `torque_Nm` about the centre of `on`, `error_N` |
//! | `force_curve` | `on`, `from`, `direction`, `distances_mm` | the same, one for each distance by which `on` is moved |
//! | `work` | `on`, `from`, `direction` | `work_J` to take `on` far away |
//! | `plate_pull` | `bodies`, `gap_mm` | `force_N`, `error_N` |
//! | `demagnetising_factor` | `body` | `magnetometric`, `fluxmetric` along its axis |
//! | `turned_solve` | `parts`, `force_on`, `points_mm`, optional `applied_T` | `force_N`, `B_T`, `past_knee`, `error_estimate` by finite elements |
//!
//! An element of `bodies` or `from` may also be an arrangement, which stands for many: `{"arrangement": "pile", "of": {body}, "count": 3}`; see
//! [`magnetics::arrangement`].
//!
//! A line that cannot be answered gives `{"id": ..., "error": {"message", "field", "hint"}}`, its `field` a JSON pointer into the line.
//! Bodies that overlap are answered with `warnings`; for a force that is an error.
//!
//! ```
//! let line = r#"{"id": 1, "want": "demagnetising_factor", "body": {"shape": "sphere", "diameter_mm": 8}}"#;
//! let reply = compute::answer_line(line);
//! assert!(reply.answered && reply.text.contains("0.333"));
//! ```
//!
//! [`oracle`] holds the values from outside the project that ours are compared with.

mod arrange;
mod body;
mod budget;
mod dialect;
pub mod oracle;
mod read;
mod reply;
mod request;
mod stream;
mod turned;

pub use arrange::bodies;
pub use budget::Budget;
pub use dialect::in_stated_units;
pub use read::{LineError, Place};
pub use reply::{Reply, answer, answer_line};
pub use request::warnings;
pub use stream::stream;
pub use turned::{parts, refused};
