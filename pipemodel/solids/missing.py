"""A library of the system that something compiled cannot do without."""

NEEDS = "on Debian and Ubuntu the packages libegl1, libgl1, libgl1-mesa-dri and libxrender1 bring what it asks for"


class LibraryMissingError(ImportError):
    """A compiled library that cannot be loaded on this machine; the message names it and what would help."""

    def __init__(self, what: str, reason: str) -> None:
        super().__init__(f"{what} cannot be loaded ({reason}); {NEEDS}")
        self.what, self.reason = what, reason
