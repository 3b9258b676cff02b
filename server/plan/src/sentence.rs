//! Words in sentences: articles, capitals, and lists.

/// With the article that it needs: `a keypad`, `an expander`.
pub fn a(noun: &str) -> String {
    let article = if noun.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {noun}")
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
    let marked: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    list(&marked)
}

fn joined(names: &[impl AsRef<str>], last_by: &str) -> String {
    match names {
        [] => String::new(),
        [only] => only.as_ref().to_string(),
        [init @ .., last] => {
            let init: Vec<&str> = init.iter().map(AsRef::as_ref).collect();
            format!("{} {last_by} {}", init.join(", "), last.as_ref())
        }
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
    fn a_sentence_starts_with_a_capital() {
        assert_eq!(capital("on mains"), "On mains");
        assert_eq!(lower("Switch it off"), "switch it off");
        assert_eq!((capital(""), lower("")), (String::new(), String::new()));
    }
}
