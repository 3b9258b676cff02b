//! Our own Markdown as plain text, for clients that show no other: without its
//! marks, tables in columns. It need not read Markdown that others write.

/// A hover or a description without its marks.
pub fn plain(markdown: &str) -> String {
    let mut shown: Vec<String> = Vec::new();
    let mut table: Vec<Vec<String>> = Vec::new();
    let mut is_code = false;
    for line in markdown.lines() {
        if line.starts_with("```") {
            is_code = !is_code;
            continue;
        }
        if let Some(cells) = cells(line).filter(|_| !is_code) {
            if !is_rule(&cells) {
                table.push(cells.iter().map(|cell| unmarked(cell.trim())).collect());
            }
            continue;
        }
        shown.extend(columns(std::mem::take(&mut table)));
        shown.push(match is_code {
            true => line.to_string(),
            false => unmarked(line.trim_end().trim_start_matches("> ")),
        });
    }
    shown.extend(columns(table));
    shown.join("\n")
}

/// The cells of a table's row.
fn cells(line: &str) -> Option<Vec<&str>> {
    let mut rest = line.strip_prefix('|')?.strip_suffix('|')?;
    let mut cells = Vec::new();
    let mut from = 0;
    while let Some(found) = rest.get(from..).and_then(|rest| rest.find('|')) {
        let at = from + found;
        let (cell, behind) = rest.split_at(at);
        if cell.ends_with('\\') {
            from = at + 1;
            continue;
        }
        cells.push(cell);
        rest = behind.strip_prefix('|').unwrap_or(behind);
        from = 0;
    }
    cells.push(rest);
    Some(cells)
}

/// Whether a row only parts the header from the rest.
fn is_rule(cells: &[&str]) -> bool {
    let is_mark = |c: char| c == '-' || c == ':';
    cells.iter().all(|cell| cell.trim().chars().all(is_mark)) && cells.concat().contains('-')
}

/// Rows in columns: the first to the left, the others, which are numbers, to the right.
fn columns(rows: Vec<Vec<String>>) -> Vec<String> {
    let count = rows.iter().map(Vec::len).max().unwrap_or(0);
    let length = |cell: &String| cell.chars().count();
    let widths: Vec<usize> = (0..count)
        .map(|column| {
            let cells = rows.iter().filter_map(|row| row.get(column));
            cells.map(length).max().unwrap_or(0)
        })
        .collect();
    let line = |row: Vec<String>| {
        let cells = row.iter().zip(&widths).enumerate();
        let cells = cells.map(|(column, (cell, width))| match column {
            0 => format!("{cell:<width$}"),
            _ => format!("{cell:>width$}"),
        });
        let line = cells.collect::<Vec<_>>().join("  ");
        line.trim_end().to_string()
    };
    rows.into_iter().map(line).collect()
}

/// A line without its marks: `**bold**`, `*slanted*`, code marks, and the
/// backslashes before characters that are meant as they are.
fn unmarked(line: &str) -> String {
    let mut shown = String::with_capacity(line.len());
    let mut is_code = false;
    let mut chars = line.chars();
    while let Some(c) = chars.next() {
        match c {
            '`' => is_code = !is_code,
            '\\' if !is_code => shown.extend(chars.next()),
            '*' if !is_code => {}
            c => shown.push(c),
        }
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::plain;
    use crate::fixture::harbour;
    use crate::hover;
    use expect_test::expect;

    #[test]
    fn a_hover_is_readable_without_marks() {
        let (view, entry, offset) = harbour("keypad   rear", "keypad   rear$0");
        let hover = hover(&view, &entry, offset).map(|hover| plain(&hover.markdown));
        expect![[r#"
            rear Workshop door
            keypad K2R Two-line keypad with receiver

                                volts    drop   draws
            mains, standby    13.40 V  0.40 V   60 mA
            mains, alarm      12.98 V  0.82 V  125 mA
            battery, standby  10.10 V  0.40 V   60 mA
            battery, alarm     9.68 V  0.82 V  125 mA

            Works 10.2 V .. 14.5 V; 0.52 V too low with the battery at its end and the system in alarm
            Fed by main.aux

            Lost on the shortest route, with the battery at its end and the system in alarm
            main.keys – front, 12 m, 1.37 ohm: 0.38 V
            front – rear, 31 m, 3.55 ohm: 0.44 V

            Address 2 on main.keys, must be enabled in the panel's programming; enabled from the factory from revision 5.0 on
            Setting: entered at its keys within 60 s of power-up
            Its receiver at address 13 on main.keys, must be enabled in the panel's programming
            Partition 2 Workshop"#]].assert_eq(&hover.unwrap_or_default());
    }

    #[test]
    fn what_people_wrote_is_kept_as_it_is() {
        assert_eq!(plain("**a** 1\\. \\*b\\* \\| c  \n> d"), "a 1. *b* | c\nd");
        assert_eq!(plain("`a*b\\` c"), "a*b\\ c");
        assert_eq!(
            plain("| a \\| b | c |\n| :- | -: |\n| d | ef |"),
            "a | b   c\nd      ef"
        );
        assert_eq!(plain("```bellwire\nrun a { # *x*\n```"), "run a { # *x*");
        for odd in ["", "|", "||", "\\", "`", "| |\n|"] {
            plain(odd);
        }
    }
}
