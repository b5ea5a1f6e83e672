#!/usr/bin/env bash
# Builds the page for a browser without a server: `build.sh [FOLDER]` makes FOLDER/site, a folder to host anywhere, and
# FOLDER/icefront.html, one file that opens from a disk. Needs Node, and a Rust with wasm32-unknown-unknown or what
# .ci/wasm-toolchain.sh fetches; exits with 3 where there is none.
set -euo pipefail
folder=$(mkdir -p "${1:-$(dirname "$0")/pkg}" && cd "${1:-$(dirname "$0")/pkg}" && pwd)
cd "$(dirname "$0")"
root=$(cd ../.. && pwd)
export CARGO_TARGET_DIR=$root/target/wasm
profile=${ICEFRONT_WASM_PROFILE:-release}
# vectors of two numbers, which all browsers since 2023 have
export RUSTFLAGS="-C target-feature=+simd128"
build=(build --lib --locked --manifest-path Cargo.toml --profile "$profile")
if ls "$(rustc --print target-libdir --target wasm32-unknown-unknown)"/libstd-*.rlib >/dev/null 2>&1; then
  cargo "${build[@]}" --target wasm32-unknown-unknown
elif "$root/.ci/wasm-toolchain.sh" "$CARGO_TARGET_DIR/toolchain"; then
  "$root/.ci/wasm-toolchain.sh" "$CARGO_TARGET_DIR/toolchain" "${build[@]}"
else
  echo "no compiler for wasm32-unknown-unknown can be had here" >&2
  exit 3
fi
node assemble.mjs "$CARGO_TARGET_DIR/wasm32-unknown-unknown/$profile/icefront_browser.wasm" "$folder"
