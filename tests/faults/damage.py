"""Ways in which the bytes of a file come to harm."""

from __future__ import annotations

import random
import re

TOKEN = re.compile(rb'"(?:[^"\\]|\\.)*"|[\[\]{},:]|[^\s\[\]{},:"]+')
STRANGE = [
    *(b"null", b"true", b"-1", b"0", b"1e999", b"NaN", b"-0.0", b"12001", b"9" * 400, b"1e-999"),
    *(b'""', b'"id"', b'"where"', b'"as before"', b'"pole"', b'"\\ud800"', b'"\\u0000"', b"{}"),
    *(b"[]", b"[[]]", b"{", b"]", b",", b":", b"\xff", b"\x00", b"// note", b"'pole'"),
]


def bytes_flipped(text: bytes, chance: random.Random) -> bytes:
    damaged = bytearray(text)
    for _ in range(chance.choice([1, 1, 2, 8])):
        damaged[chance.randrange(len(damaged))] ^= 1 << chance.randrange(8)
    return bytes(damaged)


def cut_off(text: bytes, chance: random.Random) -> bytes:
    return text[: chance.randrange(len(text))]


def piece_lost(text: bytes, chance: random.Random) -> bytes:
    start = chance.randrange(len(text))
    return text[:start] + text[start + chance.randrange(1, 60) :]


def piece_twice(text: bytes, chance: random.Random) -> bytes:
    start = chance.randrange(len(text))
    end = start + chance.randrange(1, 200)
    return text[:end] + text[start:end] + text[end:]


def tokens_swapped(text: bytes, chance: random.Random) -> bytes:
    tokens = TOKEN.findall(text)
    one, two = chance.randrange(len(tokens)), chance.randrange(len(tokens))
    tokens[one], tokens[two] = tokens[two], tokens[one]
    return b" ".join(tokens)


def value_swapped(text: bytes, chance: random.Random) -> bytes:
    """Still JSON: a value in the place of another."""
    values = list(re.finditer(rb'(?<=: )("[^"]*"|-?[\d.]+)', text))
    one, two = chance.choice(values), chance.choice(values)
    return text[: one.start()] + two.group() + text[one.end() :]


def token_strange(text: bytes, chance: random.Random) -> bytes:
    tokens = TOKEN.findall(text)
    tokens[chance.randrange(len(tokens))] = chance.choice(STRANGE)
    return b" ".join(tokens)


DAMAGES = (
    bytes_flipped,
    cut_off,
    piece_lost,
    piece_twice,
    tokens_swapped,
    value_swapped,
    token_strange,
)
