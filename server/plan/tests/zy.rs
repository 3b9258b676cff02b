mod common;
use std::time::Instant;
#[test]
fn time() {
    let demo = common::demo();
    let one = &demo["sites/quarry-lane.bell"];
    let mut text = String::new();
    for i in 0..200 {
        text += &one
            .replace("quarry-lane", &format!("site{i}"))
            .replace("4412", &format!("{}", i));
    }
    let lang = tree_sitter_bellwire::LANGUAGE.into();
    for _ in 0..3 {
        let t = Instant::now();
        let mut p = tree_sitter::Parser::new();
        p.set_language(&lang).unwrap();
        let tree = p.parse(&text, None).unwrap();
        let parse = t.elapsed();
        let t = Instant::now();
        let mut n = 0;
        let mut c = tree.walk();
        'o: loop {
            n += 1;
            if c.goto_first_child() {
                continue;
            }
            while !c.goto_next_sibling() {
                if !c.goto_parent() {
                    break 'o;
                }
            }
        }
        let walk = t.elapsed();
        let t = Instant::now();
        let f = bellwire_plan::source::File::new(common::path("x.bell"), &text);
        let file = t.elapsed();
        let t = Instant::now();
        for (_, i) in f.items() {
            i.declared();
        }
        println!(
            "{} bytes {} lines parse {parse:?} walk {n} {walk:?} file {file:?} declared {:?}",
            text.len(),
            text.lines().count(),
            t.elapsed()
        );
        let t = Instant::now();
        let mut plans = demo.clone();
        plans.insert("x.bell".into(), text.clone());
        let w = common::workspace(&plans);
        println!("workspace {:?}", t.elapsed());
        drop(w);
    }
}
