"""Where the type comes from: DejaVu Sans as matplotlib ships it, which covers every sign the papers use."""

from importlib.util import find_spec
from pathlib import Path


def font_file(bold: bool = False) -> str | None:
    """Return the path of the plain or bold face, None where matplotlib was installed without its fonts."""
    spec = find_spec("matplotlib")
    if spec is None or spec.origin is None:
        return None
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    path = Path(spec.origin).parent / "mpl-data" / "fonts" / "ttf" / name
    return str(path) if path.is_file() else None
