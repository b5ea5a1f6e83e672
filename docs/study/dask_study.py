"""A study larger than one machine: `icefront sweep` under Dask.

    python -m venv venv && venv/bin/pip install "dask[distributed]"
    venv/bin/python docs/study/dask_study.py target/release/icefront [workers]

Each task hands a few hundred sheets to `icefront sweep` on one thread and reads the answers. A line's answer does not
depend on where it runs, so the study gives the same bytes on one worker and on many.
"""

import hashlib
import json
import subprocess
import sys
import time

from dask.distributed import Client, LocalCluster

SHEETS_PER_TASK = 250


def sheets():
    """Depth against room temperature: 2000 loads of one layer."""
    for depth in range(50):
        for room in range(40):
            yield json.dumps(
                {
                    "id": [depth, room],
                    "icefront": 1,
                    "dryer": "0.60 m2",
                    "room": f"{room} C",
                    "tray": [{"food": "peas", "shape": "layer", "depth": f"{5 + 0.5 * depth} mm"}],
                }
            )


def sweep(program, lines):
    """Answers to some sheets, one a line."""
    done = subprocess.run(
        [program, "sweep", "--threads", "1"], input="\n".join(lines), capture_output=True, text=True, check=True
    )
    return done.stdout.splitlines()


def main():
    program = sys.argv[1]
    workers = int(sys.argv[2]) if len(sys.argv) > 2 else 2
    study = list(sheets())
    tasks = [study[i : i + SHEETS_PER_TASK] for i in range(0, len(study), SHEETS_PER_TASK)]
    with LocalCluster(n_workers=workers, threads_per_worker=1, dashboard_address=None) as cluster, Client(cluster) as client:
        start = time.perf_counter()
        answers = [line for part in client.gather(client.map(sweep, [program] * len(tasks), tasks)) for line in part]
        seconds = time.perf_counter() - start
    bad = sum("error" in json.loads(line) for line in answers)
    digest = hashlib.sha256("\n".join(answers).encode()).hexdigest()[:16]
    print(f"{len(answers)} sheets, {bad} refused, {workers} workers: {seconds:.2f} s, digest {digest}")


if __name__ == "__main__":
    main()
