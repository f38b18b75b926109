//! Numbers packed small for a page: differences as bytes of seven bits, then deflated, as text.

use base64::Engine;
use flate2::Compression;
use flate2::write::DeflateEncoder;
use std::io::Write;

/// Bytes under way into a page.
#[derive(Clone, Debug, Default)]
pub(super) struct Pack {
    bytes: Vec<u8>,
}

impl Pack {
    /// Whole numbers as differences from one to the next.
    pub(super) fn differences(&mut self, values: impl IntoIterator<Item = i64>) {
        let mut own = Vec::new();
        let mut last = 0;
        for value in values {
            varint(&mut own, zigzag(value.wrapping_sub(last)));
            last = value;
        }
        self.stream(&own);
    }

    /// One byte each.
    pub(super) fn bytes(&mut self, values: impl IntoIterator<Item = u8>) {
        let own: Vec<u8> = values.into_iter().collect();
        self.stream(&own);
    }

    /// A stream: its length in four bytes, the least first, and its bytes.
    fn stream(&mut self, own: &[u8]) {
        // A page holds megabytes: the length fits.
        let length = u32::try_from(own.len()).unwrap_or(u32::MAX);
        self.bytes.extend(length.to_le_bytes());
        self.bytes.extend(own);
    }

    /// Deflated (RFC 1951) and in base64 (RFC 4648).
    pub(super) fn text(self) -> String {
        deflated(&self.bytes)
    }
}

/// Deflated (RFC 1951) and in base64 (RFC 4648).
pub(super) fn deflated(bytes: &[u8]) -> String {
    let mut encoder = DeflateEncoder::new(Vec::new(), Compression::new(7));
    // Writing to memory does not fail; if it did, the page would have an empty stream.
    let packed = encoder.write_all(bytes).and_then(|()| encoder.finish()).unwrap_or_default();
    base64::engine::general_purpose::STANDARD.encode(packed)
}

fn zigzag(value: i64) -> u64 {
    // The sign goes to the lowest bit, so that small numbers of either sign are short.
    ((value << 1) ^ (value >> 63)) as u64
}

fn varint(out: &mut Vec<u8>, mut value: u64) {
    while value >= 0x80 {
        out.push((value & 0x7f) as u8 | 0x80);
        value >>= 7;
    }
    out.push(value as u8);
}
