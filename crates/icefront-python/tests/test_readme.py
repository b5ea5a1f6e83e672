"""The code of the README and of the chapter on Python runs as it stands, and the command is installed."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1]


@pytest.mark.parametrize("page, count", [("README.md", 1), ("../../docs/python/index.md", 3)])
def test_every_example_runs(page, count, tmp_path):
    examples = re.findall(r"```python\n(.*?)```", (PACKAGE / page).read_text(encoding="utf-8"), flags=re.S)
    assert len(examples) == count
    for example in examples:
        code = example if "import icefront" in example else "import icefront\n" + example
        done = subprocess.run(
            [sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, env={**os.environ, "MPLBACKEND": "Agg"}
        )
        assert done.returncode == 0, done.stderr
        if "InputError" in example:
            assert "tray.1.depth 180 mm 1 mm to 80 mm" in done.stdout


def test_the_command_is_there(tmp_path):
    program = Path(sys.executable).parent / "icefront"
    assert shutil.which(program)
    for arguments, code, word in [
        (["plan", "--demo", "--draws", "16"], 0, "Ready in about"),
        (["--version"], 0, "icefront 0."),
        (["plan", "nothing.toml"], 2, "no such file"),
    ]:
        done = subprocess.run([program, *arguments], cwd=tmp_path, capture_output=True, text=True)
        assert done.returncode == code and word in done.stdout + done.stderr, done
