//! Surroundings against check data, closed forms and laws; impossible measurements.

mod closed_forms;
mod faults;
mod laws;
mod outdoors;
mod places;
mod site;
mod walk;
