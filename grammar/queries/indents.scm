; One step for each open block, closed or not.
(block) @indent.begin

"}" @indent.branch @indent.end
