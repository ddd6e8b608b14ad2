//! Lines with a running checksum: each line's is taken of the one before and its own text, so that a line
//! changed, taken out or put in breaks all that follow.
//!
//! A line is `CHECKSUM KIND TEXT`. The checksum is `SipHash` 1-3 (Aumasson and Bernstein 2012), keyed by
//! the one before. It finds accidents and careless edits; it is no signature.

use siphasher::sip::SipHasher13;

/// The checksum before the first line.
pub const START: u64 = 0;
const KEY: u64 = 0x7363_756c_6c65_7279;

/// A line that was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SealedLine {
    /// What it is.
    pub kind: u8,
    /// What it says.
    pub text: String,
}

fn checksum(before: u64, rest: &[u8]) -> u64 {
    SipHasher13::new_with_keys(before, KEY).hash(rest)
}

/// Adds a line; the running checksum after it.
pub fn add(to: &mut Vec<u8>, before: u64, kind: u8, text: &str) -> u64 {
    let rest = format!("{} {}", char::from(kind), escaped(text));
    let sum = checksum(before, rest.as_bytes());
    to.extend_from_slice(format!("{sum:016x} {rest}\n").as_bytes());
    sum
}

/// Reads a line, its end included; nothing if the checksum is not right.
#[must_use]
pub fn read(line: &[u8], before: u64) -> Option<(SealedLine, u64)> {
    let line = std::str::from_utf8(line.strip_suffix(b"\n")?).ok()?;
    let (sum, rest) = line.split_once(' ')?;
    let sum = u64::from_str_radix(sum, 16).ok()?;
    let (kind, text) = rest.split_once(' ')?;
    let [kind] = kind.as_bytes() else { return None };
    let right = checksum(before, rest.as_bytes()) == sum;
    let line = SealedLine {
        kind: *kind,
        text: unescaped(text),
    };
    right.then_some((line, sum))
}

/// A line whose checksum has been looked at before.
#[must_use]
pub fn unsealed(line: &[u8]) -> Option<SealedLine> {
    let line = std::str::from_utf8(line.strip_suffix(b"\n")?).ok()?;
    let (_, rest) = line.split_once(' ')?;
    let (kind, text) = rest.split_once(' ')?;
    Some(SealedLine {
        kind: *kind.as_bytes().first()?,
        text: unescaped(text),
    })
}

/// Names may hold ends of lines; a line may not.
fn escaped(text: &str) -> String {
    text.replace('\\', "\\\\")
        .replace('\n', "\\n")
        .replace('\r', "\\r")
}

fn unescaped(text: &str) -> String {
    if !text.contains('\\') {
        return text.to_string();
    }
    let mut plain = String::with_capacity(text.len());
    let mut letters = text.chars();
    while let Some(letter) = letters.next() {
        match (letter, letter == '\\') {
            (_, true) => match letters.next() {
                Some('n') => plain.push('\n'),
                Some('r') => plain.push('\r'),
                Some(other) => plain.push(other),
                None => {}
            },
            (letter, false) => plain.push(letter),
        }
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_come_back_and_changed_ones_do_not() {
        let mut bytes = Vec::new();
        let first = add(&mut bytes, START, b'p', "1,\"a\\nb\nc\r\",2");
        let end = bytes.len();
        add(&mut bytes, first, b'e', "");
        let (line, sum) = read(&bytes[..end], START).unwrap();
        assert_eq!((line.text.as_str(), sum), ("1,\"a\\nb\nc\r\",2", first));
        assert_eq!(read(&bytes[end..], first).unwrap().0.kind, b'e');
        assert_eq!(read(&bytes[end..], START), None);
        assert_eq!(read(&bytes[..end - 1], START), None);
        for at in 0..end {
            let mut changed = bytes[..end].to_vec();
            changed[at] ^= 1;
            assert_eq!(read(&changed, START), None, "byte {at}");
        }
    }
}
