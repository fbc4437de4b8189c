"""A figure that can be asked: where is this from?"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Source:
    """What a reader is told who asks: the formula in words, what went into it (name, value), who says so."""

    words: str
    inputs: tuple[tuple[str, str], ...] = ()
    source: str = ""


@dataclass(frozen=True)
class Figure:
    """One figure of an answer, and where it is from."""

    name: str
    value: str
    source: Source
    more: str = ""


@dataclass(frozen=True)
class Unsaid:
    """A figure that cannot be given: the reason stands where the figure would."""

    name: str
    why: str
