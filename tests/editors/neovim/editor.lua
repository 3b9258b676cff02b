--- A real Neovim as a user starts it, driven over its RPC: keys go in, state is read back.
local M = {}

local deadline = 20000

local function quit(message)
  io.stderr:write('FAIL: ' .. message .. '\n')
  os.exit(1)
end

--- Runs a test; any error in it fails the whole run.
function M.test(name, body)
  local ok, err = xpcall(body, debug.traceback)
  if not ok then
    quit(name .. ': ' .. err)
  end
  io.stdout:write('    ok: ' .. name .. '\n')
end

--- Starts Neovim with its default configuration and every installed plugin on `file`, under $PLANS.
function M.start(file)
  local plans = vim.env.PLANS
  local channel = vim.fn.jobstart({ vim.v.progpath, '--embed', '--headless', '-n', '-i', 'NONE', file }, { rpc = true, cwd = plans })
  assert(channel > 0, 'Neovim did not start')
  local editor = {}

  --- Runs Lua in the editor; what it returns comes back.
  function editor.lua(code, ...)
    return vim.rpcrequest(channel, 'nvim_exec_lua', code, { ... })
  end

  --- Types keys, in Vim's notation.
  function editor.type(keys)
    vim.rpcrequest(channel, 'nvim_input', keys)
  end

  --- Waits until the Lua gives something true, and returns that.
  function editor.eventually(what, code, ...)
    local result
    local arguments = { ... }
    local done = vim.wait(deadline, function()
      result = editor.lua(code, unpack(arguments))
      return result ~= nil and result ~= vim.NIL and result ~= false
    end, 50)
    if not done then
      error(('never came: %s\n  messages: %s'):format(what, editor.lua('return vim.fn.execute("messages")')), 2)
    end
    return result
  end

  --- Puts the cursor on the first character that `pattern` (a Vim pattern) matches, from the top.
  function editor.go(pattern)
    local found = editor.lua('vim.fn.cursor(1, 1) return vim.fn.search(..., "cW")', pattern)
    assert(found > 0, 'not in the plan: ' .. pattern)
  end

  function editor.line()
    return editor.lua('return vim.api.nvim_get_current_line()')
  end

  --- Leaves without saving, as a user would, and sees that Neovim ends.
  function editor.quit()
    pcall(vim.rpcnotify, channel, 'nvim_command', 'qall!')
    assert(vim.fn.jobwait({ channel }, 10000)[1] == 0, 'Neovim did not end well')
  end

  return editor
end

return M
