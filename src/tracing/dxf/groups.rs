//! A DXF file's pairs of code and value, gathered into records.

/// What follows a group 0, up to the next.
pub(super) struct Record<'a> {
    /// The value of the group 0.
    pub(super) kind: &'a str,
    /// Where it begins, bytes.
    pub(super) offset: usize,
    /// The groups after it.
    pub(super) groups: Vec<(i32, &'a str)>,
}

impl<'a> Record<'a> {
    /// The first value with a code.
    pub(super) fn text(&self, code: i32) -> Option<&'a str> {
        self.groups.iter().find(|g| g.0 == code).map(|g| g.1)
    }

    /// The layer that it is on.
    pub(super) fn layer(&self) -> &'a str {
        self.text(8).unwrap_or("0")
    }

    /// A whole number.
    pub(super) fn whole(&self, code: i32) -> Option<i64> {
        self.text(code)?.parse().ok()
    }

    /// A number, or what stands for none.
    ///
    /// # Errors
    /// A value that is no number.
    pub(super) fn number(&self, code: i32, without: f64) -> Result<f64, String> {
        self.text(code).map_or(Ok(without), |text| self.parsed(code, text))
    }

    /// A number that must be there.
    ///
    /// # Errors
    /// None there, or a value that is no number.
    pub(super) fn needed(&self, code: i32) -> Result<f64, String> {
        let text = self.text(code);
        let text = text.ok_or_else(|| format!("{} has no group {code}", self.kind))?;
        self.parsed(code, text)
    }

    /// A group's value as a number.
    ///
    /// # Errors
    /// It is none.
    pub(super) fn parsed(&self, code: i32, text: &str) -> Result<f64, String> {
        let number = text.parse().ok().filter(|v: &f64| v.is_finite());
        number.ok_or_else(|| {
            format!("{}: `{}` is no number for group {code}", self.kind, short(text))
        })
    }

    /// Every number with a code, in order.
    ///
    /// # Errors
    /// A value that is no number.
    pub(super) fn numbers(&self, code: i32) -> Result<Vec<f64>, String> {
        self.groups.iter().filter(|g| g.0 == code).map(|g| self.parsed(code, g.1)).collect()
    }

    /// A variable of the header: the whole number after its name.
    pub(super) fn variable(&self, name: &str) -> Option<i64> {
        let at = self.groups.iter().position(|g| *g == (9, name))?;
        self.groups.get(at + 1)?.1.parse().ok()
    }
}

fn short(text: &str) -> String {
    text.chars().take(20).collect()
}

/// Every record of a file.
///
/// # Errors
/// A line that should be a group code and is not, with its byte.
pub(super) fn records(text: &str) -> Result<Vec<Record<'_>>, (String, usize)> {
    let mut records: Vec<Record> = Vec::new();
    let mut offset = 0;
    let mut lines = text.split_inclusive('\n');
    while let Some(line) = lines.next() {
        let start = offset;
        offset += line.len();
        let code = line.trim_start_matches('\u{feff}').trim();
        let Some(value) = lines.next() else {
            if code.is_empty() {
                break;
            }
            return Err((format!("the file ends after group code `{}`", short(code)), start));
        };
        offset += value.len();
        let code: i32 = code
            .parse()
            .map_err(|_| (format!("`{}` stands where a group code belongs", short(code)), start))?;
        let value = value.trim();
        if code == 0 {
            records.push(Record { kind: value, offset: start, groups: Vec::new() });
        } else if let Some(last) = records.last_mut() {
            last.groups.push((code, value));
        }
    }
    Ok(records)
}
