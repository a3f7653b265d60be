"""Scope: whether a mention is so, here and now, of the person meant; or denied, past, supposed, somebody else's, asked.

Triggers are phrase data. Each has a reach (forward, back, both, clause, sentence, message) and, for the first three,
a most
number of words. Reach ends with the sentence, with a comma (but for lists after a negation), and at words that turn
the thought (`trigger: end`). `no X, Y or Z` empties the list; `no X, Y` without an `or` only goes on over things of
one kind.
A trigger inside of a longer phrase is a word of that phrase and reaches nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from backstay.language.amending import takes_back
from backstay.language.clauses import Clauses, turns_of
from backstay.language.cleaning import NONE, SENTENCE, Words
from backstay.language.mentions import Mention
from backstay.language.reach import denial, reaches

ASSERTED = 0
DENIED, PAST, SUPPOSED, OTHER, ASKED, PLANNED = 1, 2, 4, 8, 16, 32
FLAGS = {"negation": DENIED, "past": PAST, "supposed": SUPPOSED, "other": OTHER, "asked": ASKED, "planned": PLANNED}
NAMES = {
    0: "asserted",
    DENIED: "denied",
    PAST: "past",
    SUPPOSED: "supposed",
    OTHER: "other",
    ASKED: "asked",
    PLANNED: "planned",
}
HERE = ("lift", "area", "muscle", "sensation", "pain", "moment", "fault", "exercise", "equipment")
"""What is not put off by what is planned: only phases, days and meets are."""
NOES = frozenset({"no", "not", "never", "nothing", "without", "none", "nowhere"})
PERSON = frozenset({"about", "person", "sex", "sexes", "body-mass", "height", "age"})
"""Who somebody is: a denial of something for this person does not deny the person."""
AT = frozenset({"at", "to", "round"})
FIRST = frozenset({"i", "me", "mine", "my", "we", "our"})
ASKS = frozenset({"for", "give", "can", "should", "could", "may", "does", "do", "let", "tell", "shall"})
THIRD = frozenset({"he", "she", "him", "her", "they", "them"})
PRONOUNS = frozenset({"i", "he", "she", "we", "they", "you", "it"})
SHARED = frozenset({"had", "have", "has", "having", "got", "felt", "any", "a", "my", "getting", "from", "off"})
WELL = frozenset(
    {"strong", "full", "fully", "fine", "normal", "ok", "good", "well", "healthy", "fit", "right", "clear"}
)
"""What is so again when a sign is over: all strong again."""


def free(triggers: list[Mention], mentions: Sequence[Mention], words: Words) -> list[Mention]:
    """The triggers that are not words of a longer phrase or of a longer trigger; a `no` in "no pain" still speaks."""
    kept = []
    for trigger in triggers:
        if (
            trigger.name == "negation"
            and words.words[trigger.start : trigger.end] == ["no"]
            and (
                words.breaks[trigger.end] != NONE
                or (words.breaks[trigger.start] != NONE and "not" in words.words[trigger.end : trigger.end + 3])
                or takes_back(words, trigger.end)
            )
        ):
            continue  # the answer no; no it does not; no make that six
        if trigger.name not in FLAGS:  # frames of kit, turns of thought: they reach nothing by themselves
            kept.append(trigger)
            continue
        size = trigger.end - trigger.start
        inside = any(
            other.start <= trigger.start and trigger.end <= other.end and other.end - other.start > size
            for group in (mentions, triggers)
            for other in group
            if other is not trigger
            and other.kind != "want"
            and not (trigger.name == "negation" and other.kind == "trigger" and other.name not in FLAGS)
            and not (trigger.name == "other" and _in_a_gap(trigger, other))
            and not (
                other.kind == "idea" and not other.extra[1]
            )  # only the ideas of stop signs are phrases of their own
        )
        if trigger.name == "negation" and any(
            one.value("lacks") and one.start == trigger.end - 1 < one.end - 1 for one in mentions
        ):
            continue  # I have | no one to hold my feet
        if not inside or (trigger.name == "negation" and denial(trigger, mentions) is not None):
            kept.append(trigger)
    return kept


def _denies_itself(mention: Mention, words: Words) -> bool:
    absent = any(value == "absent" for _, value in mention.says)
    return absent and not NOES.isdisjoint(words.words[mention.start : mention.end])


def _in_a_gap(trigger: Mention, other: Mention) -> bool:
    """Whether a trigger stands, even in part, where another phrase lets any words stand: it is none of its words."""
    return any(slot == "~" and start < trigger.end and trigger.start < end for slot, start, end, _ in other.captures)


def assign(mentions: Sequence[Mention], triggers: Sequence[Mention], words: Words, clauses: Clauses) -> None:
    """Set the scope of each mention."""
    for mention in mentions:
        if any(value == "absent" for _, value in mention.says):
            for inner in mentions:
                if inner.kind == "idea" and mention.start <= inner.start and inner.end <= mention.end:
                    inner.scope |= DENIED
    if not triggers:
        return
    turns = sorted(turns_of(triggers))
    selves = sorted(trigger.start for trigger in triggers if trigger.name == "self")
    nows = [trigger.start for trigger in triggers if trigger.name == "now"]
    returns = [trigger.start for trigger in triggers if trigger.name == "again" and not _well(trigger, words)]
    others = [trigger for trigger in triggers if trigger.name == "other"]
    asker_speaks_of_self = any(
        word in FIRST and not any(other.start <= at < other.end for other in others)
        for at, word in enumerate(words.words)
    )
    asks_for_other = any(one in ASKS and two in THIRD for one, two in pairwise(words.words))
    for trigger in triggers:
        flag = FLAGS.get(trigger.name)
        if flag is None:
            continue
        if flag == OTHER and words.words[max(0, trigger.start - 1)] in AT:
            continue  # at my mum's: a place
        if flag == OTHER and words.words[trigger.start] == "my" and (asks_for_other or not asker_speaks_of_self):
            continue  # "my brother can not …, what can he do": the other one is who is meant
        stops = turns
        if flag == OTHER:
            stops = sorted({*turns, *selves})
        elif flag == PAST:
            kept = [at for at in turns if words.breaks[at] != NONE or words.words[at] not in PRONOUNS]
            stops = sorted({*kept, *nows})
        elif flag == SUPPOSED:  # "if my athlete tells me he can not feel …": he is still the supposed one
            stops = [at for at in turns if words.breaks[at] != NONE or words.words[at] not in PRONOUNS]
        if flag == DENIED and trigger.extra[1] == "back" and _asked(trigger.end, words):
            continue  # are hypers fine?
        for start, end in reaches(trigger, words, clauses, stops, mentions):
            if flag == PAST and any(start <= at < end for at in returns):
                continue
            for mention in mentions:
                if mention.start <= trigger.start and trigger.end <= mention.end and flag == DENIED:
                    continue  # its own words do not deny it
                if flag == PLANNED and mention.says_any(*HERE):
                    continue  # it gives up before my legs do
                if flag == DENIED and _denies_itself(mention, words):
                    continue  # not tight, not painful
                if flag == DENIED and mention.says and all(name in PERSON for name, _ in mention.says):
                    continue  # no good mornings for my 73 kg boy: he is there
                if flag == OTHER and any(mention.start <= at < mention.end for at in selves):
                    continue  # "a mate dropped 60 kg across my back": what holds a word of mine is mine
                if flag == PAST and _of_now(mention, trigger, clauses, nows):
                    continue
                inside = flag == PAST and trigger.start <= mention.start and mention.end <= trigger.end
                shares = (  # "never had | had cancer": what begins with the last word of the trigger is reached as well
                    mention.kind == "phrase"
                    and trigger.start < mention.start < trigger.end < mention.end
                    and words.words[mention.start] in SHARED
                )
                if start <= mention.start < end or inside or shares:
                    if flag == DENIED and mention.scope & DENIED and not mention.scope & ~DENIED:
                        continue
                    mention.scope |= flag


def _well(again: Mention, words: Words) -> bool:
    """Whether what is so again is to be well: all strong again, power is again full."""
    around = (*words.words[max(0, again.start - 1) : again.start], *words.words[again.end : again.end + 1])
    return not WELL.isdisjoint(around)


def _of_now(mention: Mention, trigger: Mention, clauses: Clauses, nows: Sequence[int]) -> bool:
    """Whether a mention stands in a part of the sentence that says it is of now: last year …, now fine."""
    own = clauses.clause[mention.start]
    return own != clauses.clause[trigger.start] and any(clauses.clause[at] == own for at in nows)


def _asked(at: int, words: Words) -> bool:
    """Whether the sentence that a place stands in ends with a question mark."""
    while at < len(words) and words.breaks[at] != SENTENCE:
        at += 1
    return words.asks[at]


def names(scope: int) -> str:
    """The scope in a word or more, for people."""
    if scope == ASSERTED:
        return "asserted"
    return "+".join(name for flag, name in NAMES.items() if flag and scope & flag)
