//! What hangs together: numbered things, in sets that only ever grow together (union-find).

/// Sets of things numbered from 0. Each thing begins in a set of its own.
#[derive(Debug, Clone, Default)]
pub struct DisjointSets {
    /// For each thing, one nearer to the thing that stands for its set, which is its own. Always
    /// an index into the list.
    parent: Vec<usize>,
}

impl DisjointSets {
    /// So many things, each by itself.
    pub fn new(count: usize) -> DisjointSets {
        DisjointSets {
            parent: (0..count).collect(),
        }
    }

    /// How many things there are.
    pub fn count(&self) -> usize {
        self.parent.len()
    }

    /// One thing more, by itself. Gives its number.
    pub fn add(&mut self) -> usize {
        let new = self.parent.len();
        self.parent.push(new);
        new
    }

    /// The thing that stands for the set of a thing.
    ///
    /// # Panics
    /// There is no thing of that number.
    pub fn root(&mut self, mut thing: usize) -> usize {
        while self.parent[thing] != thing {
            self.parent[thing] = self.parent[self.parent[thing]];
            thing = self.parent[thing];
        }
        thing
    }

    /// Makes the sets of two things one. What stood for the first stands for both.
    ///
    /// # Panics
    /// There is no thing of one of the numbers.
    pub fn join(&mut self, first: usize, second: usize) {
        let (first, second) = (self.root(first), self.root(second));
        self.parent[second] = first;
    }
}

#[cfg(test)]
mod tests {
    use super::DisjointSets;

    #[test]
    fn what_is_joined_has_one_root() {
        let mut sets = DisjointSets::new(4);
        sets.join(0, 1);
        sets.join(2, 3);
        assert_ne!(sets.root(1), sets.root(3));
        sets.join(1, 3);
        assert_eq!([0, 1, 2, 3].map(|thing| sets.root(thing)), [0; 4]);
        sets.join(3, 0);
        assert_eq!(sets.root(3), 0);
        let alone = sets.add();
        assert_eq!((alone, sets.root(alone), sets.count()), (4, 4, 5));
    }
}
