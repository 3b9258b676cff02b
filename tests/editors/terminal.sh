# shellcheck shell=bash
# A terminal of its own to drive an editor in, and pictures of what it shows.
#
# Sourced after common.sh, not run. Each test has one terminal at a time.

need_apt tmux
export LANG=C.UTF-8 TERM=xterm-256color COLORTERM=truecolor
SOCKET=bellwire-test-$$
SCREEN=$SCRATCH/screen
cleanup+=("tmux -L $SOCKET kill-server 2> /dev/null")

# terminal COLUMNS ROWS COMMAND: runs it in a fresh terminal with all colours.
terminal() {
  tmux -L "$SOCKET" -f /dev/null start-server \; set -g default-terminal tmux-256color \; set -as terminal-features ',*:RGB:usstyle' \; \
    new-session -d -s t -x "$1" -y "$2" "$3" \; set -g status off
}
end() { tmux -L "$SOCKET" kill-server; }
key() { local k; for k in "$@"; do tmux -L "$SOCKET" send-keys -t t "$k"; sleep 0.1; done; }
text() { tmux -L "$SOCKET" send-keys -t t -l -- "$1"; sleep 0.1; }

# wait_for NAME TEST…: waits until the shell test holds of the screen.
wait_for() {
  local name=$1 i; shift
  for ((i = 0; i < 150; i++)); do
    tmux -L "$SOCKET" capture-pane -p -t t > "$SCREEN"
    if "$@"; then say "ok: $name"; return 0; fi
    sleep 0.1
  done
  cat "$SCREEN"
  declare -F on_failure > /dev/null && on_failure
  die "never came: $name"
}
shows() { grep -qE -- "$1" "$SCREEN"; }
hides() { ! grep -qE -- "$1" "$SCREEN"; }

# picture EDITOR: what the terminal shows, as target/screenshots/EDITOR/picture.png.
picture() {
  local file=$ROOT/target/screenshots/$1/picture.png
  mkdir -p "$(dirname "$file")"
  HOME=$REAL_HOME need_browser # npm keeps to the real home's cache and settings
  sleep 1 # for what still comes in
  tmux -L "$SOCKET" capture-pane -e -p -N -t t | node "$ROOT/tests/editors/terminal.mjs" "$file"
  say "picture: $file"
}
