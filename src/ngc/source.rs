//! Where a text comes from: anything that can be read from its start as often as is wanted.

use std::convert::Infallible;
use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom};
use std::ops::ControlFlow;

/// Bytes read from a file at once.
const BLOCK: usize = 1 << 16;

/// A text that is read in blocks of bytes, so that no more than a block of it need be held.
pub trait Source {
    /// What may go wrong while it is read.
    type Error;

    /// Hands over the bytes from the start, block by block, until `take` has had enough.
    ///
    /// # Errors
    /// If it can not be read.
    fn blocks(&self, take: &mut dyn FnMut(&[u8]) -> ControlFlow<()>) -> Result<(), Self::Error>;
}

/// Held in memory: nothing can go wrong.
impl Source for [u8] {
    type Error = Infallible;

    fn blocks(&self, take: &mut dyn FnMut(&[u8]) -> ControlFlow<()>) -> Result<(), Infallible> {
        let _ = take(self);
        Ok(())
    }
}

impl Source for str {
    type Error = Infallible;

    fn blocks(&self, take: &mut dyn FnMut(&[u8]) -> ControlFlow<()>) -> Result<(), Infallible> {
        self.as_bytes().blocks(take)
    }
}

/// A file on disk, read from its start each time; it must be one that can be wound back.
impl Source for File {
    type Error = io::Error;

    fn blocks(&self, take: &mut dyn FnMut(&[u8]) -> ControlFlow<()>) -> io::Result<()> {
        let mut file = self;
        file.seek(SeekFrom::Start(0))?;
        let mut buffer = vec![0; BLOCK];
        loop {
            let count = match file.read(&mut buffer) {
                Ok(0) => return Ok(()),
                Ok(count) => count,
                Err(e) if e.kind() == io::ErrorKind::Interrupted => continue,
                Err(e) => return Err(e),
            };
            if take(&buffer[..count]).is_break() {
                return Ok(());
            }
        }
    }
}

/// Hands over the lines of a text one by one, without line feed and carriage return, until
/// `take` has had enough. Of a line no more than 2048 bytes are handed over.
///
/// # Errors
/// If the text can not be read.
pub fn each_line<S: Source + ?Sized>(
    source: &S,
    mut take: impl FnMut(&[u8]) -> ControlFlow<()>,
) -> Result<(), S::Error> {
    let mut lines = Lines::default();
    source.blocks(&mut |block| lines.take(block, &mut take))?;
    let _ = lines.finish(&mut take);
    Ok(())
}

/// Bytes of a line that are kept: more than 256 characters of four bytes, so that a cut line is
/// still seen to be too long.
const KEPT: usize = 2048;

/// Blocks cut into lines.
#[derive(Default)]
pub(super) struct Lines {
    /// The start of a line whose end has not come yet.
    open: Vec<u8>,
    /// Whether such a line is there.
    any: bool,
    /// Whoever takes the lines had enough.
    enough: bool,
}

impl Lines {
    /// The lines that end in a block.
    pub(super) fn take(
        &mut self,
        block: &[u8],
        take: &mut impl FnMut(&[u8]) -> ControlFlow<()>,
    ) -> ControlFlow<()> {
        let mut rest = block;
        while let Some(end) = rest.iter().position(|&b| b == b'\n') {
            let line = &rest[..end];
            rest = &rest[end + 1..];
            let flow = if self.any {
                self.keep(line);
                self.close(take)
            } else {
                take(bare(&line[..line.len().min(KEPT)]))
            };
            if flow.is_break() {
                self.enough = true;
                return flow;
            }
        }
        if !rest.is_empty() {
            self.any = true;
            self.keep(rest);
        }
        ControlFlow::Continue(())
    }

    /// The last line, if no line feed ends it.
    pub(super) fn finish(
        &mut self,
        take: &mut impl FnMut(&[u8]) -> ControlFlow<()>,
    ) -> ControlFlow<()> {
        match self.any && !self.enough {
            true => self.close(take),
            false => ControlFlow::Continue(()),
        }
    }

    fn keep(&mut self, part: &[u8]) {
        let room = KEPT.saturating_sub(self.open.len());
        self.open.extend_from_slice(&part[..part.len().min(room)]);
    }

    fn close(&mut self, take: &mut impl FnMut(&[u8]) -> ControlFlow<()>) -> ControlFlow<()> {
        let flow = take(bare(&self.open));
        self.open.clear();
        self.any = false;
        flow
    }
}

/// A line without its carriage return.
fn bare(line: &[u8]) -> &[u8] {
    line.strip_suffix(b"\r").unwrap_or(line)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Bytes that come in blocks of a given size.
    struct Blocks<'a>(&'a [u8], usize);

    impl Source for Blocks<'_> {
        type Error = Infallible;

        fn blocks(&self, take: &mut dyn FnMut(&[u8]) -> ControlFlow<()>) -> Result<(), Infallible> {
            for block in self.0.chunks(self.1) {
                if take(block).is_break() {
                    break;
                }
            }
            Ok(())
        }
    }

    fn lines<S: Source<Error = Infallible> + ?Sized>(source: &S, most: usize) -> Vec<String> {
        let mut out = Vec::new();
        let Ok(()) = each_line(source, |line| {
            out.push(String::from_utf8_lossy(line).into_owned());
            if out.len() < most { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
        });
        out
    }

    #[test]
    fn who_has_enough_gets_no_more_and_not_the_last_line_either() {
        for size in [1, 3, 100] {
            assert_eq!(lines(&Blocks(b"a\nb\nc", size), 2), ["a", "b"]);
        }
    }

    #[test]
    fn of_a_long_line_only_the_start_is_kept() {
        let long = vec![b'x'; 5000];
        for size in [7, 5000] {
            assert_eq!(lines(&Blocks(&long, size), 9), ["x".repeat(KEPT)]);
        }
    }

    proptest! {
        #[test]
        fn lines_end_at_line_feeds_in_blocks_of_any_size(
            text in "[a\r\n]{0,40}",
            size in 1_usize..9,
        ) {
            let wanted: Vec<&str> = text
                .split_inclusive('\n')
                .map(|line| line.strip_suffix('\n').unwrap_or(line))
                .map(|line| line.strip_suffix('\r').unwrap_or(line))
                .collect();
            prop_assert_eq!(&lines(&Blocks(text.as_bytes(), size), usize::MAX), &wanted);
            prop_assert_eq!(&lines(text.as_str(), usize::MAX), &wanted);
        }
    }
}
