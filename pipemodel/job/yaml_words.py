"""What the YAML parser complains of, in plain words."""

import yaml

from pipemodel.job.model import Fault, Place

_WORDS = (
    ("mapping values are not allowed", "a ':' is not expected here; put text that holds one in quotes, "
     "or line this line up with the one it belongs to"),
    ("could not find expected ':'", "this line is no 'key: value'; add the ':', or line it up with the text above"),
    ("did not find expected ',' or ']'", "a ',' or the closing ']' is missing before this"),
    ("did not find expected ',' or '}'", "a ',' or the closing '}' is missing before this"),
    ("did not find expected '-' indicator", "this line fits no list above it; line it up with the other '-'"),
    ("did not find expected key", "this line fits nothing above it; line it up with the keys it belongs to"),
    ("block sequence entries are not allowed", "a '-' is not expected here; start the list on a line of its own"),
    ("did not find expected node content", "a value is missing here"),
    ("found unexpected end of stream", "a quote is opened here and never closed"),
    ("found unknown escape character", "a '\\' in double quotes starts an escape; use single quotes instead"),
    ("found unexpected document indicator", "a quote or bracket is still open before this line"),
    ("did not find expected <document start>", "this line fits nothing above it; line it up with the first key"),
    ("found duplicate anchor", "this &name is given twice"),
    ("exceeded max", "nested too deep; no job needs that"),
)  # fmt: skip
_MARKS = {
    "\t": "a tab; indent with spaces",
    "@": "text that starts with '@' must stand in quotes",
    "`": "text that starts with '`' must stand in quotes",
    "%": "text that starts with '%' must stand in quotes",
}


def syntax_fault(error: yaml.YAMLError, text: str) -> Fault:
    """Return the fault for an error of the YAML parser, met in `text`."""
    if not isinstance(error, yaml.MarkedYAMLError):
        return Fault(f"this cannot be read as YAML: {' '.join(str(error).split())}")
    problem = error.problem or "not understood"
    mark = error.problem_mark or error.context_mark
    if "unexpected end of stream" in problem:
        mark = error.context_mark or mark
    if mark is None:
        return Fault(f"this cannot be read as YAML: {problem}")
    place = Place(mark.line + 1, mark.column + 1)
    lines = text.split("\n")
    line = lines[mark.line] if mark.line < len(lines) else ""
    if "cannot start any token" in problem and line[mark.column : mark.column + 1] in _MARKS:
        return Fault(_MARKS[line[mark.column]], place)
    if "\t" in line[: len(line) - len(line.lstrip())]:
        return Fault(_MARKS["\t"], Place(place.line, line.index("\t") + 1))
    message = next((words for part, words in _WORDS if part in problem), f"this cannot be read as YAML: {problem}")
    opened = error.context_mark
    if "closing" in message and opened is not None and opened.line != mark.line:
        message += f" (opened on line {opened.line + 1}, column {opened.column + 1})"
    return Fault(message, place)
