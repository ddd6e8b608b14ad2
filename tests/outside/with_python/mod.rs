//! What is asked of Python. `tests/run` leaves these tests out by this name where Python cannot be had.

mod library;
mod lines;
mod parties;
mod python;
mod tables;
