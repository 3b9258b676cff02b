-- What a user sees who has the plugin but not the program.
local here = vim.fs.dirname(debug.getinfo(1, 'S').source:sub(2))
local harness = dofile(here .. '/editor.lua')
local test, editor = harness.test, harness.start('sites/harbour.bell')

test('a plain message says what to run', function()
  local messages = editor.eventually('a message', [[
    local all = vim.fn.execute('messages')
    return all:find('was not found', 1, true) and all]])
  assert(messages:find('cargo install --locked --path server/bellwire', 1, true), messages)
  assert(not messages:find('stack traceback', 1, true), messages)
end)

test('it is said once, not for every plan', function()
  editor.lua('vim.cmd.edit("catalog/merrow.bell")')
  local messages = editor.lua('return vim.fn.execute("messages")')
  assert(select(2, messages:gsub('was not found', '')) == 1, messages)
end)

test('colours are there all the same', function()
  editor.eventually('a highlighter', 'return vim.treesitter.highlighter.active[vim.api.nvim_get_current_buf()] ~= nil')
end)

test('checkhealth names what is missing', function()
  editor.lua('vim.cmd("checkhealth bellwire")')
  local report = editor.lua('return table.concat(vim.api.nvim_buf_get_lines(0, 0, -1, false), "\\n")')
  assert(report:find('ERROR', 1, true) and report:find('cargo install', 1, true), report)
end)

editor.quit()
