"""Coaching: from findings to a plan. Effects are resolved, doses fixed, the menu chosen, days and phases laid out."""
