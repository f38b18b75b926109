//! G and M codes and their modal groups (NISTIR 6556 section 3.4, Table 4).

/// A G code in tenths: 10 is G1, 591 is G59.1.
pub(super) type Code = u16;

/// Stands for "no code of this group on the line".
pub(super) const NONE: Code = Code::MAX;

/// Number of slots for groups of G codes; the published numbers are the indexes.
pub(super) const G_GROUPS: usize = 14;
/// Number of slots for groups of M codes.
pub(super) const M_GROUPS: usize = 10;

/// Groups of G codes.
pub(super) mod group {
    pub(in crate::ngc) const NOT_MODAL: usize = 0;
    pub(in crate::ngc) const MOTION: usize = 1;
    pub(in crate::ngc) const PLANE: usize = 2;
    pub(in crate::ngc) const DISTANCE: usize = 3;
    pub(in crate::ngc) const FEED_MODE: usize = 5;
    pub(in crate::ngc) const UNITS: usize = 6;
    pub(in crate::ngc) const COMPENSATION: usize = 7;
    pub(in crate::ngc) const LENGTH: usize = 8;
    pub(in crate::ngc) const RETURN: usize = 10;
    pub(in crate::ngc) const SYSTEM: usize = 12;
    pub(in crate::ngc) const PATH: usize = 13;
    /// M groups.
    pub(in crate::ngc) const STOP: usize = 4;
    pub(in crate::ngc) const CHANGE: usize = 6;
    pub(in crate::ngc) const SPINDLE: usize = 7;
    pub(in crate::ngc) const COOLANT: usize = 8;
    pub(in crate::ngc) const OVERRIDE: usize = 9;
}

/// What is known of a code.
pub(super) enum Known {
    /// Belongs to this group and is run.
    Group(usize),
    /// Published, and refused for this reason.
    Refused(&'static str),
    /// Not published.
    No,
}

/// The group of a G code.
#[inline]
pub(super) fn g_group(code: Code) -> Known {
    Known::Group(match code {
        0 | 10 | 20 | 30 | 800 | 810 | 820 | 830 | 850 | 890 => group::MOTION,
        40 | 100 | 280 | 300 | 530 | 920 | 921 | 922 | 923 => group::NOT_MODAL,
        170 | 180 | 190 => group::PLANE,
        200 | 210 => group::UNITS,
        400 => group::COMPENSATION,
        430 | 490 => group::LENGTH,
        540 | 550 | 560 | 570 | 580 | 590 | 591 | 592 | 593 => group::SYSTEM,
        610 | 611 | 640 => group::PATH,
        900 | 910 => group::DISTANCE,
        930 | 940 => group::FEED_MODE,
        980 | 990 => group::RETURN,
        382 => return Known::Refused("probing is not a cut and cannot be checked from the text"),
        410 | 420 => {
            return Known::Refused(
                "the path of radius compensation depends on a table that is not in the text",
            );
        }
        840 => return Known::Refused("tapping needs a spindle that is geared to z"),
        860 => return Known::Refused("a boring cycle stops the spindle in the work"),
        870 => return Known::Refused("back boring works from below, where nothing is checked"),
        880 => return Known::Refused("the retract of this boring cycle is done by hand"),
        _ => return Known::No,
    })
}

/// The group of an M code.
pub(super) fn m_group(code: u16) -> Option<usize> {
    Some(match code {
        0 | 1 | 2 | 30 | 60 => group::STOP,
        6 => group::CHANGE,
        3..=5 => group::SPINDLE,
        7..=9 => group::COOLANT,
        48 | 49 => group::OVERRIDE,
        _ => return None,
    })
}

/// What the codes of a group have in common, for messages.
pub(super) fn g_group_name(group: usize) -> &'static str {
    match group {
        group::NOT_MODAL => "non-modal",
        group::MOTION => "motion",
        group::PLANE => "plane",
        group::DISTANCE => "distance mode",
        group::FEED_MODE => "feed mode",
        group::UNITS => "units",
        group::COMPENSATION => "radius compensation",
        group::LENGTH => "length offset",
        group::RETURN => "cycle return",
        group::SYSTEM => "coordinate system",
        _ => "path mode",
    }
}

/// What the M codes of a group have in common, for messages.
pub(super) fn m_group_name(group: usize) -> &'static str {
    match group {
        group::STOP => "stopping",
        group::CHANGE => "cutter change",
        group::SPINDLE => "spindle",
        group::COOLANT => "coolant",
        _ => "override",
    }
}

/// A G code as written.
pub(super) fn g_name(code: Code) -> String {
    if code.is_multiple_of(10) {
        format!("G{}", code / 10)
    } else {
        format!("G{}.{}", code / 10, code % 10)
    }
}
