"""Reader of the page: the cards of the walk, and the lists at its foot, as a reader without a picture has them."""

from dataclasses import dataclass, field

from lxml import html

from follower.figures import length, turned
from follower.sheets import RunRead
from follower.steps import Step
from follower.tape import tape


@dataclass
class PageRead:
    """What the page says: what is bent, and the rows of its lists as texts by their heads."""

    runs: list = field(default_factory=list)
    marks: list = field(default_factory=list)
    cuts: list = field(default_factory=list)
    clips: list = field(default_factory=list)
    tapes: list = field(default_factory=list)


def page(text, unit="mm"):
    """Read the page."""
    root = html.fromstring(text)
    for hidden in root.xpath("//script|//style"):
        hidden.drop_tree()
    read = PageRead()
    by_name = {}
    for heading in root.xpath("//section[@aria-labelledby='schedule']/h3"):
        run = RunRead(_text(heading), 0.0)
        after = heading.xpath("following-sibling::*")
        after = after[: next((i for i, e in enumerate(after) if e.tag == "h3"), len(after))]
        for element in after:
            if element.tag == "dl":
                terms, texts = element.xpath("dt"), element.xpath("dd")
                run.facts |= {_text(a): _text(b) for a, b in zip(terms, texts, strict=True)}
            for rows in map(_rows, element.xpath(".//table")):
                if "held by" in rows[0]:
                    run.steps = [_step(row, unit) for row in rows]
                else:
                    run.bends = [tuple(row.values()) for row in rows]
        run.cut = length(run.facts["Cut length"].split(f" {unit}")[0], unit).mm
        read.runs.append(run)
        by_name[run.name] = run
    for step in root.xpath("//article[contains(@class, 'step')]"):
        name = _text(step.xpath(".//h3/small")[0]) if step.xpath(".//h3/small") else ""
        title = _text(step.xpath(".//h3/*[@class='title']")[0])
        figures = {_text(d.xpath("dt")[0]): _text(d.xpath("dd")[0]) for d in step.xpath(".//dl[@class='figures']/div")}
        if step.get("data-view") == "flat":
            marks = [tuple(row.values()) for table in step.xpath(".//table[@class='marks']") for row in _rows(table)]
            read.marks.append((name, figures, marks))
            read.tapes += [tape(svg, unit) for svg in step.xpath(".//figure[@class='tape']/svg")]
        if step.get("data-view") == "bender":
            words = title.replace(":", "").split()
            do, then = (
                [_text(line) for line in step.xpath(f".//{tag}")]
                for tag in ("ol[@class='actions']/li", "ul[@class='checks']/li/label")
            )
            by_name[name].cards.append((int(words[1]), int(words[3]), do, then))
            by_name[name].facts[f"pull {words[1]}"] = figures
    read.cuts = [row for table in root.xpath("//section[@aria-labelledby='cuts']//table") for row in _bars(table)]
    read.clips = [
        (_text(table.xpath("ancestor::div/preceding-sibling::h3[1]")[0]), row)
        for table in root.xpath("//section[@aria-labelledby='clips']//table")
        for row in _rows(table)
    ]
    return read


def _step(row, unit):
    return Step(
        int(row["pull"]),
        int(row["bend"]),
        row["held by"],
        length(row["mark"], unit).mm,
        float(row["pull to"]),
        turned(row["turn the tube before it"]),
    )


def _rows(table):
    heads = [_text(th) for th in table.xpath("thead//th")]
    return [
        dict(zip(heads, [_text(cell) for cell in row.xpath("th|td")], strict=True)) for row in table.xpath("tbody/tr")
    ]


def _bars(table):
    """Return (out of, [(length, name)], leaves) of each length of stock."""
    for row in table.xpath("tbody/tr"):
        out, cut, leaves = row.xpath("th|td")
        names = [_text(bdi) for bdi in cut.xpath("bdi")]
        yield _text(out), list(zip([_text(b) for b in cut.xpath("b")], names, strict=True)), _text(leaves)


def _text(element):
    return " ".join(element.text_content().split())
