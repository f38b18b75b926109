//! What is said of pockets, once for those that are alike.

/// A sentence on a pocket, without its name.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Said {
    /// Up to the place.
    pub head: String,
    /// The worst place, if it has one: each of equal pockets has its own.
    pub at: Option<String>,
    /// After the place.
    pub tail: String,
}

impl Said {
    pub(super) fn plain(text: String) -> Said {
        Said { head: text, at: None, tail: String::new() }
    }
}

/// Remarks in the order in which each is first made, with the names of all pockets of which it
/// holds; the place is the first one's.
pub(super) fn joined(all: Vec<(String, Said)>) -> Vec<String> {
    let mut groups: Vec<(Vec<String>, Said)> = Vec::new();
    for (key, said) in all {
        let alike = |one: &Said| one.head == said.head && one.tail == said.tail;
        match groups.iter_mut().find(|(keys, one)| alike(one) && !keys.contains(&key)) {
            Some((keys, _)) => keys.push(key),
            None => groups.push((vec![key], said)),
        }
    }
    let text = |(keys, said): (Vec<String>, Said)| {
        let Said { head, at, tail } = said;
        let at = at.map_or(String::new(), |at| match keys.as_slice() {
            [_] => format!(", at {at}"),
            _ => format!(", in the first at {at}"),
        });
        format!("{}: {head}{at}{tail}", names(&keys))
    };
    groups.into_iter().map(text).collect()
}

/// `pocket[1]`, `pocket[1] and pocket[2]`, `pocket[1], pocket[2] and pocket[3]`.
fn names(keys: &[String]) -> String {
    match keys {
        [all @ .., last] if !all.is_empty() => format!("{} and {last}", all.join(", ")),
        _ => keys.concat(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_holds_of_several_pockets_is_said_once() {
        let takes = |seconds: i32| Said::plain(format!("it takes {seconds} s."));
        let stays = |at: &str| Said {
            head: "2 places stay".to_string(),
            at: Some(at.to_string()),
            tail: "; give a narrower cutter.".to_string(),
        };
        let of = |n: i32, said: Said| (format!("pocket[{n}]"), said);
        let all = vec![
            of(1, takes(8)),
            of(1, stays("X 1")),
            of(2, takes(9)),
            of(2, stays("X 2")),
            of(3, takes(8)),
            of(3, stays("X 3")),
        ];
        assert_eq!(
            joined(all),
            [
                "pocket[1] and pocket[3]: it takes 8 s.",
                "pocket[1], pocket[2] and pocket[3]: 2 places stay, in the first at X 1; give a narrower cutter.",
                "pocket[2]: it takes 9 s.",
            ]
        );
        // Two cutters in one pocket.
        let twice = vec![of(1, takes(8)), of(1, takes(8))];
        assert_eq!(joined(twice).len(), 2);
        assert_eq!(
            joined(vec![of(4, stays("X 5"))]),
            ["pocket[4]: 2 places stay, at X 5; give a narrower cutter."]
        );
    }
}
