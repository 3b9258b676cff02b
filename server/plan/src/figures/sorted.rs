//! Lists in the order of a key.

/// The stretch of a list that has a key; the list is in the order of what `of` gives.
pub(super) fn with_key<T, K: Ord>(list: &[T], key: K, of: impl Fn(&T) -> K) -> &[T] {
    let first = list.partition_point(|value| of(value) < key);
    let end = list.partition_point(|value| of(value) <= key);
    list.get(first..end).unwrap_or(&[])
}
