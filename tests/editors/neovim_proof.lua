-- Run inside Neovim, with the project's own configuration loaded: does what a machinist does and checks what is seen.
-- PROOF_FILE is the program; PROOF_ENCODING the one position encoding that this Neovim offers.

local LIMIT = 4000 -- milliseconds for any one thing to appear

local function check(holds, what)
  if not holds then error(what, 0) end
  io.stdout:write("ok: " .. what .. "\n")
end

local function wait(condition, what)
  check(vim.wait(LIMIT, condition, 10), what)
end

local function floats()
  return vim.tbl_filter(function(window)
    return vim.api.nvim_win_get_config(window).relative ~= ""
  end, vim.api.nvim_list_wins())
end

-- The one diagnostic there is, on this line, with exactly this text of the line under it.
local function check_underlined(buffer, row, text)
  local found = vim.diagnostic.get(buffer)
  check(#found == 1, "exactly one diagnostic")
  local diagnostic = found[1]
  check(diagnostic.code == "return-by-work-point", "its code is the rule's name")
  check(diagnostic.source == "waywright", "its source is waywright")
  check(diagnostic.severity == vim.diagnostic.severity.ERROR, "it is an error")
  check(#diagnostic.message > 20, "it says something: " .. diagnostic.message)
  check(diagnostic.lnum == row and diagnostic.end_lnum == row, "it is on line " .. row + 1)
  local line = vim.api.nvim_buf_get_lines(buffer, row, row + 1, false)[1]
  local under = line:sub(diagnostic.col + 1, diagnostic.end_col)
  check(under == text, ("underlined is %q, expected %q"):format(under, text))
end

-- Until the diagnostics are those of the text as it is now.
local function wait_underlined(buffer, row, text, what)
  wait(function()
    local found = vim.diagnostic.get(buffer)
    if #found ~= 1 or found[1].lnum ~= row then return false end
    local line = vim.api.nvim_buf_get_lines(buffer, row, row + 1, false)[1]
    return line:sub(found[1].col + 1, found[1].end_col) == text
  end, what)
end

local function put_cursor_on(row, text)
  local line = vim.api.nvim_buf_get_lines(0, row, row + 1, false)[1]
  vim.api.nvim_win_set_cursor(0, { row + 1, assert(line:find(text, 1, true)) - 1 })
end

local function check_text(buffer, expected, what)
  local text = table.concat(vim.api.nvim_buf_get_lines(buffer, 0, -1, false), "\n") .. "\n"
  check(text == expected, ("%s: %q, expected %q"):format(what, text, expected))
end

local function main()
  local exit_code
  vim.lsp.config("waywright", {
    capabilities = { general = { positionEncodings = { vim.env.PROOF_ENCODING } } },
    on_exit = function(code) exit_code = code end,
  })
  vim.cmd.edit(vim.env.PROOF_FILE)
  local buffer = vim.api.nvim_get_current_buf()
  check(vim.bo.filetype == "lathe", "the filetype is recognised")

  wait(function() return #vim.diagnostic.get(buffer) > 0 end, "a diagnostic arrives")
  local client = vim.lsp.get_clients({ name = "waywright" })[1]
  check(client.offset_encoding == vim.env.PROOF_ENCODING, "positions are in " .. vim.env.PROOF_ENCODING)
  check_underlined(buffer, 3, "X0. Z0.")

  put_cursor_on(3, "G28")
  vim.lsp.buf.hover()
  wait(function() return #floats() > 0 end, "a hover opens")
  local shown = vim.api.nvim_buf_get_lines(vim.api.nvim_win_get_buf(floats()[1]), 0, -1, false)
  local text = table.concat(shown, "\n")
  check(text:find("work frame", 1, true), "the hover says in which frame the block is read: " .. text)
  for _, window in ipairs(floats()) do vim.api.nvim_win_close(window, true) end

  -- Typed, so that Neovim sends what changed on the line, counted behind the emoji.
  put_cursor_on(3, "X0.")
  vim.cmd.normal({ "rU", bang = true })
  put_cursor_on(3, "Z0.")
  vim.cmd.normal({ "rW", bang = true })
  check(vim.api.nvim_get_current_line() == "(😀 é) G28 U0. W0.", "the line is edited")
  wait(function() return #vim.diagnostic.get(buffer) == 0 end, "the diagnostic goes")

  put_cursor_on(3, "U0.")
  vim.cmd.normal({ "rX", bang = true })
  wait(function() return #vim.diagnostic.get(buffer) == 1 end, "a diagnostic comes back with the absolute word")
  check_underlined(buffer, 3, "X0.")
  vim.cmd.normal({ "ggO(ONE LINE MORE 😀)", bang = true })
  wait(function()
    local found = vim.diagnostic.get(buffer)
    return #found == 1 and found[1].lnum == 4
  end, "it moves with its line")
  check_underlined(buffer, 4, "X0.")

  -- Put right, with the editor's own command: the preferred remedy, and after an undo all of them at once.
  vim.cmd.normal({ "ggdd", bang = true })
  put_cursor_on(3, "W0.")
  vim.cmd.normal({ "rZ", bang = true })
  wait_underlined(buffer, 3, "X0. Z0.", "the diagnostic is there as at first")
  vim.cmd.write()
  local actions = {
    ["the preferred remedy"] = { filter = function(action) return action.isPreferred end },
    ["all at once"] = { context = { only = { "source.fixAll.waywright" } } },
  }
  for name, options in vim.spairs(actions) do
    put_cursor_on(3, "G28")
    local changed = vim.b.changedtick
    vim.lsp.buf.code_action(vim.tbl_extend("error", { apply = true }, options))
    wait(function() return vim.b.changedtick ~= changed end, "a code action is made: " .. name)
    check_text(buffer, vim.env.PROOF_FIXED, "the buffer after " .. name)
    wait(function() return #vim.diagnostic.get(buffer) == 0 end, "the diagnostic goes with it")
    vim.cmd("keepalt write " .. vim.fn.fnameescape(vim.env.PROOF_FILE .. " " .. name))
    vim.cmd.undo()
    wait_underlined(buffer, 3, "X0. Z0.", "the diagnostic comes back with the undo")
  end
  vim.cmd.redo()
  vim.cmd.write()

  -- What is shown between the lines: 32 mm at .2 mm a turn and 800 turns a minute, and the two machine moves.
  vim.lsp.codelens.refresh({ bufnr = buffer })
  wait(function() return #vim.lsp.codelens.get(buffer) == 1 end, "a code lens comes")
  local lens = vim.lsp.codelens.get(buffer)[1]
  check(lens.range.start.line == 0, "it is at the tool call")
  check(lens.command.title == "T0101 turning: cut 12.00 s, retract unknown", "it says " .. lens.command.title)
  vim.lsp.inlay_hint.enable(true, { bufnr = buffer })
  wait(function() return #vim.lsp.inlay_hint.get({ bufnr = buffer }) == 2 end, "two inlay hints come")
  for at, label in ipairs({ "machine X-130. Z unknown", "machine X-130. Z-120." }) do
    local hint = vim.lsp.inlay_hint.get({ bufnr = buffer })[at].inlay_hint
    check(hint.label == label and hint.position.line == at + 2, "the hint says " .. hint.label)
  end

  client:stop()
  wait(function() return exit_code ~= nil end, "the server stops")
  check(exit_code == 0, "its exit status is " .. tostring(exit_code) .. ", expected 0")
end

-- An error in a script leaves a headless Neovim waiting for ever.
local fine, failure = pcall(main)
if not fine then
  io.stdout:write("FAILED: " .. tostring(failure) .. "\n")
  vim.cmd("cquit 1")
end
io.stdout:write("PROVEN\n")
vim.cmd("qall!")
