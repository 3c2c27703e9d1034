"""How far a piece may be sprung: what a job may say of it, and what is refused at its line."""

import pytest

from pipemodel.job.model import JobError
from pipemodel.job.read import job_of_text

JOB = """
job: sprung
tube: {tube}
former: {{radius: 55}}
bring in: {{spread: {spread}}}
runs:
  r: {{points: [[0, 0, 0], [500, 0, 0], [500, 0, 500]]}}
"""


def spread_of(spread, tube="15"):
    return job_of_text(JOB.format(spread=spread, tube=tube), "job.yaml").runs[0].bring_in.spread


def test_left_out_or_no_it_is_rigid() -> None:
    assert spread_of("no") is None
    assert (
        job_of_text(JOB.replace("spread: {spread}", "margin: 1").format(tube="15"), "job.yaml").runs[0].bring_in.spread
        is None
    )


def test_the_limit_is_half_of_the_strain_at_the_proof_stress_or_the_job_s_own() -> None:
    """150 and 33 N/mm2 over 130,000: least proof stress of R250, lowest of soft copper, both from memory."""
    assert spread_of("yes").strain == pytest.approx(0.5 * 150 / 130_000)
    assert spread_of("yes", "15 R220").strain == pytest.approx(0.5 * 33 / 130_000)
    assert spread_of("{proof stress: 200}").strain == pytest.approx(0.5 * 200 / 130_000)
    assert spread_of("{strain: 0.0004}").strain == 0.0004
    both = spread_of("{at most: 0.5 in}")
    assert (both.at_most_mm, both.strain) == (12.7, spread_of("yes").strain)


@pytest.mark.parametrize(
    ("spread", "said"),
    [
        ("maybe", "write yes, no, or {at most: 8}"),
        ("12", "write yes, no, or {at most: 8}"),
        ("{at most: 0}", "must be a length of more than 0"),
        ("{strain: 0.01}", "it must be more than 0 and less than 0.002"),
        ("{strain: 0.0005, proof stress: 150}", "leave one out"),
        ("{proof stress: -4}", "must be from 1 to 1000 N/mm2"),
        ("{by: 3}", "unknown key 'by'"),
    ],
)
def test_what_cannot_be_meant_is_refused_at_its_line(spread, said) -> None:
    with pytest.raises(JobError) as error:
        spread_of(spread)
    (fault,) = error.value.faults
    assert fault.place.line == 5
    assert said in str(fault.message)


def test_a_tube_of_which_nothing_is_known_asks_for_a_limit() -> None:
    with pytest.raises(JobError, match=r"how far 15 x 0\.7 springs back is not known; write its material and temper"):
        spread_of("yes", "{outside: 15, wall: 0.7}")
    assert spread_of("{strain: 0.0004}", "{outside: 15, wall: 0.7}").strain == 0.0004
