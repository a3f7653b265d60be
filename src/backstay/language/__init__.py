"""Language: from a message's words to facts and a want, along small steps.

cleaning -> spelling -> figures -> matching -> scope -> composing -> wants -> context; `reading.understand` walks them.
Knows no exercise, muscle or equipment by name: all such words come from the knowledge.
"""
