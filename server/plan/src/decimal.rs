//! Numbers in decimals, as people read them.

/// With so many decimals; no minus before what rounds to nothing.
pub fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.trim_matches(['-', '0', '.']).is_empty() {
        true => format!("{:.decimals$}", 0.0),
        false => text,
    }
}

/// The same without the decimals that say nothing: `12`, `0.25`.
pub fn short(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_string(),
        false => text,
    }
}

/// With at most so many significant digits, as long as these are no more than nine decimals.
pub fn significant(value: f64, digits: i32) -> String {
    if value == 0.0 || !value.is_finite() {
        return format!("{value}");
    }
    let decimals = digits - 1 - value.abs().log10().floor() as i32;
    short(value, decimals.clamp(0, 9) as usize)
}

/// Rounded to the first of its digits: `40` for 39.4, `0.3` for 0.31.
pub fn round(value: f64) -> String {
    let step = 10_f64.powf(value.abs().log10().floor());
    match step > 0.0 {
        true => significant((value / step).round() * step, 1),
        false => significant(value, 1),
    }
}

/// Whole numbers in rows without gaps, each as its first and its last.
pub fn rows(numbers: &[u32]) -> Vec<(u32, u32)> {
    let mut rows: Vec<(u32, u32)> = Vec::new();
    for &number in numbers {
        match rows.last_mut() {
            Some((_, last)) if last.checked_add(1) == Some(number) => *last = number,
            _ => rows.push((number, number)),
        }
    }
    rows
}

/// Ohms that an input sees, as tables have them; endless in an open loop.
pub fn ohms(value: f64) -> String {
    match value.is_finite() {
        true if value < 10.0 => fixed(value, 2),
        true => fixed(value, 0),
        false => "open".to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_written_as_people_read_them() {
        assert_eq!(fixed(-0.0001, 2), "0.00");
        assert_eq!(fixed(-1.236, 2), "-1.24");
        assert_eq!(short(12.0, 1), "12");
        assert_eq!(short(0.96, 1), "1");
        assert_eq!(short(10.25, 3), "10.25");
        assert_eq!(short(100.0, 0), "100");
        assert_eq!(short(-1e-15, 3), "0");
        assert_eq!(significant(1234.5, 3), "1234");
        assert_eq!(significant(0.045_16, 3), "0.0452");
        assert_eq!(significant(0.0, 3), "0");
        assert_eq!(round(39.37), "40");
        assert_eq!(round(0.306), "0.3");
        assert_eq!(round(-0.96), "-1");
        assert_eq!(round(0.0), "0");
        assert_eq!(ohms(9.996), "10.00");
        assert_eq!(ohms(2200.4), "2200");
        assert_eq!(ohms(f64::INFINITY), "open");
    }
}
