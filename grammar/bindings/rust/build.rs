//! Compiles the generated parser.

fn main() {
    cc::Build::new()
        .std("c11")
        .include("src")
        .file("src/parser.c")
        .warnings(false)
        .compile("tree-sitter-bellwire");
    println!("cargo:rerun-if-changed=src/parser.c");
}
