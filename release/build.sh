#!/usr/bin/env bash
# Builds what is released and tries each part where nothing else of icefront is.
#
#   release/build.sh [FOLDER]       wheel, archive and SHA256SUMS in FOLDER (target/release-files)
#   release/build.sh twice          builds the program in two folders and compares the bytes
#
# Needs Rust, Python 3.10 or later and a package registry, GNU tar, a Git checkout.
set -euo pipefail
cd "$(dirname "$0")/.."
top=$PWD
# the same bytes wherever it is built with the same tools: no paths of this machine, no time of this build
export SOURCE_DATE_EPOCH=${SOURCE_DATE_EPOCH:-$(git log -1 --format=%ct)}
export LC_ALL=C TZ=UTC
remap() { echo "--remap-path-prefix=${CARGO_HOME:-$HOME/.cargo}=cargo --remap-path-prefix=$1=icefront"; }

step() { echo "== $1 ($SECONDS s)"; }

# builds the program of a folder of sources
program() { (cd "$1" && RUSTFLAGS=$(remap "$1") CARGO_TARGET_DIR=$2 cargo build --release --locked -p icefront-cli); }

if [ "${1:-}" = twice ]; then
  work=$(mktemp -d)
  trap 'rm -rf "$work"' EXIT
  for place in one elsewhere/two; do
    step "build in $place"
    mkdir -p "$work/$place"
    git archive HEAD | tar -x -C "$work/$place"
    program "$work/$place" "$work/$place/target"
    (cd "$work/$place/target/release" && sha256sum icefront) | tee -a "$work/sums"
  done
  [ "$(sort -u "$work/sums" | wc -l)" = 1 ] || { echo "the two differ" >&2; exit 1; }
  step "the same bytes"
  exit 0
fi

out=${1:-target/release-files}
mkdir -p "$out"
out=$(cd "$out" && pwd)
[ -z "$(ls -A "$out")" ] || { echo "$out is not empty" >&2; exit 2; }
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

step "program"
program "$top" "$top/target/reproducible"
icefront=$top/target/reproducible/release/icefront
version=$("$icefront" --version | awk 'NR == 1 {print $2}')
target=$(rustc -vV | sed -n 's/^host: //p')
name=icefront-$version-$target

step "archive"
mkdir -p "$work/$name/bin" "$work/$name/share/completions"
cp "$icefront" "$work/$name/bin/"
cp README.md CHANGELOG.md LICENSE LICENSE-APACHE LICENSE-MIT "$work/$name/"
"$icefront" --quiet shell manual --out "$work/$name/share/man/man1"
for shell in bash elvish fish powershell zsh; do
  "$icefront" shell completions $shell > "$work/$name/share/completions/icefront.$shell"
done
chmod -R u=rwX,go=rX "$work/$name"
tar --sort=name --mtime="@$SOURCE_DATE_EPOCH" --owner=0 --group=0 --numeric-owner -C "$work" -c "$name" | gzip -9n > "$out/$name.tar.gz"

step "the archive alone, in an empty folder"
mkdir "$work/empty"
tar -xzf "$out/$name.tar.gz" -C "$work/empty"
(
  cd "$work/empty"
  alone() { env -i HOME="$PWD" PATH=/usr/bin:/bin "$PWD/$name/bin/icefront" "$@"; }
  alone --version
  alone plan --demo
  for command in $(alone help | awk '/^Options/ {exit} /^  [a-z]/ {print $1}'); do
    grep -q '^\.TH' "$name/share/man/man1/icefront-$command.1"
  done
  bash -n "$name/share/completions/icefront.bash"
)
if command -v man >/dev/null; then man -l "$work/empty/$name/share/man/man1/icefront-plan.1" | head -3; fi
# no folder of this machine is named in the program
for path in "$top" "${CARGO_HOME:-$HOME/.cargo}"; do
  if grep -aqF "$path" "$work/empty/$name/bin/icefront"; then echo "the program names $path" >&2; exit 1; fi
done

step "wheel, alone in an empty environment, with types, tests and notebooks"
ICEFRONT_WHEELS=$out CARGO_TARGET_DIR=$top/target/reproducible crates/icefront-python/check.sh

step "sums"
(cd "$out" && sha256sum -- *.tar.gz *.whl | tee SHA256SUMS && ls -l)
step "done"
