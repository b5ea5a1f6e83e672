"""Executes every notebook of a folder from a clean kernel; a cell that fails ends it.

python notebooks.py FOLDER [--write]

With --write the outputs are kept in the notebooks.
"""

import sys
import tempfile
import time
from pathlib import Path

import nbformat
from nbclient import NotebookClient


def main() -> None:
    folder, write = Path(sys.argv[1]), "--write" in sys.argv
    notebooks = sorted(folder.glob("*.ipynb"))
    if not notebooks:
        sys.exit(f"{folder} has no notebooks")
    for path in notebooks:
        notebook = nbformat.read(path, as_version=4)
        begun = time.monotonic()
        with tempfile.TemporaryDirectory() as place:
            NotebookClient(notebook, timeout=300, kernel_name="python3", resources={"metadata": {"path": place}}).execute()
        if "## Exercise" not in notebook.cells[-1].source:
            sys.exit(f"{path.name} does not end with an exercise")
        if write:
            nbformat.write(notebook, path)
        print(f"{path.name}: {time.monotonic() - begun:.1f} s")


if __name__ == "__main__":
    main()
