"""Reference: what the knowledge holds, as people read it: one entry explained, or all of it on a page."""
