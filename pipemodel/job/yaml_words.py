"""What the YAML parser complains of, in plain words."""

import yaml

from pipemodel.job.model import Fault, Place
from pipemodel.messages.values import Count, Message, Name, message

_WORDS = (
    ("mapping values are not allowed", message("yaml.colon")),
    ("could not find expected ':'", message("yaml.no key")),
    ("did not find expected ',' or ']'", message("yaml.bracket open", sign=Name("]", quoted=False))),
    ("did not find expected ',' or '}'", message("yaml.bracket open", sign=Name("}", quoted=False))),
    ("did not find expected '-' indicator", message("yaml.no list")),
    ("did not find expected key", message("yaml.fits nothing")),
    ("block sequence entries are not allowed", message("yaml.dash")),
    ("did not find expected node content", message("yaml.value missing")),
    ("found unexpected end of stream", message("yaml.quote open")),
    ("found unknown escape character", message("yaml.escape")),
    ("found unexpected document indicator", message("yaml.still open")),
    ("did not find expected <document start>", message("yaml.first key")),
    ("found duplicate anchor", message("yaml.anchor twice")),
    ("exceeded max", message("yaml.deep")),
)
_MARKS = "@`%"
"""What no text may start with unless it is in quotes."""


def syntax_fault(error: yaml.YAMLError, text: str) -> Fault:
    """Return the fault for an error of the YAML parser, met in `text`."""
    if not isinstance(error, yaml.MarkedYAMLError):
        return Fault(_unreadable(" ".join(str(error).split())))
    problem = error.problem or "not understood"
    mark = error.problem_mark or error.context_mark
    if "unexpected end of stream" in problem:
        mark = error.context_mark or mark
    if mark is None:
        return Fault(_unreadable(problem))
    place = Place(mark.line + 1, mark.column + 1)
    lines = text.split("\n")
    line = lines[mark.line] if mark.line < len(lines) else ""
    sign = line[mark.column : mark.column + 1]
    if "cannot start any token" in problem and sign == "\t":
        return Fault(message("yaml.tab"), place)
    if "cannot start any token" in problem and sign and sign in _MARKS:
        return Fault(message("yaml.mark", mark=Name(sign, quoted=False)), place)
    if "\t" in line[: len(line) - len(line.lstrip())]:
        return Fault(message("yaml.tab"), Place(place.line, line.index("\t") + 1))
    said = next((words for part, words in _WORDS if part in problem), message("yaml.in quotes"))
    opened = error.context_mark
    if said.template == "yaml.bracket open" and opened is not None and opened.line != mark.line:
        said = message("yaml.opened", said=said, line=Count(opened.line + 1), column=Count(opened.column + 1))
    return Fault(said, place)


def _unreadable(problem: str) -> Message:
    return message("yaml.unreadable", problem=Name(problem, quoted=False))
