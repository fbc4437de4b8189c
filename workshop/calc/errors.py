"""What the arithmetic says when it cannot answer.

    CalcError
    |-- OutOfRange      a value outside what the formula or the world allows
    |-- OutOfOrder      values that must rise (stations, draws, times) and do not
    |-- TooFew          not enough values to answer from
    |-- Mismatch        two inputs that contradict each other
    `-- NoSolution      the inputs are fine one by one, yet no answer exists

Every error carries a stable `code`, the values `given` and what is `allowed`; the page turns the code into a
sentence in the reader's language. `str()` is English, for logs and tests.
"""

import math
from collections.abc import Mapping


class CalcError(ValueError):
    """Base of all refusals. `code` is stable and lower-case, `given` maps names to values, `allowed` is prose."""

    def __init__(self, code: str, *, given: Mapping[str, object], allowed: str):
        self.code = code
        self.given = dict(given)
        self.allowed = allowed
        said = ", ".join(f"{name} {value}" for name, value in self.given.items())
        super().__init__(f"{code}: given {said}; allowed: {allowed}")


class OutOfRange(CalcError):
    """A value outside what the formula or the world allows."""


class OutOfOrder(CalcError):
    """Values that must rise and do not."""


class TooFew(CalcError):
    """Not enough values to answer from."""


class Mismatch(CalcError):
    """Two inputs that contradict each other."""


class NoSolution(CalcError):
    """The inputs are fine one by one, yet no answer exists."""


def require(condition: bool, error: type[CalcError], code: str, *, allowed: str, **given: object) -> None:
    """Raise `error` unless `condition` holds and every figure given is finite.

    What is not a number answers every comparison with no, and an endless one is above any limit: neither is ever an
    answer, so it is refused here, once for all, whatever the condition says.

    >>> require(5 > 0, OutOfRange, "depth", allowed="above zero", depth_m=5)
    >>> require(math.inf > 0, OutOfRange, "depth", allowed="above zero", depth_m=math.inf)
    Traceback (most recent call last):
    workshop.calc.errors.OutOfRange: depth: given depth_m inf; allowed: above zero
    >>> require(-1 > 0, OutOfRange, "depth", allowed="above zero", depth_m=-1)
    Traceback (most recent call last):
    workshop.calc.errors.OutOfRange: depth: given depth_m -1; allowed: above zero
    """
    if not (condition and all(map(_finite, given.values()))):
        raise error(code, given=given, allowed=allowed)


def require_numbers(**given: object) -> None:
    """Refuse, by its name, a figure of no other limits that is no number.

    >>> require_numbers(set_m=-0.01, taken=None)
    >>> require_numbers(set_m=math.nan)
    Traceback (most recent call last):
    workshop.calc.errors.OutOfRange: set_m: given set_m nan; allowed: a number
    """
    for name, value in given.items():
        require(True, OutOfRange, name, allowed="a number", **{name: value})


def _finite(value: object) -> bool:
    if isinstance(value, list | tuple):
        return all(map(_finite, value))
    return not isinstance(value, float) or math.isfinite(value)
