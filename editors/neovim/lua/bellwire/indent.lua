--- Indentation while typing: one step for each open block. The server's formatter does the rest.
local M = {}

--- The line without its comment and strings, so that a brace in them does not count. What stands behind a backslash ends
--- no string.
local function bare(text)
  return (text:gsub('\\.', ''):gsub('"[^"]*"?', ''):gsub('#.*$', ''))
end

--- @param number integer line number, from 1
--- @return integer columns
function M.indent(number)
  local above = vim.fn.prevnonblank(number - 1)
  if above == 0 then
    return 0
  end
  local step = vim.fn.shiftwidth()
  local columns = vim.fn.indent(above)
  local _, opened = bare(vim.fn.getline(above)):gsub('{', '')
  local _, closed = bare(vim.fn.getline(above)):gsub('}', '')
  if opened > closed then
    columns = columns + step
  end
  if vim.fn.getline(number):match('^%s*}') then
    columns = columns - step
  end
  return math.max(columns, 0)
end

return M
