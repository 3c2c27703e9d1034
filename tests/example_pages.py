"""The pages of all examples, as they are read: in English, in German and in inches; each made once."""

from dataclasses import replace
from pathlib import Path

from made_once import kept

from pipemodel import story
from pipemodel.documents.page.page import page_html
from pipemodel.messages.units import INCHES
from pipemodel.results.paper_options import PaperOptions

EXAMPLES = sorted((Path(__file__).parents[1] / "examples").glob("*.yaml"))
NAMES = [path.stem for path in EXAMPLES]
READ = ("en", "de", "in")


@kept
def answered(name, read="en"):
    """Return an example solved, to be read in English, in German or in inches."""
    job = story.read(next(path for path in EXAMPLES if path.stem == name))
    if read == "in":
        return story.results(job, paper_options=PaperOptions(INCHES))
    return story.results(replace(job, language=read))


@kept
def example_page(name, read="en"):
    """Return the page of an example."""
    return page_html(answered(name, read))
