//! The order in which the parts of a tune are played: `P:AABB`, `P:A2.B2`, `P:((AB)3.(CD)3)2`.

/// The longest order that is carried out, as in chart text.
const LONGEST: usize = 10_000;

/// The parts in the order they are played; nothing where the order can't be read or is longer than
/// 10,000 parts. Dots mean nothing.
pub(super) fn order(text: &str) -> Vec<String> {
    let mut open: Vec<Vec<String>> = vec![Vec::new()];
    let mut rest = text.chars().peekable();
    while let Some(c) = rest.next() {
        // What the number behind it repeats.
        let last = match c {
            'A'..='Z' => vec![c.to_string()],
            '(' => {
                open.push(Vec::new());
                continue;
            }
            ')' => open.pop().unwrap_or_default(),
            '.' | ' ' => continue,
            _ => return Vec::new(),
        };
        let mut times = String::new();
        while let Some(digit) = rest.next_if(char::is_ascii_digit) {
            times.push(digit);
        }
        // Nothing, however often, is nothing.
        let times = match last.is_empty() {
            true => 0,
            false => times.parse().unwrap_or(1_usize),
        };
        let Some(level) = open.last_mut() else {
            return Vec::new();
        };
        if times.saturating_mul(last.len()) + level.len() > LONGEST {
            return Vec::new();
        }
        for _ in 0..times {
            level.extend_from_slice(&last);
        }
    }
    match open.len() {
        1 => open.pop().unwrap_or_default(),
        _ => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::order;

    #[test]
    fn orders_are_written_out() {
        assert_eq!(order("AABB").concat(), "AABB");
        assert_eq!(order("A2.B2").concat(), "AABB");
        assert_eq!(order("((AB)3.(CD)3)2").concat(), "ABABABCDCDCDABABABCDCDCD");
        assert_eq!(order("A(B").concat(), "");
        assert_eq!(order("a tune").concat(), "");
        assert_eq!(order("((((A99)99)99)99)99").len(), 0);
        assert_eq!(order("A()18446744073709551615").concat(), "A");
    }
}
