"""`pipemodel show JOB.yaml`: the job in a browser, made again whenever the file is saved."""

import signal
import threading
import webbrowser
from pathlib import Path
from types import FrameType

import click

from pipemodel.cli.job_file import job_file_or_none
from pipemodel.cli.paper_options import language_option
from pipemodel.cli.stream import say, tell
from pipemodel.cli.usage import SaidParameterError
from pipemodel.messages.say import words
from pipemodel.messages.units import Language, units_for
from pipemodel.messages.values import Name, bare, message
from pipemodel.output.refused import refused


@click.command(name="show")
@job_file_or_none
@click.option("--ask", is_flag=True, help="Ask in the browser for a job of an everyday bend, if there is none yet.")
@click.option("--port", type=click.IntRange(1, 65535), help="The port to use. [default: any free one]")
@click.option("--open", "open_it", is_flag=True, help="Open it in the browser.")
@language_option
def command(
    job: Path | None,
    parameters: dict[str, str],
    allow_outside: bool,
    ask: bool,
    port: int | None,
    open_it: bool,
    language: Language | None,
) -> None:
    """Show a job in a browser on this machine: 3D, schedule and findings, new at every save.

    Prints the address and runs until Ctrl-C. A file that is wrong is no reason to stop: what is wrong is said over
    the last good picture, with its line. Nobody but this machine can see it. Ends with 0 when it is stopped, 2 when
    the file is not there or the port is taken. Without JOB.yaml, job.yaml of this folder is shown; if that is not there
    yet, the page asks the few measures of an everyday bend and writes it, as it does for another name with --ask.
    """
    from pipemodel.live.page import live_html
    from pipemodel.live.server import Server
    from pipemodel.live.showing import Showing

    ask = ask or job is None
    job = Path("job.yaml") if job is None else job
    if not ask:
        job.stat()
    stop = threading.Event()

    def asked_to_stop(number: int, frame: FrameType | None) -> None:
        stop.set()

    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, asked_to_stop)
    showing = Showing(job, live_html, parameters, allow_outside, language, ask)
    try:
        server = Server(showing, port or 0)
    except OSError as error:
        raise SaidParameterError(message("usage.port", port=bare(str(port)), why=refused(error)), "--port") from error
    showing.make()
    server.run()
    for wrong in showing.state.wrong:
        tell(f"{job}:{wrong.line}:{wrong.column}: {wrong.message}")
    say(f"{server.url}\n")
    tell(words(units_for("mm", showing.language), "screen.showing", job=Name(str(job), quoted=False)))
    if open_it:
        webbrowser.open(server.url)
    while not stop.wait(0.5):
        pass
    server.stop()
