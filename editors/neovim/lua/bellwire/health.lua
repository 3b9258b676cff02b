--- :checkhealth bellwire
local M = {}

local function check_program()
  local bellwire = require('bellwire')
  local path = bellwire.program()
  if not path then
    vim.health.error(bellwire.no_program())
    return
  end
  local ok, result = pcall(function()
    return vim.system({ path, '--version' }, { text = true, timeout = 5000 }):wait()
  end)
  if ok and result.code == 0 then
    vim.health.ok(('%s is %s'):format(path, vim.trim(result.stdout)))
  else
    vim.health.error(('%s does not run: %s'):format(path, ok and vim.trim(result.stderr or '') or result))
  end
end

local function check_parser()
  local bellwire = require('bellwire')
  if not vim.treesitter.language.add('bellwire') then
    vim.health.error(bellwire.no_parser)
    return
  end
  local abi = vim.treesitter.language.inspect('bellwire').abi_version
  vim.health.ok(('the parser is loaded (ABI %d)'):format(abi))
  local ok, query = pcall(vim.treesitter.query.get, 'bellwire', 'highlights')
  if ok and query then
    vim.health.ok('the highlight query fits the parser')
  else
    vim.health.error('the highlight query does not fit the parser: run `make install` in editors/neovim again')
  end
end

local function check_clients()
  local clients = vim.lsp.get_clients({ name = 'bellwire' })
  if #clients == 0 then
    vim.health.info('no server is running: open a .bell file')
  end
  for _, client in ipairs(clients) do
    local plans = vim.tbl_count(client.attached_buffers)
    vim.health.ok(('a server runs for %s, %d open plan%s'):format(client.root_dir, plans, plans == 1 and '' or 's'))
  end
end

function M.check()
  vim.health.start('Bellwire: program')
  check_program()
  vim.health.start('Bellwire: highlighting')
  check_parser()
  vim.health.start('Bellwire: language server')
  check_clients()
end

return M
