(block) @fold
(comment)+ @fold
