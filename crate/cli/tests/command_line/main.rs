//! The built command from outside: its figures against tests/reference, its keys, its refusals.

mod attachments;
mod colours;
mod drawing;
mod glasses;
mod golden_figures;
mod inner_stone;
mod lines;
mod lobes;
mod new_windows;
mod outdoors;
mod pictures;
mod pieces_drawn;
mod refusals;
mod reports;
mod reveals;
mod rooms;
mod run;
mod skies;
mod stone;
mod uncertain;
mod variants;
