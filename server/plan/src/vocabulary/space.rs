//! The namespaces of top-level names.

/// A namespace of top-level names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Space {
    /// `model`
    Model,
    /// `rules`
    Rules,
    /// `monitoring`
    Monitoring,
    /// `site`
    Site,
}

impl Space {
    /// Those that statements look names up in, each at the index that is its own
    /// number. Nobody looks up sites.
    pub const LOOKED_UP: [Space; 3] = [Space::Model, Space::Rules, Space::Monitoring];
}

const _: () = assert!(Space::LOOKED_UP.len() == Space::Site as usize);
