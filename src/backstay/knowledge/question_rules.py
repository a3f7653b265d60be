"""Question rules: when a question may be put, as ordinary rules, so that why knows one mechanism.

    question/Q   asks for what the question Q asks for, when its `when` holds and its `unless` does not

A question without either is put only where a rule asks for it, or where an effect waits for the fact.
"""

from __future__ import annotations

from backstay.knowledge.conditions import ALWAYS
from backstay.knowledge.effects import Then
from backstay.knowledge.format import QuestionEntry
from backstay.knowledge.gathering import Gathered
from backstay.knowledge.linking import Rule, conditions_of, rule
from backstay.knowledge.names import Names

ROOM = "question"
SOURCES = ("common-practice",)


def question_rules(gathered: Gathered, names: Names) -> list[Rule]:
    """The rules that every question with a condition makes."""
    rules = []
    for item in gathered.of("question"):
        model: QuestionEntry = item.model
        when, unless = conditions_of(item.cursor, names)
        unread = (model.when is not None and when is None) or (model.unless is not None and unless is None)
        if unread or (model.when is None and model.unless is None):
            continue
        then = Then((), (), (("ask", model.asks),))
        id_ = f"question/{model.question}"
        rules.append(rule(id_, item.cursor, ROOM, then, model.because, SOURCES, when or ALWAYS, unless))
    return rules
