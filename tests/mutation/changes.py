"""All single changes that can be made to a module: a wrong sign, start for finish, an angle for the pull angle.

A change is a span of the source and what stands there instead. Docstrings, annotations, imports and pure messages of
errors are left alone; what people read (templates of sentences, labels) is changed word by word.
"""

import ast
import re
from collections.abc import Iterator, Set
from dataclasses import dataclass

PAIRS = (
    ("start", "finish"),
    ("hold", "guide"),
    ("angle_deg", "pull_deg"),
    ("before", "after"),
    ("clockwise", "anticlockwise"),
    ("towards", "away from"),
    ("left", "right"),
    ("up", "down"),
    ("north", "south"),
    ("east", "west"),
    ("low", "high"),
    ("first", "last"),
    ("horizontal", "vertical"),
    ("min", "max"),
    ("sin", "cos"),
    ("sin_deg", "cos_deg"),
    ("floor", "ceil"),
    ("inner", "outer"),
    ("above", "below"),
    ("past", "short of"),
    ("any", "all"),
    ("radius", "diameter"),
    ("radius_mm", "arc_mm"),
    ("turn_round", "turn_over"),
    ("width", "height"),
    ("mark_mm", "start_mm"),
    ("yes", "no"),
)
"""Words that are easily taken one for the other, as whole names, as parts between underscores, and as words."""

_OTHER = {a: b for pair in PAIRS for a, b in (pair, pair[::-1])}
_COMPARE = {ast.Lt: ">", ast.LtE: ">", ast.Gt: "<", ast.GtE: "<", ast.Eq: "!=", ast.NotEq: "==", ast.Is: "is not",
            ast.IsNot: "is", ast.In: "not in", ast.NotIn: "in"}  # fmt: skip
_BINARY = {ast.Add: "-", ast.Sub: "+", ast.Mult: "/", ast.Div: "*", ast.FloorDiv: "*"}


@dataclass(frozen=True)
class Change:
    """One change: bytes `begin` to `end` of the source become `new`."""

    path: str
    line: int
    begin: int
    end: int
    old: str
    new: str
    kind: str

    def applied(self, source: bytes) -> bytes:
        """Return the source with this change made."""
        return source[: self.begin] + self.new.encode() + source[self.end :]


def changes_of(path: str, source: bytes, attributes: Set[str]) -> list[Change]:
    """Return every change that can be made to a module, in the order of its source.

    `attributes` are the names used after a dot anywhere in the program. A name that stands nowhere would be noticed
    by any test that runs the line, so names are only exchanged for ones that exist: in the module, or after a dot
    anywhere.
    """
    names = {node.id for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Name)}
    starts = [0]
    for line in source.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))

    def change(node: ast.AST, new: str, kind: str, span: tuple[int, int] | None = None) -> Change:
        begin, end = span or (
            starts[node.lineno - 1] + node.col_offset,
            starts[node.end_lineno - 1] + node.end_col_offset,
        )
        line = source.count(b"\n", 0, begin) + 1
        return Change(path, line, begin, end, source[begin:end].decode(), new, kind)

    def text(node: ast.AST) -> str:
        return source[
            starts[node.lineno - 1] + node.col_offset : starts[node.end_lineno - 1] + node.end_col_offset
        ].decode()

    def between(left: ast.AST, right: ast.AST) -> tuple[int, int]:
        return (
            starts[left.end_lineno - 1] + left.end_col_offset,
            starts[right.lineno - 1] + right.col_offset,
        )

    found: list[Change] = []
    for node in _nodes(ast.parse(source)):
        for new, kind, span in _ways(node, text, between, source, names, attributes):
            made = change(node, new, kind, span)
            if made.old != made.new:
                found.append(made)
    unique = {(c.begin, c.end, c.new): c for c in found}
    return sorted(unique.values(), key=lambda c: (c.begin, c.end, c.new))


def compiles(source: bytes) -> bool:
    """Say whether a changed module is still Python."""
    try:
        compile(source, "changed", "exec")
    except (SyntaxError, ValueError):
        return False
    return True


def _nodes(tree: ast.AST) -> Iterator[ast.AST]:
    """Walk what runs: no docstring, annotation, import, or text of an error raised."""
    for name, value in ast.iter_fields(tree):
        if name in ("annotation", "returns", "decorator_list", "type_params", "bases", "keywords") and not isinstance(
            tree, ast.Call
        ):
            continue
        for child in value if isinstance(value, list) else [value]:
            if not isinstance(child, ast.AST) or isinstance(child, ast.Import | ast.ImportFrom):
                continue
            if isinstance(child, ast.If) and ast.unparse(child.test) == "TYPE_CHECKING":
                continue
            if isinstance(child, ast.Expr) and isinstance(child.value, ast.Constant):
                continue  # a docstring, of a module, class, function or constant
            yield child
            if not isinstance(child, ast.Raise):
                yield from _nodes(child)


def _ways(node, text, between, source, names, attributes):
    """Return (new text, kind, span or None for the whole node) of each change to one node."""
    match node:
        case ast.Compare(left=left, ops=[op], comparators=[right]) if type(op) in _COMPARE:
            yield f" {_COMPARE[type(op)]} ", "comparison", between(left, right)
        case ast.BinOp(left=left, op=op, right=right) if type(op) in _BINARY:
            span = between(left, right)
            if not set(source[slice(*span)]) & set(b"()"):
                yield f" {_BINARY[type(op)]} ", "arithmetic", span
        case ast.UnaryOp(op=ast.USub() | ast.Not(), operand=inner):
            yield text(inner), "sign" if isinstance(node.op, ast.USub) else "condition", None
        case ast.BoolOp(op=op, values=[a, b, *_]):
            span = between(a, b)
            words = source[slice(*span)].decode()
            old, new = ("and", "or") if isinstance(op, ast.And) else ("or", "and")
            yield re.sub(rf"\b{old}\b", new, words), "condition", span
        case ast.IfExp(test=test, body=body, orelse=other):
            yield f"{text(other)} if {text(test)} else {text(body)}", "condition", None
        case ast.Constant(value=bool() as value):
            yield str(not value), "constant", None
        case ast.Constant(value=int() | float() as value) if not isinstance(value, bool):
            yield ("1" if isinstance(value, int) else "1.0") if value == 0 else f"({text(node)} * 2)", "constant", None
        case ast.Constant(value=str() as value):
            yield from ((new, "word", None) for new in _words(text(node), value))
        case ast.Name(id=name):
            yield from ((new, "name", None) for new in _names(name) if new in names)
        case ast.Attribute(attr=name, value=value):
            yield from ((f"{text(value)}.{new}", "name", None) for new in _names(name) if new in attributes)
        case ast.Expr(value=ast.Call()):
            yield "pass", "left out", None
        case ast.Return(value=value) if value is not None and isinstance(value, ast.Compare | ast.BoolOp):
            yield f"return not ({text(value)})", "condition", None


def _names(name: str) -> Iterator[str]:
    if name in _OTHER and " " not in _OTHER[name]:
        yield _OTHER[name]
    parts = name.split("_")
    if len(parts) > 1:
        for i, part in enumerate(parts):
            if part in _OTHER and " " not in _OTHER[part]:
                yield "_".join([*parts[:i], _OTHER[part], *parts[i + 1 :]])


def _words(literal: str, value: str) -> Iterator[str]:
    """Return a string's source with one word for its other, where it holds such a word."""
    if "\n" in value or not value:
        return
    for word, other in _OTHER.items():
        changed, n = re.subn(rf"(?<![\w-]){re.escape(word)}(?![\w-])", other, literal, count=1)
        if n and "_" not in word:
            yield changed


def attributes_of(source: bytes) -> set[str]:
    """Return the names that a module uses after a dot, and the fields its classes declare."""
    tree = ast.parse(source)
    fields = {n.target.id for n in ast.walk(tree) if isinstance(n, ast.AnnAssign) and isinstance(n.target, ast.Name)}
    return fields | {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
