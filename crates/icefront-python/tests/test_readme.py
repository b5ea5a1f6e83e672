"""The code of the README runs as it stands, and the command is installed."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

README = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")


def test_every_example_runs(tmp_path):
    examples = re.findall(r"```python\n(.*?)```", README, flags=re.S)
    assert len(examples) == 3
    for example in examples:
        code = example if "import icefront" in example else "import icefront\n" + example
        done = subprocess.run(
            [sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, env={**os.environ, "MPLBACKEND": "Agg"}
        )
        assert done.returncode == 0, done.stderr
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
