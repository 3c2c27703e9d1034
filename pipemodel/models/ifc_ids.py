"""GUIDs as IFC writes them, the same for the same job, run and part at every writing."""

import uuid

_OF_THIS = uuid.UUID("6e3c1c37-0e0b-5c6e-9f4e-3d2a51b0c9d4")
"""Of all that is written here; any fixed one would do."""
_DIGITS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_$"


def guid_of(*names: str) -> str:
    """Return the GUID of what goes by some names, in the 22 characters of an IfcGloballyUniqueId.

    ISO 16739-1, IfcGloballyUniqueId: 128 bits in base 64, two bits in the first character and six in each other.
    """
    number = uuid.uuid5(_OF_THIS, "\x1f".join(names)).int
    return "".join(_DIGITS[(number >> (6 * (21 - i))) & 63] for i in range(22))


def as_uuid(guid: str) -> str:
    """Return such a GUID as other formats write it: eight, four, four, four and twelve hexadecimal digits."""
    number = 0
    for character in guid:
        number = number * 64 + _DIGITS.index(character)
    return str(uuid.UUID(int=number))
