"""Walk through the whole ledger by its links, one page of every kind, and look at each the way a reader would."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from urllib.parse import urlsplit

from axe_playwright_python.base import AXE_SCRIPT
from django.urls import Resolver404, resolve
from playwright.sync_api import Page

LOUD = {"error", "warning", "info", "log"}  # not the browser's own hints to developers ("verbose")
# Pages that differ much by what they show: so many of a kind are looked at, each found by another link.
SEVERAL = {"bow": 4, "stave": 3, "order": 6, "weigh-in": 3, "felling": 2, "person": 2}
# What is fetched or is sent on to a page, but is no page itself.
NOT_PAGES = {
    "photo", "paper", "paper-draft", "stave-tags-print", "backup-file", "export", "mark",
    "short-stave", "short-bow", "short-order", "weigh-point-add",
}  # fmt: skip
ALIKE = {"strike-reason", "record-history", "timber-value-add"}  # one page, whatever it is about

# Colours are all that differs between the schemes, so in the dark only the rule about them is asked.
AXE = """async rules => (await axe.run(document, rules ? {runOnly: {type: 'rule', values: rules}} : {}))
  .violations.map(v => v.id + ': ' + v.nodes.slice(0, 3).map(n => n.target.join(' ')).join(' | '))"""
WIDER = "document.documentElement.scrollWidth > document.documentElement.clientWidth"
CUT = """() => [...document.querySelectorAll('main *')].filter(e => !e.closest('.scroll, svg, [hidden], .hidden')
  && e.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
  .slice(0, 3).map(e => e.tagName + '.' + e.className + ' ' + e.textContent.trim().slice(0, 40))"""
SMALL = """() => [...document.querySelectorAll(
  '.deeds a, .deeds button, .buttons button, .pad button, .rooms a, .back a')]
  .map(e => [e, e.getBoundingClientRect()]).filter(([e, r]) => r.width && (r.height < 43.5 || r.width < 24))
  .map(([e, r]) => e.textContent.trim() + ' ' + Math.round(r.width) + '×' + Math.round(r.height))"""
UNSEEN = """() => [...document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary')]
  .filter(e => e.getClientRects().length).filter(e => { e.focus(); const s = getComputedStyle(e);
    return document.activeElement === e && !(parseFloat(s.outlineWidth) >= 2 && s.outlineStyle !== 'none'); })
  .slice(0, 3).map(e => e.outerHTML.slice(0, 80))"""
LINKS = "() => [...document.querySelectorAll('a[href]')].map(a => a.getAttribute('href'))"


@dataclass
class Walked:
    """Where the walk led, and by check what was found amiss: 'address: words'."""

    names: set[str] = field(default_factory=set)
    amiss: dict[str, list[str]] = field(default_factory=dict)

    def note(self, check: str, where: str, found) -> None:
        if found:
            self.amiss.setdefault(check, []).append(f"{where}: {found}")


def kind_of(path: str) -> tuple[str, ...]:
    """The name of the address and the words in it: `paper-preview`, `care-sheet`. Numbers do not make a kind."""
    found = resolve(urlsplit(path).path)
    if found.url_name in ALIKE:
        return (found.url_name,)
    return (found.url_name, *(str(v) for v in found.kwargs.values() if not isinstance(v, int)))


def looked_at(page: Page, walked: Walked, where: str) -> None:
    """Everything that is asked of a page that is open now."""
    page.emulate_media(color_scheme="light")
    page.evaluate(AXE_SCRIPT)
    walked.note("axe, light", where, page.evaluate(AXE, None))
    page.emulate_media(color_scheme="dark")
    walked.note("axe, dark", where, page.evaluate(AXE, ["color-contrast", "link-in-text-block"]))
    headings = page.locator("h1").all_inner_texts()
    walked.note("one heading", where, [] if len(headings) == 1 and headings[0].strip() else [headings])
    walked.note("title", where, "none" if not re.match(r"\S.* – \S", page.title()) else "")
    walked.note("wider than a phone", where, page.evaluate(WIDER) and page.evaluate(CUT))
    walked.note("too small to touch", where, page.evaluate(SMALL))
    page.keyboard.press("Tab")
    walked.note("focus unseen", where, page.evaluate(UNSEEN))
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    walked.note("wider at twice the text", where, page.evaluate(WIDER) and page.evaluate(CUT))


def walk(page: Page, address: str, starts: list[str]) -> Walked:
    """From `starts` along every link, until no page of a new kind is found."""
    walked, waiting, seen = Walked(), list(starts), {}
    _listen(page, walked, address)
    while waiting:
        path = waiting.pop(0)
        kind = _kind_of_page(path)
        if kind is None or path in seen.get(kind, ()) or len(seen.get(kind, ())) >= SEVERAL.get(kind[0], 1):
            continue
        seen.setdefault(kind, set()).add(path)
        answer = page.goto(address + path)
        walked.note("not found", path, answer.status if answer.status != 200 else "")
        walked.names.add(kind[0])
        waiting += _own(page.evaluate(LINKS), path)
        looked_at(page, walked, path)
    return walked


def _kind_of_page(path: str) -> tuple[str, ...] | None:
    try:
        kind = kind_of(path)
    except Resolver404:
        return ("nowhere", path)
    if kind[0] in NOT_PAGES:
        return None
    return (*kind, "query") if "?" in path and kind[0] in ("wood", "bench", "order-book") else kind


def _own(links: list[str], here: str) -> Iterator[str]:
    """The ledger's own addresses among the links; a link within the page leads nowhere new."""
    for link in links:
        if link.startswith("?"):
            link = urlsplit(here).path + link
        if link.startswith("/"):
            yield link.split("#")[0]


def _listen(page: Page, walked: Walked, address: str) -> None:
    page.on("console", lambda said: walked.note("console", page.url, _loud(said)))
    page.on("pageerror", lambda error: walked.note("console", page.url, str(error)))
    page.on("request", lambda asked: walked.note("another host", page.url, _stranger(asked.url, address)))


def _loud(said) -> str:
    """A form refused with 422 is said in the console too, and wanted."""
    return said.text if said.type in LOUD and "422 (Unprocessable" not in said.text else ""


def _stranger(url: str, address: str) -> str:
    return "" if url.startswith((address, "data:", "blob:")) else url


def refused(page: Page, walked: Walked, address: str, path: str, spoil: Callable[[Page], None]) -> None:
    """A form sent back: what it says must be as easy to read as the page was."""
    page.goto(address + path)
    spoil(page)
    with page.expect_response(lambda answer: answer.request.method == "POST") as sent:
        page.locator("main form[method=post]:not(.strike) button").first.click()
    page.wait_for_load_state()
    walked.note("not refused", path, sent.value.status if sent.value.status != 422 else "")
    looked_at(page, walked, f"{path}, refused")
