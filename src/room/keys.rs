//! Keys of random streams.

/// A name as a key of random streams, so that adding or removing other rows changes nothing for it.
#[must_use]
pub fn name_key(name: &str) -> u64 {
    siphasher::sip::SipHasher13::new().hash(name.as_bytes())
}
