"""A bowyer with a phone in one hand. Each method is one deed, done on the pages as a person does it: found by its
number, reached by its link, typed into the fields, written down by its button."""

import io
import re

from playwright.sync_api import expect
from pypdf import PdfReader


class Bowyer:
    def __init__(self, page, address: str):
        self.page, self.address = page, address

    # going about -------------------------------------------------------------------------------------------------

    def goes(self, path: str) -> str:
        """Open one of the ledger's addresses; what the page says comes back."""
        answer = self.page.goto(self.address + path)
        assert answer.status == 200, f"{path}: {answer.status}"
        return self.reads()

    def reads(self) -> str:
        """What stands on the page, in plain spaces."""
        return re.sub(r"\s+", " ", self.page.inner_text("main"))

    def finds(self, what: str) -> str:
        """Type a tag, number or name into the find field that is on every page."""
        # What was just written may still be settling on the page, and would take the finger off the field.
        expect(self.page.locator(".htmx-request, .htmx-swapping, .htmx-settling")).to_have_count(0)
        field = self.page.locator("header [name=q]")
        field.fill(what)
        expect(field).to_have_value(what)
        # by the key: a finger may miss the button where the page still scrolls to what was just written
        self._on_a_new_page(lambda: field.press("Enter"))
        return self.reads()

    def follows(self, link: str) -> str:
        self._on_a_new_page(lambda: self.page.locator("main a", has_text=link).first.tap())
        return self.reads()

    def takes_up(self, deed: str) -> str:
        """One of the deeds the page offers."""
        self._on_a_new_page(lambda: self.page.locator("main .deeds a", has_text=deed).first.tap())
        return self.reads()

    def unfolds(self) -> str:
        """All that is folded away on the page, opened and read."""
        while (folded := self.page.locator("main details:not([open]) > summary:visible")).count():
            folded.first.tap()
        return self.reads()

    def fills(self, **fields) -> None:
        """Type into fields, choose what is to be chosen, tick what is to be ticked; unfold what hides them."""
        for name, value in fields.items():
            folded = self.page.locator("main details:not([open])", has=self.page.locator(f"[name={name}]"))
            if folded.count():
                folded.first.locator("> summary").tap()
            if self.page.locator(f"main select[name={name}]").count():
                self.page.select_option(f"main select[name={name}]", label=value)
                continue
            field = self.page.locator(f"main [name={name}]:not([type=hidden])")
            kind = field.first.get_attribute("type")
            if kind == "radio":
                self.page.locator(f"main [name={name}][value='{value}']").check()
            elif kind == "checkbox":
                field.set_checked(value)
            else:
                field.fill(value)

    def presses(self, button: str) -> str:
        """Press a button of the page and see the next one; a refusal stops the story with what it says."""
        self._on_a_new_page(lambda: self.page.locator("main button", has_text=button).first.tap())
        refusals = self.page.locator("main .errorlist, main .refusal").all_inner_texts()
        assert not refusals, f"{self.page.url}: {refusals}"
        return self.reads()

    def writes(self, **fields) -> str:
        self.fills(**fields)
        return self.presses("Write it down")

    def _on_a_new_page(self, deed) -> None:
        with self.page.expect_navigation(wait_until="load"):
            deed()

    # the workshop ------------------------------------------------------------------------------------------------

    def sets_up(self, code: str, **workshop) -> str:
        self.goes("/")
        self.fills(code=code, **workshop)
        return self.presses("Open the ledger")

    def signs_in(self, name: str, password: str) -> str:
        self.goes("/sign-in")
        self.fills(username=name, password=password)
        return self.presses("Sign in")

    def says_where_to_be_reached(self, **lines) -> str:
        self.goes("/workshop/settings")
        self.fills(**lines)
        return self.presses("")

    def writes_terms(self, **terms) -> str:
        self.goes("/workshop/terms/add")
        return self.writes(**terms)

    # the wood ----------------------------------------------------------------------------------------------------

    def makes_place(self, name: str, **air) -> str:
        self.goes("/wood/places/add")
        self.writes(name=name)
        self.follows("Read its air")
        return self.writes(**air)

    def fells(self, **tree) -> str:
        self.goes("/wood/fellings/add")
        return self.writes(**tree)

    def at_piece(self, tag: str, deed: str, /, **fields) -> str:
        """One deed on a piece of wood, found by its tag."""
        self.finds(tag)
        self.follows(deed)
        return self.writes(**fields)

    def prints_tags_of_the_felling(self, tag: str) -> str:
        self.finds(tag)
        self.follows("a tree felled")
        self.follows("Print the tags")
        form = self.page.locator("form[action$='/stave-tags/print']")
        query = form.evaluate("form => new URLSearchParams(new FormData(form)).toString()")
        return self.reads_paper(f"/papers/stave-tags/print?{query}")

    def walks_the_round(self, readings: dict[str, str]) -> str:
        """Each figure is kept as its field is left; the next field is one touch away."""
        self.goes("/wood/round")
        for tag, figure in readings.items():
            line = self.page.locator("li.piece", has=self.page.locator(f"a:text-is('{tag}')"))
            line.locator("[name=reading_pct]").fill(figure)
            line.locator("[name=reading_pct]").blur()
            line.get_by_text(f"{figure} % kept").wait_for()
        return self.reads()

    # the bench ---------------------------------------------------------------------------------------------------

    def at_bow(self, number: str, deed: str, /, **fields) -> str:
        """One deed on a bow, found by its number."""
        self.finds(number)
        self.follows(deed)
        return self.writes(**fields)

    def brings_bow_to(self, number: str, stage: str, **more) -> str:
        return self.at_bow(number, "To another stage", stage=stage, **more)

    def ticks_the_check_list(self, number: str) -> str:
        self.finds(number)
        for box in self.page.locator("[name=lines]").all():
            box.check()
        return self.presses("Looked at")

    def weighs_once(self, number: str, draw: str, weight: str, **strung) -> str:
        """The common case: one figure at the furthest draw, entered after letting down."""
        self._begins_weighing(number, **strung)
        self.fills(draw_m=draw, force_n=weight)
        return self.presses("Write it down")

    def weighs_in_full(self, number: str, weights: list[str], final: bool, **strung) -> str:
        """The draws are proposed one after the other; only the weights are typed."""
        self._begins_weighing(number, **strung)
        self.presses("Begin the final weigh-in" if final else "Begin the full series")
        for weight in weights:
            self.adds_weight(weight)
        return self.reads()

    def _begins_weighing(self, number: str, **strung) -> None:
        self.finds(number)
        self.follows("Weigh it")
        if strung:
            self.page.locator("main form summary").tap()
            self.fills(**strung)

    def adds_weight(self, weight: str) -> None:
        """Into the ledger with it; the page has it when its row is there."""
        written = self.page.locator(".points .strike")
        before = written.count()
        self.page.fill("[name=force_n]", weight)
        self.page.locator("main button", has_text="Write it down").tap()
        expect(written).to_have_count(before + 1)

    # orders and papers -------------------------------------------------------------------------------------------

    def knows(self, name: str, **person) -> str:
        self.goes("/orders/persons/new")
        return self.writes(name=name, **person)

    def at_person(self, name: str, deed: str, /, **fields) -> str:
        self.goes("/orders/persons")
        self.follows(name)
        self.follows(deed)
        return self.writes(**fields)

    def takes_order(self, payer: str, line: dict, **order) -> str:
        self.goes("/orders/new")
        self.writes(payer=payer, **order)
        return self.writes(**line)

    def at_order(self, number: str, deed: str, /, **fields) -> str:
        self.finds(number)
        self.follows(deed)
        return self.writes(**fields)

    def starts_bow_for(self, order: str, **bow) -> str:
        self.finds(order)
        self.follows("Start a bow for this")
        self.fills(**bow)
        return self.presses("Start it")

    def issues(self, paper: str, number: str) -> str:
        """Look a paper over and issue it; what is printed on it comes back."""
        self.finds(number)
        self.takes_up(paper)
        self._on_a_new_page(lambda: self.page.locator("main button", has_text="Issue it").tap())
        path = self.page.url.removeprefix(self.address)
        self.goes("/")  # from the paper back to the ledger
        return self.reads_paper(path)

    def reads_paper(self, path: str) -> str:
        answer = self.page.request.get(self.address + path)
        assert answer.status == 200 and answer.headers["content-type"] == "application/pdf", path
        pages = PdfReader(io.BytesIO(answer.body())).pages
        return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))

    def hands_over(self, number: str, to: str) -> str:
        self.finds(number)
        self.follows("Hand it over")
        self.fills(to=to)
        return self.presses("Hand it over")
