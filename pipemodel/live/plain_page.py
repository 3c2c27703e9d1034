"""The plain pages of the live view, before there is a job to show: one head and one look for all."""

from html import escape

from pipemodel.messages.units import Units

_PAGE = """\
<!doctype html>
<html lang="{language}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<title>{title}</title>
<style>
:root {{ color-scheme: light dark }}
body {{ font: 1.125rem/1.4 system-ui, sans-serif; margin: 1rem; max-width: 40rem }}
li {{ min-height: 44px }}
label {{ display: block; margin-top: .8rem }}
input, button {{ font: inherit; min-height: 44px; box-sizing: border-box; padding: 0 .6rem }}
input {{ width: 100%; max-width: 16rem }}
button {{ margin: 1.2rem 0; font-weight: 700 }}
.wrong {{ margin: .2rem 0 0; border-left: 4px solid #c62828; padding-left: .5rem }}
</style>
</head>
<body>
<main>
{main}
</main>
{after}</body>
</html>
"""


def plain_page(units: Units, policy: str, title: str, main: str, after: str = "") -> str:
    """Return a page; `title` is text, `main` and `after` are HTML."""
    return _PAGE.format(language=units.language, policy=policy, title=escape(title), main=main, after=after)
