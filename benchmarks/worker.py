"""A kernel in a process of its own, so that one with changed sources can be timed in turn with the present one.

    python -m benchmarks.worker

A line of JSON asks for replications of the reference cell, a line answers: parts, events, seconds.
"""

import io
import json
import os
import shutil
import subprocess
import sys
import tarfile
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

TOP = Path(__file__).resolve().parents[1]
SOURCE = TOP / "src" / "millhand"
LOGGED = "return len(k.log) > 0 and k.logging > 0"


@dataclass(frozen=True, slots=True, kw_only=True)
class Worker:
    """A process that waits for work."""

    process: "subprocess.Popen[str]"

    def seconds(self, *, replications: int, days: int) -> float:
        """The processor's time that these replications of the reference cell take there."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.write(json.dumps({"replications": replications, "days": days}) + "\n")
        self.process.stdin.flush()
        answer = self.process.stdout.readline()
        if not answer:
            raise RuntimeError("the worker has ended; what it met stands above")
        return float(json.loads(answer)["seconds"])


@contextmanager
def worker(change: Callable[[Path], None] | None = None) -> Iterator[Worker]:
    """A worker with the sources as they are, or with a copy of them that `change` has changed."""
    with tempfile.TemporaryDirectory() as folder:
        source = TOP / "src"
        if change is not None:
            source = Path(folder) / "src"
            shutil.copytree(SOURCE, source / SOURCE.name, ignore=shutil.ignore_patterns("__pycache__"))
            change(source / SOURCE.name)
        words = [sys.executable, "-m", "benchmarks.worker"]
        paths = os.pathsep.join((str(source), str(TOP)))
        environment = {**os.environ, "PYTHONPATH": paths}
        with subprocess.Popen(words, stdin=-1, stdout=-1, text=True, env=environment, cwd=folder) as started:
            yield Worker(process=started)
            assert started.stdin is not None
            started.stdin.close()


def without_log(package: Path) -> None:
    """Take the log out of the event loop."""
    found = 0
    for path in (package / "solvers/kernel/events").glob("*.py"):
        text = path.read_text(encoding="utf-8")
        found += text.count(LOGGED)
        path.write_text(text.replace(LOGGED, "return False"), encoding="utf-8")
    if not found:
        raise ValueError(
            f"no line of the event loop says '{LOGGED}'; the figure must learn how the log is asked for now"
        )


def of_head(package: Path) -> None:
    """Put the sources of the last commit in the place of the present ones, with the one file that they link to."""
    words = ["git", "-C", str(TOP), "archive", "HEAD", "src", "docs/sources.toml"]
    archive = subprocess.run(words, check=True, stdout=subprocess.PIPE).stdout
    shutil.rmtree(package)
    with tarfile.open(fileobj=io.BytesIO(archive)) as files:
        if hasattr(tarfile, "data_filter"):  # a Python of before that option unpacks our own commit as it is
            files.extraction_filter = tarfile.data_filter
        files.extractall(package.parents[1])


def main() -> None:
    """Answer until the questions end."""
    from benchmarks.kernel_cells import reference_cell
    from benchmarks.kernel_runs import timed_run
    from millhand.solvers.kernel.compiled import compiled

    c = compiled(reference_cell())
    timed_run(c, numbers=range(1), hours=24)
    for line in sys.stdin:
        asked = json.loads(line)
        run = timed_run(c, numbers=range(asked["replications"]), hours=24 * asked["days"])
        print(json.dumps({"parts": run.parts, "events": run.events, "seconds": run.processor_s}), flush=True)


if __name__ == "__main__":
    main()
