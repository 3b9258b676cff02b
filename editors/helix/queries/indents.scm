(block) @indent

"}" @outdent
