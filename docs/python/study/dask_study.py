"""A study larger than one machine: icefront under Dask.

    python -m venv venv && venv/bin/pip install "dask[distributed]" ./crates/icefront-python
    venv/bin/python docs/python/study/dask_study.py [workers]

Each task plans a few hundred loads on one thread. An answer does not depend on where it is computed, so the study gives the
same digest on one worker and on many.
"""

import hashlib
import json
import sys
import time

import icefront
from dask.distributed import Client, LocalCluster

LOADS_PER_TASK = 250


def loads():
    """Depth against room temperature: 2000 loads of one layer."""
    for depth in range(50):
        for room in range(40):
            tray = {"food": "peas", "shape": "layer", "depth": f"{5 + 0.5 * depth} mm"}
            yield {"dryer": "0.60 m2", "room": f"{room} C", "tray": [tray]}


def answers(part):
    """The answers to some loads, in their order."""
    return icefront.sweep(part, threads=1).to_dicts()


def main():
    workers = int(sys.argv[1]) if len(sys.argv) > 1 else 2
    study = list(loads())
    tasks = [study[i : i + LOADS_PER_TASK] for i in range(0, len(study), LOADS_PER_TASK)]
    with LocalCluster(n_workers=workers, threads_per_worker=1, dashboard_address=None) as cluster, Client(cluster) as client:
        start = time.perf_counter()
        done = [answer for part in client.gather(client.map(answers, tasks)) for answer in part]
        seconds = time.perf_counter() - start
    bad = sum("error" in answer for answer in done)
    digest = hashlib.sha256("\n".join(map(json.dumps, done)).encode()).hexdigest()[:16]
    print(f"{len(done)} loads, {bad} refused, {workers} workers: {seconds:.2f} s, digest {digest}")


if __name__ == "__main__":
    main()
