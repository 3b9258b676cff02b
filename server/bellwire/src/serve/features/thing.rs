//! The protocol's kinds of symbol for the things of a plan.

use bellwire_assist::Thing;
use tower_lsp::ls_types::SymbolKind;

/// The kind whose picture comes nearest.
pub fn symbol_kind(thing: Thing) -> SymbolKind {
    match thing {
        Thing::Model => SymbolKind::CLASS,
        Thing::RuleSet => SymbolKind::INTERFACE,
        Thing::Monitoring => SymbolKind::PACKAGE,
        Thing::Site => SymbolKind::NAMESPACE,
        Thing::Unit => SymbolKind::MODULE,
        Thing::Device => SymbolKind::OBJECT,
        Thing::Joint => SymbolKind::KEY,
        Thing::Run => SymbolKind::ARRAY,
        Thing::Partition => SymbolKind::ENUM,
        Thing::Zone => SymbolKind::EVENT,
        Thing::Output => SymbolKind::PROPERTY,
        Thing::Bus => SymbolKind::STRUCT,
        Thing::Inputs => SymbolKind::FIELD,
        Thing::Loop => SymbolKind::ENUM_MEMBER,
    }
}
