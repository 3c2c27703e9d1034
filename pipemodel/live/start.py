"""The guided start: what is to be bent, the few measures it takes, and the job file that is written of them.

A form of plain HTML; what it asks, and the job it makes, are those of `pipemodel new --ask`.
"""

from collections.abc import Mapping
from html import escape
from pathlib import Path

from pipemodel import story
from pipemodel.job.model import JobError
from pipemodel.job.read import job_of_text
from pipemodel.job.starter.cases import CASES, TUBE, Case, as_given, problem_with
from pipemodel.job.starter.lines import JobLines
from pipemodel.live.plain_page import plain_page
from pipemodel.messages.say import capital, say, words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Name
from pipemodel.wording.safe_text import shown

POLICY = "default-src 'none'; style-src 'unsafe-inline'; form-action 'self'"
LONGEST_ANSWER = 100
_FORM = """\
<h1>{title}</h1>
{wrong}
<form method="post" action="/start?case={case}">
{fields}
<button>{write}</button>
</form>
<p><a href="/">{back}</a></p>"""
_FIELD = """\
<label for="{key}">{words}</label>
<input id="{key}" name="{key}" value="{value}" maxlength="{longest}" required autocomplete="off"{invalid}>
{wrong}"""


def choices_html(units: Units, file: str) -> str:
    """Return the everyday cases to choose from, as a list of links."""
    items = (f'<li><a href="/start?case={key}">{_said(case, units)}</a></li>' for key, case in CASES.items())
    title = escape(words(units, "live.no job yet", file=Name(file, quoted=False)))
    return f"<p>{title}</p><ul>{''.join(items)}</ul>"


def start_html(
    key: str,
    units: Units,
    file: str,
    answers: Mapping[str, str],
    wrong: Mapping[str, str],
    faults: tuple[str, ...] = (),
) -> str:
    """Return the form of a case.

    Args:
        key: which of `CASES`.
        units: the language.
        file: the name of the job file to be.
        answers: what was answered so far, by the key of the question.
        wrong: what is wrong with an answer, by the key of the question.
        faults: what is wrong with the job that they make.
    """
    case, fields = CASES[key], []
    for question in (TUBE, *case.questions):
        said = wrong.get(question.key)
        note, name = f"{question.key}-wrong", escape(say(question.words, units))
        fields.append(
            _FIELD.format(
                key=question.key,
                words=name,
                value=escape(answers.get(question.key, question.usual), quote=True),
                longest=LONGEST_ANSWER,
                invalid=f' aria-invalid="true" aria-describedby="{note}"' if said else "",
                wrong=f'<p class="wrong" id="{note}" role="alert">{escape(said)}</p>' if said else "",
            )
        )
    named = Name(file, quoted=False)
    form = _FORM.format(
        title=_said(case, units),
        wrong="".join(f'<p class="wrong" role="alert">{escape(fault)}</p>' for fault in faults),
        case=key,
        fields="\n".join(fields),
        write=escape(words(units, "live.write", file=named)),
        back=escape(words(units, "live.back")),
    )
    return plain_page(units, POLICY, file, form)


def job_of_answers(
    key: str, answers: Mapping[str, str], units: Units, path: Path
) -> tuple[str, dict[str, str], tuple[str, ...]]:
    """Return the text of the job that answers make; what is wrong with answers, by question; and with the whole.

    The text is empty where anything is wrong.
    """
    case = CASES[key]
    questions = (TUBE, *case.questions)
    given = {q.key: as_given(answers.get(q.key, "")[:LONGEST_ANSWER]) for q in questions}
    wrong: dict[str, str] = {}
    for n, question in enumerate(questions):
        before = None if wrong else {q.key: given[q.key] for q in questions[:n]}
        if (problem := problem_with(question, given[question.key], before)) is not None:
            wrong[question.key] = say(problem, units)
    if wrong:
        return "", wrong, ()
    lines = case.job(given, units.language)
    try:
        story.schedule(job_of_text(lines.text, path))
    except JobError as error:
        return "", *_by_question(error, lines, set(given))
    return lines.text, {}, ()


def _by_question(error: JobError, lines: JobLines, keys: set[str]) -> tuple[dict[str, str], tuple[str, ...]]:
    wrong: dict[str, str] = {}
    faults: list[str] = []
    for fault in error.faults:
        key = (lines.flag_at(fault.place.line) or "").lstrip("-").replace("-", "_")
        if key in keys:
            wrong.setdefault(key, shown(fault.worded(error.language)))
        else:
            faults.append(shown(fault.worded(error.language)))
    return wrong, tuple(dict.fromkeys(faults))


def _said(case: Case, units: Units) -> str:
    return escape(capital(say(case.words, units)))
