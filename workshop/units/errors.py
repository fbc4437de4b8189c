"""What is said when a measure cannot be taken."""

CODES = ("empty", "too_long", "unreadable", "wrong_unit", "negative", "too_small", "too_large")


class UnitsError(ValueError):
    """A measure that was not taken, with what a page needs to say so beside the field.

    `code` is one of `CODES`; `text` is what was typed; `read` as much of it as was understood ("28 in" of
    "28 in 3 mm"); `examples` two that would do, in the field's unit. `low` and `high`, set when the code is
    "negative", "too_small" or "too_large", are the believable limits in the field's unit.
    """

    def __init__(
        self,
        code: str,
        text: str,
        *,
        read: str = "",
        examples: tuple[str, str],
        low: str = "",
        high: str = "",
    ):
        self.code = code
        self.text = text
        self.read = read
        self.examples = examples
        self.low = low
        self.high = high
        said = f"{code}: {text[:40]!r}"
        if read:
            said += f", read {read}"
        if low:
            said += f", allowed {low} to {high}"
        super().__init__(f"{said}, such as {examples[0]} or {examples[1]}")
