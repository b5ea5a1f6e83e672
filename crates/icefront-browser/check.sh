#!/usr/bin/env bash
# Builds the page for a browser without a server and checks it: formats and lints, the crate's own tests, the module against
# the server's page on sheets of the ledger, and Chromium with the network off. `check.sh all` compares all sheets, and builds
# as it is published. Where Node, a compiler or Chromium is missing it says so and passes.
set -euo pipefail
cd "$(dirname "$0")"
root=$(cd ../.. && pwd)
export CARGO_TARGET_DIR=${CARGO_TARGET_DIR:-$root/target}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

step() { echo "== $1 ($SECONDS s)"; }

profile=quick sheets=12
if [ "${1:-}" = all ]; then profile=release sheets=308; fi

step "format, lints and tests"
cargo fmt --check
cargo clippy --locked --all-targets -- -D warnings
cargo test --locked --quiet

step "the module, a folder to host and one file"
command -v node >/dev/null || { echo "skipped: Node is not installed"; exit 0; }
status=0
ICEFRONT_WASM_PROFILE=$profile ./build.sh "$work" || status=$?
if [ $status = 3 ]; then echo "skipped: the page without a server is not built"; exit 0; fi
[ $status = 0 ] || exit $status

step "both hosts show the same"
icefront=$CARGO_TARGET_DIR/debug/icefront
if [ -x "$icefront" ]; then
  node tests/same.mjs "$work/site/icefront.wasm" "$icefront" $sheets
else
  echo "skipped: $icefront is not built"
fi

step "in Chromium, without a network"
chromium=$(command -v chromium || command -v chromium-browser || command -v google-chrome || true)
if [ -z "$chromium" ]; then
  echo "skipped: no Chromium; \`apt-get install chromium\` brings it"
elif [ ! -d "$root/tests/browser/node_modules" ]; then
  echo "skipped: no packages for Node; \`npm ci --prefix tests/browser\` brings them"
else
  # ICEFRONT_PICTURES=DIR keeps pictures of the page
  node tests/browser.test.mjs "$work" "$chromium" ${ICEFRONT_PICTURES:-}
fi
