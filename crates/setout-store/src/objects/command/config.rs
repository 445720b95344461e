//! What the configuration of a repository says, and whether the user or the repository says it.

use std::collections::BTreeSet;

/// All entries, in git's order.
pub(super) struct Config(Vec<Entry>);

struct Entry {
    /// Whether it stands in the repository, and not in the user's or the system's own files.
    local: bool,
    key: String,
    value: String,
}

impl Config {
    /// From what `git config --list --show-scope -z` prints.
    pub(super) fn read(listed: &[u8]) -> Self {
        let listed = String::from_utf8_lossy(listed);
        let words: Vec<&str> = listed.split('\0').collect();
        let entry = |pair: &[&str; 2]| {
            // An entry without `=` is as good as true.
            let (key, value) = pair[1].split_once('\n').unwrap_or((pair[1], "true"));
            let local = !["system", "global", "command"].contains(&pair[0]);
            Entry { local, key: key.to_owned(), value: value.to_owned() }
        };
        Self(words.as_chunks().0.iter().map(entry).collect())
    }

    fn last(&self, key: &str) -> Option<&str> {
        self.0.iter().rfind(|entry| entry.key == key).map(|entry| entry.value.as_str())
    }

    /// Whether objects may be left out, to be fetched when they are needed.
    pub(super) fn is_partial(&self) -> bool {
        self.last("extensions.partialclone").is_some() || self.promisors().next().is_some()
    }

    /// The remote that promises what was left out, if there is one alone.
    pub(super) fn promisor(&self) -> Option<&str> {
        let mut names = self.last("extensions.partialclone").into_iter().chain(self.promisors());
        let first = names.next()?;
        names.all(|name| name == first).then_some(first)
    }

    fn promisors(&self) -> impl Iterator<Item = &str> {
        self.0.iter().filter(|entry| entry.value != "false").filter_map(|entry| {
            entry.key.strip_prefix("remote.").and_then(|rest| rest.strip_suffix(".promisor"))
        })
    }

    /// The filters of files of which the repository itself, and not its user, says something.
    pub(super) fn own_filters(&self) -> BTreeSet<&str> {
        let local = self.0.iter().filter(|entry| entry.local);
        let names = local.filter_map(|entry| entry.key.strip_prefix("filter."));
        names.filter_map(|rest| rest.rsplit_once('.').map(|(name, _)| name)).collect()
    }

    /// How many digits an abbreviated name has at least, of `all`.
    pub(super) fn abbreviation(&self, all: usize) -> usize {
        match self.last("core.abbrev") {
            Some("no" | "off" | "false") => all,
            Some(digits) => digits.parse().unwrap_or(7).clamp(4, all),
            None => 7,
        }
    }

    /// Whether a protocol is forbidden, by anybody.
    pub(super) fn forbids(&self, protocol: &str) -> bool {
        let keys = ["protocol.allow".to_owned(), format!("protocol.{protocol}.allow")];
        self.0.iter().any(|entry| keys.contains(&entry.key) && entry.value == "never")
    }

    /// The first entry by which the repository itself, and not its user, would have a program
    /// run, or a file read or written, when something is fetched.
    pub(super) fn fetches_by(&self) -> Option<&str> {
        let local = self.0.iter().filter(|entry| entry.local);
        local.map(|entry| entry.key.as_str()).find(|key| names_a_program(key))
    }
}

/// Whether an entry has a part in fetching beyond a remote and its address. Those that do
/// without a fetch too are switched off by `call`.
fn names_a_program(key: &str) -> bool {
    let (section, rest) = key.split_once('.').unwrap_or((key, ""));
    let last = rest.rsplit('.').next().unwrap_or_default();
    match section {
        "core" => matches!(last, "sshcommand" | "gitproxy" | "askpass" | "alternaterefscommand"),
        "credential" => last == "helper",
        "remote" => matches!(last, "uploadpack" | "vcs"),
        "http" => matches!(last, "cookiefile" | "savecookies"),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn config(entries: &[(&str, &str)]) -> Config {
        let one = |(scope, entry): &(&str, &str)| format!("{scope}\0{entry}\0");
        Config::read(entries.iter().map(one).collect::<String>().as_bytes())
    }

    #[test]
    fn a_promisor_makes_a_partial_clone() {
        for (entry, partial) in [
            ("remote.origin.promisor\ntrue", true),
            ("remote.origin.promisor", true),
            ("remote.origin.promisor\nfalse", false),
            ("extensions.partialclone\norigin", true),
            ("remote.origin.url\nx", false),
        ] {
            let config = config(&[("local", entry)]);
            assert_eq!(config.is_partial(), partial, "{entry}");
            assert_eq!(config.promisor(), partial.then_some("origin"), "{entry}");
        }
        let two = config(&[("local", "remote.a.b.promisor\ntrue"), ("local", "remote.c.promisor")]);
        assert_eq!((two.is_partial(), two.promisor()), (true, None));
        let one =
            config(&[("local", "extensions.partialclone\na.b"), ("local", "remote.a.b.promisor")]);
        assert_eq!(one.promisor(), Some("a.b"));
    }

    #[test]
    fn the_repository_is_not_to_name_a_program_and_its_user_is() {
        let by =
            |scope: &str, entry: &str| config(&[(scope, entry)]).fetches_by().map(str::to_owned);
        for key in [
            "core.sshcommand",
            "core.askpass",
            "core.alternaterefscommand",
            "credential.helper",
            "credential.https://example.org/a.b.helper",
            "remote.origin.uploadpack",
            "remote.a.b.vcs",
            "http.cookiefile",
            "http.https://example.org.savecookies",
        ] {
            let entry = format!("{key}\nsomething");
            assert_eq!(by("local", &entry).as_deref(), Some(key));
            assert_eq!(by("worktree", &entry).as_deref(), Some(key));
            assert_eq!(by("unknown", &entry).as_deref(), Some(key));
            for scope in ["system", "global", "command"] {
                assert_eq!(by(scope, &entry), None, "{scope} {key}");
            }
        }
        for key in
            ["remote.origin.url", "http.https://example.org/.extraheader", "credential.username"]
        {
            assert_eq!(by("local", &format!("{key}\nsomething")), None, "{key}");
        }
    }

    #[test]
    fn filters_of_the_repository_are_told_from_the_users() {
        let config = config(&[
            ("global", "filter.large.clean\na program"),
            ("local", "filter.a.b.process\nanother"),
            ("worktree", "filter.c.required\ntrue"),
            ("local", "core.bare\nfalse"),
        ]);
        assert_eq!(config.own_filters().into_iter().collect::<Vec<_>>(), ["a.b", "c"]);
    }

    #[test]
    fn one_never_is_enough() {
        let config = config(&[
            ("global", "protocol.file.allow\nnever"),
            ("local", "protocol.file.allow\nalways"),
        ]);
        assert!(config.forbids("file") && !config.forbids("https"));
    }

    #[test]
    fn the_users_length_of_abbreviations_is_kept() {
        for (entry, digits) in [("auto", 7), ("12", 12), ("no", 40), ("2", 4), ("99", 40)] {
            let config = config(&[("global", &format!("core.abbrev\n{entry}"))]);
            assert_eq!(config.abbreviation(40), digits, "{entry}");
        }
        assert_eq!(config(&[]).abbreviation(40), 7);
    }
}
