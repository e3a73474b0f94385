//! What guards people, money and promises: every rule, limit, verdict and price just below and just above where it changes.

mod causes;
mod cautions;
mod coverage;
mod data;
mod limits;
mod money;
mod one_number;
mod shelf;
mod sure;
