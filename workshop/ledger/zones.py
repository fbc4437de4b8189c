"""Time zones, and the one this machine's clock is set to."""

import zoneinfo
from functools import cache
from pathlib import Path


@cache
def _names() -> tuple[str, ...]:
    named_for_a_place = {n for n in zoneinfo.available_timezones() if "/" in n and not n.startswith("Etc/")}
    return tuple(sorted(named_for_a_place | {"UTC"}))


def zones() -> list[tuple[str, str]]:
    """Time zones named for a place, and UTC, as choices of a form."""
    return [(name, name.replace("_", " ")) for name in _names()]


def machine_zone() -> str:
    """The zone this machine's clock is set to, where it says so; else UTC."""
    name = str(Path("/etc/localtime").resolve()).partition("zoneinfo/")[2]
    return name if name in _names() else "UTC"
