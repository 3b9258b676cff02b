--- How the site at the cursor stands: the device with least to spare. The server is asked once the cursor rests and
--- whenever findings change; its answer is b:bellwire_standing, for any status line.
local M = {}

--- Milliseconds for which the cursor must rest.
local PAUSE = 100

local timer = assert(vim.uv.new_timer())
local group = vim.api.nvim_create_augroup('bellwire.standing', {})
--- An answer that comes when another has been asked for is dropped.
local asked = 0

local function show(buffer, standing)
  if vim.api.nvim_buf_is_valid(buffer) and not vim.deep_equal(vim.b[buffer].bellwire_standing, standing) then
    vim.b[buffer].bellwire_standing = standing
    vim.cmd.redrawstatus()
  end
end

local function ask()
  asked = asked + 1
  local turn, buffer = asked, vim.api.nvim_get_current_buf()
  local client = vim.lsp.get_clients({ bufnr = buffer, name = 'bellwire' })[1]
  if not (client and client.initialized and vim.tbl_get(client.server_capabilities, 'experimental', 'bellwire/standing')) then
    return
  end
  local at = vim.lsp.util.make_position_params(0, client.offset_encoding)
  client:request('bellwire/standing', at, function(failure, answer)
    if turn == asked and not failure then
      show(buffer, answer)
    end
  end, buffer)
end

local function soon()
  timer:start(PAUSE, 0, vim.schedule_wrap(ask))
end

--- Asks for a plan that the server has just taken on, and anew whenever the answer may be another.
--- @param buffer integer
function M.attach(buffer)
  vim.api.nvim_clear_autocmds({ group = group, buffer = buffer })
  local events = { 'BufEnter', 'CursorMoved', 'CursorMovedI', 'TextChanged', 'TextChangedI', 'DiagnosticChanged' }
  vim.api.nvim_create_autocmd(events, { group = group, buffer = buffer, callback = soon })
  soon()
end

--- Forgets a plan that the server has let go.
--- @param buffer integer
function M.detach(buffer)
  vim.api.nvim_clear_autocmds({ group = group, buffer = buffer })
  show(buffer, nil)
end

--- Goes to the device with least to spare, and says what it gets.
function M.go()
  local standing = vim.b.bellwire_standing
  local client = vim.lsp.get_clients({ bufnr = 0, name = 'bellwire' })[1]
  if not (standing and client) then
    vim.notify('bellwire: nothing is known here of what devices have to spare', vim.log.levels.WARN)
    return
  end
  vim.lsp.util.show_document(standing.location, client.offset_encoding, { focus = true })
  vim.notify(standing.detail)
end

return M
