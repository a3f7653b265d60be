"""Explain: everything that is known of a rule, an exercise, a source, a message, or a code of `check`."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from backstay.faces import output
from backstay.faces.ask import as_line
from backstay.faces.options import Call, CallError, Option, nearest
from backstay.knowledge.loading import load
from backstay.reference.entries import Entry
from backstay.reference.explained import explainable, explained
from backstay.reply.layout import Page
from backstay.reply.words import Words, capital

OPTIONS = (Option("json"), Option("knowledge", "FOLDER"), Option("help"))
WORDS = "NAME"
MOST_NAMED = 12


def run(call: Call) -> int:
    """Show all entries of a name."""
    if not call.words:
        raise CallError("call-explain-what")
    base = load(tuple(call.all("knowledge")))
    name = " ".join(call.words)
    entries = list(explained(base, name))
    if not entries:
        known = explainable(base)
        near = nearest(name.casefold(), list(known))
        raise CallError("call-explain-unknown", name=name, near=known.get(near, ""))
    if call.on("json"):
        output.write(as_line({"format": 1, "entries": entries}))
        return 0
    page = Page()
    writer = _Writer(page, Words(base))
    for entry in entries:
        writer.write(entry)
    output.write(page.text(output.width()))
    return 0


class _Writer:
    """Writes entries for people."""

    def __init__(self, page: Page, words: Words) -> None:
        self.page = page
        self.words = words

    def write(self, entry: Entry) -> None:
        """Write one entry, and a gap after it."""
        say = self.words.say
        kind = entry["kind"]
        name = capital(entry["name"]) if kind == "exercise" else entry["id"]
        self.page.line(say("explain-title", kind=say(f"explain-kind-{kind}"), name=name))
        self.page.gap()
        getattr(self, f"_{kind}")(entry)
        self.page.gap()

    def _code(self, entry: Entry) -> None:
        self._text("explain-matters", entry["because"])

    def _message(self, entry: Entry) -> None:
        self._text("explain-says", entry["text"])
        self._names("explain-shown-by", entry["shown_by"])

    def _source(self, entry: Entry) -> None:
        self._text("explain-cited-as", entry["cite"])
        self._text("explain-seen", self.words.say("explain-seen-how", sort=entry["sort"], seen=entry["seen"]))
        self._text("explain-says", entry["says"])
        self._names("explain-cited-by-rules", entry["cited_by_rules"])
        self._names("explain-cited-by-exercises", entry["cited_by_exercises"])

    def _exercise(self, entry: Entry) -> None:
        self._text("explain-id", entry["id"])
        trains = sorted(entry["trains"].items(), key=lambda pair: (-pair[1], pair[0]))
        say = self.words.say
        self._text("explain-trains", ", ".join(say("explain-points", what=what, points=many) for what, many in trains))
        fits = (
            say("phase-fit", phase=self.words.value("phase", phase), fit=say(f"fits-{fit}"))
            for phase, fit in entry["phases"].items()
        )
        self._text("explain-season", ", ".join(fits))
        ways = [", ".join(way) or say("needs-nothing") for way in entry["ways"]]
        self._text("explain-ways", "; ".join(ways))
        self._text("explain-doses", ", ".join(entry["doses"]))
        self._text("explain-felt", entry["carry_over"])
        for head in ("easier", "harder", "swaps"):
            self._names(f"explain-{head}", entry[head])
        for head in ("needed_by", "kept_out_by", "dosed_by", "spoken_of_by"):
            self._names(f"explain-{head.replace('_', '-')}", entry[head])
        self._sources(entry)
        self._walked(entry["situations"], "explain-given", "explain-given-never")

    def _rule(self, entry: Entry) -> None:
        say = self.words.say
        self._text("explain-because", entry["because"])
        self._text("explain-place", entry["place"])
        self._outline("explain-when", entry["when"])
        self._outline("explain-unless", entry["unless"])
        self._list("explain-concludes", entry["concludes"])
        self._list("explain-assumes", entry["assumes"])
        self._list("explain-does", entry["effects"])
        led = [say("explain-from", fact=fact, rules=self._few(rules)) for fact, rules in entry["led_to_by"].items()]
        self._list("explain-led-to-by", led)
        self._names("explain-leads-to", entry["leads_to"])
        self._names("explain-over", entry["over"])
        self._names("explain-under", entry["under"])
        self._sources(entry)
        self._walked(entry["situations"], "explain-decides", "explain-decides-never")

    def _sources(self, entry: Entry) -> None:
        self._list("explain-sources", [source["cite"] for source in entry["sources"]])

    def _walked(self, walk: Mapping[str, Any], message: str, never: str) -> None:
        say = self.words.say
        counts = {name: walk[name] for name in ("walked", "fires", "tried", "decides")}
        self.page.gap()
        self.page.line(say(message if walk["decides"] else never, **counts))
        for one in walk["plainest"]:
            facts = self.words.join(say("test-is", attribute=name, values=value) for name, value in one["facts"])
            self.page.line(facts or say("explain-nothing-told"), "  - ", "    ")
            self.page.line(say("explain-answer", answer=self._answer(one)), "    ", "      ")
            if "without" in one:
                self.page.line(say("explain-without", answer=self._answer(one["without"])), "    ", "      ")
                differs = self.words.join(say(f"explain-differs-{what}") for what in one["differs"])
                self.page.line(say("explain-differs", what=differs), "    ", "      ")

    def _answer(self, one: Mapping[str, Any]) -> str:
        picks = ", ".join(one["picks"])
        return picks or self.words.say(f"explain-outcome-{one['outcome']}")

    def _text(self, head: str, text: str) -> None:
        if text:
            self.page.line(self.words.say("topic-line", topic=self.words.say(head), text=text), "", "  ")

    def _list(self, head: str, lines: Iterable[str]) -> None:
        self._outline(head, [(0, line) for line in lines])

    def _outline(self, head: str, lines: Iterable[Any]) -> None:
        for place, (depth, line) in enumerate(lines):
            if not place:
                self.page.line(self.words.say(head))
            before = "  " * (depth + 1)
            self.page.line(line, before + "- ", before + "  ")

    def _names(self, head: str, names: list[str]) -> None:
        self._text(head, self._few(names))

    def _few(self, names: list[str]) -> str:
        if len(names) <= MOST_NAMED:
            return ", ".join(names)
        shown = ", ".join(names[: MOST_NAMED - 2])
        return self.words.say("explain-and-more", names=shown, count=len(names) - MOST_NAMED + 2)
