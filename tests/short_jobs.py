"""Jobs of a few lines, read, and what is wrong with them."""

import pytest

from pipemodel.job.model import JobError
from pipemodel.job.read import job_of_text

BASE = "job: x\ntube: 15\nformer: {radius: 55}\n"

RUNS = "runs:\n  a: {points: [[0, 0, 0], [600, 0, 0], [600, 400, 0]]}\n"


def read(line="", former="{radius: 55}", tube="15", runs=RUNS):
    return job_of_text(f"job: x\ntube: {tube}\nformer: {former}\n{line}\n{runs}", "job.yaml")


def faults(line="", **more):
    with pytest.raises(JobError) as caught:
        read(line, **more)
    return [(f.place.line, f.place.column, f.message) for f in caught.value.faults]
