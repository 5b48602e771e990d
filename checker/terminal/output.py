"""Writing to standard output, so that a full disk or a reader who has gone is never taken for success."""

from __future__ import annotations

import sys

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import TextIO


class NotWritten(Exception):
    """The output could not be delivered, so neither was the verdict."""


def write(text: str, stream: TextIO | None = None) -> None:
    """Write and flush `text`, to standard output unless told otherwise."""
    stream = stream or sys.stdout
    if stream is None:  # Python's word for a closed standard output
        raise NotWritten("standard output is closed")
    try:
        stream.write(text)
        stream.flush()
    except (OSError, ValueError) as error:  # ValueError: the stream has been closed
        raise NotWritten(getattr(error, "strerror", None) or str(error)) from None


def write_json(reply: str) -> None:
    """Write a reply as it came, and a line break."""
    write_utf8(reply + "\n")


def write_utf8(text: str) -> None:
    """Write and flush `text` to standard output, in UTF-8 whatever the encoding of the terminal."""
    binary = getattr(sys.stdout, "buffer", None)
    if binary is None:  # closed, or a stream that holds text only
        write(text)
        return
    try:
        binary.write(text.encode("utf-8"))
        binary.flush()
    except OSError as error:
        raise NotWritten(error.strerror or str(error)) from None
