# shellcheck shell=bash
# What the four editor tests share: the program, a copy of the demo, a home folder of their own.
#
# Sourced, not run. Sets PROGRAM (the real bellwire), SCRATCH (gone at exit), PLANS (the demo, free to be changed) and
# HOME, so that no test reads or writes the settings of whoever runs it.

# shellcheck source=tests/editors/tools.sh
source "$(dirname "${BASH_SOURCE[0]}")/tools.sh"

PROGRAM=${BELLWIRE_PROGRAM:-$ROOT/target/release/bellwire}
[ -x "$PROGRAM" ] || die "no program at $PROGRAM: run 'cargo build --release' first, or set BELLWIRE_PROGRAM"

SCRATCH=$(mktemp -d)
cleanup=()
finish() {
  local command
  for command in "${cleanup[@]}"; do eval "$command" || true; done
  rm -rf "$SCRATCH"
}
trap finish EXIT

export PLANS=$SCRATCH/plans
cp -r "$ROOT/tests/plans" "$PLANS"
rm -r "$PLANS/broken"
# A repository of its own, as a designer's plans are.
git init --quiet "$PLANS"
git -C "$PLANS" add .
git -C "$PLANS" -c user.name=test -c user.email=test@localhost commit --quiet --message "Demo"

# with_home: from here on, a new user's empty home. Tools that want the real one are installed before it.
with_home() {
  export REAL_HOME=$HOME
  export HOME=$SCRATCH/home
  mkdir -p "$HOME"
  unset XDG_CONFIG_HOME XDG_DATA_HOME XDG_STATE_HOME XDG_CACHE_HOME CARGO_HOME
}

# with_program: puts the program on the PATH as `cargo install` would, in the home's cargo folder.
with_program() {
  mkdir -p "$HOME/.cargo/bin"
  cp "$PROGRAM" "$HOME/.cargo/bin/bellwire"
}
