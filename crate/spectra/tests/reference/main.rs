//! Check data made outside the project: every file's provenance and licence is told in
//! `tests/reference/README.md` at the root of the repository.

mod adaptation;
mod difference;
mod display;
mod eye;
mod lights;
mod looks;
mod rendering;
mod table;
mod temperature;
mod transmitted;
