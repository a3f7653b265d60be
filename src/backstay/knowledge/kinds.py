"""Kinds: which entries stand in which folder or file, each by its head key, with the model of its shape."""

from __future__ import annotations

from types import MappingProxyType

from backstay.knowledge.format import (
    AttributeEntry,
    Entry,
    EquipmentEntry,
    HintEntry,
    IdeaEntry,
    IronEntry,
    LeanEntry,
    MeasureEntry,
    MessageEntry,
    MuscleEntry,
    PhaseEntry,
    PhraseEntry,
    QualityEntry,
    QuestionEntry,
    RuleEntry,
    SourceEntry,
    TendencyEntry,
    TogetherEntry,
    TriggerEntry,
    WantEntry,
)
from backstay.knowledge.posture_format import LiftEntry

KINDS: MappingProxyType[str, dict[str, type[Entry]]] = MappingProxyType(
    {
        "attributes": {"attribute": AttributeEntry},
        "measures": {"measure": MeasureEntry},
        "qualities": {"quality": QualityEntry, "muscle": MuscleEntry},
        "muscles": {"muscle": MuscleEntry, "quality": QualityEntry},
        "equipment": {"equipment": EquipmentEntry},
        "iron": {"iron": IronEntry},
        "lifts": {"lift": LiftEntry},
        "phases": {"phase": PhaseEntry},
        "questions": {"question": QuestionEntry},
        "messages": {"message": MessageEntry},
        "sources": {"source": SourceEntry},
        "rules": {"rule": RuleEntry},
        "screening": {"rule": RuleEntry},
        "phrases": {
            "idea": IdeaEntry,
            "phrase": PhraseEntry,
            "together": TogetherEntry,
            "want": WantEntry,
            "hint": HintEntry,
            "lean": LeanEntry,
            "tendency": TendencyEntry,
            "trigger": TriggerEntry,
        },
    }
)
