//! What only the installed git can do, and what it is not let do. That it reads everything as the
//! library does is tested by the tests beside this folder.

use setout_design::Source;
use setout_store::{GitError, Revision, RevisionError, Revisions, Storage};

use crate::bench::{Bench, clone, git};

/// `width` is 62 mm, then 64 mm.
fn origin() -> Bench {
    let bench = Bench::repository();
    bench.git("config uploadpack.allowFilter true");
    bench.git("config uploadpack.allowAnySHA1InWant true");
    for width in [62, 64] {
        bench.file("params/jaw.yaml", format!("width: {width} mm\n"));
        bench.commit(&format!("{width} mm"));
    }
    bench
}

fn earlier(bench: &Bench) -> Result<Revision, RevisionError> {
    Revision::open(&bench.folder(), "HEAD~1")
}

fn is_fetched(bench: &Bench) {
    let revision = earlier(bench).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(revision.read("params/jaw.yaml").expect("read"), b"width: 62 mm\n");
}

/// What is said when the earlier revision cannot be had.
fn refusal(bench: &Bench) -> (String, String) {
    let error = earlier(bench).expect_err("something is missing");
    assert!(
        matches!(error, RevisionError::Missing { partial: true, git: Some(_), .. }),
        "{error:?}"
    );
    (error.to_string(), error.help())
}

#[test]
fn an_extension_of_the_future_is_named_with_what_git_says() {
    let bench = origin();
    bench.git("config core.repositoryformatversion 1");
    bench.git("config extensions.novelty true");
    let error = Revision::open(&bench.folder(), "HEAD").expect_err("unknown to both");
    let said = error.to_string();
    assert!(said.ends_with("git says: unknown repository extension found: novelty"), "{said}");
    assert!(error.help().contains("git --version"), "{}", error.help());
    let RevisionError::Unsupported { storage, git: Some(GitError::Refused { .. }), .. } = error
    else {
        panic!("{error:?}")
    };
    assert_eq!(storage, Storage::Extension("novelty".into()));
}

#[test]
fn what_a_partial_clone_left_out_is_fetched() {
    let bench = origin();
    for filter in ["--filter=blob:none", "--filter=tree:0", "--filter=blob:none --bare"] {
        let partial = clone(&bench, filter);
        let revisions = match Revisions::bare(&partial.root(), None) {
            Ok(revisions) => revisions,
            Err(error) => panic!("{filter}: {error}"),
        };
        let revision = revisions.at("HEAD~1").expect("opened");
        assert_eq!(revision.read("params/jaw.yaml").expect("fetched"), b"width: 62 mm\n");
    }
}

#[test]
fn a_partial_clone_by_an_extension_is_read() {
    let bench = origin();
    let partial = clone(&bench, "--filter=blob:none");
    partial.git("config extensions.partialClone origin");
    assert!(git2::Repository::open(partial.root()).is_err(), "this is for git alone");
    is_fetched(&partial);
}

#[test]
fn an_object_that_cannot_be_fetched_is_said_and_the_mend_works() {
    let bench = origin();
    let partial = clone(&bench, "--filter=blob:none");
    let url = partial.git("config remote.origin.url");
    partial.git("config remote.origin.url file:///nowhere/at/all");
    let (reason, help) = refusal(&partial);
    assert!(reason.starts_with("this partial clone does not hold params/jaw.yaml"), "{reason}");
    assert!(reason.contains("git could not fetch it: '/nowhere/at/all' does not"), "{reason}");
    partial.git(&format!("config remote.origin.url {url}"));
    let (_, command) = help.split_once(": git ").expect("a command of git's");
    partial.git(command);
    partial.git("config remote.origin.url file:///nowhere/at/all");
    is_fetched(&partial);
}

#[test]
fn git_is_not_asked_to_fetch_again_after_it_could_not() {
    let bench = origin();
    let partial = clone(&bench, "--filter=blob:none");
    let url = partial.git("config remote.origin.url");
    partial.git("config remote.origin.url file:///nowhere/at/all");
    let revisions = Revisions::of(&partial.folder()).expect("opened");
    let error = revisions.at("HEAD~1").expect_err("it is missing");
    partial.git(&format!("config remote.origin.url {url}"));
    assert_eq!(revisions.at("HEAD~1").expect_err("as before"), error);
    is_fetched(&partial);
}

#[test]
fn the_files_of_a_revision_are_fetched_together() {
    let bench = Bench::repository();
    bench.git("config uploadpack.allowFilter true");
    for table in ["jaw", "lip", "eye", "brow"] {
        bench.file(&format!("params/{table}.yaml"), format!("about: {table}\n"));
    }
    bench.commit("first");
    for extension in [false, true] {
        let partial = clone(&bench, "--filter=blob:none --no-checkout");
        if extension {
            partial.git("config extensions.partialClone origin");
        }
        let packs = || {
            partial.names(".git/objects/pack").iter().filter(|name| name.ends_with(".pack")).count()
        };
        let before = packs();
        let revision = Revisions::bare(&partial.root(), None).expect("opened").at("HEAD");
        let revision = revision.expect("opened");
        for path in revision.list().expect("listed") {
            revision.read(&path).expect("read");
        }
        assert_eq!(packs(), before + 1);
    }
}

#[test]
fn an_unknown_name_is_not_fetched() {
    let bench = origin();
    let partial = clone(&bench, "--filter=blob:none");
    partial.git("config extensions.partialClone origin");
    partial.git("config remote.origin.url file:///nowhere/at/all");
    let unknown = "1".repeat(40);
    let error = Revision::open(&partial.folder(), &unknown).expect_err("unknown");
    assert!(matches!(error, RevisionError::UnknownRevision { .. }), "{error:?}");
}

#[test]
fn no_program_of_the_repositorys_fetches() {
    let bench = origin();
    for (key, value) in [
        ("remote.origin.uploadpack", "touch SPRUNG; git-upload-pack"),
        ("core.sshCommand", "touch SPRUNG;"),
        ("credential.helper", "!touch SPRUNG;"),
        ("core.askPass", "touch SPRUNG;"),
        ("core.alternateRefsCommand", "touch SPRUNG;"),
    ] {
        let partial = clone(&bench, "--filter=blob:none");
        let sprung = partial.path("sprung");
        let value = value.replace("SPRUNG", &sprung.display().to_string());
        git(&partial.root(), &["config", key, &value]);
        let (reason, help) = refusal(&partial);
        assert!(reason.contains(&format!("sets {}", key.to_lowercase())), "{reason}");
        assert!(help.contains("if you trust the repository"), "{help}");
        assert!(!sprung.exists(), "{key}");
    }
}

#[test]
fn no_protocol_of_the_repositorys_is_used() {
    let bench = origin();
    let partial = clone(&bench, "--filter=blob:none");
    let sprung = partial.path("sprung");
    git(&partial.root(), &["config", "protocol.ext.allow", "always"]);
    let url = format!("ext::touch {}", sprung.display());
    git(&partial.root(), &["config", "remote.origin.url", &url]);
    let (reason, _) = refusal(&partial);
    assert!(reason.contains("'ext' not allowed"), "{reason}");
    assert!(!sprung.exists());
}

#[test]
fn a_configuration_that_names_programs_runs_none_through_git_either() {
    let bench = origin();
    let partial = clone(&bench, "--filter=blob:none");
    partial.git("config extensions.partialClone origin");
    let trap = format!("touch {}", partial.path("sprung").display());
    for key in
        ["core.fsmonitor", "core.pager", "diff.external", "filter.x.smudge", "alias.cat-file"]
    {
        git(&partial.root(), &["config", key, &trap]);
    }
    git(&partial.root(), &["config", "diff.x.textconv", &trap]);
    partial.file(".git/info/attributes", "*.yaml filter=x diff=x\n");
    is_fetched(&partial);
    assert!(!partial.path("sprung").exists());
}

#[cfg(target_os = "linux")]
mod processes {
    use super::*;

    /// The processes of git that have `place` in their call.
    fn running(place: &Bench) -> Vec<String> {
        let place = place.root().display().to_string();
        let all = std::fs::read_dir("/proc").expect("there are processes").flatten();
        let pids = all.filter_map(|entry| entry.file_name().into_string().ok());
        pids.filter(|pid| pid.bytes().all(|byte| byte.is_ascii_digit()))
            .filter(|pid| {
                let call = std::fs::read(format!("/proc/{pid}/cmdline")).unwrap_or_default();
                String::from_utf8_lossy(&call).contains(&place)
            })
            .collect()
    }

    fn read_by_git() -> (Bench, Revision) {
        let bench = origin();
        let partial = clone(&bench, "--filter=blob:none");
        partial.git("config extensions.partialClone origin");
        let revision = Revision::open(&partial.folder(), "HEAD").expect("opened");
        revision.read("params/jaw.yaml").expect("read");
        (partial, revision)
    }

    #[test]
    fn they_end_with_what_they_were_started_for() {
        let (bench, revision) = read_by_git();
        let again = revision.clone();
        drop(revision);
        assert_eq!(running(&bench).len(), 2, "one for names and one for objects");
        drop(again);
        assert_eq!(running(&bench), Vec::<String>::new());
    }

    #[test]
    fn one_that_was_ended_is_started_anew() {
        let (bench, revision) = read_by_git();
        let status = std::process::Command::new("kill").args(running(&bench)).status();
        assert!(status.expect("kill runs").success());
        while running(&bench).iter().any(|pid| {
            let state = std::fs::read_to_string(format!("/proc/{pid}/stat")).unwrap_or_default();
            !state.contains(") Z ")
        }) {
            std::thread::sleep(std::time::Duration::from_millis(5));
        }
        assert_eq!(revision.read("params/jaw.yaml").expect("read"), b"width: 64 mm\n");
    }
}
