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
from backstay.language.cleaning import COMMA, NONE, SENTENCE, Words
from backstay.language.mentions import Mention

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
JOINERS = frozenset({"or", "nor", "and", "neither", "also"})
CLOSERS = frozenset({"or", "nor"})
FILLERS = frozenset(
    {"a", "an", "the", "my", "any", "no", "real", "much", "of", "kind", "sort", "else", "either", "her", "his"}
)
ASKING = frozenset({"is", "are", "was", "were", "would"})
ARTICLES = frozenset({"a", "an", "the", "i", "my"})
HANGING = frozenset({"in", "at", "on", "of", "around", "during", "from", "with", "to", "down", "when", "or", "nor"})
FIRM = frozenset({
    "pain-score", "pain-next-day", "pain-weeks", "weeks-to-meet", "training-days", "today-is-day", "age", "body-mass",
    "height", "minutes", "frame", "side", "person", "sessions-a-day", "layoff-weeks", "athletes", "sex", "about",
    "episodes",
})  # fmt: skip
"""What a `no` or `not` passes over: figures and what only frames them."""
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
LONGEST_ITEM = 4
LONGEST_THING = 16  # words that one denial goes on over without a pause
SIGNS = frozenset({"sign", "leg-symptom", "idea"})


class Clauses:
    """The sentence and the clause that each word belongs to."""

    __slots__ = ("clause", "sentence", "size")

    def __init__(self, words: Words, turns: frozenset[int]) -> None:
        self.size = len(words)
        self.clause: list[int] = []
        self.sentence: list[int] = []
        clause = sentence = -1
        for at in range(self.size):
            pause = words.breaks[at]
            if pause == SENTENCE:
                sentence += 1
                clause += 1
            elif pause == COMMA or at in turns:
                clause += 1
            self.clause.append(clause)
            self.sentence.append(sentence)

    def run(self, of: list[int], at: int) -> tuple[int, int]:
        """The first word of a clause or sentence, and the place after its last."""
        at = min(at, self.size - 1)
        start = end = at
        while start > 0 and of[start - 1] == of[at]:
            start -= 1
        while end < self.size and of[end] == of[at]:
            end += 1
        return start, end


def turns_of(triggers: Sequence[Mention]) -> frozenset[int]:
    """Places where the thought turns."""
    return frozenset(trigger.start for trigger in triggers if trigger.name == "end")


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


def denial(trigger: Mention, mentions: Sequence[Mention]) -> Mention | None:
    """The phrase around a trigger that says that something is absent, or None."""
    for one in mentions:
        if one.start <= trigger.start and trigger.end <= one.end and any(value == "absent" for _, value in one.says):
            return one
    return None


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


def reaches(
    trigger: Mention, words: Words, clauses: Clauses, turns: Sequence[int], mentions: Sequence[Mention]
) -> list[tuple[int, int]]:
    """The runs of words that a trigger reaches."""
    reach, within = trigger.extra[1], trigger.extra[2]
    size = len(words)
    if reach == "message":
        return [(0, size)]
    if reach == "clause":
        return [clauses.run(clauses.clause, trigger.start)]
    if reach == "sentence":
        return [clauses.run(clauses.sentence, trigger.start)]
    runs = []
    negates = trigger.name == "negation"
    around = denial(trigger, mentions) if negates and reach == "forward" else None
    if around is not None:
        # "no pain or numbness": the phrase has said its own; what it lists besides is denied as well.
        end = max(around.end, _list_end(trigger.end, words, turns))
        if end == around.end and end < size and words.breaks[end] == NONE and words.words[end] in HANGING:
            at = end + 1
            while at < size and words.words[at] in FILLERS:
                at += 1
            end = max(end, _thing_end(at, words, turns, mentions)) if at < size else end
        return [(trigger.end, end)]
    if reach in ("forward", "both"):
        end = trigger.end
        most = min(size, trigger.end + within)
        while end < most:
            pause = words.breaks[end]
            if pause == SENTENCE or (pause == COMMA and negates and end > trigger.end) or end in turns:
                break
            end += 1
        if negates:
            end = _denied_end(trigger, end, words, turns, mentions)
        runs.append((trigger.end, end))
    if reach in ("back", "both"):
        start = trigger.start
        most = max(0, trigger.start - within)
        while start > most and words.breaks[start] == NONE and start - 1 not in turns:
            start -= 1
        if negates:
            start = _denied_start(start, trigger.start, words, mentions)
            if start < trigger.start and ASKING & set(words.words[max(0, start - 1) : start + 1]):
                start = trigger.start  # are hypers ok
        runs.append((start, trigger.start))
    return runs


def _denied_end(trigger: Mention, most: int, words: Words, turns: Sequence[int], mentions: Sequence[Mention]) -> int:
    """Where a denial ends: after the first thing behind it, what hangs on this, and its list."""
    start = trigger.end
    first = min((one.start for one in mentions if start <= one.start < most and _deniable(one)), default=None)
    end = start
    if first is not None:
        end = _thing_end(first, words, turns, mentions)
        if words.words[trigger.start] != "not":  # not the snatch, the clean
            end = max(end, _alike_end(first, words, turns, mentions))
    return max(end, _list_end(start, words, turns))


def _thing_end(first: int, words: Words, turns: Sequence[int], mentions: Sequence[Mention]) -> int:
    """After the thing that begins at `first`, its words that follow on directly, and where it is not (in, at, on …)."""
    size = len(words)
    end = first
    at = first
    while at < size and at not in turns and at - first < LONGEST_THING:
        here = [one.end for one in mentions if one.start == at and _deniable(one)]
        if not here:
            break
        end = at = min([max(here), *(turn for turn in turns if turn > at)])
        if at >= size or words.breaks[at] != NONE or at in turns:
            break
        if words.words[at] in HANGING:
            at += 1
            while at < size and words.words[at] in FILLERS:
                at += 1
            if at >= size or words.breaks[at] != NONE:
                break
    return end


def _denied_start(most: int, stop: int, words: Words, mentions: Sequence[Mention]) -> int:
    """Where a denial begins that stands behind what it denies: at the nearest thing, or the first of its list."""
    start = stop
    at = stop
    kind: set[str] = set()
    while at > most:
        here = [one for one in mentions if one.end == at and one.start >= most and _deniable(one)]
        if kind:
            here = [one for one in here if _kind(one) in kind]
        if here:
            kind = kind or {_kind(one) for one in here}
            start = at = min(one.start for one in here)
        elif words.words[at - 1] in JOINERS or words.words[at - 1] in FILLERS or start == stop:
            at -= 1
        else:
            break
    return start


def _list_end(start: int, words: Words, turns: Sequence[int]) -> int:
    """Where a list closed by `or` ends: no X, Y or Z."""
    size = len(words)
    end = start
    at = item = start
    closing = False
    while at <= size:
        over = at == size or (at > start and words.breaks[at] == SENTENCE) or (at in turns and at > start)
        joiner = not over and at > start and (words.breaks[at] == COMMA or words.words[at] in JOINERS)
        if over or joiner:
            if closing and item < at:
                end = min(at, item + LONGEST_ITEM)
                closing = False
            if over or at - item > LONGEST_ITEM + 2:
                break
            while at < size and words.words[at] in JOINERS:
                closing = closing or words.words[at] in CLOSERS
                at += 1
            item = at
        at += 1
    return end


def _alike_end(start: int, words: Words, turns: Sequence[int], mentions: Sequence[Mention]) -> int:
    """Where a plain comma list of things of one kind ends: no X, Y, Z."""
    size = len(words)
    at = end = start
    kind: set[str] = set()
    while at < size:
        while at < size and words.words[at] in FILLERS and (at == start or words.breaks[at] != SENTENCE):
            at += 1
        here = [one for one in mentions if one.start == at and _deniable(one)]
        said = {_kind(one) for one in here}
        if not here or (kind and not kind & said):
            break
        stop = max(one.end for one in here if not kind or _kind(one) in kind)
        over = stop >= size or words.breaks[stop] != NONE or words.words[stop] in JOINERS or stop in turns
        if kind and not over:
            break
        kind = kind & said if kind else said
        end = at = stop
        if at >= size or words.breaks[at] == SENTENCE or at in turns:
            break
        if words.breaks[at] != COMMA:
            if words.words[at] not in JOINERS or at + 1 >= size or words.words[at + 1] in ARTICLES:
                break
            at += 1
    return end


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


def _deniable(mention: Mention) -> bool:
    return mention.kind == "idea" or not all(attribute in FIRM or "." in attribute for attribute, _ in mention.says)


def _kind(mention: Mention) -> str:
    if mention.kind == "idea" or not mention.says:
        return "sign"
    attribute = mention.says[0][0]
    return "sign" if attribute in SIGNS else attribute


def names(scope: int) -> str:
    """The scope in a word or more, for people."""
    if scope == ASSERTED:
        return "asserted"
    return "+".join(name for flag, name in NAMES.items() if flag and scope & flag)
