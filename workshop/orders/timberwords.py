"""Which timbers an order means by its own words: “yew or wych elm”."""

import re

from workshop.staves.models import Timber

# words that stand in many names and name no timber alone
_NAME_NONE = frozenset(
    {"red", "white", "black", "yellow", "english", "european", "american", "common", "northern", "pacific"}
)


def asked_timbers(words: str) -> list[Timber]:
    """The timbers that are meant: “yew” means every yew there is, “Pacific yew” that one."""
    asked = _words(words)
    if not asked:
        return []
    names = {timber: _words(timber.name) for timber in Timber.objects.all()}
    meant: dict[Timber, None] = {}
    for word in sorted(asked - _NAME_NONE):
        of_it = [timber for timber, name in names.items() if word in name]
        outright = [timber for timber in of_it if len(names[timber]) > 1 and names[timber] <= asked]
        meant.update(dict.fromkeys(outright or of_it))
    return list(meant)


def _words(text: str) -> set[str]:
    return {word for word in re.findall(r"[^\W\d_]+", text.casefold()) if len(word) > 2}
