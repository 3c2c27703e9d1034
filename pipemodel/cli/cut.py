"""`pipemodel cut JOB.yaml ...`: what to cut from which stock."""

from pipemodel import story
from pipemodel.cli.many_jobs import JobAnswer, JobAsked
from pipemodel.cli.printing import printing_command, read_asked
from pipemodel.results.results import Results


def answer(asked: JobAsked) -> JobAnswer:
    """Print what to cut from which length of stock, with the least waste, and where long runs are jointed.

    The job's `stock: {length: 3000, offcuts: [...]}` and `kerf` say what there is; each of several jobs has its own.
    Ends with 1 when a run can be neither cut nor jointed.
    """
    from pipemodel.documents.text.cut_list import cuts_record, cuts_text

    job, form, paper_options, plain = read_asked(asked)
    results = Results(story.jointed(story.schedule(story.furnish(job))), paper_options=paper_options)
    cutting = results.cutting
    whole = not any(split.why_not for split in cutting.runs) and all(cuts.stock for cuts in cutting.cuts)
    code = 0 if whole else 1
    if form == "json":
        return JobAnswer(code, record=cuts_record(results))
    return JobAnswer(code, cuts_text(results, ascii=plain))


command = printing_command(answer, "text", "json")
