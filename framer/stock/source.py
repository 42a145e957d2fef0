"""Where a value comes from, and how it is known."""

from typing import Literal

from msgspec import Struct

HowKnown = Literal["read", "memory", "house", "computed", "common practice"]

WORDS: dict[HowKnown, str] = {
    "read": "",
    "memory": "from memory - check in your copy",
    "house": "house number - check that it is yours",
    "computed": "computed from the values named",
    "common practice": "common practice, no published source",
}
"""What is printed beside a value of each kind."""


class Source(Struct, frozen=True, forbid_unknown_fields=True):
    """Document, edition and place a value was taken from, and how it is known."""

    document: str
    how_known: HowKnown
    edition: str = ""
    place: str = ""

    def words(self) -> str:
        """The source in one line, with the warning it needs."""
        named = ", ".join(filter(None, (self.document, self.edition, self.place)))
        warning = WORDS[self.how_known]
        return f"{named} ({warning})" if warning else named
