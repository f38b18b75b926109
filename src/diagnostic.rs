//! Errors as values: what is wrong, where it stands, and a way out.

use std::fmt;

/// How grave a finding about an input is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// Work goes on, the reader should know.
    Warning,
    /// Work stops.
    Error,
}

/// A place in a text: lines and columns count from 1, columns in characters.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Place {
    /// The file as the user named it, or a name in angle brackets for built-in text.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// The line's text, for showing.
    pub excerpt: String,
}

impl Place {
    /// The place of byte `offset` in `text`; an offset past the end gives the end.
    #[must_use]
    pub fn of_offset(file: &str, text: &str, offset: usize) -> Place {
        let mut at = offset.min(text.len());
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        let before = &text[..at];
        let start = before.rfind('\n').map_or(0, |i| i + 1);
        let line_text = text[start..].lines().next().unwrap_or("");
        Place {
            file: file.to_string(),
            line: before.matches('\n').count() + 1,
            column: text[start..at].chars().count() + 1,
            excerpt: line_text.to_string(),
        }
    }
}

/// One thing wrong with an input, or with what an input asks for.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Diagnostic {
    /// Error or warning.
    pub severity: Severity,
    /// Where, if it has a place.
    pub place: Option<Place>,
    /// The key in a job, shop or dialect file, such as `part[1].rise` (tables count from 1).
    pub key: Option<String>,
    /// What is wrong, with the value and what is allowed.
    pub message: String,
    /// A way out.
    pub help: Option<String>,
}

impl Diagnostic {
    /// An error without a place.
    #[must_use]
    pub fn error(message: impl Into<String>) -> Diagnostic {
        Diagnostic {
            severity: Severity::Error,
            place: None,
            key: None,
            message: message.into(),
            help: None,
        }
    }

    /// A warning without a place.
    #[must_use]
    pub fn warning(message: impl Into<String>) -> Diagnostic {
        Diagnostic { severity: Severity::Warning, ..Diagnostic::error(message) }
    }

    /// Adds the way out.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Diagnostic {
        self.help = Some(help.into());
        self
    }

    /// Adds the key that is wrong; [`crate::document::Document::locate`] turns it into a place.
    #[must_use]
    pub fn key(mut self, key: impl Into<String>) -> Diagnostic {
        self.key = Some(key.into());
        self
    }

    /// Adds the place.
    #[must_use]
    pub fn place(mut self, place: Place) -> Diagnostic {
        self.place = Some(place);
        self
    }
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = match self.severity {
            Severity::Warning => "warning",
            Severity::Error => "error",
        };
        write!(f, "{word}: ")?;
        if let Some(place) = &self.place {
            write!(f, "{}:{}:{}: ", place.file, place.line, place.column)?;
        }
        if let Some(key) = &self.key {
            write!(f, "`{key}`: ")?;
        }
        write!(f, "{}", self.message)?;
        if let Some(place) = &self.place
            && !place.excerpt.trim().is_empty()
            && place.excerpt.chars().count() <= 160
        {
            let number = place.line.to_string();
            // Tabs are shown as one blank, so that the caret stands below its character.
            let excerpt = place.excerpt.replace('\t', " ");
            let pad = " ".repeat(place.column - 1);
            write!(f, "\n  {number} | {excerpt}\n  {} | {pad}^", " ".repeat(number.len()))?;
        }
        if let Some(help) = &self.help {
            write!(f, "\n  help: {help}")?;
        }
        Ok(())
    }
}

/// Why a verb did not end well; each kind has its own exit code.
#[derive(Clone, Debug, PartialEq)]
pub enum Failure {
    /// A limit of the trade or the dry run says no (exit 1).
    Refused(Vec<Diagnostic>),
    /// The input is wrong (exit 2).
    Input(Vec<Diagnostic>),
    /// The machine we run on failed us: disk, permission (exit 3).
    System(Diagnostic),
}

impl Failure {
    /// The process exit code: 1 refused, 2 wrong input, 3 the system.
    #[must_use]
    pub fn exit_code(&self) -> u8 {
        match self {
            Failure::Refused(_) => 1,
            Failure::Input(_) => 2,
            Failure::System(_) => 3,
        }
    }

    /// All that is to be told.
    #[must_use]
    pub fn diagnostics(&self) -> &[Diagnostic] {
        match self {
            Failure::Refused(all) | Failure::Input(all) => all,
            Failure::System(one) => std::slice::from_ref(one),
        }
    }
}

impl From<Diagnostic> for Failure {
    fn from(one: Diagnostic) -> Failure {
        Failure::Input(vec![one])
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, d) in self.diagnostics().iter().enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            write!(f, "{d}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Failure {}
