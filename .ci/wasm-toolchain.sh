#!/usr/bin/env bash
# Runs cargo for wasm32-unknown-unknown on a machine whose Rust has no std for it and cannot fetch one, with Debian's
# compiler for browsers and its std sources. Where `rustup target add wasm32-unknown-unknown` works, use that instead.
#
#   wasm-toolchain.sh FOLDER            unpacks compiler, std sources and linker into FOLDER; nothing is installed
#   wasm-toolchain.sh FOLDER ARGS...    runs `cargo ARGS... --target wasm32-unknown-unknown` with them
set -euo pipefail
folder=$(mkdir -p "$1" && cd "$1" && pwd); shift
root=$folder/root
if [ ! -e "$folder/complete" ]; then
  command -v apt-get >/dev/null && command -v dpkg >/dev/null || { echo "no apt-get here" >&2; exit 1; }
  # the compiler in an old list of packages may be older than these crates need
  apt-get update -qq || echo "the list of packages is not updated" >&2
  std=$(apt-cache depends rustc-web | awk '/libstd-rust-web-dev/ {print $2; exit}')
  run=$(apt-cache depends "$std" | awk '/libstd-rust-web-[0-9]/ {print $2; exit}')
  llvm=$(apt-cache depends rustc-web "$run" | awk '/libllvm/ {print $2; exit}')
  mkdir -p "$root"
  # unpacked, not installed: as packages they would take the place of the machine's own Rust
  (cd "$folder" && apt-get download -qq rustc-web cargo-web rust-web-src "$std" "$run" "$llvm" "lld-${llvm#libllvm}")
  for deb in "$folder"/*.deb; do dpkg -x "$deb" "$root"; done
  rm -f "$folder"/*.deb
  sysroot=$(LD_LIBRARY_PATH=$(echo "$root"/usr/lib/*-linux-gnu):$root/usr/lib "$root/usr/bin/rustc" --print sysroot)
  mkdir -p "$sysroot/lib/rustlib/src"
  ln -sfn "$(echo "$root"/usr/src/rustc-*)" "$sysroot/lib/rustlib/src/rust"
  touch "$folder/complete"
fi
[ $# -gt 0 ] || exit 0
export LD_LIBRARY_PATH=$(echo "$root"/usr/lib/*-linux-gnu):$root/usr/lib${LD_LIBRARY_PATH:+:$LD_LIBRARY_PATH}
export RUSTC=$root/usr/bin/rustc RUSTC_BOOTSTRAP=1
export CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER=$(echo "$root"/usr/lib/llvm-*/bin/wasm-ld)
exec cargo "$@" -Zbuild-std=std,panic_abort --target wasm32-unknown-unknown
