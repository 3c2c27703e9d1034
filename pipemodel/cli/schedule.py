"""`pipemodel schedule JOB.yaml ...`: the bend table and the plan of pulls."""

from pipemodel import story
from pipemodel.cli.many_jobs import JobAnswer, JobAsked
from pipemodel.cli.printing import printing_command, read_asked
from pipemodel.results.results import Results


def answer(asked: JobAsked) -> JobAnswer:
    """Print the bend table of every run of a job, or of several, and the order of pulls.

    Ends with 0 when every run can be pulled, 1 when one cannot (it is printed all the same), 2 when a job cannot be
    read or solved; of several jobs the worst counts.
    """
    job, form, paper_options, plain = read_asked(asked)
    # Clips keep off couplings, and where those can go takes all of the room.
    results = Results(story.jointed(story.schedule(job)), paper_options=paper_options)
    code = 0 if all(plan.possible for plan in results.plans) else 1
    if form == "json":
        return JobAnswer(code, record=results.schedule_record)
    if form == "csv":
        from pipemodel.documents.tables.csv_table import schedule_csv

        return JobAnswer(code, schedule_csv(results.schedule_record, results.paper_options.units))
    from pipemodel.documents.text.schedule import schedule_text

    return JobAnswer(code, schedule_text(results, ascii=plain))


command = printing_command(answer, "text", "json", "csv")
