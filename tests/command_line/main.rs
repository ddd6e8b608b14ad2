//! The program as a person meets it: what it prints, what it writes, how it leaves.
//!
//! | file | about |
//! |---|---|
//! | `simulate` | table, JSON, options |
//! | `compare` | paired scenarios: table, files, figures by hand, bits |
//! | `tables` | the three CSV files |
//! | `dictionary` | what the data dictionary says of all CSV files |
//! | `same_bits` | threads, replays and seeds |
//! | `refused` | command lines and files with mistakes |
//! | `disk` | what cannot be written, and readers who leave early |
//! | `interrupted` | Ctrl-C, TERM and HUP |
//! | `unfinished` | an evening that cannot end |
//! | `choose` | the cheapest design that meets its targets |
//! | `terminal` | what a terminal would obey in texts of files |
//! | `spreadsheet` | what a spreadsheet would run in tables |
//! | `threads` | how many threads there are |
//! | `started` | `new`: questions on a terminal, and the file that comes of them |
//! | `others` | `check`, `diary`, `explain`, `schema`, `--help` |
//! | `conventions` | manual pages, completions, colour, the last line, quiet documents |
//! | `prose` | no name of the program's own in what people read |
//! | `version` | the version, and the commit that the build script finds |
//! | `random` | random files and random command lines |

#[cfg(target_os = "linux")]
#[path = "../common/running.rs"]
#[allow(dead_code)] // each binary uses its own part of it
mod running;

mod choose;
mod compare;
mod conventions;
mod dictionary;
mod disk;
mod interrupted;
mod others;
mod program;
mod prose;
mod random;
mod refused;
mod same_bits;
mod simulate;
mod spreadsheet;
mod started;
mod tables;
mod terminal;
mod threads;
mod unfinished;
mod units;
mod version;
mod wording;
