"""Papers of random jobs, made once and shared by every test that reads them back, in whichever process it runs."""

from command_line import run
from follower.clips import clip_job
from follower.jobs import crowded_job, flat_job, long_job, mixed_job, random_job
from made_once import folder_once


def papers(seed, units="mm", only="json,txt,csv,xlsx,md,cuts", jointed=False):
    """Make a random job's papers; return the job and the folder they lie in."""
    job = random_job(seed, jointed=jointed)
    return job, _made(_seen_from(seed) + job.yaml, f"{seed}-{jointed}", units, only)


def clip_papers(seed, units="mm", only="txt,xlsx,md,html"):
    """Make the papers of a random job with clips; return the job and the folder they lie in."""
    job = clip_job(seed)
    return job, _made(job.yaml, f"clips-{seed}", units, only)


def flat_papers(seed, units="mm", only="txt"):
    """Make the papers of a random job with a return bend and an all but flat run; return it and their folder."""
    job = flat_job(seed)
    return job, _made(_seen_from(seed) + job.yaml, f"flat-{seed}", units, only)


def mixed_papers(seed, units="mm", only="txt,xlsx,md,html"):
    """Make the papers of a random job with several formers in its run; return the job and the folder they lie in."""
    job = mixed_job(seed)
    return job, _made(_seen_from(seed) + job.yaml, f"mixed-{seed}", units, only)


def long_papers(seed, units="mm", only="json,txt"):
    """Make the papers of a random job of one run of many bends; return the job and the folder they lie in."""
    job = long_job(seed)
    return job, _made(job.yaml, f"long-{seed}", units, only)


def crowded_papers(seed, units="mm", only="txt"):
    """Make the papers of a random job whose bends crowd; return it and their folder."""
    job = crowded_job(seed)
    return job, _made(_seen_from(seed) + job.yaml, f"crowded-{seed}", units, only)


def _seen_from(seed):
    return f"seen from: {('south', 'east', 'north', 'west')[seed % 4]}\n"


def _made(yaml, name, units, only):
    def fill(folder):
        (folder / "job.yaml").write_text(yaml, encoding="utf-8")
        said = run("make", folder / "job.yaml", "--out", folder / "out", "--units", units, "--only", only)
        assert said.code in (0, 1), said.err

    return folder_once(f"papers-{name}-{units}-{only.replace(',', '-')}", fill) / "out"
