"""`pipemodel check JOB.yaml ...`: every check; the verdict decides the exit code."""

from pipemodel import story
from pipemodel.checks.ways_in import was_stopped
from pipemodel.cli.many_jobs import JobAnswer, JobAsked
from pipemodel.cli.printing import printing_command, read_asked

INTERRUPTED = 130


def answer(asked: JobAsked) -> JobAnswer:
    """Check a job, or several: does it clash, does it keep its clearances, can it be bent.

    Ends with 0 when all is well, 1 when something fails, 2 when a job cannot be read or solved; of several jobs the
    worst counts. Ctrl-C while a way in is looked for prints what is known by then, and ends with 130.
    """
    job, form, paper_options, plain = read_asked(asked)
    results = story.results(job, paper_options=paper_options)
    code = 0 if results.report.verdict == "pass" else 1
    code = INTERRUPTED if was_stopped(results.schedule) else code
    if form == "json":
        return JobAnswer(code, record=results.check_record)
    from pipemodel.documents.text.check import check_text

    return JobAnswer(code, check_text(results, ascii=plain))


command = printing_command(answer, "text", "json")
