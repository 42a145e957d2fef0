"""A second language beside the English of what the crew reads, one file in resources/languages.

The English line always stands, for it is what is checked; the other is said with it. A file pairs
English lines with its own. Lines have slots:

- `{pole}`, in small letters: taken over as it stands, for names read as they do in the drawing;
- `{#gap}`: a figure with its unit, taken over too; nothing else fits;
- `{STEP}`, in capitals: said in the language too, by the list of that name; where that has no words
  for it, the whole line has none.

A line that fits more than one pattern is read as that which takes least over as it stands, so that
a slot for a name does not take in English that a list would say.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from functools import cache
from itertools import chain
from pathlib import Path

from msgspec import Struct, field

from framer.errors import DataFileError, UnknownNameError
from framer.resources import resources
from framer.stock.records import Named, read_folder, read_named
from framer.stock.source import Source

_SLOT = re.compile(r"\{(#?[a-z]+|[A-Z]+)\}")
_FIGURE = re.compile(r"[-+]?\d[-\d,./]*(?: \d[\d,/]*| (?:ft|in|m|mm|lb|lbf|psi|kV|V)\b| %)*")
"""Numbers and their units alone, so that no English is taken over with them."""
_NUMBER = re.compile(r"\d+")
_LETTER = re.compile(r"[^\W\d_]")

_LINES = "LINE"
"""The list of whole lines."""

DEEPEST = 100
"""So many slots in slots are gone into; a real line has far fewer."""


class _File(Named, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What is in a file of a language.

    Attributes:
        name: what those who speak it call it.
        source: whose words they are.
        note: in that language, that the English line counts.
        says: what it says for each English line.
        lists: the same for what stands in slots, by the names of these.
    """

    name: str
    source: Source
    note: str
    says: dict[str, str]
    lists: dict[str, dict[str, str]] = field(default_factory=dict)


class _Pattern(Struct, frozen=True):
    """A line with slots: the text around them, one piece more than there are slots."""

    around: tuple[str, ...]
    slots: tuple[str, ...]

    def fits(self, line: str) -> Iterator[dict[str, str]]:
        """What a line has in each slot: none or up to two ways to read it.

        Each slot ends where the text after it first comes, or else each begins where the text
        before it last comes. To try no more keeps odd names from making this take long.
        """
        first, *inner, last = self.around
        if not line.startswith(first) or not line.endswith(last):
            return
        held = line[len(first) : len(line) - len(last)]
        for found in (_split(held, inner), _split_from_end(held, inner)):
            if found is not None and all(found):
                taken = dict(zip(self.slots, found, strict=True))
                if all(_FIGURE.fullmatch(it) for slot, it in taken.items() if slot[0] == "#"):
                    yield taken

    def filled(self, words: Mapping[str, str]) -> str:
        """The line with words in its slots."""
        pairs = zip(self.around, (*(words[slot] for slot in self.slots), ""), strict=True)
        return "".join(chain(*pairs))

    @property
    def rank(self) -> tuple[int, int]:
        """The more text of its own, and the more that is said in turn, the sooner it is tried."""
        return -sum(map(len, self.around)), -sum(map(str.isupper, self.slots))


def _split(text: str, inner: list[str]) -> list[str] | None:
    found = []
    for piece in inner:
        before, is_there, text = text.partition(piece)
        if not is_there:
            return None
        found.append(before)
    return [*found, text]


def _split_from_end(text: str, inner: list[str]) -> list[str] | None:
    found = []
    for piece in reversed(inner):
        text, is_there, after = text.rpartition(piece)
        if not is_there:
            return None
        found.append(after)
    return [text, *reversed(found)]


class _Said(Struct, frozen=True):
    """Words of the language, and how many letters of the line are taken over in them."""

    words: str
    taken: int = 0


class _Words:
    """The lines of one list, whole ones and those with slots."""

    def __init__(self, says: Mapping[str, str]) -> None:
        self.whole = {line: words for line, words in says.items() if not _SLOT.search(line)}
        slotted = ((_parted(line), _parted(says[line])) for line in says if line not in self.whole)
        self.slotted = sorted(slotted, key=lambda pair: pair[0].rank)


class Language:
    """A second language.

    Attributes:
        id: the name of its file.
        name: what those who speak it call it.
        source: whose words they are.
        note: in that language, that the English line counts.
    """

    def __init__(self, held: _File, file: str) -> None:
        """The language in a file.

        Raises:
            DataFileError: a line has other slots or numbers than the English one.
        """
        self.id, self.name, self.source, self.note = held.id, held.name, held.source, held.note
        lists = {_LINES: held.says, **held.lists}
        for name, says in lists.items():
            for line, words in says.items():
                problem = _problem(line, words, lists)
                if problem:
                    where = "says" if name == _LINES else f"lists.{name}"
                    raise DataFileError(file, f"{where}, '{line}'", problem)
        self._lists = {name: _Words(says) for name, says in lists.items()}

    def said(self, line: str) -> str:
        """What it says for an English line; empty where it has no words for it."""
        return self._said(line, _LINES, {}, DEEPEST).words

    def _said(self, line: str, among: str, known: dict[tuple[str, str], _Said], deep: int) -> _Said:
        """The same by one list; what is `known` of other parts of the line is not sought again."""
        if line in (whole := self._lists[among].whole):
            return _Said(whole[line])
        if not _LETTER.search(line):
            return _Said(line)  # numbers read the same
        if deep and (line, among) not in known:
            known[line, among] = _Said("")
            read = self._readings(line, among, known, deep - 1)
            known[line, among] = min(read, key=lambda one: one.taken, default=_Said(""))
        return known.get((line, among), _Said(""))

    def _readings(
        self, line: str, among: str, known: dict[tuple[str, str], _Said], deep: int
    ) -> Iterator[_Said]:
        """What a line may be read as; the one is meant that takes least over as it stands."""
        for pattern, says in self._lists[among].slotted:
            for found in pattern.fits(line):
                told = {
                    slot: self._said(it, slot, known, deep)
                    if slot.isupper()
                    else _Said(it, 0 if slot[0] == "#" else len(it))
                    for slot, it in found.items()
                }
                if all(one.words for one in told.values()):
                    words = {slot: one.words for slot, one in told.items()}
                    yield _Said(says.filled(words), sum(one.taken for one in told.values()))

    def beside(self, words: str) -> str:
        """English words with those of this language behind a stroke, for a heading or a label."""
        return " / ".join(filter(None, (words, self.said(words))))


def _problem(line: str, words: str, lists: Mapping[str, Mapping[str, str]]) -> str:
    """What is wrong with a pair of lines; empty for nothing."""
    english, other = _parted(line), _parted(words)
    if sorted(english.slots) != sorted(other.slots) or len(set(other.slots)) < len(other.slots):
        return "each slot must stand once in the English line and once in the other"
    unknown = [slot for slot in english.slots if slot.isupper() and slot not in lists]
    if unknown:
        return f"there is no list {unknown[0]}"
    if not "".join(english.around) or "" in english.around[1:-1]:
        return "between its slots there must be text"
    numbers = [Counter(chain(*map(_NUMBER.findall, one.around))) for one in (english, other)]
    if numbers[0] != numbers[1]:
        return "its numbers are not those of the English line"
    return "" if words.strip() else "nothing is said"


def _parted(line: str) -> _Pattern:
    pieces = _SLOT.split(line)
    return _Pattern(tuple(pieces[::2]), tuple(pieces[1::2]))


def read_language(path: Path) -> Language:
    """The language in a file.

    Raises:
        DataFileError: names the file, the line and what was expected there.
    """
    return Language(read_named(path, _File), path.name)


@cache
def languages() -> dict[str, Language]:
    """Every language in resources/languages, by id.

    Raises:
        DataFileError: a file is wrong.
    """
    return read_folder(resources() / "languages", read_language)


def language(key: str) -> Language | None:
    """The language with an id; `None` for no id, which is English alone.

    Raises:
        UnknownNameError: there is none.
    """
    if not key:
        return None
    if key not in languages():
        raise UnknownNameError("language", key, tuple(languages()))
    return languages()[key]
