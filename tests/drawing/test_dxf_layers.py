"""DXF as others open it: layers by role and run, colours for white and for black, and the whole sheet in view."""

import io
import random

import ezdxf
import ezdxf.bbox
import gallery
import numpy as np
import pytest
from ezdxf.addons.drawing import Frontend, RenderContext
from ezdxf.addons.drawing.config import BackgroundPolicy, Configuration
from ezdxf.addons.drawing.matplotlib import MatplotlibBackend
from ezdxf.colors import aci2rgb

from pipemodel.bending.schedule import solve
from pipemodel.drawing.dxf import BLACK_OR_WHITE, COLOURS, layer_name, to_dxf
from pipemodel.drawing.job_drawings import Drawings
from pipemodel.drawing.sheet import Role, Sheet

BACKGROUNDS = {"white": (255, 255, 255), "black": (0, 0, 0), "dark grey": (33, 40, 48)}


def luminance(rgb):
    """WCAG 2.2, relative luminance."""
    parts = [c / 255.0 for c in rgb]
    return sum(
        weight * (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4)
        for weight, c in zip((0.2126, 0.7152, 0.0722), parts, strict=True)
    )


@pytest.mark.parametrize("ground", BACKGROUNDS)
def test_every_colour_stands_out_from_paper_and_screen(ground):
    """At least 3 to 1, as WCAG 2.2 asks of graphics (success criterion 1.4.11); 7 is black or white as it must be."""
    for role, number in COLOURS.items():
        assert number != BLACK_OR_WHITE
        one, two = sorted((luminance(aci2rgb(number)), luminance(BACKGROUNDS[ground])))
        assert (two + 0.05) / (one + 0.05) >= 3.0, (role, number)


def document_of(*names, what="of_job"):
    corners = ((0.0, 0.0, 0.0), (600.0, 0.0, 0.0), (600.0, 400.0, 0.0))
    runs = [gallery.run(name, tuple((x, y, z + 120.0 * k) for x, y, z in corners)) for k, name in enumerate(names)]
    wall = gallery.Thing("wall", gallery.Box((-100.0, 500.0, -100.0), (900.0, 600.0, 600.0)))
    sheet = getattr(Drawings(solve(gallery.job("two", runs, [wall]))), what)()
    return sheet, ezdxf.read(io.StringIO(to_dxf(sheet)))


@pytest.mark.parametrize("what", ["of_job", "to_set_out"])
def test_what_belongs_to_a_run_is_on_its_own_layers_and_turns_off_with_them(what):
    _, document = document_of("flow", "return: 2/b", what=what)
    auditor = document.audit()
    assert not auditor.errors
    assert not auditor.fixes
    layers = {e.dxf.layer for e in document.modelspace()}
    assert {"run flow", "run return_ 2_b", "mark flow", "mark return_ 2_b", "room"} <= layers
    assert what == "of_job" or "dimension" in layers
    assert not any(layer.startswith(("run ", "mark ")) and not layer.endswith((" flow", "_b")) for layer in layers)
    for entity in document.modelspace():
        assert entity.dxf.color == 256  # by layer
        assert entity.dxf.layer in document.layers
    numbers = [e.dxf.text for e in document.modelspace().query('TEXT[layer=="mark flow"]')]
    assert numbers
    assert all(text.startswith("flow 1") for text in numbers)
    widths = {layer.dxf.name: layer.dxf.lineweight for layer in document.layers}
    assert widths["cut"] == widths["outline"] == 50
    assert widths["run flow"] == 35
    assert widths["hatch"] == 13


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(4))
def test_any_name_makes_a_layer_that_the_format_allows(seed):
    rng = random.Random(seed)
    names = ["x" * 300, "a/b", "<>:*?|\\\"';,=`", "管 1", " "]
    names += ["".join(chr(rng.randrange(32, 2000)) for _ in range(9)) for _ in "abc"]
    for name in names:
        layer = layer_name(Role.RUN, name)
        assert len(layer) <= 255
        assert ezdxf.lldxf.validator.is_valid_table_name(layer), layer
        sheet = Sheet(100.0, 50.0)
        with sheet.of(name):
            sheet.line([(0.0, 0.0), (50.0, 20.0)], Role.RUN)
        document = ezdxf.read(io.StringIO(to_dxf(sheet)))
        assert not document.audit().errors
        (entity,) = document.modelspace()
        assert entity.dxf.layer == layer


@pytest.mark.slow
@pytest.mark.parametrize("what", ["of_job", "to_set_out"])
@pytest.mark.parametrize("ground", [BackgroundPolicy.WHITE, BackgroundPolicy.BLACK])
def test_another_renderer_draws_all_of_the_sheet_on_white_and_on_black(what, ground):
    """Through ezdxf's drawing add-on and matplotlib: the extents named are those drawn, neither blank nor blotted."""
    import matplotlib

    matplotlib.use("Agg")
    from matplotlib import pyplot

    sheet, document = document_of("flow", "return", what=what)
    low, high = (np.array(document.header[key][:2]) for key in ("$EXTMIN", "$EXTMAX"))
    assert tuple(high - low) == pytest.approx((sheet.width * sheet.factor, sheet.height * sheet.factor))
    box = ezdxf.bbox.extents(document.modelspace(), fast=True)
    assert np.all(np.array(box.extmin)[:2] >= low - 1.0)
    assert np.all(np.array(box.extmax)[:2] <= high + 1.0)
    assert np.all(np.array(box.extmax)[:2] - np.array(box.extmin)[:2] > 0.9 * (high - low))
    figure = pyplot.figure(figsize=(12.0, 12.0 * sheet.height / sheet.width), dpi=80)
    axes = figure.add_axes((0, 0, 1, 1))
    config = Configuration(background_policy=ground)
    Frontend(RenderContext(document), MatplotlibBackend(axes), config=config).draw_layout(document.modelspace())
    figure.canvas.draw()
    picture = np.asarray(figure.canvas.buffer_rgba())[..., :3].astype(int)
    pyplot.close(figure)
    paper = np.median(picture.reshape(-1, 3), axis=0)
    drawn = np.abs(picture - paper).max(axis=2) > 40
    assert 0.01 < drawn.mean() < 0.3
    # Something of it is in each quarter of the sheet.
    rows, columns = drawn.shape
    for y in (slice(0, rows // 2), slice(rows // 2, rows)):
        for x in (slice(0, columns // 2), slice(columns // 2, columns)):
            assert drawn[y, x].mean() > 0.002
