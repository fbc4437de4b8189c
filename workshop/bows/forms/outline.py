"""The outline of a section: a short table of heights above the belly and widths."""

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from workshop.calc.errors import CalcError
from workshop.calc.widths import check_lines
from workshop.ledger.forms import EntryForm, QuantityField

ROWS = 8


class OutlineForm(EntryForm):
    """From the belly up to the back. A row left empty is not there."""

    COLUMNS = (("height", _("Height above the belly")), ("width", _("Width there")))

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for row in range(ROWS):
            for name, label in self.COLUMNS:
                field = QuantityField("section", label=label, required=False)
                field.units = self.units
                self.fields[f"{name}_{row}"] = field
        self.fields["height_0"].initial = "0"
        named = [f"{name}_{row}" for row in range(ROWS) for name, _label in self.COLUMNS]
        self.order_fields([*named, "happened_on", "note"])

    def rows(self) -> list:
        """The bound fields of each row, for the page."""
        return [[self[f"{name}_{row}"] for name, _label in self.COLUMNS] for row in range(ROWS)]

    def clean(self):
        cleaned = super().clean()
        self.lines, rows = [], []
        for row in range(ROWS):
            height, width = (cleaned.get(f"{name}_{row}") for name, _label in self.COLUMNS)
            if not any(self.data.get(f"{name}_{row}", "").strip() for name, _label in self.COLUMNS):
                continue
            for name, value in (("height", height), ("width", width)):
                if value is None and f"{name}_{row}" not in self.errors:
                    self._beside(f"{name}_{row}", _now("This one is missing."), "missing")
            self.lines.append((height, width))
            rows.append(row)
        if not self.errors:
            self._check(rows)
        return cleaned

    def _check(self, rows: list[int]) -> None:
        """What is no section, beside the line that makes it none."""
        try:
            check_lines(tuple(self.lines))
        except CalcError as error:
            beside, words = {
                "outline_lines": self._too_few,
                "outline_belly": self._no_belly,
                "outline_heights": self._not_rising,
                "outline_width": self._not_wide,
            }[error.code](rows)
            self._beside(beside, words, error.code)

    def _too_few(self, rows: list[int]) -> tuple[str, str]:
        words = _now("%(n)s given: a section wants two lines at least, the belly and the back.")
        empty = next(row for row in range(ROWS) if row not in rows)
        return f"height_{empty}", words % {"n": len(rows)}

    def _no_belly(self, rows: list[int]) -> tuple[str, str]:
        words = _now("The first line is the belly, at a height of 0; here it is %(height)s.")
        return f"height_{rows[0]}", words % {"height": self._shown(self.lines[0][0])}

    def _not_rising(self, rows: list[int]) -> tuple[str, str]:
        at = next(n for n in range(1, len(rows)) if self.lines[n][0] <= self.lines[n - 1][0])
        words = _now("%(at)s does not lie above the line before it, %(last)s: from the belly up to the back.")
        shown = {"at": self._shown(self.lines[at][0]), "last": self._shown(self.lines[at - 1][0])}
        return f"height_{rows[at]}", words % shown

    def _not_wide(self, rows: list[int]) -> tuple[str, str]:
        inside = [n for n in range(1, len(rows) - 1) if self.lines[n][1] <= 0]
        words = _now("A width of 0 stands at a sharp belly or a sharp back only, not at both or between.")
        return f"width_{rows[inside[0] if inside else -1]}", words

    def _shown(self, value_m: float) -> str:
        return self.units.show(value_m, "section")

    def _beside(self, name: str, words: str, code: str) -> None:
        self.add_error(name, forms.ValidationError(words, code=code))

    def values(self) -> dict:
        values = super().values()
        named = [f"{name}_{row}" for row in range(ROWS) for name, _label in self.COLUMNS]
        kept = {name: value for name, value in values.items() if name not in named}
        return {**kept, "lines": [list(line) for line in self.lines]}
