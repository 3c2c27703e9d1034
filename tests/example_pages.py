"""The pages of all examples, as they are read: in English, in German and in inches; each made once."""

from dataclasses import replace
from functools import partial
from pathlib import Path

from made_once import kept, value_once
from wide import few_or_many

from pipemodel import story
from pipemodel.documents.page.page import page_html
from pipemodel.messages.units import INCHES
from pipemodel.results.paper_options import PaperOptions

EXAMPLES = sorted((Path(__file__).parents[1] / "examples").glob("*.yaml"))
NAMES = [path.stem for path in EXAMPLES]


READ = ("en", "de", "in")
CUPBOARD = "airing-cupboard-to-panel"
FEW = (CUPBOARD, "passover-of-the-waste", "behind-the-hatch", "towel-rail-with-a-jig")
"""Of one run and of several, with a way in, with a jig: between them every kind of step that a page has."""
PAGES = few_or_many(
    [*((name, "de") for name in FEW), (CUPBOARD, "en"), (CUPBOARD, "in")], [(n, read) for n in NAMES for read in READ]
)
"""A few examples in German, whose words are the longest, and one in every reading; in the wide run all in all."""
OPTIONS = {"en": PaperOptions(), "de": PaperOptions(language="de"), "in": PaperOptions(INCHES)}


@kept
def answered(name, read="en"):
    """Return an example solved, to be read in English, in German or in inches."""
    if read == "en":
        results = story.results(story.read(next(path for path in EXAMPLES if path.stem == name)))
        # What takes long is found out once for all processes.
        for known in ("report", "jigs"):
            vars(results)[known] = value_once(f"{known} of {name}", partial(getattr, results, known))
        return results
    english = answered(name)
    one = replace(english, paper_options=OPTIONS[read])
    # What is found out is the same however it is read.
    vars(one).update({known: getattr(english, known) for known in ("plans", "report", "cutting", "jigs")})
    return one


@kept
def example_page(name, read="en"):
    """Return the page of an example."""
    return value_once(f"page of {name} {read}", lambda: page_html(answered(name, read)))
