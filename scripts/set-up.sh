# shellcheck shell=bash
# What scripts/test and scripts/demo need before they can start, from nothing but Node and npm.
# Sourced by both; does only what is not done yet.

set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
export PATH="$PWD/node_modules/.bin:$PATH"
export NODE_OPTIONS="--disable-warning=ExperimentalWarning ${NODE_OPTIONS:-}"

say() { printf '%s\n' "$*" >&2; }

# Runs a command silently; shows what it said only when it fails.
quietly() {
  local output
  output=$("$@" 2>&1) && return
  say "$output"
  say "This failed: $*"
  return 1
}

supported='const [major, minor] = process.versions.node.split(".").map(Number)
process.exit((major === 20 && minor >= 19) || (major === 22 && minor >= 12) || major >= 24 ? 0 : 1)'
if ! node -e "$supported" 2>/dev/null; then
  say "Node 20.19, 22.12 or 24 (or newer) is needed; this is $(node --version 2>/dev/null || echo none)."
  exit 1
fi

# The lock file as it was when the packages were installed.
installed=node_modules/.installed-lock.json
if ! cmp --silent package-lock.json "$installed"; then
  say 'installing the packages (half a minute or so)'
  # No package needs its install script: the few that would are prepared where they are used.
  quietly npm ci --ignore-scripts --loglevel=error
  cp package-lock.json "$installed"
fi

if [ ! src/generated/prisma/client.ts -nt prisma/schema.prisma ]; then
  say 'generating the database client'
  quietly npm run generate
fi
