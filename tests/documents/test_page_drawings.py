"""Pictures of pulls on the page: each shows its own part of the one drawing that both are of."""

import re

import gallery

from pipemodel import story
from pipemodel.documents.page.page import page_html

VIEW = re.compile(r'<svg viewBox="([^"]+)" role="img" aria-label="([^"]*(?:pull|bend)[^"]*)"')


def test_the_picture_before_a_pull_and_the_one_after_it_show_each_its_own_part():
    results = story.results(gallery.job("a set", [gallery.run("flow", gallery.SET)]))
    shown = [
        [float(figure) for figure in numbers.split()]
        for numbers, label in VIEW.findall(page_html(results))
        if re.search(r"\b(before|after)\b", label, re.IGNORECASE)
    ]
    drawn = [pull for piece in results.pieces for pull in piece.pull_drawings]
    assert len(shown) == 2 * len(drawn) > 2
    for k, pull in enumerate(drawn):
        before, after = shown[2 * k : 2 * k + 2]
        for left, top, width, height in (before, after):
            assert width > 20.0
            assert height > 20.0
            assert -1e-3 <= left <= left + width <= pull.sheet.width + 1e-3
            assert -1e-3 <= top <= top + height <= pull.sheet.height + 1e-3
        overlap_x = min(before[0] + before[2], after[0] + after[2]) - max(before[0], after[0])
        overlap_y = min(before[1] + before[3], after[1] + after[3]) - max(before[1], after[1])
        assert min(overlap_x, overlap_y) < 0.5
