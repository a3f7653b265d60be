"""Alarm: how much a whole message sounds like one that must stop, beneath all phrases.

Phrases know what they were told. People find other words: "legs like a puppet with cut strings". So each word, pair of
words and piece of a word weighs for or against, as fitted to labelled messages; the sum is set against marks:

    `stop`    from here a sign by itself: `sounds-urgent`, from `now` on `sounds-emergency`
    `ask`     from here a doubt: one closed question before anything is shown

It is listened to where no rule stops for what the phrases found; from `surely` on it also overrules an urgency that is
less than an emergency. It takes no sign or question away, and never gives advice.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from backstay.knowledge.facts import Fact
from backstay.language.cleaning import Words

PIECES = (3, 4, 5)
LOUDEST = 4
TELLING = 5  # letters of a word that is worth being shown
MOST_WORDS = 400
# Fewer words are an answer or a key word: phrases know those.
FEWEST_WORDS = 4


def features(words: Sequence[str]) -> Iterator[tuple[str, int]]:
    """Yield what of a message has a weight, with the place of the word it stands at."""
    before = "^"
    for place, word in enumerate(words):
        yield word, place
        yield f"{before} {word}", place
        before = word
        edged = f"_{word}_"
        for size in PIECES:
            for start in range(len(edged) - size + 1):
                yield f"~{edged[start : start + size]}", place
    yield f"{before} $", max(len(words) - 1, 0)


def weigh(words: Sequence[str], table: Mapping[str, Any]) -> tuple[float, float, list[int]]:
    """Weigh a message by a compiled list; each thing counts once, and all are set against how many there are.

    Returns what speaks for a stop and, among stops, for an emergency, in hundredths, and the places of the words that
    weigh most.
    """
    settings, weights = table["settings"], table["weights"]
    words = words[:MOST_WORDS]
    stop = now = 0
    by_place = [0] * (len(words) + 1)
    seen = set()
    for feature, place in features(words):
        if feature in seen:
            continue
        seen.add(feature)
        weight = weights.get(feature)
        if weight is not None:
            stop += weight[0]
            now += weight[1]
            by_place[place] += weight[0]
    scale = len(seen) ** -0.5 if seen else 0.0
    ranked = sorted(range(len(words)), key=lambda place: -by_place[place])
    telling = [place for place in ranked if by_place[place] > 0 and len(words[place]) >= TELLING]
    return settings["at-stop"] + stop * scale, settings["at-now"] + now * scale, sorted(telling[:LOUDEST])


def heard(words: Words, table: Mapping[str, Any]) -> tuple[tuple[Fact, ...], bool]:
    """Return what the sound of a message says, if anything, and whether it is sure enough to overrule an urgency."""
    settings = table["settings"]
    if not settings or len(words) < FEWEST_WORDS:
        return (), False
    stop, now, loudest = weigh(words.words, table)
    if stop < settings["ask"]:
        return (), False
    said = " … ".join(words.shown(place, place + 1) for place in loudest)
    if stop < settings["stop"]:
        return (Fact("doubt", "words", said),), False
    if now < settings["now"]:
        return (Fact("sign", "sounds-urgent", said),), False
    return (Fact("sign", "sounds-emergency", said),), now >= settings["surely"]
