"""Extreme wind: its pressure, and by how much height and gusts change it.

The factors are those of NESC Rule 250C from memory, editions 2002 to 2017. Heights
and spans are in feet, as the reference heights are.
"""

from __future__ import annotations

from framer.errors import FormulaError

PSF_PER_MPH2 = 0.00256
"""Source: any textbook; GO 95 and the NESC both rest on it (read)."""

LEAST_FT = 33.0
"""Nothing is taken as lower: the rule's first row is up to this height."""

_MEAN = 1.43
_SURFACE = 0.346
_SCALE_FT = 220.0
_STRUCTURE = 0.67
"""The height at which a structure is taken to be blown on, as a share of its own."""


def pressure(mph: float) -> float:
    """Pressure on a round thing at the reference height [psf]. 0.00256 V^2."""
    return PSF_PER_MPH2 * mph * mph


def height_factor(height_ft: float, *, structure: bool) -> float:
    """How much more the wind presses at a height, of a wire there or of a structure so high [1].

    Source: 2.01 (h / 900)^(2 / 9.5), h being 0.67 of the height of a structure; from memory.
    """
    high = max(_tall(height_ft), LEAST_FT) * (_STRUCTURE if structure else 1.0)
    factor: float = 2.01 * (high / 900.0) ** (2.0 / 9.5)
    return factor


def structure_gust(height_ft: float) -> float:
    """Gust response factor of a structure [1].

    Source: (1 + 2.7 E sqrt(B)) / 1.43^2, E = 0.346 (33 / 0.67 h)^(1/7), B = 1 / (1 + 0.375 h /
    220); from memory.
    """
    high = _tall(height_ft)
    rough = _SURFACE * (33.0 / (_STRUCTURE * high)) ** (1.0 / 7.0)
    return _response(rough, 1.0 / (1.0 + 0.375 * high / _SCALE_FT))


def wire_gust(height_ft: float, span_ft: float) -> float:
    """Gust response factor of a wire at a height over a span [1].

    Source: (1 + 2.7 E sqrt(B)) / 1.43^2, E = 0.346 (33 / h)^(1/7), B = 1 / (1 + 0.8 L / 220); from
    memory.
    """
    if not span_ft > 0.0:
        raise FormulaError("a wire hangs in a span above zero")
    rough = _SURFACE * (33.0 / _tall(height_ft)) ** (1.0 / 7.0)
    return _response(rough, 1.0 / (1.0 + 0.8 * span_ft / _SCALE_FT))


def _response(rough: float, background: float) -> float:
    factor: float = (1.0 + 2.7 * rough * background**0.5) / (_MEAN * _MEAN)
    return factor


def _tall(height_ft: float) -> float:
    if not height_ft > 0.0:
        raise FormulaError("the wind is reckoned above the ground")
    # near the ground the formula of gusts grows without end
    return max(height_ft, 15.0)
