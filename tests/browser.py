"""A headless Chromium for the tests of the page: whichever is on the path, driven by playwright, network off."""

import os
import shutil
from contextlib import contextmanager

import pytest

NAMES = ("chromium", "chromium-browser", "headless_shell")
PHONE = {"viewport": {"width": 390, "height": 780}, "device_scale_factor": 1, "has_touch": True, "is_mobile": True}
SHARP_PHONE = {**PHONE, "device_scale_factor": 2}
"""With four times as many pixels, as phones have: only for those who look at the pixels, since each is drawn by
software."""
DESK = {"viewport": {"width": 1280, "height": 900}}
SIZES = {"phone": PHONE, "desk": DESK}
# Software rendering, so that every machine draws the same.
FLAGS = ("--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--disable-background-networking")
QUICK = "--disable-gpu-rasterization"
"""Only the picture in space goes through that software, and the rest of the page does not: half the processor time."""


@contextmanager
def chromium(*flags):
    """Start a browser with flags beside the usual ones; skip the test where there is none."""
    path = next(filter(None, map(shutil.which, NAMES)), None)
    if path is None:
        pytest.skip(f"no Chromium on the path (looked for {', '.join(NAMES)})")
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    with playwright.sync_playwright() as driver:
        # A browser started by the system's administrator refuses to run in its sandbox.
        alone = ["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
        browser = driver.chromium.launch(executable_path=path, args=[*FLAGS, *flags, *alone])
        browser.left = {}
        try:
            yield browser
        finally:
            browser.close()


@contextmanager
def opened(browser, address, picture=True, **options):
    """Open an address in a window of its own; `window.said` collects what the console and the page complain of.

    Without the picture in space the drawings stand in for it, and the window costs half as much. A window that was left
    in good order is used again for a file, emptied of all that was kept in it; that spares half of what one costs.
    """
    lasting = address.startswith("file:") and options.get("java_script_enabled", True)
    kind = picture, repr(sorted(options.items()))
    window = browser.left.pop(kind, None) if lasting else None
    window = window or new_window(browser, picture, options)
    window.said, window.address = [], address
    left = False
    try:
        window.goto(address)
        yield window
        left = lasting
    finally:
        if left:
            window.evaluate("localStorage.clear()")
            window.emulate_media(media="null")
            if "viewport" in options:
                window.set_viewport_size(options["viewport"])
            browser.left.setdefault(kind, window)
        if browser.left.get(kind) is not window:
            window.context.close()


def new_window(browser, picture, options):
    context = browser.new_context(**{"offline": True, **options})
    if not picture:
        context.add_init_script("HTMLCanvasElement.prototype.getContext = () => null")
    window = context.new_page()
    window.on("console", lambda message: window.said.append(message.text))
    window.on("pageerror", lambda error: window.said.append(str(error)))
    window.on("dialog", lambda dialog: (window.said.append(f"dialog: {dialog.message}"), dialog.dismiss()))
    window.on(
        "request",
        lambda request: window.said.append(f"asked for {request.url}") if outside(request, window.address) else None,
    )
    return window


def outside(request, address):
    return not request.url.startswith((address, "data:", "blob:"))


def go(window, step):
    """Show a step and let it be drawn."""
    window.evaluate("(step) => page.go(step, true)", step)
    settle(window)


def with_picture(window):
    """Have the picture open at every pull, on a phone too, where it is folded unless there is room."""
    window.evaluate("page.fit.wanted = true")


def settle(window):
    """Wait until everything asked for has been drawn."""
    window.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
