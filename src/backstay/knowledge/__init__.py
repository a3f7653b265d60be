"""The knowledge: what is written in YAML, read with its places, compiled once, changed by nobody afterwards."""
