mod common;
use bellwire_plan::source::*;
use std::time::Instant;
#[test]
fn time() {
    let demo = common::demo();
    let site = &demo["sites/quarry-lane.bell"];
    let one = site.replace(
        "use \"../catalog/merrow.bell\"\nuse \"../shared/monitoring.bell\"\n",
        "",
    );
    for n in [1usize, 20, 200, 2000] {
        let mut text =
            String::from("use \"../catalog/merrow.bell\"\nuse \"../shared/monitoring.bell\"\n");
        for i in 0..n {
            text += &one
                .replace("quarry-lane", &format!("site{i}"))
                .replace("4412", &format!("{}", i));
        }
        let t = Instant::now();
        let file = File::new(FilePath::new("sites/x.bell"), &text);
        let lines = file.text().lines();
        let read = t.elapsed();
        let mut plans = demo.clone();
        plans.insert("sites/x.bell".into(), text.clone());
        let mut ws = common::workspace(&plans);
        let at = text.find("address 2").unwrap() + 8;
        let mut f = ws
            .view()
            .entry(&FilePath::new("sites/x.bell"))
            .unwrap()
            .file
            .clone();
        let mut edit = vec![];
        let mut put = vec![];
        let mut find = vec![];
        let mut parse = vec![];
        for i in 0..40 {
            let t = Instant::now();
            let c = Change {
                range: Some(at..at + 1),
                text: format!("{}", 3 + i % 4),
            };
            let g = f.edit(&[c]);
            edit.push(t.elapsed());
            let t = Instant::now();
            ws.put(vec![g]);
            put.push(t.elapsed());
            let t = Instant::now();
            let e = ws.view().entry(&FilePath::new("sites/x.bell")).unwrap();
            let n = ws.view().findings(&e).len();
            find.push(t.elapsed());
            std::hint::black_box(n);
            f = e.file.clone();
            // bare parse
            let mut p = tree_sitter::Parser::new();
            p.set_language(&tree_sitter_bellwire::LANGUAGE.into())
                .unwrap();
            let mut tr = f.tree().unwrap().clone();
            let pt = tree_sitter::Point::new(0, 0);
            tr.edit(&tree_sitter::InputEdit {
                start_byte: at,
                old_end_byte: at + 1,
                new_end_byte: at + 1,
                start_position: pt,
                old_end_position: pt,
                new_end_position: pt,
            });
            let s = f.text().to_string();
            let t = Instant::now();
            let t2 = p.parse(&s, Some(&tr));
            parse.push(t.elapsed());
            drop(t2);
        }
        for v in [&mut edit, &mut put, &mut find, &mut parse] {
            v.sort();
        }
        println!(
            "{lines} lines: read {read:?} edit {:?} put {:?} find {:?} bare parse {:?}",
            edit[20], put[20], find[20], parse[20]
        );
    }
}
