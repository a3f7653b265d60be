"""From a plan to an answer: the value that refuses to be unsafe, and its renderings."""
