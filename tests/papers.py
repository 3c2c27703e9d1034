"""Papers of random jobs, made once and shared by every test that reads them back."""

import tempfile
from functools import cache
from pathlib import Path

from command_line import run
from follower.jobs import random_job

HOME = tempfile.TemporaryDirectory(prefix="papers-")


@cache
def papers(seed, units="mm", only="txt,csv,xlsx,md,cuts", jointed=False):
    """Make a random job's papers; return the job and the folder they lie in."""
    job = random_job(seed, jointed=jointed)
    folder = Path(HOME.name) / f"{seed}-{units}-{only.replace(',', '-')}-{jointed}"
    folder.mkdir()
    (folder / "job.yaml").write_text(job.yaml, encoding="utf-8")
    said = run("make", folder / "job.yaml", "--out", folder / "out", "--units", units, "--only", only)
    assert said.code in (0, 1), said.err
    return job, folder / "out"
