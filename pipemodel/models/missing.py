"""The library that reads building models, which not everybody has."""


class ModelsMissingError(ImportError):
    """The library that reads building models is not there; the message says how to have it."""

    def __init__(self) -> None:
        super().__init__(
            "building models are read by ifcopenshell, which is missing; pip install 'pipemodel[models]' brings it"
        )
