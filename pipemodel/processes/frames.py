"""How parent and child talk over a pipe: the length as eight bytes, then that many bytes."""

from typing import IO

_LENGTH_BYTES = 8


def write_frame(stream: IO[bytes], data: bytes) -> None:
    """Write one message.

    Raises:
        OSError: if the other side is gone.
    """
    stream.write(len(data).to_bytes(_LENGTH_BYTES, "little"))
    stream.write(data)
    stream.flush()


def read_frame(stream: IO[bytes]) -> bytes | None:
    """Return the next message, None when the other side is gone."""
    head = stream.read(_LENGTH_BYTES)
    if len(head) < _LENGTH_BYTES:
        return None
    length = int.from_bytes(head, "little")
    data = stream.read(length)
    return data if len(data) == length else None
