//! Paths in a design: relative, under the root, and nothing hidden.

/// Why a path of a design is not followed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum UnsafePath {
    Empty,
    Absolute,
    Leaves,
    Hidden,
    Character,
}

impl UnsafePath {
    pub(crate) fn message(self, path: &str) -> String {
        let path = path.escape_debug();
        match self {
            Self::Empty => "this path names no file".into(),
            Self::Absolute => format!("`{path}` is not relative to design.yaml"),
            Self::Leaves => format!("`{path}` leaves the design's root"),
            Self::Hidden => format!("`{path}` names something hidden, or goes up behind a folder"),
            Self::Character => format!("`{path}` has a character that paths of a design do not"),
        }
    }

    pub(crate) fn help(self) -> &'static str {
        match self {
            Self::Empty => "write for example `../cad/jaw.scad`",
            Self::Absolute => {
                "write it relative to the folder of design.yaml, such as `../cad/jaw.scad`"
            }
            Self::Leaves => "keep the file in the repository of the design",
            Self::Hidden => {
                "`..` stands at the beginning only, and no other part begins with a dot"
            }
            Self::Character => {
                "use / between the parts, without `\\`, `:`, control characters or blanks round a part"
            }
        }
    }
}

/// The root-relative path of a path that is written relative to `folder`.
pub(crate) fn from_folder(folder: &str, path: &str) -> Result<String, UnsafePath> {
    if path.is_empty() {
        return Err(UnsafePath::Empty);
    }
    if path.starts_with('/') {
        return Err(UnsafePath::Absolute);
    }
    if path.contains(|c: char| matches!(c, '\\' | ':') || c.is_control()) {
        return Err(UnsafePath::Character);
    }
    let mut parts: Vec<&str> = folder.split('/').filter(|part| !part.is_empty()).collect();
    let mut down = false;
    for part in path.split('/') {
        match part {
            ".." if down => return Err(UnsafePath::Hidden),
            ".." => {
                parts.pop().ok_or(UnsafePath::Leaves)?;
            }
            part if part.trim() != part || part.is_empty() => return Err(UnsafePath::Character),
            hidden if hidden.starts_with('.') => return Err(UnsafePath::Hidden),
            part => {
                down = true;
                parts.push(part);
            }
        }
    }
    if !down {
        return Err(UnsafePath::Empty);
    }
    Ok(parts.join("/"))
}

/// The folder of a root-relative path, `""` at the root.
pub(crate) fn folder_of(path: &str) -> &str {
    path.rsplit_once('/').map_or("", |(folder, _)| folder)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_stay_under_the_root() {
        assert_eq!(from_folder("params", "../cad/jaw.scad"), Ok("cad/jaw.scad".into()));
        assert_eq!(from_folder("params", "jaw.csv"), Ok("params/jaw.csv".into()));
        assert_eq!(from_folder("a/b", "../../x/y.csv"), Ok("x/y.csv".into()));
        for (path, wrong) in [
            ("", UnsafePath::Empty),
            ("..", UnsafePath::Empty),
            ("/etc/passwd", UnsafePath::Absolute),
            ("../../x", UnsafePath::Leaves),
            ("../.git/config", UnsafePath::Hidden),
            ("a/../../../x", UnsafePath::Hidden),
            ("./a", UnsafePath::Hidden),
            ("a//b", UnsafePath::Character),
            ("C:\\x", UnsafePath::Character),
            ("a\nb", UnsafePath::Character),
        ] {
            assert_eq!(from_folder("params", path), Err(wrong), "{path:?}");
        }
    }
}
