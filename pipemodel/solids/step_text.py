r"""What is put right in a STEP file (ISO 10303-21) after the kernel has written it.

The kernel stamps the time and counts what it has written since it was loaded, so that no two files are the
same: the header here is our own, and occurrences are counted from 1 in each file. It writes styles in an order
that changes from one process to the next: colours are written here. It puts names down as UTF-8, which the
edition of the standard named in the header does not allow: here they are in the standard's own notation. And
it takes a name for an identity as well, though a run and a thing may share one: the second gets a number after it.
"""

import re
from collections.abc import Sequence
from itertools import count
from typing import TypeAlias

Rgb: TypeAlias = tuple[float, float, float]

_HEADER = """ISO-10303-21;
HEADER;
FILE_DESCRIPTION(('tube and room, lengths in mm'),'2;1');
FILE_NAME({name},'1970-01-01T00:00:00',(''),(''),'Open CASCADE Technology','pipemodel','');
{schema}
ENDSEC;
"""
_STYLE = """#{0} = MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',({items}),#{context});
#{1} = PRESENTATION_STYLE_ASSIGNMENT((#{2},#{7}));
#{2} = SURFACE_STYLE_USAGE(.BOTH.,#{3});
#{3} = SURFACE_SIDE_STYLE('',(#{4}));
#{4} = SURFACE_STYLE_FILL_AREA(#{5});
#{5} = FILL_AREA_STYLE('',(#{6}));
#{6} = FILL_AREA_STYLE_COLOUR('',#{9});
#{7} = CURVE_STYLE('',#{8},POSITIVE_LENGTH_MEASURE(0.1),#{9});
#{8} = DRAUGHTING_PRE_DEFINED_CURVE_FONT('continuous');
#{9} = COLOUR_RGB('',{red:.4f},{green:.4f},{blue:.4f});
"""
_STYLED = "#{0} = STYLED_ITEM('colour',(#{1}),#{2});\n"
_ENTITY = re.compile(r"^#(\d+) = (\w*)\(\s*(.*?)\);$", re.DOTALL | re.MULTILINE)
_SHAPE_KEYWORDS = frozenset({"MANIFOLD_SOLID_BREP", "BREP_WITH_VOIDS", "SHELL_BASED_SURFACE_MODEL", "GEOMETRIC_SET"})


def token(number: int) -> str:
    """Return what stands in for the name with this number, until `finished` puts it in.

    Plain and short, so that the kernel neither doubles a character nor breaks it over two lines.
    """
    return f"name {number}"


def finished(text: str, names: Sequence[str], colours: Sequence[Rgb | None]) -> str:
    """Return the file as it goes out: our header, names, counts and colours in what the kernel wrote.

    Args:
        text: the kernel's file, its products named by `token`.
        names: the name behind each token; the first is also the file's.
        colours: the colour of each product, sRGB, None for an assembly.

    Raises:
        ValueError: if the text is not a STEP file.
    """
    schema = re.search(r"FILE_SCHEMA\(.*?\);", text, re.DOTALL)
    start, end = text.find("DATA;"), text.rfind("ENDSEC;")
    if schema is None or not 0 < start < end:
        raise ValueError("not a STEP file")
    body = text[start:end]
    body += _styles(body, colours)
    occurrence = count(1)
    body = re.sub(r"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\(\s*)'[^']*'", lambda m: f"{m.group(1)}'{next(occurrence)}'", body)
    unique = identities(names)

    def put_in(found: re.Match[str]) -> str:
        product, number = found.group(1) or "", int(found.group(2))
        return product + encoded((unique if product else names)[number])

    # All in one pass: a name that looks like a token is not taken for one.
    body = re.sub(r"(\bPRODUCT\(\s*)?'name (\d+)'", put_in, body)
    return _HEADER.format(name=encoded(names[0]), schema=schema.group()) + body + text[end:]


def identities(names: Sequence[str]) -> list[str]:
    """Return the names, told apart.

    Not plain numbers: some readers take the identity for the name where the name has no letter they know.
    """
    unique: list[str] = []
    taken: set[str] = set()
    for name in names:
        identity = next(text for n in count(1) if (text := name if n == 1 else f"{name} ({n})") not in taken)
        taken.add(identity)
        unique.append(identity)
    return unique


def _styles(body: str, colours: Sequence[Rgb | None]) -> str:
    """Return the entities that give every shape of every product its colour.

    A product's representations stand between it and the next product.
    """
    colour: Rgb | None = None
    shapes: set[str] = set()
    wanted: list[tuple[Rgb, list[str], str]] = []
    last = 0
    for entity in _ENTITY.finditer(body):
        number, keyword, rest = entity.groups()
        last = int(number)
        if keyword == "PRODUCT":
            product = re.match(r"'name (\d+)'", rest)
            colour = colours[int(product.group(1))] if product else None
        elif keyword.endswith("SHAPE_REPRESENTATION") and colour is not None:
            parts = re.fullmatch(r"'[^']*',\s*\(([^)]*)\),\s*#(\d+)", rest)
            if parts:
                wanted.append((colour, re.findall(r"#(\d+)", parts.group(1)), parts.group(2)))
        elif keyword in _SHAPE_KEYWORDS:
            shapes.add(number)
    out: list[str] = []
    for (red, green, blue), items, context in wanted:
        coloured = [item for item in items if item in shapes]
        if not coloured:
            continue
        own = [last + 1 + i for i in range(10)]
        styled = [own[-1] + 1 + i for i in range(len(coloured))]
        last = styled[-1]
        listed = ",".join(f"#{number}" for number in styled)
        out.append(_STYLE.format(*own, items=listed, context=context, red=red, green=green, blue=blue))
        out += [_STYLED.format(number, own[1], item) for number, item in zip(styled, coloured, strict=True)]
    return "".join(out)


def encoded(name: str) -> str:
    r"""Return a name as a quoted string of ISO 10303-21 edition 2, in plain ASCII.

    Characters beyond stand as \X2\ and four hexadecimal digits each (\X4\ and eight, beyond the first 65536),
    closed by \X0\; an apostrophe or a backslash is doubled.
    """
    text = name.replace("\\", "\\\\").replace("'", "''")
    text = re.sub("[^\x20-\x7e\U00010000-\U0010ffff]+", lambda m: _coded("X2", 4, m.group()), text)
    return "'" + re.sub("[\U00010000-\U0010ffff]+", lambda m: _coded("X4", 8, m.group()), text) + "'"


def _coded(directive: str, digits: int, run: str) -> str:
    return f"\\{directive}\\" + "".join(f"{ord(c):0{digits}X}" for c in run) + "\\X0\\"
