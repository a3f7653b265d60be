"""The answer as a value that cannot exist in an unsafe shape.

    a stop        is an emergency (now) or urgent (today, days); it holds nothing to train
    a referral    holds nothing to train either, and says how soon to be seen
    a question    that stands before any advice holds nothing to train, and has its question
    pain, a flag  never without the see-clinician notice; the text shows it before any exercise

Whoever makes a Reply that breaks one of these gets a ValueError that names it. Renderings (text, JSON) only read it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

FORMAT = 1
SEE_CLINICIAN = "see-clinician"
OUTCOMES = frozenset({"advice", "question", "stop", "refer", "out-of-scope", "not-understood", "noted"})
URGENCIES = ("none", "clinician", "urgent", "emergency")
WITHIN = (None, "weeks", "days", "today", "now")
# Which outcomes hold nothing to train, whatever else is known.
WITHOUT_WORK = frozenset({"question", "stop", "refer", "out-of-scope", "not-understood"})
STOPS = frozenset({("emergency", "now"), ("urgent", "today"), ("urgent", "days")})


class Notice:
    """A sentence that has to be shown, by its message id."""

    __slots__ = ("id", "text")

    def __init__(self, id: str, text: str) -> None:
        self.id = id
        self.text = text


class Because:
    """One line of reason: the rule, what it says, who is cited, and the facts it stood on, looked up when asked for."""

    __slots__ = ("_find", "rule", "sources", "text")

    def __init__(
        self, rule: str, text: str, sources: tuple[str, ...] = (), find: Callable[[], tuple[str, ...]] | None = None
    ) -> None:
        self.rule = rule
        self.text = text
        self.sources = sources
        self._find = find

    @property
    def on(self) -> tuple[str, ...]:
        """The facts it stood on, as rules write them."""
        return self._find() if self._find is not None else ()

    def as_json(self) -> dict[str, Any]:
        """Return the reason under the names of the contract."""
        return {"rule": self.rule, "text": self.text, "from": list(self.on), "sources": list(self.sources)}


class Shown:
    """One exercise of an answer, all figures settled."""

    __slots__ = (
        "_back", "because", "days", "dose", "exercise", "first_side", "minutes", "name", "side_means", "way",
    )  # fmt: skip

    def __init__(
        self,
        exercise: str,
        name: str,
        dose: Mapping[str, Any],
        minutes: float | None = None,
        days: tuple[int, ...] = (),
        side_means: str | None = None,
        first_side: str | None = None,
        because: tuple[Because, ...] = (),
        way: str | None = None,
        back: Callable[[], Mapping[str, Any]] | None = None,
    ) -> None:
        self.exercise = exercise
        self.name = name
        self.dose = dose
        self.minutes = minutes
        self.days = days
        self.side_means = side_means
        self.first_side = first_side
        self.because = because
        self.way = way
        self._back = back

    @property
    def spine_load(self) -> dict[str, Any] | None:
        """Its load on the low back: the figure with its band, or why there is none; reckoned when it is asked for."""
        return dict(self._back()) if self._back is not None else None

    def as_json(self) -> dict[str, Any]:
        """Return the exercise under the names of the contract."""
        return {
            "exercise": self.exercise,
            "name": self.name,
            "dose": dict(self.dose),
            "minutes": self.minutes,
            "days": list(self.days),
            "side_means": self.side_means,
            "first_side": self.first_side,
            "way": self.way,
            "spine_load": self.spine_load,
            "because": [reason.as_json() for reason in self.because],
        }


class LeftOut:
    """One exercise that was not given, and what kept it out."""

    __slots__ = ("because", "exercise")

    def __init__(self, exercise: str, because: tuple[Because, ...]) -> None:
        self.exercise = exercise
        self.because = because

    def as_json(self) -> dict[str, Any]:
        """Return it under the names of the contract."""
        return {"exercise": self.exercise, "because": [reason.as_json() for reason in self.because]}


class AskNext:
    """The one question back."""

    __slots__ = ("answers", "fact", "text")

    def __init__(self, fact: str, text: str, answers: tuple[str, ...] = ()) -> None:
        self.fact = fact
        self.text = text
        self.answers = answers


class Reply:
    """An answer; see the module for what it refuses to be."""

    __slots__ = (
        "ask_next",
        "assumed",
        "case",
        "extra",
        "left_out",
        "notices",
        "outcome",
        "picks",
        "text",
        "understood",
        "urgency",
        "within",
    )

    def __init__(
        self,
        *,
        understood: Mapping[str, Any],
        outcome: str,
        text: str,
        case: Mapping[str, Any],
        urgency: str = "none",
        within: str | None = None,
        notices: Iterable[Notice] = (),
        picks: Iterable[Shown] = (),
        left_out: Iterable[LeftOut] = (),
        assumed: Mapping[str, Any] | None = None,
        ask_next: AskNext | None = None,
        flagged: bool = False,
        extra: Mapping[str, Any] | None = None,
    ) -> None:
        self.understood = understood
        self.outcome = outcome
        self.urgency = urgency
        self.within = within
        self.notices = tuple(notices)
        self.picks = tuple(picks)
        self.left_out = tuple(left_out)
        self.assumed = dict(assumed or {})
        self.ask_next = ask_next
        self.case = case
        self.text = text
        self.extra = dict(extra or {})
        self._refuse_nonsense()
        self._refuse_work_where_there_must_be_none()
        if flagged or speaks_of_pain(understood):
            self._refuse_a_missing_notice()

    @property
    def want(self) -> str:
        """What the message asked for."""
        return str(self.understood["want"])

    def as_json(self) -> dict[str, Any]:
        """Return the whole answer in the shape of the machine face; only plain JSON values."""
        ask = None
        if self.ask_next is not None:
            ask = {"fact": self.ask_next.fact, "text": self.ask_next.text, "answers": list(self.ask_next.answers)}
        value: dict[str, Any] = {
            "format": FORMAT,
            "understood": dict(self.understood),
            "outcome": self.outcome,
            "urgency": self.urgency,
            "within": self.within,
            "notices": [{"id": notice.id, "text": notice.text} for notice in self.notices],
            "picks": [pick.as_json() for pick in self.picks],
            "left_out": [one.as_json() for one in self.left_out],
            "assumed": self.assumed,
            "ask_next": ask,
            # What takes a search of its own is made when somebody reads it.
            **{name: value() if callable(value) else value for name, value in self.extra.items()},
            "case": dict(self.case),
            "text": self.text,
        }
        return value

    def _refuse_nonsense(self) -> None:
        if self.outcome not in OUTCOMES:
            raise ValueError(f"outcome: {self.outcome}")
        if self.urgency not in URGENCIES:
            raise ValueError(f"urgency: {self.urgency}")
        if self.within not in WITHIN:
            raise ValueError(f"within: {self.within}")
        # A notice on plain pain has no day; all other urgency says how soon, and where there is none there is no day.
        if self.within is None and self.urgency not in ("none", "clinician"):
            raise ValueError(f"urgency {self.urgency} without within")
        if self.within is not None and self.urgency == "none":
            raise ValueError(f"within {self.within} without urgency")
        if self.outcome == "stop" and (self.urgency, self.within) not in STOPS:
            raise ValueError(f"stop: urgency {self.urgency} within {self.within}")
        if self.outcome not in ("stop", "question") and self.urgency == "emergency":
            raise ValueError(f"{self.outcome}: urgency emergency")
        if self.outcome == "refer" and (self.urgency == "none" or self.within is None):
            raise ValueError(f"refer: urgency {self.urgency} within {self.within}")
        if self.outcome == "question" and self.ask_next is None:
            raise ValueError("question: ask_next missing")

    def _refuse_work_where_there_must_be_none(self) -> None:
        if self.outcome not in WITHOUT_WORK:
            return
        if self.picks:
            raise ValueError(f"{self.outcome}: picks {self.picks[0].exercise}")
        for name in ("week", "block"):
            if self.extra.get(name):
                raise ValueError(f"{self.outcome}: {name}")

    def _refuse_a_missing_notice(self) -> None:
        notice = next((one for one in self.notices if one.id == SEE_CLINICIAN), None)
        if notice is None:
            raise ValueError(f"pain or a red flag: notice {SEE_CLINICIAN} missing")
        if self.urgency == "none":
            raise ValueError("pain or a red flag: urgency none")
        shown = _plain(self.text)
        place = shown.find(_plain(notice.text))
        if not notice.text.strip() or place < 0:
            raise ValueError(f"pain or a red flag: notice {SEE_CLINICIAN} not in the text")
        for pick in self.picks:
            if _plain(pick.name) in shown[:place]:
                raise ValueError(f"{pick.exercise}: named before the notice {SEE_CLINICIAN}")


def speaks_of_pain(understood: Mapping[str, Any]) -> bool:
    """Whether the facts of an answer hold pain or a red flag, said or derived."""
    for heading in ("facts", "more", "derived"):
        facts = understood.get(heading) or {}
        if "present" in _as_list(facts.get("pain")) or facts.get("red-flag"):
            return True
        if any(isinstance(score, (int, float)) and score >= 1 for score in _as_list(facts.get("pain-score"))):
            return True
    return False


def _as_list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]


def _plain(text: str) -> str:
    """Text without the accident of its line breaks and case."""
    return " ".join(text.split()).casefold()
