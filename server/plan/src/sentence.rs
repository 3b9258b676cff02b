//! Words in sentences: articles, capitals, counts, and lists.

use std::fmt::Display;

/// With the article that it needs: `a keypad`, `an expander`.
pub fn a(noun: &str) -> String {
    let article = if noun.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {noun}")
}

/// How many there are of something: `1 run`, `2 runs`.
pub fn count<N: Display + PartialEq + From<u8>>(number: N, what: &str) -> String {
    let ending = if number == N::from(1) { "" } else { "s" };
    format!("{number} {what}{ending}")
}

/// With a capital, to start a sentence with.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}

/// Without its capital, to go on in a sentence.
pub fn lower(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(char::to_lowercase);
    first.into_iter().flatten().chain(letters).collect()
}

/// How many names a sentence lists. Nobody reads more, and where thousands of findings each
/// list thousands of names, memory is full of them.
const MOST: usize = 100;

/// `a`, `b` and `c`.
pub fn list(names: &[impl AsRef<str>]) -> String {
    joined(names, "and")
}

/// `a`, `b` or `c`.
pub fn either(names: &[impl AsRef<str>]) -> String {
    joined(names, "or")
}

/// The same as [`list`], each in code marks.
pub fn code_list(names: &[&str]) -> String {
    let (first, others) = shown(names);
    let first = first.iter().map(|name| format!("`{name}`"));
    list(&first.chain(others).collect::<Vec<_>>())
}

/// The same as [`list`] of things by name; those that are not listed are not asked for theirs.
pub fn list_by<T>(things: &[T], name: impl FnMut(&T) -> String) -> String {
    let (first, others) = shown(things);
    list(&first.iter().map(name).chain(others).collect::<Vec<_>>())
}

fn joined(names: &[impl AsRef<str>], last_by: &str) -> String {
    let (first, others) = shown(names);
    let first = first.iter().map(AsRef::as_ref);
    let shown: Vec<&str> = first.chain(others.as_deref()).collect();
    match shown.as_slice() {
        [] => String::new(),
        [only] => (*only).to_string(),
        [init @ .., last] => format!("{} {last_by} {last}", init.join(", ")),
    }
}

/// The names to list, and how many others there are, in words.
fn shown<T>(names: &[T]) -> (&[T], Option<String>) {
    match names.split_at_checked(MOST) {
        Some((first, others)) if others.len() > 1 => {
            (first, Some(format!("{} others", others.len())))
        }
        _ => (names, None),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_end_in_and_or_or() {
        assert_eq!(list(&[] as &[&str]), "");
        assert_eq!(list(&["a"]), "a");
        assert_eq!(list(&["a", "b"]), "a and b");
        assert_eq!(either(&["a", "b", "c"]), "a, b or c");
        assert_eq!(code_list(&["a", "b", "c"]), "`a`, `b` and `c`");
    }

    #[test]
    fn of_too_many_names_the_rest_is_counted() {
        let names: Vec<String> = (1..=102).map(|number| number.to_string()).collect();
        assert!(list(&names[..101]).ends_with(", 99, 100 and 101"));
        assert!(list(&names).ends_with(", 99, 100 and 2 others"));
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        assert!(code_list(&names).ends_with(", `100` and 2 others"));
    }

    #[test]
    fn a_sentence_starts_with_a_capital() {
        assert_eq!(capital("on mains"), "On mains");
        assert_eq!(lower("Switch it off"), "switch it off");
        assert_eq!((capital(""), lower("")), (String::new(), String::new()));
    }
}
