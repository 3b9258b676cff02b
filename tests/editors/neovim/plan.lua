-- A designer's session on the demo plan: findings, colours, hover, completion, definition, quick fix, layout.
local here = vim.fs.dirname(debug.getinfo(1, 'S').source:sub(2))
local harness = dofile(here .. '/editor.lua')
local test, editor = harness.test, harness.start('sites/harbour.bell')

local findings = [[
  local want, found = ..., {}
  for _, d in ipairs(vim.diagnostic.get(0)) do
    if d.code == want then table.insert(found, d.lnum + 1) end
  end
  return #found > 0 and found]]

local function gone(code)
  editor.eventually(code .. ' gone', 'return not (function(...) ' .. findings .. ' end)(...)', code)
end

test('the file is a Bellwire plan', function()
  assert(editor.lua('return vim.bo.filetype') == 'bellwire')
  assert(editor.lua('return vim.bo.commentstring') == '# %s')
end)

test('the server starts for the repository', function()
  local root = editor.eventually('a client', [[
    local client = vim.lsp.get_clients({ bufnr = 0, name = 'bellwire' })[1]
    return client and client.initialized and client.root_dir]])
  assert(vim.uv.fs_realpath(root) == vim.uv.fs_realpath(vim.env.PLANS), root)
end)

test('words, models and comments have colours of their own', function()
  local captures = [[
    vim.treesitter.get_parser(0, 'bellwire'):parse(true)
    local at = vim.fn.getpos('.')
    local names = {}
    for _, capture in ipairs(vim.treesitter.get_captures_at_pos(0, at[2] - 1, at[3] - 1)) do
      table.insert(names, capture.capture)
    end
    return table.concat(names, ' ')]]
  local function capture(pattern)
    editor.go(pattern)
    return editor.lua(captures)
  end
  assert(capture([[^\s*\zskeypad]]):find('keyword'), capture([[^\s*\zskeypad]]))
  assert(capture([["Workshop door"]]):find('string'), capture([["Workshop door"]]))
  assert(capture([[\<K2R\>]]):find('type'), capture([[\<K2R\>]]))
  assert(capture([[, address \zs1]]):find('number'), capture([[, address \zs1]]))
end)

local rears_address = [[keypad\s\+rear.\{-}address \zs\d]]

test('the taken address in the demo is found', function()
  local lines = editor.eventually('address-taken', findings, 'address-taken')
  editor.go(rears_address)
  assert(vim.tbl_contains(lines, editor.lua('return vim.fn.line(".")')), vim.inspect(lines))
  local status = editor.lua('return require("bellwire").status()')
  assert(status:find('%d error'), status)
end)

test('the finding goes and comes while typing', function()
  editor.go(rears_address)
  editor.type('r2')
  gone('address-taken')
  editor.type('u')
  editor.eventually('address-taken', findings, 'address-taken')
end)

test('a quick fix gives the next free address', function()
  editor.go(rears_address)
  editor.lua([[vim.lsp.buf.code_action({ apply = true, filter = function(action) return action.title:find('address 2', 1, true) ~= nil end })]])
  editor.eventually('the fix', 'return vim.api.nvim_get_current_line():find("address 2", 1, true)')
  gone('address-taken')
end)

test('the status line says which device has least to spare, and a command goes there', function()
  local status = 'return require("bellwire").status():find("rear 0.08 V to spare", 1, true)'
  editor.go([[^\s*partition 2]])
  editor.eventually('the device', status)
  editor.lua('vim.cmd.BellwireLeast()')
  editor.go([[keypad\s\+\zsrear]])
  local place = editor.lua('return vim.fn.getpos(".")')
  editor.go([[^\s*partition 2]])
  editor.lua('vim.cmd.BellwireLeast()')
  assert(vim.deep_equal(editor.lua('return vim.fn.getpos(".")'), place), editor.line())
  assert(editor.lua('return vim.fn.execute("1messages")'):find('rear gets 9.68 V', 1, true))

  editor.go([[\zs31 m]])
  editor.type('cw5<Esc>')
  editor.eventually('more to spare', 'return not (function() ' .. status .. ' end)() and require("bellwire").status():find("to spare")')
  editor.type('u')
  editor.eventually('as before', status)
  editor.lua('vim.cmd.edit("catalog/merrow.bell")')
  editor.eventually('nothing in a catalog', 'return require("bellwire").status() == "bellwire: ok"')
  editor.lua('vim.cmd.buffer("harbour.bell")')
  editor.eventually('the device again', status)
end)

test('hover on a device shows its volts', function()
  editor.go([[keypad\s\+\zsrear]])
  editor.type('K')
  local text = editor.eventually('a hover window', [[
    for _, window in ipairs(vim.api.nvim_list_wins()) do
      if vim.api.nvim_win_get_config(window).relative ~= '' then
        return table.concat(vim.api.nvim_buf_get_lines(vim.api.nvim_win_get_buf(window), 0, -1, false), '\n')
      end
    end]])
  assert(text:find('rear', 1, true) and text:find('%d+%.?%d* V'), text)
  assert(text:find('with the battery at its end', 1, true), text)
  editor.lua('vim.api.nvim_exec_autocmds("CursorMoved", { buffer = 0 })')
end)

test('after the word address the free places are offered', function()
  editor.go([[keypad\s\+rear]])
  editor.type('o<C-u>keypad spare : K2, address <C-x><C-o>')
  local words = editor.eventually('a menu', [[
    local info = vim.fn.complete_info({ 'pum_visible', 'items' })
    if info.pum_visible == 0 then return nil end
    return vim.tbl_map(function(item) return item.word end, info.items)]])
  assert(words[1] == '3', vim.inspect(words))
  assert(not vim.tbl_contains(words, '1') and not vim.tbl_contains(words, '2'), vim.inspect(words))
  editor.type('<C-y><Esc>')
  editor.eventually('the choice', 'return vim.api.nvim_get_current_line():find("address 3$")')
  editor.type('u')
  editor.eventually('the line gone', 'return vim.fn.search("keypad spare", "nw") == 0')
end)

test('what is offered for a word begins like it', function()
  editor.go([[keypad\s\+rear]])
  editor.type('o<C-u>exp<C-x><C-o>')
  local words = editor.eventually('a menu', [[
    local words = vim.tbl_map(function(item) return item.abbr end, vim.fn.complete_info({ 'items' }).items)
    return #words > 0 and words or vim.api.nvim_get_current_line():find('expander') and { 'expander' }]])
  assert(vim.deep_equal(words, { 'expander' }), vim.inspect(words))
  editor.type('<C-e><Esc>u')
  editor.eventually('the line gone', [[return vim.fn.search('^exp', 'nw') == 0]])
end)

test('go to definition on a model lands in the catalog', function()
  editor.go([[\<K2R\>]])
  editor.type('<C-]>')
  editor.eventually('the catalog', 'return vim.fn.expand("%:t") == "merrow.bell"')
  assert(editor.line():find('^model keypad K2R'), editor.line())
  editor.type('<C-o>')
  editor.eventually('the plan again', 'return vim.fn.expand("%:t") == "harbour.bell"')
end)

test('a built-in model opens for reading only', function()
  editor.go([[\<sealed-12V-7Ah\>]])
  editor.type('<C-]>')
  editor.eventually('the model', 'return vim.api.nvim_get_current_line():find("^model battery sealed%-12V%-7Ah") ~= nil')
  assert(editor.lua('return vim.bo.readonly'), 'the built-in library can be written to')
  editor.eventually('a client', [[return #vim.lsp.get_clients({ bufnr = 0, name = 'bellwire' }) > 0]])
  assert(editor.lua([[return #vim.lsp.get_clients({ name = 'bellwire' })]]) == 1, 'it has a server of its own')
  editor.type('<C-o>')
  editor.eventually('the plan again', 'return vim.fn.expand("%:t") == "harbour.bell"')
end)

test('volts stand beside devices, drops beside legs and ohms beside zones', function()
  editor.lua('vim.lsp.inlay_hint.enable(true)')
  local function hint(pattern, wanted)
    editor.go(pattern)
    editor.eventually('a hint ' .. wanted, [[
      local line, wanted = vim.fn.line('.') - 1, ...
      for _, found in ipairs(vim.lsp.inlay_hint.get({ bufnr = 0, range = { start = { line = line, character = 0 }, ['end'] = { line = line, character = 999 } } })) do
        local label = found.inlay_hint.label
        if label:find(wanted) then return true end
      end]], wanted)
  end
  hint([[keypad\s\+rear]], '^%d+%.?%d* V, %d+ mA$')
  hint([[main\.keys --]], ' V$')
  hint([[zone 2]], ' ohm .* k?ohm$')
end)

test('a sort of hint can be turned off', function()
  editor.lua([[
    local client = vim.lsp.get_clients({ name = 'bellwire' })[1]
    client.settings = { bellwire = { hints = { devices = false } } }
    client:notify('workspace/didChangeConfiguration', { settings = client.settings })]])
  editor.eventually('hints without devices', [[
    local devices, others = 0, 0
    for _, found in ipairs(vim.lsp.inlay_hint.get({ bufnr = 0 })) do
      if found.inlay_hint.label:find(' mA$') then devices = devices + 1 else others = others + 1 end
    end
    return devices == 0 and others > 0]])
end)

test('the load stands above the panel', function()
  editor.lua('vim.lsp.codelens.refresh({ bufnr = 0 })')
  editor.eventually('a lens', [[
    for _, lens in ipairs(vim.lsp.codelens.get(0)) do
      if lens.command and lens.command.title:find('aux %d+ mA of 600 mA') then return true end
    end]])
end)

test('choices have the colour of choices', function()
  editor.go([[\<silent\>]])
  editor.eventually('a token', [[
    for _, token in ipairs(vim.lsp.semantic_tokens.get_at_pos() or {}) do
      if token.type == 'enumMember' then return true end
    end]])
end)

test('the layout is put right', function()
  editor.go([[^\s*partition 2]])
  local before = editor.line()
  editor.lua('vim.api.nvim_set_current_line("  " .. vim.trim(vim.api.nvim_get_current_line()) .. "   ")')
  editor.lua('vim.lsp.buf.format({ timeout_ms = 10000 })')
  assert(editor.line() == before, editor.line())
end)

test('a new line in a block is indented, a closing brace is not', function()
  editor.go([[^\s*bus keys]])
  editor.type('Obus spare {<CR>power aux<CR>}<Esc>')
  local lines = editor.eventually('three lines', [[
    local number = vim.fn.line('.')
    local lines = vim.api.nvim_buf_get_lines(0, number - 3, number, false)
    return lines[3] and lines[3]:find('}') and lines]])
  assert(vim.deep_equal(lines, { '    bus spare {', '      power aux', '    }' }), vim.inspect(lines))
  editor.type('u')
end)

test('a brace in a text indents nothing', function()
  editor.go([[^\s*bus keys]])
  editor.type([[Onote "a \" {"<CR>joint j<Esc>]])
  editor.eventually('a line', [[return vim.api.nvim_get_current_line() == '    joint j']])
  editor.type('u')
end)

test('the server comes back after a restart', function()
  local before = editor.lua([[return vim.lsp.get_clients({ bufnr = 0, name = 'bellwire' })[1].id]])
  editor.lua('vim.cmd.BellwireRestart()')
  editor.eventually('another client', [[
    local client = vim.lsp.get_clients({ bufnr = 0, name = 'bellwire' })[1]
    return client and client.initialized and client.id ~= ...]], before)
end)

test('a server that hangs is replaced too', function()
  local before = editor.lua([[return vim.lsp.get_clients({ bufnr = 0, name = 'bellwire' })[1].id]])
  local hung = editor.lua([[
    for _, child in ipairs(vim.api.nvim_get_proc_children(vim.fn.getpid())) do
      local process = vim.api.nvim_get_proc(child)
      if process and process.name == 'bellwire' then return child end
    end]])
  assert(vim.uv.kill(hung, 'sigstop') == 0)
  editor.lua('vim.cmd.BellwireRestart()')
  -- It is told to end by a signal, which waits until it runs again.
  local pending = tonumber(io.open(('/proc/%d/status'):format(hung)):read('a'):match('ShdPnd:%s*(%x+)'), 16)
  assert(bit.band(pending, 0x4000) ~= 0, 'it is not ended by force')
  vim.uv.kill(hung, 'sigcont')
  editor.eventually('another client alone', [[
    local clients = vim.lsp.get_clients({ bufnr = 0, name = 'bellwire' })
    return #clients == 1 and clients[1].initialized and clients[1].id ~= ...]], before)
end)

test('what was known goes with the server', function()
  editor.eventually('the device', 'return vim.b.bellwire_standing ~= nil')
  editor.lua([[vim.lsp.get_clients({ bufnr = 0, name = 'bellwire' })[1]:stop(true)]])
  editor.eventually('nothing', 'return vim.b.bellwire_standing == nil and require("bellwire").status() == "bellwire: off"')
  editor.lua('vim.cmd.BellwireRestart()')
  editor.eventually('the device again', 'return vim.b.bellwire_standing ~= nil')
end)

test('the log opens', function()
  editor.lua('vim.cmd.BellwireLog()')
  assert(editor.lua('return vim.fn.expand("%:p") == vim.lsp.log.get_filename()'), editor.lua('return vim.fn.expand("%:p")'))
  editor.lua('vim.cmd.tabclose()')
end)

test('a plan that is taken for something else keeps nothing of a plan', function()
  local function options()
    return editor.lua([[
      local buffer = vim.bo
      return { buffer.shiftwidth, buffer.indentexpr, buffer.commentstring, buffer.formatoptions, buffer.iskeyword }]])
  end
  local plan = options()
  assert(plan[1] == 2 and plan[2] ~= '' and not plan[4]:find('t') and plan[5]:find(',-', 1, true), vim.inspect(plan))
  editor.lua('vim.bo.filetype = "text"')
  local text = options()
  for option, value in ipairs(text) do
    assert(value ~= plan[option], vim.inspect(text))
  end
  assert(editor.lua('return vim.treesitter.highlighter.active[vim.api.nvim_get_current_buf()] == nil'))
  assert(editor.lua('return vim.b.bellwire_standing == nil and #vim.api.nvim_get_autocmds({ group = "bellwire.standing", buffer = 0 }) == 0'))
  editor.lua('vim.bo.filetype = "bellwire"')
  assert(vim.deep_equal(options(), plan))
  editor.eventually('the device again', 'return require("bellwire").status():find("to spare", 1, true)')
end)

test('checkhealth finds nothing wrong', function()
  editor.lua('vim.cmd("checkhealth bellwire")')
  local report = editor.lua('return table.concat(vim.api.nvim_buf_get_lines(0, 0, -1, false), "\\n")')
  assert(not report:find('ERROR', 1, true) and not report:find('WARN', 1, true), report)
  assert(report:find('a server runs for', 1, true), report)
end)

test('the help has its tags', function()
  editor.lua('vim.cmd("helptags ALL")')
  editor.lua('vim.cmd.help("bellwire-server")')
  assert(editor.lua('return vim.fn.expand("%:t")') == 'bellwire.txt')
end)

editor.quit()
