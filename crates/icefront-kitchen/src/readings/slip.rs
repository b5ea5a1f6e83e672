//! Two digits swapped, the commonest slip of the pen: what a cell would say with them in the other order.

/// The text with two neighbouring digits swapped, each way that this can be done; a decimal sign between them stays in place.
pub fn swapped_digits(text: &str) -> Vec<String> {
    let characters: Vec<char> = text.chars().collect();
    let digits: Vec<usize> = (0..characters.len()).filter(|&i| characters[i].is_ascii_digit()).collect();
    let neighbours = |pair: &&[usize]| {
        let (a, b) = (pair[0], pair[1]);
        let joined = b == a + 1 || (b == a + 2 && matches!(characters[a + 1], '.' | ','));
        joined && characters[a] != characters[b]
    };
    let swapped = |pair: &[usize]| {
        let mut swapped = characters.clone();
        swapped.swap(pair[0], pair[1]);
        swapped.into_iter().collect()
    };
    digits.windows(2).filter(neighbours).map(swapped).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn neighbouring_digits_are_swapped() {
        assert_eq!(swapped_digits("463"), ["643", "436"]);
        assert_eq!(swapped_digits("1.25 kg"), ["2.15 kg", "1.52 kg"]);
        assert_eq!(swapped_digits("1 lb 3 oz"), Vec::<String>::new());
        assert_eq!(swapped_digits("550"), ["505"]);
    }
}
