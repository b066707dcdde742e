//! Spectra and colours: compared with check data from outside the project, and tested by laws that always hold.

mod adaptation;
mod difference;
mod display;
mod eye;
mod laws;
mod lights;
mod looks;
mod rendering;
mod table;
mod temperature;
mod transmitted;
