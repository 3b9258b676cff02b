//! Plans of wired security systems: from text to typed plan, figures and findings
