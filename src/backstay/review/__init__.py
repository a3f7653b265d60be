"""Review: what the knowledge does over the whole space of situations, and what a change of it changes."""
