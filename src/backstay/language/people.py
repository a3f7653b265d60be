"""People: of whom the message speaks; age and sex are only those of the asker or of the athlete meant."""

from __future__ import annotations

from types import MappingProxyType

from backstay.language.ages import generic, of_another, settle_age
from backstay.language.cleaning import NONE
from backstay.language.drafting import Draft
from backstay.language.mentions import Mention
from backstay.language.scope import OTHER

PRONOUNS = MappingProxyType({"pronoun-male": "male", "pronoun-female": "female"})
KIN = MappingProxyType({
    "wife": "female", "missus": "female", "girlfriend": "female", "sister": "female", "husband": "male",
    "hubby": "male", "boyfriend": "male", "brother": "male",
})  # fmt: skip
SELF = frozenset({"i", "my", "me", "mine"})
GRAMMATICAL = frozenset({"female", "male", "f", "m"})
GROWN_UP = frozenset({"man", "woman", "guy", "lady", "gentleman", "bloke", "gal", "chap", "dude"})
SORTS = frozenset({
    "young", "little", "wee", "new", "tall", "short", "big", "heavyweight", "superheavy", "lightweight", "junior",
    "senior", "youth", "another", "next", "teenage", "strong", "local",
})  # fmt: skip
HANDING = frozenset({"give", "tell", "show", "send", "make", "let", "should", "do", "can", "shall", "could"})
MOST_AT_ONCE = 12
NEAREST = frozenset({"husband", "hubby", "wife", "missus", "partner", "brother", "sister", "girlfriend", "boyfriend"})


def settle_people(draft: Draft) -> None:
    """Settle about, sex and age."""
    meant = _spoken_of(draft)
    if meant and (not draft.has("athletes") or meant.name == "one-picked-out"):
        draft.drop(draft.of("about"))
        draft.say("about", "other", meant.start, meant.end)
    else:
        draft.drop(draft.of("about"))
    _sex(draft, meant)
    settle_age(draft)


def _spoken_of(draft: Draft) -> Mention | None:
    """The words that speak of an athlete, if there are any."""
    scene = draft.scene
    kin = None
    for one in scene.mentions:
        if one.value("about") == "other" and not one.scope & ~OTHER:
            group = _my_few(draft, one)
            if group:
                draft.say("athletes", group, one.start, one.end)
                continue
            if one.value("person") == "kin":
                kin = kin or one
                continue
            return one
    if kin is not None and not _first_person(draft, kin):
        return kin
    if kin is not None:
        return None
    # he or she, with nobody else before who could be meant
    others = [one for one in scene.mentions if one.value("person") in ("clinician", "trainer", "companion")]
    for one in scene.mentions:
        if one.name in PRONOUNS and not any(other.start < one.start for other in others) and not one.scope & ~OTHER:
            return one
    if _of_self(draft):
        return None
    return _own_kin(draft) or _thrown_in(draft)


def _my_few(draft: Draft, one: Mention) -> int:
    """How many are meant by `my eight`; 0 where one of that age or weight is."""
    count = next((value for slot, _, _, value in one.captures if slot == "number"), 0)
    words = draft.scene.words.words
    plain = words[one.start] == "my" and one.captures[-1:] and one.captures[0][1:3] == (one.start + 1, one.end)
    return int(count) if plain and 2 <= count <= MOST_AT_ONCE and count == int(count) else 0


def _of_self(draft: Draft) -> bool:
    """Whether the asker comes into it: I, me (but not `give me`, `should I`), my back."""
    words = draft.scene.words.words
    for at, word in enumerate(words):
        before = words[at - 1] if at else ""
        if word in ("i", "me", "myself") and before not in HANDING:
            return True
    return any(
        "my" in words[max(0, one.start - 2) : one.start + 1]
        for one in draft.scene.mentions
        if one.kind == "phrase" and (one.says_any("area", "muscle", "sensation") or one.value("state") == "bare-back")
    )


def _own_kin(draft: Draft) -> Mention | None:
    """My wife, 39, …: of whom something is told, where the asker tells nothing of himself."""
    words = draft.scene.words.words
    if not any(draft.has(name) for name in ("age", "body-mass", "lift", "fault")):
        return None
    for one in draft.scene.mentions:
        mine = one.value("person") == "companion" and words[one.start] == "my"
        if mine and NEAREST & set(words[one.start : one.end]):
            return one
    return None


def _thrown_in(draft: Draft) -> Mention | None:
    """A noun for a person as a coach throws it in: `67 kg lad.`, `Girl, 16.`, `for the 102 kg man`."""
    words = draft.scene.words
    for one in draft.scene.mentions:
        noun = words.words[one.end - 1]
        if one.scope or not one.value("sex") or noun in GRAMMATICAL:
            continue
        weighed = any(
            mass.end in (one.start, one.end) and mass.start < one.start for mass in draft.mentions("body-mass")
        )
        start = one.start
        while start and words.breaks[start] == NONE and words.words[start - 1] in SORTS:
            start -= 1
        alone = words.breaks[start] != NONE and words.breaks[one.end] != NONE and noun not in GROWN_UP
        if words.words[one.end : one.end + 1] == ["of"] and words.breaks[start] != NONE and draft.has("age"):
            return one  # lass of 17, six weeks out
        meant = weighed and words.words[max(0, one.start - 1) : one.start] != ["a"] and not generic(draft, one)
        if meant or (alone and draft.has("age")):
            return one
    return None


def _first_person(draft: Draft, kin: Mention) -> bool:
    """Whether the asker tells of his or her own body: `41 here, low back hurts. my son is 12`."""
    words = draft.scene.words.words
    for one in draft.scene.mentions:
        if one.scope or one.kind != "phrase" or not one.says_any("pain", "sensation", "leg-symptom"):
            continue
        near = words[max(0, one.start - 5) : one.start + 5]
        if (one.start < kin.start or SELF & set(near)) and not {"he", "she", "his", "her"} & set(near):
            return True
    return False


def _sex(draft: Draft, meant: Mention | None) -> None:
    scene = draft.scene
    notes = draft.of("sex")
    kept = []
    for note in notes:
        if meant is not None:
            if meant.start - 3 <= note.start <= meant.end + 8:
                kept.append(note)
        elif (
            _of_asker(draft, note.start, note.end) or any(age.start == note.start for age in draft.of("age"))
        ) and not of_another(draft, note.start):
            kept.append(note)
    draft.drop([note for note in notes if note not in kept])
    if meant is not None:
        for at in range(meant.start, meant.end if meant.value("person") == "companion" else meant.start):
            kin = KIN.get(scene.words.words[at])
            if kin:
                draft.say("sex", kin, at, at + 1)
        for one in draft.mentions("sexes"):
            if meant.start <= one.start < meant.end:
                draft.say("sex", one.value("sexes"), one.start, one.end)
        for one in scene.mentions:
            if one.value("sex") and one.scope == OTHER and meant.start <= one.start <= meant.end:
                draft.say("sex", one.value("sex"), one.start, one.end)
        others = [one for one in scene.mentions if one.value("person") in ("clinician", "trainer", "companion")]
        for one in scene.mentions:
            if (
                one.name in PRONOUNS
                and one.start >= meant.start
                and not any(meant.start < other.start < one.start for other in others)
            ):
                draft.say("sex", PRONOUNS[one.name], one.start, one.end)
    said = {note.value for note in draft.of("sex")}
    if len(said) > 1:
        draft.drop(draft.of("sex"))
    elif said:
        draft.drop(draft.of("sex")[1:])


def _of_asker(draft: Draft, start: int, end: int) -> bool:
    """Whether a word for a sex describes the asker: I am a woman, 29 year old man, female, 58 kg."""
    words = draft.scene.words
    text = words.words
    before = text[max(0, start - 6) : start]
    if before[-2:] in (["am", "a"], ["am", "an"], ["as", "a"], ["as", "an"]) or ("am" in before and "a" in before):
        return True
    if any(word[0].isdigit() for word in before[-4:]) or "old" in before[-2:] or "kg" in before[-2:]:
        return True
    alone = words.breaks[start] != NONE and words.breaks[end] != NONE
    after = text[end : end + 2]
    if any(age.end in (start, start - 1) for age in draft.of("age")):
        return True
    if after[:1] == ["here"] or before[-1:] in (["masters"], ["junior"], ["youth"], ["senior"]):
        return True
    return alone or bool(after and after[0][0].isdigit())
