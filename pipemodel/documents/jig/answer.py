"""What is written of the jigs of a job beside the jigs: that a run needs none, and what all of them take together."""

from collections.abc import Sequence

from pipemodel.documents.jig.record import JIG_FORMAT, settled
from pipemodel.documents.jig.text import write_worth
from pipemodel.jigs.design import Jig
from pipemodel.jigs.of_job import JigAnswer, NotWorth
from pipemodel.lists.jig_totals import JigTotals, totals_record, totals_said
from pipemodel.lists.jig_worth import worth_record
from pipemodel.messages.say import say, words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Name
from pipemodel.results.record import UNITS, Record
from pipemodel.wording.cautions import caution_lines
from pipemodel.wording.text_page import TextPage

TOTALS_FORMAT = "pipemodel.jigs/1"


def no_jig_text(answer: NotWorth, units: Units) -> str:
    """Return why a run needs no jig, and the checks that tell as much."""
    page = TextPage(language=units.language)
    page.heading(words(units, "jig answer.title", run=Name(answer.solved.name, quoted=False)))
    write_worth(page, answer.worth, answer.solved.table, units)
    page.raw("")
    page.text(words(units, "jig answer.anyway"))
    page.notes(words(units, "paper.cautions"), caution_lines(units))
    return page.finished()


def no_jig_record(answer: NotWorth) -> Record:
    """Return the same as plain data: the record of a jig without parts."""
    record: Record = settled(
        {
            "format": JIG_FORMAT,
            "run": answer.solved.name,
            "units": UNITS,
            "worth": worth_record(answer.worth),
            "parts": [],
            "gauges": [],
            "cautions": caution_lines(),
        }
    )
    return record


def totals_text(totals: JigTotals, units: Units) -> str:
    """Return what the jigs of a job take together."""
    page = TextPage(language=units.language)
    page.heading(words(units, "jig answer.totals"))
    for said in totals_said(totals):
        page.text(say(said, units))
    page.notes(words(units, "paper.cautions"), caution_lines(units))
    return page.finished()


def jigs_record(answers: Sequence[JigAnswer], totals: JigTotals) -> Record:
    """Return the same as plain data, and what became of each run."""
    runs = [
        {"run": one.solved.name, "jig": isinstance(one, Jig)}
        if isinstance(one, Jig | NotWorth)
        else {"run": one.run, "jig": False, "refused": [str(why) for why in one.reasons]}
        for one in answers
    ]
    record: Record = settled(
        {"format": TOTALS_FORMAT, "units": UNITS, "runs": runs, "total": totals_record(totals),
         "cautions": caution_lines()}
    )  # fmt: skip
    return record
