"""A page's form, filled as a browser fills it: what the page proposes, and over it what somebody types."""

from html.parser import HTMLParser

from django.apps import apps
from django.urls import reverse

from tests.bad_input.deeds import DEEDS


class _Forms(HTMLParser):
    """Every form of a page: its attributes, and the (name, value) pairs that would be sent."""

    def __init__(self):
        super().__init__()
        self.forms, self._select, self._text = [], None, None

    def handle_starttag(self, tag, attrs):
        said = dict(attrs)
        if tag == "form":
            self.forms.append((said, []))
        elif not self.forms:
            return
        elif tag == "input" and said.get("name"):
            if said.get("type") in ("checkbox", "radio"):
                if "checked" in said:
                    self._put(said["name"], said.get("value", "on"))
            elif said.get("type") != "file":
                self._put(said["name"], said.get("value") or "")
        elif tag == "select":
            self._select = [said.get("name"), None]
        elif tag == "option" and self._select and (self._select[1] is None or "selected" in said):
            self._select[1] = said.get("value", "")
        elif tag == "textarea":
            self._text = [said.get("name"), ""]

    def handle_data(self, data):
        if self._text:
            self._text[1] += data

    def handle_endtag(self, tag):
        if tag == "select" and self._select:
            self._put(*self._select)
            self._select = None
        elif tag == "textarea" and self._text:
            self._put(self._text[0], self._text[1].removeprefix("\n"))
            self._text = None

    def _put(self, name, value):
        self.forms[-1][1].append((name, value or ""))


def form_on(html: str) -> tuple[dict, dict[str, list[str]]]:
    """The deed's form of a page: (its attributes, {name: values})."""
    reader = _Forms()
    reader.feed(html)
    attrs, pairs = next(
        (attrs, pairs)
        for attrs, pairs in reader.forms
        if attrs.get("method") == "post" and "deed" in attrs.get("class", "").split()
    )
    values: dict[str, list[str]] = {}
    for name, value in pairs:
        values.setdefault(name, []).append(value)
    return attrs, values


def open_form(client, world, deed: str):
    """Open the page of a deed and fill it in well: (the page's form object, where it is sent, what is sent)."""
    name, at, typed = DEEDS[deed]
    address = reverse(name, args=world.at[at])
    page = client.get(address)
    assert page.status_code == 200, f"{deed}: {page.status_code}"
    attrs, filled = form_on(page.content.decode())
    filled |= {name: told(world, value) for name, value in typed.items()}
    return page.context["form"], attrs.get("action") or address, filled


def told(world, value):
    """`@person` stands for the one person of the world."""
    if isinstance(value, str) and value.startswith("@"):
        return str(world.at[value[1:]][-1])
    return value


def rows() -> dict[str, int]:
    """How many rows every table of the ledger holds."""
    return {
        model._meta.label: model._default_manager.count()
        for model in apps.get_models()
        if model.__module__.startswith("workshop.")
    }
