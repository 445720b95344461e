//! What changed inside a formula or a note, word by word: both texts, one below the other, with
//! a mark under each word that only one of them has.

use std::ops::Range;

use similar::{ChangeTag, TextDiff};

use crate::draw::ink::Ink;
use crate::draw::page::{Line, Page};
use crate::draw::safe::{one_line, visible, width};

/// A text on one line, with the places of what only it has.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Marked {
    text: String,
    own: Vec<Range<usize>>,
}

/// Longer texts are shown without marks: comparing takes time that grows with their product.
const LONGEST: usize = 20_000;

/// Draws a text before and after, so far in.
pub(crate) fn was_and_is(
    before: Option<&str>,
    after: Option<&str>,
    indent: usize,
    page: &mut Page,
) {
    let clean = |text: Option<&str>| visible(&one_line(text.unwrap_or_default())).into_owned();
    let (was, is) = marked(&clean(before), &clean(after));
    for (label, text, side) in [("was", &was, before), ("now", &is, after)] {
        let start = Line::indented(indent).put(Ink::Faint, label).put(Ink::Plain, "  ");
        match side {
            Some(_) => draw(&start, indent + label.len() + 2, text, page),
            None => page.line(&start.put(Ink::Faint, "nothing")),
        }
    }
}

fn marked(before: &str, after: &str) -> (Marked, Marked) {
    let (mut was, mut is) = (Marked::default(), Marked::default());
    if before.len() + after.len() > LONGEST {
        was.text = before.to_owned();
        is.text = after.to_owned();
        return (was, is);
    }
    for change in TextDiff::from_unicode_words(before, after).iter_all_changes() {
        let word = change.value();
        match change.tag() {
            ChangeTag::Equal => {
                [&mut was, &mut is].into_iter().for_each(|side| side.add(word, false))
            }
            ChangeTag::Delete => was.add(word, true),
            ChangeTag::Insert => is.add(word, true),
        }
    }
    let told = was.shares_words() && is.shares_words();
    if !told {
        was.own.clear();
        is.own.clear();
    }
    (was, is)
}

impl Marked {
    fn add(&mut self, word: &str, own: bool) {
        let start = self.text.len();
        self.text.push_str(word);
        if !own {
            return;
        }
        match self.own.last_mut() {
            // A blank between two marks is marked too, for it is read as one change.
            Some(last) if self.text[last.end..start].trim().is_empty() => {
                last.end = self.text.len()
            }
            _ => self.own.push(start..self.text.len()),
        }
    }

    /// Whether enough is left unmarked for the marks to say anything.
    fn shares_words(&self) -> bool {
        let own: usize = self.own.iter().map(|range| range.len()).sum();
        self.text.is_empty() || own * 4 <= self.text.len() * 3
    }

    fn is_marked(&self, at: usize) -> bool {
        self.own.iter().any(|range| range.contains(&at))
    }

    /// The ranges of the text that stand on one line each, broken between words.
    fn lines(&self, room: usize) -> Vec<Range<usize>> {
        let mut lines: Vec<Range<usize>> = Vec::new();
        for word in self.text.split(' ') {
            let start = word.as_ptr() as usize - self.text.as_ptr() as usize;
            let end = start + word.len();
            match lines.last_mut() {
                Some(line) if width(&self.text[line.start..end]) <= room => line.end = end,
                _ => lines.push(start..end),
            }
        }
        lines
    }
}

/// Draws a text behind the start of a line, with its marks below each of its lines.
fn draw(start: &Line, hang: usize, text: &Marked, page: &mut Page) {
    let room = page.width.saturating_sub(hang).max(20);
    let mut start = Some(start.clone());
    for range in text.lines(room) {
        let line = start.take().unwrap_or_else(|| Line::indented(hang));
        page.line(&line.put(Ink::Plain, &text.text[range.clone()]));
        let marks: String = text.text[range.clone()]
            .char_indices()
            .map(|(at, c)| {
                let mark = if text.is_marked(range.start + at) { "^" } else { " " };
                mark.repeat(width(c.encode_utf8(&mut [0; 4])))
            })
            .collect();
        if !marks.trim().is_empty() {
            page.line(&Line::indented(hang).put(Ink::Tight, &marks));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawn(before: Option<&str>, after: Option<&str>) -> String {
        let mut page = Page::new(44, false);
        was_and_is(before, after, 2, &mut page);
        page.finish()
    }

    #[test]
    fn words_that_differ_are_marked() {
        assert_eq!(
            drawn(Some("width * 0.32"), Some("width * 0.35 + wall")),
            "  was  width * 0.32\n               ^^^^\n  now  width * 0.35 + wall\n               ^^^^^^^^^^^\n"
        );
    }

    #[test]
    fn marks_stand_below_their_line() {
        let text = drawn(
            Some("long enough for the horn to clear the cheek by a finger"),
            Some("long enough for the horn to clear the ear by a finger"),
        );
        assert_eq!(
            text,
            "  was  long enough for the horn to clear the\n       cheek by a finger\n       ^^^^^\n  \
             now  long enough for the horn to clear the\n       ear by a finger\n       ^^^\n"
        );
    }

    #[test]
    fn what_shares_nothing_has_no_marks() {
        assert_eq!(drawn(Some("one two"), Some("3 mm")), "  was  one two\n  now  3 mm\n");
        assert_eq!(drawn(None, Some("鼻")), "  was  nothing\n  now  鼻\n");
    }
}
