#!/usr/bin/env bash
# Builds the wheel, installs it into an empty virtual environment, checks the types, runs the tests, executes the notebooks.
# Needs Rust, Python 3.10 or later and a package registry; PYTHON names another interpreter, ICEFRONT_WHEELS keeps the wheel.
# `check.sh quick` builds the wheel as the workspace's tests are built, which is most of it done already; where there is no
# registry or no virtual environment it says so and passes. `check.sh prepare` only fetches the packages, into the folder that
# ICEFRONT_VENVS names, where a later check finds them.
set -euo pipefail
cd "$(dirname "$0")"
export CARGO_TARGET_DIR=${CARGO_TARGET_DIR:-$PWD/../../target}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
wheels=${ICEFRONT_WHEELS:-$work/wheels}

step() { echo "== $1 ($SECONDS s)"; }

profile=release
if [ "${1:-}" = quick ]; then profile=dev; fi

venvs=${ICEFRONT_VENVS:-$work}
packages="mypy pandas-stubs pytest nbclient ipykernel pandas matplotlib"
prepare() {
    "${PYTHON:-python3}" -m venv "$venvs/build" && "$venvs/build/bin/pip" install --quiet "maturin>=1.9,<2" &&
        "${PYTHON:-python3}" -m venv "$venvs/full" && "$venvs/full/bin/pip" install --quiet $packages
}
if [ "${1:-}" = prepare ]; then prepare; exit; fi
[ -x "$venvs/full/bin/pytest" ] || prepare || {
    echo "no virtual environment or no package registry: the Python package is not checked"
    if [ "$profile" = dev ]; then exit 0; else exit 1; fi
}

if [ "$profile" = dev ]; then
    step "format and lints"
    cargo fmt --check
    cargo clippy --locked -- -D warnings
fi

step "wheel"
if [ "$profile" = release ]; then
    # the same bytes wherever it is built with the same tools
    export SOURCE_DATE_EPOCH=${SOURCE_DATE_EPOCH:-$(git log -1 --format=%ct 2>/dev/null || echo 0)}
    export RUSTFLAGS="--remap-path-prefix=${CARGO_HOME:-$HOME/.cargo}=cargo --remap-path-prefix=$(cd ../.. && pwd)=icefront"
fi
"$venvs/build/bin/maturin" build --profile "$profile" --locked --quiet --out "$wheels"

step "the wheel alone, in an empty environment"
"${PYTHON:-python3}" -m venv "$work/empty"
"$work/empty/bin/pip" install --quiet --no-index "$wheels"/icefront-*.whl
(cd "$work" && empty/bin/icefront plan --demo && empty/bin/python -c 'import icefront; print(icefront.plan(samples=0))')

step "types"
"$venvs/full/bin/pip" install --quiet --no-index "$wheels"/icefront-*.whl
(cd python && "$venvs/full/bin/mypy" --config-file ../pyproject.toml -p icefront && "$venvs/full/bin/mypy" --config-file ../pyproject.toml ../tests/typed.py)

step "tests"
"$venvs/full/bin/python" -m pytest --quiet -p no:cacheprovider

step "notebooks"
PATH=$venvs/full/bin:$PATH "$venvs/full/bin/python" notebooks.py ../../docs/python/notebooks

step "done"
