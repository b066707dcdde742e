//! Ranges of figures: against the check data, against exact quantiles, and by laws that no table gives.

mod exact;
mod laws;
mod table;
