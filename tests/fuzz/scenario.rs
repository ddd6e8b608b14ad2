//! The reader of scenarios against whatever a fuzzer makes of the shipped ones. It needs a nightly Rust and `cargo-fuzz`:
//!
//! ```sh
//! mkdir -p tests/fuzz/corpus
//! cargo +nightly fuzz run --fuzz-dir tests/fuzz scenario tests/fuzz/corpus scenarios -- -max_len=16384 -max_total_time=600
//! ```
//!
//! Every text is a scenario or has mistakes that can be shown, with places that are in the text. Nothing panics, and no
//! text leads to a file. What a text says is not played: an evening may be as long as it likes.

#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    match scullery::load_text("fuzz.toml", text, None) {
        Ok(scenario) => {
            assert_eq!(scenario.files.len(), 1);
            // Only a room that has been worked out is known to stand.
            let _ = scullery::sheet(&scenario).findings();
        }
        Err(mistakes) => {
            assert!(!mistakes.is_empty());
            for mistake in mistakes.iter() {
                if let Some(place) = mistakes.location(mistake) {
                    // The end of the text may be the place of what is missing, a line below the last.
                    assert!((1..=text.lines().count() + 1).contains(&place.line));
                    assert!(place.column >= 1);
                }
            }
            assert!(!mistakes.to_string().contains('\x1b'));
        }
    }
});
