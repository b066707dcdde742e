//! Lengths of files in the words of messages: decimal, as operating systems and shops count them.

/// The most that a file may have, in words: `67.1 MB`. Rounded down, so that a file of what is written fits.
pub fn size_limit(bytes: u64) -> String {
    words(bytes, false)
}

/// The length of a file in words: `67.2 MB`, `12.3 kB`, `810 bytes`. Rounded up, so that a file beyond a limit never
/// reads as the limit itself.
pub fn size_found(bytes: u64) -> String {
    words(bytes, true)
}

fn words(bytes: u64, up: bool) -> String {
    let tenths_of = |unit: u64| if up { bytes.div_ceil(unit / 10) } else { bytes / (unit / 10) };
    let (tenths, unit) = match bytes {
        1 => return "1 byte".to_owned(),
        0..1_000 => return format!("{bytes} bytes"),
        // Rounded up, 999 950 bytes are a megabyte.
        _ if tenths_of(1_000) < 10_000 => (tenths_of(1_000), "kB"),
        _ => (tenths_of(1_000_000), "MB"),
    };
    match tenths % 10 {
        0 => format!("{} {unit}", tenths / 10),
        rest => format!("{}.{rest} {unit}", tenths / 10),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::{MOST_ATTACHED_BYTES, MOST_ATTACHMENT_BYTES};

    #[test]
    fn sizes_are_decimal() {
        assert_eq!(size_limit(MOST_ATTACHMENT_BYTES), "67.1 MB");
        assert_eq!(size_limit(MOST_ATTACHED_BYTES), "268.4 MB");
        assert_eq!(
            [0, 1, 999, 1_000, 1_250].map(size_limit),
            ["0 bytes", "1 byte", "999 bytes", "1 kB", "1.2 kB"]
        );
        assert_eq!(size_found(1_250), "1.3 kB");
        assert_eq!(size_found(2_000_000), "2 MB");
        assert_eq!((size_found(999_950), size_limit(999_950)), ("1 MB".to_owned(), "999.9 kB".to_owned()));
    }

    #[test]
    fn a_file_beyond_a_limit_does_not_read_as_the_limit() {
        for limit in [1_000, 123_456, MOST_ATTACHMENT_BYTES, MOST_ATTACHED_BYTES, 70_000_000] {
            assert_ne!(size_found(limit + 1), size_limit(limit));
        }
    }
}
