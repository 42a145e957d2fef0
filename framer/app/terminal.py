"""What is printed holds nothing that a terminal would obey instead of showing."""

from __future__ import annotations

from typing import TextIO, cast

from framer.model.words import plain


def plain_stream(stream: TextIO) -> TextIO:
    """The stream, through which texts of a job cannot move the cursor, hide lines or turn them."""
    return cast("TextIO", _PlainStream(stream))


class _PlainStream:
    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        """Write a text without its controls; line ends stay."""
        return self._stream.write("\n".join(map(plain, text.split("\n"))))

    def __getattr__(self, name: str) -> object:
        return getattr(self._stream, name)
