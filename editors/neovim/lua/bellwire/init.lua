--- The program, its workspace and its state, as the rest of the plugin and a user's configuration need them.
local M = {}

M.no_parser = 'bellwire: no parser, so no colours. Run `make install` in editors/neovim of a Bellwire checkout.'

--- The program's full path: the one that vim.g.bellwire_program names, else the one on the PATH, else where cargo
--- installs, since an editor started from a desktop often lacks that on its PATH. Nil if it is not there.
--- @return string?
function M.program()
  local cargo = vim.fs.joinpath(vim.env.CARGO_HOME or '~/.cargo', 'bin', 'bellwire')
  local places = vim.g.bellwire_program and { vim.g.bellwire_program } or { 'bellwire', cargo }
  for _, place in ipairs(places) do
    local path = vim.fn.exepath(vim.fs.normalize(place))
    if path ~= '' then
      return path
    end
  end
end

--- What to tell a user whose program is not found.
--- @return string
function M.no_program()
  return ('bellwire: the program %s was not found, so plans are not checked. '):format(vim.g.bellwire_program or 'bellwire')
    .. 'Run `cargo install --locked --path server/bellwire` in a Bellwire checkout, or set vim.g.bellwire_program to its path; '
    .. 'then run :BellwireRestart.'
end

--- Tells the user once, and after Neovim's own message about the file, which would cover it.
--- @param message string
function M.warn(message)
  vim.schedule(function()
    vim.notify_once(message, vim.log.levels.WARN)
  end)
end

--- The workspace of a plan: its repository, else the current folder if the plan lies below it, else its own folder.
--- Plans may `use` others anywhere in the workspace, but none outside it. What is built in goes to the server that
--- is there.
--- @param buffer integer
--- @return string
function M.root(buffer)
  local is_built_in = vim.fs.normalize(vim.api.nvim_buf_get_name(buffer)):find('/bellwire/[^/]+/bellwire%-library/')
  local running = is_built_in and vim.lsp.get_clients({ name = 'bellwire' })[1]
  if running and running.root_dir then
    return running.root_dir
  end
  local repository = vim.fs.root(buffer, { '.git', '.hg', '.jj' })
  if repository then
    return repository
  end
  local file, here = vim.fs.normalize(vim.api.nvim_buf_get_name(buffer)), vim.fs.normalize(vim.fn.getcwd())
  return vim.fs.relpath(here, file) and here or vim.fs.dirname(file)
end

--- Stops the server and starts it anew for every open plan. One that hangs is ended by force.
function M.restart()
  if not M.program() then
    vim.notify(M.no_program(), vim.log.levels.WARN)
    return
  end
  local function running()
    return vim.lsp.get_clients({ name = 'bellwire' })
  end
  vim.lsp.enable('bellwire', false)
  for _, client in ipairs(running()) do
    client:stop()
  end
  vim.wait(2000, function()
    return #running() == 0
  end, 20)
  for _, client in ipairs(running()) do
    client.rpc.terminate() -- `client:stop(true)` does nothing to one that is being stopped
  end
  vim.lsp.enable('bellwire')
end

local function counted(number, one)
  return number > 0 and ('%d %s%s'):format(number, one, number == 1 and '' or 's') or nil
end

--- A few words for a status line: the errors and warnings of the plan in the current window, and the device with least
--- to spare of the site at the cursor; or the server's state. Empty in a buffer that is not a plan.
---
---     vim.o.statusline = '%f %m %= %{v:lua.require("bellwire").status()}'
--- @return string
function M.status()
  if vim.bo.filetype ~= 'bellwire' then
    return ''
  end
  local client = vim.lsp.get_clients({ bufnr = 0, name = 'bellwire' })[1]
  if not client then
    return 'bellwire: off'
  end
  if not client.initialized then
    return 'bellwire: starting'
  end
  local busy = next(client.progress.pending)
  if busy ~= nil then
    return ('bellwire: %s…'):format(client.progress.pending[busy])
  end
  local count = vim.diagnostic.count(0)
  local parts = {}
  vim.list_extend(parts, { counted(count[vim.diagnostic.severity.ERROR] or 0, 'error') })
  vim.list_extend(parts, { counted(count[vim.diagnostic.severity.WARN] or 0, 'warning') })
  vim.list_extend(parts, { vim.tbl_get(vim.b, 'bellwire_standing', 'text') })
  return 'bellwire: ' .. (#parts > 0 and table.concat(parts, ', ') or 'ok')
end

return M
