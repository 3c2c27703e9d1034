"""`pipemodel route JOB.yaml`: the ways of runs that say no more than from where to where."""

import sys

import click

from pipemodel import story
from pipemodel.cli.job_file import job_read
from pipemodel.cli.stream import hand_over, is_plain, say, tell
from pipemodel.cli.usage import SaidUsageError
from pipemodel.job.expressions import none_called
from pipemodel.job.model import Job
from pipemodel.messages.say import say as said
from pipemodel.messages.values import message
from pipemodel.results.paper_options import PaperOptions

INTERRUPTED = 130
MOST = 9


@click.command(name="route")
@click.option("--run", "name", metavar="NAME", help="The run to find ways for; all that say find: if left out.")
@click.option("--ways", "count", type=click.IntRange(1, MOST), default=3, show_default=True, help="How many of each.")
@job_read
@click.option("--format", "form", type=click.Choice(("text", "json", "yaml")), default="text", show_default=True)
def command(
    job: Job,
    options: PaperOptions,
    form: str,
    name: str | None,
    count: int,
) -> None:
    """List ways for the runs that say find: {from, heading, to, arriving}, the best first.

    Each way is clear of everything and can be bent and pulled. With --format yaml it comes as moves, to be pasted into
    the job in place of find. Ends with 1 when a run has no way; then it says what comes nearest to one and what stands
    in it. Ctrl-C stops and prints the best so far.
    """
    from pipemodel.documents.text.ways import ways_text, ways_yaml
    from pipemodel.results.plain import to_json
    from pipemodel.results.record_route import ways_record

    reading = options.reading
    if name is not None and name not in {run.name for run in job.runs}:
        raise SaidUsageError(none_called("run", name, (run.name for run in job.runs)))
    ways, stopped = story.ways(job, count, name, lambda line: tell(said(line, reading)))
    if form == "json":
        hand_over(to_json(ways_record(job, ways)))
    elif form == "yaml":
        hand_over(ways_yaml(job, ways, reading))
    else:
        say(ways_text(job, ways, reading, is_plain(sys.stdout)))
    if stopped:
        tell(said(message("said.interrupted"), reading))
    sys.exit(INTERRUPTED if stopped else 0 if all(one.ways for one in ways) else 1)
